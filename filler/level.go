package filler

import (
	_ "embed"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Hydrogen levels: the mark on the tin is the most diffusible hydrogen that the
// dry rod may leave, in ml per 100 g of deposit. A rod with no mark gets the
// default of its class, on the cautious side; "uncontrolled" is the figure that
// AWS D1.1 uses in its hydrogen-control annex.

//go:embed designators.csv
var designatorsCSV string

type designator struct {
	mark string
	ml   q.Hydrogen
	ref  source.Ref
}

var designators = mustDesignators(designatorsCSV)

func mustDesignators(text string) []designator {
	var all []designator
	for _, r := range source.Table("designators.csv", text) {
		all = append(all, designator{r.Text("mark"), q.Hydrogen(r.Num("hydrogen_ml")), r.Ref()})
	}
	return all
}

func levelOf(mark string) (q.Hydrogen, bool) {
	for _, d := range designators {
		if d.mark == mark {
			return d.ml, true
		}
	}
	return 0, false
}

func levelMark(h q.Maybe[q.Hydrogen]) string {
	if !h.Known {
		return ""
	}
	for _, d := range designators {
		if d.ml == h.V {
			return d.mark
		}
	}
	return ""
}

// Uncontrolled is the level to plan with where nothing is known of the rod's dryness.
func Uncontrolled() q.Hydrogen {
	h, ok := levelOf("uncontrolled")
	if !ok {
		panic("filler: no row uncontrolled in designators.csv")
	}
	return h
}

// LevelName names a hydrogen level: "H4", "H16", "uncontrolled".
func LevelName(h q.Hydrogen) string {
	if name := levelMark(q.Known(h)); name != "" {
		return name
	}
	return short(float64(h)) + " ml/100 g"
}

// Level is the hydrogen to plan with for a dry rod of the class: its mark, else
// the limit the class sets itself, else the cautious default of its kind. A mark
// on a rod that is no low-hydrogen rod is not believed. The level is
// unknown for austenitic, nickel and manganese deposits: those hold their
// hydrogen, and the preheat methods for ferritic weld metal say nothing of them.
func (c Class) Level() q.Maybe[q.Hydrogen] {
	if c.Metal != Ferritic {
		return q.Maybe[q.Hydrogen]{}
	}
	if c.Mark.Known && c.LowHydrogen() {
		return c.Mark
	}
	return c.Hydrogen
}
