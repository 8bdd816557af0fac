package gate

import (
	_ "embed"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// weather.csv: one row for each limit of weather. values are the limits; a
// class of refuse means no arc as long as it stands, condition the extra duty.

//go:embed weather.csv
var weatherCSV string

// conditionRow is one row of weather.csv or inspect.csv.
type conditionRow struct {
	id, method, title, why, unlock string
	class                          Class
	meanwhile                      []string
	values                         []amount
	ref                            source.Ref
}

var weatherRows = readConditions("gate/weather.csv", weatherCSV)

func readConditions(file, text string) []conditionRow {
	var all []conditionRow
	for _, r := range source.Table(file, text) {
		one := conditionRow{
			id: r.Text("id"), title: r.Text("title"), why: r.Text("why"), unlock: r.Text("unlock"),
			class: classOf(r.Text("class")), values: amounts(r, "values"), ref: r.Ref(),
		}
		if r.Has("method") {
			one.method = r.Text("method")
		}
		if r.Has("meanwhile") {
			one.meanwhile = r.List("meanwhile")
		}
		all = append(all, one)
	}
	return all
}

// finding fills the row with facts and limits.
func (r conditionRow) finding(scope string, because []string, sys q.System) Finding {
	f := Finding{
		RuleID: r.id, Class: r.class, Scope: scope, Title: r.title, Why: r.why, Unlock: r.unlock,
		Meanwhile: slices.Clone(r.meanwhile), Source: r.ref, Because: because,
	}
	for _, v := range r.values {
		f.Figures = append(f.Figures, source.Input{Name: "limit", Text: v.text(sys), From: r.ref.String()})
	}
	return f
}

// sky is the weather at the work with the limits of one row.
type sky struct {
	site    job.Site
	process Process
	steel   q.Maybe[q.Temperature]
	limits  []amount
	sys     q.System
}

func (s sky) limit(i int) float64 { return s.limits[i].value }

// Weather gives what the weather forbids or asks for. Where steel is not known
// the site's steel temperature is taken. Texts lead with the units of sys.
func Weather(site job.Site, process Process, steel q.Maybe[q.Temperature], sys q.System) []Finding {
	if !steel.Known {
		steel = site.Steel
	}
	found := []Finding{}
	for _, r := range weatherRows {
		if because := weatherWhen[r.id](sky{site, process, steel, r.values, sys}); because != nil {
			found = append(found, r.finding("weather", because, sys))
		}
	}
	slices.SortStableFunc(found, func(a, b Finding) int { return int(a.Class) - int(b.Class) })
	return found
}

// weatherWhen holds the predicate of each row of weather.csv.
var weatherWhen = map[string]func(sky) []string{
	"rain":             func(s sky) []string { return both(s.falling(), s.noShelter()) },
	"rain-shelter":     func(s sky) []string { return both(s.falling(), s.shelter()) },
	"wet-steel":        wetSteel,
	"cold-air":         func(s sky) []string { return both(s.coldAir(), s.noShelter()) },
	"cold-air-shelter": func(s sky) []string { return both(s.coldAir(), s.shelter()) },
	"cold-steel":       coldSteel,
	"steel-unknown":    func(s sky) []string { return when(!s.steel.Known, "steel", "") },
	"sweating":         sweating,
	"wind-gas":         func(s sky) []string { return both(s.gas(), s.windy(), s.noShelter()) },
	"wind-gas-shelter": func(s sky) []string { return both(s.gas(), s.windy(), s.shelter()) },
	"wind-process":     func(s sky) []string { return both(when(s.process == "", "process", ""), s.windy()) },
	"wind-unknown":     func(s sky) []string { return when(!s.site.Wind.Known, "wind", "") },
	"wind-rod":         func(s sky) []string { return both(s.noGas(), s.windy()) },
	"wind-rod-stop":    func(s sky) []string { return both(s.noGas(), s.windy(), s.noShelter()) },
}

func (s sky) falling() []string {
	return when(s.site.Wet == job.Rain || s.site.Wet == job.Snow, "wet", string(s.site.Wet))
}

func (s sky) shelter() []string { return is("shelter", s.site.Shelter) }

func (s sky) noShelter() []string {
	return when(s.site.Shelter != job.Yes, "shelter", string(s.site.Shelter))
}

func wetSteel(s sky) []string {
	w := s.site.Wet
	return when(w == job.Damp || w == job.Mud || w == "", "wet", string(w))
}

func (s sky) coldAir() []string {
	air := s.site.Air
	return when(air.Known && float64(air.V) < s.limit(0), "air", air.V.Text(s.sys))
}

// coldSteel: steel that nobody measured is no warmer than the air.
func coldSteel(s sky) []string {
	if !s.steel.Known {
		return both(when(true, "steel", ""), s.coldAir())
	}
	return when(float64(s.steel.V) < s.limit(0), "steel", s.steel.V.Text(s.sys))
}

func sweating(s sky) []string {
	if !s.steel.Known || !s.site.Air.Known || float64(s.site.Air.V-s.steel.V) < s.limit(0) {
		return nil
	}
	return []string{say("air", s.site.Air.V.Text(s.sys)), say("steel", s.steel.V.Text(s.sys))}
}

func (s sky) gas() []string {
	return when(s.process == GasShielded, "process", string(s.process))
}

func (s sky) noGas() []string {
	return when(s.process != GasShielded, "process", string(s.process))
}

func (s sky) windy() []string {
	w := s.site.Wind
	return when(w.Known && float64(w.V) > s.limit(0), "wind", w.V.Text(s.sys))
}
