package material

// Which test is worth doing: for each test not yet done, what it may show, how
// likely that is by the present weights, and which families would then remain.

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// TestOption is a test that has not been done yet.
type TestOption struct {
	ID       string       `json:"id"`
	Title    string       `json:"title"`
	Time     q.Time       `json:"time"`              // to do it; for a laboratory until the answer
	Kit      string       `json:"kit"`               // what it takes
	Have     job.Answer   `json:"have"`              // is that on the truck? unknown where the shop file does not say
	How      string       `json:"how"`               // one or two sentences
	Caution  string       `json:"caution,omitempty"` // what can hurt
	Outcomes []Outcome    `json:"outcomes"`          // probabilities add up to 1
	Basis    source.Basis `json:"basis"`
}

// Outcome is one thing a test may show.
type Outcome struct {
	Says        string      `json:"says"`
	Probability q.Ratio     `json:"probability"` // by the present weights
	Credible    []Candidate `json:"credible"`    // what would remain
	Leaves      []string    `json:"leaves"`      // ids of credible families that would go
}

// fieldTest is one row of fieldtests.csv.
type fieldTest struct {
	option TestOption
	tester bool    // needs the hardness tester of the shop file
	found  float64 // chance that it gives an answer
	ref    source.Ref
}

var fieldTests, readingBands = readFieldTests()

// readingBand is a span of readings, weighed at one of them.
type readingBand struct{ low, high, at float64 }

func readFieldTests() ([]fieldTest, map[string][]readingBand) {
	var all []fieldTest
	for _, r := range source.Table("fieldtests.csv", fieldTestsCSV) {
		all = append(all, fieldTest{TestOption{ID: r.Text("id"), Title: r.Text("title"), Time: q.Time(r.Num("minutes")) * q.Minute,
			Kit: r.Text("kit"), How: r.Text("how"), Caution: r.Text("caution")}, r.Text("needs") == "tester", r.Num("found"), r.Ref()})
	}
	bands := map[string][]readingBand{}
	for _, r := range source.Table("readings.csv", readingsCSV) {
		r.Ref()
		bands[r.Text("test")] = append(bands[r.Text("test")], readingBand{r.Num("low"), r.Num("high"), r.Num("at")})
	}
	return all, bands
}

// Tests lists the tests not yet done, quickest first, with what each may show.
// The caller works out what an outcome would save.
func Tests(a Assessment, kit job.MeasureKit) []TestOption { return TestsAbove(a, kit, 0) }

// TestsAbove is Tests for a caller who cares only for outcomes of some chance:
// one below least keeps its words and its chance, and what would then remain is
// not worked out.
func TestsAbove(a Assessment, kit job.MeasureKit, least q.Ratio) []TestOption {
	weights := make([]float64, listed)
	for _, c := range a.Candidates {
		if i := familyIndex[c.ID]; i < listed {
			weights[i] = float64(c.Weight)
		}
	}
	var all []TestOption
	for _, t := range fieldTests {
		if done(t.option.ID, a.Evidence) {
			continue
		}
		o := t.option
		if t.tester {
			o.Have = kit.Hardness
		}
		o.Outcomes = outcomes(t, a, weights, least)
		o.Basis = source.Basis{Method: "steel-test", Title: "What the test may show: " + o.Title,
			Formula: "sum over families of weight × likelihood of the outcome",
			Inputs:  a.Basis.Inputs, Ref: t.ref, Also: []source.Ref{source.At("judgement", "how likely each steel shows it", source.Judgement)},
			Notes: []string{"the chances are judgement and only rank the tests", "a band of readings is weighed at one reading inside it"},
			Why:   "A test pays when its answer would change the plan.",
			Skip:  "The plan stays on the most demanding steel that the facts allow."}
		for _, x := range o.Outcomes {
			step := source.Step{Name: x.Says, Value: float64(x.Probability)}
			if x.Credible != nil {
				step.Text = "then leaves " + fmt.Sprint(len(x.Credible)) + " families"
			}
			o.Basis.Steps = append(o.Basis.Steps, step)
		}
		all = append(all, o)
	}
	slices.SortStableFunc(all, func(x, y TestOption) int { return cmp.Compare(x.Time, y.Time) })
	return all
}

