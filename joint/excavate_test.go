package joint

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/cut"
	"soundmetal/job"
	q "soundmetal/quantity"
)

func position(s string) job.Position { return job.Position(s) }

// known is a through crack, both ends seen, both sides reachable.
func known(length, thick float64) Damage {
	return Damage{Length: q.Known(q.Length(length) * mm), Thickness: q.Known(q.Length(thick) * mm), Through: job.Yes, Ends: "both",
		Access: job.BothSides, Shape: job.Plate}
}

func TestExcavate(t *testing.T) {
	for _, c := range []struct {
		name      string
		change    func(*Damage)
		low, high float64 // removed length, mm
		ramps     int
		shape     Shape
		root      Root
		depth     float64 // first side
		second    float64 // second side, 0: none
		note      string
	}{
		{"both sides, 20 mm", func(*Damage) {}, 300, 300, 2, SingleU, BackGouged, 10, 12, "prove it gone"},
		{"one end hidden", func(d *Damage) { d.Ends = "one" }, 300, 350, 2, SingleU, BackGouged, 10, 12, "hidden"},
		{"ends not known", func(d *Damage) { d.Ends = "" }, 300, 400, 2, SingleU, BackGouged, 10, 12, "hidden"},
		{"short crack, hidden end adds 25 mm", func(d *Damage) { d.Ends = "one"; d.Length = q.Known(40 * mm) }, 140, 165, 2, SingleU, BackGouged, 10, 12, "hidden"},
		{"runs out at an edge", func(d *Damage) { d.Ends = "at-edge" }, 250, 250, 1, SingleU, BackGouged, 10, 12, "run-off tab"},
		{"starts at a hole", func(d *Damage) { d.Starts = "hole" }, 250, 250, 1, SingleU, BackGouged, 10, 12, "run-off tab"},
		{"part narrower than the removal", func(d *Damage) { d.Width = q.Known(280 * mm) }, 280, 280, 0, SingleU, BackGouged, 10, 12, "cut in two"},
		{"closed box, backing", func(d *Damage) { d.Access = job.OneSide; d.Shape = job.Box; d.Backing = job.Yes }, 300, 300, 2, SingleV, OnBacking, 20, 0, "tight"},
		{"closed box, access not known", func(d *Damage) { d.Access = "" }, 300, 300, 2, SingleV, OnBacking, 20, 0, "look before you load"},
		{"closed box, no backing", func(d *Damage) { d.Access = job.OneSide; d.Backing = job.No }, 300, 300, 2, SingleV, OpenRoot, 20, 0, "not a code complete-penetration"},
		{"ground by choice, thick", func(d *Damage) { d.Process = Grinding }, 300, 300, 2, SingleV, BackGouged, 10, 12, "ground to a V"},
		{"5 mm plate", func(d *Damage) { d.Thickness = q.Known(5 * mm) }, 300, 300, 2, SingleV, BackGouged, 3.5, 3.25, "ground to a V"},
		{"3 mm plate", func(d *Damage) { d.Thickness = q.Known(3 * mm) }, 300, 300, 2, Square, OpenRoot, 3, 0, "seal it"},
		{"surface crack", func(d *Damage) { d.Through = job.No; d.Depth = q.Known(6 * mm) }, 300, 300, 2, SingleU, InMetal, 9, 0, "prove it gone"},
		{"shallow surface crack", func(d *Damage) { d.Through = job.No; d.Depth = q.Known(1 * mm) }, 300, 300, 2, SingleV, InMetal, 4, 0, "ground to a V"},
		{"nearly through", func(d *Damage) { d.Through = job.No; d.Depth = q.Known(15 * mm) }, 300, 300, 2, SingleU, BackGouged, 10, 12, "right through"},
		{"depth not known", func(d *Damage) { d.Through = job.No }, 300, 300, 2, SingleU, BackGouged, 10, 12, "depth not known"},
		{"not known whether through", func(d *Damage) { d.Through = job.Unknown }, 300, 300, 2, SingleU, BackGouged, 10, 12, "planned as through"},
		{"branched, round a corner", func(d *Damage) { d.Branched, d.Corner = job.Yes, job.Yes }, 300, 300, 2, SingleU, BackGouged, 10, 12, "forks"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := known(200, 20)
			c.change(&d)
			r, err := Excavate(d)
			if err != nil {
				t.Fatal(err)
			}
			v := r.Value
			check(t, v.Remove.Low.MM(), c.low, 1e-9)
			check(t, v.Remove.High.MM(), c.high, 1e-9)
			if v.Ramps != c.ramps || v.Groove.Shape != c.shape || v.Root != c.root {
				t.Errorf("got %d ramps, %s, %s; want %d, %s, %s", v.Ramps, v.Groove.Shape, v.Root, c.ramps, c.shape, c.root)
			}
			check(t, v.Depth.MM(), c.depth, 1e-9)
			second := 0.0
			if v.Groove.SecondSide != nil {
				second = v.Groove.SecondSide.Depth.MM()
			}
			check(t, second, c.second, 1e-9)
			if !strings.Contains(strings.Join(r.Basis.Notes, "\n"), c.note) {
				t.Errorf("no note with %q in %q", c.note, r.Basis.Notes)
			}
			if err := v.Groove.Check(); err != nil {
				t.Errorf("the groove cannot be made: %v", err)
			}
			if v.Groove.TopWidth <= 0 {
				t.Error("top width not filled")
			}
		})
	}
}

