package heat

import (
	"testing"

	q "soundmetal/quantity"
)

// EN 1011-2 Annex D, worked by hand.
func TestCoolingTimeWorkedRows(t *testing.T) {
	for _, r := range []struct {
		name             string
		t0, q, d, f      float64
		t3, t2, dt, want float64
		thick            bool
	}{
		{"thin 10 mm (M20, M21)", 20, 1.0, 10, 1, 5.29, 11.36, 14.66, 11.36, false},
		{"thick 25 mm (M19)", 20, 1.0, 25, 1, 5.29, 1.82, 14.66, 5.29, true},
		{"30 mm at 100", 100, 1.5, 30, .9, 8.97, 3.67, 19.18, 8.97, true},
		{"40 mm at 150", 150, 1.2, 40, .67, 6.31, 1.28, 18.00, 6.31, true},
		{"12 mm at 120", 120, 1.6, 12, .9, 10.20, 28.83, 20.18, 28.83, false},
		{"16 mm at 75", 75, 2.0, 16, .9, 11.08, 20.33, 21.67, 20.33, false},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := CoolingTime(CoolingInput{q.Temperature(r.t0), kjmm(r.q), mm(r.d), q.Ratio(r.f), q.Ratio(r.f)})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "3D s", got.Basis.Steps[0].Value, r.t3, .005)
			near(t, "2D s", got.Basis.Steps[1].Value, r.t2, .005)
			near(t, "transition mm", got.Value.Transition.MM(), r.dt, .005)
			near(t, "t8/5 s", float64(got.Value.Time), r.want, .005)
			if got.Value.Thick != r.thick {
				t.Errorf("thick is %v, want %v", got.Value.Thick, r.thick)
			}
			full(t, got.Basis)
		})
	}
	_, err := CoolingTime(CoolingInput{500, kjmm(1), mm(10), 1, 1})
	refused(t, err, "preheat or interpass temperature")
}

// Highest Q for t8/5 of 20 s in a butt (F .9): EN 1011-2 Annex D solved for Q,
// table worked by hand to two decimals. M37 is 12 mm at 150 °C.
func TestHeatInputFor20Seconds(t *testing.T) {
	starts := []float64{20, 100, 150, 200}
	for d, row := range map[float64][]float64{
		6: {.84, .70, .61, .53}, 10: {1.40, 1.17, 1.02, .88}, 12: {1.68, 1.40, 1.23, 1.06}, 16: {2.24, 1.87, 1.64, 1.41},
		20: {2.80, 2.34, 2.05, 1.76}, 25: {3.50, 2.92, 2.56, 2.20}, 30: {4.20, 3.35, 2.83, 2.34}, 60: {4.20, 3.35, 2.83, 2.34},
	} {
		for i, want := range row {
			got, err := HeatInputForCoolingTime(q.Of[q.Time]{Low: 5, High: 20}, q.Temperature(starts[i]), mm(d), .9, .9)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "kJ/mm", got.Value.High.KJPerMM(), want, .0051)
			full(t, got.Basis)
		}
	}
}

