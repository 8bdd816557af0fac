package power

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// A longer lead, a thinner cable, a warmer cable or more current never loses less.
func TestDropMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(20, 200).Draw(t, "mm²")
		i := rapid.Float64Range(10, 1000).Draw(t, "A")
		l := rapid.Float64Range(1, 140).Draw(t, "m")
		temp := rapid.Float64Range(-20, 80).Draw(t, "°C")
		k := rapid.Float64Range(1, 2).Draw(t, "more")
		drop := func(a, i, l, temp float64) float64 {
			got, err := LeadDrop(q.Area(a)*q.SquareMillimetre, q.Current(i), q.Length(l), q.Temperature(temp))
			if err != nil {
				t.Fatal(err)
			}
			return float64(got.Value)
		}
		base := drop(a, i, l, temp)
		for name, v := range map[string]float64{"longer": drop(a, i, l*k, temp), "thinner": drop(a/k, i, l, temp), "more current": drop(a, i*k, l, temp), "warmer": drop(a, i, l, temp+10*(k-1))} {
			if v < base*(1-1e-12) {
				t.Fatalf("%s: %v below %v", name, v, base)
			}
		}
	})
}

// drawSource draws a plate: falling currents at rising duty cycles.
func drawSource(t *rapid.T) job.Source {
	var s job.Source
	amps, duty := rapid.Float64Range(100, 600).Draw(t, "first A"), rapid.Float64Range(0.2, 0.4).Draw(t, "first duty")
	for range rapid.IntRange(1, 3).Draw(t, "points") {
		s.Points = append(s.Points, job.DutyPoint{Amps: q.Current(amps), Duty: q.Ratio(duty)})
		amps *= rapid.Float64Range(0.6, 1).Draw(t, "falls to")
		duty = min(1, duty*rapid.Float64Range(1.2, 1.8).Draw(t, "rises by"))
		if duty == 1 {
			break
		}
	}
	if rapid.Bool().Draw(t, "has a highest output") {
		s.Max = q.Known(s.Points[0].Amps * q.Current(rapid.Float64Range(1, 1.5).Draw(t, "max")))
	}
	return s
}

// A longer duty cycle never holds more current; nothing passes the highest
// output; the plate's points come back as they stand; DutyAt is the inverse.
func TestDutyLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSource(t)
		held := func(d q.Ratio) q.Current {
			got, err := Continuous(s, d)
			if err != nil {
				t.Fatal(err)
			}
			return got.Value
		}
		d := q.Ratio(rapid.Float64Range(0.05, 1).Draw(t, "duty"))
		longer := min(1, d*q.Ratio(rapid.Float64Range(1, 3).Draw(t, "longer")))
		top := s.Max.Or(s.Points[0].Amps)
		if a, b := held(d), held(longer); b > a*(1+1e-12) || a > top*(1+1e-12) {
			t.Fatalf("%v: %v A at %v, %v A at %v, top %v", s.Points, a, d, b, longer, top)
		}
		for _, p := range s.Points {
			if held(p.Duty) != p.Amps {
				t.Fatalf("plate point %v comes back as %v", p, held(p.Duty))
			}
		}
		i := q.Current(rapid.Float64Range(20, float64(top)).Draw(t, "A"))
		at, err := DutyAt(s, i)
		if err != nil {
			t.Fatal(err)
		}
		if at.Value > 1 || at.Value <= 0 {
			t.Fatalf("%v A: duty %v", i, at.Value)
		}
		if at.Value >= 0.01 && held(at.Value) < i*(1-1e-9) {
			t.Fatalf("%v: %v A may run at %v, but only %v is held there", s.Points, i, at.Value, held(at.Value))
		}
	})
}

// Random networks: currents balance at every body, their sum out of the source
// is the arc current, the power in the contacts is the power fed in, and the
// voltage of every body lies between sink and source.
func TestNetworkLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 10).Draw(t, "bodies")
		ohm := func() q.Resistance { // 0.01 mΩ to 1 Ω, the range of real contacts
			return q.Resistance(math.Pow(10, rapid.Float64Range(-5, 0).Draw(t, "log ohm")))
		}
		name := func(i int) string { return fmt.Sprintf("b%d", i) }
		var edges []Edge
		for i := 1; i < n; i++ { // joined: each body hangs on an earlier one
			edges = append(edges, Edge{name(rapid.IntRange(0, i-1).Draw(t, "on")), name(i), ohm()})
		}
		for range rapid.IntRange(0, 12).Draw(t, "more edges") {
			a, b := rapid.IntRange(0, n-1).Draw(t, "a"), rapid.IntRange(0, n-1).Draw(t, "b")
			if a != b {
				edges = append(edges, Edge{name(a), name(b), ohm()})
			}
		}
		from, to := name(0), name(rapid.IntRange(1, n-1).Draw(t, "sink"))
		const i = 250
		got, err := SolveEdges(edges, from, to, i)
		if err != nil {
			t.Fatal(err)
		}
		s := got.Value
		if float64(s.Residual) > 1e-9*i {
			t.Fatalf("residual %g A", float64(s.Residual))
		}
		out, loss := 0.0, 0.0
		for _, f := range s.Flows {
			if f.A == from {
				out += float64(f.Current)
			}
			if f.B == from {
				out -= float64(f.Current)
			}
			loss += float64(f.Current) * float64(f.Current) * float64(f.R)
			if math.Abs(float64(f.Current)) > i*(1+1e-9) {
				t.Fatalf("%v carries more than the arc", f)
			}
		}
		if math.Abs(out-i) > 1e-9*i {
			t.Fatalf("out of the source: %v A", out)
		}
		if power := float64(s.Across) * i; math.Abs(loss-power) > 1e-8*power {
			t.Fatalf("power in the contacts %v, fed in %v", loss, power)
		}
		for _, p := range s.Volts {
			if float64(p.Volts) < -1e-9*float64(s.Across) || p.Volts > s.Across*(1+1e-9) {
				t.Fatalf("%s at %v, source at %v", p.Body, p.Volts, s.Across)
			}
		}
		// the way back is the same resistance
		back, err := SolveEdges(edges, to, from, i)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(back.Value.Resistance/s.Resistance)-1) > 1e-9 {
			t.Fatalf("resistance %v there, %v back", s.Resistance, back.Value.Resistance)
		}
	})
}

