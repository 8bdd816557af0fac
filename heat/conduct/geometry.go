package conduct

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
)

// Box is a block with its faces along the axes.
type Box struct{ Low, High Point }

func (b Box) has(p [3]float64) bool {
	lo, hi := b.Low.xyz(), b.High.xyz()
	for a := range 3 {
		if p[a] < lo[a] || p[a] > hi[a] {
			return false
		}
	}
	return true
}

// Corner2 is a corner of a cross-section: across and through.
type Corner2 struct{ Y, Z q.Length }

// Groove is what the beads fill: a prism along x with the outline of its
// cross-section. Inside the steel it is what was gouged out; outside, as in a
// fillet, it is what the beads add. It is air until a bead is laid there.
type Groove struct {
	From, To q.Length // along x
	Outline  []Corner2
}

func (g *Groove) has(p [3]float64) bool {
	if p[0] < float64(g.From) || p[0] > float64(g.To) {
		return false
	}
	in := false // even-odd rule
	n := len(g.Outline)
	for i := range n {
		a, b := g.Outline[i], g.Outline[(i+n-1)%n]
		ay, az, by, bz := float64(a.Y), float64(a.Z), float64(b.Y), float64(b.Z)
		if (az > p[2]) != (bz > p[2]) && p[1] < (by-ay)*(p[2]-az)/(bz-az)+ay {
			in = !in
		}
	}
	return in
}

// Area is the area of the cross-section.
func (g *Groove) Area() q.Area {
	sum := 0.0
	n := len(g.Outline)
	for i := range n {
		a, b := g.Outline[i], g.Outline[(i+1)%n]
		sum += float64(a.Y)*float64(b.Z) - float64(b.Y)*float64(a.Z)
	}
	return q.Area(math.Abs(sum) / 2)
}

// Vee is a V groove open to the welder: root opening, root face left below and
// included angle, in a plate of thickness t whose far face is z = 0.
func Vee(from, to, thickness, rootOpening, rootFace q.Length, included q.Angle) *Groove {
	half := rootOpening / 2
	top := half + q.Length(math.Tan(float64(included)/2))*(thickness-rootFace)
	return &Groove{From: from, To: to, Outline: []Corner2{
		{-half, rootFace}, {half, rootFace}, {top, thickness}, {-top, thickness},
	}}
}

// Fillet is the triangle of a fillet weld with equal legs in the corner of a
// tee or corner joint at (y, z), to higher z and to the side of higher (+1) or
// lower (−1) y.
func Fillet(from, to, y, z, leg q.Length, side int) *Groove {
	s := q.Length(1)
	if side < 0 {
		s = -1
	}
	return &Groove{From: from, To: to, Outline: []Corner2{{y, z}, {y + s*leg, z}, {y, z + leg}}}
}

// Body is the shape of the part: the union of Solid less Cut, with a groove.
type Body struct {
	Name  string
	Solid []Box
	Cut   []Box
	// Groove may be nil: beads are then laid on or in the full solid.
	Groove *Groove
	// Sheltered are the spaces where no wind blows, as inside a box section.
	Sheltered []Box
	// HalfY says that only the half y ≥ 0 is given and the plane y = 0 mirrors it.
	HalfY bool
	// HalfX says the same of x.
	HalfX bool
	// Insulated are the faces of the outermost planes that let no heat through,
	// as where the model is cut off in the middle of an evenly heated part.
	Insulated []Face
}

// Plate is a flat plate with the weld in its middle, z = 0 the far face.
func Plate(length, width, thickness q.Length) Body {
	return Body{Name: "plate", Solid: []Box{{
		Point{-length / 2, -width / 2, 0}, Point{length / 2, width / 2, thickness}}}}
}

// HalfPlate is the half y ≥ 0 of a plate heated and welded evenly about y = 0.
func HalfPlate(length, width, thickness q.Length) Body {
	b := Plate(length, width, thickness)
	b.Name = "half plate"
	b.Solid[0].Low.Y = 0
	b.HalfY = true
	return b
}

// Block is a thick block, welded in the middle of its top.
func Block(length, width, depth q.Length) Body {
	b := Plate(length, width, depth)
	b.Name = "block"
	return b
}

