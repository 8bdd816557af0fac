package sketch

import (
	"fmt"
	"math"

	"soundmetal/joint"
	"soundmetal/sheet/draw"
)

// Joint is the joint ready to weld, in cross-section.
type Joint struct {
	Groove joint.Groove
	First  JointText
	Second JointText // for a second side
	Thick  Label
	Back   Label // thickness of the backing
}

// JointText are the figures of one side; those it has not are left empty.
type JointText struct{ Angle, Radius, Opening, Face, Depth, Top Label }

// cross maps the cross-section to the paper: x across from the centreline, y up
// from the root of the first side, mm.
type cross struct{ scale, x0, y0 float64 }

func (c cross) pt(x, y float64) draw.Pt { return draw.At(c.x0+x*c.scale, c.y0-y*c.scale) }

func (c cross) outline(ps []joint.Point) []draw.Pt {
	pts := make([]draw.Pt, len(ps))
	for i, o := range ps {
		pts[i] = c.pt(mm(o.X), mm(o.Y))
	}
	return pts
}

// section is the groove's measures in mm.
type section struct {
	top, bottom, half float64 // plate: heights of its faces, half its width shown
	outlines          [][]joint.Point
}

func sectionOf(g joint.Groove) (section, error) {
	t, d := mm(g.Thickness), mm(g.Depth)
	s := section{top: d, bottom: d - t}
	for side := 1; side <= 2; side++ {
		if side == 2 && g.SecondSide == nil {
			break
		}
		o, err := g.Outline(side)
		if err != nil {
			return s, fmt.Errorf("the groove cannot be drawn: %w", err)
		}
		s.outlines = append(s.outlines, o)
		for _, p := range o {
			s.half = max(s.half, math.Abs(mm(p.X)))
		}
	}
	s.half += max(0.5*t, 10)
	return s, nil
}

// DrawJoint draws the joint.
func DrawJoint(s Joint, f Frame) (*draw.Drawing, error) {
	p := f.begin(f.filled().t("joint.title"), "")
	p.d.Desc = s.describe(p.Frame)
	sec, err := sectionOf(s.Groove)
	if err != nil {
		return nil, err
	}
	g := s.Groove
	backing := mm(g.BackingSize)
	if g.Backing == joint.NoBacking {
		backing = 0
	}
	// room for upright dimensions on each side
	sides := max(p.sideWidth(s.First.Depth, p.t("joint.depth")), p.sideWidth(s.Second.Depth, p.t("joint.depth2")), p.sideWidth(s.Thick, p.t("joint.thick"))) + 2
	high := sec.top - sec.bottom + backing
	scale := roundScale(min((p.Width-2*sides)/(2*sec.half), p.High/high, 4))
	c := cross{scale: scale, x0: p.Width / 2}
	// above: the angle, then the width at the top
	top := row{label: s.First.Top, what: p.t("joint.top")}
	arcRoom := 0.0
	if g.Angle > 0 {
		arcRoom = p.Size*1.6 + 4
	}
	upper := 3 + p.rowHeight(top) + arcRoom + 3
	c.y0 = upper + sec.top*scale

	p.steel(c, sec, backing, g)
	p.angleOf(c, g, s.First, 3+p.rowHeight(top)+3)

	width := c.outline(sec.outlines[0])
	left, right := ends(width)
	top.from, top.to, top.toY = left, right, c.pt(0, sec.top).Y
	top.y = 3 + p.rowHeight(top)
	p.rows(top)

	foot := c.pt(0, sec.bottom-backing).Y + 2
	// the root: opening below, face and radius beside
	if g.RootOpening > 0 && s.First.Opening.Lead != "" {
		r := row{label: s.First.Opening, what: p.t("joint.opening"), below: true, toY: c.pt(0, 0).Y}
		r.from, r.to = c.pt(-mm(g.RootOpening)/2, 0).X, c.pt(mm(g.RootOpening)/2, 0).X
		r.y = foot + 2
		p.rows(r)
		foot = r.y + p.rowHeight(r)
	}
	if g.SecondSide != nil && s.Second.Top.Lead != "" {
		r := row{label: s.Second.Top, what: p.t("joint.top"), below: true, toY: c.pt(0, sec.bottom).Y}
		r.from, r.to = ends(c.outline(sec.outlines[1]))
		r.y = foot + 2
		p.rows(r)
		foot = r.y + p.rowHeight(r)
	}
	p.depths(c, s, sec)
	foot = p.rootNotes(c, s, sec, foot)
	if g.SecondSide != nil {
		foot = p.para(4, foot, p.t("joint.second"))
	}
	foot += p.small() * 1.4
	p.scaleNote(foot, scaleText(scale))
	return p.finish(foot + 2), nil
}

func ends(pts []draw.Pt) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for _, p := range pts {
		left, right = min(left, p.X), max(right, p.X)
	}
	return left, right
}

