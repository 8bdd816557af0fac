package plan

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed figures.csv
var figuresCSV string

// rate is one planning figure of the plan room in its own unit, with its range.
type rate struct {
	low, likely, high float64
	ref               source.Ref
	note              string
}

var rates = readRates()

func readRates() map[string]rate {
	all := map[string]rate{}
	for _, r := range source.Table("plan/figures.csv", figuresCSV) {
		all[r.Text("id")] = rate{r.Num("low"), r.Num("likely"), r.Num("high"), r.Ref(), r.Text("note")}
	}
	return all
}

// rateOf gives a planning figure; a wrong name is a programmer's error.
func rateOf(id string) rate {
	r, ok := rates[id]
	if !ok {
		panic("plan: no figure " + id + " in figures.csv")
	}
	return r
}
