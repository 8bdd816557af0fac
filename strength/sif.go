package strength

// Method:   stress intensity of through, edge and hole cracks
// Symbols:  a half length (through) or length from the edge or hole, W plate width, α = a/W,
//           R hole radius, σ stress of the gross section
// Formula:  K = Y·σ·√(πa)
//           through: Y = √sec(πa/W)
//           edge, tension: Y = 1.12 - 0.231α + 10.55α² - 21.72α³ + 30.39α⁴
//           edge, bending: Y = 1.122 - 1.40α + 7.33α² - 13.08α³ + 14.0α⁴
//           hole, one crack: Y = 0.8733/(0.3245 + a/R) + 0.6762
//           hole, two cracks: Y = 1 - 0.15λ + 3.46λ² - 4.47λ³ + 3.52λ⁴, λ = 1/(1 + a/R)
// Validity: through 2a/W ≤ 0.8; edge α ≤ 0.6; hole a/R < 10, plate wide against the hole
// Source:   Feddersen; Brown and Srawley; Tada; Grandt's and Newman's fits; all from memory (tada)
//
// A crack in a flange is a through or an edge crack with the stress of the gross
// section: never net stress and Y together, that counts the crack twice.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Geometry is where a crack lies.
type Geometry string

const (
	Through     Geometry = "through"      // a is half the length, in a plate of width W
	Edge        Geometry = "edge"         // a is the length from the edge, pulled
	EdgeBending Geometry = "edge-bending" // the same, bent in its plane
	HoleOne     Geometry = "hole"         // one crack of length a from the edge of a hole
	HoleBoth    Geometry = "hole-both"    // two of them
	Surface     Geometry = "surface"      // half ellipse of depth a and half length c
	WeldToe     Geometry = "weld-toe"     // a surface crack at the toe of an attachment
)

func yThrough(a, w float64) float64 { return math.Sqrt(1 / math.Cos(math.Pi*a/w)) }

func yEdge(a, w float64) float64 {
	x := a / w
	return 1.12 + x*(-0.231+x*(10.55+x*(-21.72+x*30.39)))
}

func yEdgeBending(a, w float64) float64 {
	x := a / w
	return 1.122 + x*(-1.40+x*(7.33+x*(-13.08+x*14.0)))
}

func yHoleOne(a, r float64) float64 { return 0.8733/(0.3245+a/r) + 0.6762 }

// yHoleBoth refers Newman's fit to √(πa): 3.36 for a short crack (1.12 × 3), 1
// for a long one.
func yHoleBoth(a, r float64) float64 {
	l := 1 / (1 + a/r)
	return 1 + l*(-0.15+l*(3.46+l*(-4.47+l*3.52)))
}

// SIFInput is what StressIntensity needs for the cracks that one length describes.
type SIFInput struct {
	Geometry Geometry // through, edge, edge-bending, hole, hole-both
	A        q.Length
	Width    q.Length // through and edge
	Radius   q.Length // hole
	Stress   q.Stress // of the gross section, or its range
}

// StressIntensity gives K of a through, edge or hole crack.
func StressIntensity(in SIFInput) (source.Result[q.StressIntensity], error) {
	const method = "sif"
	none := source.Result[q.StressIntensity]{}
	a := in.A.MM()
	if err := positive(method, "crack length", a, "stress", in.Stress.MPa()); err != nil {
		return none, err
	}
	s, err := plainCrack(method, in.Geometry, in.Width.MM(), in.Radius.MM())
	if err != nil {
		return none, err
	}
	if err := s.inRange(method, a); err != nil {
		return none, err
	}
	w := begin(method, "Stress intensity of a crack: "+string(in.Geometry), "K = Y·σ·√(πa)", s.source)
	k := in.Stress.MPa() * s.k(a)
	w.length("crack", in.A, "")
	w.stress("stress", in.Stress, "")
	w.length(s.sizeName, millis(s.size), "")
	w.step("geometry factor", s.formula, "", s.k(a)/math.Sqrt(math.Pi*a), "1")
	w.step("stress intensity", "K = Y·σ·√(πa)", fmt.Sprintf("%s × %s × √(π × %s)", num(s.k(a)/math.Sqrt(math.Pi*a)), num(in.Stress.MPa()), num(a)), k, "N/mm^1.5")
	w.step("the same", "K/31.623", "", k/rootMM, "MPa√m")
	w.note("stress of the gross section; the formula already knows that the width is less")
	w.why("The stress intensity is how hard the crack's tip is pulled; growth and fracture follow it.",
		"A crack is judged by its length alone, and the stress that drives it is forgotten.")
	return result(w, kSI(k)), nil
}

