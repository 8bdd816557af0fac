package strength

import (
	"math"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func weights(s Seen) map[string]float64 {
	m := map[string]float64{}
	for _, c := range Causes(s).Value {
		m[c.ID] = c.Weight
	}
	return m
}

func TestCauses(t *testing.T) {
	rows := []struct {
		name string
		seen Seen
		top  string
	}{
		{"beach marks from a toe", Seen{Starts: "weld-toe", Cause: job.CauseEvidence{BeachMarks: job.Yes}}, "toe"},
		{"up the middle of the weld", Seen{Starts: "weld-root"}, "root"},
		{"from a plate's end, beach marks, mirror side too", Seen{Starts: "plate-end", History: job.History{Welded: job.Yes, PlateOver: job.Yes, Mirror: job.Yes},
			Cause: job.CauseEvidence{BeachMarks: job.Yes}}, "repair"},
		{"torn face, bent, dropped", Seen{Cause: job.CauseEvidence{Fibrous: job.Yes, Event: job.Yes}}, "overload"},
		{"a day after welding", Seen{Starts: "weld-toe", Cause: job.CauseEvidence{AfterWeld: q.Known(20 * q.Hour)}}, "cold"},
		{"woody steps", Seen{Stepped: job.Yes, Crack: job.Crack{Branched: job.No}}, "lamellar"},
		{"rust deep in and more cracks beside", Seen{Crack: job.Crack{Others: job.Yes}, Cause: job.CauseEvidence{RustInCrack: job.Yes}}, "corrosion"},
		{"a third worn away", Seen{Cause: job.CauseEvidence{Thinned: q.Known(q.Ratio(0.33))}}, "wear"},
		{"came back after 300 h", Seen{History: job.History{Welded: job.Yes, Held: q.Known(300 * q.Hour)}}, "repair"},
	}
	for _, r := range rows {
		all := Causes(r.seen).Value
		if all[0].ID != r.top {
			t.Errorf("%s: first is %s with %.2f, want %s", r.name, all[0].ID, all[0].Weight, r.top)
		}
		var sum float64
		for i, c := range all {
			sum += c.Weight
			if i > 0 && c.Weight > all[i-1].Weight {
				t.Errorf("%s: %s stands below %s and weighs more", r.name, c.ID, all[i-1].ID)
			}
			if c.Ratio < 0.02 || c.Ratio > 50 {
				t.Errorf("%s: ratio %v of %s is not clipped", r.name, c.Ratio, c.ID)
			}
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s: weights add to %v", r.name, sum)
		}
		if len(all[0].Changes) == 0 {
			t.Errorf("%s: %s changes nothing in the plan", r.name, all[0].ID)
		}
	}
}

// Source: priors of the cause table (judgement): nothing seen leaves them.
func TestPriors(t *testing.T) {
	w := weights(Seen{})
	for id, want := range map[string]float64{"toe": 0.30, "root": 0.20, "repair": 0.15, "overload": 0.10, "cold": 0.08, "wear": 0.07, "corrosion": 0.05, "lamellar": 0.02, "other": 0.03} {
		if math.Abs(w[id]-want) > 1e-12 {
			t.Errorf("%s: got %v, want %v", id, w[id], want)
		}
	}
}

func TestOneFaceCountsOnce(t *testing.T) {
	beach := Seen{Starts: "weld-toe", Cause: job.CauseEvidence{BeachMarks: job.Yes}}
	torn := beach
	torn.Cause.Fibrous = job.Yes // the last ligament tore: says nothing new
	a, b := weights(beach), weights(torn)
	for id := range a {
		if a[id] != b[id] {
			t.Errorf("%s: %v became %v by the torn rest of the same face", id, a[id], b[id])
		}
	}
}

// Each piece of evidence lifts the cause it points to, whatever else is seen.
func TestEvidencePointsItsWay(t *testing.T) {
	base := Seen{Starts: "weld-toe"}
	before := weights(base)
	for _, r := range []struct {
		name, cause string
		seen        func(Seen) Seen
	}{
		{"mirror side", "toe", func(s Seen) Seen { s.History.Mirror = job.Yes; return s }},
		{"event", "overload", func(s Seen) Seen { s.Cause.Event = job.Yes; return s }},
		{"loose pins", "toe", func(s Seen) Seen { s.Cause.LoosePins = job.Yes; return s }},
		{"old plate", "repair", func(s Seen) Seen { s.History.PlateOver = job.Yes; s.Starts = ""; return s }},
		{"forks", "corrosion", func(s Seen) Seen { s.Crack.Branched = job.Yes; return s }},
		{"rust", "corrosion", func(s Seen) Seen { s.Cause.RustInCrack = job.Yes; return s }},
	} {
		if after := weights(r.seen(base)); after[r.cause] <= before[r.cause] {
			t.Errorf("%s: %s went from %.3f to %.3f", r.name, r.cause, before[r.cause], after[r.cause])
		}
	}
}
