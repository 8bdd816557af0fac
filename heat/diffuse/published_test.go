package diffuse

import (
	"context"
	"math"
	"testing"

	q "soundmetal/quantity"
)

func check(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if diff := got - want; math.Abs(diff) > tol || math.IsNaN(got) {
		t.Errorf("%s: got %.5g, want %.5g ± %.2g, difference %.2g", name, got, want, tol, diff)
	} else {
		t.Logf("%s: got %.5g, want %.5g ± %.2g, difference %.2g", name, got, want, tol, diff)
	}
}

// Johnson and Hill's diffusivity (check M30 and its table; values computed from
// the formula, which is from memory).
func TestDiffusivity(t *testing.T) {
	for _, r := range []struct{ t, d float64 }{
		{20, 1.773e-11}, {50, 6.17e-11}, {100, 3.153e-10}, {150, 1.096e-9}, {200, 2.930e-9}, {250, 6.445e-9}, {300, 8.430e-9},
	} {
		d, err := Diffusivity(q.Temperature(r.t))
		if err != nil {
			t.Fatal(err)
		}
		check(t, "D", float64(d.Value.High), r.d, 0.01*r.d)
		check(t, "slow side", float64(d.Value.Low), r.d/5, 0.01*r.d/5)
	}
	// the branches meet at 249 °C
	lo := func(t float64) float64 { return lowBranch.d0 * math.Exp(-lowBranch.q/gasConstant/(t+273.15)) }
	hi := func(t float64) float64 { return highBranch.d0 * math.Exp(-highBranch.q/gasConstant/(t+273.15)) }
	if !(lo(248) < hi(248) && lo(250) > hi(250)) {
		t.Errorf("branches do not meet at 249 °C: %g %g, %g %g", lo(248), hi(248), lo(250), hi(250))
	}
	for _, bad := range []q.Temperature{-41, 721, q.Temperature(math.NaN())} {
		if _, err := Diffusivity(bad); err == nil {
			t.Errorf("%v °C was accepted", bad)
		}
	}
}

// The slab of Crank 4.3: the worked table of the metallurgy facts, section 8
// (checks M31, M32), with the slow side beside it.
func TestSlabTable(t *testing.T) {
	for _, r := range []struct{ temp, h, mm, fo, mean, centre, slow float64 }{
		{200, 1, 25, .0169, .7068, .9870, .8689},
		{230, 1, 25, .0277, .6244, .9327, .8320},
		{250, 2, 25, .0742, .3897, .6113, .7250},
		{300, 2, 50, .0243, .6484, .9535, .8427},
		{20, 48, 12, .0213, .6708, .9693, .8528},
	} {
		l, err := Slab(q.Length(r.mm)*q.Millimetre, q.Temperature(r.temp), q.Time(r.h)*q.Hour, false)
		if err != nil {
			t.Fatal(err)
		}
		check(t, "Fo", l.Basis.Steps[1].Value, r.fo, 5e-5)
		check(t, "mean", float64(l.Value.Mean.Low), r.mean, 2e-4)
		check(t, "centre", float64(l.Value.Centre.Low), r.centre, 2e-4)
		check(t, "mean, D/5", float64(l.Value.Mean.High), r.slow, 2e-4)
	}
	check(t, "Fo of 90 % mean", fourier(Mean, 0.1), .2120, 5e-5)
	check(t, "Fo of centre to 10 %", fourier(Centre, 0.1), .2578, 5e-5)
	check(t, "Fo of 50 % mean", fourier(Mean, 0.5), .0492, 1e-4)
	// the short-time form joins the series
	check(t, "mean at Fo 0.01", float64(Mean(0.00999999)), float64(Mean(0.01000001)), 1e-5)
	check(t, "centre at Fo 0.005", float64(Centre(0.00500001)), 1, 1e-5)
	sealed, _ := Slab(0.0125, 250, 2*q.Hour, true)
	check(t, "one face sealed is twice as thick", float64(sealed.Value.Mean.Low), .3897, 2e-4)
}

