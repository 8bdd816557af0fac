package book

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed holds.csv
var holdsCSV string

//go:embed figures.csv
var figuresCSV string

var (
	fixedHolds = readHolds()
	figures    = readFigures()
)

func readHolds() []HoldLine {
	var all []HoldLine
	for _, r := range source.Table("book/holds.csv", holdsCSV) {
		r.Ref() // checks source and status
		all = append(all, HoldLine{ID: r.Text("id"), Section: r.Text("section"), Text: r.Text("text"), Why: r.Text("why"), Skip: r.Text("skip")})
	}
	return all
}

func readFigures() map[string]float64 {
	all := map[string]float64{}
	for _, r := range source.Table("book/figures.csv", figuresCSV) {
		r.Ref()
		all[r.Text("id")] = r.Num("value")
	}
	return all
}

// GougeGrowth is by what factor an excavation may outgrow the plan before it is
// found more.
func GougeGrowth() float64 { return figure("gouge-growth") }

// figure gives a figure of the trade. An unknown id is a programmer's error.
func figure(id string) float64 {
	v, ok := figures[id]
	if !ok {
		panic("book: no figure " + id + " in figures.csv")
	}
	return v
}
