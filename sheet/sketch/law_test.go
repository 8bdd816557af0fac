package sketch

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/words"
)

// tidy holds a drawing against what every drawing must keep: all text within the
// frame, no two lines of text on each other, every point a number, a title and a
// description.
func tidy(t interface {
	Helper()
	Errorf(string, ...any)
}, name string, d *draw.Drawing) {
	t.Helper()
	if d.Title == "" || d.Desc == "" {
		t.Errorf("%s: title %q, description %q: neither may be empty", name, d.Title, d.Desc)
	}
	p := draw.Apart(d)
	room := draw.Box{X1: d.W, Y1: d.H}
	for i, a := range p.Texts {
		if !a.Box.Within(room, 0.6) {
			t.Errorf("%s: %q at %.1f runs out of the frame %.0f × %.1f", name, a.S, a.Box, d.W, d.H)
		}
		if a.Size < 2 {
			t.Errorf("%s: %q is set in %.2f mm: too small to read", name, a.S, a.Size)
		}
		for _, b := range p.Texts[i+1:] {
			if a.Box.Meets(b.Box, 0.35) {
				t.Errorf("%s: %q and %q lie on each other: %.1f, %.1f", name, a.S, b.S, a.Box, b.Box)
			}
		}
	}
	for _, path := range p.Paths {
		for _, pt := range path.Pts {
			if math.IsNaN(pt.X+pt.Y) || math.IsInf(pt.X+pt.Y, 0) {
				t.Errorf("%s: a line of %q has no place: %v", name, path.Group, path.Pts)
				break
			}
		}
	}
}

// samplePart is a part with everything to show.
func samplePart(crack, thick float64, edges int, width q.Maybe[q.Length], sys q.System) Part {
	const mm = q.Millimetre
	ramp := q.Length(1.5*thick) * mm
	l := q.Length(crack+100) * mm
	s := Part{Crack: q.Known(q.Length(crack) * mm), Remove: q.At(l), Ramp: ramp, Ramps: 2 - edges, Edges: edges, AtEdge: edges == 1, Top: q.Length(0.6*thick+8) * mm,
		Band: max(q.Length(thick), 75) * mm, ReadAt: min(q.Length(4*thick), 50) * mm, Width: width,
		CrackText: label(q.Length(crack)*mm, sys), Removed: label(l, sys), RampText: label(ramp, sys)}
	if edges == 2 {
		s.Ramp, s.Ramps = 0, 0
	}
	s.BandText, s.ReadText = label(s.Band, sys), label(s.ReadAt, sys)
	return s
}

func TestPartIsTidy(t *testing.T) {
	for _, sys := range []q.System{q.SI, q.US} {
		for _, w := range []float64{PageWidth, 108, PhoneWidth} {
			for _, thick := range []float64{6, 25, 60} {
				for _, crack := range []float64{20, 140, 900, 4000} {
					for edges := 0; edges <= 2; edges++ {
						width := q.Maybe[q.Length]{}
						if edges == 2 {
							width = q.Known(q.Length(crack+100) * q.Millimetre)
						}
						if edges == 1 && crack == 140 {
							width = q.Known(300 * q.Millimetre)
						}
						s := samplePart(crack, thick, edges, width, sys)
						tidy(t, fmt.Sprintf("part %s %.0f wide, %.0f thick, crack %.0f, %d edges", sys, w, thick, crack, edges), DrawPart(s, Frame{Width: w, High: 60}))
					}
				}
			}
		}
	}
}

// lengthOn finds the level dimension that carries a figure and gives its length
// on the paper: it is the pair of arrows on the line nearest under the label.
func dimensionOf(p *draw.Parts, figure string) (from, to float64, ok bool) {
	for _, text := range p.Texts {
		if text.S != figure {
			continue
		}
		best := math.Inf(1)
		for _, path := range p.Paths {
			if len(path.Pts) != 2 || math.Abs(path.Pts[0].Y-path.Pts[1].Y) > 1e-9 || path.Pen.Width != draw.Hair.Width {
				continue
			}
			mid := (path.Pts[0].X + path.Pts[1].X) / 2
			off := math.Abs(path.Pts[0].Y-text.At.Y) + math.Abs(mid-text.At.X)/1000
			if off < best {
				best, from, to, ok = off, path.Pts[0].X, path.Pts[1].X, true
			}
		}
	}
	return from, to, ok
}

