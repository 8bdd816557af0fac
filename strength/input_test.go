package strength

import (
	"errors"
	"math"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Every method refuses what it does not cover, and says what it covers.
func TestOutOfRange(t *testing.T) {
	rows := []struct {
		name string
		err  error
		says string
	}{
		{"FAT below the catalogue", second(FatigueLife(LifeInput{FAT: 20 * mpas, Range: 50 * mpas})), "36 to 160"},
		{"life below 1e4", second(FatigueLife(LifeInput{FAT: 36 * mpas, Range: 300 * mpas})), "low-cycle"},
		{"range above 1.5 × yield", second(FatigueLife(LifeInput{FAT: 160 * mpas, Range: 400 * mpas, Yield: 235 * mpas})), "yields at every cycle"},
		{"below the EN cut-off", second(FatigueLife(LifeInput{FAT: 80 * mpas, Range: 20 * mpas, Knee: "en"})), "no damage"},
		{"beyond the EN cut-off", second(StressFromLife(80*mpas, 1e9, "en")), "outside the curve"},
		{"through crack over 0.8 W", second(StressIntensity(SIFInput{Geometry: Through, A: 45 * mm, Width: 100 * mm, Stress: 100 * mpas})), "2a/W ≤ 0.8"},
		{"edge crack over 0.6 W", second(CrackGrowth(GrowthInput{Geometry: Edge, A1: 10 * mm, A2: 70 * mm, Width: 100 * mm, Range: 50 * mpas, Law: LawInput{Law: Simple}})), "a/W ≤ 0.6"},
		{"surface crack deeper than 0.8 t", second(SurfaceIntensity(SurfaceInput{A: 9 * mm, C: 10 * mm, Thickness: 10 * mm, HalfWidth: 100 * mm, Membrane: 100 * mpas})), "a/t"},
		{"surface crack too flat", second(SurfaceIntensity(SurfaceInput{A: 1 * mm, C: 10 * mm, Thickness: 10 * mm, HalfWidth: 100 * mm, Membrane: 100 * mpas})), "a/c"},
		{"surface crack wide against the plate", second(SurfaceIntensity(SurfaceInput{A: 5 * mm, C: 10 * mm, Thickness: 10 * mm, HalfWidth: 15 * mm, Membrane: 100 * mpas})), "c/b"},
		{"Charpy of 1 J", second(CharpyToughness(1, 20*mm)), "Charpy energy"},
		{"far above the transition", second(MasterCurve(MasterInput{200, 0, 20 * mm, 0.05, 3})), "temperature above the reference"},
		{"thick wall as thin tube", second(CrackedTube(50*mm, 10*mm, 0, 0)), "mean radius over wall"},
		{"plate thicker than the part", second(DesignPlate(PlateInput{CrackRemoved: true, Thickness: 10 * mm, Width: 300 * mm, Plate: q.Known(16 * mm), Weld: 71 * mpas})), "plate thickness over part thickness"},
		{"no room for the plate", second(DesignPlate(PlateInput{CrackRemoved: true, Thickness: 16 * mm, Width: 300 * mm, Weld: 71 * mpas, Room: q.Known(100 * mm)})), "room beside the crack"},
		{"part too narrow for a plate", second(DesignPlate(PlateInput{CrackRemoved: true, Thickness: 16 * mm, Width: 70 * mm, Weld: 71 * mpas})), "too narrow"},
		{"a class that the treatment does not cover", second(Improve(ImproveInput{"attach-transverse", 112 * mpas, "grind", 355 * mpas})), "class before"},
	}
	for _, r := range rows {
		var out *source.OutOfRange
		switch {
		case !errors.As(r.err, &out):
			t.Errorf("%s: got %v, want an out-of-range answer", r.name, r.err)
		case !strings.Contains(r.err.Error(), r.says):
			t.Errorf("%s: %q does not say %q", r.name, r.err, r.says)
		case math.IsInf(out.Value, 0) || math.IsNaN(out.Value):
			t.Errorf("%s: the value is %v", r.name, out.Value)
		}
	}
}

func second[T any](_ source.Result[T], err error) error { return err }

// Impossible values are one sentence, without a panic.
func TestBadInput(t *testing.T) {
	rows := map[string]error{
		"no rectangle":            second(Properties(nil)),
		"rectangle of no width":   second(Properties([]Rect{{0, 1, 0, 0}})),
		"box with thick walls":    second(SectionOf(Profile{Shape: job.Box, Width: 50 * mm, Depth: 50 * mm, Flange: 30 * mm, Web: 5 * mm}, nil, nil)),
		"section of a casting":    second(SectionOf(Profile{Shape: job.Casting, Width: 50 * mm, Depth: 50 * mm}, nil, nil)),
		"plate on a tube":         second(SectionOf(Profile{Shape: job.Tube, Width: 100 * mm, Web: 5 * mm}, []Rect{{1, 1, 0, 0}}, nil)),
		"torsion of an I":         second(BoxTorsion(Profile{Shape: job.ISection}, 1)),
		"unknown curve":           second(FatigueLife(LifeInput{FAT: 80 * mpas, Range: 100 * mpas, Knee: "japan"})),
		"unknown BS class":        second(BSLife("Q", 100*mpas, 2)),
		"flat history":            second(Rainflow([]float64{1, 1, 1})),
		"history without numbers": second(Rainflow([]float64{1, math.NaN(), 2})),
		"empty spectrum":          second(Damage(nil, 80*mpas, "iiw")),
		"negative count":          second(Damage([]Block{{100 * mpas, -1}}, 80*mpas, "iiw")),
		"unknown law":             second(CrackGrowth(GrowthInput{Geometry: Through, A1: 1, A2: 2, Width: 10, Range: 1, Law: LawInput{Law: "fast"}})),
		"unknown geometry":        second(StressIntensity(SIFInput{Geometry: "spiral", A: 1 * mm, Width: 10 * mm, Stress: 1 * mpas})),
		"crack that shrinks":      second(CrackGrowth(GrowthInput{Geometry: Through, A1: 5 * mm, A2: 4 * mm, Width: 100 * mm, Range: 1 * mpas, Law: LawInput{Law: Simple}})),
		"tensile below yield":     second(FADLimit(0.5, 500*mpas, 400*mpas)),
		"negative residual":       second(CriticalSize(FractureInput{Geometry: Through, Width: 100 * mm, Peak: 1 * mpas, Residual: -1, Toughness: 1e6, Yield: 300 * mpas, Tensile: 400 * mpas})),
		"unknown treatment":       second(Improve(ImproveInput{"attach-transverse", 80 * mpas, "paint", 355 * mpas})),
		"unknown detail":          second(Improve(ImproveInput{"wing", 80 * mpas, "grind", 355 * mpas})),
		"unknown thickness kind":  second(ThicknessFactor(30*mm, "wing")),
		"unknown joint":           second(FilletShrinkage("scarf", 6*mm, 10*mm)),
		"unknown way of looking":  second(NextLook(LookInput{Method: "ear"})),
		"load made by hand":       second(CompareRepairs(RepairsInput{Thickness: 10 * mm})),
		"no need":                 second(UntilFriday(FridayInput{Load: LoadOf(1*mpas, 0.1, 1, 0.1, false)})),
		"unknown sizing": second(UntilFriday(func() FridayInput {
			f := exampleFriday(5, 300, 30, LoadOf(30*mpas, 0.1, 100, 0.1, false), 5)
			f.Sized = "nose"
			return f
		}())),
		"reading of no growth": second(RefitGrowth(1*mm, 0, 2)),
	}
	for name, err := range rows {
		switch {
		case err == nil:
			t.Errorf("%s: accepted", name)
		case strings.Contains(err.Error(), "\n") || strings.Contains(err.Error(), "strength:") || strings.Contains(err.Error(), "%!"):
			t.Errorf("%s: %q is not one plain sentence", name, err)
		}
	}
}

// A crack over the range of its formula is no error: the answer is stop.
func TestCrackBeyondTheFormulasIsStop(t *testing.T) {
	in := exampleFriday(45, 100, 30, LoadOf(30*mpas, 0.1, 100, 0.1, false), 5)
	a := mustFriday(t, in).Value
	if a.Verdict != StopNow || a.Hours != 0 || len(a.Reasons) == 0 {
		t.Errorf("90 mm of 100 cut: %+v", a)
	}
}

func TestRefitGrowth(t *testing.T) {
	one, two := must(RefitGrowth(2*mm, 3*mm, 1)), must(RefitGrowth(2*mm, 3*mm, 2))
	if math.Abs(one.Factor-1.5) > 1e-12 || two.Scatter >= one.Scatter {
		t.Errorf("one reading %+v, two %+v", one, two)
	}
	in := exampleFriday(5, 300, 30, LoadOf(30*mpas, 0.2, 100, 0.1, false), 5)
	fast := in
	fast.Refit = &two
	if a, b := mustFriday(t, in).Value, mustFriday(t, fast).Value; b.Life.Median >= a.Life.Median {
		t.Errorf("a crack that grows half as fast again: median %v h after %v h", b.Life.Median.Hours(), a.Life.Median.Hours())
	}
}

func TestBrent(t *testing.T) {
	for _, r := range []struct {
		name string
		f    func(float64) float64
		a, b float64
		want float64
	}{
		{"line", func(x float64) float64 { return 3*x - 1 }, 0, 1, 1.0 / 3},
		{"cubic flat at the root", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, 0, 3, 1},
		{"cosine", func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 0.7390851332151607}, // Dottie's number
		{"step", func(x float64) float64 { return math.Copysign(1, x-0.25) }, 0, 1, 0.25},
		{"root at the end", func(x float64) float64 { return x }, 0, 1, 0},
	} {
		got, err := brent(r.f, r.a, r.b, 1e-12)
		if err != nil || math.Abs(got-r.want) > 1e-5 {
			t.Errorf("%s: got %v (%v), want %v", r.name, got, err, r.want)
		}
	}
	if _, err := brent(func(x float64) float64 { return x*x + 1 }, -1, 1, 1e-9); err == nil {
		t.Error("a root where there is none")
	}
}

// Every result explains itself: title, source, working or a reason, and why.
func TestEveryBasisIsFull(t *testing.T) {
	h, err := Hold(crossMember())
	if err != nil {
		t.Fatal(err)
	}
	all := []source.Basis{h.Causes.Basis, h.Load.Basis, h.Repairs.Basis, h.Plate.Basis, h.Friday.Basis, h.Hidden.Basis, h.Look.Basis, h.Restraint.Basis}
	for _, b := range all {
		if b.Method == "" || b.Title == "" || b.Ref.Key == "" || b.Why == "" || b.Skip == "" || len(b.Steps)+len(b.Inputs) == 0 {
			t.Errorf("basis of %s is not full: %+v", b.Method, b)
		}
		for _, s := range b.Steps {
			if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) || strings.Contains(s.With+s.Text, "%!") {
				t.Errorf("%s: step %+v", b.Method, s)
			}
		}
	}
}

