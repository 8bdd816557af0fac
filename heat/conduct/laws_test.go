package conduct

import (
	"context"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	q "soundmetal/quantity"
)

// The energy balance of a whole repair closes to 0.1 % at every level, the loss
// being added up from surface temperatures and not from the solution.
func TestEnergyBalanceOfARepair(t *testing.T) {
	for _, l := range []Level{Coarse, Working} {
		h := mustRun(t, repair12(), Options{Level: l})
		check(t, l.String()+" imbalance, %", 100*float64(h.Ledger.Imbalance()), 0, 0.1)
		arcs := 0.0
		for _, e := range repair12().Events {
			if b, ok := e.(Bead); ok {
				arcs += float64(b.Power) * b.length() / float64(b.Speed)
			}
		}
		check(t, l.String()+" heat of the arcs, J", float64(h.Ledger.Arc), arcs, 1e-6*arcs)
	}
}

// Every shape keeps its balance, cools towards the air and never below it, with
// a bead on it, at several step lengths. Any scheme that is not sound where the
// shape is not a block shows here.
func TestShapesStaySound(t *testing.T) {
	const mm = q.Millimetre
	for _, r := range []struct {
		body Body
		bead Point
	}{
		{Tee(300*mm, 300*mm, 25*mm, 20*mm, 150*mm), MM(0, 10, 25)},
		{Corner(300*mm, 200*mm, 20*mm, 15*mm, 200*mm), MM(0, 15, 20)},
		{BoxSection(600*mm, 300*mm, 250*mm, 16*mm, 12*mm), MM(0, 0, 16)},
		{Block(300*mm, 300*mm, 200*mm), MM(0, 0, 200)},
	} {
		if r.body.Name == "tee" {
			r.body.Groove = Fillet(-60*mm, 60*mm, 10*mm, 25*mm, 10*mm, 1)
		}
		from, to := r.bead, r.bead
		from.X, to.X = -60*mm, 60*mm
		for _, longest := range []q.Time{5, 60, 600} {
			c := Case{Body: r.body, Start: 20, Env: Environment{Air: 0, Wind: 5, Skin: Scaled},
				Probes: []Probe{{"bead", r.bead}},
				Events: []Event{
					Bead{From: from, To: to, Speed: 2.5e-3, Power: 3000},
					Wait{Until: Until{For: 2 * q.Hour}},
				}}
			name := r.body.Name + " step " + num(float64(longest))
			h := mustRun(t, c, Options{LongestStep: longest})
			check(t, name+" imbalance, %", 100*float64(h.Ledger.Imbalance()), 0, 0.1)
			low, last := math.Inf(1), math.Inf(1)
			for i, v := range h.Temps[0] {
				low = min(low, float64(v))
				if h.Times[i] > h.Beads[0].End+60 {
					if float64(v) > last+0.3 {
						t.Errorf("%s: warms up from %.3f to %.3f °C while cooling at %.0f s", name, last, v.C(), float64(h.Times[i]))
					}
					last = float64(v)
				}
			}
			if low < -0.1 {
				t.Errorf("%s: falls to %.3f °C, below the air of 0 °C", name, low)
			}
		}
	}
}

