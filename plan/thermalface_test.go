package plan_test

import (
	"strings"
	"testing"

	"soundmetal/plan"
	q "soundmetal/quantity"
)

// The band of the faces holds the coldest reading point of each of the runs, as
// long as it is heated; it begins at the steel's own heat.
func TestFacesHoldTheRuns(t *testing.T) {
	it := warmed(t, warmTurner(t, mildDay), kit)
	c := it.Chart
	far, near := c.Face(true), c.Face(false)
	if far == nil || near == nil {
		t.Fatal("a face is missing")
	}
	if far.From != 75*q.Millimetre || near.From > far.From {
		t.Errorf("read at %s and %s from the groove", far.From.Text(q.SI), near.From.Text(q.SI))
	}
	for _, f := range []*plan.ThermalFace{far, near} {
		last := q.Time(-1)
		for _, p := range f.Points {
			if p.At <= last || p.Low > p.High {
				t.Fatalf("far %v: %+v after %v", f.Far, p, last)
			}
			last = p.At
		}
		if low := f.Points[0].Low; low < 12-0.1 || low > 12+0.1 {
			t.Errorf("far %v begins at %v, the steel is at 12 °C", f.Far, low)
		}
	}
	for _, s := range c.Series {
		if strings.HasPrefix(s.Name, "hottest") {
			continue
		}
		for _, p := range s.Points {
			if p.At >= c.Beads[0].At {
				break
			}
			a, ok := far.Expected(p.At)
			b, ok2 := near.Expected(p.At)
			if low := min(a.Low, b.Low); ok && ok2 && p.T < low-1 && p.At < c.Beads[0].At*0.7 {
				t.Errorf("%s at %v: %.1f °C lies below the band's %.1f", s.Name, p.At, float64(p.T), float64(low))
			}
		}
	}
}

func TestExpected(t *testing.T) {
	f := plan.ThermalFace{Points: []plan.ThermalSpan{{At: 0, Low: 10, High: 10}, {At: 100, Low: 60, High: 90}, {At: 200, Low: 80, High: 130}}}
	for _, c := range []struct {
		at        q.Time
		low, high q.Temperature
		ok        bool
	}{{0, 10, 10, true}, {50, 35, 50, true}, {100, 60, 90, true}, {150, 70, 110, true}, {200, 80, 130, true}, {-1, 0, 0, false}, {201, 0, 0, false}} {
		got, ok := f.Expected(c.at)
		if ok != c.ok || got.Low != c.low || got.High != c.high {
			t.Errorf("at %v: got %v %v, want %v to %v, %v", c.at, got, ok, c.low, c.high, c.ok)
		}
	}
	if _, ok := (&plan.ThermalFace{}).Expected(0); ok {
		t.Error("an empty face expects something")
	}
}

func TestCompare(t *testing.T) {
	it := plan.ThermalItem{Beads: []plan.ThermalBead{{Number: 1, Coldest: 150, Hottest: 190}},
		Chart: &plan.ThermalChart{Faces: []plan.ThermalFace{{Far: true, From: 0.075, Points: []plan.ThermalSpan{{At: 0, Low: 10, High: 10}, {At: 720, Low: 110, High: 130}, {At: 1440, Low: 150, High: 180}}}}}}
	for name, c := range map[string]struct {
		seen plan.HeatSeen
		off  int
		ok   bool
		says string
	}{
		"slower":                   {plan.HeatSeen{T: 95, At: 720, Far: true}, -1, true, "read 95 °C (203 °F) at 12 min; expected 110 to 130 °C (230 to 265 °F): slower than simulated; likely wind, more loss"},
		"a little under the band":  {plan.HeatSeen{T: 101, At: 720, Far: true}, 0, true, "as simulated"},
		"in the band":              {plan.HeatSeen{T: 120, At: 720, Far: true}, 0, true, "as simulated"},
		"faster":                   {plan.HeatSeen{T: 150, At: 720, Far: true}, 1, true, "faster than simulated"},
		"at a bead, cold":          {plan.HeatSeen{T: 120, Bead: 1}, -1, true, "before bead 1; expected 150 to 190 °C"},
		"at a bead, hot":           {plan.HeatSeen{T: 230, Bead: 1}, 1, true, "hotter than simulated"},
		"a bead that is not there": {plan.HeatSeen{T: 120, Bead: 9}, 0, false, ""},
		"a face that is not read":  {plan.HeatSeen{T: 120, At: 720}, 0, false, ""},
		"too near to the groove":   {plan.HeatSeen{T: 120, At: 720, Far: true, From: q.Known(20 * q.Millimetre)}, 0, false, ""},
		"after the end":            {plan.HeatSeen{T: 120, At: 9000, Far: true}, 0, false, ""},
	} {
		t.Run(name, func(t *testing.T) {
			h, ok := it.Compare(c.seen, q.SI)
			if ok != c.ok || h.Off != c.off || !strings.Contains(h.Text, c.says) {
				t.Errorf("got %v %d %q, want %v %d %q", ok, h.Off, h.Text, c.ok, c.off, c.says)
			}
		})
	}
}
