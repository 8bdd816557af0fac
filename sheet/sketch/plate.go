package sketch

import (
	"math"

	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

// Plate is a reinforcing plate on a part, seen from above, along the part. It is
// drawn the same to both sides of the crack's line.
type Plate struct {
	Part      q.Length // width of the part it lies on
	Length    q.Length
	Width     q.Length
	Taper     q.Length // length of each tapered end; 0: square
	Nose      q.Length // radius at the nose; 0: cut straight across
	Stop      q.Length // from each nose, no start or stop within this length
	WeldStart q.Length // from each nose, not welded within this length; 0: welded round
	LongText  Label
	WideText  Label
	TaperText Label
	NoseText  Label
	ThickText Label
	LegText   Label
	StopText  Label
	FreeText  Label // part left free beside the plate
}

// DrawPlate draws the plate.
func DrawPlate(s Plate, f Frame) *draw.Drawing {
	p := f.begin(f.filled().t("plate.title"), "")
	p.d.Desc = s.describe(p.Frame)
	long, wide, part, taper := mm(s.Length), mm(s.Width), mm(s.Part), mm(s.Taper)
	left, right := 6.0, p.sideWidth(s.WideText, p.t("plate.wide"))+3
	total := long * 1.16
	scale := roundScale(min((p.Width-left-right)/total, p.High/part, 2))
	rows := []row{{label: s.LongText, what: p.t("plate.long")}, {label: s.TaperText, what: p.t("plate.taper")}}
	y := 3.0
	y += p.rowHeight(rows[0])
	rows[0].y = y
	if taper > 0 {
		y += p.rowHeight(rows[1])
		rows[1].y = y
	} else {
		rows = rows[:1]
	}
	mid := y + 4 + part/2*scale
	x := func(at float64) float64 { return left + (p.Width-left-right)/2 + at*scale } // from the crack's line
	up := func(at float64) float64 { return mid - at*scale }

	// the part
	a, b := x(-total/2), x(total/2)
	p.add(draw.Line{A: draw.At(a, up(part/2)), B: draw.At(b, up(part/2)), Pen: draw.Normal},
		draw.Line{A: draw.At(a, up(-part/2)), B: draw.At(b, up(-part/2)), Pen: draw.Normal},
		torn(draw.At(a, up(part/2)), draw.At(a, up(-part/2))), torn(draw.At(b, up(part/2)), draw.At(b, up(-part/2))))
	p.add(p.note(draw.At(a+1, up(-part/2)-1.5), p.t("plate.part"), draw.Start))
	outline := s.outline()
	pts := make([]draw.Pt, len(outline))
	for i, o := range outline {
		pts[i] = draw.At(x(o[0]), up(o[1]))
	}
	// the repaired crack under the plate
	crack := []draw.Item{draw.Line{A: draw.At(x(0), up(part/2)-1), B: draw.At(x(0), up(-part/2)+1), Pen: draw.Chain}}
	p.add(draw.Group{Title: p.t("plate.title"), Items: []draw.Item{draw.Poly{Pts: pts, Closed: true, Pen: draw.Normal, Fill: draw.Pale}}})
	p.add(draw.Group{Title: p.t("plate.repair"), Items: crack})
	p.weldMarks(s, outline, x, up)

	rows[0].from, rows[0].to, rows[0].toY = x(-long/2), x(long/2), up(0)
	if taper > 0 {
		rows[1].from, rows[1].to, rows[1].toY = x(-long/2), x(-long/2+taper), up(wide/2)
	}
	p.rows(rows...)
	p.side(b+3, up(wide/2), up(-wide/2), x(long/2-taper), s.WideText, p.t("plate.wide"), onRight)
	foot := up(-part/2) + 2
	if s.Stop > 0 {
		r := row{from: x(long/2 - mm(s.Stop)), to: x(long / 2), y: foot + 2, toY: up(0), below: true, label: s.StopText, what: p.t("plate.stop")}
		p.rows(r)
		foot = r.y + p.rowHeight(r)
	}
	for _, line := range s.notes(p.Frame) {
		foot = p.para(4, foot, line)
	}
	foot += p.small() * 1.3
	p.scaleNote(foot, scaleText(scale))
	return p.finish(foot + 2)
}

// outline is the plate's edge, mm from its middle, x along the part.
func (s Plate) outline() [][2]float64 {
	long, wide, taper, nose := mm(s.Length)/2, mm(s.Width)/2, mm(s.Taper), mm(s.Nose)
	if taper == 0 {
		return [][2]float64{{-long, -wide}, {long, -wide}, {long, wide}, {-long, wide}}
	}
	end := [][2]float64{{long - taper, -wide}}
	if nose == 0 {
		end = append(end, [2]float64{long, -wide / 3}, [2]float64{long, wide / 3})
	}
	// the tapered sides touch the nose's circle
	nose = min(nose, wide)
	const steps = 16
	if nose > 0 {
		d, dy := taper-nose, wide
		// angle of the tangent from (long−taper, wide) to the circle about (long−nose, 0)
		reach := math.Hypot(d, dy)
		a := math.Atan2(dy, -d) - math.Acos(min(1, nose/reach))
		for i := 0; i <= steps; i++ {
			t := -a + 2*a*float64(i)/steps
			end = append(end, [2]float64{long - nose + nose*math.Cos(t), nose * math.Sin(t)})
		}
	}
	end = append(end, [2]float64{long - taper, wide})
	all := end
	for i := len(end) - 1; i >= 0; i-- {
		all = append(all, [2]float64{-end[i][0], end[i][1]})
	}
	return all
}

// weldMarks draws the fillet as short strokes across the plate's edge where it
// is welded, and the stretch without start or stop as a heavy line.
func (p *page) weldMarks(s Plate, outline [][2]float64, x, up func(float64) float64) {
	long := mm(s.Length) / 2
	const step = 2.0 // paper mm between strokes
	var strokes, heavy []draw.Item
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		pa, pb := draw.At(x(a[0]), up(a[1])), draw.At(x(b[0]), up(b[1]))
		length := math.Hypot(pb.X-pa.X, pb.Y-pa.Y)
		if length == 0 {
			continue
		}
		ux, uy := (pb.X-pa.X)/length, (pb.Y-pa.Y)/length
		n := int(length / step)
		for k := 0; k <= n; k++ {
			f := (float64(k) + 0.5) * step
			if f > length {
				break
			}
			at := draw.At(pa.X+ux*f, pa.Y+uy*f)
			along := a[0] + (b[0]-a[0])*f/length
			if fromNose := long - math.Abs(along); s.WeldStart > 0 && fromNose < mm(s.WeldStart) {
				continue
			}
			// out of the plate: to the right of the way round, y being turned
			strokes = append(strokes, draw.Line{A: at, B: at.Add(-uy*1.6, ux*1.6), Pen: draw.Thin})
		}
		if s.Stop > 0 {
			if from, to, ok := nearNose(a, b, long-mm(s.Stop)); ok {
				heavy = append(heavy, draw.Line{A: draw.At(x(from[0]), up(from[1])), B: draw.At(x(to[0]), up(to[1])), Pen: draw.Thick})
			}
		}
	}
	p.add(draw.Group{Title: p.t("plate.leg", s.LegText.String()), Items: strokes}, draw.Group{Title: p.t("plate.stop"), Items: heavy})
}

