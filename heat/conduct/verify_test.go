package conduct

import (
	"context"
	"math"
	"strconv"
	"testing"

	q "soundmetal/quantity"
)

// refSteel is the steel of the reference problems: α = 7.8393e-6 m²/s.
var refSteel = Uniform(40, 7850, 650)

const refAlpha = 40 / (7850 * 650.0)

// bar is a rod along z that lets no heat through its sides: the one-dimensional
// problems. z = 0 and z = length are as the surfaces say, else insulated.
func bar(length float64, steel *Material, start float64, surfaces []Surface, probes ...float64) Case {
	l := q.Length(length)
	c := Case{
		Body: Body{
			Solid:     []Box{{At(0, 0, 0), At(0.01, 0.01, l)}},
			Insulated: []Face{XLow, XHigh, YLow, YHigh},
		},
		Steel: steel, Start: q.Temperature(start), Env: Environment{Air: 20},
		Surfaces: append(surfaces, Surface{Where: Region{Every, everywhere}, Insulated: true}),
	}
	for _, z := range probes {
		c.Probes = append(c.Probes, Probe{Name: MM(0, 0, z*1000).String(), At: At(0.005, 0.005, q.Length(z))})
	}
	return c
}

// even gives even cells of one size, one across.
func even(size float64, step float64) Options {
	return Options{Along: 1, Across: 1, Through: q.Length(size), Growth: -1, Least: 1, Largest: 1,
		ArcStep: q.Time(step), LongestStep: q.Time(step), FlameStep: q.Time(step)}
}

func mustRun(t testing.TB, c Case, o Options) History {
	t.Helper()
	h, err := Run(context.Background(), c, o)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// check compares one figure and prints it, so that -v shows the table.
func check(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if diff := got - want; math.Abs(diff) > tol || math.IsNaN(got) {
		t.Errorf("%s: got %.5g, want %.5g ± %.3g, difference %.3g", name, got, want, tol, diff)
	} else {
		t.Logf("%s: got %.5g, want %.5g ± %.3g, difference %.3g", name, got, want, tol, diff)
	}
}

func wait(t float64) Event { return Wait{Until: Until{For: q.Time(t)}} }

func num(v float64) string { return strconv.FormatFloat(v, 'g', 5, 64) }
