package strength

import (
	"math"
	"testing"

	q "soundmetal/quantity"
)

// Sources: Feddersen (through), Brown and Srawley and Tada (edge), Grandt and
// Newman (hole); values evaluated independently. Checks K1, K2.
func TestPublishedPlainCracks(t *testing.T) {
	k := func(g Geometry, a, width, radius, s float64) float64 {
		return kMM(must(StressIntensity(SIFInput{g, millis(a), millis(width), millis(radius), mpa(s)})))
	}
	checks := []check{
		{"K1 centre crack", k(Through, 25, 200, 0, 100), 922.0, 1e-3},
		{"K2 edge 0.3", yEdge(0.3, 1), 1.660, 1e-3},
		{"K2 edge 0.5", yEdge(0.5, 1), 2.826, 1e-3},
		{"one crack at a hole, short: 3 × 1.12", yHoleOne(1e-9, 1), 3.36, 5e-3},
		{"two cracks at a hole, short: 3 × 1.12", yHoleBoth(1e-9, 1), 3.36, 5e-3},
		{"two cracks at a hole, long: a through crack", yHoleBoth(1e9, 1), 1, 1e-6},
		{"one crack at a hole, long: half a through crack", yHoleOne(1e9, 1), math.Sqrt(0.5), 0.05}, // ±5 % fit
	}
	for i, want := range []float64{1.184, 1.371, 1.660, 2.104, 2.826, 4.026} {
		a := 0.1 * float64(i+1)
		checks = append(checks, check{"edge in tension " + num(a), yEdge(a, 1), want, 1e-3},
			check{"edge in tension, Tada " + num(a), yEdgeTada(a, 1), want, 0.011}) // the two agree within 1.1 %
	}
	for i, want := range []float64{1.044, 1.053, 1.122, 1.256, 1.495, 1.910} {
		a := 0.1 * float64(i+1)
		checks = append(checks, check{"edge in bending " + num(a), yEdgeBending(a, 1), want, 1e-3})
	}
	run(t, checks)
}

// Source: NASA TM-85793; K5 also from an independent published check of public
// code. Checks K3 to K6 and the worked table.
func TestPublishedSurfaceCracks(t *testing.T) {
	k := func(a, c, thick, b, phi, m, bend float64) float64 {
		return kMM(must(SurfaceIntensity(SurfaceInput{millis(a), millis(c), millis(thick), millis(b), q.Angle(phi) * q.Degree, mpa(m), mpa(bend)})))
	}
	wide := 1e5
	checks := []check{
		{"K3 deepest", k(5, 10, 20, 100, 90, 100, 0), 370.2, 1e-3},
		{"K3 surface", k(5, 10, 20, 100, 0, 100, 0), 293.6, 1e-3},
		{"K3 deepest in MPa√m", k(5, 10, 20, 100, 90, 100, 0) / rootMM, 11.71, 1e-3},
		{"K4 bending, deepest", k(5, 10, 20, 100, 90, 0, 100), 253.8, 1e-3},
		{"K4 bending, surface", k(5, 10, 20, 100, 0, 0, 100), 264.7, 1e-3},
		{"K5 deepest", k(2, 4, 10, wide, 90, 100, 0) / rootMM, 7.2896, 1e-4},
		{"K5 surface", k(2, 4, 10, wide, 0, 100, 0) / rootMM, 5.7422, 1e-4},
	}
	n := newmanRaju(1e-6, 1e-6, 1, wide, math.Pi/2)
	checks = append(checks, check{"K6 F", n.f, 1.04, 1e-3}, check{"K6 Y", n.f / math.Sqrt(n.q), 0.6625, 1e-3})
	for _, r := range []struct{ a, c, k90, k0, f90, f0, q float64 }{
		{5, 10, 370.2, 293.6, 1.1310, 0.8972, 1.4665},
		{4, 16, 386.2, 215.1, 1.1677, 0.6504, 1.1486},
		{12, 15, 506.0, 554.8, 1.1692, 1.2821, 2.0131},
		{6, 4, 225.6, 309.8, 0.6874, 0.9438, 1.7499},
	} {
		deep, tip := newmanRaju(r.a, r.c, 20, 100, math.Pi/2), newmanRaju(r.a, r.c, 20, 100, 0)
		name := "a " + num(r.a) + " c " + num(r.c)
		checks = append(checks, check{name + " K90", k(r.a, r.c, 20, 100, 90, 100, 0), r.k90, 1e-3},
			check{name + " K0", k(r.a, r.c, 20, 100, 0, 100, 0), r.k0, 1e-3},
			check{name + " F90", deep.f, r.f90, 1e-3}, check{name + " F0", tip.f, r.f0, 1e-3}, check{name + " Q", deep.q, r.q, 1e-3})
	}
	run(t, checks)
}

