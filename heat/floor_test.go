package heat

import (
	"encoding/json"
	"math"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// joint is a plain joint for the tests below.
func joint(name string, g Group, c Category, t q.Length) PreheatInput {
	return PreheatInput{Steel: steels[name], Group: g, Category: c, Thickness: t, Hydrogen: 4, HeatInput: kjmm(1.2), Restraint: job.MediumRestraint}
}

// The parts of each floor follow from the published methods (see the tables of
// published_test.go); here only the choice among them is checked.
func TestFloorTakesTheHighest(t *testing.T) {
	rigid := func(in PreheatInput) PreheatInput { in.Restraint = job.HighRestraint; return in }
	for _, r := range []struct {
		name string
		in   PreheatInput
		by   string
		want float64
		tol  float64
	}{
		{"mild 8 mm: room temperature is enough", joint("S1 A36 type", Mild, CategoryB, mm(8)), idSI, 20, 0},
		{"S355 25 mm medium", joint("S2 S355 type", S355, CategoryB, mm(25)), idSI, 75, 0}, // SI 3.6, group C: 165 °F
		{"A514-F 25 mm rigid: hydrogen control", rigid(joint("S3 A514-F type", A514, CategoryA514, mm(25))), idSI, 140, 0},
		{"500 HB 25 mm: steelmaker's chart and an adder", joint("S5 500 HB", AR500, "", mm(25)), idSpecial, 175, 0},
		{"500 HB 20 mm: CET method", joint("S5 500 HB", AR500, "", mm(20)), idCET, 155.41, .01},
		{"manganese steel: none", joint("S6 1045", Manganese, "", mm(40)), idSpecial, 0, 0},
		{"4140 rigid: shop chart", rigid(joint("S7 4140", CrMo, "", mm(40))), idMs, 315.6, .1},
		{"1045: shop chart", joint("S6 1045", MediumCarbon, "", mm(40)), idMs, 260, 0},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := MinimumPreheat(r.in)
			if err != nil {
				t.Fatal(err)
			}
			if got.By != r.by {
				t.Errorf("governed by %s, want %s: %+v", got.By, r.by, got.Rows)
			}
			near(t, "floor °C", got.Minimum.C(), r.want, r.tol)
		})
	}
}

// 4140 is outside the CET method (CET .5555): the method's value at .50 stays as
// a lower bound. Worked: 697 × .5 + 160 tanh(100/35) + 62 × 4^.35 − 5.5 × 1.2 − 328.
func TestFloorKeepsTheValueAtTheLimit(t *testing.T) {
	in := joint("S7 4140", CrMo, "", mm(100))
	got, err := MinimumPreheat(in)
	if err != nil {
		t.Fatal(err)
	}
	row := got.Rows[rowCET]
	if row.Role != AtLimit || row.Reason != overCET {
		t.Errorf("CET row is %+v, want the value at its limit", row)
	}
	// d is evaluated at 90 mm.
	near(t, "value at CET .50", row.Value.C(), 348.5+160*math.Tanh(90.0/35)+62*math.Pow(4, .35)-5.5*1.2-328, 1e-9)
}

func TestFloorOfUnknownChemistry(t *testing.T) {
	cast := PreheatInput{Steel: Steel{Unknown: true}, Group: CastAlloy, Thickness: mm(40), Hydrogen: 4, HeatInput: kjmm(1.2)}
	got, err := MinimumPreheat(cast)
	if err != nil {
		t.Fatal(err)
	}
	if got.Minimum != 150 || got.By != idSpecial {
		t.Errorf("unknown casting: %v by %s, want 150 °C by %s", got.Minimum, got.By, idSpecial)
	}
	nothing := cast
	nothing.Group = ""
	if _, err := MinimumPreheat(nothing); err == nil {
		t.Error("a steel of which nothing is known got a preheat")
	}
	if v := FloorValue(nothing); !math.IsInf(v.C(), 1) {
		t.Errorf("floor of a steel of which nothing is known is %v, want +Inf", v)
	}
}

