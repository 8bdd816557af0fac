package plan

import (
	"cmp"
	"slices"

	"soundmetal/job"
	"soundmetal/material"
	q "soundmetal/quantity"
)

// ruling is a test that must rule out steels before the heat is lit.
type ruling struct {
	test material.TestOption
	out  []steelCase
}

// laboratory is the time from which on a test is not one for the site.
const laboratory = 8 * q.Hour

// rulings are the tests that rule out the steels the plan does not hold for,
// each with those it can rule out, and what no test of the site can. Tests with
// the kit on the truck go before others, those of the site before the laboratory.
// The heaviest of the steels held comes first in held.
func (w *work) rulings(held, left []limits) (all []ruling, rest []steelCase) {
	rest = cases(left)
	chance := rateOf("test-chance").Likely
	for _, group := range []func(t material.TestOption) bool{
		func(t material.TestOption) bool { return t.Time < laboratory && t.Have != job.No },
		func(t material.TestOption) bool { return t.Time < laboratory && t.Have == job.No },
		func(t material.TestOption) bool { return t.Time >= laboratory },
	} {
		for len(rest) > 0 {
			var best *material.Outcome
			var by material.TestOption
			most := 0
			for _, t := range w.tests {
				if !group(t) || slices.ContainsFunc(all, func(r ruling) bool { return r.test.ID == t.ID }) {
					continue
				}
				for i := range t.Outcomes {
					o := &t.Outcomes[i]
					if float64(o.Probability) < chance || len(held) > 0 && slices.Contains(o.Leaves, held[0].candidate.ID) {
						continue // not the outcome that the plan stands on
					}
					gone := 0
					for k := range rest {
						if slices.Contains(o.Leaves, rest[k].candidate.ID) {
							gone++
						}
					}
					if gone > most {
						best, most = o, gone
						by = t
					}
				}
			}
			if best == nil {
				break
			}
			var r ruling
			r.test = by
			r.out, rest = split(rest, func(s steelCase) bool { return slices.Contains(best.Leaves, s.candidate.ID) })
			all = append(all, r)
		}
	}
	slices.SortStableFunc(all, func(a, b ruling) int { return cmp.Compare(a.test.Time, b.test.Time) })
	return all, rest
}

// rulingLines are the hold points that stand before the heat.
func (w *work) rulingLines(s *Section) {
	if w.iron {
		s.add(Hold, "Rule out cast iron: short dull-red sparks or a chip that crumbles mean iron. Then stop: that is another job.", nil)
	}
	if len(w.held.left) > 0 {
		s.add(Note, "No one heat fits all steels this could be. The plan holds for those marked below. Rule out the others before any heat; if one is left, plan again with what the tests showed.", nil)
	}
	for _, r := range w.held.tests {
		b := r.test.Basis
		text := r.test.Title
		if r.test.Have == job.No {
			text += " (no tester on the truck)"
		}
		s.add(Hold, text+". "+r.test.How+" It must rule out: "+groupNames(r.out, "and")+".", &b)
	}
	if len(w.held.rest) > 0 {
		s.add(Hold, "Find out, by paper or by the laboratory, that it is none of these: "+groupNames(w.held.rest, "or")+".", nil)
	}
}
