package sketch

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

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
	if d.W == PhoneWidth {
		readable(t, name, p)
	}
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

// readable holds the words of a phone's drawing to 16 px where it is 360 px wide.
// The numbers on beads and in rings are no words: the list beside them is.
func readable(t interface {
	Helper()
	Errorf(string, ...any)
}, name string, p *draw.Parts) {
	t.Helper()
	for _, a := range p.Texts {
		if _, err := strconv.Atoi(a.S); err == nil || len(a.S) == 1 {
			continue
		}
		if px := a.Size * 360 / PhoneWidth; px < 16 {
			t.Errorf("%s: %q comes out at %.1f px on a phone, want 16", name, a.S, px)
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
				f := Frame{Width: width, High: 60}
				if width == 78 { // a column on paper
					f.Size = 4.4
				}
				d, err := DrawJoint(j, f)
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

func TestOthersAreTidy(t *testing.T) {
	for _, w := range []float64{PageWidth, PhoneWidth} {
		f := Frame{Width: w}
		tidy(t, fmt.Sprintf("plate %.0f wide", w), DrawPlate(samplePlate(), f))
		tidy(t, fmt.Sprintf("chart %.0f wide", w), DrawChart(sampleChart(q.US), f))
		tidy(t, fmt.Sprintf("chart SI %.0f wide", w), DrawChart(sampleChart(q.SI), f))
		tidy(t, fmt.Sprintf("logged %.0f wide", w), DrawChart(sampleLogged(q.US), f))
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
