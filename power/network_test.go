package power

import (
	"math"
	"strings"
	"testing"

	q "soundmetal/quantity"
)

func solveText(t *testing.T, edges, from, to string, i q.Current) Solution {
	t.Helper()
	list, err := ReadEdges(edges)
	if err != nil {
		t.Fatal(err)
	}
	got, err := SolveEdges(list, from, to, i)
	if err != nil {
		t.Fatal(err)
	}
	if float64(got.Value.Residual) > 1e-9*float64(i) {
		t.Errorf("%s: Kirchhoff residual %g A of %g A", edges, float64(got.Value.Residual), float64(i))
	}
	return got.Value
}

func near(t *testing.T, name string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*max(1, math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g, difference %.3g", name, got, want, got-want)
	}
}

// Series and parallel by hand.
func TestSeriesParallel(t *testing.T) {
	s := solveText(t, "a-b:1mohm, b-c:2mohm, c-d:3mohm", "a", "d", 100)
	near(t, "series resistance", float64(s.Resistance/q.Milliohm), 6)
	for _, f := range s.Flows {
		near(t, f.A+f.B, float64(f.Current), 100)
	}
	s = solveText(t, "a-b:2ohm, a-b:3ohm, a-b:6ohm", "a", "b", 12)
	near(t, "parallel resistance", float64(s.Resistance), 1)
	near(t, "first", float64(s.Flows[0].Current), 6)
	near(t, "second", float64(s.Flows[1].Current), 4)
	near(t, "third", float64(s.Flows[2].Current), 2)
	// the sign follows the way the edge is written
	s = solveText(t, "b-a:2ohm", "a", "b", 12)
	near(t, "against the edge", float64(s.Flows[0].Current), -12)
}

// Wheatstone bridge, textbook (general reference), solved by hand. Balanced,
// 1:2 on both sides: nothing in the bridge, 2 Ω in all. Unbalanced with
// s-a 1, s-b 2, a-t 2, b-t 1, a-b 1: by symmetry v_a = 4/7, v_b = 3/7 of a source
// at 1 V over t at 0 V; currents 3/7 + 2/7 = 5/7 A, so R = 7/5 Ω and the bridge
// carries 1/5 of the current.
func TestWheatstone(t *testing.T) {
	s := solveText(t, "s-a:1ohm, s-b:2ohm, a-t:2ohm, b-t:4ohm, a-b:5ohm", "s", "t", 9)
	near(t, "balanced: resistance", float64(s.Resistance), 2) // (1+2) ∥ (2+4) = 2
	near(t, "balanced: bridge", float64(s.Flows[4].Current), 0)
	near(t, "balanced: light arm", float64(s.Flows[0].Current), 6)
	near(t, "balanced: heavy arm", float64(s.Flows[1].Current), 3)

	s = solveText(t, "s-a:1ohm, s-b:2ohm, a-t:2ohm, b-t:1ohm, a-b:1ohm", "s", "t", 5)
	near(t, "unbalanced: resistance", float64(s.Resistance), 7.0/5)
	near(t, "unbalanced: bridge", float64(s.Flows[4].Current), 1)
	near(t, "unbalanced: s-a", float64(s.Flows[0].Current), 3)
	near(t, "unbalanced: s-b", float64(s.Flows[1].Current), 2)
	near(t, "unbalanced: a-t", float64(s.Flows[2].Current), 2)
	near(t, "unbalanced: b-t", float64(s.Flows[3].Current), 3)
}

// Delta to star, textbook (general reference): 10, 20, 30 Ω between a-b, b-c, c-a
// is a star of R_a = 10·30/60 = 5, R_b = 10·20/60 = 10/3, R_c = 20·30/60 = 10.
func TestDeltaStar(t *testing.T) {
	for _, pair := range [][2]string{{"a", "b"}, {"b", "c"}, {"c", "a"}} {
		delta := solveText(t, "a-b:10ohm, b-c:20ohm, c-a:30ohm", pair[0], pair[1], 1)
		star := solveText(t, "a-n:5ohm, b-n:3.3333333333333335ohm, c-n:10ohm", pair[0], pair[1], 1)
		near(t, "between "+pair[0]+" and "+pair[1], float64(delta.Resistance), float64(star.Resistance))
	}
}

