package strength

// Method:   failure assessment diagram, option 1
// Symbols:  Lr reference stress over yield, Kr stress intensity over toughness, Re yield, Rm tensile strength
// Formula:  Lr ≤ 1: f = (1 + ½Lr²)^-½·[0.3 + 0.7·exp(-μLr⁶)], μ = min(0.001E/Re, 0.6)
//           1 < Lr < Lr,max: f = f(1)·Lr^((N-1)/(2N)), N = 0.3(1 - Re/Rm)
//           Lr,max = (Re + Rm)/(2Re); Kr = (Kp + V·Ks)/Kmat ≤ f(Lr), V = 1 here
// Validity: steel with continuous yielding; beyond Lr,max the part collapses
// Source:   BS 7910:2013 7.3.3 (form read in secondary text)
//
// The older curve (1 - 0.14Lr²)(0.3 + 0.7exp(-0.65Lr⁶)) is a different one: not mixed in.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// diagram is one diagram, for one steel; MPa. The table holds f at even steps of
// Lr up to Lr,max for the many look-ups of the drawn lives.
type diagram struct {
	re, rm, mu, n, most, atOne float64
	table                      [limitSteps + 1]float64
}

// limitSteps keep the straight pieces within 1e-4 of the curve.
const limitSteps = 400

func newDiagram(re, rm float64) *diagram {
	d := &diagram{re: re, rm: rm, mu: math.Min(0.001*fig(elastic)/re, 0.6), n: 0.3 * (1 - re/rm), most: (re + rm) / (2 * re)}
	d.atOne = d.below(1)
	for i := range d.table {
		d.table[i] = d.limit(d.most * float64(i) / limitSteps)
	}
	return d
}

// quick is limit from the table.
func (d *diagram) quick(lr float64) float64 {
	x := lr / d.most * limitSteps
	if !(x < limitSteps) { // collapse; no whole number holds a load without end
		return 0
	}
	i := int(x)
	return d.table[i] + (x-float64(i))*(d.table[i+1]-d.table[i])
}

func (d *diagram) below(lr float64) float64 {
	l2 := lr * lr
	return 1 / math.Sqrt(1+l2/2) * (0.3 + 0.7*math.Exp(-d.mu*l2*l2*l2))
}

// limit is f(Lr); zero at collapse.
func (d *diagram) limit(lr float64) float64 {
	switch {
	case lr <= 1:
		return d.below(lr)
	case lr < d.most:
		return d.atOne * math.Pow(lr, (d.n-1)/(2*d.n))
	}
	return 0
}

// FADLimit gives the highest Kr at an Lr.
func FADLimit(lr float64, yield, tensile q.Stress) (source.Result[q.Ratio], error) {
	const method = "fad"
	none := source.Result[q.Ratio]{}
	re, rm := yield.MPa(), tensile.MPa()
	if err := steelStrength(method, re, rm); err != nil {
		return none, err
	}
	d := newDiagram(re, rm)
	if err := source.InRange(method, "Lr", lr, 0, math.Nextafter(d.most, 0), "", "the rest of the section collapses: no Kr is low enough"); err != nil {
		return none, err
	}
	w := begin(method, "Failure assessment diagram, option 1", "f = (1 + ½Lr²)^-½·[0.3 + 0.7·exp(-μLr⁶)]; beyond Lr = 1: f(1)·Lr^((N-1)/(2N))",
		source.At("bs7910", "7.3.3 option 1", source.Read))
	f := d.limit(lr)
	w.in("Lr", num(lr), "")
	w.stress("yield", yield, "")
	w.stress("tensile strength", tensile, "")
	w.step("μ", "min(0.001E/Re, 0.6)", fmt.Sprintf("min(0.001 × %s / %s, 0.6)", num(fig(elastic)), num(re)), d.mu, "1")
	w.step("Lr,max", "(Re + Rm)/(2Re)", fmt.Sprintf("(%s + %s)/(2 × %s)", num(re), num(rm), num(re)), d.most, "1")
	if lr > 1 {
		w.step("N", "0.3(1 - Re/Rm)", fmt.Sprintf("0.3 × (1 - %s/%s)", num(re), num(rm)), d.n, "1")
		w.step("f(1)", "", "", d.atOne, "1")
	}
	w.step("highest Kr", "f(Lr)", "", f, "1")
	w.why("A cracked part fails by breaking or by tearing through the rest; the diagram sees both at once.",
		"Fracture alone or strength alone both promise more than the part holds.")
	return result(w, q.Ratio(f)), nil
}

func steelStrength(method string, re, rm float64) error {
	if err := positive(method, "yield", re, "tensile strength", rm); err != nil {
		return err
	}
	if rm <= re {
		return fmt.Errorf("%s: tensile strength %s MPa must be above yield %s MPa", method, num(rm), num(re))
	}
	return nil
}
