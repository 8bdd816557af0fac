//go:build ccx

package conduct

import (
	"math"
	"testing"
	"time"

	q "soundmetal/quantity"
)

// agree compares the two histories at the probes and times and gives the worst
// difference as part of the rise there.
func agree(t *testing.T, h History, fe feHistory, start float64, times []float64) (worst float64) {
	t.Helper()
	t.Logf("%-22s %8s %10s %10s %8s", "point", "s", "ours °C", "ccx °C", "% rise")
	for p, pr := range h.Probes {
		top := 0.0
		for _, v := range h.Temps[p] {
			top = max(top, math.Abs(float64(v)-start))
		}
		for _, at := range times {
			v, err := h.Temperature(pr.Name, q.Time(at))
			if err != nil {
				t.Fatal(err)
			}
			f := fe.at(p, at)
			d := math.Abs(float64(v)-f) / top
			worst = max(worst, d)
			t.Logf("%-22s %8.0f %10.2f %10.2f %8.2f", pr.Name, at, float64(v), f, 100*d)
		}
	}
	return worst
}

// The preheat of a 25 mm plate by a flame in wind: five points agree within 2 %
// of the rise at the same mesh.
func TestCCXPreheat(t *testing.T) {
	rows := below600()
	steel, err := FromTable("EN 1993-1-2 to 600 °C", 7850, rows)
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Along: 10e-3, Across: 8e-3, Through: 5e-3, Least: 5, Growth: 0.15, Largest: 25e-3, FlameStep: 10, LongestStep: 30}
	h := mustRun(t, preheatCase(steel), o)
	m, probes := preheatModel(t, steel, o, rows, []stage{{300, 5}, {120, 5}, {1080, 30}}, fastest)
	fe := m.run(t, probes)
	t.Logf("%d cells; ours %d steps; ccx %v", h.Size.Cells, h.Size.Steps, fe.took)
	if worst := agree(t, h, fe, 20, preheatTimes); worst > 0.02 {
		t.Errorf("worst difference %.2f %% of the rise, want 2 %%", 100*worst)
	}
}

// Three beads on a 25 mm plate: the same. Finite volumes spread the steep front
// ahead of an arc a little further than bricks of the same size, so ours has the
// smaller cells; halving them again moves it by less than 0.4 K.
func TestCCXBeads(t *testing.T) {
	rows := evenHeat()
	steel, err := FromTable("k of EN 1993-1-2, c 600 J/kgK", 7850, rows)
	if err != nil {
		t.Fatal(err)
	}
	h := mustRun(t, beadsCase(steel), oursBeads)
	m, probes := beadsModel(t, steel, ccxBeads, rows, 0.5, 1, 10, fastest)
	fe := m.run(t, probes)
	t.Logf("ours %d cells, %d steps; ccx %d bricks, %v", h.Size.Cells, h.Size.Steps, m.r.s.g.cells(), fe.took)
	if worst := agree(t, h, fe, 100, beadTimes); worst > 0.02 {
		t.Errorf("worst difference %.2f %% of the rise, want 2 %%", 100*worst)
	}
}

// fastest of the program's solvers here; the direct one takes three times as long.
const fastest = "ITERATIVE SCALING"

var (
	beadTimes    = []float64{10, 20, 40, 80, 90, 100, 130, 160, 180, 200, 240, 400, 780}
	preheatTimes = []float64{60, 150, 300, 420, 900, 1500}
	oursBeads    = Options{Along: 2.5e-3, Across: 2.5e-3, Through: 3e-3, Least: 8, Growth: 0.1, Largest: 10e-3, ArcStep: 0.25}
	ccxBeads     = Options{Along: 4e-3, Across: 4e-3, Through: 4e-3, Least: 6, Growth: 0.1, Largest: 15e-3}
)

