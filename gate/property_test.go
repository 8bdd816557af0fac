package gate

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

var (
	somePart = []string{"", "cross member", "step", "boom", "spring seat", "header hook", "drawbar", "frame rail", "hub", "side plate, beside the fuel tank", "chassis", "zorg", "rim", "crane boom", "lift cylinder bracket"}
	someKind = []string{"", "tipper", "vibrating screen", "excavator", "telehandler", "truck", "mobile crane", "gizmo", "cherry picker", "compressor", "field sprayer"}
	someRule = []job.SiteRule{"mine", "quarry", "rail", "refinery", "landfill", "ship", "over-water", "public-road", "energised-plant", "farm", "forest", "construction"}
)

// randomJob draws a job with one item: a clear job in which some facts are
// unknown or against it, few enough that one fact more can still be seen.
func randomJob(t *rapid.T) job.Job {
	j := clearJob()
	it := &j.Items[0]
	facts := []*job.Answer{
		&j.Machine.LiftsPeople, &j.Machine.HangsLoad, &j.Machine.OnRoad, &j.Machine.Blocked, &j.Machine.Tyres, &j.Machine.Hydraulics,
		&j.Machine.Accumulator, &j.Machine.Electronics, &j.Machine.Hybrid, &j.Site.FireBan, &j.Site.ConfinedSpace, &j.Site.AtHeight,
		&j.Site.Permit, &j.Site.Insured, &j.Site.Alone, &j.Site.Combustibles, &j.Site.PowerLines, &j.Site.Water, &j.Customer.Authority,
		&j.Wanted.PlateOver, &j.Wanted.SkipTests, &j.Wanted.SignOff, &j.Wanted.Temporary, &j.Wanted.Waiver, &it.History.Welded,
	}
	for range rapid.IntRange(0, 3).Draw(t, "other answers") {
		*rapid.SampledFrom(facts).Draw(t, "fact") = rapid.SampledFrom([]job.Answer{job.Unknown, job.Yes, job.No}).Draw(t, "answer")
	}
	sometimes := func(name string, set func()) {
		if rapid.IntRange(0, 3).Draw(t, name+" changed") == 0 {
			set()
		}
	}
	it.Part = rapid.SampledFrom(somePart).Draw(t, "part")
	j.Machine.Kind = rapid.SampledFrom(someKind).Draw(t, "kind")
	sometimes("name", func() { it.Name = rapid.SampledFrom([]string{"left one", "item 2"}).Draw(t, "name") })
	sometimes("role", func() {
		it.Role = rapid.SampledFrom([]job.Role{job.Structure, job.WearPart, job.Tank, job.RoadFrame}).Draw(t, "role")
	})
	sometimes("shape", func() { it.Shape = rapid.SampledFrom([]job.Shape{"", job.Box, job.Casting}).Draw(t, "shape") })
	sometimes("contains", func() {
		it.Contains = rapid.SampledFrom([]job.Contents{"nothing", "water", "air", "fuel"}).Draw(t, "contains")
	})
	sometimes("coating", func() { it.Coating = rapid.SampledFrom([]job.Coating{"", "paint", "galvanized"}).Draw(t, "coating") })
	sometimes("approval", func() {
		it.Approval = rapid.SampledFrom([]string{"maker's letter 12 for the crane boom", "engineer 3 Nov: frame and drawbar", "no"}).Draw(t, "approval")
	})
	sometimes("spark", func() { it.Steel.Spark = "long-few-forks" })
	sometimes("repairs", func() {
		it.History = job.History{By: rapid.SampledFrom([]job.RepairBy{"", "me", "other"}).Draw(t, "by")}
		sometimes("times", func() { it.History.Times = q.Known(float64(rapid.IntRange(0, 3).Draw(t, "times"))) })
	})
	sometimes("behind", func() {
		it.Behind = rapid.SampledFrom([][]job.Behind{nil, {"hose"}, {"bearing"}, {"oil"}}).Draw(t, "behind")
	})
	sometimes("country", func() { j.Site.Country = rapid.SampledFrom([]string{"", "GB", "AU"}).Draw(t, "country") })
	sometimes("wet", func() { j.Site.Wet = rapid.SampledFrom([]job.Wetness{"", job.Damp, job.Rain}).Draw(t, "wet") })
	sometimes("rules", func() {
		j.Site.Rules = rapid.SampledFrom([][]job.SiteRule{nil, {rapid.SampledFrom(someRule).Draw(t, "rule")}}).Draw(t, "rules")
	})
	return j
}

