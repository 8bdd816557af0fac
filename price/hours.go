package price

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed steps.csv
var stepsCSV string

// Billing says how a step is charged.
type Billing string

const (
	AsLabour  Billing = "labour"
	AsStandby Billing = "standby"
	AsTravel  Billing = "travel"
)

// Step is one step of the work with its time, for the damage as it is seen: the
// low end with everything at its best, the high end with everything at its
// worst. What may be hidden is in the estimate, not here.
type Step struct {
	ID    string        `json:"id"`
	Item  string        `json:"item,omitempty"`  // name of the place; empty for the whole call
	Place int           `json:"place,omitempty"` // its number in the call, from 1
	Label string        `json:"label"`
	Bill  Billing       `json:"bill"`
	Time  Range[q.Time] `json:"time"`
	Basis source.Basis  `json:"basis"`
}

type stepText struct {
	label, formula, why, skip string
	bill                      Billing
}

var stepTexts = readStepTexts()

func readStepTexts() map[string]stepText {
	all := map[string]stepText{}
	for _, r := range source.Table("price/steps.csv", stepsCSV) {
		b := Billing(r.Text("bill"))
		if b != AsLabour && b != AsStandby && b != AsTravel {
			panic("price: steps.csv: billed as " + string(b))
		}
		all[r.Text("id")] = stepText{r.Text("label"), r.Text("formula"), r.Text("why"), r.Text("skip"), b}
	}
	return all
}

// Hours gives every step of a call in the order of the work.
func Hours(c Call, shop job.Shop) ([]Step, error) {
	m, err := newModel(c, shop)
	if err != nil {
		return nil, err
	}
	return m.hours(), nil
}

// ends are the three scenarios of what is seen: best, planned, worst.
func (m *model) ends() [3]*outcome {
	var all [3]*outcome
	x := make([]float64, len(m.drivers))
	for n := range all {
		for i := range m.drivers {
			d := &m.drivers[i]
			switch {
			case n == 1 || d.seen:
				x[i] = d.planned()
			default:
				x[i] = d.at(float64(n) / 2)
			}
		}
		all[n] = m.outcome()
		m.run(x, all[n])
	}
	return all
}

func (m *model) hours() []Step {
	e := m.ends()
	var all []Step
	for k, info := range m.steps {
		low, likely, high := e[0].times[k], e[1].times[k], e[2].times[k]
		if high <= 0 {
			continue
		}
		low, high = min(low, likely), max(high, likely) // at the best he may wait, at the worst come back: the plan stands between
		text, ok := stepTexts[info.id]
		if !ok {
			panic("price: no step " + info.id + " in steps.csv")
		}
		s := Step{ID: info.id, Label: text.label, Bill: text.bill, Time: Range[q.Time]{q.Time(low), q.Time(likely), q.Time(high)}}
		if info.item >= 0 {
			s.Item, s.Place = m.items[info.item].w.name(info.item), info.item+1
		}
		if info.id == "again" && e[1].second {
			s.Label += " for the final test"
		}
		s.Basis = m.stepBasis(info, text, s, e[1])
		all = append(all, s)
	}
	return all
}

