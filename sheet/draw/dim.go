package draw

import (
	"math"

	"soundmetal/sheet/draw/font"
)

// arrowSize is the length of an arrow head, mm.
const arrowSize = 2.2

// Arrow is a line with a head at B, and at A too where both.
type Arrow struct {
	A, B Pt
	Both bool
	Pen  Pen
	Head float64 // length of the head, mm; 0 counts as 2.2
}

func (a Arrow) emit(c *context) {
	u, ok := a.B.minus(a.A).unit()
	if !ok {
		return
	}
	head := a.Head
	if head == 0 {
		head = arrowSize
	}
	from, to := a.A, a.B.minus(u.times(head*0.8))
	if a.Both {
		from = a.A.plus(u.times(head * 0.8))
		headAt(c, a.A, u.times(-1), head, a.Pen)
	}
	c.path([]Pt{from, to}, false, a.Pen, None)
	headAt(c, a.B, u, head, a.Pen)
}

// headAt draws an arrow head with its tip at a point, pointing along u.
func headAt(c *context, tip, u Pt, size float64, pen Pen) {
	fill := pen.Tone
	if fill == None {
		fill = Black
	}
	back := tip.minus(u.times(size))
	side := u.across().times(size * 0.18)
	c.path([]Pt{tip, back.plus(side), back.minus(side)}, true, Pen{}, fill)
}

// Dim is a dimension between two points. The line lies Off beside them, to the
// left of the way from A to B as seen; the label stands on it, or beside it
// where it does not fit.
type Dim struct {
	A, B  Pt
	Off   float64
	Label []string // the leading figure, then the other system
	Size  float64  // of the first line, mm
	// Beside puts the label beyond B, not on the line; a label too long for the
	// line goes there by itself.
	Beside bool
	// Below turns the label to the other side of the line.
	Below bool
}

// lines are the label's lines with their sizes.
func (d Dim) lines() []Text {
	var all []Text
	for i, s := range d.Label {
		if s == "" {
			continue
		}
		t := Text{S: s, Size: d.Size, Bold: true, Halo: true}
		if i > 0 {
			t.Size, t.Bold = d.Size*0.8, false
		}
		all = append(all, t)
	}
	return all
}

func (d Dim) emit(c *context) {
	u, ok := d.B.minus(d.A).unit()
	if !ok {
		return
	}
	n := Pt{u.Y, -u.X} // to the left as seen, y being down
	a, b := d.A.plus(n.times(d.Off)), d.B.plus(n.times(d.Off))
	over := math.Copysign(1.2, d.Off)
	if d.Off != 0 {
		gap := math.Copysign(min(0.8, math.Abs(d.Off)/2), d.Off)
		for _, p := range []Pt{d.A, d.B} {
			c.path([]Pt{p.plus(n.times(gap)), p.plus(n.times(d.Off + over))}, false, Hair, None)
		}
	}
	long := b.minus(a).length()
	inside := long >= 2.6*arrowSize
	if inside {
		Arrow{A: a, B: b, Both: true, Pen: Hair}.emit(c)
	} else {
		// no room between: the arrows point in from outside
		tail := 2 * arrowSize
		c.path([]Pt{a, b}, false, Hair, None)
		Arrow{A: a.minus(u.times(tail)), B: a, Pen: Hair}.emit(c)
		Arrow{A: b.plus(u.times(tail)), B: b, Pen: Hair}.emit(c)
	}
	d.label(c, a, b, u, inside)
}

// label stands above a level line, beside an upright one, and beyond B where it
// does not fit.
func (d Dim) label(c *context, a, b, u Pt, inside bool) {
	lines := d.lines()
	if len(lines) == 0 {
		return
	}
	wide, high := 0.0, 0.0
	for _, t := range lines {
		wide = max(wide, t.Width())
		high += t.Size * font.Line
	}
	mid := a.plus(b).times(0.5)
	level := math.Abs(u.X) >= math.Abs(u.Y)
	long := b.minus(a).length()
	switch {
	case level && !d.Beside && (wide <= long-1 || inside && wide <= long+4):
		y := mid.Y - 1 - (high - lines[0].Size*font.Line) // above the line
		if d.Below {
			y = mid.Y + 1.2 + lines[0].Size*font.CapHeight
		}
		stack(c, lines, Pt{mid.X, y}, Middle)
	case level:
		x := b.X + math.Copysign(2*arrowSize+1, u.X)
		if inside {
			x = b.X + math.Copysign(1.5, u.X)
		}
		anchor := Start
		if u.X < 0 {
			anchor = End
		}
		stack(c, lines, Pt{x, mid.Y - high/2 + lines[0].Size*0.95}, anchor)
	default:
		// upright: to the outer side of the line
		x, anchor := mid.X+1.2, Start
		if ((d.Off > 0) == (u.Y > 0)) == d.Below {
			x, anchor = mid.X-1.2, End
		}
		stack(c, lines, Pt{x, mid.Y - high/2 + lines[0].Size*0.95}, anchor)
	}
}

// stack writes lines under each other, the first on the base line given.
func stack(c *context, lines []Text, at Pt, anchor Anchor) {
	for i, t := range lines {
		if i > 0 {
			at.Y += t.Size * font.Line
		}
		t.At, t.Anchor = at, anchor
		t.emit(c)
	}
}

// Angle is the dimension of an angle: an arc with arrows and its label outside.
type Angle struct {
	C        Pt
	R        float64
	From, To float64 // rad, as in Arc
	Label    string
	Size     float64
}

func (a Angle) emit(c *context) {
	arc := Arc{C: a.C, R: a.R, From: a.From, To: a.To, Pen: Hair}
	arc.emit(c)
	turn := math.Copysign(1, a.To-a.From)
	for _, end := range []struct{ at, dir float64 }{{a.From, -turn}, {a.To, turn}} {
		tip := a.C.plus(polar(a.R, end.at))
		along := polar(1, end.at).across().times(end.dir)
		headAt(c, tip, along, arrowSize, Hair)
	}
	mid := (a.From + a.To) / 2
	out := polar(1, mid)
	t := Text{S: a.Label, Size: a.Size, Bold: true, Halo: true, Anchor: Middle}
	// clear of the arc by half the text's extent in that direction
	reach := a.R + 1.2 + math.Abs(out.X)*t.Width()/2 + math.Abs(out.Y)*t.Size*font.CapHeight/2
	t.At = a.C.plus(out.times(reach)).Add(0, t.Size*font.CapHeight/2)
	t.emit(c)
}

// Leader is a note with a line to what it is about.
type Leader struct {
	To    Pt // what it is about: the arrow's tip
	From  Pt // where the note is
	Label []string
	Size  float64
	Left  bool // the note stands to the left of From
}

func (l Leader) emit(c *context) {
	Arrow{A: l.From, B: l.To, Pen: Hair}.emit(c)
	lines := Dim{Label: l.Label, Size: l.Size}.lines()
	if len(lines) == 0 {
		return
	}
	high := 0.0
	for _, t := range lines {
		high += t.Size * font.Line
	}
	at, anchor := l.From.Add(1, 0), Start
	if l.Left {
		at, anchor = l.From.Add(-1, 0), End
	}
	stack(c, lines, at.Add(0, -high/2+lines[0].Size*0.95), anchor)
}
