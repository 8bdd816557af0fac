package strength

// Method:   why it cracked: causes weighed by what is seen
// Formula:  weight = prior × product of likelihood ratios, clipped to 0.02 to 50; the weights
//           are then made to add to 1
// Validity: every ratio is our own judgement (causes.csv); rows that see the same thing
//           (one group) count once, the first of them in the table
// Source:   judgement
//
// A ratio is P(seen | cause) over P(seen | any other cause). It orders the causes
// and says what to do besides welding; it proves nothing.

import (
	_ "embed"
	"fmt"
	"math"
	"slices"

	"soundmetal/job"
	"soundmetal/source"
)

//go:embed causes.csv
var causesCSV string

//go:embed cause_names.csv
var causeNamesCSV string

//go:embed remedies.csv
var remediesCSV string

// Evidence is one row of what can be seen.
type Evidence struct {
	ID    string `json:"id"`
	Text  string `json:"text"`
	group string
	ratio []float64 // by cause, in the order of causeIDs
}

// Change is one thing a cause changes in the plan.
type Change struct {
	ID   string        `json:"id"` // word for the plan: flush, strip-plate, preheat-add, ...
	Text string        `json:"text"`
	Low  float64       `json:"low,omitempty"` // amount, where there is one
	High float64       `json:"high,omitempty"`
	Unit string        `json:"unit,omitempty"`
	From source.Status `json:"status"`
}

// Cause is one cause with its weight and what it asks for.
type Cause struct {
	ID      string   `json:"id"`
	Title   string   `json:"title"`
	Weight  float64  `json:"weight"` // all weights add to 1
	Ratio   float64  `json:"ratio"`  // combined likelihood ratio
	Changes []Change `json:"changes"`
}

// Seen is what is known of the crack and its surroundings.
type Seen struct {
	Starts  job.Start
	History job.History
	Cause   job.CauseEvidence
	Crack   job.Crack
	Stepped job.Answer // stepped, woody face parallel to the plate; no field of the job file yet
}

// SeenIn takes from a job item what tells of the cause.
func SeenIn(it job.Item) Seen {
	return Seen{Starts: it.Crack.Starts, History: it.History, Cause: it.Cause, Crack: it.Crack}
}

type causeTable struct {
	ids, titles []string
	prior       []float64
	evidence    []Evidence
}

var causes = mustCauses()

func mustCauses() causeTable {
	var t causeTable
	for _, r := range source.Table("cause_names.csv", causeNamesCSV) {
		t.ids, t.titles = append(t.ids, r.Text("cause")), append(t.titles, r.Text("title"))
	}
	for _, r := range source.Table("causes.csv", causesCSV) {
		r.Ref()
		e := Evidence{ID: r.Text("evidence"), Text: r.Text("text"), group: r.Text("group")}
		for _, id := range t.ids {
			e.ratio = append(e.ratio, r.Num(id))
		}
		if e.ID == "prior" {
			t.prior = e.ratio
			continue
		}
		t.evidence = append(t.evidence, e)
	}
	return t
}

// seen gives the evidence rows that apply, one of each group.
func (s Seen) seen() []Evidence {
	c, h := s.Cause, s.History
	plate := s.Starts == "plate-end" || s.Starts == "old-repair" || h.PlateOver == job.Yes
	after := c.AfterWeld.Known && c.AfterWeld.V.Hours() <= fig("early_days")*24 && c.BeachMarks != job.Yes
	yes := map[string]bool{
		"beach-toe":   c.BeachMarks == job.Yes && s.Starts == "weld-toe",
		"beach-plate": c.BeachMarks == job.Yes && (s.Starts == "plate-end" || s.Starts == "old-repair"),
		"beach":       c.BeachMarks == job.Yes,
		"stepped":     s.Stepped == job.Yes,
		"crystalline": c.Crystalline == job.Yes,
		"fibrous":     c.Fibrous == job.Yes,
		"toe-start":   s.Starts == "weld-toe" && c.BeachMarks != job.Yes,
		"root-start":  s.Starts == "weld-root",
		"plate-start": plate,
		"early":       after,
		"pitted":      c.RustInCrack == job.Yes && s.Crack.Others == job.Yes,
		"rust":        c.RustInCrack == job.Yes && s.Crack.Others != job.Yes,
		"thinned":     c.Thinned.Known && float64(c.Thinned.V) > fig("thinned_share"),
		"returned":    h.Welded == job.Yes && h.Held.Known && h.Held.V.Hours() < fig("returned_hours"),
		"mirror":      h.Mirror == job.Yes,
		"loose-pins":  c.LoosePins == job.Yes,
		"event":       c.Event == job.Yes,
		"branched":    s.Crack.Branched == job.Yes,
	}
	var all []Evidence
	taken := map[string]bool{}
	for _, e := range causes.evidence {
		if yes[e.ID] && !taken[e.group] {
			taken[e.group] = true
			all = append(all, e)
		}
	}
	return all
}

// Causes weighs the causes of a crack, heaviest first.
func Causes(s Seen) source.Result[[]Cause] {
	w := begin("cause", "Why it cracked", "weight = prior × Π ratios, clipped to 0.02 to 50", source.At("judgement", "cause table", source.Judgement))
	seen := s.seen()
	low, high := fig("prior_clip_low"), fig("prior_clip_high")
	all := make([]Cause, len(causes.ids))
	var sum float64
	for i, id := range causes.ids {
		ratio := 1.0
		for _, e := range seen {
			ratio *= e.ratio[i]
		}
		ratio = math.Min(math.Max(ratio, low), high)
		all[i] = Cause{ID: id, Title: causes.titles[i], Weight: causes.prior[i] * ratio, Ratio: ratio, Changes: changesFor(id)}
		sum += all[i].Weight
	}
	for i := range all {
		all[i].Weight /= sum
	}
	slices.SortStableFunc(all, func(a, b Cause) int {
		switch {
		case a.Weight > b.Weight:
			return -1
		case a.Weight < b.Weight:
			return 1
		}
		return 0
	})
	for _, e := range seen {
		w.in("seen", e.Text, e.ID)
	}
	if len(seen) == 0 {
		w.note("nothing is known of the face, the start or the history: these are the weights before looking")
	}
	for _, c := range all {
		w.step(c.Title, "weight", fmt.Sprintf("combined ratio %s", num(c.Ratio)), 100*c.Weight, "%")
	}
	w.note("the ratios are our own judgement; they order the causes and prove none")
	w.note("what was seen of one face counts once: beach marks tell how it began, a torn face only how it ended")
	w.why("A crack that is welded without its cause comes back at the same place, longer.", "The cause works on, and the next crack comes sooner.")
	return result(w, all)
}

// remedies are the changes by cause.
var remedies = func() map[string][]Change {
	all := map[string][]Change{}
	for _, r := range source.Table("remedies.csv", remediesCSV) {
		all[r.Text("cause")] = append(all[r.Text("cause")], Change{r.Text("change"), r.Text("text"), r.Or("low", 0), r.Or("high", 0), r.Text("unit"), r.Ref().Status})
	}
	return all
}()

func changesFor(cause string) []Change { return slices.Clone(remedies[cause]) }
