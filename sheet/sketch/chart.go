package sketch

import (
	"math"

	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

// Chart is temperature against time at one or more places.
type Chart struct {
	Series  []Series
	Bands   []Band                 // what was expected, under the lines; the allowed band is then not shaded
	Floor   q.Maybe[q.Temperature] // lowest temperature allowed before a bead
	Ceiling q.Maybe[q.Temperature]
	Beads   []BeadMark
	Units   q.System // leads on the left; the other stands on the right
}

// Series is one line of the chart.
type Series struct {
	Name   string
	Points []ChartPoint
	Dots   Dot // draws each point, for what was read and not computed
}

// Dot is how each point of a series is drawn.
type Dot uint8

// Dots: none, a full one, a ring.
const (
	NoDot Dot = iota
	FullDot
	RingDot
)

// Band is a range of temperature over time.
type Band struct {
	Name   string
	Points []BandPoint
}

// BandPoint is the range at a time.
type BandPoint struct {
	At        q.Time
	Low, High q.Temperature
}

// ChartPoint is a temperature at a time.
type ChartPoint struct {
	At q.Time
	T  q.Temperature
}

// BeadMark is when a bead was begun.
type BeadMark struct {
	At    q.Time
	Label string
}

// dashes tell series apart without colour.
var dashes = [][]float64{nil, {3, 1.5}, {0.8, 1.2}, {5, 1.2, 0.8, 1.2}}

// axes map time and temperature to the paper.
type axes struct {
	x0, x1, y0, y1 float64 // paper
	end            q.Time
	low, high      q.Temperature
}

func (a axes) x(t q.Time) float64 { return a.x0 + (a.x1-a.x0)*float64(t/a.end) }

func (a axes) y(t q.Temperature) float64 {
	return a.y0 + (a.y1-a.y0)*float64((t-a.low)/(a.high-a.low))
}

// DrawChart draws the chart. The allowed band is shaded; beads are marked above.
func DrawChart(s Chart, f Frame) *draw.Drawing {
	p := f.begin(f.filled().t("chart.title"), "")
	p.d.Desc = s.describe(p.Frame)
	high := p.High
	if f.High == 0 {
		high = p.Width * 0.55
	}
	ax := s.extent(p)
	bands := []draw.Item{}
	top, foot := 6+p.small()*2.6, 6+p.small()*2.6+high
	ax.y0, ax.y1 = foot, top
	if len(s.Bands) == 0 && (s.Floor.Known || s.Ceiling.Known) {
		a, b := s.Floor.Or(ax.low), s.Ceiling.Or(ax.high)
		bands = append(bands, draw.Rect(ax.x0, ax.y(b), ax.x1-ax.x0, ax.y(a)-ax.y(b), draw.Pen{}, draw.Pale))
	}
	for i, b := range s.Bands {
		bands = append(bands, ax.band(b, bandTones[i%len(bandTones)]))
	}
	p.add(bands...)
	p.grid(s, ax)
	p.limits(s, ax)
	for i, line := range s.Series {
		var pts []draw.Pt
		for _, v := range line.Points {
			pts = append(pts, draw.At(ax.x(v.At), ax.y(v.T)))
		}
		items := []draw.Item{draw.Poly{Pts: pts, Pen: line.pen(i)}}
		for _, at := range pts {
			items = append(items, line.Dots.at(at)...)
		}
		p.add(draw.Group{Title: line.Name, Items: items})
	}
	if !s.crowded() {
		p.limitText(s, ax)
	}
	p.beadMarks(s, ax)
	return p.finish(p.legend(s, ax.x0, foot+p.small()*3.2) + 3)
}

// extent finds the ends of both axes on round figures.
func (s Chart) extent(p *page) axes {
	ax := axes{x0: 14 + p.small()*1.5, x1: p.Width - 14 - p.small()*1.5, low: q.Temperature(math.Inf(1)), high: q.Temperature(math.Inf(-1))}
	see := func(t q.Temperature) { ax.low, ax.high = min(ax.low, t), max(ax.high, t) }
	for _, line := range s.Series {
		for _, v := range line.Points {
			see(v.T)
			ax.end = max(ax.end, v.At)
		}
	}
	for _, b := range s.Bands {
		for _, v := range b.Points {
			see(v.Low)
			see(v.High)
			ax.end = max(ax.end, v.At)
		}
	}
	for _, b := range s.Beads {
		ax.end = max(ax.end, b.At)
	}
	if s.Floor.Known {
		see(s.Floor.V)
	}
	if s.Ceiling.Known {
		see(s.Ceiling.V)
	}
	if ax.low > ax.high {
		ax.low, ax.high = 0, 100
	}
	if ax.end == 0 {
		ax.end = q.Minute
	}
	step := tempStep(ax.low, ax.high, q.SI)
	ax.low, ax.high = q.Temperature(math.Floor(float64(ax.low)/step)*step), q.Temperature(math.Ceil(float64(ax.high)/step+0.2)*step)
	return ax
}

// tempStep is a round step, in degrees of the system, that parts the axis in
// four to eight.
func tempStep(low, high q.Temperature, sys q.System) float64 {
	d := float64(high - low)
	if sys == q.US {
		d *= 1.8
	}
	return roundStep(d / 7)
}

func roundStep(want float64) float64 {
	if !(want > 0) {
		return 1
	}
	size := math.Pow(10, math.Floor(math.Log10(want)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if want <= m*size*1.0000001 {
			return m * size
		}
	}
	return 10 * size
}

// grid draws the axes: the leading system on the left, the other on the right.
func (p *page) grid(s Chart, ax axes) {
	var items []draw.Item
	other := q.US
	if s.Units == q.US {
		other = q.SI
	}
	for _, side := range []struct {
		sys    q.System
		x      float64
		anchor draw.Anchor
		line   bool
	}{{s.Units, ax.x0 - 1.5, draw.End, true}, {other, ax.x1 + 1.5, draw.Start, false}} {
		degrees, back, unit := func(t q.Temperature) float64 { return t.C() }, func(v float64) q.Temperature { return q.Temperature(v) }, "°C"
		if side.sys == q.US {
			degrees, back, unit = func(t q.Temperature) float64 { return t.F() }, q.Fahrenheit, "°F"
		}
		step := tempStep(ax.low, ax.high, side.sys)
		for v := math.Ceil(degrees(ax.low)/step-1e-9) * step; v <= degrees(ax.high)+1e-9; v += step {
			y := ax.y(back(v))
			if side.line {
				items = append(items, draw.Line{A: draw.At(ax.x0, y), B: draw.At(ax.x1, y), Pen: draw.Hair.In(draw.Light)})
			} else {
				items = append(items, draw.Line{A: draw.At(ax.x1, y), B: draw.At(ax.x1+1, y), Pen: draw.Hair})
			}
			items = append(items, draw.Text{At: draw.At(side.x, y+p.small()*0.35), S: itoa(int(math.Round(v))), Size: p.small(), Anchor: side.anchor})
		}
		items = append(items, draw.Text{At: draw.At(side.x, ax.y1-p.small()*0.8), S: unit, Size: p.small(), Bold: true, Anchor: side.anchor})
	}
	unit, per := "chart.time-min", q.Minute
	if ax.end > 3*q.Hour {
		unit, per = "chart.time-h", q.Hour
	}
	step, end := roundStep(float64(ax.end/per)/6), ax.x1 // of the figures
	for v := 0.0; v <= float64(ax.end/per)+1e-9; v += step {
		x := ax.x(q.Time(v) * per)
		t := draw.Text{At: draw.At(x, ax.y0+1.5+p.small()), S: trim(v), Size: p.small(), Anchor: draw.Middle}
		items = append(items, draw.Line{A: draw.At(x, ax.y0), B: draw.At(x, ax.y0+1), Pen: draw.Hair}, t)
		end = max(end, x+t.Width()/2)
	}
	items = append(items, draw.Text{At: draw.At(end+1.5, ax.y0+1.5+p.small()), S: p.t(unit), Size: max(p.small()*0.9, p.least), Anchor: draw.Start},
		draw.Rect(ax.x0, ax.y1, ax.x1-ax.x0, ax.y0-ax.y1, draw.Thin, draw.None))
	p.add(items...)
}

// limits draws floor and ceiling, limitText their figures on top of the lines.
func (p *page) limits(s Chart, ax axes) {
	if s.Floor.Known {
		y := ax.y(s.Floor.V)
		p.add(draw.Line{A: draw.At(ax.x0, y), B: draw.At(ax.x1, y), Pen: draw.Thick})
	}
	if s.Ceiling.Known {
		y := ax.y(s.Ceiling.V)
		p.add(draw.Line{A: draw.At(ax.x0, y), B: draw.At(ax.x1, y), Pen: ceilingPen})
	}
}

func (p *page) limitText(s Chart, ax axes) {
	if s.Floor.Known {
		p.add(draw.Text{At: draw.At(ax.x1-1.5, ax.y(s.Floor.V)+1.2+p.small()), S: p.t("chart.floor", s.Floor.V.MinimumText(s.Units)), Size: p.small(), Bold: true, Anchor: draw.End, Halo: true})
	}
	if s.Ceiling.Known {
		p.add(draw.Text{At: draw.At(ax.x1-1.5, ax.y(s.Ceiling.V)-1.2), S: p.t("chart.ceiling", s.Ceiling.V.MaximumText(s.Units)), Size: p.small(), Bold: true, Anchor: draw.End, Halo: true})
	}
}

// beadMarks marks the start of each bead above the chart; where marks are too
// close for their labels, only every so many are labelled.
func (p *page) beadMarks(s Chart, ax axes) {
	last := math.Inf(-1)
	var items []draw.Item
	for _, b := range s.Beads {
		x := ax.x(b.At)
		items = append(items, draw.Arrow{A: draw.At(x, ax.y1-4), B: draw.At(x, ax.y1), Pen: draw.Thin})
		t := draw.Text{At: draw.At(x, ax.y1-5), S: b.Label, Size: p.small(), Bold: true, Anchor: draw.Middle}
		if x-t.Width()/2 > last+1 && x+t.Width()/2 < p.Width {
			items = append(items, t)
			last = x + t.Width()/2
		}
	}
	if len(items) > 0 {
		p.add(draw.Group{Title: p.t("chart.bead", s.Beads[0].Label+"–"+s.Beads[len(s.Beads)-1].Label), Items: items})
	}
}

func (s Chart) describe(f Frame) string {
	text := f.t("chart.desc")
	if s.Floor.Known {
		text += " " + f.t("chart.floor", s.Floor.V.MinimumText(s.Units)) + "."
	}
	if s.Ceiling.Known {
		text += " " + f.t("chart.ceiling", s.Ceiling.V.MaximumText(s.Units)) + "."
	}
	for _, line := range s.Series {
		text += " " + line.Name + "."
	}
	for _, b := range s.Bands {
		text += " " + b.Name + "."
	}
	return text
}