// A long step taken right after an arc is solved again or halved, not believed.
func TestRashStepIsHalved(t *testing.T) {
	const mm = q.Millimetre
	c := Case{Body: Block(200*mm, 200*mm, 60*mm), Start: 0, Env: Environment{Air: 0},
		Events: []Event{Bead{From: MM(-40, 0, 60), To: MM(40, 0, 60), Speed: 2.5e-3, Power: 3000}}}
	r, err := newRunner(context.Background(), &c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := r.do(c.Events[0]); err != nil {
		t.Fatal(err)
	}
	before := r.s.stored()
	r.step(r.t, 60, nil, 0, 0)
	if r.halved == 0 && r.s.redone == 0 {
		t.Error("a step of 60 s from a molten pool was taken as it came")
	}
	lost := before - r.s.stored()
	if lost < 0 || lost > 0.1*before {
		t.Errorf("lost %.4g J of %.4g J in a minute of still air", lost, before)
	}
	for cell := range r.s.state {
		if v := r.s.temp(cell); r.s.solid(cell) && (v < -3 || v > 700) {
			t.Fatalf("cell %d at %.1f °C after a minute", cell, v)
		}
	}
}

// A symmetric case gives a symmetric result, and half of it gives the same.
func TestSymmetry(t *testing.T) {
	const mm = q.Millimetre
	build := func(half bool) Case {
		body := Plate(300*mm, 240*mm, 20*mm)
		if half {
			body = HalfPlate(300*mm, 240*mm, 20*mm)
		}
		c := Case{Body: body, Start: 10, Env: Environment{Air: 10, Wind: 2},
			Probes: []Probe{{"far", MM(0, 60, 0)}, {"near", MM(-40, 15, 20)}, {"line", MM(20, 0, 20)}},
			Events: []Event{
				Torch{Face: ZHigh, Path: []Point{MM(-60, 30, 20), MM(60, 30, 20), MM(60, -30, 20), MM(-60, -30, 20)},
					Power: 20e3, Efficiency: 0.25, Radius: 40 * mm, Until: Until{For: 200}},
				Bead{From: MM(-50, 0, 20), To: MM(50, 0, 20), Speed: 3e-3, Power: 2500},
				wait(300),
			}}
		if !half {
			c.Probes = append(c.Probes, Probe{"far'", MM(0, -60, 0)}, Probe{"near'", MM(-40, -15, 20)})
		}
		return c
	}
	full, half := mustRun(t, build(false), Options{}), mustRun(t, build(true), Options{})
	check(t, "far, other side", float64(full.Final[3]), float64(full.Final[0]), 1e-6)
	check(t, "near, other side", float64(full.Final[4]), float64(full.Final[1]), 1e-6)
	for i := range 3 {
		check(t, "half, "+half.Probes[i].Name, float64(half.Final[i]), float64(full.Final[i]), 0.005*float64(full.Final[i]))
	}
	check(t, "half holds half the heat", float64(half.Ledger.Stored), float64(full.Ledger.Stored)/2, 0.002*float64(full.Ledger.Stored))
}

// Observed order of convergence in the cell size and in the step, on a smooth
// problem: a bar warmed at one end and cooled at the other. Cells with steel's own
// properties; steps with constant ones, since with steel's the differences soon
// reach the grain of the table, some thousandths of a kelvin.
func TestOrderOfConvergence(t *testing.T) {
	steel := Carbon()
	at := func(cell, step float64, o *Options) float64 {
		c := bar(0.12, steel, 20, []Surface{{Where: Side(ZLow), Film: 60, Air: 20}}, 0.03)
		c.Surfaces = append([]Surface{{Where: Side(ZHigh), Film: 400, AirAt: func(s q.Time) q.Temperature {
			return q.Temperature(20 + 500*math.Pow(math.Sin(math.Pi*float64(s)/1200), 2))
		}}}, c.Surfaces...)
		c.Events = []Event{wait(600)}
		e := even(cell, step)
		if o != nil {
			e = *o
		}
		e.Tolerance = 1e6
		e.ArcStep = q.Time(step)
		return float64(mustRun(t, c, e).Final[0])
	}
	order := func(name string, v [3]float64, low, high float64) {
		p := math.Log2(math.Abs(v[0]-v[1]) / math.Abs(v[1]-v[2]))
		t.Logf("%s: %.6f %.6f %.6f, order %.2f", name, v[0], v[1], v[2], p)
		if p < low || p > high {
			t.Errorf("%s: observed order %.2f, want %.2f to %.2f", name, p, low, high)
		}
	}
	order("cells of 12, 6, 3 mm", [3]float64{at(12e-3, 1, nil), at(6e-3, 1, nil), at(3e-3, 1, nil)}, 1.7, 2.6)
	steel = refSteel
	order("steps of 40, 20, 10 s", [3]float64{at(2e-3, 40, nil), at(2e-3, 20, nil), at(2e-3, 10, nil)}, 1.7, 2.6)
	steel = Carbon()
	graded := func(n float64) *Options {
		return &Options{Along: 1, Across: 1, Through: q.Length(4e-3 / n), Growth: q.Ratio(0.1), Largest: 1, Least: 1,
			LongestStep: 1, Zone: []Box{{At(0, 0, 0.08), At(0.01, 0.01, 0.12)}}}
	}
	// the growth of a halved grid stays: cell sizes are in proportion everywhere
	scale := func(n float64) *Options { o := graded(n); o.Growth = q.Ratio(0.1 / n); return o }
	order("graded cells", [3]float64{at(0, 1, scale(1)), at(0, 1, scale(2)), at(0, 1, scale(4))}, 1.6, 2.6)
}

// The step loop allocates nothing, whatever the grid.
func TestStepsAllocateNothing(t *testing.T) {
	c := repair12()
	r, err := newRunner(context.Background(), &c, Options{Level: Coarse})
	if err != nil {
		t.Fatal(err)
	}
	into := []heat{{int32(r.s.home2(t)), 1}}
	at := 0.0
	n := testing.AllocsPerRun(50, func() { r.s.step(at, 0.5, 0.5, into, 100); at += 0.5 })
	if n != 0 {
		t.Errorf("a step allocates %v times, want 0", n)
	}
}

func (s *solver) home2(t *testing.T) int {
	c, err := s.home([3]float64{0, 0.05, 0.01})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Same input, same output, to the last bit.
func TestDeterministic(t *testing.T) {
	a, b := mustRun(t, repair12(), Options{Level: Coarse}), mustRun(t, repair12(), Options{Level: Coarse})
	if d := cmp.Diff(a, b); d != "" {
		t.Errorf("two runs differ:\n%s", d)
	}
}

// plateCase is a plate under a torch for the laws below.
func plateCase(thickness, wind, air, power float64) Case {
	t := q.Length(thickness)
	return Case{
		Body: HalfPlate(0.6, 0.5, t), Start: q.Temperature(air), Env: Environment{Air: q.Temperature(air), Wind: q.Speed(wind)},
		Probes: []Probe{{"far", At(0, 0.075, 0)}, {"near", At(0, 0.075, t)}},
		Events: []Event{
			Torch{Face: ZHigh, Path: []Point{At(-0.1, 0.03, t), At(0.1, 0.03, t)}, Power: q.Power(power), Efficiency: 0.25,
				Radius: 0.045, Until: Until{Probes: []string{"far"}, AtLeast: q.Known[q.Temperature](120), For: 3 * q.Hour}},
			Wait{Until: Until{For: 2 * q.Hour, Probes: []string{"far"}, AtMost: q.Known[q.Temperature](60)}},
		},
	}
}

// More wind, colder air or a thicker plate never shortens the heating; more wind
// never lengthens the cooling; the far face is never hotter than the near one
// under the flame.
func TestLawsOfHeating(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		thick := rapid.Float64Range(0.012, 0.05).Draw(rt, "thickness")
		wind := rapid.Float64Range(0, 6).Draw(rt, "wind")
		air := rapid.Float64Range(-20, 30).Draw(rt, "air")
		base := mustRunR(rt, plateCase(thick, wind, air, 40e3))
		time := func(h History) (heating, cooling float64) {
			heating = float64(h.Marks[0].To)
			if !h.Marks[0].Met {
				heating = math.Inf(1)
			}
			return heating, float64(h.Marks[1].To - h.Marks[1].From)
		}
		heating, cooling := time(base)
		for i, v := range base.Temps[0] {
			if base.Times[i] <= base.Marks[0].To && v > base.Temps[1][i]+0.5 {
				rt.Fatalf("far face %.1f °C above near face %.1f °C under the flame", v.C(), base.Temps[1][i].C())
			}
		}
		if h, c := time(mustRunR(rt, plateCase(thick, wind+4, air, 40e3))); h < heating-1 || c > cooling+1 {
			rt.Errorf("4 m/s more wind: heating %.0f s instead of %.0f, cooling %.0f s instead of %.0f", h, heating, c, cooling)
		}
		if h, _ := time(mustRunR(rt, plateCase(thick, wind, air-15, 40e3))); h < heating {
			rt.Errorf("15 K colder: heating %.0f s instead of %.0f", h, heating)
		}
		if h, _ := time(mustRunR(rt, plateCase(thick*1.4, wind, air, 40e3))); h < heating {
			rt.Errorf("thicker: heating %.0f s instead of %.0f", h, heating)
		}
		if h, _ := time(mustRunR(rt, plateCase(thick, wind, air, 30e3))); h < heating {
			rt.Errorf("smaller flame: heating %.0f s instead of %.0f", h, heating)
		}
	})
}

func mustRunR(t *rapid.T, c Case) History {
	h, err := Run(context.Background(), c, Options{Level: Coarse})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// Inside a closed box no wind blows: its inner faces are of the sheltered class,
// all others of the open one, and a windy day leaves the inner film as it is.
func TestBoxIsShelteredInside(t *testing.T) {
	const mm = q.Millimetre
	c := Case{Body: BoxSection(400*mm, 200*mm, 150*mm, 12*mm, 10*mm), Start: 20, Env: Environment{Air: 5, Wind: 8}}
	r, err := newRunner(context.Background(), &c, Options{Level: Coarse})
	if err != nil {
		t.Fatal(err)
	}
	inside, open := 0.0, 0.0
	for _, f := range r.s.face {
		if f.class == 0 {
			inside += f.area
		} else {
			open += f.area
		}
	}
	check(t, "inner surface, m²", inside, 0.4*2*(0.18+0.126), 1e-9)
	check(t, "outer surface and cut ends, m²", open, 0.4*2*(0.2+0.15)+2*(0.2*0.15-0.18*0.126), 1e-9)
	check(t, "film inside, W/m²K", r.s.rules[0].h, 4, 0)
	check(t, "film outside, W/m²K", r.s.rules[1].h, 36, 1e-9)
}
