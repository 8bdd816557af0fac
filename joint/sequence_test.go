package joint

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// The rules of block and back-step welding (common practice, no source): blocks
// of 150 to 300 mm, stops of neighbouring layers 25 mm apart or more, none at a
// groove end or corner, peening of intermediate layers only (D1.1, from memory).
func TestAlongHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		long := q.Length(rapid.Float64Range(30, 3000).Draw(t, "length")) * mm
		var corners []q.Length
		if rapid.Bool().Draw(t, "corner") {
			corners = []q.Length{long * q.Length(rapid.Float64Range(0.05, 0.95).Draw(t, "at"))}
		}
		layers := make([]Layer, rapid.IntRange(1, 12).Draw(t, "layers"))
		for i := range layers {
			layers[i] = Layer{Number: i + 1, Side: 1, Kind: FillBead}
		}
		layers[0].Kind, layers[len(layers)-1].Kind = RootBead, CapBead
		r, err := Along(long, corners, layers)
		if err != nil {
			t.Fatal(err)
		}
		v := r.Value
		if v.Block > 300*mm+1e-9 {
			t.Fatalf("block of %.0f mm", v.Block.MM())
		}
		var before []q.Length
		for _, run := range v.Runs {
			var stops []q.Length
			sum := q.Length(0)
			for i, b := range run.Blocks {
				if b.Order != i+1 || b.From == b.To {
					t.Fatalf("block %+v", b)
				}
				sum += q.Length(math.Abs(float64(b.To - b.From)))
				if len(run.Blocks) > 1 && (b.To == 0 || b.To == long) {
					t.Fatalf("layer %d stops at a groove end: %+v", run.Layer, run.Blocks)
				}
				for _, p := range []q.Length{b.From, b.To} {
					if p != 0 && p != long {
						stops = append(stops, p)
					}
				}
			}
			if math.Abs(float64(sum-long)) > 1e-9 {
				t.Fatalf("blocks cover %.1f of %.1f mm", sum.MM(), long.MM())
			}
			for _, s := range stops {
				if s < 25*mm-1e-9 || s > long-25*mm+1e-9 {
					t.Fatalf("stop at %.1f of %.1f mm", s.MM(), long.MM())
				}
				for _, c := range corners {
					if math.Abs(float64(s-c)) < 0.025-1e-9 {
						t.Fatalf("stop at %.1f, corner at %.1f mm", s.MM(), c.MM())
					}
				}
				for _, b := range before {
					if math.Abs(float64(s-b)) < 0.025-1e-9 {
						t.Fatalf("layer %d: stop at %.1f over one at %.1f mm", run.Layer, s.MM(), b.MM())
					}
				}
			}
			before = stops
			if run.Peen != (run.Kind == FillBead) || run.Peen != slices.Contains(v.Peen, run.Layer) {
				t.Fatalf("peening of %s", run.Kind)
			}
		}
	})
}

