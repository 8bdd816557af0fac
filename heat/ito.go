// Ito-Bessyo: preheat that keeps a restrained root run from cracking.
//
//	small sample:  Pc = Pcm + H/60 + t/600
//	any joint:     Pw = Pcm + H/60 + K/400 000
//	               To = 1440·P − 392
//
// To °C; Pcm %; H hydrogen by the glycerine method in ml/100 g; t thickness in
// mm; K restraint intensity in N/mm per mm (the original K/40 000 is in kgf).
// From the ISO 3690 figure both published conversions are worked and the higher
// one is taken: H = 0.79·H(ISO) − 1.73 and H = 0.67·H(ISO) − 0.8.
//
// Valid for covered rods at 1.7 kJ/mm, t 19-50 mm, H 1-5 ml/100 g (glycerine),
// K 4900-32 400 N/mm per mm (500-3300 kgf), steel of C .07-.22 (Pcm).
// Source: Ito, Bessyo, JWS 1968-72; formula and ranges from memory.

package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idIto                     = "preheat-ito"
	itoThin, itoThick         = 19.0, 50.0     // mm
	itoDry, itoWet            = 1.0, 5.0       // ml/100 g, glycerine
	itoSlackest, itoStiffest  = 4900.0, 32_400 // N/mm per mm
	pcmMinC, pcmMaxC          = 0.07, 0.22     // % C, composition range of Pcm
	restraintUsual            = 400.0          // N/mm per mm for each mm of thickness: ordinary structures
	restraintSevere           = 700.0          // the same, severely held; both Ito-Bessyo, from memory
	insteadOfCrossCheckMethod = "this is a cross check only: leave it out and use preheat-cet"
)

// ItoInput is what the Ito-Bessyo formula takes.
type ItoInput struct {
	Pcm       q.Percent
	Hydrogen  q.Hydrogen // ISO 3690, unless Glycerine says otherwise
	Glycerine bool       // Hydrogen is by the glycerine method already
	Thickness q.Length
	// Restraint intensity in N/mm per mm, that is MPa; see RestraintIntensity.
	// Where it is known the form for any joint is used instead of the thickness.
	Restraint q.Maybe[q.Stress]
}

// glycerine converts ISO 3690 hydrogen to the glycerine scale.
func glycerine(iso float64) (high, low float64) {
	a, b := 0.79*iso-1.73, 0.67*iso-0.8
	return max(a, b), min(a, b)
}

// PreheatItoBessyo gives the preheat of the Ito-Bessyo formula, a cross check.
func PreheatItoBessyo(in ItoInput) (source.Result[q.Temperature], error) {
	var none source.Result[q.Temperature]
	pcm, h, mm := float64(in.Pcm), float64(in.Hydrogen), in.Thickness.MM()
	if err := positive(idIto, "Pcm", pcm, "%"); err != nil {
		return none, err
	}
	var steps []source.Step
	if !in.Glycerine {
		high, low := glycerine(h)
		steps = append(steps, source.Step{Name: "hydrogen, glycerine scale", Formula: "higher of 0.79·H − 1.73 and 0.67·H − 0.8",
			With: fmt.Sprintf("%.3g and %.3g", high, low), Value: high, Unit: "ml/100 g"})
		h = high
	}
	if err := source.InRange(idIto, "hydrogen on the glycerine scale", h, itoDry, itoWet, "ml/100 g", insteadOfCrossCheckMethod); err != nil {
		return none, err
	}
	inputs := []source.Input{input("Pcm", percent(in.Pcm)), input("hydrogen H", hydrogenText(in.Hydrogen))}
	name, formula, third, with := "Pc", "Pcm + H/60 + t/600", mm/600, fmt.Sprintf("%.4g/600", mm)
	if in.Restraint.Known {
		k := in.Restraint.V.MPa()
		if err := source.InRange(idIto, "restraint intensity", k, itoSlackest, itoStiffest, "N/mm per mm", insteadOfCrossCheckMethod); err != nil {
			return none, err
		}
		name, formula, third, with = "Pw", "Pcm + H/60 + K/400 000", k/400_000, fmt.Sprintf("%.5g/400 000", k)
		inputs = append(inputs, input("restraint intensity K", fmt.Sprintf("%.5g N/mm per mm", k)))
	} else {
		if err := source.InRange(idIto, "thickness", mm, itoThin, itoThick, "mm", insteadOfCrossCheckMethod); err != nil {
			return none, err
		}
		inputs = append(inputs, input("thickness t", millimetres(in.Thickness)))
	}
	p := pcm + h/60 + third
	t := q.Temperature(1440*p - 392)
	steps = append(steps,
		source.Step{Name: "cracking parameter " + name, Formula: formula, With: fmt.Sprintf("%.4f + %.3g/60 + %s", pcm, h, with), Value: p, Unit: "%"},
		source.Step{Name: "preheat", Formula: "1440·" + name + " − 392", With: fmt.Sprintf("1440 × %.5f − 392", p), Value: t.C(), Unit: "°C", Text: degrees(t)})
	notes := []string{"a cross check: made for root runs of covered rods at 1.7 kJ/mm; formula from memory"}
	if t < room {
		notes = append(notes, "below room temperature: no preheat from this method, dry the joint")
	}
	return source.Result[q.Temperature]{Value: t, Basis: source.Basis{
		Method: idIto, Title: "Preheat by the Ito-Bessyo cracking parameter", Formula: name + " = " + formula + "; To = 1440·" + name + " − 392",
		Inputs: inputs, Steps: steps, Ref: source.At("ito-bessyo", "Pc, Pw and To", source.Memory), Notes: notes,
		Why: "It asks the same question by another road: how hard the joint pulls on the first run.", Skip: skipCrackBesideWeld,
	}}, nil
}

// RestraintIntensity is the force per length and per opening that a plate held
// at two edges puts on a joint: K = E·t/l, l between the held edges.
func RestraintIntensity(thickness, between q.Length) (source.Result[q.Stress], error) {
	const id = "restraint-intensity"
	var none source.Result[q.Stress]
	if err := positive(id, "thickness", thickness.MM(), "mm"); err != nil {
		return none, err
	}
	if err := positive(id, "distance between the held edges", between.MM(), "mm"); err != nil {
		return none, err
	}
	k := q.Stress(float64(modulus) * float64(thickness/between))
	return source.Result[q.Stress]{Value: k, Basis: source.Basis{
		Method: id, Title: "Restraint intensity of a joint between held edges", Formula: "K = E·t/l",
		Inputs: []source.Input{input("thickness t", millimetres(thickness)), input("distance between held edges l", millimetres(between))},
		Steps: []source.Step{{Name: "restraint intensity", Formula: "E·t/l", With: fmt.Sprintf("%.0f × %.4g / %.4g", modulus.MPa(), thickness.MM(), between.MM()),
			Value: k.MPa(), Unit: "N/mm per mm"}},
		Ref:   source.At("derived", "plate in tension between rigid edges", source.Derived),
		Notes: []string{fmt.Sprintf("from memory: ordinary structures have about %.0f N/mm per mm for each mm of thickness, severely held ones %.0f", restraintUsual, restraintSevere)},
		Why:   "The shorter the steel between the held edges, the harder the cooling weld is pulled.",
		Skip:  "A patch welded into a stiff frame is taken for a free joint, and its first run cracks.",
	}}, nil
}
