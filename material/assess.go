package material

import (
	"fmt"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// assessment puts the outcome into the shape that is handed out.
func (w *weighing) assessment() Assessment {
	a := Assessment{Unused: w.unused, Evidence: w.ev, Context: w.ctx, Candidates: make([]Candidate, 0, listed+1)}
	a.Contradictions = append(a.Contradictions, w.odd...)
	for _, p := range w.pairs {
		a.Contradictions = append(a.Contradictions, fmt.Sprintf("%s, but %s: no steel of the list fits both", w.clues[p[0]].says, w.clues[p[1]].says))
	}
	if w.strange {
		a.Contradictions = append(a.Contradictions, "the analysis fits no steel of the list: plan with the composition as found and take the heat treatment as unknown")
		a.Candidates = append(a.Candidates, Candidate{ID: Unlisted, Name: families[listed].Name, Weight: 1, Credible: true,
			Reason: "the analysis fits no family", Analysis: w.analysis})
	}
	for _, f := range w.order() {
		a.Candidates = append(a.Candidates, w.candidate(f))
	}
	for _, c := range a.Candidates {
		if c.Credible {
			a.Credible = append(a.Credible, c)
		}
	}
	return a
}

// candidate is one family as it stands.
func (w *weighing) candidate(f int) Candidate {
	c := Candidate{ID: families[f].ID, Name: families[f].Name, Weight: q.Ratio(w.weight[f]), Credible: w.credible[f], Guarded: w.guarded[f]}
	switch {
	case w.removedBy[f] >= 0:
		c.Reason = "ruled out: " + w.clues[w.removedBy[f]].says
	case w.disputed[f]:
		c.Disputed = true
		c.Reason = "kept: measured facts contradict each other"
	case w.guarded[f]:
		c.Reason = "kept: more demanding, and nothing measured rules it out"
	}
	if w.strange { // the stand-in has the whole weight
		c.Weight, c.Credible, c.Guarded = 0, c.Disputed, false
		if c.Reason == "" || !c.Disputed {
			c.Reason = "ruled out: the analysis fits no family"
		}
	}
	if w.analysis.Known && !w.strange && w.removedBy[f] < 0 && w.fitsAnalysis(f) {
		c.Analysis = w.analysis
	}
	return c
}

// credibles are the credible families, heaviest first.
func (w *weighing) credibles() []Candidate {
	if w.strange {
		return w.assessment().Credible
	}
	n := 0
	for _, c := range w.credible {
		if c {
			n++
		}
	}
	all := make([]Candidate, 0, n)
	for _, f := range w.order() {
		if w.credible[f] {
			all = append(all, w.candidate(f))
		}
	}
	return all
}

// names lists families by name, at most n of them.
func names(ids []int, n int) string {
	var ws []string
	for _, f := range ids {
		if len(ws) == n && len(ids) > n {
			ws = append(ws, fmt.Sprintf("%d more", len(ids)-n))
			break
		}
		ws = append(ws, families[f].ID)
	}
	return list(ws)
}

// basis writes the working down.
func (w *weighing) basis(a Assessment) source.Basis {
	b := source.Basis{
		Method: "steel-evidence", Title: "Which steels it can be",
		Formula: "weight = base share × likelihood of each clue, over the families that measured facts leave",
		Ref:     source.At("judgement", "how likely each steel shows it", source.Judgement),
		Also:    []source.Ref{source.At("hinton-wisswesser", "unknown steels by their cut edge", source.Read), source.At("practice", "field tests compare with known pieces", source.Practice)},
		Why:     "Preheat, rod and heat limit hang on the steel, and a guess that is too mild cracks.",
		Skip:    "The usual reason for a repair that cracks again beside the weld: the steel was guessed.",
		Notes: []string{
			"likelihoods are judgement: they rank the steels, they do not identify one",
			"only measured facts take a more demanding steel off the list; talk, sparks, the file and the part only move weights",
			"clues about one property count once: the strongest in full, the others reduced",
		},
	}
	for i := range w.clues {
		k := &w.clues[i]
		if k.channel.id == "base" {
			continue
		}
		b.Inputs = append(b.Inputs, source.Input{Name: k.channel.title, Text: k.says, From: kindNames[k.kind]})
		var out, best []int
		for f := range w.removedBy {
			if w.removedBy[f] == i {
				out = append(out, f)
			}
			if k.fit[f] >= 0.5 {
				best = append(best, f)
			}
		}
		s := source.Step{Name: k.channel.title, Value: k.power, Text: "fits " + names(best, 6)}
		if len(best) == listed {
			s.Text = "fits every family"
		}
		if out != nil {
			s.Text += "; rules out " + names(out, 6)
		}
		if k.power < 1 {
			s.Text += "; counted reduced, a stronger clue tells the same"
		}
		if k.reason != "" {
			s.Text += " (" + k.reason + ")"
		}
		b.Steps = append(b.Steps, s)
	}
	for _, c := range a.Credible {
		b.Steps = append(b.Steps, source.Step{Name: c.Name, Formula: "weight", Value: float64(c.Weight), Text: c.Reason})
	}
	if len(b.Inputs) == 0 {
		b.Notes = append(b.Notes, "nothing is known: every family of the list stays")
	}
	b.Notes = append(b.Notes, a.Contradictions...)
	b.Notes = append(b.Notes, a.Unused...)
	return b
}

// lower puts a text in the form in which values are looked up.
func lower[T ~string](t T) string { return strings.ToLower(strings.TrimSpace(string(t))) }
