package strength

import (
	"math"
	"testing"

	q "soundmetal/quantity"

	"github.com/google/go-cmp/cmp"
)

const (
	mpas    = q.Megapascal
	rootMPa = q.MPaRootMetre
)

func life(t *testing.T, fat, ds float64, knee string, gamma float64) float64 {
	t.Helper()
	return float64(must(FatigueLife(LifeInput{FAT: mpa(fat), Range: mpa(ds), Knee: knee, Gamma: gamma})))
}

// Source: IIW recommendations 3.2 (knee 1e7, slope 5 beyond). Check N1.
func TestPublishedLife(t *testing.T) {
	run(t, []check{
		{"N1 FAT 80 at 100 MPa", life(t, 80, 100, "iiw", 0), 1.024e6, 1e-3},
		{"N1 FAT 80 at 40 MPa", life(t, 80, 40, "iiw", 0), 2.189e7, 1e-3},
		{"range back from 1.024e6", must(StressFromLife(80*mpas, 1.024e6, "iiw")).MPa(), 100, 1e-6},
		{"range back from 2.189e7", must(StressFromLife(80*mpas, 2.189e7, "iiw")).MPa(), 40, 1e-3},
		{"IIW range at the knee is 0.5848 FAT", must(StressFromLife(100*mpas, 1e7, "iiw")).MPa(), 58.48, 1e-3},
		{"EN range at 5e6 is 0.7368 FAT", must(StressFromLife(100*mpas, 5e6, "en")).MPa(), 73.68, 1e-3},
		{"EN range at 1e8 is 0.4047 FAT", must(StressFromLife(100*mpas, 1e8, "en")).MPa(), 40.47, 1e-3},
		{"EN shear cut-off is 0.457 FAT", must(StressFromLife(100*mpas, 1e8, "en-shear")).MPa(), 45.7, 1e-3},
	})
}

// Source: grinding flush against plating, by the IIW classes at 100 MPa (and 50 MPa
// for the plate moved to low stress), with partial factors 1 and 1.35 (EN table 3.1).
func TestPublishedRepairTable(t *testing.T) {
	rows := []struct {
		name      string
		fat, ds   float64
		one, safe float64
	}{
		{"both sides flush", 112, 100, 2.81e6, 1.14e6},
		{"both sides as welded", 90, 100, 1.46e6, 5.9e5},
		{"one side with backing", 71, 100, 7.2e5, 2.9e5},
		{"one side unproven", 36, 100, 9.3e4, 3.8e4},
		{"plate end at full stress", 50, 100, 2.5e5, 1.0e5},
		{"plate end ground", 65, 100, 5.5e5, 2.2e5},
		{"plate end at half stress", 50, 50, 2.0e6, 8.1e5},
	}
	var checks []check
	for _, r := range rows {
		// printed to two or three figures
		checks = append(checks, check{r.name, life(t, r.fat, r.ds, "none", 1), r.one, 0.01},
			check{r.name + ", safe life", life(t, r.fat, r.ds, "none", 1.35), r.safe, 0.02})
	}
	run(t, checks)
}

// Source: EN 1993-1-9 annex A and IIW 4.3; the worked spectrum. Checks N2, N3.
func TestPublishedMiner(t *testing.T) {
	spectrum := []Block{{120 * mpas, 2000}, {90 * mpas, 15000}, {60 * mpas, 80000}, {40 * mpas, 250000}, {25 * mpas, 600000}}
	iiw := must(Damage(spectrum, 80*mpas, "iiw"))
	en := must(Damage(spectrum, 80*mpas, "en"))
	straight := must(Damage(spectrum, 80*mpas, "none"))
	run(t, []check{
		{"N2 IIW", iiw.Sum, 0.04496, 1e-3},
		{"N2 EN", en.Sum, 0.03812, 1e-3},
		{"N3 equivalent range", iiw.Equivalent.MPa(), 36.50, 1e-3},
		{"equivalent range without knee", straight.Equivalent.MPa(), 39.20, 1e-3},
		{"life at the equivalent range", life(t, 80, iiw.Equivalent.MPa(), "none", 0), 2.106e7, 1e-3},
		{"120 MPa", life(t, 80, 120, "iiw", 0), 5.926e5, 1e-3},
		{"90 MPa", life(t, 80, 90, "iiw", 0), 1.405e6, 1e-3},
		{"60 MPa", life(t, 80, 60, "iiw", 0), 4.741e6, 1e-3},
		{"25 MPa", life(t, 80, 25, "iiw", 0), 2.295e8, 1e-3},
		// JCSS annex B
		{"Weibull scale 30, shape 1, slope 3", must(WeibullEquivalent(30*mpas, 1, 3)).MPa(), 54.5, 1e-3},
	})
}

