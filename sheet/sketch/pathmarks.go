package sketch

import (
	"math"
	"strings"

	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// boltSign is a flash, clampSign a jaw on a line.
func boltSign(at draw.Pt) draw.Poly {
	return draw.Poly{Closed: true, Fill: draw.Black, Pts: []draw.Pt{at.Add(0.4, -1.8), at.Add(-1.3, 0.3), at.Add(-0.1, 0.3), at.Add(-0.5, 1.8), at.Add(1.3, -0.4), at.Add(0.1, -0.4)}}
}

func clampSign(at draw.Pt) draw.Poly {
	return draw.Poly{Pen: draw.Normal, Pts: []draw.Pt{at.Add(1.2, -1.4), at.Add(-1.2, -1.4), at.Add(-1.2, 1.4), at.Add(1.2, 1.4), at.Add(1.2, 0.2)}}
}

func mix(a, b draw.Pt, f float64) draw.Pt { return draw.At(a.X+(b.X-a.X)*f, a.Y+(b.Y-a.Y)*f) }

// freeSpot finds a place for a contact's mark on its line, or else beside it,
// clear of boxes and of marks already set, and takes it. foot is where on the
// line the mark belongs.
func freeSpot(from, to draw.Pt, width float64, taken *[]draw.Box) (at, foot draw.Pt) {
	at, foot = mix(from, to, 0.5), mix(from, to, 0.5)
	long := math.Hypot(to.X-from.X, to.Y-from.Y)
	across := draw.At(1, 0)
	if long > 0 {
		across = draw.At(-(to.Y-from.Y)/long, (to.X-from.X)/long)
	}
	least := math.Inf(1)
	for _, off := range []float64{0, 5.5, -5.5, 10, -10, 15, -15, 20, -20, 25, -25, 30, -30, 36, -36, 42, -42} {
		for _, f := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9} {
			on := mix(from, to, f)
			p := on.Add(across.X*off, across.Y*off)
			b, cost := markBox(p), math.Abs(f-0.5)+math.Abs(off)/10
			for _, t := range *taken {
				if b.Meets(t, 0) {
					cost += 10
				}
			}
			if b.X0 < 1 || b.X1 > width-1 || b.Y0 < 1 {
				cost += 10
			}
			if cost < least {
				at, foot, least = p, on, cost
			}
		}
	}
	*taken = append(*taken, markBox(at))
	return at, foot
}

const markRadius = 2.4

func markBox(at draw.Pt) draw.Box {
	return draw.Box{X0: at.X - markRadius, Y0: at.Y - markRadius, X1: at.X + markRadius, Y1: at.Y + markRadius}
}

// contactMark is a contact's number in a ring; a square with corners cut by a
// cross behind it says that no current may pass.
func contactMark(at draw.Pt, number int, flag bool) draw.Group {
	size := 3.2
	if number > 9 {
		size = 2.8
	}
	var items []draw.Item
	if flag {
		const r = 3.1
		items = append(items, draw.Line{A: at.Add(-r, -r), B: at.Add(r, r), Pen: draw.Pen{Width: 1}}, draw.Line{A: at.Add(-r, r), B: at.Add(r, -r), Pen: draw.Pen{Width: 1}})
	}
	items = append(items, draw.Circle(at, markRadius, draw.Normal, draw.White),
		draw.Text{At: at.Add(0, size*font.CapHeight/2), S: itoa(number), Size: size, Bold: true, Anchor: draw.Middle})
	return draw.Group{Items: items}
}

// contactLine is a contact in the list below: number, current, what it joins. It
// gives the lines and their foot.
func (p *page) contactLine(y float64, number int, c Contact, a, b string) ([]draw.Item, float64) {
	const left = 11
	y += p.small() * 1.9
	items := []draw.Item{contactMark(draw.At(6, y-p.small()*0.35), number, c.Flag)}
	bold := c.Text
	if c.Flag {
		bold = strings.TrimSpace(bold + "  " + p.t("path.never"))
	}
	name := a + " – " + b
	if c.Name != "" {
		name = c.Name + ", " + name
	}
	if bold != "" {
		head := draw.Text{At: draw.At(left, y), S: bold, Size: p.small(), Bold: true}
		items = append(items, head)
		if rest := p.note(draw.At(left+head.Width()+2.5, y), name, draw.Start); rest.At.X+rest.Width() <= p.Width-2 {
			return append(items, rest), y
		}
		y += p.small() * 1.4
	}
	for i, line := range p.broken(name, (p.Width-left-2)*0.94) {
		if i > 0 {
			y += p.small() * 1.4
		}
		items = append(items, draw.Text{At: draw.At(left, y), S: line, Size: p.small()})
	}
	return items, y
}
