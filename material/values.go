package material

// The same numbers without their working, for whoever needs them of many steels
// at once. No text is made.

import q "soundmetal/quantity"

// Equivalents are the carbon equivalents of one composition.
type Equivalents struct {
	CEIIW, CET, Pcm, CEN q.Percent
}

// Values gives the numbers of CEIIW, CET, Pcm and CEN.
func (c Composition) Values() (Equivalents, error) {
	if err := c.Check(); err != nil {
		return Equivalents{}, err
	}
	return Equivalents{q.Percent(ceIIW.of(c)), q.Percent(cet.of(c)), q.Percent(pcm.of(c)), q.Percent(cen.of(c))}, nil
}

// WorstValue is the composition of Worst.
func (c Candidate) WorstValue(thickness q.Maybe[q.Length]) (Composition, error) {
	f := &families[familyIndex[c.ID]]
	if c.Analysis.Known {
		all := c.Analysis.V.complete(f, thickness)
		return all, all.Check()
	}
	worst, _, _, _ := f.worst(thickness)
	return worst, nil
}
