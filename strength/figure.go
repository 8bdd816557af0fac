package strength

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed figures.csv
var figuresCSV string

// figures are the single numbers of the trade, each in the unit of its row.
var figures = source.ReadFigures("strength/figures.csv", figuresCSV, nil)

func fig(id string) float64 { return figures.Of(id).Likely }

func figRef(id string) source.Ref { return figures.Of(id).Ref }
