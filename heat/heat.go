// Package heat holds the closed-form methods of welding heat: the minimum
// preheat by each published method, the highest interpass temperature, the
// cooling time and the hardness it leaves, the time to heat a part with a
// torch, and the hydrogen that stays in it.
//
// Each method is one function that returns its value with the whole working
// (source.Basis), and refuses outside its published range. MinimumPreheat runs
// all preheat methods for one steel and says which one governs; FloorValue is
// the same number without the working.
//
// The figures of the trade are in the CSV files beside the code, each row with
// its publication and with how sure we are of it.
package heat

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Steel is what the methods need to know of a steel: its composition, and the
// equivalents computed from it by the caller. Where only limits are known the
// caller gives the worst of the range; a missing element is the standard's
// maximum, not 0.
type Steel struct {
	C, Si, Mn, Cr, Mo, V, Ni, Cu, Nb, B q.Percent

	CE  q.Percent // CE(IIW)
	CET q.Percent
	Pcm q.Percent
	CEN q.Percent

	// Unknown says that the chemistry is not known at all: only the rules of
	// the family speak, and the figures above mean nothing.
	Unknown bool
}

const (
	room  = q.Temperature(20) // steel at this temperature counts as warm: the 65 °F (20 °C) of AWS D1.1
	slack = 1e-9              // m; takes up the rounding of inch sizes at a row's edge

	modulus = 206 * 1000 * q.Megapascal // Young's modulus of steel
	density = 7850.0                    // kg/m³, EN 1993-1-2
)

// positive refuses a figure that is zero, negative or no number.
func positive(method, name string, v float64, unit string) error {
	if v > 0 && !math.IsInf(v, 1) {
		return nil
	}
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Errorf("%s: %s %g%s makes no sense; give a figure greater than 0", method, name, v, unit)
}

// degrees prints a temperature in both systems, rounded as the trade does.
func degrees(t q.Temperature) string { return fmt.Sprintf("%.0f °C (%.0f °F)", t.C(), t.F()) }

// millimetres prints a length in both systems.
func millimetres(l q.Length) string { return fmt.Sprintf("%.4g mm (%.3g in)", l.MM(), l.Inches()) }

// kilojoules prints a heat input in both systems.
func kilojoules(h q.HeatInput) string {
	return fmt.Sprintf("%.3g kJ/mm (%.3g kJ/in)", h.KJPerMM(), h.KJPerInch())
}

// hours prints a time in hours.
func hours(t q.Time) string { return fmt.Sprintf("%.3g h", t.Hours()) }

func input(name, text string) source.Input { return source.Input{Name: name, Text: text} }

func percent(p q.Percent) string { return fmt.Sprintf("%.4g %%", float64(p)) }

func hydrogenText(h q.Hydrogen) string { return fmt.Sprintf("%.3g ml/100 g", float64(h)) }
