// Waiting time between the end of welding (or of the post-heat) and the final
// crack test, because hydrogen cracks come late.
//
// hold_table23.csv: EN 1090-2:2008 Table 23 by throat or thickness, heat input
// and yield strength; the 2018 edition changed it. hold_rules.csv: AWS D1.1,
// EN 1011-2 clause 18, CSA W59, offshore and shop practice.
// HoldTime gives the table's figure (for A514 the 48 h of AWS D1.1);
// HoldGoverning gives the longest of all that apply.

package heat

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const idHold = "hold-time"

// HoldInput is what the waiting time takes.
type HoldInput struct {
	Group     Group
	Size      q.Length // throat of a fillet, or thickness of a butt weld
	Thickness q.Maybe[q.Length]
	HeatInput q.HeatInput
	Restraint job.Restraint
}

type holdRow struct {
	overMM, toMM float64
	overQ, toQ   float64
	low, high    q.Time
	ref          source.Ref
}

type holdRule struct {
	id      string
	groups  []Group
	over    q.Length
	hours   q.Time
	governs bool
	text    string
	ref     source.Ref
}

var (
	holdTable = loadHoldTable()
	holdRules = loadHoldRules()
)

func loadHoldTable() []holdRow {
	var all []holdRow
	for _, r := range load("hold_table23.csv") {
		all = append(all, holdRow{r.Num("over_mm"), r.Or("to_mm", math.Inf(1)), r.Num("over_q"), r.Or("to_q", math.Inf(1)),
			q.Time(r.Num("low_h")) * q.Hour, q.Time(r.Num("high_h")) * q.Hour, r.Ref()})
	}
	return all
}

func loadHoldRules() []holdRule {
	var all []holdRule
	for _, r := range load("hold_rules.csv") {
		h := holdRule{id: r.Text("rule"), over: q.Length(r.Num("over_mm")) * q.Millimetre, hours: q.Time(r.Num("hours")) * q.Hour,
			governs: r.Yes("governs"), text: r.Text("text"), ref: r.Ref()}
		for _, g := range strings.Fields(r.Text("groups")) {
			h.groups = append(h.groups, Group(g))
		}
		all = append(all, h)
	}
	return all
}

// applies says whether the rule speaks of this joint.
func (h *holdRule) applies(in *HoldInput) bool {
	g := in.Group.orUnlisted()
	thick := max(in.Size, in.Thickness.Or(0))
	return slices.Contains(h.groups, g) && (h.over == 0 || thick > h.over+slack)
}

func holdLookup(in *HoldInput) *holdRow {
	mm, kj := in.Size.MM(), in.HeatInput.KJPerMM()
	const eps = 1e-6
	for i := range holdTable {
		if r := &holdTable[i]; mm > r.overMM+eps && mm <= r.toMM+eps && kj > r.overQ+eps && kj <= r.toQ+eps {
			return r
		}
	}
	panic("heat: hold_table23.csv has a hole")
}

func checkHold(in *HoldInput) error {
	if err := in.Group.valid(); err != nil {
		return err
	}
	if err := positive(idHold, "size", in.Size.MM(), "mm"); err != nil {
		return err
	}
	return positive(idHold, "heat input", in.HeatInput.KJPerMM(), "kJ/mm")
}

// standardHold is the figure of the table or of AWS D1.1, with its source.
func standardHold(in *HoldInput) (q.Time, source.Ref, string) {
	row := holdLookup(in)
	switch column := in.Group.row().hold; column {
	case "none":
		return 0, source.At("practice", "austenitic steel", source.Practice), "austenitic steel: wait until it is cold"
	case "A514":
		for i := range holdRules {
			if holdRules[i].id == "a514" {
				return holdRules[i].hours, holdRules[i].ref, holdRules[i].text
			}
		}
		panic("heat: hold_rules.csv has no row a514")
	case "S235-S420":
		return row.low, row.ref, "column " + column
	default:
		return row.high, row.ref, "column " + column
	}
}

// HoldTime gives the waiting time of EN 1090-2:2008 Table 23, for A514 and its
// kin that of AWS D1.1. 0 means: as soon as it is cold. Stricter general rules
// are listed in the steps; HoldGoverning takes them.
func HoldTime(in HoldInput) (source.Result[q.Time], error) {
	if err := checkHold(&in); err != nil {
		return source.Result[q.Time]{}, err
	}
	v, ref, column := standardHold(&in)
	b := holdBasis(&in)
	b.Steps = append([]source.Step{{Name: "waiting time", With: column, Value: v.Hours(), Unit: "h", Text: hours(v)}}, ruleSteps(&in, v)...)
	b.Ref = ref
	return source.Result[q.Time]{Value: v, Basis: b}, nil
}

// HoldGoverning gives the longest waiting time of all rules that apply.
func HoldGoverning(in HoldInput) (source.Result[q.Time], error) {
	if err := checkHold(&in); err != nil {
		return source.Result[q.Time]{}, err
	}
	v, ref, column := standardHold(&in)
	b := holdBasis(&in)
	b.Method, b.Title = "hold-governing", "Waiting time before the final crack test, the longest that applies"
	b.Steps = append([]source.Step{{Name: "standard", With: column, Value: v.Hours(), Unit: "h", Text: hours(v)}}, ruleSteps(&in, v)...)
	b.Also = append(b.Also, ref)
	for i := range holdRules {
		r := &holdRules[i]
		if !r.applies(&in) || !r.governs {
			continue
		}
		b.Also = append(b.Also, r.ref)
		if r.hours > v {
			v, ref = r.hours, r.ref
		}
	}
	b.Ref = ref
	b.Steps = append(b.Steps, source.Step{Name: "governing", Formula: "the longest", Value: v.Hours(), Unit: "h", Text: hours(v)})
	return source.Result[q.Time]{Value: v, Basis: b}, nil
}

// ruleSteps lists the general rules that speak of this joint; v is the standard's figure.
func ruleSteps(in *HoldInput, v q.Time) []source.Step {
	var steps []source.Step
	for i := range holdRules {
		r := &holdRules[i]
		if !r.applies(in) || r.id == "restraint" && in.Restraint != job.HighRestraint {
			continue
		}
		name := "also"
		switch {
		case !r.governs:
			name = "for information"
		case r.hours > v:
			name = "stricter rule"
		}
		steps = append(steps, source.Step{Name: name, With: r.ref.String(), Value: r.hours.Hours(), Unit: "h", Text: r.text})
	}
	return steps
}

func holdBasis(in *HoldInput) source.Basis {
	return source.Basis{
		Method: idHold, Title: "Waiting time before the final crack test",
		Inputs: []source.Input{input("steel", in.Group.Title()), input("throat or thickness", millimetres(in.Size)), input("heat input", kilojoules(in.HeatInput)),
			input("restraint", restraintWord(in.Restraint))},
		Notes: []string{"counted from the end of welding, or of the post-heat", "the 2018 edition of EN 1090-2 changed Table 23: check it",
			"looking at the cold weld may start at once; the last crack test waits", "a post-heat for hydrogen may shorten the wait (EN 1011-2)",
			fmt.Sprintf("the table's column for this steel: %s", in.Group.row().hold)},
		Why:  "Hydrogen wanders for a day or two before it cracks the steel.",
		Skip: "The test is clean on Monday and the part is cracked on Wednesday.",
	}
}