// nearNose is the part of an edge that lies further from the middle than at.
func nearNose(a, b [2]float64, at float64) (from, to [2]float64, ok bool) {
	cut := func(in, out [2]float64) [2]float64 {
		f := (at - math.Abs(in[0])) / (math.Abs(out[0]) - math.Abs(in[0]))
		return [2]float64{in[0] + f*(out[0]-in[0]), in[1] + f*(out[1]-in[1])}
	}
	ina, inb := math.Abs(a[0]) > at, math.Abs(b[0]) > at
	switch {
	case ina && inb:
		return a, b, true
	case ina:
		return a, cut(a, b), true
	case inb:
		return cut(b, a), b, true
	}
	return a, b, false
}

func (s Plate) notes(f Frame) []string {
	var all []string
	add := func(l Label, key string) {
		if l.Lead != "" {
			all = append(all, f.t(key, l.String()))
		}
	}
	add(s.ThickText, "plate.thick")
	add(s.NoseText, "plate.nose")
	add(s.LegText, "plate.leg")
	add(s.FreeText, "plate.edge")
	if s.WeldStart > 0 {
		all = append(all, f.t("plate.open"))
	}
	return append(all, f.t("plate.repair"))
}

func (s Plate) describe(f Frame) string {
	text := f.t("plate.desc") + " " + s.LongText.String() + " " + f.t("plate.long") + ", " + s.WideText.String() + " " + f.t("plate.wide") + "."
	for _, n := range s.notes(f) {
		text += " " + n + "."
	}
	return text
}