// Time at the same accuracy, in one run: both programs on a ladder of grids and
// steps, each against one reference (ours, fine, which the tests above hold
// against ccx); the cheapest rung within 1.5 % of the rise at every point and time
// counts. Nothing is asserted of the times.
func TestCCXSpeed(t *testing.T) {
	const accuracy = 0.015
	worst := func(ref History, got func(p int, at float64) float64, start float64, times []float64) float64 {
		w := 0.0
		for p, pr := range ref.Probes {
			top := 0.0
			for _, v := range ref.Temps[p] {
				top = max(top, math.Abs(float64(v)-start))
			}
			for _, at := range times {
				v, _ := ref.Temperature(pr.Name, q.Time(at))
				w = max(w, math.Abs(got(p, at)-float64(v))/top)
			}
		}
		return w
	}
	ours := func(c Case, o Options, ref History, start float64, times []float64) (float64, float64, History) {
		best := math.Inf(1)
		var h History
		for range 3 {
			t0 := time.Now()
			h = mustRun(t, c, o)
			best = min(best, time.Since(t0).Seconds())
		}
		at := func(p int, s float64) float64 { v, _ := h.Temperature(h.Probes[p].Name, q.Time(s)); return v.C() }
		return best, worst(ref, at, start, times), h
	}

	rows := below600()
	steel, err := FromTable("EN 1993-1-2 to 600 °C", 7850, rows)
	if err != nil {
		t.Fatal(err)
	}
	ref := mustRun(t, preheatCase(steel), Options{Along: 4e-3, Across: 3e-3, Through: 2.5e-3, Least: 10, Growth: 0.04, Largest: 10e-3, FlameStep: 2, LongestStep: 5})
	fastOurs, fastCCX := math.Inf(1), math.Inf(1)
	t.Log("preheat of a 25 mm plate, 5 min flame, 20 min standing")
	for _, o := range []Options{
		{Along: 25e-3, Across: 20e-3, Through: 12.5e-3, Least: 2, Growth: 0.3, Largest: 60e-3, FlameStep: 20, LongestStep: 60, ArcStep: 2},
		{Along: 15e-3, Across: 12e-3, Through: 8e-3, Least: 3, Growth: 0.2, Largest: 40e-3, FlameStep: 20, LongestStep: 60, ArcStep: 2},
		{Along: 10e-3, Across: 8e-3, Through: 5e-3, Least: 5, Growth: 0.1, Largest: 25e-3, FlameStep: 10, LongestStep: 30, ArcStep: 1},
	} {
		s, w, h := ours(preheatCase(steel), o, ref, 20, preheatTimes)
		t.Logf("  ours %6d cells %5d steps %9.4f s  worst %.2f %%", h.Size.Cells, h.Size.Steps, s, 100*w)
		if w <= accuracy {
			fastOurs = min(fastOurs, s)
		}
	}
	for _, r := range []struct {
		o      Options
		stages []stage
	}{
		{Options{Along: 25e-3, Across: 20e-3, Through: 12.5e-3, Least: 2, Growth: 0.3, Largest: 60e-3}, []stage{{300, 10}, {120, 10}, {1080, 60}}},
		{Options{Along: 15e-3, Across: 12e-3, Through: 8e-3, Least: 3, Growth: 0.2, Largest: 40e-3}, []stage{{300, 5}, {120, 5}, {1080, 30}}},
		{Options{Along: 15e-3, Across: 12e-3, Through: 8e-3, Least: 3, Growth: 0.2, Largest: 40e-3}, []stage{{300, 2.5}, {120, 2.5}, {1080, 20}}},
		{Options{Along: 10e-3, Across: 8e-3, Through: 5e-3, Least: 5, Growth: 0.1, Largest: 25e-3}, []stage{{300, 2.5}, {120, 2.5}, {1080, 20}}},
	} {
		m, probes := preheatModel(t, steel, r.o, rows, r.stages, fastest)
		fe := m.run(t, probes)
		w := worst(ref, fe.at, 20, preheatTimes)
		t.Logf("  ccx  %6d cells %5d steps %9.4f s  worst %.2f %%", m.r.s.g.cells(), len(fe.times), fe.took.Seconds(), 100*w)
		if w <= accuracy {
			fastCCX = min(fastCCX, fe.took.Seconds())
		}
	}
	t.Logf("  at %.1f %%: ours %.4f s, ccx %.2f s, ratio %.0f", 100*accuracy, fastOurs, fastCCX, fastCCX/fastOurs)
	if math.IsInf(fastOurs, 1) || math.IsInf(fastCCX, 1) {
		t.Errorf("no rung of the ladder of one program is within %.1f %%", 100*accuracy)
	}

	rows = evenHeat()
	if steel, err = FromTable("k of EN 1993-1-2, c 600 J/kgK", 7850, rows); err != nil {
		t.Fatal(err)
	}
	ref = mustRun(t, beadsCase(steel), Options{Along: 2e-3, Across: 2e-3, Through: 2e-3, Least: 12, Growth: 0.05, Largest: 5e-3, ArcStep: .1, LongestStep: 10, Tolerance: 0.3})
	fastOurs, fastCCX = math.Inf(1), math.Inf(1)
	t.Log("three beads on a 25 mm plate, pauses, 10 min standing")
	for _, o := range []Options{
		{Along: 4e-3, Across: 4e-3, Through: 4.2e-3, Least: 6, Growth: 0.15, Largest: 15e-3, ArcStep: 0.5},
		{Along: 3e-3, Across: 3e-3, Through: 4.2e-3, Least: 6, Growth: 0.15, Largest: 15e-3, ArcStep: 0.5},
		oursBeads,
	} {
		s, w, h := ours(beadsCase(steel), o, ref, 100, beadTimes)
		t.Logf("  ours %6d cells %5d steps %9.4f s  worst %.2f %%", h.Size.Cells, h.Size.Steps, s, 100*w)
		if w <= accuracy {
			fastOurs = min(fastOurs, s)
		}
	}
	for _, r := range []struct {
		o               Options
		arc, wait, cool float64
	}{
		{Options{Along: 6e-3, Across: 5e-3, Through: 6.3e-3, Least: 4, Growth: 0.15, Largest: 20e-3}, 1, 2, 20},
		{Options{Along: 5e-3, Across: 4e-3, Through: 5e-3, Least: 5, Growth: 0.12, Largest: 15e-3}, 0.5, 1, 10},
		{ccxBeads, 0.5, 1, 10},
	} {
		m, probes := beadsModel(t, steel, r.o, rows, r.arc, r.wait, r.cool, fastest)
		fe := m.run(t, probes)
		w := worst(ref, fe.at, 100, beadTimes)
		t.Logf("  ccx  %6d cells %5d steps %9.4f s  worst %.2f %%", m.r.s.g.cells(), len(fe.times), fe.took.Seconds(), 100*w)
		if w <= accuracy {
			fastCCX = min(fastCCX, fe.took.Seconds())
		}
	}
	t.Logf("  at %.1f %%: ours %.4f s, ccx %.2f s, ratio %.0f", 100*accuracy, fastOurs, fastCCX, fastCCX/fastOurs)
	if math.IsInf(fastOurs, 1) || math.IsInf(fastCCX, 1) {
		t.Errorf("no rung of the ladder of one program is within %.1f %%", 100*accuracy)
	}
}
