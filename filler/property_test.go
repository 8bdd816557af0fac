package filler

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func drawRod(t *rapid.T) (d, l q.Length, f EnergyDensity, e q.HeatInput) {
	return q.Length(rapid.Float64Range(2.0, 6.4).Draw(t, "D mm")) * q.Millimetre,
		q.Length(rapid.Float64Range(150, 450).Draw(t, "L mm")) * q.Millimetre,
		EnergyDensity(rapid.SampledFrom([]float64{0.0368, 0.0408, 0.0472, 0.0608}).Draw(t, "F")) * KilojoulePerCubicMillimetre,
		q.HeatInput(rapid.Float64Range(0.5, 4).Draw(t, "E kJ/mm")) * q.KilojoulePerMillimetre
}

// Run-out length and its inverse agree; more heat is a shorter run.
func TestRunOutRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, l, f, e := drawRod(t)
		run, err := RunOut(d, l, f, e)
		if err != nil {
			t.Fatal(err)
		}
		if run.Value.MM() < 20 || run.Value.MM() > 1500 {
			return // a run nobody makes; the inverse refuses it
		}
		back, err := RunOutHeat(d, l, f, run.Value)
		if err != nil {
			t.Fatal(err)
		}
		if diff := math.Abs(float64(back.Value/e) - 1); diff > 1e-12 {
			t.Fatalf("E %v, back %v", e, back.Value)
		}
		hotter, err := RunOut(d, l, f, e*1.1)
		if err != nil {
			t.Fatal(err)
		}
		if hotter.Value >= run.Value {
			t.Fatalf("more heat gives a longer run: %v to %v", run.Value, hotter.Value)
		}
	})
}

// The window of lengths per rod never asks for a heat input outside its window by the factor's own count.
func TestLengthPerRodStaysInWindow(t *testing.T) {
	c, _ := byID("E7018")
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.5, 2).Draw(t, "low")
		window := q.Of[q.HeatInput]{Low: q.HeatInput(low) * q.KilojoulePerMillimetre, High: q.HeatInput(low*rapid.Float64Range(1, 3).Draw(t, "ratio")) * q.KilojoulePerMillimetre}
		core := q.Length(rapid.SampledFrom([]float64{2.5, 3.2, 4.0, 4.8}).Draw(t, "core")) * q.Millimetre
		got, err := LengthPerRod(window, Stick{Class: c, Core: core})
		if err != nil {
			t.Fatal(err)
		}
		v := got.Value
		if v.Use.Low > v.Use.High || v.Use.Low < v.ByFactor.V.Low*(1-1e-12) || v.Use.High > v.ByFactor.V.High*(1+1e-12) {
			t.Fatalf("use %v is not within the factor's %v", v.Use, v.ByFactor.V)
		}
	})
}

// A rod that lies out longer is never better.
func TestDrynessOnlyGetsWorse(t *testing.T) {
	classes := []string{"7018-H4R", "7018", "8018-C3 H8", "9018-M", "11018-M", "E7018M", "7018-H4"}
	rank := map[DryState]int{Usable: 0, Rebake: 1, Scrap: 2}
	rapid.Check(t, func(t *rapid.T) {
		class := rapid.SampledFrom(classes).Draw(t, "class")
		qt, rebaked := rapid.Bool().Draw(t, "qt"), rapid.Bool().Draw(t, "rebaked")
		hours := rapid.Float64Range(0, 30).Draw(t, "hours")
		dry := func(h float64) Dry {
			got, err := Dryness(DryIn{Rod: job.Rod{Class: class, Condition: "opened", Opened: q.Known(q.Time(h) * q.Hour)}, OnQT: qt, Rebaked: rebaked})
			if err != nil {
				t.Fatal(err)
			}
			return got.Value
		}
		a, b := dry(hours), dry(hours+rapid.Float64Range(0, 30).Draw(t, "more"))
		if rank[b.State] < rank[a.State] || b.Hydrogen.V < a.Hydrogen.V {
			t.Fatalf("%s: %s %v then %s %v", class, a.State, a.Hydrogen, b.State, b.Hydrogen)
		}
	})
}

// More weld metal never needs fewer rods; low, likely and high keep their order.
func TestRodsMonotone(t *testing.T) {
	rod := PerRod{Mass: q.At(50 * q.Gram), Deposit: q.Of[q.Mass]{Low: 26 * q.Gram, High: 33 * q.Gram}, Likely: 29 * q.Gram}
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Float64Range(0.01, 20).Draw(t, "kg")
		count := func(kg float64) RodCount {
			got, err := RodsNeeded(q.At(q.Mass(kg)), rod)
			if err != nil {
				t.Fatal(err)
			}
			return got.Value
		}
		a, b := count(m), count(m*rapid.Float64Range(1, 2).Draw(t, "more"))
		if b.Low < a.Low || b.Likely < a.Likely || b.High < a.High || a.Low > a.Likely || a.Likely > a.High {
			t.Fatalf("%+v then %+v", a, b)
		}
	})
}

// One more credible steel never makes a rod's verdict better.
func TestMoreSteelsNeverRelax(t *testing.T) {
	all := []Group{Structural, Quenched, Wear, SteelCasting, Bar, MnSteel, Stainless, Iron, FreeMachining, Unlisted}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(label string) Base { return Base{Group: rapid.SampledFrom(all).Draw(t, label)} }
		one := Need{Steels: []Base{draw("steel")}, Weld: rapid.SampledFrom([]Weld{GrooveTension, FilletShear, Root, Butter}).Draw(t, "weld")}
		two := one
		two.Steels = []Base{draw("second"), one.Steels[0]}
		if rapid.Bool().Draw(t, "last") {
			two.Steels[0], two.Steels[1] = two.Steels[1], two.Steels[0]
		}
		c := classes[rapid.IntRange(0, len(classes)-1).Draw(t, "class")]
		if one.has(MnSteel) != two.has(MnSteel) {
			return // the manganese rules ask what else is in the joint
		}
		a, b := one.judge(c), two.judge(c)
		if b.Verdict.rank() < a.Verdict.rank() || b.Points < a.Points-1e-9 {
			t.Fatalf("%s: %s %v with one steel, %s %v with two", c.ID, a.Verdict, a.Points, b.Verdict, b.Points)
		}
	})
}
