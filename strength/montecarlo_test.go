package strength

import (
	"fmt"
	"math"
	"testing"
)

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
	return drawing{table: c.table(20, law), law: law, lawSpread: 0.555, kSpread: 0.2,
		load:     loadModel{x: math.Log(80), r: math.Log(180), vx: 0.05, vr: 0.04, cov: -0.01},
		residual: [2]float64{0, 20}, kmat: [2]float64{90 * rootMM, 130 * rootMM}, d: newDiagram(355, 490), draws: draws, seed: seed}
}

func TestSeedStability(t *testing.T) {
	for _, n := range []int{2000, 10000} {
		for seed := range uint64(6) {
			h := exampleDrawing(t, n, seed).lives()
			fmt.Println(n, seed, h.quantile(.01), h.quantile(.05), h.quantile(.5))
		}
	}
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
