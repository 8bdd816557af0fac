package strength

import (
	"math"
	"testing"

	"soundmetal/source"
)

// check is one value against an expected one, with its own tolerance.
type check struct {
	name      string
	got, want float64
	tolerance float64 // relative; the absolute difference where want is zero
}

func run(t *testing.T, checks []check) {
	t.Helper()
	for _, c := range checks {
		t.Run(c.name, func(t *testing.T) {
			t.Helper()
			diff := c.got - c.want
			allowed := c.tolerance * math.Abs(c.want)
			if c.want == 0 {
				allowed = c.tolerance
			}
			if !(math.Abs(diff) <= allowed) {
				t.Errorf("got %.6g, want %.6g, difference %.3g (allowed %.3g)", c.got, c.want, diff, allowed)
			}
		})
	}
}

// must gives a value and fails the test on an error.
func must[T any](r source.Result[T], err error) T {
	if err != nil {
		panic(err)
	}
	return r.Value
}