// Tee is a plate with a web standing on its middle, on the welder's side. The
// root of the fillet is at y = ±web/2, z = thickness.
func Tee(length, width, thickness, web, height q.Length) Body {
	b := Plate(length, width, thickness)
	b.Name = "tee"
	b.Solid = append(b.Solid, Box{Point{-length / 2, -web / 2, thickness}, Point{length / 2, web / 2, thickness + height}})
	return b
}

// Corner is a flat plate from y = 0 to width with a second plate standing on its
// edge y = 0 to web: the inside corner is at y = web, z = thickness.
func Corner(length, width, thickness, web, height q.Length) Body {
	return Body{Name: "corner", Solid: []Box{
		{Point{-length / 2, 0, 0}, Point{length / 2, width, thickness}},
		{Point{-length / 2, 0, thickness}, Point{length / 2, web, thickness + height}},
	}}
}

// BoxSection is a closed box of four walls with the repaired wall up: its outer
// face is z = top wall thickness, its inner face z = 0. The weld is at x = y = 0
// on the middle of that wall. No wind blows inside.
func BoxSection(length, width, depth, wall, side q.Length) Body {
	lx, hy := length/2, width/2
	return Body{
		Name: "box wall",
		Solid: []Box{
			{Point{-lx, -hy, 0}, Point{lx, hy, wall}},
			{Point{-lx, -hy, wall - depth}, Point{lx, hy, 2*wall - depth}},
			{Point{-lx, -hy, wall - depth}, Point{lx, side - hy, wall}},
			{Point{-lx, hy - side, wall - depth}, Point{lx, hy, wall}},
		},
		Sheltered: []Box{{Point{-lx, side - hy, 2*wall - depth}, Point{lx, hy - side, 0}}},
	}
}

// check finds what is wrong with a body.
func (b *Body) check() error {
	if len(b.Solid) == 0 {
		return fmt.Errorf("the body has no steel: give at least one block")
	}
	for i, s := range b.Solid {
		lo, hi := s.Low.xyz(), s.High.xyz()
		for a := range 3 {
			if !(hi[a] > lo[a]) || math.IsInf(hi[a]-lo[a], 0) {
				return fmt.Errorf("block %d of the body has no extent along %c: its high corner must lie above its low corner", i+1, "xyz"[a])
			}
		}
		if b.HalfY && lo[1] < 0 {
			return fmt.Errorf("half a body has no steel at y below 0, block %d begins at %.4g mm", i+1, lo[1]*1000)
		}
		if b.HalfX && lo[0] < 0 {
			return fmt.Errorf("half a body has no steel at x below 0, block %d begins at %.4g mm", i+1, lo[0]*1000)
		}
	}
	if g := b.Groove; g != nil {
		if len(g.Outline) < 3 || !(g.To > g.From) {
			return fmt.Errorf("a groove needs an outline of at least three corners and a length along x above zero")
		}
	}
	return nil
}

// bounds is the block that holds the body and its groove.
func (b *Body) bounds() (lo, hi [3]float64) {
	lo = [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	hi = [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	grow := func(p [3]float64) {
		for a := range 3 {
			lo[a], hi[a] = min(lo[a], p[a]), max(hi[a], p[a])
		}
	}
	for _, s := range b.Solid {
		grow(s.Low.xyz())
		grow(s.High.xyz())
	}
	if g := b.Groove; g != nil {
		for _, c := range g.Outline {
			grow([3]float64{float64(g.From), float64(c.Y), float64(c.Z)})
			grow([3]float64{float64(g.To), float64(c.Y), float64(c.Z)})
		}
	}
	if b.HalfY {
		lo[1] = max(lo[1], 0)
	}
	if b.HalfX {
		lo[0] = max(lo[0], 0)
	}
	return lo, hi
}

// solidAt says whether a point is steel before any bead is laid, and whether it
// belongs to the groove.
func (b *Body) solidAt(p [3]float64) (solid, groove bool) {
	if b.Groove != nil && b.Groove.has(p) {
		return false, true
	}
	for _, c := range b.Cut {
		if c.has(p) {
			return false, false
		}
	}
	for _, s := range b.Solid {
		if s.has(p) {
			return true, false
		}
	}
	return false, false
}
