package material

// Martensite: the temperature where it starts, and the hardness it has.
//
//	Ms [°C] = 539 - 423 C - 30.4 Mn - 17.7 Ni - 12.1 Cr - 7.5 Mo   Andrews 1965, linear; C < 0.6 %
//	HM [HV] = 294 + 884 C (1 - 0.3 C²)                             Yurioka 1987; C <= 0.8 %
//	C  [%]  ≈ (HM - 294)/884                                       the same inverted, C < 0.3 %
//
// C, Mn, Ni, Cr, Mo in % by mass.

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// msTerms are Andrews' coefficients in °C per %.
var msTerms = []struct {
	element int
	factor  float64
}{{mustElement("C"), 423}, {mustElement("Mn"), 30.4}, {mustElement("Ni"), 17.7}, {mustElement("Cr"), 12.1}, {mustElement("Mo"), 7.5}}

const msBase = 539.0 // °C, of iron without alloy in Andrews' line

// Andrews is the line by itself: without its limits and working.
func Andrews(c Composition) q.Temperature {
	ms, all := msBase, c.all()
	for _, t := range msTerms {
		ms -= t.factor * all[t.element]
	}
	return q.Temperature(ms)
}

// Ms gives the temperature below which martensite forms on cooling (Andrews).
// It refuses C of 0.6 % and more, and steels alloyed beyond those fitted.
func Ms(c Composition) (source.Result[q.Temperature], error) {
	if err := c.Check(); err != nil {
		return source.Result[q.Temperature]{}, err
	}
	b := source.Basis{
		Method: "ms", Title: "Start of martensite Ms (Andrews)",
		Formula: "539 - 423 C - 30.4 Mn - 17.7 Ni - 12.1 Cr - 7.5 Mo",
		Inputs:  c.inputs(""), Ref: source.At("andrews", "linear formula", source.Read),
		Notes: []string{"the limits of Mn, Cr, Ni and Mo are from memory"},
		Why:   "Kept above this temperature the hot metal cannot turn to brittle martensite while you weld.",
		Skip:  "A bar steel that passes below it between beads hardens each time and may crack before it is finished.",
	}
	for _, l := range limitsByMethod["ms"] {
		v := c.all()[mustElement(l.element)]
		instead := "use the maker's data or the rules of that steel"
		err := source.InRange("ms", l.element, v, l.low, l.high, "%", instead)
		if err == nil && l.element == "C" && v == l.high { // the published limit is C < 0.6
			err = &source.OutOfRange{Method: "ms", Quantity: "C", Value: v, Low: l.low, High: l.high, Unit: "% (the end not included)", Instead: instead}
		}
		if err != nil {
			return source.Result[q.Temperature]{Basis: b}, err
		}
	}
	b.Steps = append(b.Steps, source.Step{Name: "iron", Value: msBase, Unit: "°C"})
	for _, t := range msTerms {
		v := c.all()[t.element]
		b.Steps = append(b.Steps, source.Step{Name: symbols[t.element] + " term", Formula: "-" + num(t.factor) + " " + symbols[t.element],
			With: fmt.Sprintf("-%s × %s", num(t.factor), num(v)), Value: -t.factor * v, Unit: "°C"})
	}
	ms := Andrews(c)
	b.Steps = append(b.Steps, source.Step{Name: "Ms", Formula: "sum of the terms", Value: ms.C(), Unit: "°C"})
	return source.Result[q.Temperature]{Value: ms, Basis: b}, nil
}

// Yurioka's martensite hardness: HV = hmBase + hmSlope·C·(1 - hmCurve·C²).
const (
	hmBase  = 294.0
	hmSlope = 884.0
	hmCurve = 0.3
	hmTop   = 0.3 // % C up to which the straight inverse holds
)

// Martensite is the hardness of pure martensite of a carbon content.
func Martensite(carbon q.Percent) q.Vickers {
	c := min(carbon, 0.8) // the published end; irons and manganese steel are handled apart
	return q.Vickers(hmBase + hmSlope*c*(1-hmCurve*c*c))
}

// CutEdgeCarbon reads the carbon content off the highest hardness of a
// flame-cut edge. It is an indicator, not an analysis: an edge that did not
// harden fully reads too little carbon.
func CutEdgeCarbon(hv q.Vickers) (source.Result[q.Percent], error) {
	b := source.Basis{
		Method: "cut-edge-carbon", Title: "Carbon from the hardness of a flame-cut edge",
		Formula: "C ≈ (HM - 294)/884",
		Inputs:  []source.Input{{Name: "highest edge hardness", Text: num(float64(hv)) + " HV", From: "measured"}},
		Ref:     source.At("yurioka-1987", "martensite hardness, inverted", source.Memory),
		Also:    []source.Ref{source.At("hinton-wisswesser", "cut-edge test", source.Read)},
		Notes: []string{"the cut-edge test was published for parts over 25 mm; a thinner edge cools slower and reads low",
			"highest of several small dents on the descaled edge; a 10 mm ball is too large"},
		Why:  "The cut quenches its own edge, and how hard it gets tells how much carbon the steel holds.",
		Skip: "You would have to take the hardest steel the part could be.",
	}
	top := hmBase + hmSlope*hmTop
	if err := source.InRange("cut-edge-carbon", "cut-edge hardness", float64(hv), hmBase, top, "HV", "below it the edge has not hardened, above it have the steel analysed"); err != nil {
		return source.Result[q.Percent]{Basis: b}, err
	}
	c := (float64(hv) - hmBase) / hmSlope
	b.Steps = []source.Step{{Name: "C", Formula: "(HM - 294)/884", With: fmt.Sprintf("(%s - 294)/884", num(float64(hv))), Value: c, Unit: "%"}}
	return source.Result[q.Percent]{Value: q.Percent(c), Basis: b}, nil
}
