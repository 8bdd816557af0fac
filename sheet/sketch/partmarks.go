package sketch

import (
	"math"

	"soundmetal/sheet/draw"
)

// plate draws the part itself, with edges or torn ends.
func (p *page) plate(s Part, v partView, low, high, upper, lower float64) {
	left, right := v.x(low), v.x(high)
	edgeL, edgeR := s.Edges > 0, s.Edges > 1 || (s.Edges == 1 && s.Width.Known && math.Abs(high-mm(s.Width.V)-4) < 1e-6)
	if edgeL {
		left = v.x(0)
	}
	if edgeR {
		right = v.x(high - 4)
	}
	p.add(draw.Poly{Pts: []draw.Pt{{X: left, Y: upper}, {X: right, Y: upper}, {X: right, Y: lower}, {X: left, Y: lower}}, Closed: true, Fill: draw.White})
	for _, side := range []struct {
		x    float64
		edge bool
	}{{left, edgeL}, {right, edgeR}} {
		if side.edge {
			p.add(draw.Line{A: draw.At(side.x, upper), B: draw.At(side.x, lower), Pen: draw.Thick})
		} else {
			p.add(torn(draw.At(side.x, upper), draw.At(side.x, lower)))
		}
	}
	p.add(torn(draw.At(left, upper), draw.At(right, upper)), torn(draw.At(left, lower), draw.At(right, lower)))
	if edgeL {
		p.add(p.note(draw.At(left, lower+1.5+p.small()), p.t("part.edge"), draw.Start))
	}
	if edgeR {
		p.add(p.note(draw.At(right, lower+1.5+p.small()), p.t("part.edge"), draw.End))
	}
}

// torn is the thin wavy line where a drawing stops but the part goes on.
func torn(a, b draw.Pt) draw.Poly {
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long < 1e-9 {
		return draw.Poly{}
	}
	n := max(8, int(long/1.5))
	var pts []draw.Pt
	for i := 0; i <= n; i++ {
		f := float64(i) / float64(n)
		w := 0.35 * math.Sin(f*long/3)
		pts = append(pts, draw.At(a.X+f*(b.X-a.X)-w*(b.Y-a.Y)/long, a.Y+f*(b.Y-a.Y)+w*(b.X-a.X)/long))
	}
	return draw.Poly{Pts: pts, Pen: draw.Thin.In(draw.Mid)}
}

// excavation draws the heated band, what is taken out, and the crack.
func (p *page) excavation(s Part, v partView, at spans) {
	half := mm(s.Top) / 2
	box := func(a, b, h float64) []draw.Pt {
		return []draw.Pt{{X: v.x(a), Y: v.y(-h)}, {X: v.x(b), Y: v.y(-h)}, {X: v.x(b), Y: v.y(h)}, {X: v.x(a), Y: v.y(h)}}
	}
	if band := mm(s.Band); band > 0 {
		a, b := at.surface[0]-band, at.surface[1]+band
		if s.Edges > 0 {
			a = at.full[0]
		}
		if s.Edges > 1 {
			b = at.full[1]
		} else if s.Edges == 1 && s.Width.Known {
			b = min(b, mm(s.Width.V))
		}
		p.add(draw.Group{Title: p.t("part.band"), Items: []draw.Item{draw.Poly{Pts: box(a, b, half+band), Closed: true, Pen: draw.Dashed, Fill: draw.Pale}}})
	}
	var items []draw.Item
	if at.more != at.full {
		items = append(items, draw.Poly{Pts: box(at.more[0], at.more[1], half), Closed: true, Pen: draw.Dashed})
	}
	items = append(items, draw.Poly{Pts: box(at.surface[0], at.surface[1], half), Closed: true, Pen: draw.Normal, Fill: draw.White},
		draw.Poly{Pts: box(at.full[0], at.full[1], half), Closed: true, Pen: draw.Normal, Fill: draw.Light})
	if s.Crack.Known {
		items = append(items, zigzag(draw.At(v.x(at.crack[0]), v.middle), draw.At(v.x(at.crack[1]), v.middle), draw.Thick))
	}
	p.add(draw.Group{Title: p.t("part.title"), Items: items})
}