// Source: corner crack equations (from memory) evaluated independently.
func TestPublishedCornerCrack(t *testing.T) {
	var checks []check
	for _, r := range []struct{ phi, want float64 }{{0, 1.186}, {45, 1.078}, {90, 1.169}} {
		// fw is about 1.01 in the worked values and 1 in a wide plate here: see the plate of 100 mm
		checks = append(checks, check{"F at " + num(r.phi), cornerFactor(5, 5, 20, 100, r.phi*math.Pi/180).f, r.want, 5e-3})
	}
	run(t, checks)
}

// Source: JCSS fatigue models (form of PD 6493). Check K7 and the worked rows.
func TestPublishedToeFactor(t *testing.T) {
	var checks []check
	for _, r := range []struct {
		lt   float64
		want [4]float64
	}{{1, [4]float64{2.126, 1.291, 1.172, 1.057}}, {3, [4]float64{2.564, 1.557, 1.316, 1.145}}} {
		for i, z := range []float64{0.01, 0.05, 0.1, 0.2} {
			got := float64(must(ToeFactor(millis(20*z), 20*mm, millis(20*r.lt), false)))
			checks = append(checks, check{"Mk L/t " + num(r.lt) + " z " + num(z), got, r.want[i], 1e-3})
		}
	}
	run(t, checks)
}

// Source: BS 7910 growth constants; change points recomputed. Check G5.
func TestPublishedChangePoints(t *testing.T) {
	var checks []check
	for _, r := range []struct {
		name           string
		marine, low    bool
		mean, upper2sd float64
	}{{"air R<0.5", false, true, 363, 315}, {"air R≥0.5", false, false, 196, 144},
		{"marine R<0.5", true, true, 1336, 993}, {"marine R≥0.5", true, false, 1098, 748}} {
		mean, err := findLaw(LawInput{TwoStageMean, r.marine, r.low})
		if err != nil {
			t.Fatal(err)
		}
		upper, _ := findLaw(LawInput{TwoStage2SD, r.marine, r.low})
		tolerance := 1 / r.mean
		if r.name == "marine R<0.5" {
			tolerance = 0.01 // printed 1336; its own A and m, rounded as printed, give 1326
		}
		checks = append(checks, check{r.name + " mean", mean.change(), r.mean, tolerance}, check{r.name + " +2SD", upper.change(), r.upper2sd, 1 / r.upper2sd})
	}
	simple, _ := findLaw(LawInput{Law: Simple})
	air, _ := findLaw(LawInput{Law: TwoStageMean})
	low, _ := findLaw(LawInput{Law: TwoStageMean, LowRatio: true})
	checks = append(checks, check{"one-line law in MPa√m and mm", simple.a2 * math.Pow(rootMM, 3), 1.6475e-8, 1e-3},
		check{"scatter of ln A, R≥0.5", air.spread2, 0.39, 0.02}, check{"scatter of ln A, R<0.5", low.spread2, 0.27, 0.02})
	run(t, checks)
}

