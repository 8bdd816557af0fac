// Minimum preheat by a rule of the steel's family: wear plate, castings,
// shafts, manganese and stainless steel; and of very strong rods.
//
// Rows in special_minima.csv, adders for wear plate in adders.csv. Thickness is
// that of a single plate. Of several rows the highest counts. A rule that asks
// for no preheat has the value 0 °C.

package heat

import (
	"fmt"
	"math"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const idSpecial = "preheat-special"

// SpecialInput is what the rules of the families take.
type SpecialInput struct {
	Group        Group
	Carbon       q.Maybe[q.Percent]
	Thickness    q.Length // single plate
	HeatInput    q.HeatInput
	Restraint    job.Restraint          // unknown counts as high
	Air          q.Maybe[q.Temperature] // air temperature, for the weather adder
	Damp         bool
	StrongFiller bool // low-alloy filler of the highest strength, about 690 MPa yield and more
}

type specialRow struct {
	overC        float64
	overMM, toMM float64
	min          float64 // °C; 0 is no preheat
	adders       bool
	rule         string
	ref          source.Ref
}

type adder struct {
	add, limit float64
	rule       string
	ref        source.Ref
}

var (
	specialTable = loadSpecial()
	adderTable   = loadAdders()

	adderRestraint = adderTable["restraint"]
	adderHeatInput = adderTable["heat-input"]
	adderWeather   = adderTable["weather"]
)

func loadSpecial() map[Group][]specialRow {
	all := map[Group][]specialRow{}
	for _, r := range load("special_minima.csv") {
		row := specialRow{r.Or("over_c", 0), r.Or("over_mm", 0), r.Or("to_mm", math.Inf(1)), r.Or("min_c", 0),
			r.Yes("adders"), r.Text("rule"), r.Ref()}
		for _, g := range strings.Fields(r.Text("group")) {
			all[Group(g)] = append(all[Group(g)], row)
		}
	}
	return all
}

func loadAdders() map[string]adder {
	all := map[string]adder{}
	for _, r := range load("adders.csv") {
		all[r.Text("adder")] = adder{r.Num("add_k"), r.Or("limit", 0), r.Text("rule"), r.Ref()}
	}
	return all
}

// applies says whether the row holds for the carbon and the thickness.
func (r *specialRow) applies(in *SpecialInput) bool {
	mm := in.Thickness.MM()
	const eps = slack * 1e3 // mm
	if mm <= r.overMM+eps && r.overMM > 0 || mm > r.toMM+eps {
		return false
	}
	return r.overC == 0 || in.Carbon.Known && float64(in.Carbon.V) > r.overC
}

// withAdders adds what the steelmakers add for wear plate; say is called for each.
func (r *specialRow) withAdders(in *SpecialInput, say func(adder)) float64 {
	t := r.min
	if !r.adders {
		return t
	}
	add := func(a adder) {
		t += a.add
		if say != nil {
			say(a)
		}
	}
	if in.Restraint != job.LowRestraint && in.Restraint != job.MediumRestraint {
		add(adderRestraint)
	}
	if in.HeatInput.KJPerMM() < adderHeatInput.limit {
		add(adderHeatInput)
	}
	if in.Damp || in.Air.Known && in.Air.V.C() < adderWeather.limit {
		add(adderWeather)
	}
	return t
}

// specialMinimum gives the highest row of the family and of the filler.
func specialMinimum(in *SpecialInput) (best *specialRow, t float64) {
	for pass := range 2 {
		g := in.Group
		if pass == 1 {
			if !in.StrongFiller || !in.Group.row().equivalents {
				break
			}
			g = strongFiller
		}
		rows := specialTable[g]
		for i := range rows {
			if !rows[i].applies(in) {
				continue
			}
			if v := rows[i].withAdders(in, nil); best == nil || v > t {
				best, t = &rows[i], v
			}
		}
	}
	return best, t
}

// MinimumBySpecialRule gives the minimum preheat by the rule of the family or
// of the filler; an error where there is no such rule. 0 °C means no preheat.
func MinimumBySpecialRule(in SpecialInput) (source.Result[q.Temperature], error) {
	var none source.Result[q.Temperature]
	if err := in.Group.valid(); err != nil {
		return none, err
	}
	if err := positive(idSpecial, "thickness", in.Thickness.MM(), "mm"); err != nil {
		return none, err
	}
	row, v := specialMinimum(&in)
	if row == nil {
		return none, fmt.Errorf("%s: there is no rule of its own for %s; use preheat-cet, preheat-si or preheat-prequalified", idSpecial, in.Group.Title())
	}
	t := q.Temperature(v)
	inputs := []source.Input{input("steel", in.Group.Title()), input("thickness", millimetres(in.Thickness))}
	if in.Carbon.Known {
		inputs = append(inputs, input("carbon", percent(in.Carbon.V)))
	}
	steps := []source.Step{{Name: "rule", Text: row.rule, Value: row.min, Unit: "°C"}}
	var also []source.Ref
	if row.adders {
		inputs = append(inputs, input("heat input", kilojoules(in.HeatInput)), input("restraint", restraintWord(in.Restraint)))
		row.withAdders(&in, func(a adder) {
			steps = append(steps, source.Step{Name: "add", Text: a.rule, Value: a.add, Unit: "K"})
			also = append(also, a.ref)
		})
	}
	text := degrees(t)
	why, skip := whySlowCooling, skipCrackBesideWeld
	if t == 0 {
		text = "no preheat"
		why, skip = "This steel suffers from heat, not from cold.", "Heat makes it brittle or lets it rust and crack later."
	}
	steps = append(steps, source.Step{Name: "minimum preheat", Value: t.C(), Unit: "°C", Text: text})
	var notes []string
	if row.ref.Status.Weak() {
		notes = append(notes, "not from a published standard: ask the steelmaker, and let the higher figure of the methods decide")
	}
	return source.Result[q.Temperature]{Value: t, Basis: source.Basis{
		Method: idSpecial, Title: "Minimum preheat by the rule of the family",
		Inputs: inputs, Steps: steps, Ref: row.ref, Also: also, Notes: notes, Why: why, Skip: skip,
	}}, nil
}