// dangers are facts that can only make a job worse. Each is a fact added, not a
// fact replaced: fuel in place of gas is another job, not a worse one.
var dangers = map[string]func(*job.Job, *job.Item){
	"lifts people": func(j *job.Job, _ *job.Item) { j.Machine.LiftsPeople = job.Yes },
	"hangs a load": func(j *job.Job, _ *job.Item) { j.Machine.HangsLoad = job.Yes },
	"on the road":  func(j *job.Job, _ *job.Item) { j.Machine.OnRoad = job.Yes },
	"not blocked":  func(j *job.Job, _ *job.Item) { j.Machine.Blocked = job.No },
	"tyre":         func(j *job.Job, _ *job.Item) { j.Machine.Tyres = job.Yes },
	"fire ban":     func(j *job.Job, _ *job.Item) { j.Site.FireBan = job.Yes },
	"inside":       func(j *job.Job, _ *job.Item) { j.Site.ConfinedSpace = job.Yes },
	"height":       func(j *job.Job, _ *job.Item) { j.Site.AtHeight = job.Yes },
	"not insured":  func(j *job.Job, _ *job.Item) { j.Site.Insured = job.No },
	"mine":         func(j *job.Job, _ *job.Item) { j.Site.Rules = append(slices.Clone(j.Site.Rules), "mine") },
	"rail":         func(j *job.Job, _ *job.Item) { j.Site.Rules = append(slices.Clone(j.Site.Rules), "rail") },
	"not his":      func(j *job.Job, _ *job.Item) { j.Customer.Authority = job.No },
	"plate over":   func(j *job.Job, _ *job.Item) { j.Wanted.PlateOver = job.Yes },
	"skip tests":   func(j *job.Job, _ *job.Item) { j.Wanted.SkipTests = job.Yes },
	"sign-off":     func(j *job.Job, _ *job.Item) { j.Wanted.SignOff = job.Yes },
	"temporary":    func(j *job.Job, _ *job.Item) { j.Wanted.Temporary = job.Yes },
	"waiver":       func(j *job.Job, _ *job.Item) { j.Wanted.Waiver = job.Yes },
	"hurry":        func(j *job.Job, _ *job.Item) { j.Wanted.By = "in an hour" },
	"failed twice": func(_ *job.Job, it *job.Item) {
		if it.History.By == "" || it.History.By == "me" {
			it.History.Welded, it.History.By, it.History.Times = job.Yes, "me", q.Known(3.0)
		}
	},
	"fuel in it": func(_ *job.Job, it *job.Item) {
		if it.Contains == "" || it.Contains == "nothing" {
			it.Contains = "fuel"
		}
	},
	"tank behind":   func(_ *job.Job, it *job.Item) { it.Behind = append(slices.Clone(it.Behind), "tank") },
	"hollow behind": func(_ *job.Job, it *job.Item) { it.Behind = append(slices.Clone(it.Behind), "closed-hollow") },
	"iron": func(_ *job.Job, it *job.Item) {
		if it.Steel.Spark == "" {
			it.Steel.Spark = "short-dull-red"
		}
	},
	"no magnet": func(_ *job.Job, it *job.Item) { it.Steel.Magnet = "none" },
	"a role": func(_ *job.Job, it *job.Item) {
		if it.Role == "" {
			it.Role = job.Wheel
		}
	},
	"word: rim":         func(_ *job.Job, it *job.Item) { it.Part += ", rim" },
	"word: ROPS post":   func(_ *job.Job, it *job.Item) { it.Part += "; ROPS post" },
	"word: LPG bottle":  func(_ *job.Job, it *job.Item) { it.Name += ", LPG bottle" },
	"word: cab":         func(_ *job.Job, it *job.Item) { it.Part += ", cab" },
	"word: crane":       kindWord(", crane"),
	"word: telehandler": kindWord(", telehandler"),
}

// kindWord adds a word to the machine, where there is one: else the word would
// answer the question what the machine is.
func kindWord(word string) func(*job.Job, *job.Item) {
	return func(j *job.Job, _ *job.Item) {
		if j.Machine.Kind != "" {
			j.Machine.Kind += word
		}
	}
}

