package plan

import (
	"context"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
)

// modelled is an item of a demo made ready for the simulation.
func modelled(t testing.TB, name string, index int) *thermalModel {
	t.Helper()
	data, err := os.ReadFile("../demo/" + name)
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	_, planned := begin(j, nil, q.SI)
	m, why := planned[index].thermalModel(conduct.Coarse, false)
	if m == nil {
		t.Fatal(why)
	}
	return m
}

// reach is the time until the far points have the floor, and how long it stands
// above it afterwards; infinite where the flame does not do it.
func (m *thermalModel) reach(t testing.TB, which int) (warm, stands float64) {
	h, err := conduct.Run(context.Background(), m.firstHeat(which), conduct.Options{Level: conduct.Coarse})
	if err != nil {
		t.Fatal(err)
	}
	off, met := heated(h)
	if !met {
		return math.Inf(1), 0
	}
	r, err := h.FallsBelow(m.floor, off, append(m.far[1], m.read[1]...)...)
	if err != nil {
		return float64(off), math.Inf(1)
	}
	return float64(off), float64(r.Value)
}

// Colder, windier, thicker or a weaker flame never shortens the torch; colder or
// windier never lengthens the time that the heat stands.
func TestFirstHeatLaws(t *testing.T) {
	const hair = 1.01 // of the step that ends a phase
	rapid.Check(t, func(rt *rapid.T) {
		m := modelled(t, "quarry-screen.yaml", 0)
		m.floor = q.Temperature(rapid.Float64Range(80, 170).Draw(rt, "floor"))
		m.target = m.floor + 10
		m.start = q.Temperature(rapid.Float64Range(-20, 30).Draw(rt, "start"))
		m.env.Air, m.env.Wind = m.start, q.Speed(rapid.Float64Range(0, 8).Draw(rt, "wind"))
		warm, stands := m.reach(t, likely)
		if weaker, _ := m.reach(t, weak); weaker*hair < warm {
			rt.Fatalf("weak flame %.0f s, likely %.0f s", weaker, warm)
		}
		windy := *m
		windy.env.Wind += 6
		if w, s := windy.reach(t, likely); w*hair < warm || s > stands*hair {
			rt.Fatalf("windier: %.1f after %.1f s, stands %.1f after %.1f s", w, warm, s, stands)
		}
		cold := *m
		cold.start -= 15
		cold.env.Air -= 15
		if w, s := cold.reach(t, likely); w*hair < warm || s > stands*hair {
			rt.Fatalf("colder: %.1f after %.1f s, stands %.1f after %.1f s", w, warm, s, stands)
		}
	})
}

// A thicker wall with the same groove and the same points to read takes longer.
func TestThickerTakesLonger(t *testing.T) {
	last := 0.0
	for _, thick := range []q.Length{20, 25, 32, 40, 50, 65} {
		m := modelled(t, "quarry-screen.yaml", 0)
		m.t = thick * q.Millimetre
		g := m.w.dig.Value.Groove
		g.Thickness, g.Depth = m.t, m.t/2
		g.SecondSide = nil
		m.second, m.probes, m.far, m.read = nil, nil, [3][]string{}, [3][]string{}
		if why := m.shape(m.w.dig.Value, g); why != "" {
			t.Fatal(why)
		}
		if err := m.readingPoints(); err != nil {
			t.Fatal(err)
		}
		warm, _ := m.reach(t, likely)
		t.Logf("%.0f mm: %.0f s", m.t.MM(), warm)
		if warm < last {
			t.Errorf("%.0f mm takes %.0f s, less than the %.0f s of the thinner", m.t.MM(), warm, last)
		}
		last = warm
	}
}