// The repair rules of the groove itself: gouged U of at least 6 mm radius and
// of the carbon's pass, sides 10 to 20° (common practice); backing 3 to 6 mm
// with a root opening of 3 to 6 mm (from memory).
func TestGrooveRules(t *testing.T) {
	d := known(200, 25)
	r, err := Excavate(d)
	if err != nil {
		t.Fatal(err)
	}
	g := r.Value.Groove
	if g.Radius < 6*mm || g.Angle < 10*q.Degree || g.Angle > 20*q.Degree {
		t.Errorf("gouged U: radius %.1f mm, side %.0f°", g.Radius.MM(), g.Angle.Degrees())
	}
	d.Carbon, d.Steel = q.Known(9.5*mm), cut.Quenched
	if r, err = Excavate(d); err != nil {
		t.Fatal(err)
	}
	// half a pass of d + 3.2 and 1.5 mm to grind
	check(t, r.Value.Groove.Radius.MM(), (9.5+3.175)/2+1.5, 1e-9)
	if r.Value.Groove.Radius < 9.5*mm/2+1.5*mm {
		t.Error("radius smaller than the carbon's and the grinding")
	}
	d = known(200, 12)
	d.Access = job.OneSide
	if r, err = Excavate(d); err != nil {
		t.Fatal(err)
	}
	g = r.Value.Groove
	if g.Backing != SteelBacking || g.BackingSize < 3*mm || g.BackingSize > 6*mm || g.RootOpening < 3*mm || g.RootOpening > 6*mm || !r.Value.Root.Complete() {
		t.Errorf("one-sided groove %+v", g)
	}
	d.Backing = job.No
	if r, err = Excavate(d); err != nil {
		t.Fatal(err)
	}
	if g = r.Value.Groove; r.Value.Root.Complete() || g.RootFace < 1*mm || g.RootFace > 2*mm {
		t.Errorf("open root %+v counts as complete: %v", g, r.Value.Root.Complete())
	}
}

