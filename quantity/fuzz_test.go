package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// FuzzRead: a text is either refused with one line, or gives a finite value that
// physics allows and that each unit's exact print gives back bit by bit.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		`3/16`, `1-1/2"`, `1½`, `2'-6 1/2"`, `2ft 6`, `12mil`, `1,200 mm`, `1.200,5 mm`, `12 (15/32 in)`, `1/2 in (12.7 mm)`,
		`300 deg F`, `−12 °C`, `5 ml/100 g`, `1h30`, `1:30:20`, `1 wk 2 d 3 h`, `370.2 N/mm^1.5`, `MPa.m^(1/2)`, `6 lb 4`,
		`1e-300 mm`, `1e308 km`, `-0 C`, `2/0`, `60％`, `３／１６＂`, "\xff", "12\x00mm", `1 1/2/3`, `..`, `½½`, `'`, `''''`, `- - 1`, `) (`, `9 ()`,
	} {
		for k := range byte(kindCount) {
			f.Add(text, k, byte(0))
		}
		f.Add(text, byte(KindLength), byte(1))
	}
	f.Fuzz(func(t *testing.T, text string, kind, bare byte) {
		k := Kind(kind % byte(kindCount))
		as := ReadAs{}
		if units := k.Units(); bare > 0 {
			as.Bare = units[int(bare)%len(units)].Symbol
			as.OtherBare = units[int(bare/16)%len(units)].Symbol
			if bare%2 == 0 {
				as.Low, as.High = 0.001, 1000
			}
		}
		v, err := ReadKind(k, text, as)
		if err != nil {
			var e *ReadError
			if s := err.Error(); s == "" || strings.ContainsAny(s, "\n\r\x00") || !errors.As(err, &e) || e.Why == "" || e.Fault == "" {
				t.Fatalf("%q as %s: message %q", text, k, s)
			}
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || v < kinds[k].lowest() || v == 0 && math.Signbit(v) {
			t.Fatalf("%q as %s: value %v", text, k, v)
		}
		if as.limited() && !as.holds(v) {
			t.Fatalf("%q as %s: %v is outside the limits", text, k, v)
		}
		for _, u := range k.Units() {
			exact := k.Exact(v, u.Symbol)
			again, err := ReadKind(k, exact, ReadAs{Bare: bareFor(u)})
			if err != nil || again != v {
				t.Fatalf("%q as %s: %v printed as %q and read as %v, %v", text, k, v, exact, again, err)
			}
		}
		for _, sys := range []System{SI, US} {
			if s := k.Text(v, sys); s == "" || strings.ContainsAny(s, "\n\r") {
				t.Fatalf("%q as %s: printed as %q", text, k, s)
			}
		}
	})
}
