package strength

import (
	"math"
	"testing"
)

// exampleDrawing is a 40 mm through crack in a 300 mm flange.
func exampleDrawing(tb testing.TB, draws int, seed uint64) drawing {
	tb.Helper()
	law, err := findLaw(LawInput{Law: TwoStageMean})
	if err != nil {
		tb.Fatal(err)
	}
	c, err := plainCrack("test", Through, 300, 0)
	if err != nil {
		tb.Fatal(err)
	}
	return drawing{table: c.table(20, law), law: law, lawSpread: fig("crack_law_scatter"), kSpread: fig("stress_k_cov"),
		load:     loadModel{x: math.Log(80), r: math.Log(180), vx: 0.05, vr: 0.04, cov: -0.01},
		residual: [2]float64{0, 20}, kmat: [2]float64{90 * rootMM, 130 * rootMM}, d: newDiagram(355, 490), draws: draws, seed: seed}
}

// Two seeds are two independent estimates: their quantiles must agree to 2 %.
func TestQuantilesStableBetweenSeeds(t *testing.T) {
	for _, p := range []float64{0.01, 0.05, 0.5} {
		low, high := math.Inf(1), 0.0
		for seed := range uint64(8) {
			v := exampleDrawing(t, 10000, seed).lives().quantile(p)
			low, high = math.Min(low, v), math.Max(high, v)
		}
		mid := (low + high) / 2
		if (high-mid)/mid > 0.02 {
			t.Errorf("quantile %v: %.4g to %.4g over 8 seeds, ±%.2f %%, want ±2 %%", p, low, high, 100*(high-mid)/mid)
		}
	}
}

func TestSameSeedSameAnswer(t *testing.T) {
	a, b := exampleDrawing(t, 2000, 7).lives(), exampleDrawing(t, 2000, 7).lives()
	if a.quantile(0.05) != b.quantile(0.05) {
		t.Error("the same seed gave two answers")
	}
}

// Without residual, toughness or range scatter the lives are a plain lognormal
// about the integral of the law: the closed form checks tables and quantiles.
func TestDrawnLivesAgainstClosedForm(t *testing.T) {
	g := exampleDrawing(t, 500, 1)
	g.load.vx, g.load.vr, g.load.cov, g.kSpread = 0, 0, 0, 0
	g.residual, g.kmat, g.peak = [2]float64{}, [2]float64{64.78 * rootMM, 64.78 * rootMM}, 120
	c, _ := plainCrack("test", Through, 300, 0) // known geometry
	f := fracture{crack: c, d: g.d, peak: 120, kmat: 64.78 * rootMM}
	critical, _ := f.critical()
	n := c.cycles(g.law, 80, 20, critical)
	o := g.lives()
	run(t, []check{
		{"median", o.quantile(0.5), n / 180, 2e-3},
		{"5 %", o.quantile(0.05), n / 180 * math.Exp(-z95*g.lawSpread), 2e-3},
		{"1 %", o.quantile(0.01), n / 180 * math.Exp(-z99*g.lawSpread), 2e-3},
	})
}

// The points fill the cube evenly: means and second moments of each axis.
func TestPointsAreEven(t *testing.T) {
	const n = 4000
	p := newPoints(4, 3)
	var sum, square [4]float64
	for range n {
		for j, u := range p.next() {
			sum[j] += u
			square[j] += u * u
		}
	}
	var checks []check
	for j := range sum {
		checks = append(checks, check{"mean", sum[j] / n, 0.5, 2e-3}, check{"mean square", square[j] / n, 1.0 / 3, 4e-3})
	}
	run(t, checks)
}

func BenchmarkLives10000(b *testing.B) {
	g := exampleDrawing(b, 10000, 1)
	b.ReportAllocs()
	for b.Loop() {
		h := g.lives()
		h.quantile(0.01)
		h.quantile(0.05)
		h.quantile(0.5)
	}
}