// Hours until nine tenths are gone (metallurgy facts, section 8).
func TestHoursForNineTenths(t *testing.T) {
	temps := []q.Temperature{150, 200, 250, 300}
	for _, r := range []struct {
		mm    float64
		hours [4]float64
	}{{12, [4]float64{7.7, 2.9, 1.3, 1.0}}, {25, [4]float64{33.6, 12.6, 5.7, 4.4}}, {50, [4]float64{134, 50, 23, 17.5}}} {
		for i, want := range r.hours {
			got, err := TimeToMean(q.Length(r.mm)*q.Millimetre, temps[i], 0.1, false)
			if err != nil {
				t.Fatal(err)
			}
			check(t, "hours", got.Value.Low.Hours(), want, 0.012*want+0.04)
			check(t, "slow side", got.Value.High.Hours(), 5*got.Value.Low.Hours(), 1e-6*want)
		}
	}
	// 38 mm at 250 °C, half the mean: 3.06 h
	got, err := TimeToMean(0.038, 250, 0.5, false)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "38 mm at 250 °C to a half, h", got.Value.Low.Hours(), 3.06, 0.01)
}

// The finite volumes against the closed form: a slab, and the bar 25 × 40 mm at
// 250 °C for 2 h (mean .2399, centre .5650: product of two slabs).
func TestFiniteVolumesAgainstClosedForm(t *testing.T) {
	steady := func(temp q.Temperature) Temperature {
		u, err := Uniform([]q.Time{0}, []q.Temperature{temp})
		if err != nil {
			t.Fatal(err)
		}
		return u
	}
	plate, err := Plate(25*q.Millimetre, 0.5*q.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct{ temp, h, mean, centre float64 }{{200, 1, .7068, .9870}, {230, 1, .6244, .9327}, {250, 2, .3897, .6113}} {
		b, err := Run(context.Background(), Case{plate, steady(q.Temperature(r.temp)), q.Time(r.h) * q.Hour})
		if err != nil {
			t.Fatal(err)
		}
		check(t, "slab mean", float64(b.Value.EndMean().Low), r.mean, 1e-3)
		check(t, "slab peak", float64(b.Value.EndPeak().Low), r.centre, 1e-3)
	}
	bar, err := Bar(25*q.Millimetre, 40*q.Millimetre, 0.5*q.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Run(context.Background(), Case{bar, steady(250), 2 * q.Hour})
	if err != nil {
		t.Fatal(err)
	}
	check(t, "bar mean", float64(b.Value.EndMean().Low), .2399, 1e-3)
	check(t, "bar peak", float64(b.Value.EndPeak().Low), .5650, 1e-3)
	check(t, "bar peak at y, mm", b.Value.Fast.PeakY.MM(), 12.5, 0.3)
	check(t, "bar peak at z, mm", b.Value.Fast.PeakZ.MM(), 20, 0.3)

	// post-heat from an even start is the same slab: centre to 10 % at Fo 0.2578
	p, err := PostHeat(context.Background(), Case{Shape: plate}, 250, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	want := .2578 * 0.025 * 0.025 / 6.445e-9 / 3600
	check(t, "post-heat to 10 % of the peak, h", p.Value.Low.Hours(), want, 0.005*want)

	// steps of temperature add up as D·Δt (metallurgy facts, section 8)
	u, err := Uniform([]q.Time{0, 3600, 3600, 10800}, []q.Temperature{250, 250, 150, 150})
	if err != nil {
		t.Fatal(err)
	}
	b, err = Run(context.Background(), Case{plate, u, 10800})
	if err != nil {
		t.Fatal(err)
	}
	fo := (fast(250)*3600 + fast(150)*7200) / (0.025 * 0.025)
	check(t, "two temperatures, mean", float64(b.Value.EndMean().Low), float64(Mean(q.Ratio(fo))), 1e-3)
}

// Second order in the cell or better: the step shortens with the square of the
// cell, so that both errors fall together.
func TestOrderOfConvergence(t *testing.T) {
	at := func(cell float64) float64 {
		p, err := Plate(0.024, q.Length(cell))
		if err != nil {
			t.Fatal(err)
		}
		u, _ := Uniform([]q.Time{0}, []q.Temperature{250})
		b, err := Run(context.Background(), Case{p, u, 4 * q.Hour})
		if err != nil {
			t.Fatal(err)
		}
		return float64(b.Value.EndMean().Low)
	}
	exact := float64(Mean(q.Ratio(fast(250) * 4 * 3600 / (0.024 * 0.024))))
	a, b := at(2e-3)-exact, at(1e-3)-exact
	p := math.Log2(math.Abs(a / b))
	t.Logf("errors %.3g %.3g, order %.2f", a, b, p)
	if p < 1.8 {
		t.Errorf("observed order %.2f, want 2 or better", p)
	}
}
