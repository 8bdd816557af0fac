package strength

// Method:   stress intensity of a half-elliptical surface crack and of a corner crack
// Symbols:  a depth, c half length, t thickness, b HALF width of the plate (2b is the width),
//           φ angle on the crack front from the surface: 0° at the surface, 90° at the deepest
//           point; σm membrane and σb bending stress at the surface
// Formula:  K = (σm + H·σb)·√(πa/Q)·F; F = [M1 + M2(a/t)² + M3(a/t)⁴]·g·fφ·fw
//           fw = √sec(πc/(2b)·√(a/t)); the coefficients stand in newmanRaju
// Validity: a/t ≤ 0.8, 0.2 ≤ a/c ≤ 2, c/b < 0.5; ±5 %
// Source:   NASA TM-85793 (newman-raju); corner crack from memory
//
// Slips seen in public copies, and not made here: fφ to the power 4 instead of
// ¼; (a/c)² for (a/t)² in g; √(c/a) for √(a/c) in fφ; b as the full width.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// SurfaceInput is what SurfaceIntensity needs.
type SurfaceInput struct {
	A, C      q.Length // depth and half length
	Thickness q.Length
	HalfWidth q.Length // b; half of the plate's width
	Phi       q.Angle  // from the surface; 90° is the deepest point
	Membrane  q.Stress
	Bending   q.Stress
}

// SurfaceIntensity gives K of a half-elliptical surface crack.
func SurfaceIntensity(in SurfaceInput) (source.Result[q.StressIntensity], error) {
	const method = "sif-surface"
	none := source.Result[q.StressIntensity]{}
	a, c, t, b := in.A.MM(), in.C.MM(), in.Thickness.MM(), in.HalfWidth.MM()
	if err := surfaceRange(method, a, c, t, b); err != nil {
		return none, err
	}
	if err := source.InRange(method, "phi", in.Phi.Degrees(), 0, 180, "°", ""); err != nil {
		return none, err
	}
	sm, sb := in.Membrane.MPa(), in.Bending.MPa()
	if !(sm+sb > 0) {
		return none, fmt.Errorf("%s: the stress at the surface must be a tension", method)
	}
	n := newmanRaju(a, c, t, b, float64(in.Phi))
	w := begin(method, "Stress intensity of a surface crack", "K = (σm + H·σb)·√(πa/Q)·F; F = [M1 + M2(a/t)² + M3(a/t)⁴]·g·fφ·fw",
		source.At("newman-raju", "surface crack", source.Read))
	k := (sm + n.h*sb) * math.Sqrt(math.Pi*a/n.q) * n.f
	w.in("depth a, half length c", size(", ", in.A, in.C), "")
	w.in("thickness t, half width b", size(", ", in.Thickness, in.HalfWidth), "")
	w.in("place on the front", num(in.Phi.Degrees())+"°", "")
	w.in("membrane and bending stress", fmt.Sprintf("%s, %s MPa", num(sm), num(sb)), "")
	w.step("shape factor", "Q", "", n.q, "1")
	w.step("boundary factor", "F", "", n.f, "1")
	w.step("bending factor", "H", "", n.h, "1")
	w.step("stress intensity", "K", fmt.Sprintf("(%s + %s × %s) × √(π × %s / %s) × %s", num(sm), num(n.h), num(sb), num(a), num(n.q), num(n.f)), k, "N/mm^1.5")
	w.step("the same", "K/31.623", "", k/rootMM, "MPa√m")
	w.note("b is half the width of the plate; published accuracy ±5 %%")
	w.why("Most cracks start as a shallow half ellipse at a weld toe; this is how hard its front is pulled.",
		"A shallow crack is taken for a through one, or for none.")
	return result(w, kSI(k)), nil
}

// surfaceRange checks the published range; lengths mm.
func surfaceRange(method string, a, c, t, b float64) error {
	if err := positive(method, "depth a", a, "half length c", c, "thickness t", t, "half width b", b); err != nil {
		return err
	}
	if err := source.InRange(method, "a/t", a/t, 0, 0.8, "", "take it as a through crack"); err != nil {
		return err
	}
	if err := source.InRange(method, "a/c", a/c, 0.2, 2, "", "below 0.2 take c = 5a, which is longer than the crack; above 2 take a = 2c"); err != nil {
		return err
	}
	return source.InRange(method, "c/b", c/b, 0, math.Nextafter(0.5, 0), "", "the crack is long against the width: take it as an edge crack of depth a, or stop")
}

// nr is one evaluation of the equations.
type nr struct{ f, h, q float64 }

