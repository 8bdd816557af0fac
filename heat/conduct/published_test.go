package conduct

import (
	"math"
	"testing"

	q "soundmetal/quantity"
)

// Carslaw, Jaeger: Conduction of heat in solids, 2nd ed., 2.9: semi-infinite
// solid, constant flux at the surface (check T-1). Reference steel, 20 °C, 2e5 W/m².
func TestSemiInfiniteConstantFlux(t *testing.T) {
	for _, r := range []struct {
		name     string
		depth, s float64
		want     float64 // °C
	}{
		{"surface after 60 s", 0, 60, 142.36},
		{"10 mm after 60 s", 0.010, 60, 98.81},
		{"25 mm after 60 s", 0.025, 60, 55.90},
		{"surface after 300 s", 0, 300, 293.61},
	} {
		c := bar(0.4, refSteel, 20, []Surface{{Where: Side(ZHigh), Flux: 2e5}}, 0.4-r.depth)
		c.Events = []Event{wait(r.s)}
		h := mustRun(t, c, even(1e-3, 0.5))
		check(t, r.name, float64(h.Final[0]), r.want, 0.1)
	}
}

// Carslaw, Jaeger 2.4: semi-infinite solid, surface step 20 to 100 °C.
func TestSemiInfiniteSurfaceStep(t *testing.T) {
	c := bar(0.2, refSteel, 20, []Surface{{Where: Side(ZHigh), Film: Film(math.Inf(1)), Air: 100}}, 0.19)
	c.Events = []Event{wait(30)}
	h := mustRun(t, c, even(1e-3, 0.1))
	check(t, "10 mm after 30 s", float64(h.Final[0]), 71.58, 0.05)
}

// Carslaw, Jaeger 3.8: slab of 25 mm, flux on one face, the other insulated
// (check T-2): the torch on a plate.
func TestSlabFlux(t *testing.T) {
	for _, r := range []struct {
		name       string
		s          float64
		face, back float64
	}{
		{"20 s", 20, 90.89, 32.65},
		{"60 s", 60, 155.72, 93.25},
	} {
		c := bar(0.025, refSteel, 20, []Surface{{Where: Side(ZHigh), Flux: 2e5}}, 0.025, 0)
		c.Events = []Event{wait(r.s)}
		h := mustRun(t, c, even(1e-3, 0.25))
		check(t, r.name+" flamed face", float64(h.Final[0]), r.face, 0.15)
		check(t, r.name+" far face", float64(h.Final[1]), r.back, 0.15)
	}
}

// Carslaw, Jaeger 3.11: slab cooled on both faces, θ of the middle and the
// surface by Biot and Fourier number of the half thickness.
func TestSlabConvection(t *testing.T) {
	for _, r := range []struct {
		name            string
		bi, fo          float64
		middle, surface float64
	}{
		{"Bi 1 Fo 0.5", 1, 0.5, .77253, .50452},
		{"Bi 1 Fo 1", 1, 1, .53386, .34818},
		{"Bi 0.1 Fo 5", 0.1, 5, .62638, .59632},
	} {
		const half = 0.02
		film := Film(r.bi * 40 / half)
		c := bar(half, refSteel, 1000, []Surface{{Where: Side(ZHigh), Film: film, Air: 0}}, 0, half)
		c.Events = []Event{wait(r.fo * half * half / refAlpha)}
		h := mustRun(t, c, even(half/40, 0.1))
		check(t, r.name+" middle", float64(h.Final[0])/1000, r.middle, 2e-4)
		check(t, r.name+" surface", float64(h.Final[1])/1000, r.surface, 2e-4)
	}
}

// Lumped plate of 20 mm, film 25 W/m²K on both faces, 200 °C in air of 20 °C,
// 600 s: exp(−2ht/ρcL) (check T-6). Biot number 0.006.
func TestLumpedCooling(t *testing.T) {
	c := bar(0.02, Uniform(4e4, 7850, 650), 200, // conducts so well that it is lumped
		[]Surface{{Where: Side(ZHigh), Film: 25, Air: 20}, {Where: Side(ZLow), Film: 25, Air: 20}}, 0.01)
	c.Events = []Event{wait(600)}
	h := mustRun(t, c, even(2e-3, 5))
	check(t, "middle after 600 s", float64(h.Final[0]), 154.15, 0.02)
}