// A reading that the model itself foretells changes nothing; a colder one makes the
// torch longer, a hotter one shorter, and the band of the flame narrows.
func TestReadingsTurnTheTimes(t *testing.T) {
	base := modelled(t, "quarry-screen.yaml", 0)
	base.floor, base.target = 150, 160
	c := base.caseOf()
	at := conduct.At(0, base.top[1]/2+75*q.Millimetre, base.t)
	c.Probes = []conduct.Probe{{Name: "there", At: at}}
	torch := base.sweep(1, likely)
	torch.Until = conduct.Until{For: 3 * q.Minute}
	c.Events = []conduct.Event{torch}
	h, err := conduct.Run(context.Background(), c, conduct.Options{Level: conduct.Coarse})
	if err != nil {
		t.Fatal(err)
	}
	was, _ := base.reach(t, likely)
	spread := base.flame.efficiency[strong] / base.flame.efficiency[weak]
	for _, r := range []struct {
		off       q.Temperature
		low, high float64 // torch with the reading over torch without
	}{{0, 0.97, 1.03}, {-15, 1.05, 3}, {15, 0.4, 0.95}} {
		m := modelled(t, "quarry-screen.yaml", 0)
		m.floor, m.target = base.floor, base.target
		if err := m.calibrate([]HeatReading{{Time: 3 * q.Minute, T: h.Final[0] + r.off, At: 75 * q.Millimetre}}); err != nil {
			t.Fatal(err)
		}
		now, _ := m.reach(t, likely)
		t.Logf("%+.0f K: efficiency %.3f, torch %.0f s, was %.0f s", float64(r.off), float64(m.flame.efficiency[likely]), now, was)
		if x := now / was; x < r.low || x > r.high {
			t.Errorf("%+.0f K: torch %.2f times as long, want %.2f to %.2f", float64(r.off), x, r.low, r.high)
		}
		if s := m.flame.efficiency[strong] / m.flame.efficiency[weak]; s >= spread {
			t.Errorf("band of the flame %.2f with a reading, %.2f without", s, spread)
		}
	}
}

// The groove that stands for the planned one has its section, its depth and its
// width at the face, and lies where it lies.
func TestTrapezoid(t *testing.T) {
	const mm = q.Millimetre
	for name, g := range map[string]joint.Groove{
		"U":      {Shape: joint.SingleU, Angle: 15 * q.Degree, Radius: 6 * mm, Depth: 16 * mm, Thickness: 32 * mm},
		"V":      {Shape: joint.SingleV, Angle: 60 * q.Degree, RootOpening: 3 * mm, Depth: 12 * mm, Thickness: 12 * mm},
		"square": {Shape: joint.Square, RootOpening: 3 * mm, Depth: 4 * mm, Thickness: 4 * mm},
		"bevel":  {Shape: joint.SingleBevel, Angle: 45 * q.Degree, RootOpening: 4 * mm, Depth: 20 * mm, Thickness: 20 * mm},
	} {
		points, err := g.Outline(1)
		if err != nil {
			t.Fatal(name, err)
		}
		var all []conduct.Corner2
		for _, p := range points {
			all = append(all, conduct.Corner2{Y: p.X, Z: p.Y})
		}
		want, out := (&conduct.Groove{Outline: all}).Area(), trapezoid(all)
		got := (&conduct.Groove{Outline: out}).Area()
		if d := float64(got-want) / float64(want); math.Abs(d) > 1e-6 {
			t.Errorf("%s: section %.4g mm², want %.4g mm²", name, float64(got)*1e6, float64(want)*1e6)
		}
		if out[0].Z != 0 || math.Abs(float64(out[2].Z-g.Depth)) > 1e-9 {
			t.Errorf("%s: from %.2f to %.2f mm", name, out[0].Z.MM(), out[2].Z.MM())
		}
		if w, err := g.Width(); err != nil || math.Abs(float64(out[2].Y-out[3].Y-w)) > 1e-9 {
			t.Errorf("%s: %.3f mm wide at the face, want %.3f (%v)", name, (out[2].Y - out[3].Y).MM(), w.MM(), err)
		}
	}
}

// The beads lie inside the part, on the side they belong to, with the arc energy
// of the plan times the arc's efficiency.
func TestBeadsOfThePlan(t *testing.T) {
	for _, name := range []string{"quarry-screen.yaml", "blade-arm.yaml", "dumper.yaml", "tipper.yaml"} {
		m := modelled(t, name, 0)
		k := float64(arcEfficiency().Value)
		for i, b := range m.beads {
			if b.From.Z < 0 || b.From.Z > m.t {
				t.Errorf("%s: bead %d lies at %.1f mm of %.1f", name, i+1, b.From.Z.MM(), m.t.MM())
			}
			e := float64(b.HeatInput()) / k
			if w := m.w.rod; e < 0.999*float64(min(w.fill.window.Low, w.root.window.Low)) || e > 1.001*float64(max(w.fill.window.High, w.root.window.High)) {
				t.Errorf("%s: bead %d has %.2f kJ/mm", name, i+1, e/1e6)
			}
		}
	}
}

// BenchmarkThermalCoarse is the whole repair of the quarry screen at the coarse level.
func BenchmarkThermalCoarse(b *testing.B) {
	m := modelled(b, "quarry-screen.yaml", 0)
	m.heats = true
	for b.Loop() {
		h, err := conduct.Run(context.Background(), m.whole(likely, true, 0), conduct.Options{Level: conduct.Coarse})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(h.Size.Cells), "cells")
		b.ReportMetric(float64(h.Size.Steps), "steps")
	}
}