// A cube of twelve equal resistances, corner to corner: 5/6 of one (textbook puzzle, general reference).
func TestCube(t *testing.T) {
	s := solveText(t, "a-b:6ohm,a-c:6ohm,a-d:6ohm,b-e:6ohm,b-f:6ohm,c-e:6ohm,c-g:6ohm,d-f:6ohm,d-g:6ohm,e-h:6ohm,f-h:6ohm,g-h:6ohm", "a", "h", 6)
	near(t, "cube", float64(s.Resistance), 5)
	near(t, "first edge: a third", float64(s.Flows[0].Current), 2)
	near(t, "middle edge: a sixth", float64(s.Flows[3].Current), 1)
}

// A body that hangs on nothing, and a dead end, carry nothing.
func TestHanging(t *testing.T) {
	s := solveText(t, "a-b:1ohm, b-c:1ohm, x-y:1ohm", "a", "b", 10)
	near(t, "dead end", float64(s.Flows[1].Current), 0)
	near(t, "apart", float64(s.Flows[2].Current), 0)
}

func TestSolveRefuses(t *testing.T) {
	edges, err := ReadEdges("a-b:1ohm, c-d:1ohm")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name     string
		edges    []Edge
		from, to string
		i        q.Current
		says     string
	}{
		{"not joined", edges, "a", "d", 100, "do not join"},
		{"unknown body", edges, "a", "z", 100, `"z"`},
		{"no current", edges, "a", "b", 0, "current"},
		{"no edges", nil, "a", "b", 100, "no edges"},
		{"zero resistance", []Edge{{"a", "b", 0}}, "a", "b", 100, "resistance"},
		{"self", []Edge{{"a", "a", 1}}, "a", "a", 100, "one body"},
		{"NaN", []Edge{{"a", "b", q.Resistance(math.NaN())}}, "a", "b", 100, "resistance"},
	} {
		got, err := SolveEdges(c.edges, c.from, c.to, c.i)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, %v, want an error with %q", c.name, got.Value, err, c.says)
		}
	}
}

func TestReadEdges(t *testing.T) {
	for text, want := range map[string]float64{
		"a-b:0.5mohm": 0.5e-3, "a-b: 0.5 mΩ": 0.5e-3, "a-b:500uohm": 0.5e-3, "a-b:500 µΩ": 0.5e-3, "a-b:500μΩ": 0.5e-3, "a-b:2ohm": 2, "a-b:2Ω": 2, "a-b:1e-3ohm": 1e-3, " a - b :1milliohm": 1e-3,
	} {
		got, err := ReadEdges(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		check(t, text, float64(got[0].R), want, 1e-12)
	}
	for _, c := range []struct {
		text   string
		column int
		says   string
	}{
		{"", 1, "missing"},
		{"a-b:1ohm,", 10, "missing"},
		{"a-b", 1, "no resistance"},
		{"a:1ohm", 1, "one body"},
		{"a-a:1ohm", 1, "both ends"},
		{"a-b:1ohm, b-c!:2ohm", 13, "no name"},
		{"a-b:1", 5, "no unit"},
		{"a-b:1Mohm", 5, "small m"},
		{"a-b:-1ohm", 5, "outside"},
		{"a-b:0ohm", 5, "outside"},
		{"a-b:xohm", 5, "no number"},
		{"a-b:infohm", 5, "no number"},
		{"-b:1ohm", 1, "no name"},
	} {
		got, err := ReadEdges(c.text)
		e, ok := err.(*EdgeError)
		if !ok || e.Column != c.column || !strings.Contains(e.Says, c.says) {
			t.Errorf("%q: got %v, %v, want column %d and %q", c.text, got, err, c.column, c.says)
		}
	}
}

// What is read, written and read again is the same; what is not read has a column.
func FuzzReadEdges(f *testing.F) {
	for _, s := range []string{"a-b:0.5mohm,b-c:1mohm", "a-b: 3 µΩ", "", "a-b:1", "ä_1-b.2:1e-3Ω", "a-b:1ohm,,", "a-b:1Mohm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		edges, err := ReadEdges(text)
		if err != nil {
			if e, ok := err.(*EdgeError); !ok || e.Column < 1 || e.Says == "" || edges != nil {
				t.Fatalf("%q: error %v with edges %v", text, err, edges)
			}
			return
		}
		again, err := ReadEdges(EdgesText(edges))
		if err != nil {
			if len(EdgesText(edges)) > longestEdges {
				return // the written form is longer than the shortest one
			}
			t.Fatalf("%q: written as %q: %v", text, EdgesText(edges), err)
		}
		for k := range edges {
			if edges[k] != again[k] {
				t.Fatalf("%q: %v, read again %v", text, edges[k], again[k])
			}
		}
	})
}
