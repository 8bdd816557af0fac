package material

import (
	"math"
	"testing"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// reference compositions S1 to S10: usual analyses of the steels named, made up
// for the checks. Order: C Si Mn Cr Mo V Ni Cu Nb B.
var reference = []struct {
	name string
	c    Composition
}{
	{"S1 A36 type", Composition{C: .18, Si: .20, Mn: .80, Cr: .05, Mo: .01, Ni: .05, Cu: .20}},
	{"S2 A572-50 or S355", Composition{C: .16, Si: .35, Mn: 1.40, Cr: .03, Mo: .01, V: .04, Ni: .03, Cu: .02, Nb: .02}},
	{"S3 A514-F type", Composition{C: .15, Si: .25, Mn: .80, Cr: .50, Mo: .45, V: .05, Ni: .80, Cu: .25, B: .002}},
	{"S4 400 HB plate, lean", Composition{C: .15, Si: .40, Mn: 1.30, Cr: .30, Mo: .10, Ni: .10, B: .002}},
	{"S5 500 HB plate", Composition{C: .28, Si: .30, Mn: 1.00, Cr: .80, Mo: .20, Ni: .20, B: .002}},
	{"S6 1045", Composition{C: .45, Si: .25, Mn: .75}},
	{"S7 4140", Composition{C: .40, Si: .25, Mn: .88, Cr: .95, Mo: .20}},
	{"S8 4340", Composition{C: .40, Si: .25, Mn: .70, Cr: .80, Mo: .25, Ni: 1.83}},
	{"S9 A27 70-36 casting", Composition{C: .28, Si: .50, Mn: .70, Cr: .15, Mo: .05, Ni: .15, Cu: .10}},
	{"S10 A514-B type", Composition{C: .16, Si: .28, Mn: .85, Cr: .50, Mo: .20, V: .05, B: .002}},
}

func ref(id int) Composition { return reference[id-1].c }

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if d := got - want; !(math.Abs(d) <= tolerance) {
		t.Errorf("%s: got %.5g, want %.5g, difference %.2g, allowed %.2g", what, got, want, d, tolerance)
	}
}

type method func(Composition) (source.Result[Equivalent], error)

// The formulas: CE(IIW) of IIW Doc. IX-535-67 and EN 1011-2 C.2, CET of EN 1011-2
// C.3, Pcm of Ito and Bessyo (J. JWS 37, 1968), CEN of Yurioka (Welding in the
// World 28, 1990), CE(AWS) of AWS D1.1's annex. Values worked by hand from them,
// to four places, so the tolerance is half a unit of the third.
func TestPublishedEquivalents(t *testing.T) {
	want := [][5]float64{ // CE(IIW), CET, Pcm, CEN, CE(AWS)
		{.3420, .2747, .2407, .3425, .3753},
		{.4127, .3042, .2493, .4080, .4710},
		{.5533, .3325, .2942, .5129, .5950},
		{.4533, .3075, .2617, .4403, .5200},
		{.6600, .4450, .4067, .6788, .7100},
		{.5750, .5250, .4958, .5854, .6167},
		{.7767, .5555, .5132, .7871, .8183},
		{.8487, .5807, .5305, .8286, .8903},
		{.4533, .3713, .3500, .4715, .5367},
		{.4517, .2900, .2652, .4470, .4983},
	}
	methods := []struct {
		name string
		of   method
	}{{"ce-iiw", CEIIW}, {"cet", CET}, {"pcm", Pcm}, {"cen", CEN}, {"ce-aws", CEAWS}}
	for i, r := range reference {
		for j, m := range methods {
			t.Run(r.name+" "+m.name, func(t *testing.T) {
				got, err := m.of(r.c)
				if err != nil {
					t.Fatal(err)
				}
				near(t, m.name, float64(got.Value.CE), want[i][j], .0005)
				if got.Basis.Method != m.name {
					t.Errorf("method id %q, want %q", got.Basis.Method, m.name)
				}
			})
		}
	}
}

// The check values M01 to M05 of the same formulas.
func TestPublishedCheckValues(t *testing.T) {
	for _, c := range []struct {
		id   string
		of   method
		c    Composition
		want float64
	}{
		{"M01 CE(IIW) of S2", CEIIW, ref(2), .4127},
		{"M02 CET of S3", CET, ref(3), .3325},
		{"M03 Pcm of S3", Pcm, ref(3), .2942},
		{"M04 CEN of S2, A = .9160", CEN, ref(2), .4080},
		{"M05 CEN of S7, A = 1.0", CEN, ref(7), .7871},
	} {
		got, err := c.of(c.c)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.id, float64(got.Value.CE), c.want, .0005)
	}
	near(t, "A(C) of S2", bainiteFactor(.16), .9160, .00005)
	near(t, "A(C) of S7", bainiteFactor(.40), 1, .00005)
}

