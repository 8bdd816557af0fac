package material

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	q "soundmetal/quantity"
	"soundmetal/source"
)

var allEquivalents = map[string]method{"ce-iiw": CEIIW, "ce-aws": CEAWS, "cet": CET, "pcm": Pcm, "cen": CEN}

// drawComposition draws a low-alloy steel.
func drawComposition(t *rapid.T) Composition {
	var all [elements]float64
	for i, top := range [elements]float64{1, 2, 3, 3, 2, .5, 4, 2, .2, .01} {
		all[i] = rapid.Float64Range(0, top).Draw(t, symbols[i])
	}
	return composition(all)
}

func TestMoreOfAnElementNeverLowersAnEquivalent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawComposition(t)
		all := c.all()
		i := rapid.IntRange(0, elements-1).Draw(t, "element")
		all[i] += rapid.Float64Range(0, .5).Draw(t, "more")
		more := composition(all)
		for id, of := range allEquivalents {
			before, err := of(c)
			if err != nil {
				t.Fatal(err)
			}
			after, err := of(more)
			if err != nil {
				t.Fatal(err)
			}
			if after.Value.CE < before.Value.CE {
				t.Fatalf("%s: more %s lowers it from %v to %v", id, symbols[i], before.Value.CE, after.Value.CE)
			}
			if i == 0 && more.C > c.C+1e-9 && after.Value.CE <= before.Value.CE {
				t.Fatalf("%s: more carbon does not raise it", id)
			}
		}
	})
}

func TestStepsAddUpToTheEquivalent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawComposition(t)
		for id, of := range allEquivalents {
			r, err := of(c)
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for _, s := range r.Basis.Steps[:len(r.Basis.Steps)-1] {
				if s.Name != "A(C)" {
					sum += s.Value
				}
			}
			if math.Abs(sum-float64(r.Value.CE)) > 1e-12 {
				t.Fatalf("%s: the working adds up to %v, the value is %v", id, sum, r.Value.CE)
			}
		}
	})
}

func TestRangeOfAnEquivalent(t *testing.T) {
	for _, c := range []struct {
		name    string
		of      method
		c       Composition
		outside string // elements, "" in range
	}{
		{"A36 type is made for CET", CET, ref(1), ""},
		{"4140 is outside CET by carbon and value", CET, ref(7), "C CE"},
		{"4140 is outside CE(IIW) by C, Cr and value", CEIIW, ref(7), "C Cr CE"},
		{"1045 is outside CET", CET, ref(6), "C CE"},
		{"A514-F type is inside Pcm", Pcm, ref(3), ""},
		{"500 HB plate is outside Pcm by carbon", Pcm, ref(5), "C"},
		{"500 HB plate is inside CEN", CEN, ref(5), ""},
		{"1045 is outside CEN by carbon", CEN, ref(6), "C"},
		{"iron alone is outside CET", CET, Composition{}, "C Mn CE"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := c.of(c.c)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, o := range r.Value.Outside {
				got = append(got, o.Element)
				if !strings.Contains(strings.Join(r.Basis.Notes, "\n"), o.String()) {
					t.Errorf("no note says %q", o)
				}
			}
			if g := strings.Join(got, " "); g != c.outside || r.Value.InRange != (c.outside == "") {
				t.Errorf("outside %q, in range %v; want %q", g, r.Value.InRange, c.outside)
			}
		})
	}
}

func TestImpossibleCompositionsAreRefused(t *testing.T) {
	for name, c := range map[string]Composition{
		"negative carbon": {C: -.1}, "not a number": {Mn: q.Percent(math.NaN())}, "infinite": {Ni: q.Percent(math.Inf(1))},
		"more than the whole": {Cr: 60, Ni: 60},
	} {
		for id, of := range allEquivalents {
			if _, err := of(c); err == nil {
				t.Errorf("%s takes a composition with %s", id, name)
			}
		}
		if _, err := Ms(c); err == nil {
			t.Errorf("ms takes a composition with %s", name)
		}
	}
}

