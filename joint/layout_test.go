package joint

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// polygon area in mm² by the shoelace formula, written apart from the code under test.
func shoelace(ps []Point) float64 {
	s := 0.0
	for i, p := range ps {
		n := ps[(i+1)%len(ps)]
		s += p.X.MM()*n.Y.MM() - n.X.MM()*p.Y.MM()
	}
	return math.Abs(s) / 2
}

// within says whether a point lies in an outline (crossings of a ray).
func within(ps []Point, x, y float64) bool {
	in := false
	for i, a := range ps {
		b := ps[(i+1)%len(ps)]
		if (float64(a.Y) > y) != (float64(b.Y) > y) && x < float64(a.X)+(y-float64(a.Y))/float64(b.Y-a.Y)*float64(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// anyGroove draws a groove that can be made, 3 to 60 mm thick.
func anyGroove(t *rapid.T) Groove {
	mm := func(low, high float64, name string) q.Length {
		return q.Length(rapid.Float64Range(low, high).Draw(t, name)) * q.Millimetre
	}
	thick := mm(3, 60, "thickness")
	side := func(depth q.Length, name string) Groove {
		g := Groove{Depth: depth, Thickness: thick}
		shapes := []Shape{SingleV, SingleBevel}
		if depth > 5*q.Millimetre {
			shapes = append(shapes, SingleU, SingleJ)
		}
		if depth < 12*q.Millimetre {
			shapes = append(shapes, Square)
		}
		gap := func() q.Length { // shut, or open enough to weld
			if rapid.Bool().Draw(t, name+" shut") {
				return 0
			}
			return mm(0.5, 8, name+" gap")
		}
		g.Shape = rapid.SampledFrom(shapes).Draw(t, name+" shape")
		switch g.Shape {
		case Square:
			g.RootOpening = mm(2, 6, name+" gap")
		case SingleV:
			g.Angle = q.Angle(rapid.Float64Range(30, 90).Draw(t, name+" angle")) * q.Degree
			g.RootOpening, g.RootFace = gap(), mm(0, min(2, depth.MM()/2), name+" face")
		case SingleBevel:
			g.Angle = q.Angle(rapid.Float64Range(30, 60).Draw(t, name+" angle")) * q.Degree
			g.RootOpening, g.RootFace = gap(), mm(0, min(2, depth.MM()/2), name+" face")
		default:
			g.Angle = q.Angle(rapid.Float64Range(5, 25).Draw(t, name+" angle")) * q.Degree
			g.Radius = mm(4, min(12, depth.MM()), name+" radius")
			g.RootOpening = gap()
		}
		return g
	}
	if !rapid.Bool().Draw(t, "both sides") || thick < 6*q.Millimetre {
		g := side(thick, "one")
		if rapid.Bool().Draw(t, "surface") && thick > 10*q.Millimetre {
			g = side(thick*0.6, "surface")
			g.RootFace = 0
		}
		return g
	}
	first := thick * q.Length(rapid.Float64Range(0.4, 0.67).Draw(t, "share"))
	g := side(first, "first")
	s := side(thick-first+mm(0, min(3, first.MM()/2), "bite"), "second")
	if g.Bite() < g.Depth {
		g.SecondSide = &s
	}
	return g
}

func anyConstraints(t *rapid.T) Constraints {
	c := Constraints{
		Position: rapid.SampledFrom([]job.Position{"", job.Flat, job.Horizontal, job.Vertical, job.Overhead}).Draw(t, "position"),
		Cap:      q.Length(rapid.Float64Range(0, 4).Draw(t, "cap")) * q.Millimetre,
		Fill:     Run{Core: rapid.SampledFrom([]q.Length{2.5 * q.Millimetre, 3.2 * q.Millimetre, 4 * q.Millimetre}).Draw(t, "core")},
	}
	c.Fill.Area = q.Area(rapid.Float64Range(6, 40).Draw(t, "bead")) * q.SquareMillimetre
	if rapid.Bool().Draw(t, "other root") {
		c.Root = Run{Core: 2.5 * q.Millimetre, Area: 10 * q.SquareMillimetre}
	}
	if rapid.Bool().Draw(t, "wire") {
		c.Feed, c.Fill.Core = Wire, 1.2*q.Millimetre
		c.Root = Run{}
	}
	return c
}

// The laws of a layout: beads fill groove and cap, lie inside, do not overlap,
// obey the limits, and come in order.
func TestLayoutHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, c := anyGroove(t), anyConstraints(t)
		r, err := Layout(g, c)
		if err != nil {
			t.Fatal(err)
		}
		v := r.Value
		want := (v.Groove + v.Cap).MM2()
		sum, drawn := 0.0, 0.0
		for _, b := range v.Beads {
			sum += b.Area.MM2()
			drawn += shoelace(b.Outline)
			if d := math.Abs(shoelace(b.Outline)-b.Area.MM2()) / b.Area.MM2(); d > 0.02 {
				t.Fatalf("bead %d is drawn %.1f %% off its section", b.Number, d*100)
			}
			if !(b.Area > 0) || math.IsNaN(float64(b.X+b.Y+b.Width+b.Height)) {
				t.Fatalf("bead %d: %+v", b.Number, b)
			}
		}
		if math.Abs(sum-want) > 1e-6*want || math.Abs(drawn-want) > 0.01*want {
			t.Fatalf("beads %.4g mm², drawn %.4g mm², groove and cap %.4g mm²", sum, drawn, want)
		}
		inside(t, g, c, v)
		apart(t, g, v)
		limits(t, g, c, v)
		order(t, c, v)
	})
}

