package joint

// The profile of a groove: half-widths, section and its inverse, by height.
//
// Method (mm, y from the root up, f root face, g root opening, v = y − f)
//   offset of a sloped wall from the gap's edge
//     square       0
//     V, bevel     v·tan β                       (β = half the included angle of a V)
//     U, J         √(R² − (R − v)²)              up to v = R(1 − sin θ)
//                  R·cos θ + (v − R(1 − sin θ))·tan θ   above
//   section between two heights = g·Δy + k·∫ offset dy, k = 2 (1 for bevel, J)
// The integrals are in closed form; a layer of a given section is found by
// Newton steps kept inside a bracket. Source: derived.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

type profile struct {
	gap, face, depth float64 // mm
	tan              float64 // of the sloped wall
	r, rise, reach   float64 // U, J: radius, height of the arc, offset at its end
	arc              float64 // U, J: angle of the arc, rad
	both             bool    // both walls slope
}

// profile checks the measures of one side and makes its profile.
func (g Groove) profile() (profile, error) {
	var p profile
	for _, l := range []struct {
		what string
		v    q.Length
	}{{"root opening", g.RootOpening}, {"root face", g.RootFace}, {"root radius", g.Radius}, {"groove depth", g.Depth}} {
		if l.v < 0 || !finite(l.v) {
			return p, fmt.Errorf("the %s must be 0 mm or more, not %.4g mm", l.what, l.v.MM())
		}
	}
	if g.Depth == 0 {
		return p, fmt.Errorf("the groove depth must be more than 0 mm")
	}
	p = profile{gap: g.RootOpening.MM(), face: g.RootFace.MM(), depth: g.Depth.MM(), both: true}
	if p.face > p.depth {
		return p, &source.OutOfRange{Method: "groove-area", Quantity: "root face", Value: p.face, High: p.depth, Unit: "mm", Instead: "a root face is not more than the groove's depth"}
	}
	half := float64(g.Angle)
	switch g.Shape {
	case Square:
		if !(p.gap > 0) {
			return p, fmt.Errorf("a square groove needs a root opening of more than 0 mm")
		}
		p.face = p.depth
	case SingleV:
		if err := angleIn("included angle", g.Angle, 0, 180); err != nil {
			return p, err
		}
		half /= 2
	case SingleBevel, SingleU, SingleJ:
		if err := angleIn("side angle", g.Angle, 0, 90); err != nil {
			// a U with upright sides is a groove too
			if g.Shape == SingleBevel || g.Angle != 0 {
				return p, err
			}
		}
	default:
		return p, fmt.Errorf("no groove shape %q: use single-v, single-bevel, single-u, single-j or square", g.Shape)
	}
	p.both = g.Shape != SingleBevel && g.Shape != SingleJ
	if g.Shape != Square {
		p.tan = math.Tan(half)
	}
	if g.Shape == SingleU || g.Shape == SingleJ {
		p.r = g.Radius.MM()
		if p.r == 0 {
			return p, fmt.Errorf("a U or J groove needs a root radius of more than 0 mm")
		}
		p.rise, p.reach, p.arc = p.r*(1-math.Sin(half)), p.r*math.Cos(half), math.Pi/2-half
		if d := p.depth - p.face; d < p.rise-1e-9 {
			return p, &source.OutOfRange{Method: "groove-area", Quantity: "depth above the root face", Value: d, Low: p.rise, High: math.Inf(1), Unit: "mm",
				Instead: "shallower than its own root arc: use a smaller radius or a V"}
		}
	}
	return p, nil
}

// open is the height from which metal can be laid: a root face whose gap is shut
// takes none.
func (p *profile) open() float64 {
	const shut = 0.1 // mm
	if p.gap < shut && p.face < p.depth {
		return p.face
	}
	return 0
}

// offset is how far a sloped wall stands off the gap's edge at height y.
func (p *profile) offset(y float64) float64 {
	v := y - p.face
	if v <= 0 {
		return 0
	}
	if p.r == 0 {
		return v * p.tan
	}
	if v < p.rise {
		return math.Sqrt(v * (2*p.r - v))
	}
	return p.reach + (v-p.rise)*p.tan
}

func (p *profile) right(y float64) float64 { return p.gap/2 + p.offset(y) }

func (p *profile) left(y float64) float64 {
	if p.both {
		return -p.gap/2 - p.offset(y)
	}
	return -p.gap / 2
}

func (p *profile) width(y float64) float64 { return p.gap + p.walls()*p.offset(y) }

func (p *profile) walls() float64 {
	if p.both {
		return 2
	}
	return 1
}

// under is the section between the root and height y.
func (p *profile) under(y float64) float64 { return p.gap*y + p.walls()*p.wedge(y-p.face) }

// wedge is the integral of the offset up to v above the root face.
func (p *profile) wedge(v float64) float64 {
	if v <= 0 {
		return 0
	}
	if p.r == 0 {
		return v * v * p.tan / 2
	}
	if v < p.rise {
		return p.bow(v)
	}
	h := v - p.rise
	return p.bow(p.rise) + p.reach*h + h*h*p.tan/2
}

// bow is ∫ √(s(2R − s)) ds from 0 to v: half a segment of the root circle.
func (p *profile) bow(v float64) float64 {
	u := p.r - v
	return (math.Pi/2*p.r*p.r - u*math.Sqrt(v*(2*p.r-v)) - p.r*p.r*math.Asin(u/p.r)) / 2
}

// height finds the height whose section, from the root, is area.
func (p *profile) height(area float64) float64 {
	low, high := 0.0, p.depth
	if area >= p.under(high) {
		return high
	}
	y := high / 2
	for range 60 {
		e := p.under(y) - area
		if math.Abs(e) <= 1e-9*area {
			break
		}
		if e > 0 {
			high = y
		} else {
			low = y
		}
		y -= e / p.width(y)
		if !(y > low && y < high) {
			y = (low + high) / 2
		}
	}
	return y
}

// arcStep is the largest angle between two drawn points of a root arc: the
// chord stays within 0.3 % of the sector.
const arcStep = math.Pi / 24

// levels appends the heights at which a wall is drawn between two heights: the
// ends, the corner of the root face and points on the arc.
func (p *profile) levels(ys []float64, from, to float64) []float64 {
	ys = append(ys, from)
	in := func(y float64) {
		if y > from+1e-9 && y < to-1e-9 {
			ys = append(ys, y)
		}
	}
	in(p.face)
	if p.r > 0 && from < p.face+p.rise {
		a0, a1 := p.angleAt(from), p.angleAt(to)
		n := int(math.Ceil((a1 - a0) / arcStep))
		for i := 1; i <= n; i++ {
			a := a0 + (a1-a0)*float64(i)/float64(n)
			in(p.face + p.r*(1-math.Cos(a)))
		}
	}
	return append(ys, to)
}

// angleAt is the angle on the root arc at height y, within the arc.
func (p *profile) angleAt(y float64) float64 {
	v := y - p.face
	if v <= 0 {
		return 0
	}
	if v >= p.rise {
		return p.arc
	}
	return math.Acos(1 - v/p.r)
}

// pen draws points in the coordinates of the whole joint.
type pen struct {
	points []Point
	flip   bool    // second side: seen from below
	shift  float64 // height of the second side's root, mm
}

func (p *pen) to(x, y float64) {
	if p.flip {
		y = p.shift - y
	}
	p.points = append(p.points, Point{q.Length(x * 1e-3), q.Length(y * 1e-3)})
}
