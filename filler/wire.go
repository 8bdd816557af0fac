package filler

import (
	_ "embed"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Deposition of solid steel wire from wire speed and diameter.
//
// Method: lb/h = 60 · WFS (in/min) / (in per lb) · DE by the table of inches in
// a pound; without a row of the table lb/h = 13.1 · D² · WFS · DE (D in inches).
// The two differ by 3 %. Sources: MIG handbook, wire deposition page (read).

//go:embed wire.csv
var wireCSV string

type wireRow struct {
	size    q.Length
	inPerLb float64
	ref     source.Ref
}

var wires = mustWires(wireCSV)

func mustWires(text string) []wireRow {
	var all []wireRow
	for _, r := range source.Table("wire.csv", text) {
		all = append(all, wireRow{q.Length(r.Num("inch")) * q.Inch, r.Num("inches_per_pound"), r.Ref()})
	}
	return all
}

// wireFactor is lb/h for a wire of one inch at one inch a minute, as the page prints it.
const wireFactor = 13.1

// WireRate is the deposit of a solid wire.
type WireRate struct {
	Table   q.Maybe[q.MassRate] // from inches in a pound; unknown without a row for the size
	Formula q.MassRate
	Use     q.MassRate
}

// WireDeposition gives the deposit rate of solid steel wire. Method id: wire-deposition (D WFS DE).
func WireDeposition(d q.Length, speed q.Speed, de q.Ratio) (source.Result[WireRate], error) {
	var none source.Result[WireRate]
	if err := within("wire-deposition", "wire diameter", d.MM()); err != nil {
		return none, err
	}
	if err := within("wire-deposition", "wire speed", speed.MMPerMin()/1000); err != nil {
		return none, err
	}
	if err := within("wire-deposition", "efficiency", float64(de)); err != nil {
		return none, err
	}
	inPerMin := float64(speed / q.InchPerMinute)
	v := WireRate{Formula: q.MassRate(wireFactor*d.Inches()*d.Inches()*inPerMin*float64(de)) * q.PoundPerHour}
	v.Use = v.Formula
	b := source.Basis{
		Method: "wire-deposition", Title: "Weld metal from solid wire", Formula: "lb/h = 60 · WFS / (in per lb) · DE, or 13.1 · D² · WFS · DE",
		Inputs: []source.Input{{Name: "wire D", Text: lengthText(d)}, {Name: "wire speed WFS", Text: short(inPerMin) + " in/min (" + short(speed.MMPerMin()/1000) + " m/min)"}, {Name: "efficiency DE", Text: short(float64(de))}},
		Steps:  []source.Step{{Name: "by diameter", Formula: "13.1 · D² · WFS · DE", Value: float64(v.Formula / q.PoundPerHour), Unit: "lb/h"}},
		Ref:    source.At("wire-deposition", "", source.Read),
		Why:    "Wire speed is the one thing you can time with the arc off.",
		Skip:   "Hours are guessed.",
	}
	for _, w := range wires {
		if math.Abs(float64(w.size/d)-1) < 0.01 {
			v.Table = q.Known(q.MassRate(60*inPerMin/w.inPerLb*float64(de)) * q.PoundPerHour)
			v.Use = v.Table.V
			b.Also = append(b.Also, w.ref)
			b.Steps = append(b.Steps, source.Step{Name: "by the table", Formula: "60 · WFS / (in per lb) · DE", With: "60 × " + short(inPerMin) + " / " + short(w.inPerLb) + " × " + short(float64(de)), Value: float64(v.Use / q.PoundPerHour), Unit: "lb/h"})
		}
	}
	return source.Result[WireRate]{Value: v, Basis: b}, nil
}
