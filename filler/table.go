package filler

import (
	_ "embed"

	"soundmetal/source"
)

// The embedded tables are read once, when the program starts.

//go:embed figures.csv
var figuresCSV string

// figures are the scalars of the trade that the methods share.
var figures = source.ReadFigures("filler/figures.csv", figuresCSV, nil)

func fig(id string) source.Figure { return figures.Of(id) }

//go:embed limits.csv
var limitsCSV string

var limits = source.ReadLimits("filler/limits.csv", limitsCSV)

// within refuses a value, given in the limit's own unit, outside the method's range.
func within(method, quantity string, v float64) error { return limits.Within(method, quantity, v) }
