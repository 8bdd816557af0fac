package sketch

import (
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

// End is one end of the groove, cut along the crack.
type End struct {
	Thickness  q.Length
	Depth      q.Length // of the first side
	Second     q.Length // depth of the second side; 0: none
	Beyond     q.Length // sound metal at full depth beyond the crack's end
	Ramp       q.Length // length of the slope
	BeyondText Label
	RampText   Label
	SlopeText  string // 1 in 3
	DepthText  Label
	ThickText  Label
}

// DrawEnd draws the end of the groove.
func DrawEnd(s End, f Frame) *draw.Drawing {
	p := f.begin(f.filled().t("end.title"), "")
	p.d.Desc = p.t("end.desc") + " " + s.BeyondText.String() + ": " + p.t("end.beyond") + "."
	p.d.Desc += " " + s.RampText.String() + ": " + p.t("end.ramp") + "."
	t, depth, beyond, ramp := mm(s.Thickness), mm(s.Depth), mm(s.Beyond), mm(s.Ramp)
	before, after := 0.45*beyond, 0.3*beyond
	total := before + beyond + ramp + after
	left, right := p.sideWidth(s.DepthText, p.t("end.depth"))+2, p.sideWidth(s.ThickText, p.t("end.thick"))+2
	scale := roundScale(min((p.Width-left-right)/total, p.High/t, 2))
	x := func(at float64) float64 { return left + (at+before)*scale } // from the crack's end

	beyondRow := row{label: s.BeyondText, what: p.t("end.beyond")}
	rampRow := row{label: s.RampText, what: p.t("end.ramp") + " " + s.SlopeText}
	top := 6 + p.rowHeight(beyondRow) + p.rowHeight(rampRow)
	if p.least > 0 { // on a phone the words beside thin steel reach over it
		top += max(0, 1.6*p.Size-scale*min(depth, t)/2-2)
	}
	y := func(down float64) float64 { return top + down*scale }

	bottom := t
	last := beyond + ramp + after
	body := []draw.Pt{{X: x(-before), Y: y(depth)}, {X: x(beyond), Y: y(depth)}, {X: x(beyond + ramp), Y: y(0)}, {X: x(last), Y: y(0)},
		{X: x(last), Y: y(bottom)}, {X: x(-before), Y: y(bottom)}}
	var out [][]draw.Pt
	if s.Second > 0 {
		d2 := t - mm(s.Second)
		r2 := ramp * mm(s.Second) / depth
		second := []draw.Pt{{X: x(-before), Y: y(d2)}, {X: x(beyond), Y: y(d2)}, {X: x(min(beyond+r2, last)), Y: y(t)}, {X: x(-before), Y: y(t)}}
		out = append(out, second)
		p.add(draw.Poly{Pts: second, Closed: true, Pen: draw.Dashed})
	}
	p.add(draw.Hatch{In: body, Out: out, Gap: 2.2, Angle: 45, Pen: draw.Hair.In(draw.Mid)})
	// outline without the torn left end
	p.add(draw.Poly{Pts: body[:len(body)-2], Pen: draw.Normal},
		draw.Line{A: draw.At(x(-before), y(bottom)), B: draw.At(x(last), y(bottom)), Pen: draw.Normal},
		torn(draw.At(x(-before), y(depth)), draw.At(x(-before), y(bottom))))
	p.add(torn(draw.At(x(last), y(0)), draw.At(x(last), y(bottom))),
		draw.Line{A: draw.At(x(-before), y(0)), B: draw.At(x(beyond+ramp), y(0)), Pen: draw.Chain.In(draw.Mid)})
	// where the crack ended
	p.add(draw.Line{A: draw.At(x(0), y(0)-1), B: draw.At(x(0), y(bottom)), Pen: draw.Dashed})
	tip := p.note(draw.At(x(0), y(bottom)+1.5+p.small()), p.t("end.tip"), draw.Middle)
	p.add(tip)

	beyondRow.from, beyondRow.to, beyondRow.toY = x(0), x(beyond), y(0)
	beyondRow.y = 3 + p.rowHeight(beyondRow)
	rampRow.from, rampRow.to, rampRow.toY = x(beyond), x(beyond+ramp), y(0)
	rampRow.y = beyondRow.y + p.rowHeight(rampRow)
	p.rows(beyondRow, rampRow)
	foot := y(bottom) + 2 + p.small()
	if s.Second > 0 {
		foot = p.para(4, foot, p.t("end.second"))
	}
	p.side(left-3, y(0), y(depth), x(-before), s.DepthText, p.t("end.depth"), onLeft)
	p.side(x(last)+3, y(0), y(bottom), x(last), s.ThickText, p.t("end.thick"), onRight)
	p.scaleNote(foot+p.small()*1.3, scaleText(scale))
	return p.finish(foot + p.small()*1.3 + 2)
}

// sideWidth is the room that an upright dimension with its label takes beside
// the steel.
func (p *page) sideWidth(label Label, what string) float64 {
	if label.Lead == "" {
		return 0
	}
	wide := 0.0
	for i, s := range append(label.lines(), what) {
		t := draw.Text{S: s, Size: p.small()}
		if i == 0 {
			t.Size, t.Bold = p.Size, true
		}
		wide = max(wide, t.Width())
	}
	return wide + 6.5
}

// place is where the label of an upright dimension stands.
type place uint8

const (
	onRight place = iota // beside the middle of the line
	onLeft
	up   // on the right, not below the line's first end
	down // on the right, not above it
)

// side is an upright dimension beside the steel with its label in short lines.
func (p *page) side(x, from, to, steel float64, label Label, what string, where place) {
	if label.Lead == "" {
		return
	}
	out, anchor := 1.2, draw.Start
	if where == onLeft {
		out, anchor = -1.2, draw.End
	}
	for _, y := range []float64{from, to} {
		p.add(draw.Line{A: draw.At(steel, y), B: draw.At(x+out, y), Pen: draw.Hair})
	}
	p.add(draw.Dim{A: draw.At(x, from), B: draw.At(x, to)})
	lines := append(label.lines(), what)
	step := p.Size * 1.15
	y := (from+to)/2 - float64(len(lines)-2)*p.Size*0.55
	switch where {
	case up:
		y = min(y, from-float64(len(lines)-1)*step-1)
	case down:
		y = max(y, from+p.Size)
	}
	for i, s := range lines {
		t := draw.Text{At: draw.At(x+1.3*out, y), S: s, Size: p.small(), Anchor: anchor, Halo: true}
		if i == 0 {
			t.Size, t.Bold = p.Size, true
		}
		p.add(t)
		y += step
	}
}
