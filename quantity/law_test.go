package quantity

import (
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// anyValue draws a value of the kind over the sizes that its units cover.
func anyValue(t *rapid.T, k Kind) float64 {
	units := k.Units()
	unit := units[rapid.IntRange(0, len(units)-1).Draw(t, "unit")]
	x := math.Pow(10, rapid.Float64Range(-3, 4).Draw(t, "size"))
	switch rapid.IntRange(0, 9).Draw(t, "case") {
	case 0:
		x = 0
	case 1, 2, 3:
		x = math.Round(x*16) / 16
	}
	v := unit.SI(x)
	if kinds[k].signed && rapid.Bool().Draw(t, "negative") {
		v = -v
	}
	return max(v, kinds[k].lowest())
}

func (k kindFacts) lowest() float64 {
	switch {
	case k.low != 0:
		return k.low
	case k.signed:
		return math.Inf(-1)
	}
	return 0
}

// What is printed is read as the same value, within half the last step printed.
func TestPrintedIsReadBack(t *testing.T) {
	for _, k := range Kinds() {
		t.Run(k.String(), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				v := anyValue(t, k)
				if k == KindTemperature {
					v = max(v, -270) // to the nearest 5, absolute zero would print below itself
				}
				for _, sys := range []System{SI, US} {
					room := k.printed(v, sys) + 1e-9*math.Abs(v)
					for _, text := range []string{k.In(v, sys), k.Text(v, sys)} {
						got, err := ReadKind(k, text, ReadAs{})
						if err != nil {
							t.Fatalf("%v printed as %q: %v", v, text, err)
						}
						if d := math.Abs(got - v); d > room {
							t.Fatalf("%q: got %v, want %v, difference %g, room %g", text, got, v, d, room)
						}
					}
				}
			})
		})
	}
}

// Exact loses nothing, in any unit.
func TestExactIsReadBack(t *testing.T) {
	for _, k := range Kinds() {
		t.Run(k.String(), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				v := anyValue(t, k)
				for _, u := range k.Units() {
					text := k.Exact(v, u.Symbol)
					got, err := ReadKind(k, text, ReadAs{Bare: bareFor(u)})
					if err != nil || got != v {
						t.Fatalf("%q: got %v, %v, want %v", text, got, err, v)
					}
				}
			})
		})
	}
}

// bareFor is the unit of the one symbol that is not printed.
func bareFor(u *Unit) string {
	if u.Kind == KindRatio {
		return "1"
	}
	return ""
}

// A printed range names both ends within the roundness of a range.
func TestRangeEndsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Length(math.Pow(10, rapid.Float64Range(-3, 3).Draw(t, "a")))
		b := Length(math.Pow(10, rapid.Float64Range(-3, 3).Draw(t, "b")))
		r := Span(a, b)
		for _, sys := range []System{SI, US} {
			low, high, two := strings.Cut(r.In(sys), " to ")
			if !two {
				high = low
			}
			h, err := Read[Length](high, ReadAs{})
			if err != nil {
				t.Fatalf("%q: %v", high, err)
			}
			if d := math.Abs(float64(h - r.High)); d > 0.06*float64(r.High)+KindLength.printed(float64(r.High), sys) {
				t.Fatalf("%s of %v: high end off by %g", r.In(sys), r, d)
			}
			if !two {
				continue
			}
			unit := high[strings.LastIndexByte(high, ' ')+1:]
			l, err := Read[Length](low, ReadAs{})
			if err != nil { // the unit is written once, behind
				l, err = Read[Length](low+" "+unit, ReadAs{})
			}
			if err != nil {
				t.Fatalf("%q: %v", low, err)
			}
			if d := math.Abs(float64(l - r.Low)); d > 0.06*float64(r.Low)+KindLength.printed(float64(r.Low), sys) {
				t.Fatalf("%s of %v: low end off by %g", r.In(sys), r, d)
			}
		}
	})
}

// A minimum never prints lower than computed and a maximum never higher, in
// either unit.
func TestLimitsAreNeverCrossed(t *testing.T) {
	// RoundUp takes a value a billionth of a step beyond a multiple for the multiple.
	const hair = 1e-8
	rapid.Check(t, func(t *rapid.T) {
		v := Temperature(rapid.Float64Range(-100, 900).Draw(t, "computed"))
		if rapid.Bool().Draw(t, "round F") {
			v = Fahrenheit(math.Round(v.F()))
		}
		for _, sys := range []System{SI, US} {
			for i, part := range parts(v.MinimumText(sys)) {
				got, err := Read[Temperature](part, ReadAs{})
				if err != nil || got < v-hair || float64(got-v) > 10 {
					t.Fatalf("minimum %v, %s, part %d: %v, %v", float64(v), v.MinimumText(sys), i, float64(got), err)
				}
			}
			for i, part := range parts(v.MaximumText(sys)) {
				got, err := Read[Temperature](part, ReadAs{})
				if err != nil || got > v+hair || float64(v-got) > 10 {
					t.Fatalf("maximum %v, %s, part %d: %v, %v", float64(v), v.MaximumText(sys), i, float64(got), err)
				}
			}
			if again := v.Minimum(sys).Minimum(sys); math.Abs(float64(again-v.Minimum(sys))) > hair {
				t.Fatalf("minimum of a minimum moved from %v to %v", v.Minimum(sys), again)
			}
		}
	})
}

