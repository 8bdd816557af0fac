package strength

import (
	"math"
	"testing"
)

// Source: lognormal closed forms. One place is a plain lognormal; two alike
// without a common quantity fail as 1 - (1-p)²; two alike with everything in
// common (no scatter of their own would be needed) lie between the two.
func TestLifeOfPlacesAgainstClosedForms(t *testing.T) {
	one := []place{{name: "a", fat: 80, ratio: 1}}
	two := []place{{name: "a", fat: 80, ratio: 1}, {name: "b", fat: 80, ratio: 1}}
	bare := LoadOf(100*mpas, 0, 1, 0, false)
	own := math.Hypot(fig("sn_sd")*math.Ln10, math.Sqrt(math.Log1p(fig("miner_cov")*fig("miner_cov"))))
	median := 1.024e6 * math.Pow(10, 2*fig("sn_sd"))
	at := func(p, s float64) float64 { return median * math.Exp(-s*z(p)) }
	m1, r5, r1, _, _ := lifeOf(bare, one)
	m2, s5, s1, _, _ := lifeOf(bare, two)
	both := func(p float64) float64 { return 1 - math.Sqrt(1-p) }
	spread := LoadOf(100*mpas, 0.2, 1, 0.3, false)
	w1, v5, v1, total, _ := lifeOf(spread, one)
	_, c5, _, _, _ := lifeOf(spread, two)
	all := math.Sqrt(own*own + 9*0.04 + 0.09)
	run(t, []check{
		{"one, median", m1, median, 1e-4}, {"one, 5 %", r5, at(0.05, own), 1e-4}, {"one, 1 %", r1, at(0.01, own), 1e-4},
		{"two apart, median", m2, at(both(0.5), own), 1e-3}, {"two apart, 5 %", s5, at(both(0.05), own), 1e-3}, {"two apart, 1 %", s1, at(both(0.01), own), 1e-3},
		{"one with load scatter, total", total, all, 1e-9},
		{"one with load scatter, median", w1, median, 1e-4}, {"one with load scatter, 5 %", v5, at(0.05, all), 1e-4}, {"one with load scatter, 1 %", v1, at(0.01, all), 1e-4},
	})
	if c5 >= v5 || c5 <= at(both(0.05), all) {
		t.Errorf("two with a common load: %v, want between %v (apart) and %v (one)", c5, at(both(0.05), all), v5)
	}
}

// z is the point below which all but a share p of a normal quantity lies.
func z(p float64) float64 { return math.Sqrt2 * math.Erfcinv(2*p) }

// The coarse rule of the common quantities against one ten times finer.
func TestCommonQuantitiesAreIntegratedWell(t *testing.T) {
	places := []place{{name: "weld", fat: 112, ratio: 0.7}, {name: "end", fat: 50, ratio: 0.6}, {name: "shear", fat: 80, ratio: 0.5, shear: true}}
	load := LoadOf(100*mpas, 0.4, 100, 1.2, false)
	a := newSpots(load.models[0], load, places)
	fine := a
	fine.nodes, fine.weight = nil, nil
	for z := -7.0; z <= 7; z += nodeStep / 10 {
		fine.nodes, fine.weight = append(fine.nodes, z), append(fine.weight, nodeStep/10*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi))
	}
	for _, p := range []float64{0.01, 0.05, 0.5} {
		if g, w := a.quantile(p), fine.quantile(p); math.Abs(g/w-1) > 1e-3 {
			t.Errorf("quantile %v: %v against %v", p, g, w)
		}
	}
	// both common quantities by brute force, as they stand in the formula
	m := load.models[0]
	own := math.Hypot(fig("sn_sd")*math.Ln10, math.Sqrt(math.Log1p(fig("miner_cov")*fig("miner_cov"))))
	brute := func(logT float64) float64 {
		var sum float64
		const step = 0.1
		for x := -6.0; x <= 6; x += step {
			for r := -6.0; r <= 6; r += step {
				alive := 1.0
				for _, p := range places {
					slope, factor := m.m, m.factor
					if p.shear {
						slope, factor = 5, math.Pow(10, 2*fig("sn_sd")/5)
					}
					mean := math.Log(2e6) + slope*(math.Log(p.fat*factor/p.ratio)-m.x-x*math.Sqrt(m.vx)) - m.r - r*math.Sqrt(m.vr)
					alive *= normalCDF((mean - logT) / own)
				}
				sum += step * step / (2 * math.Pi) * math.Exp(-(x*x+r*r)/2) * (1 - alive)
			}
		}
		return sum
	}
	for _, p := range []float64{0.01, 0.05, 0.5} {
		if got := brute(math.Log(a.quantile(p))); math.Abs(got/p-1) > 2e-3 {
			t.Errorf("at the %v quantile %v have cracked by brute force", p, got)
		}
	}
}
