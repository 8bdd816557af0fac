package strength

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed residual.csv
var residualCSV string

var residualRows = source.Table("residual.csv", residualCSV)

// CrackCase is a crack as it was measured.
type CrackCase struct {
	Geometry  Geometry
	A         q.Length // half length of a through crack, length from edge or hole, depth of a surface crack
	C         q.Length // half length of a surface crack
	Width     q.Length // of the plate or flange
	Thickness q.Length
	Radius    q.Length // of a hole
	Footprint q.Length // of the attachment at a weld toe
}

// Sizing says how the crack was measured: "" as given, eye or dye.
type Sizing string

const (
	ByEye Sizing = "eye"
	ByDye Sizing = "dye"
)

// allow adds what the way of measuring misses at each end.
func (c CrackCase) allow(s Sizing) (CrackCase, error) {
	var more q.Length
	switch s {
	case "":
		return c, nil
	case ByEye, ByDye:
		more = millis(fig("size_" + string(s)))
	default:
		return c, fmt.Errorf("sizing %q: eye, dye or nothing would do", s)
	}
	if c.Geometry == Surface || c.Geometry == WeldToe {
		c.C += more
		return c, nil
	}
	c.A += more
	return c, nil
}

// follow makes the growth table of the case; ds is the median range, MPa, by
// which the shape of a surface crack is followed.
func (c CrackCase) follow(method string, law growthLaw, ds float64) (growthTable, error) {
	if c.Geometry != Surface && c.Geometry != WeldToe {
		plain, err := plainCrack(method, c.Geometry, c.Width.MM(), c.Radius.MM())
		if err != nil {
			return growthTable{}, err
		}
		if err := plain.inRange(method, c.A.MM()); err != nil {
			return growthTable{}, err
		}
		return plain.table(c.A.MM(), law), nil
	}
	f := surfaceFront{t: c.Thickness.MM(), b: c.Width.MM() / 2, membrane: ds}
	if c.Geometry == WeldToe {
		f.l = c.Footprint.MM()
		if err := positive(method, "footprint of the attachment", f.l); err != nil {
			return growthTable{}, err
		}
	}
	a, half := c.A.MM(), c.C.MM()
	if err := surfaceRange(method, a, half, f.t, f.b); err != nil {
		return growthTable{}, err
	}
	path, err := f.march(method, law, a, half, 0.8*f.t, gridPoints-1)
	if err != nil {
		return growthTable{}, err
	}
	t := growthTable{m1: law.m1, m2: law.m2}
	bare := surfaceFront{t: f.t, b: f.b, membrane: 1}
	for _, p := range path {
		deep, tip := f.deltaK(p.a, p.c)
		rDeep, rTip := bare.deltaK(p.a, p.c)
		k := deep / ds
		if n := len(t.k); n > 0 { // the toe factor may dip where its two lines meet
			k = math.Max(k, t.k[n-1])
		}
		t.a, t.k, t.kf = append(t.a, p.a), append(t.k, k), append(t.kf, math.Max(deep, tip)/ds)
		t.kr = append(t.kr, math.Max(rDeep, rTip))
		t.ref = append(t.ref, refSurface(p.a, p.c, f.t, 1, 0))
	}
	t.integrate()
	return t, nil
}

// length is what the crack takes across the stress.
func (c CrackCase) length() q.Length {
	switch c.Geometry {
	case Through:
		return 2 * c.A
	case Surface, WeldToe:
		return 2 * c.C
	}
	return c.A
}

// cut is the share of the width that the crack takes.
func (c CrackCase) cut() float64 {
	w := c.Width.MM()
	switch c.Geometry {
	case Through:
		return 2 * c.A.MM() / w
	case Edge, EdgeBending:
		return c.A.MM() / w
	case HoleOne:
		return (c.A + 2*c.Radius).MM() / w
	case HoleBoth:
		return 2 * (c.A + c.Radius).MM() / w
	}
	return 2 * c.C.MM() / w
}

// ResidualRange gives the residual stress to reckon with at a starting point, as
// shares of the yield.
func ResidualRange(start string, yield q.Stress) (q.Of[q.Stress], string, source.Ref) {
	var other source.Row
	for _, r := range residualRows {
		if r.Text("start") == start {
			other = r
			break
		}
		if r.Text("start") == "" {
			other = r
		}
	}
	return q.Of[q.Stress]{Low: q.Stress(other.Num("low")) * yield, High: q.Stress(other.Num("high")) * yield}, other.Text("note"), other.Ref()
}