// Sources: closed form of the Paris law; BS 7910 constants; integrals evaluated
// independently. Checks G1 to G4.
func TestPublishedGrowth(t *testing.T) {
	n := func(g Geometry, a1, a2, width, ds float64, law Law, marine, low bool) float64 {
		return float64(must(CrackGrowth(GrowthInput{Geometry: g, A1: millis(a1), A2: millis(a2), Width: millis(width), Range: mpa(ds), Law: LawInput{law, marine, low}})))
	}
	// closed form with Y = 1 is the through crack in a plate without end
	closed := (math.Pow(25, -0.5) - math.Pow(5, -0.5)) / (5.21e-13 * math.Pow(80*math.Sqrt(math.Pi), 3) * -0.5)
	run(t, []check{
		{"G1 closed form", closed, 332866, 1e-4},
		{"G1 wide plate", n(Through, 5, 25, 1e6, 80, Simple, false, false), 332866, 1e-4},
		{"G2 √sec W 200", n(Through, 5, 25, 200, 80, Simple, false, false), 323554, 5e-4},
		{"G3 two-stage mean", n(Through, 5, 25, 200, 80, TwoStageMean, false, false), 5.992e5, 1e-3},
		{"G3 two-stage +2SD", n(Through, 5, 25, 200, 80, TwoStage2SD, false, false), 2.722e5, 1e-3},
		{"two-stage R<0.5 mean", n(Through, 5, 25, 200, 80, TwoStageMean, false, true), 9.736e5, 1e-3},
		{"two-stage R<0.5 +2SD", n(Through, 5, 25, 200, 80, TwoStage2SD, false, true), 5.187e5, 1e-3},
		{"marine mean", n(Through, 5, 25, 200, 80, TwoStageMean, true, false), 2.422e5, 1e-3},
		{"marine +2SD", n(Through, 5, 25, 200, 80, TwoStage2SD, true, false), 7.56e4, 1e-3},
		{"G4 edge", n(Edge, 5, 40, 200, 60, Simple, false, false), 595423, 1e-3},
		{"edge two-stage mean", n(Edge, 5, 40, 200, 60, TwoStageMean, false, false), 1.090e6, 1e-3},
		{"edge two-stage +2SD", n(Edge, 5, 40, 200, 60, TwoStage2SD, false, false), 4.951e5, 1e-3},
	})
}

// Source: Newman-Raju with the BS 7910 one-line law, marched independently. Check G6.
func TestPublishedSurfaceGrowth(t *testing.T) {
	march := func(a, c, foot float64, law Law) SurfaceEnd {
		return must(SurfaceGrowth(SurfaceGrowthInput{A: millis(a), C: millis(c), To: 16 * mm, Thickness: 20 * mm, HalfWidth: 150 * mm,
			Footprint: millis(foot), Membrane: 100 * mpas, Law: LawInput{Law: law}}))
	}
	plain, toe, upper := march(2, 4, 0, Simple), march(0.5, 2, 20, Simple), march(0.5, 2, 20, TwoStage2SD)
	run(t, []check{
		{"G6 cycles", float64(plain.Cycles), 6.08e5, 1e-2},
		{"G6 half length", plain.Half.MM(), 20.6, 1e-2},
		{"weld toe, cycles", float64(toe.Cycles), 4.45e5, 1e-2},
		{"weld toe, half length", toe.Half.MM(), 56.1, 1e-2},
		{"weld toe, two-stage +2SD", float64(upper.Cycles), 3.6e5, 1e-2},
	})
}

// Source: BS 7910:2013 7.3.3 option 1. Check F1.
func TestPublishedFAD(t *testing.T) {
	f := func(lr float64) float64 { return float64(must(FADLimit(lr, 355*mpas, 490*mpas))) }
	run(t, []check{
		{"0.2", f(0.2), 0.990, 1e-3}, {"0.4", f(0.4), 0.961, 1e-3}, {"0.6", f(0.6), 0.903, 1e-3},
		{"F1 0.8", f(0.8), 0.7844, 1e-3}, {"F1 1.0", f(1), 0.5649, 1e-3}, {"F1 1.1", f(1.1), 0.3328, 1e-3}, {"1.15", f(1.15), 0.260, 2e-3},
		{"Lr,max", newDiagram(355, 490).most, 1.190, 1e-3},
	})
	if _, err := FADLimit(1.2, 355*mpas, 490*mpas); err == nil {
		t.Error("Lr beyond the cut-off gave a limit")
	}
}