// Source: BS 7608 table of constants (from memory; class W read in secondary
// code). Check N4.
func TestPublishedBS7608(t *testing.T) {
	rows := []struct {
		class          string
		c2, at1e7, at2 float64
	}{
		{"B", 1.01e15, 100, 150}, {"C", 4.23e13, 78, 124}, {"D", 1.52e12, 53, 91}, {"E", 1.04e12, 47, 80},
		{"F", 6.3e11, 40, 68}, {"F2", 4.3e11, 35, 60}, {"G", 2.5e11, 29, 50}, {"W", 1.6e11, 25, 43},
	}
	var checks []check
	for _, r := range rows {
		c, err := BSClassByName(r.class)
		if err != nil {
			t.Fatal(err)
		}
		range_ := func(n float64) float64 { return math.Pow(c.design(2)/n, 1/c.Slope) }
		tolerance := 0.02 // printed to two figures
		if r.class == "D" {
			tolerance = 0.005
		}
		checks = append(checks, check{"C2 of " + r.class, c.design(2), r.c2, tolerance},
			check{"range at 1e7 of " + r.class, range_(1e7), r.at1e7, 0.02},
			check{"range at 2e6 of " + r.class, range_(2e6), r.at2, 0.02})
	}
	checks = append(checks,
		check{"life of D at 100 MPa", float64(must(BSLife("D", 100*mpas, 2))), 1.52e6, 0.005},
		check{"beyond 1e7 the slope is 5", float64(must(BSLife("D", 40*mpas, 2))), 1e7 * math.Pow(53.37/40, 5), 0.01})
	run(t, checks)
}

// Source: IIW recommendations 3.5.2 and 3.5.3.
func TestPublishedCorrections(t *testing.T) {
	thick := func(kind string) float64 { return float64(must(ThicknessFactor(40*mm, kind))) }
	better := func(detail string, fat, yield float64, how string) float64 {
		return must(Improve(ImproveInput{Detail: detail, FAT: mpa(fat), Treatment: how, Yield: mpa(yield)})).MPa()
	}
	run(t, []check{
		{"t 40 attachment", thick("attachment"), 0.868, 1e-3},
		{"t 40 butt", thick("butt"), 0.910, 1e-3},
		{"t 40 flush", thick("flush"), 0.954, 1e-3},
		{"t 25 has none", float64(must(ThicknessFactor(25*mm, "attachment"))), 1, 0},
		{"ground doubler end 50", better("doubler-end", 50, 355, "grind"), 65, 1e-9},
		{"ground 90 is capped", better("butt-both-good", 90, 355, "grind"), 112, 1e-9},
		{"peened mild steel", better("attach-transverse", 71, 275, "peen"), 92.3, 1e-9},
		{"peened above 355", better("attach-transverse", 71, 355, "peen"), 106.5, 1e-9},
		{"five classes up at 355", better("attach-transverse", 71, 355, "hfmi"), 125, 1e-9},
	})
	if _, err := Improve(ImproveInput{Detail: "fillet-root", FAT: 36 * mpas, Treatment: "grind", Yield: 355 * mpas}); err == nil {
		t.Error("a ground toe was accepted as a cure for a root")
	}
	for _, c := range []struct {
		system      System
		how, matter string
		want        float64
	}{{IIW, "safe-life", "high", 1.40}, {IIW, "damage-tolerant", "low", 1.00}, {EN, "safe-life", "high", 1.35}, {EN, "damage-tolerant", "high", 1.15}} {
		if got, _, err := PartialFactor(c.system, c.how, c.matter); err != nil || got != c.want {
			t.Errorf("%s %s %s: got %v (%v), want %v", c.system, c.how, c.matter, got, err, c.want)
		}
	}
}

