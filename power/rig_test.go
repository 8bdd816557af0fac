package power

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/filler"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// a rig of our own: an engine-driven machine of 300 A at 60 %, 45 m of leads, a small compressor
func ourRig() RigIn {
	return RigIn{
		Sources: []job.Source{{Name: "engine drive", Output: "cc", OCV: q.Known(75 * q.Volt), Max: q.Known(320 * q.Ampere),
			Points: []job.DutyPoint{{Amps: 250, Duty: 1}, {Amps: 300, Volts: q.Known(32 * q.Volt), Duty: 0.6}}}},
		Leads: job.Leads{Size: "2/0", Electrode: q.Known(25 * q.Metre), Work: q.Known(20 * q.Metre), Joints: q.Known(2.0)},
		Air:   job.Air{Pressure: q.Known(90 * q.PSI), Flow: q.Known(18 * q.CubicFootPerMinute), Hose: q.Known(9.5 * q.Millimetre)},
	}
}

func gouges(t testing.TB, sizes ...float64) []Use {
	t.Helper()
	var all []Use
	for _, mm := range sizes {
		u, err := GougeUse(q.Length(mm) * q.Millimetre)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, u)
	}
	return all
}

func states(r RigReport) []State {
	var all []State
	for _, u := range r.Uses {
		all = append(all, u.Best.State)
	}
	return all
}

func TestRig(t *testing.T) {
	change := func(f func(*RigIn)) RigIn { in := ourRig(); f(&in); return in }
	for _, c := range []struct {
		name  string
		in    RigIn
		want  []State // for carbons of 4.0, 4.8, 6.4, 7.9 mm
		check string  // the check that decides about the last state that is not fits
		says  string
	}{
		// 4.8 mm: chord 75 − (75−32)·250/300 = 39.2 V, wants 35 + 3.1 and more; 6.4 mm: 32 V on the plate at 300 A
		{"as it stands", ourRig(), []State{Fits, LowEnd, Unknown, Short}, "current", "too little"},
		{"single-phase machine, low open circuit", change(func(in *RigIn) { in.Sources[0].OCV = q.Known(55 * q.Volt) }), []State{Short, Short, Short, Short}, "open-circuit voltage", "may not light"},
		{"open circuit unknown", change(func(in *RigIn) { in.Sources[0].OCV = q.Maybe[q.Voltage]{} }), []State{Unknown, Unknown, Unknown, Short}, "current", "too little"},
		{"constant voltage", change(func(in *RigIn) { in.Sources[0].Output = "cv" }), []State{Short, Short, Short, Short}, "output", "surge"},
		{"no air known", change(func(in *RigIn) { in.Air = job.Air{} }), []State{Unknown, Unknown, Unknown, Short}, "current", "too little"},
		{"weak air", change(func(in *RigIn) { in.Air.Pressure = q.Known(30 * q.PSI) }), []State{Short, Short, Short, Short}, "air pressure", "freezes back"},
		{"thin hose", change(func(in *RigIn) { in.Air.Hose = q.Known(6 * q.Millimetre) }), []State{Short, Short, Short, Short}, "air hose", "eats the pressure"},
		{"nameplate unknown", change(func(in *RigIn) { in.Sources[0].Points = nil; in.Sources[0].Max = q.Maybe[q.Current]{} }), []State{Unknown, Unknown, Unknown, Short}, "air flow", "falls"},
		{"leads unknown", change(func(in *RigIn) { in.Leads = job.Leads{} }), []State{Unknown, Unknown, Unknown, Short}, "current", "too little"},
		{"strong machine", change(func(in *RigIn) {
			in.Sources[0] = job.Source{Name: "big", Output: "cc", OCV: q.Known(80 * q.Volt), Points: []job.DutyPoint{{Amps: 500, Volts: q.Known(44 * q.Volt), Duty: 1}}}
			in.Air.Flow = q.Known(30 * q.CubicFootPerMinute)
			in.Leads.Size = "4/0"
		}), []State{Fits, Fits, Fits, Fits}, "", ""},
	} {
		c.in.Uses = gouges(t, 4.0, 4.8, 6.4, 7.9)
		got, err := Rig(c.in)
		if err != nil {
			t.Fatal(c.name, err)
		}
		for k, s := range states(got.Value) {
			if s != c.want[k] {
				t.Errorf("%s: %s: got %s, want %s (%s)", c.name, c.in.Uses[k].Name, s, c.want[k], got.Value.Uses[k].Say)
			}
		}
		last := got.Value.Uses[3]
		if c.check == "" {
			continue
		}
		found := false
		for _, k := range last.Best.Checks {
			found = found || k.What == c.check && k.State == last.Best.State && strings.Contains(k.Say, c.says)
		}
		if !found {
			t.Errorf("%s: no check %q saying %q in %+v", c.name, c.check, c.says, last.Best.Checks)
		}
	}
}