func TestExcavateRefuses(t *testing.T) {
	for name, change := range map[string]func(*Damage){
		"length not known":      func(d *Damage) { d.Length = q.Maybe[q.Length]{} },
		"thickness not known":   func(d *Damage) { d.Thickness = q.Maybe[q.Length]{} },
		"no length":             func(d *Damage) { d.Length = q.Known(q.Length(0)) },
		"deeper than the part":  func(d *Damage) { d.Depth = q.Known(30 * mm) },
		"a wrong word":          func(d *Damage) { d.Ends = "some" },
		"a carbon nobody makes": func(d *Damage) { d.Carbon = q.Known(5.5 * mm) },
		"negative thickness":    func(d *Damage) { d.Thickness = q.Known(-3 * mm) },
	} {
		d := known(200, 20)
		change(&d)
		if _, err := Excavate(d); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

// Whatever is known or not: an excavation can be made, covers the crack and the
// sound metal, keeps to the part, can be laid out and can be gouged.
func TestExcavateHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		answer := func(name string) job.Answer {
			return rapid.SampledFrom([]job.Answer{job.Yes, job.No, job.Unknown}).Draw(t, name)
		}
		d := Damage{
			Length:    q.Known(q.Length(rapid.Float64Range(5, 1500).Draw(t, "length")) * mm),
			Thickness: q.Known(q.Length(rapid.Float64Range(2, 80).Draw(t, "thickness")) * mm),
			Through:   answer("through"), Backing: answer("backing"), Corner: answer("corner"), Branched: answer("branched"),
			Ends:    rapid.SampledFrom([]job.Ends{"both", "one", "none", "at-edge", ""}).Draw(t, "ends"),
			Starts:  rapid.SampledFrom([]job.Start{"weld-toe", "edge", "hole", ""}).Draw(t, "starts"),
			Access:  rapid.SampledFrom([]job.Access{job.OneSide, job.BothSides, ""}).Draw(t, "access"),
			Process: rapid.SampledFrom([]Process{Gouging, Grinding, AnyProcess}).Draw(t, "process"),
		}
		if rapid.Bool().Draw(t, "depth known") {
			d.Depth = q.Known(d.Thickness.V * q.Length(rapid.Float64Range(0.05, 1).Draw(t, "depth")))
		}
		if rapid.Bool().Draw(t, "width known") {
			d.Width = q.Known(d.Length.V + q.Length(rapid.Float64Range(0, 500).Draw(t, "more width"))*mm)
		}
		if rapid.Bool().Draw(t, "carbon known") {
			d.Carbon = q.Known(rapid.SampledFrom(cut.Sizes(cut.DCEP)[:6]).Draw(t, "carbon"))
		}
		r, err := Excavate(d)
		if err != nil {
			t.Fatal(err)
		}
		v := r.Value
		if err := v.Groove.Check(); err != nil {
			t.Fatal(err)
		}
		if v.Remove.Low < d.Length.V-1e-12 || v.Remove.High < v.Remove.Low || v.Surface.High < v.Remove.High {
			t.Fatalf("removed %v, surface %v for a crack of %v", v.Remove, v.Surface, d.Length.V)
		}
		if d.Width.Known && v.Surface.High > d.Width.V+1e-9 {
			t.Fatalf("%.1f mm long in a part of %.1f mm", v.Surface.High.MM(), d.Width.V.MM())
		}
		if d.Depth.Known && v.Depth < min(d.Depth.V, v.Groove.Thickness/3) {
			t.Fatalf("first side %.1f mm deep for a crack of %.1f mm", v.Depth.MM(), d.Depth.V.MM())
		}
		if v.Root == BackGouged && v.Groove.Bite() < 0 {
			t.Fatal("unwelded metal between the two sides")
		}
		if v.Groove.SecondSide == nil && v.Through != v.Groove.through() {
			t.Fatalf("through %v, groove %+v", v.Through, v.Groove)
		}
		if v.Volume.Low <= 0 || v.Volume.High < v.Volume.Low || math.IsNaN(float64(v.Mass.High)) {
			t.Fatalf("volume %v", v.Volume)
		}
		if _, err := Layout(v.Groove, Constraints{Fill: Run{Core: 3.2 * mm, Area: 17 * mm2}, Cap: 2 * mm}); err != nil {
			t.Fatal(err)
		}
		gouges, err := v.Gouges()
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range gouges {
			if _, err := cut.Choose(cut.Wanted{Groove: g}); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// Area by formula and by profile are two ways to one figure; more groove is
// more metal; the double V is two single V back to back.
func TestAreaHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGroove(t)
		m := Measures{Shape: g.Shape, Angle: g.Angle, RootOpening: g.RootOpening, RootFace: g.RootFace, Radius: g.Radius, Depth: g.Depth}
		a, err := Area(m)
		if err != nil {
			t.Fatal(err)
		}
		s, err := g.Section()
		if err != nil || math.Abs(float64(s-a.Value)) > 1e-9*float64(a.Value) {
			t.Fatalf("by formula %v, by profile %v, %v", a.Value, s, err)
		}
		outline, err := g.Outline(1)
		if err != nil || math.Abs(shoelace(outline)-s.MM2()) > 0.01*s.MM2() {
			t.Fatalf("drawn %.4g, section %.4g, %v", shoelace(outline), s.MM2(), err)
		}
		m.RootOpening += 1 * mm
		if b, err := Area(m); err != nil || b.Value <= a.Value {
			t.Fatalf("wider gap: %v after %v, %v", b.Value, a.Value, err)
		}
		p, err := g.profile()
		if err != nil {
			t.Fatal(err)
		}
		part := rapid.Float64Range(0.01, 0.99).Draw(t, "part")
		want := part * p.under(p.depth)
		if got := p.under(p.height(want)); math.Abs(got-want) > 1e-6*want {
			t.Fatalf("height of %.6g holds %.6g mm²", want, got)
		}
	})
}

func TestVolume(t *testing.T) {
	// by hand: 100 mm² over 200 mm and two ends of 30 mm: 20 + 3 cm³, narrowing 20 + 2
	for narrow, want := range map[bool]float64{false: 23, true: 22} {
		r, err := Volume(Solid{Section: 100 * mm2, Full: 200 * mm, Ramp: 30 * mm, Ramps: 2, Narrow: narrow})
		if err != nil {
			t.Fatal(err)
		}
		check(t, float64(r.Value)*1e6, want, 1e-5)
		m, err := Mass(r.Value)
		if err != nil {
			t.Fatal(err)
		}
		check(t, float64(m.Value), want*7.85e-3, 1e-5)
	}
	for _, s := range []Solid{{Full: 1}, {Section: 1, Full: -1}, {Section: 1, Full: 1, Ramps: 3}, {Section: 1}} {
		if _, err := Volume(s); err == nil {
			t.Errorf("%+v was accepted", s)
		}
	}
}