// A window lies inside what was computed, in either unit.
func TestWindowLiesInside(t *testing.T) {
	const hair = 1e-8
	rapid.Check(t, func(t *rapid.T) {
		low := Temperature(rapid.Float64Range(0, 300).Draw(t, "low"))
		w := Span(low, low+Temperature(rapid.Float64Range(0.1, 300).Draw(t, "width")))
		for _, sys := range []System{SI, US} {
			for _, part := range parts(WindowText(w, sys)) {
				first, last, two := strings.Cut(part, " to ")
				if !two {
					last = first
				}
				unit := last[strings.IndexByte(last, ' '):]
				for _, end := range []string{strings.TrimSuffix(first, unit) + unit, last} {
					got, err := Read[Temperature](end, ReadAs{})
					// the second unit of a window narrower than a hundredth is the nearest one
					if err != nil || got < w.Low-hair-0.01 || got > w.High+hair+0.01 {
						t.Fatalf("window %v, %s: %v, %v", w, part, float64(got), err)
					}
				}
			}
		}
	})
}

// parts splits "250 °F (125 °C)".
func parts(text string) []string {
	return strings.Split(strings.TrimSuffix(text, ")"), " (")
}

func TestRoundingLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e4, 1e4).Draw(t, "v")
		step := rapid.SampledFrom([]float64{0.01, 0.1, 0.5, 1, 5, 25}).Draw(t, "step")
		up, down, to := RoundUp(v, step), RoundDown(v, step), RoundTo(v, step)
		hair := 1e-8*step + 1e-12*math.Abs(v)
		switch {
		case up < v-hair || up-v > step+hair:
			t.Fatalf("up %v to %v by %v", v, up, step)
		case down > v+hair || v-down > step+hair:
			t.Fatalf("down %v to %v by %v", v, down, step)
		case math.Abs(to-v) > step/2+hair:
			t.Fatalf("%v to %v by %v", v, to, step)
		}
	})
}

// Every unit of the table, under its symbol and every alias.
func TestUnitsRoundTrip(t *testing.T) {
	for _, k := range Kinds() {
		first := k.Units()[0]
		for _, u := range k.Units() {
			t.Run(k.String()+"/"+u.Symbol, func(t *testing.T) {
				for _, x := range []float64{0.25, 1, 7.3, 600, 12345.678} {
					if got := u.From(u.SI(x)); math.Abs(got-x) > 1e-12*x*(1+math.Abs(u.offset)) {
						t.Errorf("%v %s: got %v, difference %g", x, u.Symbol, got, got-x)
					}
					if back := u.From(first.SI(first.From(u.SI(x)))); math.Abs(back-x) > 1e-11*x*(1+math.Abs(u.offset)) {
						t.Errorf("%v %s by way of %s: got %v", x, u.Symbol, first.Symbol, back)
					}
				}
				if u.Symbol == "" || u.Symbol == "1" {
					return
				}
				for _, name := range append([]string{u.Symbol}, u.Aliases...) {
					name = strings.TrimPrefix(name, "=")
					for _, text := range []string{"7.5 " + name, "7.5" + name} {
						got, err := ReadKind(k, text, ReadAs{})
						if err != nil || got != u.SI(7.5) {
							t.Errorf("%q: got %v, %v, want %v", text, got, err, u.SI(7.5))
						}
					}
				}
			})
		}
	}
}

// Each kind needs a unit of factor 1 without offset, a row in both print
// systems, and names for its messages.
func TestTablesAreComplete(t *testing.T) {
	for _, k := range Kinds() {
		base := false
		for _, u := range k.Units() {
			base = base || u.factor == 1 && u.offset == 0 && !u.divide
			if math.IsInf(u.factor, 0) || !(u.factor > 0) {
				t.Errorf("%s %s: factor %v", k, u.Symbol, u.factor)
			}
		}
		if !base {
			t.Errorf("%s: no unit of factor 1", k)
		}
		if k != KindNumber && len(lexicons[k].takes) == 0 {
			t.Errorf("%s: no unit to show in a message", k)
		}
		for sys, bands := range printings[k].bands {
			for i := 1; i < len(bands); i++ {
				if bands[i].from <= bands[i-1].from {
					t.Errorf("%s %s: bands out of order at %d", k, System(sys), i)
				}
			}
		}
	}
}

// Each row names a publication of the bibliography, or no publication and a
// status that needs none.
func TestRowsHaveTheirSource(t *testing.T) {
	text, err := os.ReadFile("../source/sources.csv")
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{"": true}
	for _, r := range mustReadCSV("sources.csv", string(text)) {
		known[r["key"]] = true
	}
	needsNone := map[string]bool{"common practice": true, "derived": true, "judgement": true}
	status := map[string]bool{"read": true, "from memory": true}
	for file, rows := range map[string][]map[string]string{
		"units.csv":  mustReadCSV("units.csv", unitsCSV),
		"words.csv":  mustReadCSV("words.csv", wordsCSV),
		"prints.csv": mustReadCSV("prints.csv", printsCSV),
	} {
		for i, r := range rows {
			if !known[r["source"]] {
				t.Errorf("%s row %d: no publication %q", file, i+2, r["source"])
			}
			if !needsNone[r["status"]] && (!status[r["status"]] || r["source"] == "") {
				t.Errorf("%s row %d: status %q with source %q", file, i+2, r["status"], r["source"])
			}
		}
	}
}