// Yurioka 1987, Düren and BL70S, worked by hand from the coefficients in
// hardness.go (coefficients from memory; two independent workings agree).
func TestHardnessWorkedRows(t *testing.T) {
	for _, r := range []struct {
		steel               string
		t                   float64
		yurioka, duren, bl  float64
		hm, hb, tm, tb, pos float64 // 0 where not printed
	}{
		{"S1 A36 type", 5, 272.2, 359.4, 333.1, 451.6, 186.5, .328, 30.20, .4094},
		{"S1 A36 type", 10, 223.0, 288.8, 270.5, 0, 0, 0, 0, 1.0225},
		{"S2 S355 type", 5, 351.1, 379.6, 366.4, 434.4, 213.9, .691, 68.22, -.2759},
		{"S2 S355 type", 10, 292.4, 315.1, 313.9, 0, 0, 0, 0, .3278}, // M22, M24, M25
		{"S2 S355 type", 20, 248.9, 250.6, 265.9, 0, 0, 0, 0, .9315},
		{"S3 A514-F type", 10, 411.2, 400.4, 391.1, 425.7, 249.6, 5.699, 147.5, -1.3088}, // M23
		{"S10 A514-B type", 10, 325.8, 345.3, 344.7, 434.4, 225.1, 1.495, 61.92, .0415},
		{"S5 500 HB", 10, 540.8, 512.3, 505.3, 535.7, 0, 0, 0, 0},
		{"S7 4140", 10, 611.0, 632.7, 616.9, 630.6, 264.4, 6.136, 300.9, -1.4982},
	} {
		t.Run(r.steel, func(t *testing.T) {
			s := steels[r.steel]
			y, ok := yuriokaHardness(&s, yuriokaUsualN, r.t)
			if !ok {
				t.Fatal("the model refuses")
			}
			near(t, "Yurioka, raw", y.raw, r.yurioka, .06)
			for _, p := range []struct {
				name      string
				got, want float64
				tol       float64
			}{{"HM", y.hm, r.hm, .06}, {"HB", y.hb, r.hb, .06}, {"tM", y.tm, r.tm, r.tm * .001}, {"tB", y.tb, r.tb, r.tb * .001}, {"X", y.x, r.pos, .0001}} {
				if p.want != 0 {
					near(t, p.name, p.got, p.want, p.tol)
				}
			}
			raw, _, _, _ := durenHardness(&s, r.t)
			near(t, "Düren, raw", raw, r.duren, .06)
			bl, ok := bl70Hardness(&s, r.t)
			if !ok {
				t.Fatal("BL70S refuses")
			}
			near(t, "BL70S", bl, r.bl, .06)
		})
	}
}

// The 500 HB row is held to martensite (535.7), 4140 by Düren to 625.8; models
// outside their carbon range stay out of the band.
func TestHardnessBand(t *testing.T) {
	for _, r := range []struct {
		name, steel   string
		t             float64
		hv, low, high float64
	}{
		{"S355, three models", "S2 S355 type", 10, 292.4, 252.4, 332.4},
		{"A36, the models differ by more than 40", "S1 A36 type", 5, 272.2, 232.2, 359.4},
		{"500 HB, no Düren, held to martensite", "S5 500 HB", 10, 535.7, 495.7, 575.7},
		{"4140, Yurioka alone", "S7 4140", 10, 611.0, 571.0, 651.0},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := HAZHardness(HardnessInput{Steel: steels[r.steel], Cooling: q.Time(r.t)})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "HV", float64(got.Value.HV), r.hv, .1)
			near(t, "low", float64(got.Value.Low), r.low, .1)
			near(t, "high", float64(got.Value.High), r.high, .1)
			full(t, got.Basis)
		})
	}
	s7 := steels["S7 4140"]
	_, _, martensite, held := durenHardness(&s7, 10)
	near(t, "Düren martensite bound of 4140", martensite, 625.8, .06)
	near(t, "Düren held", held, martensite, 0)
	_, err := HAZHardness(HardnessInput{Steel: Steel{C: .9}, Cooling: 10})
	refused(t, err, "carbon")
	_, err = HAZHardness(HardnessInput{Steel: s7, N: q.Known[q.Percent](.02), Cooling: 10})
	refused(t, err, "nitrogen")
}

// EN 1011-1; k .8 for SMAW. M26 is the second row.
func TestHeatInputRows(t *testing.T) {
	for _, r := range []struct {
		name            string
		v, i, speed     float64
		e, net, kjPerIn float64
	}{
		{"120 A", 23, 120, 100, 1.656, 1.325, 42.1},
		{"160 A (M26)", 24, 160, 150, 1.536, 1.229, 39.0},
		{"230 A", 24, 230, 180, 1.840, 1.472, 46.7},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := HeatInput(q.Voltage(r.v), q.Current(r.i), q.Speed(r.speed)*q.MillimetrePerMinute, .8)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "E kJ/mm", got.Value.Arc.KJPerMM(), r.e, .0005)
			near(t, "Q kJ/mm", got.Value.Net.KJPerMM(), r.net, .0005)
			near(t, "E kJ/in", got.Value.Arc.KJPerInch(), r.kjPerIn, .05)
			full(t, got.Basis)
		})
	}
}