// Source: BS 7910 annex J family. Checks F2, F3.
func TestPublishedToughness(t *testing.T) {
	charpy := func(cv, b float64) float64 { return float64(must(CharpyToughness(q.Energy(cv), millis(b))) / rootMPa) }
	master := func(temp, p float64, shift q.TempDiff) float64 {
		return float64(must(MasterCurve(MasterInput{q.Temperature(temp), -20, 20 * mm, p, shift})) / rootMPa)
	}
	run(t, []check{
		{"F2 27 J, 20 mm", charpy(27, 20), 64.78, 1e-3}, {"40 J, 20 mm", charpy(40, 20), 79.1, 1e-3}, {"27 J, 12 mm", charpy(27, 12), 70.9, 1e-3},
		{"at -20", master(-20, 0.05, 3), 62.1, 2e-3}, {"F3 at 0", master(0, 0.05, 3), 79.1, 2e-3}, {"at 20", master(20, 0.05, 3), 103.8, 2e-3},
		{"median at -20", master(-20, 0.5, -18), 135, 5e-3}, {"median at 0", master(0, 0.5, -18), 184, 5e-3}, {"median at 20", master(20, 0.5, -18), 254, 5e-3},
	})
}

// Source: BS 7910:2013 7.3.3, solved independently. Checks F4, F5.
func TestPublishedCriticalSize(t *testing.T) {
	ac := func(peak, residual, kmat float64) float64 {
		return must(CriticalSize(FractureInput{Geometry: Through, Width: 300 * mm, Peak: mpa(peak), Residual: mpa(residual),
			Toughness: q.StressIntensity(kmat) * rootMPa, Yield: 355 * mpas, Tensile: 490 * mpas})).MM()
	}
	var checks []check
	for _, r := range []struct{ kmat, none, some, full float64 }{{40, 19.6, 7.3, 1.8}, {60, 39.06, 16.1, 4.1}, {100, 68.5, 39.1, 11.1}, {200, 87.9, 76.1, 38.5}} {
		name := "Kmat " + num(r.kmat)
		checks = append(checks, check{name, ac(150, 0, r.kmat), r.none, 5e-3}, check{name + ", residual 100", ac(150, 100, r.kmat), r.some, 7e-3},
			check{name + ", residual 355", ac(150, 355, r.kmat), r.full, 0.02}) // printed to two figures
	}
	kmat := float64(must(CharpyToughness(27, 20*mm)) / rootMPa)
	for _, r := range []struct{ residual, ac, n float64 }{{0, 61.8, 1.05e5}, {60, 34.9, 6.15e4}, {120, 21.0, 5.9e3}} {
		a := ac(120, r.residual, kmat)
		n := float64(must(CrackGrowth(GrowthInput{Geometry: Through, A1: 20 * mm, A2: millis(a), Width: 300 * mm, Range: 80 * mpas, Law: LawInput{Law: TwoStage2SD}})))
		checks = append(checks, check{"F5 critical at residual " + num(r.residual), a, r.ac, 1e-2}, check{"F5 cycles at residual " + num(r.residual), n, r.n, 1e-2})
	}
	now := must(Fracture(FractureInput{Geometry: Through, A: 20 * mm, Width: 300 * mm, Peak: 120 * mpas, Residual: 60 * mpas,
		Toughness: q.StressIntensity(kmat) * rootMPa, Yield: 355 * mpas, Tensile: 490 * mpas}))
	checks = append(checks, check{"Lr today", now.Lr, 0.39, 5e-3}, check{"Kr today", now.Kr, 0.704, 2e-3}, check{"limit today", now.Limit, 0.963, 2e-3},
		check{"fracture alone at 60 and 150 is too long", math.Pow(60/150.0, 2) / math.Pi * 1000, 50.9, 1e-3})
	run(t, checks)
}

// yEdgeTada is Tada's form of the edge crack for all α, a check on yEdge.
func yEdgeTada(a, w float64) float64 {
	x := math.Pi * a / w / 2
	return math.Sqrt(math.Tan(x)/x) * (0.752 + 2.02*a/w + 0.37*math.Pow(1-math.Sin(x), 3)) / math.Cos(x)
}