func TestAlongRefuses(t *testing.T) {
	layers := []Layer{{Number: 1, Kind: RootBead}}
	for name, f := range map[string]func() error{
		"no length":         func() error { _, err := Along(0, nil, layers); return err },
		"no layers":         func() error { _, err := Along(300*mm, nil, nil); return err },
		"corner off groove": func() error { _, err := Along(300*mm, []q.Length{400 * mm}, layers); return err },
	} {
		if f() == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

func TestSequenceRules(t *testing.T) {
	r, err := Along(600*mm, nil, []Layer{{Number: 1, Kind: RootBead}, {Number: 2, Kind: FillBead}, {Number: 3, Kind: CapBead}})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(r.Value.Peen, []int{2}) {
		t.Errorf("peen %v, want the fill layer only", r.Value.Peen)
	}
	for _, s := range r.Value.Rules {
		if s.Text == "" || s.Why == "" || s.Skip == "" {
			t.Errorf("rule %q lacks its reason", s.ID)
		}
	}
}

func TestLayoutRefuses(t *testing.T) {
	g := Groove{Shape: SingleV, Angle: 60 * q.Degree, RootOpening: 3 * mm, Depth: 20 * mm, Thickness: 20 * mm}
	c := Constraints{Fill: Run{Core: 3.2 * mm, Area: 17 * mm2}, Position: job.Vertical, LowHydrogen: true, Cap: 2 * mm}
	if _, err := Layout(g, c); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*Groove, *Constraints){
		"5/32 is the most of low hydrogen vertical": func(_ *Groove, c *Constraints) { c.Fill.Core = 4.8 * mm },
		"no bead":                     func(_ *Groove, c *Constraints) { c.Fill.Area = 0 },
		"a cap of 8 mm":               func(_ *Groove, c *Constraints) { c.Cap = 8 * mm },
		"a weave of 4 × core":         func(_ *Groove, c *Constraints) { c.Widest = q.Known(q.Ratio(4)) },
		"no such position":            func(_ *Groove, c *Constraints) { c.Position = "sideways" },
		"no such feed":                func(_ *Groove, c *Constraints) { c.Feed = "powder" },
		"deeper than the part":        func(g *Groove, _ *Constraints) { g.Depth = 25 * mm },
		"no thickness":                func(g *Groove, _ *Constraints) { g.Thickness = 0 },
		"second side with backing":    func(g *Groove, _ *Constraints) { s := *g; g.SecondSide, g.Backing = &s, SteelBacking },
		"second side that eats first": func(g *Groove, _ *Constraints) { s := *g; g.Depth = 5 * mm; g.SecondSide = &s },
	} {
		g, c := g, c
		change(&g, &c)
		if _, err := Layout(g, c); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

// Quenched and tempered steel: beads of 2 × core (common practice) are narrower
// and more of them.
func TestNarrowBeads(t *testing.T) {
	g := Groove{Shape: SingleV, Angle: 60 * q.Degree, RootOpening: 3 * mm, Depth: 30 * mm, Thickness: 30 * mm}
	c := Constraints{Fill: Run{Core: 3.2 * mm, Area: 17 * mm2}, Position: job.Flat, Cap: 2 * mm}
	a, err := Layout(g, c)
	if err != nil {
		t.Fatal(err)
	}
	c.Widest = q.Known(q.Ratio(1.5))
	b, err := Layout(g, c)
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Value.Beads) <= len(a.Value.Beads) || b.Value.Widest > 1.5*3.2*mm*1.0001 {
		t.Errorf("%d beads after %d, widest %.2f mm", len(b.Value.Beads), len(a.Value.Beads), b.Value.Widest.MM())
	}
}

// The sizes the layout must carry: 3 to 60 mm, more than 100 beads, up to 14 in a layer.
func TestLayoutSizes(t *testing.T) {
	for _, c := range []struct {
		name     string
		g        Groove
		rod      Run
		low, top int // beads
	}{
		{"3 mm square, one or two beads", Groove{Shape: Square, RootOpening: 2 * mm, Depth: 3 * mm, Thickness: 3 * mm}, Run{2.5 * mm, 10 * mm2}, 1, 2},
		{"12 mm on backing", Groove{Shape: SingleV, Angle: 45 * q.Degree, RootOpening: 6 * mm, Depth: 12 * mm, Thickness: 12 * mm, Backing: SteelBacking}, Run{3.2 * mm, 17 * mm2}, 6, 10},
		{"60 mm V", Groove{Shape: SingleV, Angle: 60 * q.Degree, RootOpening: 3 * mm, Depth: 60 * mm, Thickness: 60 * mm}, Run{3.2 * mm, 17 * mm2}, 101, 160},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Layout(c.g, Constraints{Fill: c.rod, Position: job.Flat, Cap: 1.5 * mm})
			if err != nil {
				t.Fatal(err)
			}
			if n := len(r.Value.Beads); n < c.low || n > c.top {
				t.Errorf("%d beads, want %d to %d", n, c.low, c.top)
			}
			// handbook estimate: number of passes is about the section over a bead's
			est := (r.Value.Groove + r.Value.Cap).MM2() / c.rod.Area.MM2()
			if n := float64(len(r.Value.Beads)); n < 0.75*est-1 || n > 1.4*est+1 {
				t.Errorf("%.0f beads, section over bead section gives %.1f", n, est)
			}
		})
	}
}
