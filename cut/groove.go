package cut

// Cross-section of a gouged groove.
//
// Method: a U with a half-round bottom of radius r = w/2.
//   w   width at the surface, mm
//   p   depth, mm
//   A   section, mm²
//   p ≥ r:  A = w·(p − r) + π·r²/2
//   p < r:  A = (π/2)·r·p            (half an ellipse)
// Metal removed on a length, kg/m = A·7.85e-3.
// Validity: w, p > 0. Source: derived.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Section gives the cross-section of a groove of width w and depth p.
func Section(w, p q.Length) (source.Result[q.Area], error) {
	if err := positive("the groove width", w); err != nil {
		return source.Result[q.Area]{}, err
	}
	if err := positive("the groove depth", p); err != nil {
		return source.Result[q.Area]{}, err
	}
	r := w / 2
	b := source.Basis{
		Method: "gouge-groove", Title: "Section of a gouged groove",
		Formula: "w·(p − r) + π·r²/2 where p ≥ r = w/2, else (π/2)·r·p",
		Inputs:  []source.Input{{Name: "width w", Text: length(w)}, {Name: "depth p", Text: length(p)}},
		Ref:     source.At("derived", "U with half-round bottom", source.Derived),
		Why:     "The section says how much metal has to be melted out and put back.",
		Skip:    "Carbons and rods run out in the middle of the job.",
	}
	area := sectionOf(w, p)
	b.Steps = append(b.Steps, source.Step{Name: "radius r", Formula: "w / 2", With: fmt.Sprintf("%.4g / 2", w.MM()), Value: r.MM(), Unit: "mm"})
	if p >= r {
		b.Steps = append(b.Steps, source.Step{Name: "section", Formula: "w·(p − r) + π·r²/2",
			With:  fmt.Sprintf("%.4g × (%.4g − %.4g) + π × %.4g² / 2", w.MM(), p.MM(), r.MM(), r.MM()),
			Value: area.MM2(), Unit: "mm²"})
	} else {
		b.Steps = append(b.Steps, source.Step{Name: "section (shallower than its radius)", Formula: "(π/2)·r·p",
			With: fmt.Sprintf("π / 2 × %.4g × %.4g", r.MM(), p.MM()), Value: area.MM2(), Unit: "mm²"})
	}
	rho := figure("density")
	b.Steps = append(b.Steps, source.Step{Name: "metal removed", Formula: "A·ρ",
		With: fmt.Sprintf("%.4g mm² × %.0f kg/m³", area.MM2(), rho.Likely), Value: float64(area) * rho.Likely, Unit: "kg/m"})
	b.Also = []source.Ref{rho.Ref}
	return source.Result[q.Area]{Value: area, Basis: b}, nil
}

func sectionOf(w, p q.Length) q.Area {
	r := w / 2
	if p >= r {
		return q.Area(w*(p-r) + math.Pi*r*r/2)
	}
	return q.Area(math.Pi / 2 * r * p)
}