// steel draws plate, groove and backing.
func (p *page) steel(c cross, sec section, backing float64, g joint.Groove) {
	plate := []draw.Pt{c.pt(-sec.half, sec.top), c.pt(sec.half, sec.top), c.pt(sec.half, sec.bottom), c.pt(-sec.half, sec.bottom)}
	var out [][]draw.Pt
	for _, o := range sec.outlines {
		out = append(out, c.outline(o))
	}
	p.add(draw.Hatch{In: plate, Out: out, Gap: 2.4, Angle: 45, Pen: draw.Hair.In(draw.Mid)},
		torn(plate[0], plate[3]), torn(plate[1], plate[2]))
	if backing > 0 {
		w := (mm(g.RootOpening)/2 + max(3*backing, 12))
		bar := []draw.Pt{c.pt(-w, sec.bottom), c.pt(w, sec.bottom), c.pt(w, sec.bottom-backing), c.pt(-w, sec.bottom-backing)}
		p.add(draw.Hatch{In: bar, Gap: 2, Angle: -45, Pen: draw.Hair}, draw.Poly{Pts: bar, Closed: true, Pen: draw.Normal})
	}
	first := c.outline(sec.outlines[0])
	n := len(first)
	// the faces of the plate to the groove's corners, the groove itself between
	p.add(draw.Line{A: plate[0], B: first[n/2-1], Pen: draw.Normal}, draw.Line{A: first[n/2], B: plate[1], Pen: draw.Normal},
		draw.Poly{Pts: append(append([]draw.Pt{}, first[n/2:]...), first[:n/2]...), Pen: draw.Thick})
	if len(sec.outlines) > 1 {
		second := c.outline(sec.outlines[1])
		m := len(second)
		p.add(draw.Poly{Pts: append(append([]draw.Pt{}, second[m/2:]...), second[:m/2]...), Pen: draw.Pen{Width: 0.5, Dash: []float64{2.2, 1.4}}},
			draw.Line{A: plate[3], B: plate[2], Pen: draw.Normal})
		return
	}
	if root := mm(g.RootOpening); root > 0 && sec.bottom >= -1e-9 {
		p.add(draw.Line{A: plate[3], B: c.pt(-root/2, 0), Pen: draw.Normal}, draw.Line{A: c.pt(root/2, 0), B: plate[2], Pen: draw.Normal})
		return
	}
	p.add(draw.Line{A: plate[3], B: plate[2], Pen: draw.Normal})
}

// angleOf draws the angle above the groove. arcTop is the highest paper y for its label.
func (p *page) angleOf(c cross, g joint.Groove, t JointText, arcTop float64) {
	if g.Angle <= 0 || t.Angle.Lead == "" {
		return
	}
	o, err := g.Outline(1)
	if err != nil {
		return
	}
	pts := c.outline(o)
	n := len(pts)
	topR, below := pts[n/2], pts[n/2+1] // right wall, its top and the point below it
	wall := math.Atan2(topR.Y-below.Y, topR.X-below.X)
	arcY := arcTop + p.Size*1.3 // highest point of the arc
	if g.Shape == joint.SingleV {
		half := math.Pi/2 + wall
		apex := draw.At(c.x0, topR.Y+(topR.X-c.x0)/math.Tan(half))
		r := apex.Y - arcY
		// the walls drawn on up to the arc
		for _, s := range []float64{-1, 1} {
			p.add(draw.Line{A: draw.At(c.x0+s*(topR.X-c.x0), topR.Y), B: draw.At(apex.X+s*r*math.Sin(half), apex.Y-r*math.Cos(half)), Pen: draw.Hair})
		}
		p.add(draw.Angle{C: apex, R: r, From: -math.Pi/2 - half, To: -math.Pi/2 + half, Label: t.Angle.Lead, Size: p.Size})
		return
	}
	// from the upright through the wall's foot to the wall on the right
	half := math.Pi/2 + wall
	foot := below
	r := foot.Y - arcY - 2
	p.add(draw.Line{A: foot, B: draw.At(foot.X, foot.Y-r-1.5), Pen: draw.Chain},
		draw.Line{A: topR, B: draw.At(foot.X+(r+1.5)*math.Sin(half), foot.Y-(r+1.5)*math.Cos(half)), Pen: draw.Hair},
		draw.Arc{C: foot, R: r, From: -math.Pi / 2, To: -math.Pi/2 + half, Pen: draw.Hair})
	words := p.t("joint.each")
	if g.Shape == joint.SingleBevel || g.Shape == joint.SingleJ {
		words = p.t("joint.bevel")
	}
	label := draw.Text{S: t.Angle.Lead, Size: p.Size, Bold: true, Halo: true}
	if half > math.Pi/6 { // room inside the angle
		label.At = draw.At(foot.X+0.55*r*math.Sin(half/2), foot.Y-0.55*r*math.Cos(half/2))
		label.At.X -= label.Width() / 2
	} else {
		label.At = draw.At(foot.X+(r+1.5)*math.Sin(half)+2, foot.Y-r*math.Cos(half/2))
	}
	p.add(label, p.note(label.At.Add(label.Width()+gapWords, 0), words, draw.Start))
}