// Sources: EN 1993-1-9 tables 8.3 to 8.5 (public copy) and the IIW
// catalogue (from memory).
func TestPublishedClasses(t *testing.T) {
	rows := []struct {
		id     string
		system System
		band   float64
		want   float64
	}{
		{"butt-both-flush", EN, 0, 112}, {"butt-both-good", EN, 0, 90}, {"butt-both", EN, 0, 80}, {"butt-both-untested", EN, 0, 63},
		{"butt-one-temporary-backing", IIW, 0, 80}, {"butt-one-temporary-backing", EN, 0, 71}, {"butt-one-backing", EN, 0, 71},
		{"butt-one-backing-poor", EN, 0, 50}, {"butt-one-unproven", EN, 0, 36}, {"butt-partial", IIW, 0, 36},
		{"gusset-surface", EN, 50, 71}, {"gusset-surface", EN, 90, 63}, {"gusset-surface", EN, 500, 56}, {"gusset-surface", IIW, 500, 50},
		{"gusset-edge", EN, 0, 40}, {"gusset-edge", IIW, 200, 45}, {"gusset-edge-radius", EN, 0.4, 90}, {"gusset-edge-radius", IIW, 0.1, 50},
		{"attach-transverse", EN, 60, 71}, {"attach-pad", IIW, 100, 71}, {"fillet-root", IIW, 0.2, 40}, {"fillet-root", IIW, 0.5, 36},
		{"doubler-end", IIW, 0.6, 56}, {"doubler-end", IIW, 1, 50}, {"doubler-end", IIW, 2, 45}, {"doubler-end-ground", IIW, 1, 63},
		{"lap-weld", EN, 0, 45}, {"plate-rolled", IIW, 0, 160}, {"step-ground", IIW, 3, 100}, {"step-welded", IIW, 2, 71},
	}
	var checks []check
	for _, r := range rows {
		checks = append(checks, check{r.id + " " + string(r.system), mustClass(r.id, r.system, r.band).FAT.MPa(), r.want, 0})
	}
	for _, r := range []struct{ plate, flange, want float64 }{{12, 16, 56}, {12, 25, 50}, {12, 40, 45}, {20, 20, 50}, {25, 20, 45}, {16, 16, 50}, {20, 60, 40}, {60, 40, 36}} {
		c, err := DoublerClassEN(millis(r.plate), millis(r.flange))
		if err != nil {
			t.Fatal(err)
		}
		checks = append(checks, check{"EN doubler end", c.FAT.MPa(), r.want, 0})
	}
	// ASTM and AASHTO categories as equivalent classes: N = A/Δσ³, FAT = (A/2e6)^⅓
	for _, r := range []struct {
		category string
		at100    float64
	}{{"A", 8.2e6}, {"B", 3.93e6}, {"C", 1.44e6}, {"D", 7.21e5}, {"E", 3.61e5}, {"E'", 1.28e5}} {
		c, err := CategoryByName(r.category)
		if err != nil {
			t.Fatal(err)
		}
		checks = append(checks, check{"category " + r.category + " at 100 MPa", float64(c.Life(100 * mpas)), r.at100, 1e-9})
	}
	run(t, checks)
	if d, _ := DetailByID("gusset-edge-radius"); d.ID == "" {
		t.Error("no gusset-edge-radius")
	} else if _, err := d.Class(IIW, -1); err == nil {
		t.Error("a band below every row was accepted")
	}
}

// Source: ASTM E1049-85 5.4.4, the example history A to I. Check R1.
func TestPublishedRainflow(t *testing.T) {
	got := must(Rainflow([]float64{-2, 1, -3, 5, -1, 3, -4, 4, -2}))
	want := []Counted{{3, -0.5, 0.5}, {4, -1, 0.5}, {4, 1, 1}, {8, 1, 0.5}, {9, 0.5, 0.5}, {8, 0, 0.5}, {6, 1, 0.5}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("ranges, means and counts in the order found (-want +got):\n%s", diff)
	}
	sums := []Counted{{Range: 3, Count: 0.5}, {Range: 4, Count: 1.5}, {Range: 6, Count: 0.5}, {Range: 8, Count: 1}, {Range: 9, Count: 0.5}}
	if diff := cmp.Diff(sums, SumRanges(got)); diff != "" {
		t.Errorf("by range (-want +got):\n%s", diff)
	}
}