// inside: every point within the walls of its side, below the cap.
func inside(t *rapid.T, g Groove, c Constraints, v Layers) {
	for _, b := range v.Beads {
		side := &g
		if b.Side == 2 {
			side = g.SecondSide
		}
		p, err := side.profile()
		if err != nil {
			t.Fatal(err)
		}
		for _, pt := range b.Outline {
			x, y := pt.X.MM(), pt.Y.MM()
			if b.Side == 2 {
				y = g.Bite().MM() - y
			}
			if y < -1e-6 || y > p.depth+c.Cap.MM()+1e-6 {
				t.Fatalf("bead %d: height %.4f of a side %.4f deep", b.Number, y, p.depth)
			}
			h := min(max(y, 0), p.depth)
			if x < p.left(h)-1e-4 || x > p.right(h)+1e-4 {
				t.Fatalf("bead %d: %.4f at height %.4f is outside %.4f to %.4f", b.Number, x, y, p.left(h), p.right(h))
			}
		}
	}
}

// apart: of a net of points over one side, none lies in two beads and every one
// in the groove lies in a bead. Beads of the second side reach into the first
// side's weld only as far as it was back-gouged.
func apart(t *rapid.T, g Groove, v Layers) {
	for side := 1; side <= v.Beads[len(v.Beads)-1].Side; side++ {
		groove, err := g.Outline(side)
		if err != nil {
			t.Fatal(err)
		}
		left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, b := range v.Beads {
			for _, p := range b.Outline {
				if b.Side == side {
					left, right = min(left, float64(p.X)), max(right, float64(p.X))
					low, high = min(low, float64(p.Y)), max(high, float64(p.Y))
				}
			}
		}
		const n, m = 41, 37 // no net that falls on a sloped wall
		hit, twice, missed := 0, 0, 0
		for i := range n {
			for j := range m {
				x := left + (right-left)*(float64(i)+0.417)/n
				y := low + (high-low)*(float64(j)+0.311)/m
				beads := 0
				for _, b := range v.Beads {
					if b.Side == side && within(b.Outline, x, y) {
						beads++
					}
				}
				if beads > 0 {
					hit++
				}
				if beads > 1 {
					twice++
				}
				if beads == 0 && within(groove, x, y) {
					missed++
				}
			}
		}
		if hit == 0 || twice > 0 || missed > hit/100 {
			t.Fatalf("side %d: of %d points %d lie in two beads and %d in none", side, hit, twice, missed)
		}
	}
	for _, b := range v.Beads {
		if b.Side != 2 {
			continue
		}
		for _, p := range b.Outline {
			if p.Y > v.Bite+1e-9 {
				t.Fatalf("bead %d reaches %.3f mm, bite is %.3f mm", b.Number, p.Y.MM(), v.Bite.MM())
			}
		}
	}
}

func limits(t *rapid.T, g Groove, c Constraints, v Layers) {
	feed := c.Feed
	if feed == "" {
		feed = Rod
	}
	lim, err := limitsAt(c.Position, feed, c.LowHydrogen)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range v.Layers {
		high, most := l.Top-l.Bottom, lim.Layer
		if l.Kind == RootBead || l.Kind == BackBead {
			most = lim.Root
		}
		if high > most+1e-9 {
			t.Fatalf("layer %d (%s) is %.3f mm thick, limit %.3f", l.Number, l.Kind, high.MM(), most.MM())
		}
		if n := l.Last - l.First + 1; n < 2 && l.Width.MM() > 16 {
			t.Fatalf("layer %d is %.1f mm wide in one bead", l.Number, l.Width.MM())
		}
	}
	for _, b := range v.Beads {
		core := c.Fill.Core
		if (b.Kind == RootBead || b.Kind == BackBead) && c.Root != (Run{}) {
			core = c.Root.Core
		}
		widest := 2.5 * core
		if feed == Wire {
			widest = 10 * q.Millimetre
		}
		if b.Width > widest*1.0001 {
			t.Fatalf("bead %d (%s) is %.2f mm wide with a %.1f mm rod", b.Number, b.Kind, b.Width.MM(), core.MM())
		}
	}
}

func order(t *rapid.T, c Constraints, v Layers) {
	next := 1
	for _, l := range v.Layers {
		if l.First != next {
			t.Fatalf("layer %d starts with bead %d, want %d", l.Number, l.First, next)
		}
		next = l.Last + 1
	}
	if next != len(v.Beads)+1 {
		t.Fatalf("layers end at bead %d of %d", next-1, len(v.Beads))
	}
	for i, b := range v.Beads {
		if b.Number != i+1 || (i > 0 && (b.Layer < v.Beads[i-1].Layer || b.Side < v.Beads[i-1].Side)) {
			t.Fatalf("bead %d out of order: %+v", i+1, b)
		}
	}
	for _, l := range v.Layers {
		beads := v.Beads[l.First-1 : l.Last]
		if len(beads) < 3 {
			continue
		}
		lowest, highest := beads[0].X, beads[0].X
		for _, b := range beads {
			lowest, highest = min(lowest, b.X), max(highest, b.X)
		}
		if last := beads[len(beads)-1]; l.Kind == CapBead && (last.X == lowest || last.X == highest) {
			t.Fatalf("layer %d: the last bead of the cap lies on a toe", l.Number)
		}
		if c.Position != job.Horizontal && (beads[0].X != lowest || beads[1].X != highest) {
			t.Fatalf("layer %d: walls are not first", l.Number)
		}
	}
}
