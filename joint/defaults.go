package joint

import (
	_ "embed"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed defaults.csv
var defaultsCSV string

// unitSI is what one of the table's unit is in SI.
var unitSI = map[string]float64{"1": 1, "mm": 1e-3, "deg": math.Pi / 180, "kg/m3": 1}

// rules are the figures of the trade, in SI units.
var rules = source.ReadFigures("joint/defaults.csv", defaultsCSV, unitSI)

// rule is a figure, read as what it measures.
type rule struct{ source.Figure }

func figure(id string) rule { return rule{rules.Of(id)} }

// mm gives the rule's planning value as a length in mm.
func (r rule) mm() float64 { return r.Likely * 1e3 }

func (r rule) length() q.Length { return q.Length(r.Likely) }

func (r rule) angle() q.Angle { return q.Angle(r.Likely) }

func (r rule) lengths() q.Of[q.Length] {
	return q.Of[q.Length]{Low: q.Length(r.Low), High: q.Length(r.High)}
}