// Run-out length (BS 5135, factors from memory). M27 is the first row; the last
// three are the remembered table for 410 mm of a 450 mm rod at 0.8 kJ/mm.
func TestRunOutRows(t *testing.T) {
	for _, r := range []struct {
		name          string
		d, l, f, rol  float64
		want, toleran float64
	}{
		{"4 mm (M27)", 4, 410, .0408, 200, 1.338, .0005},
		{"3.2 mm", 3.2, 310, .0408, 200, .648, .0005},
		{"3.2 mm iron powder", 3.2, 310, .0472, 200, .749, .0005},
		{"5 mm iron powder", 5, 410, .0472, 250, 1.935, .0005},
		{"table 3.2 mm", 3.2, 410, .0408, 215, .8, .005},
		{"table 4 mm", 4, 410, .0408, 335, .8, .005},
		{"table 5 mm", 5, 410, .0408, 525, .8, .005},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := HeatInputByRunOut(mm(r.d), mm(r.l), mm(r.rol), q.Ratio(r.f), .8)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "E kJ/mm", got.Value.Arc.KJPerMM(), r.want, r.toleran)
			full(t, got.Basis)
		})
	}
	// E = V·I·t/ROL: 23 V × 125 A × 65 s over 150 mm = 186.875 kJ/150 mm.
	got, err := HeatInputOfTimedRod(23, 125, 65, mm(150), .8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "timed rod kJ/mm", got.Value.Arc.KJPerMM(), 186.875/150, 1e-9)
}

// Published US table of highest heat input for A514 plate, from memory: the
// figures themselves and linear points between them.
func TestQTHeatInputTable(t *testing.T) {
	for _, r := range []struct {
		name  string
		kind  QTType
		t     q.Length
		f     float64
		want  float64
		known bool
	}{
		{"F 1/2 in 200 °F", QTTypeF, in(.5), 200, 56, true},
		{"F 1 in 70 °F any", QTTypeF, in(1), 70, 0, false},
		{"F 1 in 150 °F", QTTypeF, in(1), 150, 188, true},
		{"F 1-1/2 in 400 °F", QTTypeF, in(1.5), 400, 165, true},
		{"F 205 °C is 400 °F", QTTypeF, in(1.5), 401, 165, true},
		{"F between the columns", QTTypeF, in(.5), 250, 51.5, true},
		{"F between the rows", QTTypeF, in(.625), 200, 77.5, true},
		{"F beside an any, which counts as the 188 of 150 °F", QTTypeF, in(.875), 70, (121 + 188) / 2.0, true},
		{"F cold steel reads 70 °F", QTTypeF, in(.25), 30, 36, true},
		{"F thick reads the last row", QTTypeF, in(3), 400, 165, true},
		{"B 3/8 in 300 °F", QTTypeB, in(.375), 300, 23.5, true},
		{"B 1 in 400 °F", QTTypeB, in(1), 400, 65.6, true},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := MaximumHeatInput(r.kind, r.t, q.Fahrenheit(r.f))
			if err != nil {
				t.Fatal(err)
			}
			if got.Value.Known != r.known {
				t.Fatalf("known is %v, want %v", got.Value.Known, r.known)
			}
			near(t, "kJ/in", got.Value.V.KJPerInch(), r.want, 1e-9)
			full(t, got.Basis)
		})
	}
	_, err := MaximumHeatInput(QTTypeF, in(.125), 100)
	refused(t, err, "thickness")
	_, err = MaximumHeatInput(QTTypeF, in(.5), 230)
	refused(t, err, "interpass temperature")
}