// Every figure of figures.csv is used, and every group of causes has its ratios.
func TestTables(t *testing.T) {
	for _, d := range Details() {
		for _, c := range d.Classes {
			if f := c.FAT.MPa(); f < fig("fat_lowest") || f > fig("fat_highest") || c.From > c.To {
				t.Errorf("%s: FAT %v, band %v to %v", d.ID, f, c.From, c.To)
			}
		}
		if d.Grindable && d.Place != "toe" && d.Place != "end" {
			t.Errorf("%s cracks from the %s and may be ground at the toe", d.ID, d.Place)
		}
	}
	for _, e := range causes.evidence {
		for i, r := range e.ratio {
			if r <= 0 {
				t.Errorf("%s: ratio %v for %s", e.ID, r, causes.ids[i])
			}
		}
	}
	for _, start := range []string{"weld-toe", "weld-root", "plate-end", "hole", "edge", "base", "old-repair", "corner", "casting-skin", ""} {
		o := OriginOf(job.Start(start))
		if !o.FAT.Has(o.Mid) || o.FAT.Low == 0 {
			t.Errorf("start %q: class %v in %v", start, o.Mid, o.FAT)
		}
		if r, _, _ := ResidualRange(start, 100*mpas); r.High <= 0 || r.Low > r.High {
			t.Errorf("start %q: residual %v", start, r)
		}
	}
}
