package calc_test

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/calc"
)

// What a call of the strength methods gets wrong is named.
func TestStrengthUsage(t *testing.T) {
	for _, c := range []struct{ name, method, call, says string }{
		{"a word in the history", "rainflow", "history=1,two,3", `"two" is not a list of numbers`},
		{"one value only", "rainflow", "history=1,1,1", "at least two different values"},
		{"plate without width", "section", "shape=plate width=100 depth=10 plate=8", "plate and plate_width go together"},
		{"crack longer than the width", "section", "shape=plate width=100 depth=10 crack=120", "longer than the width"},
		{"plate on a tube", "section", "shape=tube width=100 web=5 plate=5 plate_width=50", "tube"},
		{"box without web", "section", "shape=box width=100 depth=100 flange=5", "web thickness"},
		{"growth backwards", "crack-growth", "geometry=edge a1=20 a2=10 W=200 range=80", "must be longer than a1"},
		{"unknown curve", "fatigue-life", "FAT=80 range=100 m_knee=bent", "iiw-constant"},
		{"strength below yield", "fad", "Lr=.5 Re=355 Rm=300", "must be above yield"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := calc.Run(c.method, strings.Fields(c.call))
			var usage *calc.UsageError
			if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want a usage error with %q", err, c.says)
			}
		})
	}
}

// A crack in the middle takes what a crack at the edge takes, but bends the
// section to no side.
func TestSectionCrackInTheMiddle(t *testing.T) {
	get := func(call string) map[string]float64 {
		o, err := calc.Run("section", strings.Fields(call))
		if err != nil || !o.Applies {
			t.Fatalf("%v %s", err, o.Limit)
		}
		all := map[string]float64{}
		for _, s := range o.Steps {
			all[s.Name] = s.Value
		}
		return all
	}
	middle, edge := get(box+" crack=80"), get(box+" crack=80 crack_at=edge")
	if middle["area"] != edge["area"] || middle["area"] != 16960-80*16 {
		t.Errorf("area %g in the middle, %g at the edge, want %g", middle["area"], edge["area"], 16960-80*16.0)
	}
	if middle["product moment"] != 0 || edge["product moment"] == 0 {
		t.Errorf("product moment %g in the middle, %g at the edge", middle["product moment"], edge["product moment"])
	}
}
