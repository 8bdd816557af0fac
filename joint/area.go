package joint

// Cross-section of a groove.
//
// Method (mm and mm²; t depth or thickness, g root opening, f root face, d = t − f)
//   square         g·t
//   single V       g·t + d²·tan(α/2)                 α included angle
//   double V       g·t + (h1² + h2²)·tan(α/2)        h1 + h2 = d, equal unless given
//   single bevel   g·t + ½·d²·tan β                  β bevel angle
//   single U       g·t + 2·[½R²(π/2 − θ − sinθ·cosθ) + R·cosθ·H + ½H²·tanθ]
//                  H = d − R(1 − sinθ), θ side angle from vertical
//   single J       g·t + half of the U's bracket
// Validity: f ≤ t, angles as drawn, H ≥ 0. Source: formulas derived; V sections
// agree with the tables of electrode-consumption, elements with fill-handbook.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Measures are the measures of a groove whose section is wanted.
type Measures struct {
	Shape       Shape
	Angle       q.Angle           // included for a V, bevel angle, side angle from vertical for U and J
	RootOpening q.Length          // g
	RootFace    q.Length          // f
	Depth       q.Length          // t: thickness, or depth of a groove that does not go through
	Radius      q.Length          // R of a U or J
	FirstDepth  q.Maybe[q.Length] // h1 of a double V; unknown: both sides equal
}

// Area gives the cross-section of a groove without cap.
func Area(m Measures) (source.Result[q.Area], error) {
	var none source.Result[q.Area]
	single := m.Shape
	if m.Shape == DoubleV {
		single = SingleV
	}
	shape := Groove{Shape: single, Angle: m.Angle, RootOpening: m.RootOpening, RootFace: m.RootFace, Radius: m.Radius, Depth: m.Depth}
	if _, err := shape.profile(); err != nil {
		return none, err
	}
	t, g, f, r, a := m.Depth.MM(), m.RootOpening.MM(), m.RootFace.MM(), m.Radius.MM(), float64(m.Angle)
	d := t - f
	b := source.Basis{
		Method: "groove-area", Title: "Section of a groove",
		Inputs: []source.Input{{Name: "shape", Text: string(m.Shape)}, {Name: "depth t", Text: length(m.Depth)}, {Name: "root opening g", Text: length(m.RootOpening)}},
		Ref:    source.At("derived", "geometry of the groove", source.Derived),
		Also:   []source.Ref{source.At("electrode-consumption", "single V tables", source.Read), source.At("fill-handbook", "weight of weld metal", source.Read)},
		Notes:  []string{"without cap", "metal really filled: " + figure("fill-actual").Note},
		Why:    "The section is the metal that must be taken out and put back: rods, time and heat follow from it.",
		Skip:   "Rods and hours are guessed, and both run out.",
	}
	step := func(name, formula, with string, v float64) float64 {
		b.Steps = append(b.Steps, source.Step{Name: name, Formula: formula, With: with, Value: v, Unit: "mm²"})
		return v
	}
	sum := 0.0
	if g > 0 {
		sum = step("gap", "g·t", fmt.Sprintf("%.4g × %.4g", g, t), g*t)
	}
	if m.Shape != Square {
		b.Inputs = append(b.Inputs, source.Input{Name: "angle", Text: degrees(m.Angle)}, source.Input{Name: "root face f", Text: length(m.RootFace)})
	}
	switch m.Shape {
	case Square:
		b.Formula = "g·t"
	case SingleV:
		b.Formula = "g·t + (t − f)²·tan(α/2)"
		sum += step("V", "(t − f)²·tan(α/2)", fmt.Sprintf("%.4g² × tan %.4g°", d, m.Angle.Degrees()/2), d*d*math.Tan(a/2))
	case DoubleV:
		h1 := d / 2
		if m.FirstDepth.Known {
			h1 = m.FirstDepth.V.MM()
		}
		if h1 < 0 || h1 > d {
			return none, &source.OutOfRange{Method: "groove-area", Quantity: "first side's depth", Value: h1, High: d, Unit: "mm", Instead: "not deeper than thickness less root face"}
		}
		h2 := d - h1
		b.Formula = "g·t + (h1² + h2²)·tan(α/2)"
		sum += step("double V", "(h1² + h2²)·tan(α/2)", fmt.Sprintf("(%.4g² + %.4g²) × tan %.4g°", h1, h2, m.Angle.Degrees()/2), (h1*h1+h2*h2)*math.Tan(a/2))
	case SingleBevel:
		b.Formula = "g·t + ½·(t − f)²·tan β"
		sum += step("bevel", "½·(t − f)²·tan β", fmt.Sprintf("0.5 × %.4g² × tan %.4g°", d, m.Angle.Degrees()), d*d*math.Tan(a)/2)
	case SingleU, SingleJ:
		s, c := math.Sin(a), math.Cos(a)
		h := d - r*(1-s)
		b.Inputs = append(b.Inputs, source.Input{Name: "root radius R", Text: length(m.Radius)})
		b.Steps = append(b.Steps, source.Step{Name: "straight side H", Formula: "t − f − R(1 − sin θ)", With: fmt.Sprintf("%.4g − %.4g × (1 − %.4g)", d, r, s), Value: h, Unit: "mm"})
		b.Formula = "g·t + 2[½R²(π/2 − θ − sinθ·cosθ) + R·cosθ·H + ½H²·tanθ]"
		n, name := 2.0, "two sides"
		if m.Shape == SingleJ {
			n, name = 1, "one side"
			b.Formula = "g·t + ½R²(π/2 − θ − sinθ·cosθ) + R·cosθ·H + ½H²·tanθ"
		}
		arc := r * r / 2 * (math.Pi/2 - a - s*c)
		rest := r*c*h + h*h*math.Tan(a)/2
		sum += step(name, fmt.Sprintf("%.0f × (arc + straight)", n), fmt.Sprintf("%.0f × (%.4g + %.4g)", n, arc, rest), n*(arc+rest))
	}
	v := q.Area(sum) * q.SquareMillimetre
	step("section", "sum", "", sum)
	b.Steps = append(b.Steps, source.Step{Name: "for a metre", Formula: "A·ρ", Value: sum * 1e-6 * figure("density").Likely, Unit: "kg/m"})
	return source.Result[q.Area]{Value: v, Basis: b}, nil
}

// Section is the cross-section of one side of the groove, without cap.
func (g Groove) Section() (q.Area, error) {
	p, err := g.profile()
	return q.Area(p.under(p.depth)) * q.SquareMillimetre, err
}
