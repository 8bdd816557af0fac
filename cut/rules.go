package cut

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed rules.csv
var rulesCSV string

// A rule is one figure of the trade in SI units, with its origin.
type rule struct {
	low, likely, high float64
	ref               source.Ref
	note              string
}

var rules = mustReadRules(rulesCSV)

// unitSI is what one of the table's unit is in SI. dB, A and V stay as they are.
var unitSI = map[string]float64{
	"1": 1, "A": 1, "V": 1, "dB": 1, "mm": 1e-3, "m": 1, "mm/m": 1e-3, "A/mm": 1e3,
	"m/min": 1.0 / 60, "MJ/kg": 1e6, "deg": math.Pi / 180, "kg/m3": 1, "h": 3600,
}

func mustReadRules(text string) map[string]rule {
	all := map[string]rule{}
	for _, r := range source.Table("rules.csv", text) {
		f, ok := unitSI[r.Text("unit")]
		if !ok {
			panic("cut: rules.csv: unit " + r.Text("unit"))
		}
		all[r.Text("name")] = rule{r.Num("low") * f, r.Num("likely") * f, r.Num("high") * f, r.Ref(), r.Text("note")}
	}
	return all
}

// figure gives a rule by name; a wrong name is a programmer's error.
func figure(name string) rule {
	r, ok := rules[name]
	if !ok {
		panic("cut: no rule " + name + " in rules.csv")
	}
	return r
}

// span gives the rule's range as a quantity.
func span[T ~float64](r rule) q.Of[T] { return q.Of[T]{Low: T(r.low), High: T(r.high)} }

// length prints a length in both systems.
func length(l q.Length) string { return l.Text(q.SI) }

// lengths prints a range of lengths in both systems.
func lengths(r q.Of[q.Length]) string { return r.Text(q.SI) }

// amps prints a current band.
func amps(r q.Of[q.Current]) string { return r.Text(q.SI) }

// positive refuses a length that cannot be.
func positive(what string, l q.Length) error {
	if l > 0 && !math.IsInf(float64(l), 0) {
		return nil
	}
	return fmt.Errorf("%s must be more than 0 mm, not %.4g mm", what, l.MM())
}
