// Package joint turns a crack into an excavation, the excavation into a groove,
// and the groove into beads: how far the crack is taken out, what shape the
// groove gets for the access there is, how much metal that is, where every bead
// lies in the cross-section, and in which order the blocks are welded.
//
// Lengths across the groove are measured from its centreline (x), heights from
// the root of the first side (y up, towards the first face). The second side of
// a groove welded from both sides lies below y = 0.
package joint

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Shape is the cross-section of a groove.
type Shape string

const (
	SingleV     Shape = "single-v"
	DoubleV     Shape = "double-v" // in Area only; a Groove says it with SecondSide
	SingleBevel Shape = "single-bevel"
	SingleU     Shape = "single-u"
	SingleJ     Shape = "single-j"
	Square      Shape = "square"
)

// Backing is what closes the root from behind.
type Backing string

const (
	NoBacking    Backing = ""
	SteelBacking Backing = "steel"
)

// Groove is a groove prepared from one face, with the second side behind it
// where the part is welded from both.
type Groove struct {
	Shape       Shape    `json:"shape"`
	Angle       q.Angle  `json:"angle"`        // included angle of a V; bevel angle; side angle from vertical of a U or J
	RootOpening q.Length `json:"root_opening"` // gap at the root; of a U between its two arcs
	RootFace    q.Length `json:"root_face"`    // land; part of Depth
	Radius      q.Length `json:"radius"`       // root radius of a U or J
	Depth       q.Length `json:"depth"`        // from the face to the root, root face included
	Thickness   q.Length `json:"thickness"`    // of the part
	Backing     Backing  `json:"backing,omitempty"`
	BackingSize q.Length `json:"backing_size,omitempty"` // thickness of the backing
	TopWidth    q.Length `json:"top_width"`              // at the face; filled by this package
	SecondSide  *Groove  `json:"second_side,omitempty"`  // prepared or back-gouged from the other face
}

// Point is a point of the cross-section.
type Point struct {
	X q.Length `json:"x"` // across, from the centreline
	Y q.Length `json:"y"` // up, from the root of the first side
}

// through says that the groove, with its second side, goes right through.
func (g Groove) through() bool {
	d := g.Depth
	if g.SecondSide != nil {
		d += g.SecondSide.Depth
	}
	return d >= g.Thickness-1e-9
}

// Bite is how far the second side reaches into the first side's weld. A
// negative bite is metal left unwelded between the two.
func (g Groove) Bite() q.Length {
	if g.SecondSide == nil {
		return 0
	}
	return g.Depth + g.SecondSide.Depth - g.Thickness
}

// Check refuses a groove that cannot be made.
func (g Groove) Check() error {
	if _, err := g.profile(); err != nil {
		return err
	}
	if !(g.Thickness > 0) {
		return fmt.Errorf("the thickness must be more than 0 mm, not %.4g mm", g.Thickness.MM())
	}
	if g.Depth > g.Thickness+1e-9 {
		return fmt.Errorf("the groove is %.4g mm deep in a part of %.4g mm", g.Depth.MM(), g.Thickness.MM())
	}
	if s := g.SecondSide; s != nil {
		if s.SecondSide != nil {
			return fmt.Errorf("the second side of a groove has no second side of its own")
		}
		if g.Backing != NoBacking {
			return fmt.Errorf("a groove with a second side has no backing")
		}
		if _, err := s.profile(); err != nil {
			return fmt.Errorf("second side: %w", err)
		}
		if s.Depth > g.Thickness+1e-9 {
			return fmt.Errorf("the second side is %.4g mm deep in a part of %.4g mm", s.Depth.MM(), g.Thickness.MM())
		}
		if g.Bite() > g.Depth {
			return fmt.Errorf("the second side removes the whole first side")
		}
	}
	return nil
}

// Width is the width of the groove at its face.
func (g Groove) Width() (q.Length, error) {
	p, err := g.profile()
	if err != nil {
		return 0, err
	}
	return q.Length(p.width(p.depth)) * q.Millimetre, nil
}

// withWidths fills TopWidth on both sides.
func (g Groove) withWidths() (Groove, error) {
	w, err := g.Width()
	if err != nil {
		return g, err
	}
	g.TopWidth = w
	if g.SecondSide != nil {
		s, err := g.SecondSide.withWidths()
		if err != nil {
			return g, err
		}
		g.SecondSide = &s
	}
	return g, nil
}

// Outline is the closed outline of the groove of one side, 1 or 2, in the
// coordinates of the whole joint, for drawing.
func (g Groove) Outline(side int) ([]Point, error) {
	h := &g
	if side == 2 {
		h = g.SecondSide
	}
	if h == nil || side < 1 || side > 2 {
		return nil, fmt.Errorf("the groove has no side %d", side)
	}
	p, err := h.profile()
	if err != nil {
		return nil, err
	}
	pen := pen{flip: side == 2, shift: g.Bite().MM()}
	ys := p.levels(nil, 0, p.depth)
	for _, y := range ys {
		pen.to(p.left(y), y)
	}
	for i := len(ys) - 1; i >= 0; i-- {
		pen.to(p.right(ys[i]), ys[i])
	}
	return pen.points, nil
}

// length prints a length in both systems.
func length(l q.Length) string { return l.Text(q.SI) }

// lengths prints a range of lengths, or the one length.
func lengths(r q.Of[q.Length]) string { return r.Text(q.SI) }

// degrees prints an angle.
func degrees(a q.Angle) string { return fmt.Sprintf("%.4g°", a.Degrees()) }

// inRange is source.InRange for a groove angle in degrees, ends excluded.
func angleIn(what string, a q.Angle, low, high float64) error {
	if d := a.Degrees(); !(d > low && d < high) {
		return &source.OutOfRange{Method: "groove-area", Quantity: what, Value: d, Low: low, High: high, Unit: "°", Instead: "an angle between the two, ends excluded"}
	}
	return nil
}

func finite(l q.Length) bool { return !math.IsNaN(float64(l)) && !math.IsInf(float64(l), 0) }
