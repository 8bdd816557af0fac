package cut

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func TestChoose(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Wanted)
		carbon float64 // mm; 0: none
		warn   string  // part of a warning
		need   string  // what is missing where none fits
	}{
		{"the rig decides", func(*Wanted) {}, 4.76, "", ""},
		{"more amps, larger carbon", func(w *Wanted) { w.Rig.Current = q.Known(q.Current(350)) }, 6.35, "", ""},
		{"root too narrow for the larger one", func(w *Wanted) { w.Rig.Current = q.Known(q.Current(350)); w.Groove.RootWidth = 10.5 * mm }, 4.76, "", ""},
		{"only the lowest table", func(w *Wanted) { w.Rig.Current = q.Known(q.Current(150)) }, 4.76, "below the main table", ""},
		{"no amps", func(w *Wanted) { w.Rig.Current = q.Known(q.Current(80)) }, 0, "", "current"},
		{"no air", func(w *Wanted) { w.Air.Flow = q.Known(4 * q.CubicFootPerMinute) }, 0, "", "air flow"},
		{"air not known", func(w *Wanted) { w.Air = job.Air{} }, 4.76, "air flow not known", ""},
		{"groove too narrow", func(w *Wanted) { w.Groove.RootWidth = 6 * mm }, 0, "", "root width"},
		{"groove too shallow", func(w *Wanted) { w.Groove.Depth = 3 * mm }, 0, "", "depth"},
		{"wire machine", func(w *Wanted) { w.Rig.Output = "cv" }, 4.76, "CV", ""},
		{"thin hose", func(w *Wanted) { w.Air.Hose = q.Known(6 * mm) }, 4.76, "hose", ""},
		{"too few carbons", func(w *Wanted) { w.Carbons = []job.Stock{{Size: 3 * inch / 16, Count: q.Known(1.0)}} }, 4.76, "on the truck", ""},
		{"hollow behind", func(w *Wanted) { w.Hollow = true }, 4.76, "vent", ""},
		{"nothing listed", func(w *Wanted) { w.Carbons = nil }, 4.76, "load this size", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := usual()
			c.change(&in)
			r := chosen(t, in)
			if r.Found != (c.carbon > 0) {
				t.Fatalf("found %v, need %v", r.Found, r.Need)
			}
			check(t, r.Carbon.MM(), c.carbon, 0.01)
			if c.warn != "" && !strings.Contains(strings.Join(r.Warn, "\n"), c.warn) {
				t.Errorf("no warning with %q in %q", c.warn, r.Warn)
			}
			if c.need != "" {
				found := false
				for _, k := range r.Need {
					found = found || k.What == c.need
				}
				if !found {
					t.Errorf("need %v does not name the %s", r.Need, c.need)
				}
			}
		})
	}
}

