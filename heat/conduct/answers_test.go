package conduct

import (
	"strings"
	"testing"

	q "soundmetal/quantity"
)

// A night at −12 °C with 20 mph of wind against a mild, still day.
func TestColdWindyNight(t *testing.T) {
	day := mustRun(t, plateCase(0.025, 0, 18, 40e3), Options{})
	night := mustRun(t, plateCase(0.025, float64(20*q.MilePerHour), -12, 40e3), Options{})
	d, n := float64(day.Marks[0].To), float64(night.Marks[0].To)
	t.Logf("to 120 °C on the far face at 75 mm: day %.1f min, night %.1f min", d/60, n/60)
	if n < 1.3*d || n > 6*d {
		t.Errorf("night takes %.2f times the day, want 1.3 to 6", n/d)
	}
	dc, nc := float64(day.Marks[1].To-day.Marks[1].From), float64(night.Marks[1].To-night.Marks[1].From)
	t.Logf("down to 60 °C: day %.1f min, night %.1f min", dc/60, nc/60)
	if nc > 0.5*dc {
		t.Errorf("at night the part is below 60 °C after %.0f s, by day %.0f s: wind and frost should more than halve it", nc, dc)
	}
}

// Answers read the history as it is.
func TestAnswers(t *testing.T) {
	c := plateCase(0.025, 3, 5, 40e3)
	h := mustRun(t, c, Options{})
	r, err := h.Reach(120, "far")
	if err != nil {
		t.Fatal(err)
	}
	check(t, "reach against the event's own end, s", float64(r.Value), float64(h.Marks[0].To), 0.5)
	v, err := h.Temperature("far", r.Value)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "temperature then", v.C(), 120, 0.01)
	f, err := h.FallsBelow(100, h.Marks[0].To, "far")
	if err != nil {
		t.Fatal(err)
	}
	v, _ = h.Temperature("far", h.Marks[0].To+f.Value)
	check(t, "temperature when it falls below 100", v.C(), 100, 0.01)
	cool, err := h.CoolsTo(80, h.Marks[0].To, "far", "near")
	if err != nil {
		t.Fatal(err)
	}
	if cool.Value <= f.Value {
		t.Errorf("cools to 80 °C in %v before falling below 100 °C in %v", cool.Value, f.Value)
	}
	if _, err := h.Reach(900, "far"); err == nil || !strings.Contains(err.Error(), "not reached") {
		t.Errorf("900 °C: got %v, want a refusal", err)
	}
	if _, err := h.Reach(90, "nowhere"); err == nil {
		t.Error("an unknown probe was accepted")
	}
	if _, err := h.CoolingTime(0); err == nil {
		t.Error("t8/5 without a bead was given")
	}
}

// ISO 13916 (check M36): 40, 50 and 75 mm for 10, 20 and 60 mm.
func TestReadingPoints(t *testing.T) {
	for _, r := range []struct{ t, a, band float64 }{{10, 40, 75}, {20, 50, 75}, {60, 75, 75}, {100, 75, 100}} {
		res, err := ReadingPoints(-0.05, 0.05, 0, q.Length(r.t/1000), false)
		if err != nil {
			t.Fatal(err)
		}
		check(t, num(r.t)+" mm A", res.Basis.Steps[0].Value, r.a, 1e-9)
		check(t, num(r.t)+" mm band", res.Basis.Steps[1].Value, r.band, 1e-9)
		check(t, num(r.t)+" mm probe", res.Value[0].At.Y.MM(), r.a, 1e-9)
		if len(res.Value) != 8 {
			t.Errorf("%d points, want 8", len(res.Value))
		}
	}
	if _, err := ReadingPoints(0, 0, 0, 0.02, false); err == nil {
		t.Error("a weld of no length was accepted")
	}
}
