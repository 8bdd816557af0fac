// CET method: minimum preheat of unalloyed and low-alloy steel.
//
//	Tp = 697·CET + 160·tanh(d/35) + 62·HD^0.35 + (53·CET − 32)·Q − 328
//
// Tp °C; CET %; d thickness of the thickest part at the joint in mm (not the
// combined thickness); HD diffusible hydrogen in ml/100 g; Q heat input with
// the thermal efficiency in kJ/mm.
//
// Valid for CET .20-.50, d 10-90 mm, HD 1-20, Q 0.5-4.0 and (from memory) a
// yield strength to 1000 MPa and C .05-.32. Assumes residual stress as high as
// the yield strength. Thinner plate than 10 mm is evaluated at 10, thicker than
// 90 at 90, where the tanh is saturated.
//
// Source: EN 1011-2:2001 C.3; several secondary copies agree. Copies with
// tanh(35/d) are wrong: preheat rises with thickness.

package heat

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	cetLow, cetHigh     = 0.20, 0.50 // %
	cetThin, cetThick   = 10.0, 90.0 // mm
	cetDry, cetWet      = 1.0, 20.0  // ml/100 g
	cetCold, cetHot     = 0.5, 4.0   // kJ/mm
	weldMetalMargin     = 0.03       // % CET; EN 1011-2 C.3
	formulaCarbon       = 0.32       // % C above which no preheat formula is used
	idCET               = "preheat-cet"
	insteadOfCETAbove   = "above it the steel is treated as high-carbon steel: use preheat-ms, or the rule of the family"
	insteadOfCETBelow   = "below it this method is not needed: use preheat-prequalified or preheat-si"
	whySlowCooling      = "Warm steel cools the weld more slowly: less hard metal beside it, and more time for the hydrogen to leave."
	skipCrackBesideWeld = "A crack can start beside the weld hours or days after it is cold, where nobody sees it."
)

// CETInput is what the CET method takes.
type CETInput struct {
	CET       q.Percent  // the governing one, see GoverningCET
	Thickness q.Length   // thickest part at the joint
	Hydrogen  q.Hydrogen // diffusible hydrogen of the filler, ISO 3690
	HeatInput q.HeatInput
}

// PreheatCET gives the minimum preheat by the CET method. The value may lie
// below room temperature: then this method asks for none.
func PreheatCET(in CETInput) (source.Result[q.Temperature], error) {
	var none source.Result[q.Temperature]
	cet, d, hd, kj := float64(in.CET), in.Thickness.MM(), float64(in.Hydrogen), in.HeatInput.KJPerMM()
	if err := positive(idCET, "thickness", d, "mm"); err != nil {
		return none, err
	}
	instead := insteadOfCETAbove
	if cet < cetLow {
		instead = insteadOfCETBelow
	}
	if err := source.InRange(idCET, "CET", cet, cetLow, cetHigh, "%", instead); err != nil {
		return none, err
	}
	if err := source.InRange(idCET, "hydrogen", hd, cetDry, cetWet, "ml/100 g", "dry the rods or take a filler of a lower hydrogen class"); err != nil {
		return none, err
	}
	if err := source.InRange(idCET, "heat input", kj, cetCold, cetHot, "kJ/mm", "plan the bead inside the range"); err != nil {
		return none, err
	}
	used, notes := d, []string(nil)
	switch {
	case d < cetThin:
		used = cetThin
		notes = append(notes, "thinner than 10 mm: evaluated at 10 mm (common practice)")
	case d > cetThick:
		used = cetThick
		notes = append(notes, "thicker than 90 mm: evaluated at 90 mm, where thickness adds nothing more; outside the published range, be generous")
	}
	plate, gas, heat := 160*math.Tanh(used/35), 62*math.Pow(hd, 0.35), (53*cet-32)*kj
	t := q.Temperature(cetCelsius(cet, used, hd, kj))
	if t < room {
		notes = append(notes, "below room temperature: no preheat from this method, dry the joint")
	}
	notes = append(notes, "the lowest interpass temperature is the same figure",
		"assumes shrinkage stress as high as the yield strength; a joint that is held in more than one direction needs more",
		"for steel to 1000 MPa yield strength and .32 % carbon (limits from memory)")
	return source.Result[q.Temperature]{Value: t, Basis: source.Basis{
		Method: idCET, Title: "Minimum preheat by the CET method",
		Formula: "Tp = 697·CET + 160·tanh(d/35) + 62·HD^0.35 + (53·CET − 32)·Q − 328",
		Inputs: []source.Input{input("CET", percent(in.CET)), input("thickness d", millimetres(in.Thickness)),
			input("hydrogen HD", hydrogenText(in.Hydrogen)), input("heat input Q", kilojoules(in.HeatInput))},
		Steps: []source.Step{
			{Name: "steel", Formula: "697·CET", With: fmt.Sprintf("697 × %.4f", cet), Value: 697 * cet, Unit: "°C"},
			{Name: "thickness", Formula: "160·tanh(d/35)", With: fmt.Sprintf("160 × tanh(%.4g/35)", used), Value: plate, Unit: "°C"},
			{Name: "hydrogen", Formula: "62·HD^0.35", With: fmt.Sprintf("62 × %.3g^0.35", hd), Value: gas, Unit: "°C"},
			{Name: "heat input", Formula: "(53·CET − 32)·Q", With: fmt.Sprintf("(53 × %.4f − 32) × %.3g", cet, kj), Value: heat, Unit: "°C"},
			{Name: "minimum preheat", Formula: "sum − 328", With: fmt.Sprintf("%.1f + %.1f + %.1f %+.1f − 328", 697*cet, plate, gas, heat), Value: t.C(), Unit: "°C", Text: degrees(t)},
		},
		Ref:   source.At("en1011-2", "C.3", source.Read),
		Notes: notes, Why: whySlowCooling, Skip: skipCrackBesideWeld,
	}}, nil
}

// cetCelsius is the formula; all in its own units.
func cetCelsius(cet, mm, hd, kjPerMM float64) float64 {
	return 697*cet + 160*math.Tanh(mm/35) + 62*math.Pow(hd, 0.35) + (53*cet-32)*kjPerMM - 328
}

// cetAtLimits is the formula with each figure brought to the nearest end of its
// range. It rises with CET, thickness and hydrogen everywhere.
func cetAtLimits(cet, mm, hd, kjPerMM float64) float64 {
	return cetCelsius(min(max(cet, cetLow), cetHigh), min(max(mm, cetThin), cetThick),
		min(max(hd, cetDry), cetWet), min(max(kjPerMM, cetCold), cetHot))
}

// GoverningCET is the CET that counts where the weld metal may be harder than
// the steel: that of the steel if it is at least .03 above the weld metal's,
// otherwise the weld metal's plus .03 (EN 1011-2 C.3).
func GoverningCET(parent, weldMetal q.Percent) q.Percent {
	return max(parent, weldMetal+weldMetalMargin)
}