// newmanRaju evaluates the equations; lengths in any one unit, phi in radians.
func newmanRaju(a, c, t, b, phi float64) nr {
	sin, cos := math.Sincos(phi)
	sin = math.Abs(sin)
	z := a / t
	z2 := z * z
	fw := math.Sqrt(1 / math.Cos(math.Pi*c/(2*b)*math.Sqrt(z)))
	var o nr
	var m1, m2, m3, g, fp, h1, h2, p float64
	if a <= c {
		r := a / c
		o.q = 1 + 1.464*math.Pow(r, 1.65)
		m1 = 1.13 - 0.09*r
		m2 = -0.54 + 0.89/(0.2+r)
		m3 = 0.5 - 1/(0.65+r) + 14*math.Pow(1-r, 24)
		g = 1 + (0.1+0.35*z2)*(1-sin)*(1-sin)
		fp = math.Sqrt(math.Sqrt(r*r*cos*cos + sin*sin))
		h1 = 1 - 0.34*z - 0.11*r*z
		h2 = 1 + (-1.22-0.12*r)*z + (0.55-1.05*math.Pow(r, 0.75)+0.47*math.Pow(r, 1.5))*z2
		p = 0.2 + r + 0.6*z
	} else {
		r := c / a
		o.q = 1 + 1.464*math.Pow(r, 1.65)
		m1 = math.Sqrt(r) * (1 + 0.04*r)
		m2 = 0.2 * r * r * r * r
		m3 = -0.11 * r * r * r * r
		g = 1 + (0.1+0.35*r*z2)*(1-sin)*(1-sin)
		fp = math.Sqrt(math.Sqrt(r*r*sin*sin + cos*cos))
		h1 = 1 + (-0.04-0.41*r)*z + (0.55-1.93*math.Pow(r, 0.75)+1.38*math.Pow(r, 1.5))*z2
		h2 = 1 + (-2.11+0.77*r)*z + (0.55-0.72*math.Pow(r, 0.75)+0.14*math.Pow(r, 1.5))*z2
		p = 0.2 + r + 0.6*z
	}
	o.f = (m1 + m2*z2 + m3*z2*z2) * g * fp * fw
	o.h = h1 + (h2-h1)*math.Pow(sin, p)
	return o
}

// CornerIntensity gives K of a quarter-elliptical corner crack under tension.
// HalfWidth is the plate's full width here: a corner crack has one free side.
func CornerIntensity(in SurfaceInput) (source.Result[q.StressIntensity], error) {
	const method = "sif-corner"
	none := source.Result[q.StressIntensity]{}
	a, c, t, b := in.A.MM(), in.C.MM(), in.Thickness.MM(), in.HalfWidth.MM()
	if err := surfaceRange(method, a, c, t, b); err != nil {
		return none, err
	}
	if err := source.InRange(method, "a/c", a/c, 0.2, 1, "", "turn the axes so that a is the shorter one"); err != nil {
		return none, err
	}
	if in.Bending != 0 {
		return none, fmt.Errorf("%s: bending is not covered; give the stress at the corner as membrane stress", method)
	}
	if err := positive(method, "membrane stress", in.Membrane.MPa()); err != nil {
		return none, err
	}
	n := cornerFactor(a, c, t, b, float64(in.Phi))
	k := in.Membrane.MPa() * math.Sqrt(math.Pi*a/n.q) * n.f
	w := begin(method, "Stress intensity of a corner crack", "K = σ·√(πa/Q)·[M1 + M2(a/t)² + M3(a/t)⁴]·g1·g2·fφ·fw",
		source.At("newman-raju", "corner crack", source.Memory))
	w.in("depth a, length c", size(", ", in.A, in.C), "")
	w.in("thickness t, width b", size(", ", in.Thickness, in.HalfWidth), "")
	w.stress("stress", in.Membrane, "")
	w.step("shape factor", "Q", "", n.q, "1")
	w.step("boundary factor", "F", "", n.f, "1")
	w.step("stress intensity", "K", "", k, "N/mm^1.5")
	w.step("the same", "K/31.623", "", k/rootMM, "MPa√m")
	w.why("A crack at a corner has two free sides and grows faster than one in a face.",
		"A corner crack is taken for a slow one.")
	return result(w, kSI(k)), nil
}

// cornerFactor evaluates the corner crack for a ≤ c.
func cornerFactor(a, c, t, b, phi float64) nr {
	sin, cos := math.Sincos(phi)
	r, z := a/c, a/t
	z2 := z * z
	m1 := 1.08 - 0.03*r
	m2 := -0.44 + 1.06/(0.3+r)
	m3 := -0.5 + 0.25*r + 14.8*math.Pow(1-r, 15)
	g1 := 1 + (0.08+0.4*z2)*math.Pow(1-sin, 3)
	g2 := 1 + (0.08+0.15*z2)*math.Pow(1-cos, 3)
	fp := math.Sqrt(math.Sqrt(r*r*cos*cos + sin*sin))
	fw := math.Sqrt(1 / math.Cos(math.Pi*c/(2*b)*math.Sqrt(z)))
	return nr{(m1 + m2*z2 + m3*z2*z2) * g1 * g2 * fp * fw, 1, 1 + 1.464*math.Pow(r, 1.65)}
}
