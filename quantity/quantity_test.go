package quantity

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestAccessors(t *testing.T) {
	cases := []struct {
		name      string
		got, want float64
	}{
		{"mm", (25.4 * Millimetre).MM(), 25.4},
		{"inches", (3 * Inch).Inches(), 3},
		{"mm²", (12 * SquareMillimetre).MM2(), 12},
		{"C", Fahrenheit(212).C(), 100},
		{"F", Temperature(-40).F(), -40},
		{"K", Temperature(0).K(), 273.15},
		{"minutes", (2 * Hour).Minutes(), 120},
		{"hours", (90 * Minute).Hours(), 1.5},
		{"MPa", (50 * KSI).MPa(), 344.73786465841807}, // 50 × 4448.2216152605/0.00064516/1e6, exact definitions
		{"kJ/mm", (25.4 * KilojoulePerInch).KJPerMM(), 1},
		{"kJ/in", (1 * KilojoulePerMillimetre).KJPerInch(), 25.4},
		{"mm/min", (4 * InchPerMinute).MMPerMin(), 101.6},
		{"degrees", Angle(math.Pi / 2).Degrees(), 90},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if d := c.got - c.want; math.Abs(d) > 1e-12*math.Abs(c.want) {
				t.Errorf("got %v, want %v, difference %g", c.got, c.want, d)
			}
		})
	}
}

func TestRange(t *testing.T) {
	r := Span[Current](250, 200)
	if diff := cmp.Diff(Of[Current]{200, 250}, r); diff != "" {
		t.Error(diff)
	}
	if r.Mid() != 225 || !r.Has(200) || !r.Has(250) || r.Has(251) {
		t.Errorf("range %v: middle %v", r, r.Mid())
	}
	shared, ok := r.Meet(Span[Current](240, 300))
	if !ok || shared != (Of[Current]{240, 250}) {
		t.Errorf("got %v, %v", shared, ok)
	}
	if _, ok := r.Meet(At[Current](260)); ok {
		t.Error("ranges that do not touch have no part in common")
	}
}

func TestMaybe(t *testing.T) {
	var unknown Maybe[Length]
	if got := unknown.Or(Inch); got != Inch {
		t.Errorf("got %v, want an inch", got)
	}
	if got := Known(Foot).Or(Inch); got != Foot {
		t.Errorf("got %v, want a foot", got)
	}
}

func TestSystem(t *testing.T) {
	for sys, want := range map[System]string{SI: "si", US: "us"} {
		if got, err := sys.MarshalText(); err != nil || string(got) != want {
			t.Errorf("got %s, %v, want %s", got, err, want)
		}
		var back System
		if err := back.UnmarshalText([]byte(want)); err != nil || back != sys {
			t.Errorf("%s is read as %v, %v", want, back, err)
		}
	}
	var s System
	if err := s.UnmarshalText([]byte("imperial")); err == nil {
		t.Error("imperial is read as a system")
	}
}

// A limit given in the other system holds.
func TestOverAndUnder(t *testing.T) {
	cases := []struct {
		name        string
		v, limit    Length
		over, under bool
	}{
		{"equal in the other unit", 38.1 * Millimetre, 1.5 * Inch, false, false},
		{"equal, the other way", 1.5 * Inch, 38.1 * Millimetre, false, false},
		{"a micron over", 38.101 * Millimetre, 1.5 * Inch, true, false},
		{"a micron under", 38.099 * Millimetre, 1.5 * Inch, false, true},
		{"over nought", Millimetre, 0, true, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if Over(c.v, c.limit) != c.over || Under(c.v, c.limit) != c.under {
				t.Errorf("over %v, under %v", Over(c.v, c.limit), Under(c.v, c.limit))
			}
		})
	}
}