// A colder or emptier bottle never gives more; more bottles give in proportion.
func TestLPGMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, left := rapid.Float64Range(0, 70).Draw(t, "°F"), rapid.Float64Range(0.1, 1).Draw(t, "left")
		full := q.Mass(rapid.Float64Range(5, 100).Draw(t, "lb")) * q.Pound
		draw := func(f, left float64, n int) float64 {
			got, err := LPGRate(q.Fahrenheit(f), full, q.Ratio(left), n)
			if err != nil {
				t.Fatal(err)
			}
			return float64(got.Value.Power)
		}
		base := draw(f, left, 1)
		if colder := draw(rapid.Float64Range(0, f).Draw(t, "colder"), left, 1); colder > base*(1+1e-9) {
			t.Fatalf("colder gives more: %v, %v", colder, base)
		}
		if emptier := draw(f, rapid.Float64Range(0.1, left).Draw(t, "emptier"), 1); emptier > base*(1+1e-9) {
			t.Fatalf("emptier gives more: %v, %v", emptier, base)
		}
		if two := draw(f, left, 2); math.Abs(two/base-2) > 1e-9 {
			t.Fatalf("two bottles give %v of one", two/base)
		}
	})
}

// More current never burns less fuel.
func TestFuelMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fuel := rapid.SampledFrom([]job.Fuel{"diesel", "petrol"}).Draw(t, "fuel")
		i := rapid.Float64Range(0, 500).Draw(t, "A")
		rate := func(i float64) FuelRate {
			got, err := EngineFuel(30, q.Current(i), fuel)
			if err != nil {
				t.Fatal(err)
			}
			return got.Value
		}
		a, b := rate(i), rate(i+rapid.Float64Range(0, 500).Draw(t, "more"))
		if b.Likely < a.Likely || b.Range.Low < a.Range.Low || b.Range.High < a.Range.High || !a.Range.Has(a.Likely) {
			t.Fatalf("%+v then %+v", a, b)
		}
	})
}

// A longer lead or a longer duty cycle never makes something fit better; a larger
// compressor never makes it fit worse.
func TestRigLaws(t *testing.T) {
	carbons := []float64{4, 4.8, 6.4, 7.9, 9.5}
	rapid.Check(t, func(t *rapid.T) {
		s := drawSource(t)
		s.Output = "cc"
		if rapid.Bool().Draw(t, "ocv known") {
			s.OCV = q.Known(q.Voltage(rapid.Float64Range(45, 110).Draw(t, "ocv")))
		}
		in := RigIn{Sources: []job.Source{s}, Leads: job.Leads{Size: rapid.SampledFrom([]string{"2", "1/0", "4/0"}).Draw(t, "cable"),
			Electrode: q.Known(q.Length(rapid.Float64Range(2, 60).Draw(t, "lead"))), Work: q.Known(q.Length(5))},
			Air: job.Air{Flow: q.Known(q.Flow(rapid.Float64Range(100, 1500).Draw(t, "air")) * q.LitrePerMinute), Pressure: q.Known(6 * q.Bar), Hose: q.Known(10 * q.Millimetre)}}
		u, err := GougeUse(q.Length(rapid.SampledFrom(carbons).Draw(t, "carbon")) * q.Millimetre)
		if err != nil {
			t.Fatal(err)
		}
		u.Duty = q.Ratio(rapid.Float64Range(0.1, 0.9).Draw(t, "duty"))
		state := func(in RigIn, u Use) State {
			in.Uses = []Use{u}
			got, err := Rig(in)
			if err != nil {
				t.Fatal(err)
			}
			return got.Value.Uses[0].Best.State
		}
		here := state(in, u)
		longer := in
		longer.Leads.Electrode.V *= q.Length(rapid.Float64Range(1, 2).Draw(t, "times as long"))
		if now := state(longer, u); now.rank() < here.rank() {
			t.Fatalf("a lead of %v m: %s, of %v m: %s", in.Leads.Electrode.V, here, longer.Leads.Electrode.V, now)
		}
		easier := u
		easier.Duty *= q.Ratio(rapid.Float64Range(0.5, 1).Draw(t, "of the duty"))
		if now := state(in, easier); now.rank() > here.rank() {
			t.Fatalf("duty %v: %s, duty %v: %s", u.Duty, here, easier.Duty, now)
		}
		more := in
		more.Air.Flow.V *= q.Flow(rapid.Float64Range(1, 3).Draw(t, "times the air"))
		if now := state(more, u); now.rank() > here.rank() {
			t.Fatalf("air %v: %s, air %v: %s", in.Air.Flow.V, here, more.Air.Flow.V, now)
		}
	})
}