// depths are the upright measures: the first side's depth on the right, the
// second side's on the left, and the thickness where there is room.
func (p *page) depths(c cross, s Joint, sec section) {
	left, right := c.pt(-sec.half, 0).X, c.pt(sec.half, 0).X
	top, root, bottom := c.pt(0, sec.top).Y, c.pt(0, 0).Y, c.pt(0, sec.bottom).Y
	p.side(right+3, top, root, c.x0, s.First.Depth, p.t("joint.depth"), onRight)
	second := s.Groove.SecondSide
	if second == nil {
		if math.Abs(bottom-root) > 0.5 || s.First.Depth.Lead == "" { // else it is the depth once more
			p.side(left-3, top, bottom, left, s.Thick, p.t("joint.thick"), onLeft)
		}
		return
	}
	p.side(left-3, c.pt(0, sec.bottom+mm(second.Depth)).Y, bottom, c.x0, s.Second.Depth, p.t("joint.depth2"), onLeft)
	if p.roomForThickness(c, s, sec) {
		p.upright(left+4, top, bottom, s.Thick, p.t("joint.thick"))
	}
}

// roomForThickness says whether the thickness can stand in the steel beside the
// groove; where not it goes into the list.
func (p *page) roomForThickness(c cross, s Joint, sec section) bool {
	groove, _ := ends(c.outline(append(append([]joint.Point{}, sec.outlines[0]...), sec.outlines[len(sec.outlines)-1]...)))
	label := draw.Text{S: "(" + s.Thick.Echo + ") " + p.t("joint.thick"), Size: p.small()}
	return groove-c.pt(-sec.half, 0).X > label.Width()+18
}

// rootNotes names root face, radius and backing by letters, and gives the new
// foot of the drawing.
func (p *page) rootNotes(c cross, s Joint, sec section, foot float64) float64 {
	g := s.Groove
	letter := 'a'
	note := func(to draw.Pt, label Label, what string) {
		at := to.Add(-9, 3.5)
		p.add(draw.Line{A: at, B: to, Pen: draw.Hair}, letterMark(at, string(letter)))
		foot += p.Size * 1.6
		p.add(letterMark(draw.At(5, foot-p.Size*0.36), string(letter)))
		figure := draw.Text{At: draw.At(9, foot), S: label.Lead, Size: p.Size, Bold: true}
		rest := what
		if label.Echo != "" {
			rest = "(" + label.Echo + ") " + what
		}
		p.add(figure, p.note(figure.At.Add(figure.Width()+gapWords, 0), rest, draw.Start))
		letter++
	}
	if g.RootFace > 0 && s.First.Face.Lead != "" {
		note(c.pt(-mm(g.RootOpening)/2, mm(g.RootFace)/2), s.First.Face, p.t("joint.face"))
	}
	if g.Radius > 0 && s.First.Radius.Lead != "" {
		// a point on the root arc, left of the middle
		r, a := mm(g.Radius), math.Pi/3
		note(c.pt(-mm(g.RootOpening)/2-r*math.Sin(a), mm(g.RootFace)+r*(1-math.Cos(a))), s.First.Radius, p.t("joint.radius"))
	}
	if g.SecondSide != nil && !p.roomForThickness(c, s, sec) {
		foot += p.Size * 1.6
		figure := draw.Text{At: draw.At(3, foot), S: s.Thick.String(), Size: p.Size, Bold: true}
		p.add(figure, p.note(figure.At.Add(figure.Width()+gapWords, 0), p.t("joint.thick"), draw.Start))
	}
	if g.Backing != joint.NoBacking && s.Back.Lead != "" {
		note(c.pt(-mm(g.RootOpening)/2-4, sec.bottom-mm(g.BackingSize)/2), s.Back, p.t("joint.backing"))
	}
	return foot
}

// letterMark is a letter in a ring.
func letterMark(at draw.Pt, letter string) draw.Group {
	return draw.Group{Items: []draw.Item{draw.Circle(at, 2.1, draw.Thin, draw.White),
		draw.Text{At: at.Add(0, 1.05), S: letter, Size: 3.2, Bold: true, Anchor: draw.Middle}}}
}

func (s Joint) describe(f Frame) string {
	text := f.t("joint.desc")
	add := func(l Label, what string) {
		if l.Lead != "" {
			text += " " + what + " " + l.String() + "."
		}
	}
	angle := map[joint.Shape]string{joint.SingleV: "joint.included", joint.SingleBevel: "joint.bevel", joint.SingleJ: "joint.bevel"}[s.Groove.Shape]
	if angle == "" {
		angle = "joint.each"
	}
	for _, side := range []JointText{s.First, s.Second} {
		add(side.Angle, f.t(angle))
		add(side.Radius, f.t("joint.radius"))
		add(side.Opening, f.t("joint.opening"))
		add(side.Face, f.t("joint.face"))
		add(side.Depth, f.t("joint.depth"))
		add(side.Top, f.t("joint.top"))
	}
	add(s.Thick, f.t("joint.thick"))
	add(s.Back, f.t("joint.backing"))
	return text
}
