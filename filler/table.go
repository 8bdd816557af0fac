package filler

import (
	_ "embed"
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// The embedded tables are read once, when the program starts. A fault in a table
// is a programmer's error: it panics with file and line.

func fault(r source.Row, col, why string) string {
	return fmt.Sprintf("filler: %s:%d: column %s: %s", r.File, r.Line, col, why)
}

// maybe reads a number, or unknown where the cell is empty.
func maybe(r source.Row, col string) q.Maybe[float64] {
	if r.Text(col) == "" {
		return q.Maybe[float64]{}
	}
	return q.Known(r.Num(col))
}

// A figure is one scalar of the trade with its band (figures.csv).
type figure struct {
	Low, Usual, High float64
	Unit             string
	Ref              source.Ref
}

//go:embed figures.csv
var figuresCSV string

var figures = mustFigures(figuresCSV)

func mustFigures(text string) map[string]figure {
	all := map[string]figure{}
	for _, r := range source.Table("figures.csv", text) {
		f := figure{r.Num("low"), r.Num("usual"), r.Num("high"), r.Text("unit"), r.Ref()}
		if f.Low > f.Usual || f.Usual > f.High {
			panic(fault(r, "usual", "not between low and high"))
		}
		all[r.Text("id")] = f
	}
	return all
}

func fig(id string) figure {
	f, ok := figures[id]
	if !ok {
		panic("filler: no figure " + id + " in figures.csv")
	}
	return f
}

// A limit is the range in which a method is offered (limits.csv).
type limit struct {
	low, high     float64
	unit, instead string
}

//go:embed limits.csv
var limitsCSV string

var limits = mustLimits(limitsCSV)

func mustLimits(text string) map[string]limit {
	all := map[string]limit{}
	for _, r := range source.Table("limits.csv", text) {
		r.Ref() // known source and status
		all[r.Text("method")+"/"+r.Text("quantity")] = limit{r.Num("low"), r.Num("high"), r.Text("unit"), r.Text("instead")}
	}
	return all
}

// within refuses a value, given in the limit's own unit, outside the method's range.
func within(method, quantity string, v float64) error {
	l, ok := limits[method+"/"+quantity]
	if !ok {
		panic("filler: no limit " + method + "/" + quantity + " in limits.csv")
	}
	// The last digits of a unit conversion must not refuse a value on the edge.
	const slack = 1e-9
	if v < l.low && v > l.low*(1-slack) || v > l.high && v < l.high*(1+slack) {
		return nil
	}
	return source.InRange(method, quantity, v, l.low, l.high, l.unit, l.instead)
}