func TestFloorRefusesNonsense(t *testing.T) {
	ok := joint("S2 S355 type", S355, CategoryB, mm(25))
	for name, change := range map[string]func(*PreheatInput){
		"no thickness":   func(in *PreheatInput) { in.Thickness = 0 },
		"NaN thickness":  func(in *PreheatInput) { in.Thickness = q.Length(math.NaN()) },
		"no hydrogen":    func(in *PreheatInput) { in.Hydrogen = 0 },
		"no heat input":  func(in *PreheatInput) { in.HeatInput = 0 },
		"no CET":         func(in *PreheatInput) { in.Steel.CET = 0 },
		"odd group":      func(in *PreheatInput) { in.Group = "unobtainium" },
		"odd category":   func(in *PreheatInput) { in.Category = "Z" },
		"infinite plate": func(in *PreheatInput) { in.Thickness = q.Length(math.Inf(1)) },
	} {
		in := ok
		change(&in)
		if _, err := MinimumPreheat(in); err == nil {
			t.Errorf("%s: no error", name)
		}
		if v := FloorValue(in); !math.IsInf(v.C(), 1) {
			t.Errorf("%s: FloorValue is %v, want +Inf", name, v)
		}
	}
}

// drawFloor draws any joint of any family, inside and outside every method's range.
func drawFloor(t *rapid.T) PreheatInput {
	el := func(name string, most float64) q.Percent { return q.Percent(rapid.Float64Range(0, most).Draw(t, name)) }
	in := PreheatInput{
		Steel: steel(Steel{C: .01 + el("C", 1), Si: el("Si", 1), Mn: .1 + el("Mn", 2), Cr: el("Cr", 2), Mo: el("Mo", .8), V: el("V", .2),
			Ni: el("Ni", 2.5), Cu: el("Cu", .5), B: el("B", .005)}),
		Group:        rapid.SampledFrom(append(Groups(), "")).Draw(t, "group"),
		Category:     rapid.SampledFrom([]Category{"", CategoryA, CategoryB, CategoryC, CategoryD, CategoryA514}).Draw(t, "category"),
		Thickness:    mm(rapid.OneOf(rapid.Float64Range(1, 150), rapid.SampledFrom([]float64{3, 9.525, 10, 19.05, 20, 25.4, 38, 38.1, 50, 65, 75, 76.2, 90})).Draw(t, "mm")),
		Hydrogen:     q.Hydrogen(rapid.OneOf(rapid.Float64Range(.3, 40), rapid.SampledFrom([]float64{1, 4, 5, 8, 10, 16, 20, 30})).Draw(t, "H")),
		HeatInput:    kjmm(rapid.Float64Range(.2, 6).Draw(t, "Q")),
		Restraint:    rapid.SampledFrom([]job.Restraint{job.LowRestraint, job.MediumRestraint, job.HighRestraint, ""}).Draw(t, "restraint"),
		StrongFiller: rapid.Bool().Draw(t, "strong filler"),
		Damp:         rapid.Bool().Draw(t, "damp"),
	}
	if rapid.Bool().Draw(t, "cold") {
		in.Base = known(rapid.Float64Range(-30, 30).Draw(t, "base"))
		in.Air = in.Base
	}
	if rapid.Bool().Draw(t, "weld metal") {
		in.WeldMetalCET = q.Known(q.Percent(rapid.Float64Range(.15, .4).Draw(t, "weld metal CET")))
	}
	if rapid.IntRange(0, 9).Draw(t, "known") == 0 {
		in.Steel.Unknown = true
	}
	return in
}