// A dangerous fact more never makes the verdict milder, and never takes a
// make-safe step away.
func TestMoreDangerIsNeverMilder(t *testing.T) {
	names := make([]string, 0, len(dangers))
	for n := range dangers {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		j := randomJob(t)
		it := j.Items[0]
		before := Screen(j, it)
		name := rapid.SampledFrom(names).Draw(t, "danger")
		dangers[name](&j, &it)
		after := Screen(j, it)
		if before.Class.Worse(after.Class) {
			t.Fatalf("%s made it milder: %s %v, then %s %v", name, before.Class, ruleIDs(before), after.Class, ruleIDs(after))
		}
		checkVerdict(t, after)
	})
}

// checkVerdict holds for every verdict whatever the job.
func checkVerdict(t *rapid.T, v Verdict) {
	worst := Go
	for _, f := range v.Findings {
		worst = Worst(worst, f.Class)
		if len(f.Because) == 0 || f.Why == "" || f.Source.Key == "" || f.Unlock == "" {
			t.Fatalf("%s: a finding without because, why, unlock or source", f.RuleID)
		}
		if len(f.Figures) > 0 {
			t.Fatalf("%s: a rule of touch with a figure", f.RuleID)
		}
	}
	if worst != v.Class {
		t.Fatalf("class %s, worst finding %s", v.Class, worst)
	}
	if len(v.Ask) > 0 && v.Class == Go {
		t.Fatalf("open questions and go")
	}
	if v.CustomerText == "" || strings.ContainsFunc(v.CustomerText, unicode.IsNumber) || strings.Contains(v.CustomerText, "\n") {
		t.Fatalf("customer text: %q", v.CustomerText)
	}
}

// A fact that becomes known as harmless never adds a make-safe step, and one
// that becomes known as dangerous never takes one away.
func TestStepsFollowTheFacts(t *testing.T) {
	flips := map[string]struct {
		field func(*job.Job) *job.Answer
		worse job.Answer
		also  string // the step that changes sides: no longer asks, but orders
	}{
		"hydraulics":   {func(j *job.Job) *job.Answer { return &j.Machine.Hydraulics }, job.Yes, ""},
		"accumulator":  {func(j *job.Job) *job.Answer { return &j.Machine.Accumulator }, job.Yes, ""},
		"electronics":  {func(j *job.Job) *job.Answer { return &j.Machine.Electronics }, job.Yes, ""},
		"hybrid":       {func(j *job.Job) *job.Answer { return &j.Machine.Hybrid }, job.Yes, ""},
		"tyres":        {func(j *job.Job) *job.Answer { return &j.Machine.Tyres }, job.Yes, ""},
		"combustibles": {func(j *job.Job) *job.Answer { return &j.Site.Combustibles }, job.Yes, ""},
		"power lines":  {func(j *job.Job) *job.Answer { return &j.Site.PowerLines }, job.Yes, ""},
		"alone":        {func(j *job.Job) *job.Answer { return &j.Site.Alone }, job.Yes, ""},
		"confined":     {func(j *job.Job) *job.Answer { return &j.Site.ConfinedSpace }, job.Yes, ""},
		"height":       {func(j *job.Job) *job.Answer { return &j.Site.AtHeight }, job.Yes, ""},
		"water":        {func(j *job.Job) *job.Answer { return &j.Site.Water }, job.No, ""},
		"permit":       {func(j *job.Job) *job.Answer { return &j.Site.Permit }, job.No, "permit-keep"},
	}
	names := make([]string, 0, len(flips))
	for n := range flips {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		j := randomJob(t)
		flip := flips[rapid.SampledFrom(names).Draw(t, "fact")]
		better := job.Yes
		if flip.worse == job.Yes {
			better = job.No
		}
		at := func(a job.Answer) []string {
			*flip.field(&j) = a
			return stepIDs(MakeSafe(j, j.Items[0], Work{}))
		}
		harmless, open, dangerous := at(better), at(job.Unknown), at(flip.worse)
		for _, id := range harmless {
			if id != flip.also && !slices.Contains(open, id) {
				t.Fatalf("%s is there when harmless and gone when not known", id)
			}
		}
		for _, id := range open {
			if !slices.Contains(dangerous, id) {
				t.Fatalf("%s is there when not known and gone when dangerous", id)
			}
		}
	})
}
