package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// WeldForm names a row of the shape factors.
type WeldForm string

// Weld forms with shape factors (shape_factors.csv).
const (
	BeadOnPlate  WeldForm = "bead-on-plate"
	ButtFill     WeldForm = "butt-fill"
	CornerFillet WeldForm = "corner-fillet"
	TFillet      WeldForm = "t-fillet"
)

// Shape holds the shape factors of one weld form. F2 is a range where it
// depends on the heat input for the thickness; its high end gives the longer
// cooling time.
type Shape struct {
	F2 q.Of[q.Ratio] `json:"f2"`
	F3 q.Ratio       `json:"f3"`
}

type shapeRow struct {
	form  WeldForm
	title string
	shape Shape
	ref   source.Ref
}

type windowRow struct {
	group  Group
	window q.Of[q.Time]
	note   string
	ref    source.Ref
}

type limitRow struct {
	over float64
	max  q.Vickers
	text string
	ref  source.Ref
}

var (
	shapeTable  = loadShapes()
	windowTable = loadWindows()
	limitTable  = loadHardnessLimits()
)

func loadShapes() []shapeRow {
	var all []shapeRow
	for _, r := range load("shape_factors.csv") {
		all = append(all, shapeRow{WeldForm(r.Text("form")), r.Text("title"),
			Shape{q.Span(q.Ratio(r.Num("f2_low")), q.Ratio(r.Num("f2_high"))), q.Ratio(r.Num("f3"))}, r.Ref()})
	}
	return all
}

func loadWindows() []windowRow {
	var all []windowRow
	for _, r := range load("cooling_windows.csv") {
		all = append(all, windowRow{Group(r.Text("group")), q.Span(q.Time(r.Num("low_s")), q.Time(r.Num("high_s"))), r.Text("note"), r.Ref()})
	}
	return all
}

func loadHardnessLimits() []limitRow {
	var all []limitRow
	for _, r := range load("hardness_limits.csv") {
		all = append(all, limitRow{r.Num("over_h"), q.Vickers(r.Num("max_hv")), r.Text("text"), r.Ref()})
	}
	return all
}

// ShapeFactors gives the shape factors of a weld form.
func ShapeFactors(form WeldForm) (source.Result[Shape], error) {
	for _, r := range shapeTable {
		if r.form == form {
			return source.Result[Shape]{Value: r.shape, Basis: source.Basis{
				Method: "shape-factors", Title: "Shape factors for the cooling time",
				Inputs: []source.Input{input("weld", r.title)},
				Steps: []source.Step{{Name: "F2, thin plate", Value: float64(r.shape.F2.High), Text: fmt.Sprintf("%.2g to %.2g", r.shape.F2.Low, r.shape.F2.High)},
					{Name: "F3, thick plate", Value: float64(r.shape.F3)}},
				Ref: r.ref,
				Why: "A fillet loses heat into more plates than a bead on a flat plate, so it cools faster.", Skip: "The cooling time comes out too long and the hardness too low.",
			}}, nil
		}
	}
	return source.Result[Shape]{}, fmt.Errorf("weld form %q is not in the table; give bead-on-plate, butt-fill, corner-fillet or t-fillet", string(form))
}

// CoolingWindow gives the usual window of the cooling time for a group of
// steels; an error where none is published.
func CoolingWindow(group Group) (source.Result[q.Of[q.Time]], error) {
	for _, r := range windowTable {
		if r.group != group {
			continue
		}
		b := source.Basis{
			Method: "cooling-window", Title: "Usual window of the cooling time",
			Inputs: []source.Input{input("steel", group.Title())},
			Steps:  []source.Step{{Name: "window", Text: fmt.Sprintf("%.3g to %.3g s", r.window.Low, r.window.High), Value: float64(r.window.High), Unit: "s"}},
			Ref:    r.ref, Notes: []string{"usual figures, recalled: the steelmaker's data sheet goes first"},
			Why: "Between these times the steel beside the weld is neither brittle nor soft.", Skip: "The weld is sound and the plate beside it is not.",
		}
		if r.note != "" {
			b.Notes = append(b.Notes, r.note)
		}
		return source.Result[q.Of[q.Time]]{Value: r.window, Basis: b}, nil
	}
	return source.Result[q.Of[q.Time]]{}, fmt.Errorf("cooling-window: no usual window for %s; judge by the hardness, or ask the steelmaker", group.Title())
}

// HardnessLimit gives the highest hardness beside the weld that is usually
// taken to stay free of cold cracks, by the hydrogen of the filler.
func HardnessLimit(h q.Hydrogen) (source.Result[q.Vickers], error) {
	const id = "hardness-limit"
	if err := positive(id, "hydrogen", float64(h), "ml/100 g"); err != nil {
		return source.Result[q.Vickers]{}, err
	}
	for _, r := range limitTable {
		if float64(h) > r.over {
			return source.Result[q.Vickers]{Value: r.max, Basis: source.Basis{
				Method: id, Title: "Hardness limit beside the weld",
				Inputs: []source.Input{input("hydrogen", hydrogenText(h))},
				Steps:  []source.Step{{Name: "limit", Text: r.text, Value: float64(r.max), Unit: "HV10"}},
				Ref:    r.ref,
				Also:   []source.Ref{source.At("dearden-oneill", "under 350 HV no cold cracks, over 400 HV prone", source.Read)},
				Notes:  []string{"under 350 HV cold cracks are not expected, over 400 HV the steel is prone to them (Dearden, O'Neill)"},
				Why:    "Hard steel cracks with less hydrogen.", Skip: skipCrackBesideWeld,
			}}, nil
		}
	}
	panic("heat: hardness_limits.csv does not reach down to 0")
}