// Fin 20 × 20 × 200 mm, film 25 W/m²K, base 200 °C, air 20 °C (check T-6;
// cosh form with a convective tip, Carslaw, Jaeger 4.5). The fin formula takes
// the temperature as even across; the middle of a side is 0.5 K below the axis.
func TestFin(t *testing.T) {
	c := Case{
		Body:  Body{Solid: []Box{{At(0, 0, 0), At(0.2, 0.01, 0.01)}}, HalfY: true, Insulated: []Face{ZLow}},
		Steel: refSteel, Start: 20, Env: Environment{Air: 20},
		Surfaces: []Surface{
			{Where: Side(XLow), Film: Film(math.Inf(1)), Air: 200},
			{Where: Side(Every), Film: 25, Air: 20},
		},
		Probes: []Probe{{"50", MM(50, 5, 5)}, {"100", MM(100, 5, 5)}, {"200", MM(200, 5, 5)}},
		Events: []Event{wait(30000)},
	}
	h := mustRun(t, c, Options{Along: 4e-3, Across: 2.5e-3, Through: 2.5e-3, Growth: -1, Least: 1, LongestStep: 200})
	for i, want := range []float64{125.06, 83.82, 56.07} {
		check(t, h.Probes[i].Name+" mm", float64(h.Final[i]), want, 0.2)
	}
}

// NAFEMS benchmark T2: conduction with a radiating end, target 927 K (check T-8).
func TestNAFEMST2(t *testing.T) {
	steel := Uniform(55.563, 7850, 460)
	c := bar(0.1, steel, 1000-kelvin, []Surface{
		{Where: Side(ZLow), Film: Film(math.Inf(1)), Air: 1000 - kelvin},
		{Where: Side(ZHigh), Emissivity: 0.98, Air: 300 - kelvin},
	}, 0.1)
	c.Events = []Event{wait(20000)}
	h := mustRun(t, c, even(5e-3, 50))
	check(t, "radiating end, K", float64(h.Final[0])+kelvin, 927.0, 0.5)
}

// NAFEMS benchmark T3: transient conduction, one end 100·sin(πt/40) °C, target
// 36.60 °C at x = 80 mm, t = 32 s (check T-7).
func TestNAFEMST3(t *testing.T) {
	steel := Uniform(35, 7200, 440.5)
	c := bar(0.1, steel, 0, []Surface{
		{Where: Side(ZLow), Film: Film(math.Inf(1)), Air: 0},
		{Where: Side(ZHigh), Film: Film(math.Inf(1)), AirAt: func(s q.Time) q.Temperature {
			return q.Temperature(100 * math.Sin(math.Pi*float64(s)/40))
		}},
	}, 0.08)
	c.Events = []Event{wait(32)}
	h := mustRun(t, c, even(1e-3, 0.1))
	check(t, "T at 80 mm, 32 s", float64(h.Final[0]), 36.60, 0.02)
}

// NAFEMS benchmark T4: two-dimensional plate 0.6 × 1.0 m with convection,
// target 18.25 °C at (0.6, 0.2) (check T-9). The jump of the boundary condition
// at the lower right corner makes every method converge slowly there.
func TestNAFEMST4(t *testing.T) {
	c := Case{
		Body:  Body{Solid: []Box{{At(0, 0, 0), At(0.1, 0.6, 1)}}, HalfY: true, Insulated: []Face{XLow, XHigh}},
		Steel: Uniform(52, 7850, 460), Start: 0, Env: Environment{},
		Surfaces: []Surface{
			{Where: Side(ZLow), Film: Film(math.Inf(1)), Air: 100},
			{Where: Side(YHigh), Film: 750, Air: 0},
			{Where: Side(ZHigh), Film: 750, Air: 0},
		},
		Probes: []Probe{{"E", MM(50, 600, 200)}},
		Events: []Event{wait(200000)},
	}
	h := mustRun(t, c, Options{Along: 1, Across: 10e-3, Through: 10e-3, Growth: -1, Least: 1, LongestStep: 500, ArcStep: 5})
	check(t, "T at E", float64(h.Final[0]), 18.25, 0.10)
}

