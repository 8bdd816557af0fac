package joint

import (
	_ "embed"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed defaults.csv
var defaultsCSV string

// A rule is one figure of the trade in SI units, with its origin.
type rule struct {
	low, likely, high float64
	ref               source.Ref
	note              string
}

var rules = mustReadRules(defaultsCSV)

var unitSI = map[string]float64{"1": 1, "mm": 1e-3, "deg": math.Pi / 180, "kg/m3": 1}

func mustReadRules(text string) map[string]rule {
	all := map[string]rule{}
	for _, r := range source.Table("defaults.csv", text) {
		f, ok := unitSI[r.Text("unit")]
		if !ok {
			panic("joint: defaults.csv: unit " + r.Text("unit"))
		}
		all[r.Text("name")] = rule{r.Num("low") * f, r.Num("likely") * f, r.Num("high") * f, r.Ref(), r.Text("note")}
	}
	return all
}

// figure gives a rule by name; a wrong name is a programmer's error.
func figure(name string) rule {
	r, ok := rules[name]
	if !ok {
		panic("joint: no rule " + name + " in defaults.csv")
	}
	return r
}

// mm gives the rule's planning value as a length in mm.
func (r rule) mm() float64 { return r.likely * 1e3 }

func (r rule) length() q.Length { return q.Length(r.likely) }

func (r rule) angle() q.Angle { return q.Angle(r.likely) }

func (r rule) lengths() q.Of[q.Length] {
	return q.Of[q.Length]{Low: q.Length(r.low), High: q.Length(r.high)}
}
