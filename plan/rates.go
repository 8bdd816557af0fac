package plan

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed figures.csv
var figuresCSV string

// rates are the planning figures of the plan room, each in its own unit.
var rates = source.ReadFigures("plan/figures.csv", figuresCSV, nil)

// rateOf gives a planning figure; a wrong name is a programmer's error.
func rateOf(id string) source.Figure { return rates.Of(id) }