// stepBasis tells how a step's time came about.
func (m *model) stepBasis(info stepInfo, text stepText, s Step, o *outcome) source.Basis {
	b := source.Basis{Method: "hours", Title: text.label, Formula: text.formula, Why: text.why, Skip: text.skip}
	var with []string
	use := func(n int, unit string, per float64) {
		d := &m.drivers[n]
		name := driverLabels[d.group]
		v := [3]float64{d.low / per, d.likely / per, d.high / per}
		b.Inputs = append(b.Inputs, source.Input{Name: name, Text: spanText(v, unit), From: d.note})
		if v[1] != 1 || unit != "" {
			with = append(with, trim(fmt.Sprintf("%.3g %s", v[1], unit)))
		}
		switch {
		case b.Ref == (source.Ref{}):
			b.Ref = d.ref
		case b.Ref != d.ref:
			b.Also = appendRef(b.Also, d.ref)
		}
	}
	slow := func(parts ...int) {
		for _, n := range parts {
			use(n, "", 1)
		}
	}
	var it *itemModel
	if info.item >= 0 {
		it = &m.items[info.item]
		if own, ok := it.w.Bases[info.id]; ok { // the plan's own working first
			b.Inputs, b.Steps, b.Ref = append(b.Inputs, own.Inputs...), append(b.Steps, own.Steps...), own.Ref
			b.Notes = append(b.Notes, own.Notes...)
		}
	}
	const minute, hour = 60.0, 3600.0
	switch info.id {
	case "drive":
		use(m.drive, "", 1)
		b.Inputs = append(b.Inputs, source.Input{Name: "one way", Text: q.Time(m.oneWay).Text(m.sys), From: m.driveFrom()})
		with = append(with, "2 × "+q.Time(m.oneWay).Text(m.sys))
		if n := o.trips; n > 1 {
			b.Notes = append(b.Notes, fmt.Sprintf("%.0f days: the work is longer than a day of %.0f h", n, m.day/hour))
		}
		if o.second {
			b.Notes = append(b.Notes, "a second visit for the final test is in it")
		}
	case "setup":
		use(m.setup, "min", minute)
		slow(m.weather, m.crew)
	case "induction":
		use(m.induction, "min", minute)
	case "clean":
		use(it.remove, "m", 1)
		use(m.clean, "m/h", 1/hour)
		slow(m.access, m.weather, m.crew)
	case "map":
		use(m.look, "min", minute)
		slow(m.access, m.weather, m.crew)
	case "gouge":
		use(it.gouge, "min", minute)
		slow(m.access, m.weather, m.crew)
	case "grind":
		use(it.remove, "m", 1)
		use(m.grind, "min for 100 mm", 600)
		with = append(with, fmt.Sprintf("%d side(s)", it.w.sides()))
		slow(m.access, m.weather, m.crew)
	case "prove":
		use(m.look, "min", minute)
		with = append(with, fmt.Sprintf("%d look(s)", it.w.looks()-1))
		slow(m.access, m.weather, m.crew)
	case "fit":
		use(it.backing, "m", 1)
		use(m.fitCut, "h for an inch", hour/0.0254)
		use(m.fit, "", 1)
		slow(m.access, m.weather, m.crew)
	case "preheat":
		use(it.preheat, "min", minute)
	case "soak":
		use(it.soak, "min", minute)
	case "weld":
		for _, r := range it.rods {
			use(r.count, "rods", 1)
			use(r.arc, "s of arc", 1)
		}
		use(it.operating, "of the time", 1)
		slow(m.weather)
		if it.w.Beads.Likely > 0 {
			b.Notes = append(b.Notes, fmt.Sprintf("%.3g min for each of %.0f beads in %.0f layers", float64(s.Time.Likely)/minute/it.w.Beads.Likely, it.w.Beads.Likely, it.w.Layers.Likely))
		}
		if it.reheats {
			b.Notes = append(b.Notes, "re-heating is a step of its own, and not in the operating factor")
		}
	case "reheat":
		if !it.w.Reheats.None() {
			use(it.reheat, "min", minute)
			b.Formula = "time of the torch"
			break
		}
		use(m.reheat, "min", minute)
		with = append(with, fmt.Sprintf("every %.0f min of welding", m.every/minute))
	case "waits":
		use(it.waits, "min", minute)
	case "post-heat":
		use(it.postHeat, "min", minute)
	case "cap":
		use(it.capLength, "m", 1)
		use(m.cap, "min for 100 mm", 600)
		slow(m.access, m.weather, m.crew)
	case "watch":
		use(m.watch, "min", minute)
	case "cool":
		for i := range m.items {
			use(m.items[i].cool, "min", minute)
		}
		b.Notes = append(b.Notes, "beyond the fire watch")
	case "hold":
		for i := range m.items {
			b.Inputs = append(b.Inputs, source.Input{Name: "hold time, " + m.items[i].w.name(i), Text: m.items[i].w.Hold.Text(m.sys)})
		}
		b.Ref = source.At("derived", "", source.Derived)
		b.Notes = append(b.Notes, "he waits, a day at most, while that is no dearer than coming back")
	case "test":
		use(m.test, "min", minute)
		slow(m.access, m.weather, m.crew)
	case "close":
		use(m.closing, "min", minute)
		slow(m.weather, m.crew)
	case "again":
		use(m.again, "min", minute)
		slow(m.weather, m.crew)
	}
	if i := slices.IndexFunc(b.Also, func(r source.Ref) bool { return r.Status != source.Derived }); b.Ref.Status == source.Derived && i >= 0 {
		b.Ref, b.Also[i] = b.Also[i], b.Ref // the rate is what can be doubted, not the length that it is for
	}
	b.Steps = append(b.Steps, source.Step{Name: "time", Formula: text.formula, With: strings.Join(with, ", "), Value: s.Time.Likely.Minutes(), Unit: "min",
		Text: spanText([3]float64{s.Time.Low.Minutes(), s.Time.Likely.Minutes(), s.Time.High.Minutes()}, "min")})
	return b
}

func (m *model) driveFrom() string {
	switch {
	case m.call.Trip.Drive.Known:
		return "given"
	case m.call.Trip.Distance.Known:
		return "from the distance; not billed by time"
	}
	return "assumed: neither distance nor time is known; not billed"
}

func appendRef(all []source.Ref, r source.Ref) []source.Ref {
	for _, o := range all {
		if o == r {
			return all
		}
	}
	return append(all, r)
}

// spanText prints a range, or the one value it has.
func spanText(v [3]float64, unit string) string {
	if v[0] == v[2] {
		return trim(fmt.Sprintf("%.3g %s", v[1], unit))
	}
	return trim(fmt.Sprintf("%.3g, %.3g to %.3g %s", v[1], v[0], v[2], unit))
}

func trim(s string) string { return strings.TrimRight(s, " ") }