func TestChooseRefusesImpossibleGroove(t *testing.T) {
	for name, g := range map[string]Groove{
		"no depth":  {TopWidth: 10 * mm, RootWidth: 8 * mm, Full: 100 * mm},
		"undercut":  {Depth: 10 * mm, TopWidth: 8 * mm, RootWidth: 10 * mm, Full: 100 * mm},
		"no length": {Depth: 10 * mm, TopWidth: 10 * mm, RootWidth: 8 * mm},
		"3 ramps":   {Depth: 10 * mm, TopWidth: 10 * mm, RootWidth: 8 * mm, Full: 100 * mm, Ramps: 3},
	} {
		in := usual()
		in.Groove = g
		if _, err := Choose(in); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
	in := usual()
	in.Carbons = []job.Stock{{Size: 5.5 * mm}}
	if _, err := Choose(in); err == nil {
		t.Error("a carbon of 5.5 mm was accepted")
	}
}

func groove(t *rapid.T) Groove {
	root := rapid.Float64Range(4, 30).Draw(t, "root")
	return Groove{
		Depth: q.Length(rapid.Float64Range(4, 60).Draw(t, "depth")) * mm, RootWidth: q.Length(root) * mm,
		TopWidth: q.Length(root+rapid.Float64Range(0, 40).Draw(t, "more")) * mm,
		Full:     q.Length(rapid.Float64Range(50, 2000).Draw(t, "full")) * mm, Ramp: q.Length(rapid.Float64Range(0, 200).Draw(t, "ramp")) * mm,
		Ramps: rapid.IntRange(0, 2).Draw(t, "ramps"),
	}
}

// Whatever is chosen, no check of it is short, its set band is one that the rig
// holds, and more amps never give a smaller carbon.
func TestChooseHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Wanted{Groove: groove(t), Steel: Quenched}
		in.Rig.Current = q.Known(q.Current(rapid.Float64Range(40, 800).Draw(t, "amps")))
		in.Air.Flow = q.Known(q.Flow(rapid.Float64Range(100, 1500).Draw(t, "air")) * q.LitrePerMinute)
		in.Air.Pressure = q.Known(q.Pressure(rapid.Float64Range(200, 900).Draw(t, "kPa")) * q.Kilopascal)
		a, err := Choose(in)
		if err != nil {
			t.Fatal(err)
		}
		if !a.Value.Found {
			if len(a.Value.Need) == 0 {
				t.Fatal("nothing found and nothing needed")
			}
			return
		}
		for _, c := range a.Value.Candidates {
			for _, k := range c.Checks {
				if c.Carbon == a.Value.Carbon && k.Verdict == Short {
					t.Fatalf("chosen carbon is short of %v", k)
				}
			}
		}
		if a.Value.Set.High > in.Rig.Current.V || a.Value.Set.Low > a.Value.Set.High {
			t.Fatalf("set %v on a rig of %v", a.Value.Set, in.Rig.Current.V)
		}
		if !a.Value.Carbons.Value.Range.Has(a.Value.Carbons.Value.Likely) || !a.Value.Time.Value.Elapsed.Range.Has(a.Value.Time.Value.Elapsed.Likely) {
			t.Fatal("a likely figure lies outside its range")
		}
		if a.Value.Reduced {
			return
		}
		in.Rig.Current.V *= 1.5
		b, err := Choose(in)
		if err != nil || b.Value.Carbon < a.Value.Carbon {
			t.Fatalf("more amps: %.1f after %.1f mm, %v", b.Value.Carbon.MM(), a.Value.Carbon.MM(), err)
		}
	})
}

// A deeper or wider groove never takes fewer passes; the mass taken out by
// carbon and grinder is the mass of the groove.
func TestPassesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := groove(t)
		d := rapid.SampledFrom(Sizes(DCEP)[:7]).Draw(t, "carbon")
		a, err := Passes(g, d, q.Maybe[q.Length]{}, Carbon)
		if err != nil {
			t.Fatal(err)
		}
		v := a.Value
		if !v.Passes.Range.Has(v.Passes.Likely) || !v.Length.Range.Has(v.Length.Likely) {
			t.Fatalf("likely outside its range: %+v", v)
		}
		want := g.section() * 1e-6 * (float64(g.Full) + float64(g.Ramps)*float64(g.Ramp)/2) * 7850
		if got := float64(v.Removed + v.Ground); got < want*0.999 || got > want*1.001 || v.Removed < 0 {
			t.Fatalf("removed %v + ground %v, want %v", v.Removed, v.Ground, want)
		}
		g.Depth *= 1.3
		b, err := Passes(g, d, q.Maybe[q.Length]{}, Carbon)
		if err != nil || b.Value.Passes.Likely < v.Passes.Likely {
			t.Fatalf("deeper: %v passes after %v, %v", b.Value.Passes.Likely, v.Passes.Likely, err)
		}
	})
}

// Section grows with width and depth and does not jump where the formula changes.
func TestSectionHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := q.Length(rapid.Float64Range(2, 40).Draw(t, "w")) * mm
		p := q.Length(rapid.Float64Range(0.5, 60).Draw(t, "p")) * mm
		a := sectionOf(w, p)
		if sectionOf(w, p*1.01) <= a || sectionOf(w*1.01, p) <= a {
			t.Fatal("more groove, less section")
		}
		if a > q.Area(w*p)*(1+1e-12) {
			t.Fatal("section larger than its rectangle")
		}
		r := w / 2
		if below, above := sectionOf(w, r*(1-1e-9)), sectionOf(w, r); float64(above-below) > 1e-8*float64(above) {
			t.Fatalf("jump at p = r: %v to %v", below, above)
		}
	})
}

// Every row of every table is in order, and larger carbons want no less.
func TestTables(t *testing.T) {
	last := map[string]carbonRow{}
	for _, c := range carbons {
		key := c.table + string(c.supply)
		if l := last[key]; c.d <= l.d || c.amps.Low < l.amps.Low || c.amps.Low >= c.amps.High {
			t.Errorf("carbons.csv %s %s: not above the row before", key, c.size)
		}
		last[key] = c
	}
	for i, a := range airTable[1:] {
		if a.carbon <= airTable[i].carbon || a.flow <= airTable[i].flow {
			t.Errorf("air.csv %s: not above the row before", a.class)
		}
	}
	if len(Technique()) < 5 {
		t.Error("technique.csv is short")
	}
	for _, r := range Technique() {
		if r.Why == "" || r.Skip == "" {
			t.Errorf("technique %s has no reason", r.ID)
		}
	}
}

