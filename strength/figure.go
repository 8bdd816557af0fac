package strength

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed figures.csv
var figuresCSV string

// figure is one single number of the trade.
type figure struct {
	value float64
	unit  string
	what  string
	ref   source.Ref
}

var figures = mustFigures()

func mustFigures() map[string]figure {
	all := map[string]figure{}
	for _, r := range source.Table("figures.csv", figuresCSV) {
		key := r.Text("key")
		if _, twice := all[key]; twice {
			panic("strength: figures.csv: " + key + " twice")
		}
		all[key] = figure{r.Num("value"), r.Text("unit"), r.Text("what"), r.Ref()}
	}
	return all
}

// fig gives a figure's value in the unit of its row.
func fig(key string) float64 { return mustFigure(key).value }

// figRef gives a figure's source.
func figRef(key string) source.Ref { return mustFigure(key).ref }

func mustFigure(key string) figure {
	f, ok := figures[key]
	if !ok {
		panic("strength: figures.csv has no " + key)
	}
	return f
}
