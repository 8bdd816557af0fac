package heat

import (
	"errors"
	"math"
	"testing"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// near reports a difference above the tolerance of the row.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if d := got - want; !(math.Abs(d) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g, difference %.3g above %.3g", what, got, want, d, tolerance)
	}
}

// refused asserts the typed refusal of a method and the quantity it names.
func refused(t *testing.T, err error, quantity string) {
	t.Helper()
	var out *source.OutOfRange
	if !errors.As(err, &out) {
		t.Errorf("got error %v, want a refusal of %s", err, quantity)
		return
	}
	if out.Quantity != quantity {
		t.Errorf("refused %q, want %q", out.Quantity, quantity)
	}
}

// full checks that a result explains itself.
func full(t *testing.T, b source.Basis) {
	t.Helper()
	if b.Method == "" || b.Title == "" || len(b.Inputs) == 0 || len(b.Steps) == 0 || b.Ref.Key == "" || b.Ref.Status == "" || b.Why == "" || b.Skip == "" {
		t.Errorf("basis of %q is not complete: %+v", b.Method, b)
	}
}

// steel fills the equivalents of a composition by their published formulas:
// CE(IIW) IIW Doc IX-535-67; CET EN 1011-2 C.3; Pcm Ito, Bessyo 1968.
func steel(s Steel) Steel {
	s.CE = s.C + s.Mn/6 + (s.Cr+s.Mo+s.V)/5 + (s.Ni+s.Cu)/15
	s.CET = s.C + (s.Mn+s.Mo)/10 + (s.Cr+s.Cu)/20 + s.Ni/40
	s.Pcm = s.C + s.Si/30 + (s.Mn+s.Cu+s.Cr)/20 + s.Ni/60 + s.Mo/15 + s.V/10 + 5*s.B
	return s
}

// Compositions of common steels, inside their specifications; invented heats.
var steels = map[string]Steel{
	"S1 A36 type":        steel(Steel{C: .18, Si: .20, Mn: .80, Cr: .05, Mo: .01, Ni: .05, Cu: .20}),
	"S2 S355 type":       steel(Steel{C: .16, Si: .35, Mn: 1.40, Cr: .03, Mo: .01, V: .04, Ni: .03, Cu: .02, Nb: .02}),
	"S3 A514-F type":     steel(Steel{C: .15, Si: .25, Mn: .80, Cr: .50, Mo: .45, V: .05, Ni: .80, Cu: .25, B: .002}),
	"S4 400 HB lean":     steel(Steel{C: .15, Si: .40, Mn: 1.30, Cr: .30, Mo: .10, Ni: .10, B: .002}),
	"S5 500 HB":          steel(Steel{C: .28, Si: .30, Mn: 1.00, Cr: .80, Mo: .20, Ni: .20, B: .002}),
	"S6 1045":            steel(Steel{C: .45, Si: .25, Mn: .75}),
	"S7 4140":            steel(Steel{C: .40, Si: .25, Mn: .88, Cr: .95, Mo: .20}),
	"S8 4340":            steel(Steel{C: .40, Si: .25, Mn: .70, Cr: .80, Mo: .25, Ni: 1.83}),
	"S9 A27 casting":     steel(Steel{C: .28, Si: .50, Mn: .70, Cr: .15, Mo: .05, Ni: .15, Cu: .10}),
	"S10 A514-B type":    steel(Steel{C: .16, Si: .28, Mn: .85, Cr: .50, Mo: .20, V: .05, B: .002}),
	"E11018-M deposit":   steel(Steel{C: .05, Mn: 1.55, Ni: 1.9, Mo: .38, Cr: .2}),
	"600 HB":             steel(Steel{C: .44, Si: .40, Mn: 1.00, Cr: .50, Mo: .20, Ni: 2.0, B: .002}),
	"plain .20 C":        steel(Steel{C: .20, Mn: .50}),
	"low carbon, no Pcm": {C: .02, Mn: .2},
}

func mm(v float64) q.Length                  { return q.Length(v) * q.Millimetre }
func in(v float64) q.Length                  { return q.Length(v) * q.Inch }
func kjmm(v float64) q.HeatInput             { return q.HeatInput(v) * q.KilojoulePerMillimetre }
func known(v float64) q.Maybe[q.Temperature] { return q.Known(q.Temperature(v)) }