// rowsBelow measures slope, reading point and heated band beyond the right end
// of the groove, or upright where the groove has no end in the metal. It gives
// the foot of the lowest row.
func (p *page) rowsBelow(s Part, v partView, at spans, lower float64) float64 {
	end := at.surface[1]
	var rows []row
	if s.Ramps > 0 {
		r := row{from: v.x(at.full[1]), to: v.x(end), toY: v.y(mm(s.Top) / 2), label: s.RampText, what: p.t("part.ramp")}
		if s.Ramps == 1 {
			r.what = p.t("part.ramp-one")
		}
		rows = append(rows, r)
	}
	if s.endsInMetal(at) {
		if s.ReadAt > 0 {
			rows = append(rows, row{from: v.x(end), to: v.x(end + mm(s.ReadAt)), toY: v.middle, label: s.ReadText, what: p.t("part.readat")})
		}
		if s.Band > 0 {
			rows = append(rows, row{from: v.x(end), to: v.x(end + mm(s.Band)), toY: v.middle, label: s.BandText, what: p.t("part.band")})
		}
	}
	y := lower + 1
	if s.Edges > 0 {
		y += p.small() // the word for the edge
	}
	for i := range rows {
		r := &rows[i]
		r.below = true
		r.y = y + 3
		y = r.y + p.rowHeight(*r) - 3.2
	}
	p.rows(rows...)
	return y + 2
}

// reading marks where the heat is read.
func (p *page) reading(s Part, v partView, at spans) {
	r := mm(s.ReadAt)
	if r <= 0 {
		return
	}
	off := mm(s.Top)/2 + r
	a, b := at.full[0], at.full[1]
	places := []float64{a, b}
	if s.Edges > 0 {
		places[0] += 6 / v.scale
	}
	if s.Edges > 1 {
		places[1] -= 6 / v.scale
	}
	if mid := (a + b) / 2; v.cutB <= v.cutA && s.Ramps > 0 && v.x(b)-v.x(a) > 30 {
		places = append(places, mid)
	}
	for _, x := range places {
		p.add(readingMark(draw.At(v.x(x), v.y(-off))), readingMark(draw.At(v.x(x), v.y(off))))
	}
	if s.endsInMetal(at) {
		p.add(readingMark(draw.At(v.x(at.surface[1]+r), v.middle)))
	}
	if s.Ramps > 1 {
		p.add(readingMark(draw.At(v.x(at.surface[0]-r), v.middle)))
	}
	if s.endsInMetal(at) {
		return
	}
	// no end of the groove to measure from: beside the part
	edge := v.x(at.full[1])
	if s.Edges == 1 && s.Width.Known {
		edge = v.x(mm(s.Width.V))
	}
	p.side(edge+4, v.y(-mm(s.Top)/2), v.y(-off), edge, s.ReadText, p.t("part.readat"), up)
	if s.Band > 0 {
		p.side(edge+4, v.y(mm(s.Top)/2), v.y(mm(s.Top)/2+mm(s.Band)), edge, s.BandText, p.t("part.band"), down)
	}
}

// upright is an upright dimension with its label to the right, or to the left
// where the frame ends.
func (p *page) upright(x, from, to float64, label Label, what string) {
	p.add(draw.Dim{A: draw.At(x, from), B: draw.At(x, to)})
	lines := []draw.Text{{S: label.Lead, Size: p.Size, Bold: true, Halo: true}}
	rest := what
	if label.Echo != "" {
		rest = "(" + label.Echo + ") " + what
	}
	lines = append(lines, draw.Text{S: rest, Size: p.small(), Halo: true})
	wide := max(lines[0].Width(), lines[1].Width())
	left, anchor := x+1.5, draw.Start
	if left+wide > p.Width-2 {
		left, anchor = x-1.5, draw.End
	}
	mid := (from + to) / 2
	for i, t := range lines {
		t.At, t.Anchor = draw.At(left, mid-0.5+float64(i)*p.Size*1.15), anchor
		p.add(t)
	}
}

// breakLines cover the stretch left out.
func (p *page) breakLines(v partView, upper, lower float64) {
	if v.cutB <= v.cutA {
		return
	}
	a, b := v.x(v.cutA), v.x(v.cutB)
	p.add(draw.Poly{Pts: []draw.Pt{{X: a, Y: upper - 1}, {X: b, Y: upper - 1}, {X: b, Y: lower + 1}, {X: a, Y: lower + 1}}, Closed: true, Fill: draw.White})
	for _, x := range []float64{a, b} {
		mid := (upper + lower) / 2
		p.add(draw.Poly{Pts: []draw.Pt{{X: x, Y: upper - 1}, {X: x, Y: mid - 2}, {X: x - 1.2, Y: mid - 0.7}, {X: x + 1.2, Y: mid + 0.7}, {X: x, Y: mid + 2}, {X: x, Y: lower + 1}}, Pen: draw.Thin})
	}
}
