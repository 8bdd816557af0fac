package price

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func jobs(n int, ratio float64) []Actual {
	var all []Actual
	for range n {
		all = append(all, Actual{Name: "job", Rods: Pair[float64]{20, 20 * ratio}, Bead: Pair[q.Time]{5 * q.Minute, q.Time(5*ratio) * q.Minute},
			Gouge: Pair[q.Time]{30 * q.Second, q.Time(30*ratio) * q.Second}, Torch: Pair[q.Time]{10 * q.Minute, q.Time(10*ratio) * q.Minute}})
	}
	return all
}

// Worked by hand: the handbook counts as 5 jobs. Three jobs at 1.5 times the
// handbook: ln 1.5 = 0.405465; × 3/8 = 0.152049; e^0.152049 = 1.16422.
func TestLearnByHand(t *testing.T) {
	r, err := Learn(jobs(3, 1.5))
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range r.Value.All() {
		if l.N != 3 || !l.Ratio.Known {
			t.Errorf("%s: %d jobs, own figure %v", l.Label, l.N, l.Ratio)
		}
		near(t, l.Label+", yours", float64(l.Ratio.V), 1.5, 1e-9)
		near(t, l.Label+", used", float64(l.Used), 1.16422, 5e-6)
		near(t, l.Label+", weight", float64(l.Weight), 0.375, 1e-12)
		// all alike: s² = 4·0.09/(4+2) = 0.06; 1.28155·√0.06·√(1+1/8) = 0.332961
		near(t, l.Label+", next job", math.Log(float64(l.Next.High/l.Used)), 0.332961, 5e-6)
	}
	if r.Basis.Ref.Key == "" || len(r.Basis.Steps) != 4 || r.Basis.Why == "" || r.Basis.Skip == "" {
		t.Errorf("basis not filled: %+v", r.Basis)
	}
}

func TestLearnNothing(t *testing.T) {
	r, err := Learn(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range r.Value.All() {
		if l.Used != 1 || l.Ratio.Known || l.N != 0 || l.Weight != 0 {
			t.Errorf("%s: %+v, want the handbook", l.Label, l)
		}
	}
	old := job.Factors{TorchEfficiency: q.Known[q.Ratio](0.22)}
	if got := r.Value.Shop(old, 0.3); got != old {
		t.Errorf("factors %+v, want them as they were", got)
	}
}

func TestLearnRefusesAndLeavesOut(t *testing.T) {
	if _, err := Learn([]Actual{{Name: "slip", Rods: Pair[float64]{20, -3}}}); err == nil || !strings.Contains(err.Error(), "slip") {
		t.Errorf("negative rods: %v", err)
	}
	if _, err := Learn([]Actual{{Bead: Pair[q.Time]{0, 60}}}); err == nil {
		t.Error("nothing in the handbook: learnt from")
	}
	r, err := Learn(append(jobs(2, 1), Actual{Name: "minutes for seconds", Gouge: Pair[q.Time]{30, 1800}}))
	if err != nil {
		t.Fatal(err)
	}
	if g := r.Value.Gouge; g.N != 2 || g.Used != 1 || len(g.LeftOut) != 1 || !strings.Contains(g.LeftOut[0], "minutes for seconds") {
		t.Errorf("60 times the handbook: %+v, want it left out and named", g)
	}
}

// The shop's factors by hand: twice the time for a bead is half the operating
// factor in the end; here with 15 jobs the used ratio is 2^(15/20) = 1.68179.
func TestLearnedFactorsOfTheShop(t *testing.T) {
	r, err := Learn(jobs(15, 2))
	if err != nil {
		t.Fatal(err)
	}
	f := r.Value.Shop(job.Factors{}, 0.30)
	near(t, "operating factor", float64(f.OperatingFactor.V), 0.20/1.68179, 1e-5)
	near(t, "gouge for 100 mm, s", float64(f.GougePer100mm.V), 30*1.68179, 1e-3)
	near(t, "torch", float64(f.TorchEfficiency.V), 0.30/1.68179, 1e-5)
}

// What is used lies between the handbook and his own figure, and comes nearer
// to his own with every job like it. The order of the jobs does not matter.
func TestLawLearn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ratio := rapid.Float64Range(0.2, 5).Draw(t, "ratio")
		n := rapid.IntRange(1, 30).Draw(t, "jobs")
		used := func(n int) float64 {
			r, err := Learn(jobs(n, ratio))
			if err != nil {
				t.Fatal(err)
			}
			return float64(r.Value.Rods.Used)
		}
		a, b := used(n), used(n+1)
		if (ratio > 1 && !(1 < a && a < b && b < ratio)) || (ratio < 1 && !(1 > a && a > b && b > ratio)) {
			t.Fatalf("ratio %v: %v after %d jobs, %v after one more", ratio, a, n, b)
		}
		var mixed, back []Actual
		for range n {
			mixed = append(mixed, jobs(1, rapid.Float64Range(0.3, 3).Draw(t, "each"))...)
		}
		for i := range mixed {
			back = append(back, mixed[len(mixed)-1-i])
		}
		x, err1 := Learn(mixed)
		y, err2 := Learn(back)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if d := float64(x.Value.Bead.Used - y.Value.Bead.Used); math.Abs(d) > 1e-12 {
			t.Fatalf("order matters by %v", d)
		}
		if l := x.Value.Bead; !l.Next.Has(l.Used) {
			t.Fatalf("the next job %v does not hold %v", l.Next, l.Used)
		}
	})
}
