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
	lo, hi := lowBranch.at, highBranch.at
	if !(lo(248) < hi(248) && lo(250) > hi(250)) {
		t.Errorf("branches do not meet at 249 °C: %g %g, %g %g", lo(248), hi(248), lo(250), hi(250))
	}
	for _, bad := range []q.Temperature{-41, 721, q.Temperature(math.NaN())} {
		if _, err := Diffusivity(bad); err == nil {
			t.Errorf("%v °C was accepted", bad)
		}
	}
}

// The closed form, Crank 4.3 (checks M31, M32); the tables that are worked with
// it are tested in package heat.
func TestSlab(t *testing.T) {
	fo := fast(250) * 2 * 3600 / (0.025 * 0.025)
	check(t, "Fo of 25 mm, 250 °C, 2 h", fo, .0742, 5e-5)
	check(t, "mean", SlabMean(fo), .3897, 2e-4)
	check(t, "centre", SlabCentre(fo), .6113, 2e-4)
	check(t, "Fo of 90 % mean", FourierFor(SlabMean, 0.1), .2120, 5e-5)
	check(t, "Fo of centre to 10 %", FourierFor(SlabCentre, 0.1), .2578, 5e-5)
	check(t, "Fo of 50 % mean", FourierFor(SlabMean, 0.5), .0492, 5e-5)
	check(t, "38 mm at 250 °C to a half, h", FourierFor(SlabMean, 0.5)*0.038*0.038/fast(250)/3600, 3.06, 0.01)
	// the short-time form joins the series
	check(t, "mean at the seam", SlabMean(1e-3-1e-12), SlabMean(1e-3), 1e-9)
	check(t, "centre at the seam", SlabCentre(1e-3-1e-12), SlabCentre(1e-3), 1e-9)
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
	check(t, "two temperatures, mean", float64(b.Value.EndMean().Low), SlabMean(fo), 1e-3)
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
	exact := SlabMean(fast(250) * 4 * 3600 / (0.024 * 0.024))
	a, b := at(2e-3)-exact, at(1e-3)-exact
	p := math.Log2(math.Abs(a / b))
	t.Logf("errors %.3g %.3g, order %.2f", a, b, p)
	if p < 1.8 {
		t.Errorf("observed order %.2f, want 2 or better", p)
	}
}