func TestRigSmallerAndBorrow(t *testing.T) {
	in := ourRig()
	in.Uses = gouges(t, 4.0, 4.8, 7.9)
	got, err := Rig(in)
	if err != nil {
		t.Fatal(err)
	}
	big := got.Value.Uses[2]
	if big.Smaller != "carbon 4.8 mm" {
		t.Errorf("next smaller: got %q, want carbon 4.8 mm", big.Smaller)
	}
	all := strings.Join(big.Borrow, "; ")
	for _, want := range []string{"350 A at 60% duty", "60 V open circuit", "708 L/min (25 cfm)"} {
		if !strings.Contains(all, want) {
			t.Errorf("borrow %q does not say %q", all, want)
		}
	}
	if got.Value.Uses[0].Smaller != "" || len(got.Value.Uses[0].Borrow) != 0 {
		t.Errorf("the 4 mm carbon runs, but: %+v", got.Value.Uses[0])
	}
}

func TestRigTwoMachines(t *testing.T) {
	in := ourRig()
	in.Air.Flow = q.Known(30 * q.CubicFootPerMinute)
	in.Sources = append(in.Sources, job.Source{Name: "spare", Output: "cc", OCV: q.Known(70 * q.Volt), Points: []job.DutyPoint{{Amps: 200, Duty: 0.6}}})
	in.Uses = gouges(t, 9.5) // 450 A: 300 + 200 would do
	got, err := Rig(in)
	if err != nil {
		t.Fatal(err)
	}
	if got.Value.Uses[0].Best.State != Short {
		t.Fatalf("9.5 mm on a 300 A machine: %s", got.Value.Uses[0].Best.State)
	}
	var said string
	for _, s := range got.Value.Two {
		said += s.Text + " "
	}
	for _, want := range []string{"same polarity", "does not", "can add", "constant current"} {
		if !strings.Contains(said, want) {
			t.Errorf("two-machine note %q does not say %q", said, want)
		}
	}
	in.Sources[1].Output = "cv"
	if got, err = Rig(in); err != nil || len(got.Value.Two) != 0 {
		t.Errorf("one of them on constant voltage: got %d lines (%v), want none", len(got.Value.Two), err)
	}
}

func TestRigRods(t *testing.T) {
	c, err := filler.Read("7018-H4R")
	if err != nil {
		t.Fatal(err)
	}
	in := ourRig()
	for _, mm := range []float64{3.2, 4.0, 4.8} {
		u, err := WeldUse(c, q.Length(mm)*q.Millimetre, job.Flat)
		if err != nil {
			t.Fatal(err)
		}
		in.Uses = append(in.Uses, u)
	}
	got, err := Rig(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, u := range got.Value.Uses {
		if u.Best.State != Fits || !strings.HasPrefix(u.Say, "runs on") {
			t.Errorf("%s: %s (%s)", u.Use.Name, u.Best.State, u.Say)
		}
	}
	in.Sources[0].Points = []job.DutyPoint{{Amps: 140, Duty: 0.25}} // a small machine: 90 A at 60 %
	in.Sources[0].Max = q.Known(150 * q.Ampere)
	if got, err = Rig(in); err != nil || got.Value.Uses[0].Best.State != Short {
		t.Errorf("3.2 mm on 140 A at 25 %%: got %v (%v), want no", got.Value.Uses[0].Say, err)
	}
}

func TestRigRefuses(t *testing.T) {
	in := ourRig()
	if _, err := Rig(in); err == nil {
		t.Error("nothing to run was taken")
	}
	in.Uses = gouges(t, 4.8)
	in.Sources[0].Points = []job.DutyPoint{{Amps: 200, Duty: 0.6}, {Amps: 250, Duty: 1}}
	if _, err := Rig(in); err == nil || !strings.Contains(err.Error(), "read the plate again") {
		t.Errorf("a plate that contradicts itself: %v", err)
	}
	in.Sources = nil
	if _, err := Rig(in); err == nil {
		t.Error("no source was taken")
	}
	if _, err := GougeUse(3 * q.Metre); err == nil {
		t.Error("a carbon of 3 m was taken")
	}
}

func TestDutyRefuses(t *testing.T) {
	var out *source.OutOfRange
	for name, run := range map[string]func() error{
		"duty 0":          func() error { _, err := Duty(300, 0, 0.5); return err },
		"duty 150 %":      func() error { _, err := Duty(300, 0.6, 1.5); return err },
		"no current":      func() error { _, err := Duty(0, 0.6, 1); return err },
		"above the plate": func() error { _, err := DutyAt(ourRig().Sources[0], 400); return err },
	} {
		if err := run(); !errors.As(err, &out) {
			t.Errorf("%s: got %v, want an out-of-range answer", name, err)
		}
	}
	for name, s := range map[string]job.Source{
		"no points":     {},
		"rising":        {Points: []job.DutyPoint{{Amps: 200, Duty: 0.6}, {Amps: 220, Duty: 1}}},
		"two at once":   {Points: []job.DutyPoint{{Amps: 200, Duty: 0.6}, {Amps: 180, Duty: 0.6}}},
		"above the max": {Max: q.Known(150 * q.Ampere), Points: []job.DutyPoint{{Amps: 200, Duty: 0.6}}},
	} {
		if got, err := Continuous(s, 0.6); err == nil {
			t.Errorf("%s: got %v", name, got.Value)
		}
	}
}

// Between two points of the plate: the lower of the two square laws, by hand
// 325·√(0.6/0.8) = 281.5 and 250·√(1/0.8) = 279.5. Below the first point the law
// runs to the highest output only.
func TestContinuous(t *testing.T) {
	s := job.Source{Points: []job.DutyPoint{{Amps: 325, Duty: 0.6}, {Amps: 250, Duty: 1}}}
	for _, c := range []struct {
		name string
		max  q.Maybe[q.Current]
		duty q.Ratio
		want float64
		note string
	}{
		{"between", q.Maybe[q.Current]{}, 0.8, 279.5, ""},
		{"on the plate", q.Maybe[q.Current]{}, 0.6, 325, ""},
		{"short duty, no highest output", q.Maybe[q.Current]{}, 0.3, 325, "No highest output"},
		{"short duty, law", q.Known(600 * q.Ampere), 0.3, 459.6, "guess"},
		{"short duty, highest output", q.Known(400 * q.Ampere), 0.3, 400, "guess"},
	} {
		s.Max = c.max
		got, err := Continuous(s, c.duty)
		if err != nil {
			t.Fatal(c.name, err)
		}
		check(t, c.name, float64(got.Value), c.want, 0.0005)
		if !strings.Contains(strings.Join(got.Basis.Notes, " "), c.note) {
			t.Errorf("%s: notes %q do not say %q", c.name, got.Basis.Notes, c.note)
		}
	}
	one := job.Source{Points: []job.DutyPoint{{Amps: 300, Duty: 0.6}}}
	got, err := Continuous(one, 1)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "beyond the only point", float64(got.Value), 232.4, 0.0005)
	if !strings.Contains(strings.Join(got.Basis.Notes, " "), "guess") {
		t.Error("the law beyond the plate is not marked")
	}
}

