package draw

import (
	"math"

	"soundmetal/sheet/draw/font"
)

// Sink takes a drawing apart into what every writer can do: paths, text and
// pictures, in the order they are painted. Coordinates are those of the outermost
// drawing.
type Sink interface {
	Begin(title, desc string) // a group
	End()
	Path(pts []Pt, closed bool, pen Pen, fill Tone)
	Text(t Text) // Halo is done already
	Image(i Image)
}

// Emit writes the drawing to a sink.
func Emit(d *Drawing, s Sink) {
	c := &context{sink: s, scale: 1}
	for _, i := range d.Items {
		i.emit(c)
	}
}

// context is where items are drawn: a sink behind a shift and a scale.
type context struct {
	sink  Sink
	shift Pt
	scale float64
}

func (c *context) pt(p Pt) Pt { return p.times(c.scale).plus(c.shift) }

func (c *context) pen(p Pen) Pen {
	p.Width *= c.scale
	if c.scale != 1 {
		dash := make([]float64, len(p.Dash))
		for i, d := range p.Dash {
			dash[i] = d * c.scale
		}
		p.Dash = dash
	}
	if p.Tone == None {
		p.Tone = Black
	}
	return p
}

func (c *context) path(pts []Pt, closed bool, pen Pen, fill Tone) {
	if len(pts) < 2 || (pen.Width == 0 && fill == None) {
		return
	}
	out := make([]Pt, len(pts))
	for i, p := range pts {
		out[i] = c.pt(p)
	}
	c.sink.Path(out, closed, c.pen(pen), fill)
}

func (l Line) emit(c *context) { c.path([]Pt{l.A, l.B}, false, l.Pen, None) }

func (p Poly) emit(c *context) { c.path(p.Pts, p.Closed, p.Pen, p.Fill) }

// arcStep is the largest angle between two points of a drawn arc; the chord of
// a circle of 20 mm then stays within 0.01 mm.
const arcStep = math.Pi / 48

func (a Arc) points() []Pt {
	n := max(2, int(math.Ceil(math.Abs(a.To-a.From)/arcStep)))
	pts := make([]Pt, 0, n+1)
	for i := 0; i <= n; i++ {
		pts = append(pts, a.C.plus(polar(a.R, a.From+(a.To-a.From)*float64(i)/float64(n))))
	}
	return pts
}

func (a Arc) emit(c *context) {
	pts := a.points()
	closed := math.Abs(a.To-a.From) >= 2*math.Pi-1e-9
	if closed {
		pts = pts[:len(pts)-1]
	}
	c.path(pts, closed, a.Pen, a.Fill)
}

func (t Text) emit(c *context) {
	if t.S == "" {
		return
	}
	if t.Halo {
		c.path(t.corners(0.12*t.Size), true, Pen{}, White)
	}
	t.At, t.Size, t.Halo = c.pt(t.At), t.Size*c.scale, false
	if t.Tone == None {
		t.Tone = Black
	}
	c.sink.Text(t)
}

// Width is the width of the text on the paper.
func (t Text) Width() float64 { return font.Width(t.S, t.Bold) * t.Size }

// corners are those of the box round the text, in the order round it.
func (t Text) corners(margin float64) []Pt {
	w := t.Width()
	x := map[Anchor]float64{Start: 0, Middle: -w / 2, End: -w}[t.Anchor]
	top, bottom := -font.CapHeight*t.Size-margin, font.Descent*t.Size*0.7+margin
	box := []Pt{{x - margin, top}, {x + w + margin, top}, {x + w + margin, bottom}, {x - margin, bottom}}
	sin, cos := math.Sincos(-t.Turn * math.Pi / 180)
	for i, p := range box {
		box[i] = t.At.plus(Pt{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos})
	}
	return box
}

func (g Group) emit(c *context) {
	c.sink.Begin(g.Title, g.Desc)
	for _, i := range g.Items {
		i.emit(c)
	}
	c.sink.End()
}

func (p Place) emit(c *context) {
	if p.Scale == 0 {
		p.Scale = 1
	}
	inner := &context{sink: c.sink, shift: c.pt(p.At), scale: c.scale * p.Scale}
	c.sink.Begin(p.D.Title, p.D.Desc)
	for _, i := range p.D.Items {
		i.emit(inner)
	}
	c.sink.End()
}

func (i Image) emit(c *context) {
	i.At, i.W, i.H = c.pt(i.At), i.W*c.scale, i.H*c.scale
	c.sink.Image(i)
}