// done says whether the evidence already holds a test's answer.
func done(id string, ev job.Evidence) bool {
	switch id {
	case "magnet":
		return ev.Magnet != ""
	case "file":
		return ev.File != ""
	case "chip":
		return ev.Chip != ""
	case "spark":
		return ev.Spark != ""
	case "surface":
		return ev.Surface != ""
	case "hardness":
		return ev.Hardness.Known
	case "cut_edge":
		return ev.CutEdge.Known
	case "analysis":
		return len(ev.Analysis) > 0
	case "certificate":
		return ev.GradeBy == "certificate" && ev.Grade != ""
	}
	panic("material: fieldtests.csv: no test " + id)
}

// outcomes lists what a test may show.
func outcomes(t fieldTest, a Assessment, weights []float64, least q.Ratio) []Outcome {
	var all []Outcome
	add := func(says string, p float64, ev job.Evidence) {
		switch {
		case p <= 0:
		case p < float64(least):
			all = append(all, Outcome{Says: says, Probability: q.Ratio(p)})
		default:
			all = append(all, a.outcome(says, p, ev))
		}
	}
	ev := a.Evidence
	switch id := t.option.ID; id {
	case "magnet", "file", "chip", "spark", "surface":
		c := channels[id]
		values := slices.Sorted(maps.Keys(c.values))
		chances := make([]float64, len(values))
		sum := 0.0
		for i, v := range values {
			for f, w := range weights {
				chances[i] += w * math.Exp(c.values[v].log[f])
			}
			sum += chances[i]
		}
		if sum == 0 {
			return nil // the analysis fits no family, so no family can foretell a test
		}
		for i, v := range values {
			switch id {
			case "magnet":
				ev.Magnet = job.Magnet(v)
			case "file":
				ev.File = job.File(v)
			case "chip":
				ev.Chip = job.Chip(v)
			case "spark":
				ev.Spark = job.Spark(v)
			case "surface":
				ev.Surface = job.Surface(v)
			}
			add(c.say(v), chances[i]/sum, ev)
		}
	case "hardness", "cut_edge":
		c, of, s := channels[id], hardnessBand, scale(judged("hardness_error"))
		if id == "cut_edge" {
			of, s = cutEdgeBand, scale(judged("cut_edge_error"))
		}
		sum := 0.0 // weight of the families that have a band
		for f, w := range weights {
			if _, ok := of(&families[f]); ok {
				sum += w
			}
		}
		if sum == 0 {
			return nil // every family left is one that the test says nothing about
		}
		for _, r := range readingBands[id] {
			p := 0.0
			for f, w := range weights {
				b, ok := of(&families[f])
				if !ok {
					continue
				}
				low := 0.0
				if r.low > 0 {
					low = b.below(math.Log(r.low), s)
				}
				p += w / sum * (b.below(math.Log(r.high), s) - low)
			}
			if id == "hardness" {
				ev.Hardness = q.Known(q.Brinell(r.at))
			} else {
				ev.CutEdge = q.Known(q.Vickers(r.at))
			}
			add(c.say("about "+num(r.at)), p, ev)
		}
	case "certificate", "analysis":
		for f, w := range weights {
			fam := &families[f]
			if w == 0 {
				continue
			}
			if id == "certificate" {
				ev.Grade, ev.GradeBy = fam.ID, "certificate"
				add("the certificate says "+fam.Name, t.found*w, ev)
				continue
			}
			ev.Analysis = map[string]float64{}
			for i, v := range fam.Typical().all() {
				ev.Analysis[symbols[i]] = v
			}
			add("the analysis is a usual one of "+fam.Name, t.found*w, ev)
		}
		if t.found < 1 && all != nil {
			add("nobody has a paper", 1-t.found, a.Evidence)
		}
	}
	return all
}

// outcome weighs the evidence again as if a test had shown something.
func (a Assessment) outcome(says string, p float64, ev job.Evidence) Outcome {
	o := Outcome{Says: says, Probability: q.Ratio(p), Credible: weigh(ev, a.Context).credibles()}
	for _, c := range a.Credible {
		if !slices.ContainsFunc(o.Credible, func(x Candidate) bool { return x.ID == c.ID }) {
			o.Leaves = append(o.Leaves, c.ID)
		}
	}
	return o
}