func TestCableReadAndRefuse(t *testing.T) {
	for text, mm2 := range map[string]float64{"2/0": 67.4, "#2": 33.6, "4/0 AWG": 107.2, "AWG 1/0": 53.5, "0000": 107.2, "50mm2": 50, "70 mm²": 70, "50 mm": 50, "2x2/0": 134.8, "2 × 3/0": 170, "35,5mm2": 35.5} {
		c, err := ReadCable(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		check(t, text, c.Area.MM2(), mm2, 1e-9)
	}
	for _, text := range []string{"", "70", "5/0", "9x2/0", "2x2x2/0", "0mm2", "-50mm2", "NaNmm2", "thick"} {
		if c, err := ReadCable(text); err == nil {
			t.Errorf("%q: read as %v", text, c)
		}
	}
	var out *source.OutOfRange
	for name, run := range map[string]func() error{
		"too much current": func() error { _, err := PickCable(400, 30*q.Metre, 0.6); return err },
		"too long":         func() error { _, err := PickCable(200, 130*q.Metre, 0.6); return err },
		"empty cell":       func() error { _, err := PickCable(350, 110*q.Metre, 0.6); return err },
		"hot cable":        func() error { _, err := LeadDrop(50e-6, 200, 30, 150); return err },
	} {
		if err := run(); !errors.As(err, &out) {
			t.Errorf("%s: got %v, want an out-of-range answer", name, err)
		}
	}
	if _, err := LoopDrop(job.Leads{Size: "2/0", Electrode: q.Known(20 * q.Metre)}, 200); err == nil {
		t.Error("one lead of unknown length was taken")
	}
}

// Leads with two couplers at 225 A: cold 4.35 V × 1.02 + 2 × 225 A × 0.05 mΩ, warm
// 5.034 V × 1.05 + 2 × 225 A × 0.3 mΩ (by hand from P4).
func TestLoopDrop(t *testing.T) {
	got, err := LoopDrop(job.Leads{Size: "1/0", Electrode: q.Known(35 * q.Metre), Work: q.Known(25 * q.Metre), Joints: q.Known(2.0)}, 225)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "cold", float64(got.Value.Drop.Low), 4.3505*1.02+0.0225, 0.001)
	check(t, "warm", float64(got.Value.Drop.High), 5.0344*1.05+0.135, 0.001)
	if got.Value.Hot {
		t.Error("225 A is within 1/0")
	}
	if got, err = LoopDrop(job.Leads{Size: "2", Electrode: q.Known(5 * q.Metre), Work: q.Known(5 * q.Metre)}, 300); err != nil || !got.Value.Hot {
		t.Errorf("300 A in a 2 AWG cable is not called hot (%v)", err)
	}
}

func TestOxyShadeRefuses(t *testing.T) {
	if _, err := OxyShade(0); err == nil {
		t.Error("a plate of no thickness was taken")
	}
}