// The law of the floor: it never falls when thickness, carbon, hydrogen or
// restraint rise, over all families and across every hand-over between methods.
func TestFloorNeverFalls(t *testing.T) {
	stiffer := map[job.Restraint]job.Restraint{job.LowRestraint: job.MediumRestraint, job.MediumRestraint: job.HighRestraint, job.HighRestraint: "", "": ""}
	for name, worsen := range map[string]func(*rapid.T, *PreheatInput){
		"thickness": func(t *rapid.T, in *PreheatInput) {
			in.Thickness += mm(rapid.OneOf(rapid.Float64Range(0, 60), rapid.Float64Range(0, .2)).Draw(t, "more mm"))
		},
		"carbon": func(t *rapid.T, in *PreheatInput) {
			in.Steel.C += q.Percent(rapid.OneOf(rapid.Float64Range(0, .5), rapid.Float64Range(0, .02)).Draw(t, "more C"))
			in.Steel = steel(in.Steel)
		},
		"hydrogen": func(t *rapid.T, in *PreheatInput) {
			in.Hydrogen += q.Hydrogen(rapid.OneOf(rapid.Float64Range(0, 20), rapid.Float64Range(0, .2)).Draw(t, "more H"))
		},
		"restraint": func(_ *rapid.T, in *PreheatInput) { in.Restraint = stiffer[in.Restraint] },
		"weld metal": func(t *rapid.T, in *PreheatInput) {
			in.WeldMetalCET = q.Known(in.WeldMetalCET.Or(.1) + q.Percent(rapid.Float64Range(0, .2).Draw(t, "more weld metal CET")))
		},
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				before := drawFloor(t)
				after := before
				worsen(t, &after)
				a, b := FloorValue(before), FloorValue(after)
				if b < a-1e-9 {
					t.Fatalf("floor falls from %.2f to %.2f °C\nbefore %+v\nafter  %+v", a, b, before, after)
				}
			})
		})
	}
}

// FloorValue is MinimumPreheat without words; each row is what the method's own
// function says; no row that counts lies above the floor.
func TestFloorRowsAgreeWithTheMethods(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawFloor(t)
		v := FloorValue(in)
		f, err := MinimumPreheat(in)
		if err != nil {
			if !math.IsInf(v.C(), 1) {
				t.Fatalf("MinimumPreheat refuses (%v), FloorValue gives %v", err, v)
			}
			return
		}
		if f.Minimum != v {
			t.Fatalf("MinimumPreheat gives %v, FloorValue %v", f.Minimum, v)
		}
		governed := false
		for i, r := range f.Rows {
			if r.Method == f.By {
				governed = r.Value == f.Minimum && (r.Role == Counts || r.Role == AtLimit)
			}
			if r.Role == Silent {
				if r.Reason == "" {
					t.Fatalf("%s is silent without a reason", r.Method)
				}
				continue
			}
			if r.Role != Check && r.Value > f.Minimum {
				t.Fatalf("%s asks for %v, above the floor %v", r.Method, r.Value, f.Minimum)
			}
			if r.Role == AtLimit && r.Reason == "" {
				t.Fatalf("%s is at a limit without a reason", r.Method)
			}
			if got := f.explain(i).Value; math.Abs(float64(got-r.Value)) > 1e-6 {
				t.Fatalf("%s: row %v, method %v", r.Method, r.Value, got)
			}
		}
		if !governed {
			t.Fatalf("the floor is not the value of the method it names: %+v", f)
		}
	})
}

func TestFloorExplainsItself(t *testing.T) {
	for name, s := range steels {
		f, err := MinimumPreheat(PreheatInput{Steel: s, Thickness: mm(25), Hydrogen: 5, HeatInput: kjmm(1.2), WeldMetalCET: q.Known[q.Percent](.31), StrongFiller: true})
		if name == "low carbon, no Pcm" {
			if err == nil {
				t.Errorf("%s: a steel without equivalents got a floor", name)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		full(t, f.Result().Basis)
		for _, r := range f.Explain() {
			full(t, r.Basis)
		}
	}
}

func TestFloorEncodes(t *testing.T) {
	f, err := MinimumPreheat(joint("S2 S355 type", S355, CategoryB, mm(25)))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	var back Floor
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(f, back); d != "" {
		t.Errorf("floor changes on the way through JSON (-want +got):\n%s", d)
	}
}

func BenchmarkFloorValue(b *testing.B) {
	in := joint("S2 S355 type", S355, CategoryB, mm(25))
	for b.Loop() {
		FloorValue(in)
	}
}

func BenchmarkMinimumPreheat(b *testing.B) {
	in := joint("S7 4140", CrMo, "", mm(40))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := MinimumPreheat(in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFloorResult(b *testing.B) {
	f, err := MinimumPreheat(joint("S7 4140", CrMo, "", mm(40)))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		f.Result()
	}
}
