package material

import (
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Typical gives an illustrative analysis of the family (judgement): use it to
// show what knowing more would save, never to plan with.
func (f Family) Typical() Composition {
	var all [elements]float64
	for i, rows := range f.limits {
		all[i] = rows[0].typical
	}
	return composition(all)
}

// worst gives the worst composition and, where a cap limited it, the cap and
// the factor by which the alloy was scaled.
func (f *Family) worst(thickness q.Maybe[q.Length]) (c Composition, by cap_, factor float64, capped bool) {
	var low, all [elements]float64
	for i := range all {
		s := f.limit(i, thickness)
		low[i], all[i] = s.Low, s.High
	}
	c = composition(all)
	by, ok := f.cap(thickness)
	if !ok {
		return c, by, 1, false
	}
	over := ceIIW.of(c) - by.ce
	if over <= 0 {
		return c, by, 1, false
	}
	// the part of CE(IIW) that alloy above its minimum makes
	spare := 0.0
	for _, t := range ceIIW.terms[1:] {
		spare += (all[t.element] - low[t.element]) / t.by
	}
	factor = max(0, 1-over/spare)
	for _, t := range ceIIW.terms[1:] {
		all[t.element] = low[t.element] + factor*(all[t.element]-low[t.element])
	}
	return composition(all), by, factor, true
}

// Worst gives the composition to plan with when the family is all that is
// known: every element at its maximum for the thickness (unknown thickness: the
// highest of all). Where a cap on CE(IIW) exists and the maxima together exceed
// it, carbon stays at its maximum, since it hardens most, and the other elements
// of CE(IIW) come down in one proportion, not below their minimum, until CE(IIW)
// equals the cap; Si, Nb and B stay at their maximum.
func (f Family) Worst(thickness q.Maybe[q.Length]) source.Result[Composition] {
	c, by, factor, capped := f.worst(thickness)
	b := source.Basis{Method: "worst-composition", Title: "Worst composition of " + f.Name,
		Formula: "maximum of each element; alloy scaled so that CE(IIW) keeps to its cap",
		Inputs:  c.inputs("maximum of " + f.Name), Ref: f.Ref,
		Why:  "The part in front of you may be the hardest heat the standard lets through.",
		Skip: "A plan on a typical analysis is too cold for half of the steel sold under the name.",
	}
	if thickness.Known {
		b.Inputs = append(b.Inputs, source.Input{Name: "thickness", Text: num(thickness.V.MM()) + " mm"})
	}
	if capped {
		name := "CE(IIW) cap of " + f.Standard
		if !by.standard {
			name = "upper end of the usual CE(IIW) band"
			b.Notes = append(b.Notes, "no common standard: the cap is the upper end of the usual band; a certificate with its own analysis takes its place")
		}
		b.Also = append(b.Also, by.ref)
		b.Steps = append(b.Steps, source.Step{Name: name, Value: by.ce, Unit: "%"},
			source.Step{Name: "alloy scaled by", Formula: "C at its maximum, the rest in one proportion", Value: factor})
	}
	if f.ID == Unlisted {
		b.Notes = append(b.Notes, "no family known: the maxima are our own conservative judgement")
	}
	b.Steps = append(b.Steps, source.Step{Name: "composition", Text: c.String()})
	return source.Result[Composition]{Value: c, Basis: b}
}
