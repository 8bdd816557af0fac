package price

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed figures.csv
var figuresCSV string

// figure is one planning figure in SI units, with its origin.
type figure = source.Figure

// unitSI is what one of the tables' units is in SI; °C stay.
var unitSI = map[string]float64{
	"1": 1, "": 1, "min": 60, "h": 3600, "m/h": 1.0 / 3600, "mm": 1e-3, "min/100mm": 600, "h/in": 3600 / 0.0254,
	"km/h": 1 / 3.6, "kg": 1, "kg/m": 1, "kg/h": 1.0 / 3600, "°C": 1,
}

var figures = source.ReadFigures("price/figures.csv", figuresCSV, unitSI)

func fig(id string) figure { return figures.Of(id) }
