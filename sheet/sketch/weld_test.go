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
)

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