// The drawing is to scale: full depth and crack are as long on the paper as they
// are in the steel, in the scale that is printed.
func TestPartIsToScale(t *testing.T) {
	for _, c := range []struct{ crack, thick float64 }{{140, 25}, {60, 6}, {200, 60}} {
		s := samplePart(c.crack, c.thick, 0, q.Maybe[q.Length]{}, q.SI)
		p := draw.Apart(DrawPart(s, Frame{Width: PageWidth, High: 80}))
		var scale float64
		for _, text := range p.Texts {
			if one, many, ok := strings.Cut(text.S, " : "); ok {
				a, _ := strconv.ParseFloat(one, 64)
				b, _ := strconv.ParseFloat(many, 64)
				scale = a / b
			}
		}
		for _, g := range []struct {
			name string
			want q.Length
			tone draw.Tone
		}{{"full depth", s.Remove.Low, draw.Light}, {"surface", s.Remove.Low + 2*s.Ramp, draw.White}} {
			found := false
			for _, path := range p.Paths {
				if path.Group != p0(t) || path.Fill != g.tone || len(path.Pts) != 4 {
					continue
				}
				found = true
				if got := (path.Pts[1].X - path.Pts[0].X) / scale; math.Abs(got-g.want.MM()) > 0.01 {
					t.Errorf("crack %.0f, %s: got %.1f mm, want %.1f mm, difference %.1f", c.crack, g.name, got, g.want.MM(), got-g.want.MM())
				}
			}
			if !found {
				t.Errorf("crack %.0f: no outline of the %s", c.crack, g.name)
			}
		}
		from, to, ok := dimensionOf(p, s.Removed.Lead)
		// the arrow heads are drawn apart from the line: 0.8 of a head at each end
		if got := (to - from + 2*0.8*2.2) / scale; !ok || math.Abs(got-s.Remove.Low.MM()) > 0.01 {
			t.Errorf("dimension %s: got %.1f mm, want %.1f mm, difference %.1f", s.Removed.Lead, got, s.Remove.Low.MM(), got-s.Remove.Low.MM())
		}
	}
}

// p0 is the title that groups the excavation.
func p0(t *testing.T) string { t.Helper(); return words.English().T("part.title") }

func TestEndIsTidy(t *testing.T) {
	const mm = q.Millimetre
	for _, w := range []float64{PageWidth, 90, PhoneWidth} {
		for _, thick := range []float64{6, 25, 60} {
			depth := q.Length(thick/2) * mm
			s := End{Thickness: q.Length(thick) * mm, Depth: depth, Second: depth + 2*mm, Beyond: 50 * mm, Ramp: 3 * depth, SlopeText: "1 in 3",
				BeyondText: label(50*mm, q.US), RampText: label(3*depth, q.US), DepthText: label(depth, q.US), ThickText: label(q.Length(thick)*mm, q.US)}
			tidy(t, fmt.Sprintf("end %.0f wide, %.0f thick", w, thick), DrawEnd(s, Frame{Width: w, High: 40}))
		}
	}
}

func jointOf(g joint.Groove, sys q.System) Joint {
	side := func(g joint.Groove) JointText {
		s := JointText{Depth: label(g.Depth, sys)}
		if w, err := g.Width(); err == nil {
			s.Top = label(w, sys)
		}
		if g.Angle > 0 {
			s.Angle = Label{Lead: g.Angle.In(sys)}
		}
		if g.Radius > 0 {
			s.Radius = label(g.Radius, sys)
		}
		if g.RootOpening > 0 {
			s.Opening = label(g.RootOpening, sys)
		}
		if g.RootFace > 0 {
			s.Face = label(g.RootFace, sys)
		}
		return s
	}
	j := Joint{Groove: g, First: side(g), Thick: label(g.Thickness, sys), Back: label(g.BackingSize, sys)}
	if g.SecondSide != nil {
		j.Second = side(*g.SecondSide)
	}
	return j
}