// crack is one geometry as the growth and fracture methods see it. Lengths mm.
type crack struct {
	geometry Geometry
	k        func(a float64) float64 // K over stress, √mm
	ref      func(a float64) float64 // reference stress over stress
	most     float64                 // longest a in range
	least    float64                 // shortest a in range
	size     float64                 // W or R
	sizeName string
	limit    string // what bounds a, for the message
	formula  string
	source   source.Ref
}

func (c crack) inRange(method string, a float64) error {
	return source.InRange(method, "crack length a", a, c.least, c.most, "mm", c.limit)
}

// plainCrack builds the geometries that one length describes.
func plainCrack(method string, g Geometry, width, radius float64) (crack, error) {
	ref := source.At("tada", "", source.Memory)
	size, name := width, "plate width"
	if g == HoleOne || g == HoleBoth {
		size, name = radius, "hole radius"
	}
	if err := positive(method, name, size); err != nil {
		return crack{}, err
	}
	c := crack{geometry: g, size: size, sizeName: name, source: ref}
	var y func(a float64) float64
	switch g {
	case Through:
		y = func(a float64) float64 { return yThrough(a, width) }
		c.ref = func(a float64) float64 { return refThrough(a, width) }
		c.most, c.formula, c.limit = 0.4*width, "Y = √sec(πa/W)", "2a/W ≤ 0.8: hardly anything is left, stop"
	case Edge:
		y = func(a float64) float64 { return yEdge(a, width) }
		c.ref = func(a float64) float64 { return refEdge(a, width) }
		c.most, c.formula, c.limit = 0.6*width, "Y = 1.12 - 0.231α + 10.55α² - 21.72α³ + 30.39α⁴", "a/W ≤ 0.6: hardly anything is left, stop"
	case EdgeBending:
		y = func(a float64) float64 { return yEdgeBending(a, width) }
		c.ref = func(a float64) float64 { return refEdgeBending(a, width) }
		c.most, c.formula, c.limit = 0.6*width, "Y = 1.122 - 1.40α + 7.33α² - 13.08α³ + 14.0α⁴", "a/W ≤ 0.6: hardly anything is left, stop"
	case HoleOne, HoleBoth:
		both := 1.0
		y, c.formula = func(a float64) float64 { return yHoleOne(a, radius) }, "Y = 0.8733/(0.3245 + a/R) + 0.6762"
		if g == HoleBoth {
			both = 2
			y, c.formula = func(a float64) float64 { return yHoleBoth(a, radius) }, "Y = 1 - 0.15λ + 3.46λ² - 4.47λ³ + 3.52λ⁴, λ = 1/(1 + a/R)"
		}
		c.most, c.limit = math.Nextafter(10*radius, 0), "a/R < 10: take hole and crack as one through crack"
		c.ref = func(a float64) float64 { return refHole(a*both, radius, width) }
		if width > 0 {
			c.most = math.Min(c.most, (0.8*width-2*radius)/both)
			c.limit = "a/R < 10 and at most 0.8 of the width cut: take hole and crack as one through crack, or stop"
		}
	default:
		return crack{}, fmt.Errorf("%s: geometry %q is not one of through, edge, edge-bending, hole, hole-both", method, g)
	}
	c.k = func(a float64) float64 { return y(a) * math.Sqrt(math.Pi*a) }
	return c, nil
}
