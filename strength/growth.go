package strength

// Method:   cycles for a through, edge or hole crack to grow from a1 to a2
// Formula:  N = ∫ da/(A·ΔK^m) from a1 to a2, ΔK = Y·Δσ·√(πa); the smaller rate of two stages
// Validity: as the stress intensity; elastic; threshold not used (a spectrum has cycles above it)
// Source:   BS 7910 growth constants; Gauss-Legendre quadrature, split at the change point

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"

	"gonum.org/v1/gonum/integrate/quad"
)

// GrowthInput is what CrackGrowth needs. For a through crack A1 and A2 are half lengths.
type GrowthInput struct {
	Geometry Geometry // through, edge, edge-bending, hole, hole-both
	A1, A2   q.Length
	Width    q.Length
	Radius   q.Length
	Range    q.Stress // of the gross section
	Law      LawInput
}

// CrackGrowth gives the cycles a crack needs from one length to another.
func CrackGrowth(in GrowthInput) (source.Result[Cycles], error) {
	const method = "crack-growth"
	none := source.Result[Cycles]{}
	law, err := findLaw(in.Law)
	if err != nil {
		return none, fmt.Errorf("%s: %w", method, err)
	}
	c, err := plainCrack(method, in.Geometry, in.Width.MM(), in.Radius.MM())
	if err != nil {
		return none, err
	}
	a1, a2, ds := in.A1.MM(), in.A2.MM(), in.Range.MPa()
	if err := positive(method, "a1", a1, "a2", a2, "stress range", ds); err != nil {
		return none, err
	}
	if a2 <= a1 {
		return none, fmt.Errorf("%s: a2 %s mm must be longer than a1 %s mm", method, num(a2), num(a1))
	}
	if err := c.inRange(method, a2); err != nil {
		return none, err
	}
	w := begin(method, "Crack growth from a1 to a2", "N = ∫da/(A·ΔK^m), ΔK = Y·Δσ·√(πa)", law.ref)
	w.also(c.source)
	n := c.cycles(law, ds, a1, a2)
	what := "length from the edge"
	if in.Geometry == Through {
		what = "half length"
	}
	w.in("from, to ("+what+")", size(", ", in.A1, in.A2), "")
	w.stress("stress range", in.Range, "")
	w.length(c.sizeName, millis(c.size), "")
	w.in("law", law.title, "")
	w.step("ΔK at the start", "Y·Δσ·√(πa1)", "", ds*c.k(a1), "N/mm^1.5")
	w.step("ΔK at the end", "Y·Δσ·√(πa2)", "", ds*c.k(a2), "N/mm^1.5")
	if law.m1 != 0 {
		w.step("change of stage at ΔK", "(A2/A1)^(1/(m1-m2))", "", law.change(), "N/mm^1.5")
	}
	w.step("rate at the start", "da/dN", "", law.rate(ds*c.k(a1)), "mm/cycle")
	w.step("rate at the end", "da/dN", "", law.rate(ds*c.k(a2)), "mm/cycle")
	w.step("cycles", "∫da/(da/dN)", "", n, "cycles")
	if dk := ds * c.k(a1); dk < fig("threshold_welded") {
		w.note("ΔK at the start is below the threshold of %s N/mm^1.5: a crack under even ranges may rest; a mixed history does not let it", num(fig("threshold_welded")))
	}
	w.note("growth only: whether the part breaks before a2 is a question of fracture")
	w.why("A crack runs faster the longer it is; most of its life is spent while it is small.",
		"A crack that looks short is taken for a young one.")
	return result(w, Cycles(n)), nil
}

// cycles integrates the law between two lengths, mm.
func (c crack) cycles(law growthLaw, ds, a1, a2 float64) float64 {
	part := func(a, b float64) float64 {
		if b <= a {
			return 0
		}
		// in ln a the integrand is tame over decades of length
		return quad.Fixed(func(u float64) float64 {
			x := math.Exp(u)
			return x / law.rate(ds*c.k(x))
		}, math.Log(a), math.Log(b), 64, nil, 0)
	}
	split := a1
	if dk := law.change(); dk > 0 {
		switch {
		case ds*c.k(a1) >= dk:
		case ds*c.k(a2) <= dk:
			split = a2
		default:
			split, _ = brent(func(a float64) float64 { return ds*c.k(a) - dk }, a1, a2, 1e-9) // the ends differ in sign
		}
	}
	return part(a1, split) + part(split, a2)
}