func TestJointIsTidy(t *testing.T) {
	for name, w := range grooves(t) {
		for _, width := range []float64{PageWidth, 78, PhoneWidth} {
			for _, sys := range []q.System{q.SI, q.US} {
				j := jointOf(w.Groove, sys)
				d, err := DrawJoint(j, Frame{Width: width, High: 60})
				if err != nil {
					t.Fatal(err)
				}
				tidy(t, fmt.Sprintf("joint %s, %s, %.0f wide", name, sys, width), d)
				seen := draw.Apart(d).Words()
				for _, l := range []Label{j.First.Angle, j.First.Top, j.First.Radius, j.First.Opening, j.First.Face, j.First.Depth, j.Second.Depth, j.Second.Top} {
					if l.Lead != "" && !slices.ContainsFunc(seen, func(s string) bool { return strings.Contains(s, l.Lead) }) {
						t.Errorf("joint %s: the figure %s is missing", name, l)
					}
				}
			}
		}
	}
}

// beadsOf gives the outlines of the beads as drawn, in mm of the steel with the
// groove's own axes, by undoing the drawing's scale: the width of the widest bead
// tells it.
func beadsOf(t testing.TB, w Weld, d *draw.Drawing) [][]draw.Pt {
	t.Helper()
	var all [][]draw.Pt
	for _, path := range draw.Apart(d).Paths {
		if path.Group == d.Title {
			all = append(all, path.Pts)
		}
	}
	if len(all) != len(w.Beads) {
		t.Fatalf("%d beads drawn, want %d", len(all), len(w.Beads))
	}
	// scale and place from the first bead's extent
	first := w.Beads[0].Outline
	lowX, highX := math.Inf(1), math.Inf(-1)
	for _, o := range first {
		lowX, highX = min(lowX, mm(o.X)), max(highX, mm(o.X))
	}
	l, r := ends(all[0])
	scale := (r - l) / (highX - lowX)
	x0 := l - lowX*scale
	y0 := all[0][0].Y + mm(first[0].Y)*scale
	out := make([][]draw.Pt, len(all))
	for i, pts := range all {
		for _, p := range pts {
			out[i] = append(out[i], draw.At((p.X-x0)/scale, (y0-p.Y)/scale))
		}
	}
	return out
}

func areaOf(pts []draw.Pt) float64 {
	a := 0.0
	for i, p := range pts {
		n := pts[(i+1)%len(pts)]
		a += p.X*n.Y - n.X*p.Y
	}
	return math.Abs(a) / 2
}

// weldLaws holds a drawn weld against the groove: beads lie inside groove and
// cap, do not overlap, and add up to groove and cap.
func weldLaws(t interface {
	Helper()
	Errorf(string, ...any)
	Fatalf(string, ...any)
}, name string, w Weld, l joint.Layers, drawn [][]draw.Pt) {
	t.Helper()
	const tolerance = 0.05 // mm of steel; the outlines are chords of arcs
	sum := 0.0
	for i, pts := range drawn {
		sum += areaOf(pts)
		g := w.Groove
		side := w.Beads[i].Side
		o, err := g.Outline(side)
		if err != nil {
			t.Fatalf("%v", err)
		}
		for _, p := range pts {
			y := p.Y
			top := mm(g.Depth)
			if side == 2 {
				bite := mm(g.Bite())
				y, top = bite-p.Y, mm(g.SecondSide.Depth)
			}
			if y > top+tolerance {
				continue // cap: may stand above, held by the sum
			}
			// near a flat root a hair of height is much width: measured a tolerance up
			up := tolerance
			if side == 2 {
				up = -tolerance
			}
			left, right := wallsAt(o, p.Y+up)
			if math.IsInf(left, 1) {
				left, right = wallsAt(o, p.Y)
			}
			if p.X < left-tolerance || p.X > right+tolerance {
				t.Errorf("%s: bead %d has a corner at x %.2f, y %.2f mm outside the groove %.2f to %.2f", name, w.Beads[i].Number, p.X, p.Y, left, right)
				return
			}
		}
	}
	want := (l.Groove + l.Cap).MM2()
	if math.Abs(sum-want) > 0.05*want {
		t.Errorf("%s: beads %.1f mm², groove and cap %.1f mm², difference %.1f", name, sum, want, sum-want)
	}
	// overlap: sampled on a grid of each bead against the others of its side
	for i := range drawn {
		for k := i + 1; k < len(drawn); k++ {
			if w.Beads[i].Side != w.Beads[k].Side {
				continue // the second side is cut out of the first
			}
			if a := overlap(drawn[i], drawn[k]); a > 0.02*min(areaOf(drawn[i]), areaOf(drawn[k])) {
				t.Errorf("%s: beads %d and %d overlap by %.2f mm²", name, w.Beads[i].Number, w.Beads[k].Number, a)
			}
		}
	}
}

