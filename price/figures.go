package price

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed figures.csv
var figuresCSV string

// figure is one planning figure in SI units, with its origin.
type figure struct {
	low, likely, high float64
	ref               source.Ref
	note              string
}

// unitSI is what one of the tables' units is in SI; °C stay.
var unitSI = map[string]float64{
	"1": 1, "": 1, "min": 60, "h": 3600, "m/h": 1.0 / 3600, "mm": 1e-3, "min/100mm": 600, "h/in": 3600 / 0.0254,
	"km/h": 1 / 3.6, "kg": 1, "kg/m": 1, "kg/h": 1.0 / 3600, "°C": 1,
}

var figures = readFigures("figures.csv", figuresCSV)

func readFigures(file, text string) map[string]figure {
	all := map[string]figure{}
	for _, r := range source.Table("price/"+file, text) {
		f := 1.0
		if r.Has("unit") {
			var ok bool
			if f, ok = unitSI[r.Text("unit")]; !ok {
				panic("price: " + file + ": unit " + r.Text("unit"))
			}
		}
		id := r.Text("id")
		if r.Has("kind") {
			id = r.Text("kind") + "/" + id
		}
		if _, twice := all[id]; twice {
			panic("price: " + file + ": " + id + " twice")
		}
		all[id] = figure{r.Num("low") * f, r.Num("likely") * f, r.Num("high") * f, r.Ref(), r.Text("note")}
	}
	return all
}

// fig gives a planning figure; a wrong name is a programmer's error.
func fig(id string) figure { return pick(figures, "figures.csv", id) }

func pick(table map[string]figure, file, id string) figure {
	f, ok := table[id]
	if !ok {
		panic("price: no figure " + id + " in " + file)
	}
	return f
}