// Stefan's one-phase problem (Carslaw, Jaeger 11.2): melting from a hot wall,
// front at 2λ√(αt), λ·exp(λ²)·erf(λ) = Ste/√π. The latent heat is spread over
// half a kelvin: the peak of the specific heat, sharper than any steel's.
func TestStefanFront(t *testing.T) {
	for _, r := range []struct {
		name   string
		ste, l float64
	}{{"Ste 0.5", 0.5, .46479}, {"Ste 1", 1, .62006}, {"Ste 2", 2, .80060}} {
		const cp, k, rho, tm, spread, wall = 500.0, 40.0, 7800.0, 100.0, 0.5, 200.0
		latent := cp * (wall - tm) / r.ste
		peak := cp + latent/spread
		steel, err := FromTable("melts at 100 °C", rho, []Property{
			{tm, k, cp}, {tm + 0.001, k, SpecificHeat(peak)}, {tm + spread, k, SpecificHeat(peak)}, {tm + spread + 0.001, k, cp}})
		if err != nil {
			t.Fatal(err)
		}
		alpha := k / rho / cp
		const length, front = 0.1, 0.05
		time := math.Pow(front/(2*r.l), 2) / alpha
		// the heat stored tells the front: latent·ρ·s + sensible part ρcΔT·s·(…)
		c := bar(length, steel, tm, []Surface{{Where: Side(ZLow), Film: Film(math.Inf(1)), Air: wall}}, front, front/2)
		c.Events = []Event{wait(time)}
		h := mustRun(t, c, even(0.5e-3, 0.2))
		want := wall - (wall-tm)*math.Erf(r.l/2)/math.Erf(r.l)
		check(t, r.name+" half-way to the front", float64(h.Final[1]), want, 1.0)
		// flux through the wall integrated: 2k(wall−tm)√(t/πα)/erf λ
		sum := 2 * k * (wall - tm) * math.Sqrt(time/(math.Pi*alpha)) / math.Erf(r.l) * 0.01 * 0.01
		check(t, r.name+" heat taken up, J", float64(h.Ledger.Stored), sum, 0.01*sum)
	}
}

// EN 1993-1-2 3.4.1 (checks M33, M34) and the enthalpy column of the facts.
func TestProperties(t *testing.T) {
	for _, r := range []struct {
		t, c, k, strain float64
	}{
		{20, 439.80, 53.33, 0}, {200, 529.76, 47.34, 2.318e-3}, {400, 605.88, 40.68, 5.198e-3},
		{600, 760.2, 34.02, 8.398e-3}, {735, 5000, 29.52, 1.0739e-2}, {800, 803.26, 27.30, 1.1e-2},
	} {
		p, err := Properties(q.Temperature(r.t))
		if err != nil {
			t.Fatal(err)
		}
		name := q.Temperature(r.t)
		check(t, "c at "+num(name.C()), float64(p.Value.C), r.c, 0.1)
		check(t, "k at "+num(name.C()), float64(p.Value.K), r.k, 0.011)
		check(t, "elongation at "+num(name.C()), float64(p.Value.Strain), r.strain, 1e-6)
	}
	for _, r := range []struct{ t, kj float64 }{{100, 37.2}, {150, 62.2}, {200, 88.2}, {250, 115.1}, {300, 142.9}, {600, 335.7}} {
		p, _ := Properties(q.Temperature(r.t))
		check(t, "heat to "+num(r.t), float64(p.Value.Enthalpy)/1000, r.kj, 0.06)
		// the solver's table says the same
		check(t, "table's heat to "+num(r.t), float64(Carbon().Enthalpy(q.Temperature(r.t)))/1000, r.kj, 0.06)
	}
	for _, bad := range []q.Temperature{19.9, 1200.1, q.Temperature(math.NaN())} {
		if _, err := Properties(bad); err == nil {
			t.Errorf("%v °C accepted, want refused", bad)
		}
	}
}

// The surface figures of the facts: h = 4 + 4v and the radiation film of ε 0.7.
func TestSurfaceFigures(t *testing.T) {
	for _, r := range []struct{ v, h float64 }{{0, 4}, {2, 12}, {5, 24}, {10, 44}} {
		check(t, "film in wind "+num(r.v), float64(FilmOf(q.Speed(r.v))), r.h, 1e-9)
	}
	for _, r := range []struct{ t, h float64 }{{100, 5.95}, {150, 7.53}, {200, 9.42}, {250, 11.65}, {300, 14.25}} {
		check(t, "radiation at "+num(r.t), radiate(float64(Mill.Emissivity())*stefanBoltzmann, r.t, 20), r.h, 0.01)
	}
}