func TestMsRefusesOutsideItsRange(t *testing.T) {
	for _, c := range []struct {
		name, quantity string
		c              Composition
	}{
		{"carbon at the end", "C", Composition{C: .6}},
		{"carbon beyond", "C", Composition{C: .9}},
		{"manganese steel", "C", Composition{C: 1.15, Mn: 12.5}},
		{"stainless", "Cr", Composition{C: .05, Cr: 18, Ni: 8}},
	} {
		_, err := Ms(c.c)
		var out *source.OutOfRange
		if !errors.As(err, &out) || out.Quantity != c.quantity || out.Method != "ms" {
			t.Errorf("%s: %v, want out of range by %s", c.name, err, c.quantity)
		}
	}
	if _, err := Ms(Composition{C: .599}); err != nil {
		t.Errorf("C just below 0.6: %v", err)
	}
}

func TestHardnessRefusesOutsideTheTable(t *testing.T) {
	var out *source.OutOfRange
	for _, hb := range []q.Brinell{115, 578, 0, -1, q.Brinell(math.NaN())} {
		if _, err := TensileFromBrinell(hb); !errors.As(err, &out) {
			t.Errorf("%v HB: %v, want out of range", hb, err)
		}
	}
	for _, hv := range []q.Vickers{115, 614} {
		if _, err := BrinellFromVickers(hv); !errors.As(err, &out) {
			t.Errorf("%v HV: %v, want out of range", hv, err)
		}
	}
	for _, hv := range []q.Vickers{293, 560} {
		if _, err := CutEdgeCarbon(hv); !errors.As(err, &out) {
			t.Errorf("cut edge %v HV: %v, want out of range", hv, err)
		}
	}
}

func TestHarderIsNeverWeaker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(116, 577).Draw(t, "a")
		b := rapid.Float64Range(a, 577).Draw(t, "b")
		x, errX := TensileFromBrinell(q.Brinell(a))
		y, errY := TensileFromBrinell(q.Brinell(b))
		if errX != nil || errY != nil || y.Value < x.Value {
			t.Fatalf("%v HB gives %v, %v HB gives %v (%v %v)", a, x.Value, b, y.Value, errX, errY)
		}
		hv, err := VickersFromBrinell(q.Brinell(a))
		if err != nil {
			t.Fatal(err)
		}
		back, err := BrinellFromVickers(hv.Value)
		if err != nil || math.Abs(float64(back.Value)-a) > 1e-6 {
			t.Fatalf("%v HB to Vickers and back is %v (%v)", a, back.Value, err)
		}
	})
}

func TestTheRowFromMemoryIsMarked(t *testing.T) {
	for hb, want := range map[q.Brinell]source.Status{120: source.Memory, 116: source.Memory, 135: source.Read, 300: source.Read} {
		r, err := TensileFromBrinell(hb)
		if err != nil || r.Basis.Ref.Status != want {
			t.Errorf("%v HB: status %q (%v), want %q", hb, r.Basis.Ref.Status, err, want)
		}
	}
}

// complete says what a basis lacks.
func lacks(b source.Basis) (missing []string) {
	for name, empty := range map[string]bool{"method": b.Method == "", "title": b.Title == "", "formula": b.Formula == "", "inputs": b.Inputs == nil,
		"steps": b.Steps == nil, "ref": b.Ref.Key == "", "why": b.Why == ""} {
		if empty {
			missing = append(missing, name)
		}
	}
	return missing
}

func TestEveryBasisIsComplete(t *testing.T) {
	var all []source.Basis
	for _, of := range allEquivalents {
		r, err := of(ref(2))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, r.Basis)
	}
	ms, err := Ms(ref(2))
	mpa, err1 := TensileFromBrinell(200)
	hv, err2 := VickersFromBrinell(200)
	hb, err3 := BrinellFromVickers(200)
	edge, err4 := CutEdgeCarbon(400)
	whole, err5 := Complete(Analysis{C: q.Known(q.Percent(.2))}, "s355", q.Known(10*q.Millimetre))
	f, _ := Lookup("s355")
	top, err6 := f.MaxInterpass(q.Known(10 * q.Millimetre))
	if err := errors.Join(err, err1, err2, err3, err4, err5, err6); err != nil {
		t.Fatal(err)
	}
	all = append(all, ms.Basis, mpa.Basis, hv.Basis, hb.Basis, edge.Basis, whole.Basis, top.Basis, f.Worst(q.Known(10*q.Millimetre)).Basis)
	for _, b := range all {
		if m := lacks(b); m != nil {
			t.Errorf("basis of %s lacks %v", b.Method, m)
		}
	}
}
