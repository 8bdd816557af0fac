package sketch

import "soundmetal/sheet/draw"

// bandTones tell bands apart: the second lies on the first.
var bandTones = []draw.Tone{draw.Pale, draw.Light}

// band is the outline of a range over time.
func (a axes) band(b Band, tone draw.Tone) draw.Item {
	var pts []draw.Pt
	for _, v := range b.Points {
		pts = append(pts, draw.At(a.x(v.At), a.y(v.High)))
	}
	for i := len(b.Points) - 1; i >= 0; i-- {
		pts = append(pts, draw.At(a.x(b.Points[i].At), a.y(b.Points[i].Low)))
	}
	return draw.Group{Title: b.Name, Items: []draw.Item{draw.Poly{Pts: pts, Closed: true, Pen: draw.Thin.In(draw.Mid), Fill: tone}}}
}

// ceilingPen is the line of the highest temperature allowed.
var ceilingPen = draw.Pen{Width: 0.8, Dash: []float64{4, 1.5}}

// crowded says that words on the lines would hide what was read: they stand below.
func (s Chart) crowded() bool {
	for _, line := range s.Series {
		if line.Dots != NoDot {
			return true
		}
	}
	return len(s.Bands) > 0
}

// pen is the line of a series; between readings it is thin.
func (s Series) pen(i int) draw.Pen {
	if s.Dots != NoDot {
		return draw.Thin
	}
	return draw.Pen{Width: 0.6, Dash: dashes[i%len(dashes)]}
}

// at draws one point.
func (d Dot) at(pt draw.Pt) []draw.Item {
	const r = 1.1 // mm
	switch d {
	case FullDot:
		return []draw.Item{draw.Circle(pt, r, draw.Normal, draw.Black)}
	case RingDot:
		return []draw.Item{draw.Circle(pt, r, draw.Normal, draw.White)}
	}
	return nil
}

// legend names lines and bands, in as many rows as they need, and gives the foot
// of the last.
func (p *page) legend(s Chart, x0, y float64) float64 {
	const wide = 11.0 // of what stands before the name, mm
	x := x0
	put := func(name string, mark func(from, to draw.Pt) []draw.Item) {
		text := p.note(draw.Pt{}, name, draw.Start)
		if x+wide+3+text.Width() > p.Width-2 && x > x0 {
			x, y = x0, y+p.small()*1.5
		}
		p.add(mark(draw.At(x, y-1), draw.At(x+wide, y-1))...)
		text.At = draw.At(x+wide+1.5, y)
		p.add(text)
		x += wide + 7 + text.Width()
	}
	if s.crowded() {
		level := func(pen draw.Pen) func(a, b draw.Pt) []draw.Item {
			return func(a, b draw.Pt) []draw.Item { return []draw.Item{draw.Line{A: a, B: b, Pen: pen}} }
		}
		if s.Ceiling.Known {
			put(p.t("chart.ceiling", s.Ceiling.V.MaximumText(s.Units)), level(ceilingPen))
		}
		if s.Floor.Known {
			put(p.t("chart.floor", s.Floor.V.MinimumText(s.Units)), level(draw.Thick))
		}
	}
	for i, line := range s.Series {
		put(line.Name, func(a, b draw.Pt) []draw.Item {
			return append([]draw.Item{draw.Line{A: a, B: b, Pen: line.pen(i)}}, line.Dots.at(draw.At((a.X+b.X)/2, a.Y))...)
		})
	}
	for i, band := range s.Bands {
		put(band.Name, func(a, b draw.Pt) []draw.Item {
			return []draw.Item{draw.Rect(a.X, a.Y-p.small()*0.5, b.X-a.X, p.small()*0.8, draw.Thin.In(draw.Mid), bandTones[i%len(bandTones)])}
		})
	}
	return y
}