// Yurioka's two straight lines that CEN joins, CEN ≈ 2 Pcm - 0.092 up to 0.17 % C
// and CEN ≈ CE(IIW) + 0.012 above (from memory). They were drawn for carbon-manganese
// and lean steels: with 0.8 % Ni and more they part, hence the wider rows.
func TestPublishedCENLines(t *testing.T) {
	for _, c := range []struct {
		name   string
		c      Composition
		lowC   bool
		within float64
	}{
		{"S2", ref(2), true, .012},
		{"S4", ref(4), true, .012},
		{"S10", ref(10), true, .012},
		{"S3, 0.8 % Ni", ref(3), true, .017},
		{"S1", ref(1), false, .012},
		{"S5", ref(5), false, .012},
		{"S6", ref(6), false, .012},
		{"S7", ref(7), false, .012},
		{"S9", ref(9), false, .012},
		{"S8, 1.8 % Ni", ref(8), false, .033},
	} {
		want := ceIIW.of(c.c) + .012
		if c.lowC {
			want = 2*pcm.of(c.c) - .092
		}
		near(t, c.name, cen.of(c.c), want, c.within)
	}
}

// Andrews 1965, linear formula, worked by hand; M28 is S8 to half a degree, the
// others were rounded to whole degrees.
func TestPublishedMs(t *testing.T) {
	for _, c := range []struct {
		name string
		c    Composition
		want float64
		tol  float64
	}{
		{"M28 S8", ref(8), 304.6, .5},
		{"S2", ref(2), 428, .5}, {"S5", ref(5), 375, .5}, {"S6", ref(6), 326, .5},
		{"S7", ref(7), 330, .5}, {"S9", ref(9), 394, .5},
	} {
		got, err := Ms(c.c)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, float64(got.Value), c.want, c.tol)
	}
}

// ASTM A370-03a and E140 conversion sheets; HRC rows had ksi, MPa = ksi × 6.895.
// M29 is the rows 226, 286 and 371 HB. The first row is from memory.
func TestPublishedHardnessTable(t *testing.T) {
	for _, r := range [][3]float64{ // HB, HV, MPa
		{116, 116, 390}, {135, 135, 450}, {150, 150, 495}, {169, 169, 570}, {185, 185, 615}, {205, 205, 675},
		{226, 238, 760}, {247, 260, 820}, {271, 286, 903}, {286, 302, 951}, {319, 336, 1048}, {336, 354, 1110},
		{371, 392, 1250}, {390, 412, 1340}, {409, 434, 1430}, {455, 484, 1640}, {482, 513, 1760}, {543, 577, 2010}, {577, 613, 2160},
	} {
		mpa, err := TensileFromBrinell(q.Brinell(r[0]))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "MPa at "+num(r[0])+" HB", mpa.Value.MPa(), r[2], 5)
		hv, err := VickersFromBrinell(q.Brinell(r[0]))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "HV at "+num(r[0])+" HB", float64(hv.Value), r[1], .5)
		hb, err := BrinellFromVickers(q.Vickers(r[1]))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "HB at "+num(r[1])+" HV", float64(hb.Value), r[0], .5)
	}
}

// ISO 18265, unalloyed and low-alloy steel, four points from memory. Another
// table than A370: the two differ by up to 5 % at the hard end.
func TestPublishedISO18265(t *testing.T) {
	for _, r := range [][2]float64{{200, 640}, {300, 965}, {400, 1290}, {500, 1630}} {
		hb, err := BrinellFromVickers(q.Vickers(r[0]))
		if err != nil {
			t.Fatal(err)
		}
		mpa, err := TensileFromBrinell(hb.Value)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "MPa at "+num(r[0])+" HV", mpa.Value.MPa(), r[1], .05*r[1])
	}
}

// Yurioka 1987, martensite hardness HM = 294 + 884 C (1 - 0.3 C²), worked by hand;
// and its straight inverse, which drops the cube and so reads a little low.
func TestPublishedMartensite(t *testing.T) {
	for _, r := range []struct {
		name  string
		c, hv float64
	}{{"S1", .18, 451.6}, {"S2", .16, 434.4}, {"S3", .15, 425.7}, {"S5", .28, 535.7}, {"S7", .40, 630.6}} {
		near(t, r.name+" HM", float64(Martensite(q.Percent(r.c))), r.hv, .1)
		if r.c > .28 {
			continue // past the inverse's range
		}
		got, err := CutEdgeCarbon(q.Vickers(r.hv))
		if err != nil {
			t.Fatal(err)
		}
		near(t, r.name+" C of its HM", float64(got.Value), r.c, .007)
	}
}
