package power

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Where to put the work clamp.
//
// Method: for each body where a clamp could sit the current through the guarded
// contacts is counted (shares.go). Positions rank by the worst guarded contact's
// high figure, then by the sum of the guarded medians. The part itself is always
// best: then nothing leaves it.

// ClampPlace is one place for the work clamp.
type ClampPlace struct {
	Body    Body      `json:"body"`
	Worst   Share     `json:"worst"`   // the guarded contact with the most current
	Guarded q.Current `json:"guarded"` // sum of the guarded contacts' medians
	Flagged []Share   `json:"flagged"` // most current first
	NoWay   bool      `json:"no_way"`  // nothing that conducts joins it to the arc
	Say     string    `json:"say"`
}

// ClampPlan is the ranking with its one sentence.
type ClampPlan struct {
	Places []ClampPlace `json:"places"` // best first
	Say    string       `json:"say"`
}

// RankClamps ranks the bodies where the work clamp could sit, for an arc on one
// body; no candidates means every body. Method id: clamp-rank.
func RankClamps(n Network, arc string, candidates []string, i q.Current, d Draws) (source.Result[ClampPlan], error) {
	var none source.Result[ClampPlan]
	if len(candidates) == 0 {
		for _, b := range n.Bodies {
			candidates = append(candidates, b.ID)
		}
	}
	all, err := draw(n, arc, candidates, i, d)
	if err != nil {
		return none, err
	}
	part, _ := n.Body(arc)
	var v ClampPlan
	for _, o := range all {
		p := ClampPlace{NoWay: o.never}
		p.Body, _ = n.Body(o.clamp)
		for _, s := range o.shares {
			if s.Guard == "" {
				continue
			}
			p.Guarded += s.Median
			if s.Amps.High > p.Worst.Amps.High {
				p.Worst = s
			}
			if s.Flagged {
				p.Flagged = append(p.Flagged, s)
			}
		}
		slices.SortStableFunc(p.Flagged, func(a, b Share) int { return cmp.Compare(b.Amps.High, a.Amps.High) })
		p.Say = p.sentence(part)
		v.Places = append(v.Places, p)
	}
	slices.SortStableFunc(v.Places, func(a, b ClampPlace) int {
		return cmp.Or(boolRank(a.NoWay, b.NoWay), boolRank(a.Body.ID != arc, b.Body.ID != arc),
			cmp.Compare(step(a.Worst.Amps.High/i), step(b.Worst.Amps.High/i)), cmp.Compare(step(a.Guarded/i), step(b.Guarded/i))) // in steps: rounding must not rank
	})
	v.Say = v.sentence(part)
	b := shareBasis(n, arc, i, d)
	b.Method, b.Title = "clamp-rank", "Where to put the work clamp"
	for _, p := range v.Places {
		b.Steps = append(b.Steps, source.Step{Name: "clamp on the " + p.Body.Name, Value: float64(p.Worst.Amps.High), Unit: "A", Text: p.Say})
	}
	for _, s := range sayings["return"] {
		b.Notes = append(b.Notes, s.Text)
		if !slices.Contains(b.Also, s.Ref) {
			b.Also = append(b.Also, s.Ref)
		}
	}
	return source.Result[ClampPlan]{Value: v, Basis: b}, nil
}

// step rounds a share of the current to half a per cent, so that the last digits
// of two equal places do not order them.
func step(share q.Current) float64 { return math.Round(float64(share) * 200) }

func boolRank(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func (p ClampPlace) sentence(part Body) string {
	switch {
	case p.Body.ID == part.ID:
		return "the current stays in the " + part.Name
	case p.NoWay:
		return "nothing that conducts joins the " + p.Body.Name + " to the " + part.Name + ": no arc"
	case p.Worst.Amps.High < tiny:
		return "no bearing, pin, rod or harness lies on the way"
	case len(p.Flagged) == 0:
		return fmt.Sprintf("at most %s through the %s", ampere(p.Worst.Amps.High), p.Worst.Contact.named())
	}
	about := "about " + ampere(p.Worst.Median)
	if p.Worst.Median < tiny {
		about = "as a rule next to nothing"
	}
	if p.Worst.Amps.High > 1.05*p.Worst.Median {
		about += ", perhaps " + ampere(p.Worst.Amps.High) + ","
	}
	return about + " through the " + p.Worst.Contact.named()
}

// tiny is a current that is not worth a figure.
const tiny q.Current = 0.1

// sentence names the best place and the worst, and why.
func (v ClampPlan) sentence(part Body) string {
	best := v.Places[0]
	say := "Clamp on the " + best.Body.Name + ": " + best.Say + "."
	if best.NoWay {
		return "None of these places carries the current: " + best.Say + ". Clamp on the " + part.Name + " itself."
	}
	if len(best.Flagged) > 0 {
		say += " That is too much: bring the clamp to the " + part.Name + " itself, or strap the contact over."
	}
	if bad, ok := v.Bad(); ok {
		say += " Not on the " + bad.Body.Name + ": " + bad.Say + "."
	}
	return say
}

// Bad is the worst of the places where people do put the clamp; nobody needs to
// be told of a rod or a roller. Of several as bad it is the one ranked first. ok
// is false where none of them does harm.
func (v ClampPlan) Bad() (p ClampPlace, ok bool) {
	for k := len(v.Places) - 1; k > 0; k-- {
		here := v.Places[k]
		if !here.Body.Handy || here.NoWay || len(here.Flagged) == 0 {
			continue
		}
		if ok && here.Worst.Amps.High < p.Worst.Amps.High*(1-0.005) {
			break
		}
		p, ok = here, true
	}
	return p, ok
}

func ampere(i q.Current) string {
	if i >= 10 {
		return num(float64(i), 0) + " A"
	}
	return num(float64(i), 1) + " A"
}