// wallsAt gives the groove's walls at a height, from its outline.
func wallsAt(o []joint.Point, y float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for i, a := range o {
		b := o[(i+1)%len(o)]
		ay, by := mm(a.Y), mm(b.Y)
		if (y < min(ay, by)-1e-9) || y > max(ay, by)+1e-9 {
			continue
		}
		xs := []float64{mm(a.X), mm(b.X)}
		if math.Abs(ay-by) > 1e-12 {
			x := mm(a.X) + (mm(b.X)-mm(a.X))*(y-ay)/(by-ay)
			xs = []float64{x}
		}
		for _, x := range xs {
			left, right = min(left, x), max(right, x)
		}
	}
	return left, right
}

// overlap estimates the area two polygons share by 40 level cuts.
func overlap(a, b []draw.Pt) float64 {
	low, high := math.Inf(-1), math.Inf(1)
	for _, pts := range [][]draw.Pt{a, b} {
		l, h := math.Inf(1), math.Inf(-1)
		for _, p := range pts {
			l, h = min(l, p.Y), max(h, p.Y)
		}
		low, high = max(low, l), min(high, h)
	}
	if high <= low {
		return 0
	}
	const n = 40
	sum := 0.0
	for i := range n {
		y := low + (high-low)*(float64(i)+0.5)/n
		a0, a1, ok1 := widthAt(a, y)
		b0, b1, ok2 := widthAt(b, y)
		if ok1 && ok2 {
			sum += max(0, min(a1, b1)-max(a0, b0)) * (high - low) / n
		}
	}
	return sum
}

func TestWeldLaws(t *testing.T) {
	for name, w := range grooves(t) {
		for _, width := range []float64{PageWidth, PhoneWidth} {
			d, err := DrawWeld(w, Frame{Width: width, High: 150})
			if err != nil {
				t.Fatal(err)
			}
			full := name + fmt.Sprintf(", %.0f wide", width)
			if !strings.HasPrefix(name, "wide") { // 156 beads: numbers on the lines, see TestManyBeads
				tidy(t, full, d)
			}
			weldLaws(t, full, w, layersFor(t, w), beadsOf(t, w, d))
			numbersAreIn(t, full, w, d)
		}
	}
}

// layersFor is the layout the sample weld was made from.
func layersFor(t testing.TB, w Weld) joint.Layers {
	t.Helper()
	var l joint.Layers
	for _, b := range w.Beads {
		l.Total += q.Area(polygon(b.Outline))
	}
	for s := &w.Groove; s != nil; s = s.SecondSide {
		a, err := s.Section()
		if err != nil {
			t.Fatal(err)
		}
		l.Groove += a
		top, err := s.Width()
		if err != nil {
			t.Fatal(err)
		}
		l.Cap += q.Area(2.0 / 3 * float64(top) * 0.002) // cap 2 mm high: 2/3·w·h (filler metal handbook)
	}
	return l
}

func polygon(o []joint.Point) float64 {
	a := 0.0
	for i, p := range o {
		n := o[(i+1)%len(o)]
		a += float64(p.X*n.Y - n.X*p.Y)
	}
	return math.Abs(a) / 2
}

