package sketch

import (
	"math"
	"strings"

	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// Path is the way of the welding current through a machine.
type Path struct {
	Bodies   []Body
	Contacts []Contact
	Arc      string // id of the body that is welded
	Clamp    string // id of the body with the work clamp
}

// Body is a part of the machine that conducts as a whole. X and Y place it: 0 to
// 100 from left to right and from the ground up.
type Body struct {
	ID, Name string
	X, Y     float64
}

// Contact joins two bodies. Share is the part of the current through it, 0 to 1;
// Text is the current in words; Flag says that no welding current may pass there.
type Contact struct {
	A, B  string
	Name  string
	Share float64
	Text  string
	Flag  bool
}

// bodyBox is a body on the paper.
type bodyBox struct {
	Body
	at    draw.Pt // centre
	lines []string
	w, h  float64
}

// DrawPath draws bodies as boxes and contacts as lines, thicker for more
// current; a contact that must carry none is crossed out.
func DrawPath(s Path, f Frame) *draw.Drawing {
	p := f.begin(f.filled().t("path.title"), "")
	p.d.Desc = s.describe(p.Frame)
	high := p.High
	if f.High == 0 {
		high = p.Width * 0.6
		if p.Width < 130 {
			high = p.Width
		}
	}
	boxes := p.bodies(s, high)
	index := map[string]int{}
	for i, b := range boxes {
		index[b.ID] = i
	}
	var lines, rings []draw.Item
	var taken []draw.Box
	for _, b := range boxes {
		taken = append(taken, b.box(0.6))
	}
	foot := 0.0
	for _, b := range boxes {
		foot = max(foot, b.at.Y+b.h/2+4)
	}
	var list []draw.Item
	number := 0
	for n, c := range s.Contacts {
		i, okA := index[c.A]
		k, okB := index[c.B]
		if !okA || !okB {
			continue
		}
		number++
		from, to := boxes[i].edge(boxes[k].at), boxes[k].edge(boxes[i].at)
		from, to = s.beside(n, from, to)
		a, b := s.beside(n, boxes[i].at, boxes[k].at) // the boxes lie on top of the line's ends
		pen := draw.Pen{Width: 0.25 + 1.6*min(1, max(0, c.Share))}
		if c.Share < 0.005 {
			pen = draw.Dashed
		}
		lines = append(lines, draw.Group{Title: c.Name + " " + c.Text, Items: []draw.Item{draw.Line{A: a, B: b, Pen: pen}}})
		at, on := freeSpot(from, to, p.Width, &taken)
		if at != on {
			rings = append(rings, draw.Line{A: at, B: on, Pen: draw.Hair})
		}
		rings = append(rings, contactMark(at, number, c.Flag))
		var row []draw.Item
		row, foot = p.contactLine(foot, number, c, boxes[i].Name, boxes[k].Name)
		list = append(list, row...)
	}
	p.add(lines...)
	for _, b := range boxes {
		p.add(b.draw(p, s))
	}
	p.add(rings...)
	p.add(list...)
	return p.finish(foot + 3)
}

// bodies places the boxes, wrapping long names, and pushes apart those that
// would overlap.
func (p *page) bodies(s Path, high float64) []bodyBox {
	widest := p.Width * 0.24
	boxes := make([]bodyBox, len(s.Bodies))
	for i, b := range s.Bodies {
		box := bodyBox{Body: b, lines: p.broken(b.Name, widest)}
		for _, l := range box.lines {
			box.w = max(box.w, font.Width(l, true)*p.small())
		}
		for range s.signs(b.ID) {
			box.lines = append(box.lines, "")
			box.w = max(box.w, font.Width(p.t("path.clamp"), true)*p.small()+5, font.Width(p.t("path.arc"), true)*p.small()+5)
		}
		box.w += 4
		box.h = float64(len(box.lines))*p.small()*font.Line + 3
		boxes[i] = box
	}
	for i := range boxes {
		b := &boxes[i]
		b.at = draw.At(3+b.w/2+(p.Width-6-b.w)*b.X/100, 4+b.h/2+(high-b.h)*(1-b.Y/100))
	}
	const gap = 5
	for range 200 { // push apart, a little at a time; the order is fixed, so is the outcome
		moved := false
		for i := range boxes {
			for k := i + 1; k < len(boxes); k++ {
				a, b := &boxes[i], &boxes[k]
				dx := (a.w+b.w)/2 + gap - math.Abs(a.at.X-b.at.X)
				dy := (a.h+b.h)/2 + gap - math.Abs(a.at.Y-b.at.Y)
				if dx <= 0 || dy <= 0 {
					continue
				}
				moved = true
				if dy <= dx {
					d := math.Copysign(min(dy/2, 1), a.at.Y-b.at.Y)
					a.at.Y, b.at.Y = a.at.Y+d, b.at.Y-d
				} else {
					d := math.Copysign(min(dx/2, 1), a.at.X-b.at.X)
					a.at.X, b.at.X = a.at.X+d, b.at.X-d
				}
			}
		}
		for i := range boxes {
			b := &boxes[i]
			b.at.X = min(max(b.at.X, 2+b.w/2), p.Width-2-b.w/2)
			b.at.Y = min(max(b.at.Y, 3+b.h/2), 3+high-b.h/2)
		}
		if !moved {
			break
		}
	}
	top := math.Inf(1) // no empty strip above
	for _, b := range boxes {
		top = min(top, b.at.Y-b.h/2)
	}
	for i := range boxes {
		boxes[i].at.Y += 3 - top
	}
	return boxes
}

// broken wraps a name to a width; a word too long stays whole.
func (p *page) broken(name string, width float64) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(name) {
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line != "" && font.Width(next, true)*p.small() > width {
			lines = append(lines, line)
			next = w
		}
		line = next
	}
	return append(lines, line)
}

