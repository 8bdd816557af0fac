// Seferian: preheat from composition and thickness alone.
//
//	360·Cc = 360·C + 40·(Mn + Cr) + 20·Ni + 28·Mo
//	Ct = Cc·(1 + 0.005·e)
//	Tp = 350·√(Ct − 0.25), none where Ct ≤ 0.25
//
// Tp °C; composition in %; e thickness in mm. Knows no hydrogen and no heat
// input: an upper cross check.
// Source: Seferian, Metallurgie de la soudure, 1959; from memory.

package heat

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const idSeferian = "preheat-seferian"

// PreheatSeferian gives the preheat of Seferian's formula, a cross check. The
// value is 0 °C where the formula asks for none.
func PreheatSeferian(steel Steel, thickness q.Length) (source.Result[q.Temperature], error) {
	var none source.Result[q.Temperature]
	e := thickness.MM()
	if err := positive(idSeferian, "thickness", e, "mm"); err != nil {
		return none, err
	}
	if err := positive(idSeferian, "carbon", float64(steel.C), "%"); err != nil {
		return none, err
	}
	cc := float64(360*steel.C+40*(steel.Mn+steel.Cr)+20*steel.Ni+28*steel.Mo) / 360
	ct := cc * (1 + 0.005*e)
	t := q.Temperature(0)
	notes := []string{"knows neither hydrogen nor heat input: an upper cross check, from memory"}
	last := source.Step{Name: "preheat", Formula: "350·√(Ct − 0.25)", With: fmt.Sprintf("350 × √(%.4f − 0.25)", ct), Unit: "°C"}
	if ct > 0.25 {
		t = q.Temperature(350 * math.Sqrt(ct-0.25))
		last.Value, last.Text = t.C(), degrees(t)
	} else {
		last.Text = "none: Ct is not above 0.25"
		notes = append(notes, "no preheat from this method, dry the joint")
	}
	return source.Result[q.Temperature]{Value: t, Basis: source.Basis{
		Method: idSeferian, Title: "Preheat by Seferian's formula",
		Formula: "Cc = [360·C + 40·(Mn+Cr) + 20·Ni + 28·Mo]/360; Ct = Cc·(1 + 0.005·e); Tp = 350·√(Ct − 0.25)",
		Inputs: []source.Input{input("C", percent(steel.C)), input("Mn", percent(steel.Mn)), input("Cr", percent(steel.Cr)),
			input("Ni", percent(steel.Ni)), input("Mo", percent(steel.Mo)), input("thickness e", millimetres(thickness))},
		Steps: []source.Step{
			{Name: "chemical equivalent Cc", With: fmt.Sprintf("[360 × %.3g + 40 × (%.3g + %.3g) + 20 × %.3g + 28 × %.3g]/360", steel.C, steel.Mn, steel.Cr, steel.Ni, steel.Mo), Value: cc, Unit: "%"},
			{Name: "with thickness Ct", Formula: "Cc·(1 + 0.005·e)", With: fmt.Sprintf("%.4f × (1 + 0.005 × %.4g)", cc, e), Value: ct, Unit: "%"},
			last,
		},
		Ref: source.At("seferian", "preheat formula", source.Memory), Notes: notes,
		Why:  "An old rule that leans to the warm side: it shows how far apart the methods lie.",
		Skip: skipCrackBesideWeld,
	}}, nil
}