func TestGrindOff(t *testing.T) {
	// common practice, no source: 0.5 to 1 mm, quenched and tempered 1 to 1.5, castings 3
	for s, want := range map[Steel]float64{Carbon: 1, Quenched: 1.5, Stainless: 1.5, CastSteel: 3, AnySteel: 1.5} {
		r, err := GrindOff(s)
		if err != nil {
			t.Fatal(err)
		}
		check(t, r.Value.Likely.MM(), want, 1e-9)
	}
	if _, err := GrindOff("brass"); err == nil {
		t.Error("brass was accepted")
	}
}

func TestPilotHoles(t *testing.T) {
	for _, c := range []struct {
		name    string
		through job.Answer
		ends    job.Ends
		count   int
		find    bool
	}{
		{"both ends seen", job.Yes, "both", 2, false},
		{"runs out at the edge", job.Yes, "at-edge", 1, false},
		{"ends hidden", job.Yes, "none", 2, true},
		{"not known to be through", job.Unknown, "both", 2, false},
		{"surface crack", job.No, "both", 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := PilotHoles(c.through, c.ends)
			if err != nil {
				t.Fatal(err)
			}
			if r.Value.Count != c.count || r.Value.FindTips != c.find {
				t.Errorf("got %+v", r.Value)
			}
		})
	}
	if _, err := PilotHoles(job.Yes, "somewhere"); err == nil {
		t.Error("a wrong word was accepted")
	}
}

func TestOwnTime(t *testing.T) {
	l := Amount[q.Length]{2, q.At(q.Length(2))}
	r, err := TimeFor(l, q.Known(30*q.Second))
	if err != nil {
		t.Fatal(err)
	}
	check(t, r.Value.Elapsed.Likely.Minutes(), 10, 1e-9)
	if _, err := TimeFor(l, q.Known(q.Time(0))); err == nil {
		t.Error("an own time of zero was accepted")
	}
}

func ExampleCurrent() {
	r, err := Current(3 * q.Inch / 16)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f to %.0f A\n", float64(r.Value.Low), float64(r.Value.High))
	_, err = Current(5.5 * q.Millimetre)
	fmt.Println(err)
	// Output:
	// 200 to 250 A
	// gouge-current: carbon diameter 5.5 mm is outside the method's range 3.175 to 25.4 mm; listed sizes (within 0.3 mm): 1/8 in (3.2 mm), 5/32 in (4.0 mm), 3/16 in (4.8 mm), 1/4 in (6.3 mm), 5/16 in (7.9 mm), 3/8 in (9.5 mm), 1/2 in (12.7 mm), 5/8 in (15.9 mm), 3/4 in (19.1 mm), 1 in (25.4 mm)
}

func ExampleChoose() {
	r, err := Choose(Wanted{
		Groove:  Groove{Depth: 10 * q.Millimetre, TopWidth: 15 * q.Millimetre, RootWidth: 12 * q.Millimetre, Full: 400 * q.Millimetre},
		Carbons: []job.Stock{{Size: 3 * q.Inch / 16}, {Size: q.Inch / 4}},
		Rig:     Rig{Current: q.Known(q.Current(260))},
		Air:     job.Air{Flow: q.Known(12 * q.CubicFootPerMinute), Pressure: q.Known(90 * q.PSI)},
		Steel:   Carbon,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := r.Value
	fmt.Printf("%.1f mm carbon at %.0f to %.0f A, %v passes abreast\n", c.Carbon.MM(), float64(c.Set.Low), float64(c.Set.High), c.Plan.Value.Abreast)
	for _, k := range c.Candidates {
		fmt.Printf("%.2f mm: %s\n", k.Carbon.MM(), k.text())
	}
	// Output:
	// 4.8 mm carbon at 200 to 250 A, [2 2 2] passes abreast
	// 4.76 mm: fits
	// 6.35 mm: fits, on reduced current
}

func BenchmarkChoose(b *testing.B) {
	in := usual()
	for b.Loop() {
		if _, err := Choose(in); err != nil {
			b.Fatal(err)
		}
	}
}
