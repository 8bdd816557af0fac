package strength

// Method:   growth of a half-elliptical surface crack, at a weld toe or away from one
// Formula:  march the depth a; dc = da·rate(ΔKc)/rate(ΔKa); N = ∫da/rate(ΔKa);
//           K at the deepest point and at the surface by newmanRaju, times Mk at a toe
// Validity: as the stress intensity; a/t ≤ 0.8
// Source:   NASA TM-85793, JCSS (Mk), BS 7910 (growth); fourth-order Runge-Kutta in ln a

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// SurfaceGrowthInput is what SurfaceGrowth needs.
type SurfaceGrowthInput struct {
	A, C      q.Length // depth and half length now
	To        q.Length // depth to reach
	Thickness q.Length
	HalfWidth q.Length // half of the plate's width
	Footprint q.Length // of the attachment with its weld toes; zero away from a weld
	Membrane  q.Stress // ranges at the surface
	Bending   q.Stress
	Law       LawInput
}

// SurfaceEnd is where the march ends.
type SurfaceEnd struct {
	Cycles Cycles
	Half   q.Length // half length at the end
}

// SurfaceGrowth gives the cycles of a surface crack to a depth, and its length then.
func SurfaceGrowth(in SurfaceGrowthInput) (source.Result[SurfaceEnd], error) {
	const method = "surface-growth"
	none := source.Result[SurfaceEnd]{}
	law, err := findLaw(in.Law)
	if err != nil {
		return none, fmt.Errorf("%s: %w", method, err)
	}
	f := surfaceFront{t: in.Thickness.MM(), b: in.HalfWidth.MM(), l: in.Footprint.MM(), membrane: in.Membrane.MPa(), bending: in.Bending.MPa()}
	a, c, to := in.A.MM(), in.C.MM(), in.To.MM()
	if err := surfaceRange(method, a, c, f.t, f.b); err != nil {
		return none, err
	}
	if !(f.membrane+f.bending > 0) || f.membrane < 0 || f.bending < 0 {
		return none, fmt.Errorf("%s: the stress ranges must not be below zero and one must be above it", method)
	}
	if to <= a {
		return none, fmt.Errorf("%s: the depth to reach, %s mm, must be more than %s mm", method, num(to), num(a))
	}
	if err := source.InRange(method, "a/t at the end", to/f.t, 0, 0.8, "", "take it as a through crack from there"); err != nil {
		return none, err
	}
	path, err := f.march(method, law, a, c, to, 400)
	if err != nil {
		return none, err
	}
	end := path[len(path)-1]
	w := begin(method, "Growth of a surface crack", "N = ∫da/rate(ΔKa); dc/da = rate(ΔKc)/rate(ΔKa)", source.At("newman-raju", "surface crack", source.Read))
	w.also(law.ref)
	w.in("depth, half length", size(", ", in.A, in.C), "")
	w.length("depth to reach", in.To, "")
	w.in("thickness, half width", size(", ", in.Thickness, in.HalfWidth), "")
	w.in("membrane and bending range", fmt.Sprintf("%s, %s MPa", num(f.membrane), num(f.bending)), "")
	if f.l > 0 {
		w.length("footprint of the attachment", in.Footprint, "")
		w.also(source.At("jcss", "fatigue models (form of PD 6493)", source.Read))
	}
	w.in("law", law.title, "")
	for _, share := range []int{0, len(path) / 2, len(path) - 1} {
		p := path[share]
		w.step(fmt.Sprintf("at depth %s mm: half length", num(p.a)), "c", "", p.c, "mm")
		w.step(fmt.Sprintf("at depth %s mm: cycles", num(p.a)), "N", "", p.n, "cycles")
	}
	w.note("the crack keeps the form of a half ellipse")
	w.why("A toe crack runs along the weld and into the plate at once; this follows both.",
		"Only the length is watched while the depth goes through.")
	return result(w, SurfaceEnd{Cycles(end.n), millis(end.c)}), nil
}

// surfaceFront gives the two stress intensity ranges of a surface crack.
type surfaceFront struct {
	t, b, l           float64
	membrane, bending float64
}

// deltaK gives K at the deepest point and at the surface.
func (f surfaceFront) deltaK(a, c float64) (deep, tip float64) {
	root := math.Sqrt(math.Pi * a)
	d, s := newmanRaju(a, c, f.t, f.b, math.Pi/2), newmanRaju(a, c, f.t, f.b, 0)
	md, bd, ms, bs := 1.0, 1.0, 1.0, 1.0
	if f.l > 0 {
		lt := f.l / f.t
		md, bd = mkAxial(a/f.t, lt), mkBending(a/f.t, lt)
		// the tips feel the toe at a depth of 0.15 mm, or at the crack's own depth while it is less
		z := math.Min(toeTip, a) / f.t
		ms, bs = mkAxial(z, lt), mkBending(z, lt)
	}
	deep = (md*f.membrane + bd*d.h*f.bending) * root / math.Sqrt(d.q) * d.f
	tip = (ms*f.membrane + bs*s.h*f.bending) * root / math.Sqrt(s.q) * s.f
	return deep, tip
}

// pathPoint is one point of a march.
type pathPoint struct{ a, c, n float64 }

// march follows the crack in steps of ln a. A front longer than the equations
// allow ends it with an error.
func (f surfaceFront) march(method string, law growthLaw, a, c, to float64, steps int) ([]pathPoint, error) {
	h := math.Log(to/a) / float64(steps)
	path := []pathPoint{{a, c, 0}}
	slope := func(u, c float64) (dc, dn float64) {
		x := math.Exp(u)
		deep, tip := f.deltaK(x, c)
		rd, rt := law.rate(deep), law.rate(tip)
		return x * rt / rd, x / rd
	}
	u, n := math.Log(a), 0.0
	for range steps {
		k1, n1 := slope(u, c)
		k2, n2 := slope(u+h/2, c+h/2*k1)
		k3, n3 := slope(u+h/2, c+h/2*k2)
		k4, n4 := slope(u+h, c+h*k3)
		c += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
		n += h / 6 * (n1 + 2*n2 + 2*n3 + n4)
		u += h
		x := math.Exp(u)
		if err := surfaceRange(method, math.Min(x, 0.8*f.t), c, f.t, f.b); err != nil {
			return nil, err
		}
		path = append(path, pathPoint{x, c, n})
	}
	return path, nil
}