// numbersAreIn: every bead that is left has its number, with the middle of the
// number inside its own outline.
func numbersAreIn(t *testing.T, name string, w Weld, d *draw.Drawing) {
	t.Helper()
	p := draw.Apart(d)
	var outlines [][]draw.Pt
	for _, path := range p.Paths {
		if path.Group == d.Title {
			outlines = append(outlines, path.Pts)
		}
	}
	gone := hidden(w.Beads)
	for i, b := range w.Beads {
		number := strconv.Itoa(b.Number)
		found := false
		for _, text := range p.Texts {
			mid := draw.At((text.Box.X0+text.Box.X1)/2, (text.Box.Y0+text.Box.Y1)/2)
			if text.S == number && text.Bold {
				found = true
				if a, z, ok := widthAt(outlines[i], mid.Y); !ok || mid.X < a || mid.X > z {
					t.Errorf("%s: the number of bead %s stands outside it", name, number)
				}
			}
		}
		covered := slices.ContainsFunc(gone, func(g WeldBead) bool { return g.Number == b.Number })
		if found == covered {
			t.Errorf("%s: bead %s: number drawn %v, gouged away %v", name, number, found, covered)
		}
		if covered && !slices.ContainsFunc(p.Words(), func(s string) bool { return strings.Contains(s, "bead "+number+":") }) {
			t.Errorf("%s: nothing says where bead %s went", name, number)
		}
	}
}

// A thick groove of 45 beads and more is readable on a page: every number at
// least 2.3 mm high and inside its bead, none on another.
func TestManyBeads(t *testing.T) {
	w := grooves(t)["thick 60 mm, 45 and more beads"]
	if len(w.Beads) < 45 {
		t.Fatalf("%d beads: not the case this is about", len(w.Beads))
	}
	d, err := DrawWeld(w, Frame{Width: PageWidth, High: 150})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range draw.Apart(d).Texts {
		if _, err := strconv.Atoi(text.S); err == nil && text.Size < 3 {
			t.Errorf("number %s is %.1f mm high, want 3 at least", text.S, text.Size)
		}
	}
	wide := grooves(t)["wide, 14 in a layer"]
	layers := layersOf(wide.Beads)
	if most := slices.MaxFunc(layers, func(a, b weldLayer) int { return len(a.beads) - len(b.beads) }); len(most.beads) < 14 {
		t.Errorf("at most %d beads in a layer: not the case this is about", len(most.beads))
	}
}

func TestWeldProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thick := rapid.Float64Range(4, 70).Draw(t, "thickness")
		g := joint.Groove{Shape: joint.SingleV, Angle: q.Angle(rapid.Float64Range(30, 70).Draw(t, "angle")) * q.Degree,
			RootOpening: q.Length(rapid.Float64Range(0.5, 8).Draw(t, "opening")) * q.Millimetre, Depth: q.Length(thick) * q.Millimetre, Thickness: q.Length(thick) * q.Millimetre}
		r, err := joint.Layout(g, joint.Constraints{Fill: joint.Run{Core: 4 * q.Millimetre, Area: q.Area(rapid.Float64Range(12, 35).Draw(t, "bead")) * q.SquareMillimetre}, Position: "flat", LowHydrogen: true, Cap: 2 * q.Millimetre})
		if err != nil {
			t.Skip()
		}
		w := weldOf(g, r.Value)
		d, err := DrawWeld(w, Frame{Width: PageWidth, High: 150})
		if err != nil {
			t.Fatal(err)
		}
		var drawn [][]draw.Pt
		for _, path := range draw.Apart(d).Paths {
			if path.Group == d.Title {
				drawn = append(drawn, path.Pts)
			}
		}
		// on the paper: areas in the square of one scale
		first := polygon(w.Beads[0].Outline) * 1e6
		scale2 := areaOf(drawn[0]) / first
		sum := 0.0
		for _, pts := range drawn {
			sum += areaOf(pts) / scale2
		}
		if want := (r.Value.Groove + r.Value.Cap).MM2(); math.Abs(sum-want) > 0.05*want {
			t.Fatalf("beads drawn %.1f mm², groove and cap %.1f mm², difference %.1f", sum, want, sum-want)
		}
	})
}

