package strength

// Method:   crack length at which the part breaks, and how near a crack is to it
// Formula:  Kr = (σmax + V·σres)·Y·√(πa)/Kmat, Lr = σref/Re; critical where Kr = f(Lr); V = 1
// Validity: as the stress intensity and the diagram; residual stress taken as even over the crack
// Source:   BS 7910:2013 7.3.3; solved by Brent's method

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// FractureInput is what Fracture and CriticalSize need.
type FractureInput struct {
	Geometry  Geometry // through, edge, edge-bending, hole, hole-both
	A         q.Length // of the crack now; half length of a through crack; ignored by CriticalSize
	Width     q.Length
	Radius    q.Length
	Peak      q.Stress // highest stress of the gross section
	Residual  q.Stress
	Toughness q.StressIntensity
	Yield     q.Stress
	Tensile   q.Stress
}

// FractureState is where a crack stands in the diagram.
type FractureState struct {
	Kr      float64 `json:"kr"`
	Lr      float64 `json:"lr"`
	Limit   float64 `json:"limit"`   // f(Lr); zero at collapse
	Reserve float64 `json:"reserve"` // factor on the load that puts it on the line; below 1 it is over the line
}

// Used is Kr over f(Lr): above 1 the part breaks; infinite at collapse.
func (s FractureState) Used() float64 {
	if s.Limit <= 0 {
		return math.Inf(1)
	}
	return s.Kr / s.Limit
}

// fracture is a crack under loads, in N and mm.
type fracture struct {
	crack
	d              *diagram
	peak, residual float64
	kmat           float64
}

func (in FractureInput) build(method string) (fracture, error) {
	c, err := plainCrack(method, in.Geometry, in.Width.MM(), in.Radius.MM())
	if err != nil {
		return fracture{}, err
	}
	if err := steelStrength(method, in.Yield.MPa(), in.Tensile.MPa()); err != nil {
		return fracture{}, err
	}
	if err := positive(method, "highest stress", in.Peak.MPa(), "toughness", kMM(in.Toughness)); err != nil {
		return fracture{}, err
	}
	if in.Residual < 0 {
		return fracture{}, fmt.Errorf("%s: residual stress below zero is not counted: give 0", method)
	}
	return fracture{c, newDiagram(in.Yield.MPa(), in.Tensile.MPa()), in.Peak.MPa(), in.Residual.MPa(), kMM(in.Toughness)}, nil
}

// state evaluates the diagram at a length.
func (f fracture) state(a float64) FractureState {
	s := FractureState{Kr: (f.peak + f.residual) * f.k(a) / f.kmat, Lr: f.peak * f.ref(a) / f.d.re}
	s.Limit = f.d.limit(s.Lr)
	s.Reserve = f.reserve(a)
	return s
}

// over is above zero where the crack is over the line.
func (f fracture) over(a float64) float64 {
	return (f.peak+f.residual)*f.k(a)/f.kmat - f.d.limit(f.peak*f.ref(a)/f.d.re)
}

// reserve is the factor on the load alone that reaches the line.
func (f fracture) reserve(a float64) float64 {
	k, lr := f.k(a)/f.kmat, f.peak*f.ref(a)/f.d.re
	g := func(x float64) float64 { return (x*f.peak+f.residual)*k - f.d.limit(x*lr) }
	if g(0) >= 0 { // the residual stress alone is over the line
		return 0
	}
	x, _ := brent(g, 0, f.d.most/lr, 1e-9) // at Lr,max the limit is zero: the ends differ in sign
	return x
}

// critical is the length on the line, within the range of the geometry; collapse
// or the end of that range where it stays below the line.
func (f fracture) critical() (a float64, atEnd bool) {
	if f.over(f.most) < 0 {
		return f.most, true
	}
	low := f.most * 1e-6
	if f.over(low) > 0 {
		return low, false
	}
	a, _ = brent(f.over, low, f.most, 1e-9) // the ends differ in sign
	return a, false
}

// Fracture says where a crack stands in the diagram at the highest load.
func Fracture(in FractureInput) (source.Result[FractureState], error) {
	const method = "fracture"
	none := source.Result[FractureState]{}
	f, err := in.build(method)
	if err != nil {
		return none, err
	}
	a := in.A.MM()
	if err := f.inRange(method, a); err != nil {
		return none, err
	}
	w := fractureWork(method, "Where the crack stands", in)
	w.length("crack length a", in.A, "")
	s := f.state(a)
	w.step("Kr", "(σmax + σres)·Y√(πa)/Kmat", "", s.Kr, "1")
	w.step("Lr", "σref/Re", "", s.Lr, "1")
	w.step("limit", "f(Lr)", "", s.Limit, "1")
	w.step("used", "Kr/f(Lr)", "", s.Used(), "1")
	w.step("reserve on load", "factor on the load that reaches the line", "", s.Reserve, "1")
	w.why("Growth takes hours; a break takes one load. This is how near the next heavy load is to it.", "The crack is watched while it grows and the part breaks at a length nobody feared.")
	return result(w, s), nil
}

// CriticalSize gives the crack length at which the part breaks: half length of a
// through crack, length of the others.
func CriticalSize(in FractureInput) (source.Result[q.Length], error) {
	const method = "critical-size"
	f, err := in.build(method)
	if err != nil {
		return source.Result[q.Length]{}, err
	}
	w := fractureWork(method, "Crack length at which the part breaks", in)
	a, atEnd := f.critical()
	if atEnd {
		w.note("still below the line at the end of the formula's range: counted as broken there")
	}
	s := f.state(a)
	w.step("critical length", "Kr = f(Lr)", "", a, "mm")
	w.step("Kr there", "", "", s.Kr, "1")
	w.step("Lr there", "", "", s.Lr, "1")
	w.step("by fracture alone (too long)", "(Kmat/(σmax + σres))²/π", "", math.Pow(f.kmat/(f.peak+f.residual), 2)/math.Pi, "mm")
	w.why("The crack must be caught before this length.",
		"A crack is left to run that breaks the part at the next heavy load.")
	return result(w, millis(a)), nil
}

func fractureWork(method, title string, in FractureInput) *work {
	w := begin(method, title, "Kr = (σmax + V·σres)·Y√(πa)/Kmat ≤ f(Lr), V = 1", source.At("bs7910", "7.3.3 option 1", source.Read))
	w.in("geometry", string(in.Geometry), "")
	if in.Width > 0 {
		w.length("plate width", in.Width, "")
	}
	if in.Radius > 0 {
		w.length("hole radius", in.Radius, "")
	}
	w.stress("highest stress", in.Peak, "")
	w.stress("residual stress", in.Residual, "")
	w.in("toughness", in.Toughness.Text(q.SI), "")
	w.stress("yield", in.Yield, "")
	w.stress("tensile strength", in.Tensile, "")
	w.note("the residual stress is taken as even over the crack, which is cautious for a long one")
	return w
}