func (b bodyBox) box(margin float64) draw.Box {
	return draw.Box{X0: b.at.X - b.w/2 - margin, Y0: b.at.Y - b.h/2 - margin, X1: b.at.X + b.w/2 + margin, Y1: b.at.Y + b.h/2 + margin}
}

// edge is where a line from the middle towards a point leaves the box.
func (b bodyBox) edge(to draw.Pt) draw.Pt {
	dx, dy := to.X-b.at.X, to.Y-b.at.Y
	f := math.Inf(1)
	if dx != 0 {
		f = min(f, b.w/2/math.Abs(dx))
	}
	if dy != 0 {
		f = min(f, b.h/2/math.Abs(dy))
	}
	if math.IsInf(f, 1) || f > 1 {
		return b.at
	}
	return b.at.Add(dx*f, dy*f)
}

func (b bodyBox) draw(p *page, s Path) draw.Group {
	box := b.box(0)
	pen := draw.Thin
	if b.ID == s.Arc || b.ID == s.Clamp {
		pen = draw.Thick
	}
	items := []draw.Item{draw.Rect(box.X0, box.Y0, b.w, b.h, pen, draw.White)}
	y := box.Y0 + 1.5 + p.small()*0.95
	signs := s.signs(b.ID)
	for _, l := range b.lines {
		t := draw.Text{At: draw.At(b.at.X, y), S: l, Size: p.small(), Bold: true, Anchor: draw.Middle}
		if l == "" { // the arc or the clamp, with its sign
			word := p.t("path.arc")
			sign := boltSign(draw.At(box.X0+3, y-p.small()*0.35))
			if signs[0] == clampHere {
				word, sign = p.t("path.clamp"), clampSign(draw.At(box.X0+3, y-p.small()*0.35))
			}
			signs = signs[1:]
			items = append(items, sign)
			t.At, t.S, t.Anchor, t.Bold = draw.At(box.X0+6, y), word, draw.Start, false
		}
		items = append(items, t)
		y += p.small() * font.Line
	}
	return draw.Group{Title: b.Name, Items: items}
}

// The signs that a body may carry.
const (
	arcHere = iota
	clampHere
)

// signs are the arc and the clamp, where they are on the body.
func (s Path) signs(id string) (all []int) {
	if id == s.Arc {
		all = append(all, arcHere)
	}
	if id == s.Clamp {
		all = append(all, clampHere)
	}
	return all
}

// beside moves the line of a contact aside where several join the same two
// bodies, so that each is seen.
func (s Path) beside(n int, from, to draw.Pt) (draw.Pt, draw.Pt) {
	const apart = 2*markRadius + 1.2
	c, place, count := s.Contacts[n], 0.0, 0.0
	for i, o := range s.Contacts {
		if o.A == c.A && o.B == c.B || o.A == c.B && o.B == c.A {
			if i < n {
				place++
			}
			count++
		}
	}
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if count < 2 || length == 0 {
		return from, to
	}
	off := (place - (count-1)/2) * apart
	x, y := -(to.Y-from.Y)/length*off, (to.X-from.X)/length*off
	return from.Add(x, y), to.Add(x, y)
}

func (s Path) describe(f Frame) string {
	names := map[string]string{}
	for _, b := range s.Bodies {
		names[b.ID] = b.Name
	}
	text := f.t("path.desc") + " " + f.t("path.arc") + ": " + names[s.Arc] + ". " + f.t("path.clamp") + ": " + names[s.Clamp] + "."
	for _, c := range s.Contacts {
		text += " " + names[c.A] + " – " + names[c.B] + " (" + c.Name + ")"
		if c.Text != "" {
			text += ": " + f.t("path.share", c.Text)
		}
		if c.Flag {
			text += ": " + f.t("path.never")
		}
		text += "."
	}
	return text
}