func TestOthersAreTidy(t *testing.T) {
	for _, w := range []float64{PageWidth, PhoneWidth} {
		f := Frame{Width: w}
		tidy(t, fmt.Sprintf("plate %.0f wide", w), DrawPlate(samplePlate(), f))
		tidy(t, fmt.Sprintf("chart %.0f wide", w), DrawChart(sampleChart(q.US), f))
		tidy(t, fmt.Sprintf("chart SI %.0f wide", w), DrawChart(sampleChart(q.SI), f))
		tidy(t, fmt.Sprintf("path %.0f wide", w), DrawPath(samplePath(), f))
		for _, long := range []float64{120, 405, 1500} {
			layers := []joint.Layer{{Number: 1, Side: 1, Kind: joint.RootBead}, {Number: 2, Side: 1, Kind: joint.FillBead}, {Number: 3, Side: 1, Kind: joint.FillBead}, {Number: 4, Side: 1, Kind: joint.CapBead}}
			seq, err := joint.Along(q.Length(long)*q.Millimetre, nil, layers)
			if err != nil {
				t.Fatal(err)
			}
			tidy(t, fmt.Sprintf("order %.0f mm, %.0f wide", long, w), DrawOrder(Order{Length: q.Length(long) * q.Millimetre, Runs: seq.Value.Runs}, f))
		}
	}
}

// The arrows of the first layer point the way each block is welded, and the
// numbers give the order of the blocks.
func TestOrderArrows(t *testing.T) {
	const long = 600 * q.Millimetre
	seq, err := joint.Along(long, nil, []joint.Layer{{Number: 1, Side: 1, Kind: joint.RootBead}})
	if err != nil {
		t.Fatal(err)
	}
	d := DrawOrder(Order{Length: long, Runs: seq.Value.Runs}, Frame{Width: PageWidth})
	p := draw.Apart(d)
	var numbers []string
	for _, b := range seq.Value.Runs[0].Blocks {
		numbers = append(numbers, strconv.Itoa(b.Order))
	}
	heads := 0
	for _, path := range p.Paths {
		if len(path.Pts) == 3 && path.Fill == draw.Black { // an arrow head: tip first
			b := seq.Value.Runs[0].Blocks[heads]
			if (path.Pts[0].X > path.Pts[1].X) != (b.To > b.From) {
				t.Errorf("block %d: the arrow points the wrong way", b.Order)
			}
			heads++
		}
	}
	if heads != len(numbers) {
		t.Errorf("%d arrows, want %d", heads, len(numbers))
	}
	for _, n := range numbers {
		if !slices.Contains(p.Words(), n) {
			t.Errorf("block %s has no number", n)
		}
	}
}

func TestOrderRepeats(t *testing.T) {
	a, b := []joint.Block{{Order: 1, From: 0, To: 1}}, []joint.Block{{Order: 1, From: 1, To: 0}}
	runs := func(all ...[]joint.Block) (r []joint.LayerRun) {
		for i, x := range all {
			r = append(r, joint.LayerRun{Layer: i + 1, Blocks: x})
		}
		return r
	}
	for _, c := range []struct {
		name string
		runs []joint.LayerRun
		want int
	}{{"by turns", runs(a, b, a, b, a), 2}, {"always the same", runs(a, a, a), 1}, {"never", runs(a, b, b), 3}, {"one layer", runs(a), 1}} {
		t.Run(c.name, func(t *testing.T) {
			if got := (Order{Runs: c.runs}).period(); got != c.want {
				t.Errorf("got %d, want %d", got, c.want)
			}
		})
	}
}

