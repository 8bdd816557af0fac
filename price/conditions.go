package price

import (
	_ "embed"
	"fmt"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// What slows the work, what part of it the arc burns, and what may be hidden:
// the tables slow.csv, operating.csv, hidden.csv and classes.csv and the facts
// that pick their rows. A fact that is not known counts between no and yes.

//go:embed slow.csv
var slowCSV string

//go:embed operating.csv
var operatingCSV string

//go:embed hidden.csv
var hiddenCSV string

//go:embed weather.csv
var weatherCSV string

//go:embed classes.csv
var classesCSV string

var (
	slowRows      = source.ReadFigures("price/slow.csv", slowCSV, unitSI)
	operatingRows = source.ReadFigures("price/operating.csv", operatingCSV, unitSI)
	hiddenRows    = source.ReadFigures("price/hidden.csv", hiddenCSV, unitSI)
	weatherLimits = readWeather()
	classRows     = readClasses()
)

type limit struct {
	value float64 // SI
	ref   source.Ref
}

func readWeather() map[string]limit {
	all := map[string]limit{}
	for _, r := range source.Table("price/weather.csv", weatherCSV) {
		f, ok := unitSI[r.Text("unit")]
		if !ok {
			panic("price: weather.csv: unit " + r.Text("unit"))
		}
		all[r.Text("id")] = limit{r.Num("value") * f, r.Ref()}
	}
	return all
}

// ownRules says whether the site lets nobody in without its own papers.
func ownRules(rules []job.SiteRule) bool {
	free := []job.SiteRule{"farm", "forest", "construction", "public-road"}
	return slices.ContainsFunc(rules, func(r job.SiteRule) bool { return !slices.Contains(free, r) })
}

// slowing registers the factors on the time of hands-on work.
func (m *model) slowing() {
	add := func(group, id string) int { return m.figure(group, slowRows.Of(id)) }
	m.access, m.weather, m.crew = add("access", accessRow(m.call)), add("weather", weatherRow(m.call.Trip)), add("crew", crewRow(m.call.Trip))
}

// accessRow picks the row of the worst place of the call.
func accessRow(c Call) string {
	row := "access-easy"
	switch {
	case c.Trip.AtHeight == job.Yes || c.Trip.Confined == job.Yes || slices.ContainsFunc(c.Items, func(w Work) bool { return w.Inside == job.Yes }):
		return "access-hard"
	case slices.ContainsFunc(c.Items, func(w Work) bool { return w.Access == job.OneSide }):
		return "access-minor"
	case c.Trip.AtHeight == job.Unknown || c.Trip.Confined == job.Unknown || slices.ContainsFunc(c.Items, func(w Work) bool { return w.Access == "" }):
		row = "access-unknown"
	}
	return row
}

func weatherRow(t Trip) string {
	wet := t.Wet == job.Rain || t.Wet == job.Snow || t.Wet == job.Mud
	cold := t.Air.Known && float64(t.Air.V) < weatherLimits["cold"].value
	hot := t.Air.Known && float64(t.Air.V) > weatherLimits["hot"].value
	windy := t.Wind.Known && float64(t.Wind.V) > weatherLimits["wind"].value
	switch {
	case (wet || cold || hot || windy) && t.Shelter == job.Yes:
		return "weather-shelter"
	case wet || cold || hot || windy:
		return "weather-bad"
	case t.Wet == "" && !t.Air.Known && !t.Wind.Known:
		return "weather-unknown"
	}
	return "weather-fair"
}

func crewRow(t Trip) string {
	if t.Alone == job.No {
		return "crew-helper"
	}
	return "crew-alone"
}

// operatingRow picks the operating factor: hard where he welds overhead or
// inside. A preheated part is not hard by itself: its re-heating is a step of
// its own, and would be counted twice.
func operatingRow(w Work, t Trip) string {
	if w.Position == job.Overhead || w.Inside == job.Yes || t.Confined == job.Yes {
		return "hard"
	}
	return "site"
}

// operating registers the operating factor of an item. The welder's own figure
// is taken as that of good access, and the hard row moves with it.
func (m *model) operating(w Work, own q.Maybe[q.Ratio]) (int, error) {
	row := operatingRows.Of(operatingRow(w, m.call.Trip))
	if own.Known {
		if !(own.V > 0 && own.V <= 1) {
			return 0, fmt.Errorf("factors.operating_factor must be between 0 and 100 %%, not %.4g %%", float64(own.V)*100)
		}
		usual, s := operatingRows.Of("site").Likely, fig("own-spread")
		likely := row.Likely * float64(own.V) / usual
		row = figure{Low: likely * s.Low, Likely: likely, High: min(likely*s.High, 1), Ref: s.Ref, Note: fmt.Sprintf("your own %.3g %% for good access against the handbook's %.3g %%", float64(own.V)*100, usual*100)}
	}
	return m.falling("welding", row), nil
}

// hidden registers what may be hidden at an item.
func (m *model) hidden(i int, it *itemModel) {
	h := it.w.Hidden
	row := func(id string) figure { return hiddenRows.Of(id) }
	facts := h.facts()
	grow, none := figure{Ref: row("growth/ends-none").Ref}, 1.0
	for _, id := range facts.growth {
		f := row("growth/" + id)
		grow.Low, grow.Likely, grow.High = grow.Low+f.Low, grow.Likely+f.Likely, grow.High+f.High
	}
	for _, id := range facts.second {
		none *= 1 - row("second/"+id).Likely // none of the causes has made one
	}
	col := func(group string) string { return fmt.Sprintf("%s#%d", group, i) }
	it.growth = m.add("growth", col("growth"), [3]float64{grow.Low, grow.Likely, grow.High}, grow.Ref, "")
	it.second = m.add("second", col("second"), [3]float64{0, 0, 1 - none}, row("second/base").Ref, "")
	s := row("size/size")
	it.size = m.add("second", col("size"), [3]float64{s.Low, s.Likely, s.High}, s.Ref, s.Note)
	m.drivers[it.growth].seen, m.drivers[it.second].seen, m.drivers[it.second].chance = true, true, true
}

// hiddenFacts are the rows of hidden.csv that hold.
type hiddenFacts struct{ growth, second []string }

func (h Hidden) facts() hiddenFacts {
	f := hiddenFacts{second: []string{"base"}}
	switch h.Ends {
	case "both":
		f.growth = append(f.growth, "ends-both")
	case "at-edge":
		f.growth = append(f.growth, "ends-at-edge")
	case "one":
		f.growth = append(f.growth, "ends-one")
	default:
		f.growth = append(f.growth, "ends-none")
	}
	both := func(a job.Answer, id string) {
		switch a {
		case job.Yes:
		case job.Unknown:
			id += "-unknown"
		default:
			return
		}
		f.growth, f.second = append(f.growth, id), append(f.second, id)
	}
	both(h.Repaired, "old-repair")
	both(h.PlateOver, "plate-over")
	if h.SteelUnknown {
		f.growth = append(f.growth, "unknown-steel")
	}
	if h.Mirror == job.Unknown {
		f.second = append(f.second, "mirror-unknown")
	}
	if h.Others == job.Yes {
		f.second = append(f.second, "more-seen")
	}
	return f
}

type classRow struct {
	share q.Of[q.Ratio]
	text  string
	ref   source.Ref
}

func readClasses() map[string]classRow {
	all := map[string]classRow{}
	for _, r := range source.Table("price/classes.csv", classesCSV) {
		all[r.Text("id")] = classRow{q.Span(q.Ratio(r.Num("low")), q.Ratio(r.Num("high"))), r.Text("text"), r.Ref()}
	}
	return all
}

// Class is the trade's rule of thumb for hidden damage: which class the facts
// fall in, and the share of the price that the trade adds.
type Class struct {
	ID    string        `json:"id"`     // paint-only, visible or repaired
	Text  string        `json:"text"`   // which facts
	Share q.Of[q.Ratio] `json:"share"`  // that the trade adds
	Ref   source.Ref    `json:"source"` // where it is from
}

// ClassOf gives the contingency class of an item's facts.
func ClassOf(h Hidden) Class {
	id := "visible"
	switch {
	case h.Repaired == job.Yes || h.PlateOver == job.Yes || h.SteelUnknown:
		id = "repaired"
	case h.PaintOnly:
		id = "paint-only"
	}
	r, ok := classRows[id]
	if !ok {
		panic("price: no class " + id + " in classes.csv")
	}
	return Class{id, r.text, r.share, r.ref}
}
