package sketch

import (
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