// Temperatures and times stand where the axes say: the floor's line lies at its
// share of the axis, on both axes' figures.
func TestChartAxes(t *testing.T) {
	s := sampleChart(q.SI)
	p := draw.Apart(DrawChart(s, Frame{Width: PageWidth}))
	at := map[string]float64{} // level of each figure of the left axis
	for _, text := range p.Texts {
		if text.Anchor == draw.End {
			at[text.S] = text.At.Y
		}
	}
	y100, y200 := at["100"], at["200"]
	if y100 == 0 || y200 == 0 {
		t.Fatalf("no 100 and 200 on the axis: %v", at)
	}
	want := y100 + (y200-y100)*(140-100)/100 - (at["100"] - lineAt(p, at["100"]))
	found := false
	for _, path := range p.Paths {
		if len(path.Pts) == 2 && path.Pen.Width == draw.Thick.Width && len(path.Pen.Dash) == 0 && math.Abs(path.Pts[0].Y-path.Pts[1].Y) < 1e-9 {
			found = true
			if got := path.Pts[0].Y; math.Abs(got-want) > 0.3 {
				t.Errorf("floor at %.2f, want %.2f, difference %.2f", got, want, got-want)
			}
		}
	}
	if !found {
		t.Error("no line for the floor")
	}
	if n := len(s.Beads); !slices.Contains(p.Words(), strconv.Itoa(n)) {
		t.Errorf("bead %d is not marked", n)
	}
}

// lineAt is the level of the grid line nearest to a figure.
func lineAt(p *draw.Parts, y float64) float64 {
	best := math.Inf(1)
	for _, path := range p.Paths {
		if len(path.Pts) == 2 && path.Pen.Tone == draw.Light && math.Abs(path.Pts[0].Y-y) < math.Abs(best-y) {
			best = path.Pts[0].Y
		}
	}
	return best
}

// More current, thicker line; what must carry none is marked and said.
func TestPathLines(t *testing.T) {
	s := samplePath()
	p := draw.Apart(DrawPath(s, Frame{Width: PageWidth}))
	widths := map[string]float64{}
	for _, path := range p.Paths {
		for _, c := range s.Contacts {
			if path.Group == c.Name+" "+c.Text && len(path.Pts) == 2 {
				widths[path.Group] = max(widths[path.Group], path.Pen.Width)
			}
		}
	}
	if widths["bush 66 A"] <= widths["rod eye 36 A"] || widths["rod eye 36 A"] <= widths["race "] {
		t.Errorf("line widths do not follow the current: %v", widths)
	}
	marked := 0
	for _, w := range p.Words() {
		if strings.Contains(w, words.English().T("path.never")) {
			marked++
		}
	}
	if marked != 3 {
		t.Errorf("%d contacts are said to carry no current, want 3", marked)
	}
	for _, b := range s.Bodies {
		if all := strings.Join(p.Words(), " "); !strings.Contains(all, b.Name) {
			t.Errorf("%q is not on the drawing", b.Name)
		}
	}
}

// A plate's outline keeps its length, width and nose.
func TestPlateOutline(t *testing.T) {
	s := samplePlate()
	left, right, wide := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range s.outline() {
		left, right, wide = min(left, p[0]), max(right, p[0]), max(wide, math.Abs(p[1]))
	}
	if got, want := right-left, s.Length.MM(); math.Abs(got-want) > 1e-6 {
		t.Errorf("length %.2f, want %.2f", got, want)
	}
	if got, want := 2*wide, s.Width.MM(); math.Abs(got-want) > 1e-6 {
		t.Errorf("width %.2f, want %.2f", got, want)
	}
	// tangent: no corner of more than 10° between taper and nose
	pts := s.outline()
	for i := range pts {
		a, b, c := pts[i], pts[(i+1)%len(pts)], pts[(i+2)%len(pts)]
		if b[0] < mm(s.Length)/2-mm(s.Taper)+1 {
			continue // the corner where the taper begins
		}
		d1, d2 := math.Atan2(b[1]-a[1], b[0]-a[0]), math.Atan2(c[1]-b[1], c[0]-b[0])
		if turn := math.Abs(math.Remainder(d2-d1, 2*math.Pi)); turn > 15*math.Pi/180 {
			t.Errorf("a corner of %.0f° at %.1f, %.1f", turn*180/math.Pi, b[0], b[1])
		}
	}
}
