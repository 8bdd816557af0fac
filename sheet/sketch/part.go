package sketch

import (
	"math"

	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

// Part is the damaged part seen from above, with what is taken out and where it
// is heated.
type Part struct {
	Name      string
	Crack     q.Maybe[q.Length] // that can be seen; unknown: not drawn as measured
	Remove    q.Of[q.Length]    // at full depth; the high end where hidden ends run on
	Ramp      q.Length          // length of a sloped end
	Ramps     int               // sloped ends
	Edges     int               // ends that run out over an edge: 0, 1 or 2
	AtEdge    bool              // the crack starts at the first edge
	Top       q.Length          // width of the groove at the surface
	Band      q.Length          // heated to this far from the groove's edge; 0: not heated
	ReadAt    q.Length          // the heat is read this far from the groove's edge; 0: not
	Width     q.Maybe[q.Length] // of the part, along the crack
	CrackText Label
	Removed   Label
	RampText  Label
	BandText  Label
	ReadText  Label
}

// leastBand is the least width of the heated band on the paper, mm; a part too
// long for it is drawn with its middle left out.
const leastBand = 13

// partView maps lengths along the crack to the paper, with the middle left out
// where the part is long.
type partView struct {
	scale  float64 // paper mm per mm
	left   float64 // paper x of low
	low    float64 // mm
	cutA   float64 // mm; between A and B nothing is drawn
	cutB   float64
	middle float64 // paper y of the crack
}

const breakGap = 5 // paper mm

func (v partView) x(at float64) float64 {
	switch {
	case v.cutB <= v.cutA || at <= v.cutA:
		return v.left + (at-v.low)*v.scale
	case at >= v.cutB:
		return v.left + (v.cutA-v.low+at-v.cutB)*v.scale + breakGap
	}
	// inside the stretch left out
	return v.left + (v.cutA-v.low)*v.scale + breakGap*(at-v.cutA)/(v.cutB-v.cutA)
}

func (v partView) y(across float64) float64 { return v.middle + across*v.scale }

// spans are the ends along the crack, mm: crack, full depth, surface.
type spans struct{ crack, full, more, surface [2]float64 }

func (s Part) spans() spans {
	l := mm(s.Remove.Low)
	crack := mm(s.Crack.Or(0))
	more := mm(s.Remove.High - s.Remove.Low)
	ramp := mm(s.Ramp)
	var v spans
	if s.Edges == 0 {
		v.full = [2]float64{-l / 2, l / 2}
		v.crack = [2]float64{-crack / 2, crack / 2}
		v.more = [2]float64{v.full[0] - more/2, v.full[1] + more/2}
	} else {
		v.full = [2]float64{0, l}
		v.crack = [2]float64{0, min(crack, l)}
		if !s.AtEdge && crack < l {
			v.crack = [2]float64{(l - crack) / 2, (l + crack) / 2}
		}
		v.more = [2]float64{0, l + more}
	}
	v.surface = v.full
	if s.Ramps > 0 {
		v.surface[1] += ramp
	}
	if s.Ramps > 1 {
		v.surface[0] -= ramp
	}
	return v
}

// endsInMetal says that the groove's right end lies in the metal with room for
// the heated band beyond it.
func (s Part) endsInMetal(at spans) bool {
	if s.Ramps == 0 {
		return false
	}
	return s.Edges == 0 || !s.Width.Known || at.surface[1]+max(mm(s.Band), mm(s.ReadAt)) <= mm(s.Width.V)
}

// DrawPart draws the part.
func DrawPart(s Part, f Frame) *draw.Drawing {
	p := f.begin(f.filled().t("part.title"), "")
	p.d.Desc = s.describe(p.Frame)
	at := s.spans()
	band, top := mm(s.Band), mm(s.Top)
	reach := max(band, mm(s.ReadAt))
	pad := max(0.25*reach, 8)
	low, high := min(at.surface[0], at.more[0])-reach-pad, max(at.surface[1], at.more[1])+reach+pad
	if s.Edges > 0 {
		low = at.full[0] - 4
	}
	if s.Edges > 1 {
		high = at.full[1] + 4
	} else if w := s.Width; s.Edges == 1 && w.Known {
		high = min(high, mm(w.V)+4)
	}
	across := top/2 + reach + pad/2
	v := p.fitPart(s, low, high, across, reach, at)

	// rows above: full depth outside, crack inside
	y := 3.0
	full := row{label: s.Removed, what: p.t("part.remove")}
	if s.Remove.High <= s.Remove.Low {
		full.what = p.t("part.remove-exact")
	}
	crack := row{label: s.CrackText, what: p.t("part.crack")}
	y += p.rowHeight(full)
	full.y = y
	if s.Crack.Known {
		y += p.rowHeight(crack)
		crack.y = y
	}
	upper := y + 5
	v.middle = upper + across*v.scale
	lower := v.middle + across*v.scale

	p.plate(s, v, low, high, upper, lower)
	p.excavation(s, v, at)
	p.reading(s, v, at)
	p.breakLines(v, upper, lower)

	edge := v.y(-top / 2)
	full.from, full.to, full.toY = v.x(at.full[0]), v.x(at.full[1]), edge
	above := []row{full}
	if s.Crack.Known {
		crack.from, crack.to, crack.toY = v.x(at.crack[0]), v.x(at.crack[1]), v.middle
		above = append(above, crack)
	}
	p.rows(above...)
	bottom := p.rowsBelow(s, v, at, lower)
	if !s.Crack.Known {
		p.add(p.note(draw.At(2, bottom+p.small()), p.t("part.per", s.CrackText.String()), draw.Start))
		bottom += p.small() * 1.4
	}
	scale := scaleText(v.scale)
	if v.cutB > v.cutA {
		scale += ", " + p.t("part.broken")
	}
	bottom += p.small()
	p.scaleNote(bottom, scale)
	return p.finish(bottom + 2)
}

// fitPart chooses the scale; where the heated band would be too narrow to read
// the middle of the groove is left out.
func (p *page) fitPart(s Part, low, high, across, reach float64, at spans) partView {
	room := p.Width - 4
	beside := 0.0
	if !s.endsInMetal(at) { // the upright measures stand to the right
		beside = p.sideWidth(s.ReadText, p.t("part.readat"))
		if s.Band > 0 {
			beside = max(beside, p.sideWidth(s.BandText, p.t("part.band")))
		}
		room -= beside + 4
	}
	scale := roundScale(min(room/(high-low), p.High/(2*across), 2))
	v := partView{scale: scale, low: low}
	if reach*scale < leastBand && reach > 0 {
		v.scale = roundScale(min(leastBand/reach, p.High/(2*across)))
		shown := (room - breakGap) / v.scale
		if out := high - low - shown; out > 0 {
			mid := (at.full[0] + at.full[1]) / 2
			v.cutA, v.cutB = mid-out/2, mid+out/2
		}
	}
	v.left = (p.Width - beside - (v.x(high) - v.x(low))) / 2
	return v
}

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

// describe says in words what is shown.
func (s Part) describe(f Frame) string {
	text := f.t("part.desc")
	add := func(l Label, what string) {
		if l.Lead != "" {
			text += " " + l.String() + ": " + what + "."
		}
	}
	if s.Crack.Known {
		add(s.CrackText, f.t("part.crack"))
	}
	add(s.Removed, f.t("part.remove-exact"))
	if s.Ramps > 0 {
		add(s.RampText, f.t("part.ramp"))
	}
	add(s.ReadText, f.t("part.readat"))
	add(s.BandText, f.t("part.band"))
	return text
}
