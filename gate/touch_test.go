package gate

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/job"
)

func ruleIDs(v Verdict) []string {
	var ids []string
	for _, f := range v.Findings {
		ids = append(ids, f.RuleID)
	}
	return ids
}

func askIDs(v Verdict) []string {
	var ids []string
	for _, a := range v.Ask {
		ids = append(ids, a.ID)
	}
	return ids
}

func TestEveryRuleMeetsAndSpares(t *testing.T) {
	cases := readCases(t, "testdata/touch.txt")
	var ids []string
	for _, r := range touchRules() {
		ids = append(ids, r.id)
	}
	bothWays(t, ids, cases, nil)
	for _, c := range cases {
		t.Run(c.name(), func(t *testing.T) {
			v := Screen(c.job, c.job.Items[0])
			if got := slices.Contains(ruleIDs(v), c.id); got != c.meets {
				t.Errorf("rule %s met: got %v, want %v (%s); findings %v", c.id, got, c.meets, c.source, ruleIDs(v))
			}
			if c.class != "-" && v.Class.String() != c.class {
				t.Errorf("class: got %s, want %s (%s); findings %v", v.Class, c.class, c.source, ruleIDs(v))
			}
		})
	}
}

func TestEveryQuestionIsAskedAndSpared(t *testing.T) {
	cases := readCases(t, "testdata/ask.txt")
	var ids []string
	for _, a := range askRows {
		ids = append(ids, a.ID)
	}
	bothWays(t, ids, cases, nil)
	for _, c := range cases {
		t.Run(c.name(), func(t *testing.T) {
			v := Screen(c.job, c.job.Items[0])
			if got := slices.Contains(askIDs(v), c.id); got != c.meets {
				t.Errorf("question %s asked: got %v, want %v (%s); asked %v", c.id, got, c.meets, c.source, askIDs(v))
			}
			if c.meets && v.Class == Go {
				t.Errorf("a question is open and the class is go")
			}
		})
	}
}

func TestEachRowHasOnePredicate(t *testing.T) {
	rows := func(ids []string) []string { slices.Sort(ids); return ids }
	keys := func(m map[string]trigger) []string { return slices.Sorted(maps.Keys(m)) }
	var touch, ask, steps []string
	for _, r := range touchRules() {
		touch = append(touch, r.id)
	}
	for _, a := range askRows {
		if !strings.HasPrefix(a.ID, doubtPrefix) {
			ask = append(ask, a.ID)
		}
	}
	for _, s := range stepRows {
		steps = append(steps, s.id)
	}
	if d := cmp.Diff(rows(touch), keys(touchWhen)); d != "" {
		t.Errorf("touch.csv and touchWhen differ:\n%s", d)
	}
	if d := cmp.Diff(rows(ask), keys(askWhen)); d != "" {
		t.Errorf("questions.csv and askWhen differ:\n%s", d)
	}
	if d := cmp.Diff(rows(steps), keys(makeSafeWhen)); d != "" {
		t.Errorf("makesafe.csv and makeSafeWhen differ:\n%s", d)
	}
	var weather, inspect []string
	for _, r := range weatherRows {
		weather = append(weather, r.id)
	}
	for _, r := range inspectRows {
		inspect = append(inspect, r.id)
	}
	if d := cmp.Diff(rows(weather), slices.Sorted(maps.Keys(weatherWhen))); d != "" {
		t.Errorf("weather.csv and weatherWhen differ:\n%s", d)
	}
	if d := cmp.Diff(rows(inspect), slices.Sorted(maps.Keys(inspectWhen))); d != "" {
		t.Errorf("inspect.csv and inspectWhen differ:\n%s", d)
	}
}

// A doubt must lead to a question, and what a word means must be a meaning that
// some predicate looks at.
func TestEveryDoubtHasItsQuestion(t *testing.T) {
	for key, rows := range keywordIndex().by {
		for _, k := range rows {
			if k.kind != doubt {
				continue
			}
			if len(k.means) != 1 || !slices.ContainsFunc(askRows, func(a Question) bool { return a.ID == doubtPrefix+k.means[0] }) {
				t.Errorf("%s: doubt %v has no question", key, k.means)
			}
		}
	}
}

func TestEveryKeywordRowIsWellMade(t *testing.T) {
	kinds := []hitKind{sure, doubt, plain, away, friend, tag, near, denial}
	meanings := []string{hub, wheelHolder, drawbar, framePart, shaft, clevis, iron, string(job.Structure)}
	for _, w := range job.Role("").Words() {
		meanings = append(meanings, w.Value)
	}
	tags := []string{craneTag, peopleTag, truckTag, roadTag, mayPeopleTag, mayHangTag, mayOnRoadTag, "digger", "field-machine", "screen", "fixed", "vessel"}
	for key, rows := range keywordIndex().by {
		for _, k := range rows {
			if !slices.Contains(kinds, k.kind) {
				t.Errorf("%s: kind %q", key, k.kind)
			}
			if !slices.Contains([]string{"part", "machine", "steel", "approval", "any"}, k.in) {
				t.Errorf("%s: in %q", key, k.in)
			}
			if k.with != "" && !slices.Contains(tags, k.with) {
				t.Errorf("%s: with %q", key, k.with)
			}
			for _, m := range k.means {
				if k.kind == tag && !slices.Contains(tags, m) || k.kind != tag && !slices.Contains(meanings, m) {
					t.Errorf("%s: %s means %q", key, k.kind, m)
				}
			}
		}
	}
}

// The roles of the job file: each but structure stands against the work by
// itself, whatever the part is called.
func TestEveryRoleIsGuarded(t *testing.T) {
	want := map[job.Role]Class{
		job.ProtectFrame: Escalate, job.Wheel: Refuse, job.LiftingGear: Refuse, job.LiftingLug: Escalate,
		job.CraneStructure: Escalate, job.Fork: Refuse, job.TruckMast: Escalate, job.PeopleLift: Escalate,
		job.PressureVessel: Escalate, job.AirReservoir: Refuse, job.Tank: Escalate, job.RoadFrame: Escalate,
		job.CouplingPart: Refuse, job.SteeringBrake: Refuse, job.CylinderPart: Escalate, job.Fastener: Escalate,
		job.WearPart: Condition, job.Structure: Go,
	}
	for _, w := range job.Role("").Words() {
		role := job.Role(w.Value)
		t.Run(w.Value, func(t *testing.T) {
			j := clearJob()
			j.Items[0].Role, j.Machine.OnRoad = role, job.Yes
			if got := Screen(j, j.Items[0]).Class; got != want[role] {
				t.Errorf("class: got %s, want %s", got, want[role])
			}
		})
	}
}

// clearJob is a job with every question answered and nothing against it.
func clearJob() job.Job {
	j, err := job.Read("clear", []byte(`
part: side plate
shape: plate
behind: nothing
coating: bare
machine: {kind: vibrating screen, lifts_people: no, hangs_load: no, on_road: no, blocked: yes, tyres: no, electronics: no, hybrid: no, hydraulics: no, accumulator: no, can_move: yes}
customer: {name: Elm Row Gravel, authority: yes}
site: {country: US, air: 15 C, steel: 15 C, wind: 5 km/h, wet: dry, shelter: yes, fire_ban: no, confined_space: no, at_height: no, power_lines: no, combustibles: no, water: yes, signal: yes, alone: no, permit: yes, rules: [farm]}
history: {welded: no}
`))
	if err != nil {
		panic(err)
	}
	return j
}

func TestClearJobIsGo(t *testing.T) {
	j := clearJob()
	v := Screen(j, j.Items[0])
	if v.Class != Go || len(v.Findings) != 0 || len(v.Ask) != 0 {
		t.Errorf("got %s with %v, asked %v; want go and nothing", v.Class, ruleIDs(v), askIDs(v))
	}
	if !strings.Contains(v.CustomerText, "side plate") {
		t.Errorf("customer text does not name the part: %s", v.CustomerText)
	}
}

// The least that a job file may hold must not be refused: machine, part,
// thickness, crack. (Common practice, no source.)
func TestFiveLineJob(t *testing.T) {
	for _, text := range []string{
		"units: us\njob: Tipper\nmachine: tipper\npart: cross member\nthickness: 3/8\ncrack: 4 in\n",
		"units: si\nmachine: conveyor\npart: side frame\nthickness: 8 mm\ncrack: 60 mm\n",
	} {
		j, err := job.Read("five", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		v := Screen(j, j.Items[0])
		if v.Class != Condition && v.Class != Go {
			t.Errorf("got %s %v, want condition or go", v.Class, ruleIDs(v))
		}
		if !slices.Contains(askIDs(v), "fire-ban") || !slices.Contains(ruleIDs(v), "answer-first") {
			t.Errorf("the open questions do not stay in force: asked %v, findings %v", askIDs(v), ruleIDs(v))
		}
	}
}

// Rows 1 to 20 (with 2b) of the refuse list this room was made from.
func TestNoRowOfTheListIsMissing(t *testing.T) {
	rows := map[string][]string{
		"1 protective frame": {"protective-frame"}, "2 wheel": {"wheel"}, "2b hot work on a wheel": {"wheel-heat"},
		"3 lifting gear": {"lifting-gear", "lifting-lug"}, "4 crane": {"crane"}, "5 fork": {"fork"}, "6 mast": {"truck-mast"},
		"7 people": {"people-lift"}, "8 pressure": {"pressure-vessel"}, "9 brake reservoir": {"air-reservoir"},
		"10 tank": {"tank", "sealed-hollow"}, "11 road frame": {"road-frame", "frame-maker"}, "12 forged parts": {"road-safety-part"},
		"13 cylinder": {"cylinder", "cylinder-clevis"}, "14 iron": {"iron-running-gear", "iron-casting"}, "15 hard steel": {"hard-material"},
		"16 site":     {"confined-space", "mine", "landfill", "rail", "energised-plant", "over-water", "fire-ban"},
		"17 sign-off": {"sign-off"}, "18 plate over, skip tests, hung up": {"plate-over", "skip-tests", "hung-up"},
		"19 own repeat": {"own-repeat"}, "20 insurance": {"insurance"},
	}
	for row, ids := range rows {
		for _, id := range ids {
			if !slices.ContainsFunc(touchRules(), func(r rule) bool { return r.id == id }) {
				t.Errorf("row %s: no rule %s", row, id)
			}
		}
	}
}

func TestFireBanStandsAboveAll(t *testing.T) {
	j := clearJob()
	j.Site.FireBan = job.Yes
	v := Screen(j, j.Items[0])
	if v.Class != Escalate || v.Findings[0].RuleID != "fire-ban" {
		t.Errorf("clear job under a ban: got %s %v", v.Class, ruleIDs(v))
	}
	j.Items[0].Part = "rim"
	if v = Screen(j, j.Items[0]); v.Class != Refuse || v.Findings[0].RuleID != "fire-ban" {
		t.Errorf("rim under a ban: got %s %v, want refuse with the ban first", v.Class, ruleIDs(v))
	}
	j = clearJob()
	j.Site.FireBan, j.Site.Permit = job.Yes, job.Yes
	if v = Screen(j, j.Items[0]); v.Class != Escalate {
		t.Errorf("the owner's hot-work permit lifted a fire ban: %s", v.Class)
	}
	j.Items[0].Approval = "fire authority, burn ban exemption 2026-114 for the yard"
	if v = Screen(j, j.Items[0]); v.Class != Condition || v.Findings[0].Approved == "" {
		t.Errorf("the authority's permit did not lift the ban: %s", v.Class)
	}
}

func TestItemsOfOneJobDiffer(t *testing.T) {
	j := clearJob()
	j.Items = append(j.Items, job.Item{Part: "tow hook"})
	if a, b := Screen(j, j.Items[0]).Class, Screen(j, j.Items[1]).Class; a != Go || b != Refuse {
		t.Errorf("got %s and %s, want go and refuse", a, b)
	}
}

func TestLawOfTheJobsCountryFirst(t *testing.T) {
	for _, c := range []struct{ part, country, key, place string }{
		// 30 CFR 56.14130(e)(2) in the US, Alberta OHS section 273 in Canada
		{"ROPS", "us", "cfr-30-56", ""},
		{"ROPS", "CA", "alberta-ohs", ""},
		{"ROPS", "", "cfr-30-56", "US mines"},
		{"ROPS", "AU", "cfr-30-56", "US mines"},
		// HSE in the UK, 29 CFR 1910.177 elsewhere
		{"rim", "GB", "hse-wheels", ""},
		{"rim", "uk", "hse-wheels", ""},
		{"rim", "NZ", "osha-3086", "US"},
		{"oil tank", "NZ", "nz-drums", ""},
		{"oil tank", "", "ontario-alert", "Ontario, Canada"},
		// an international standard is nobody's law
		{"fork tine", "AU", "iso5057", ""},
	} {
		j := clearJob()
		j.Items[0].Part, j.Site.Country = c.part, c.country
		f := Screen(j, j.Items[0]).Findings[0]
		if f.Source.Key != c.key || f.Jurisdiction != c.place {
			t.Errorf("%s in %q: got %s of %q, want %s of %q", c.part, c.country, f.Source.Key, f.Jurisdiction, c.key, c.place)
		}
	}
}

func TestVerdictAsJSON(t *testing.T) {
	j := clearJob()
	j.Items[0].Part, j.Wanted.Waiver = "crane boom", job.Yes
	v := Screen(j, j.Items[0])
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var back Verdict
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(v, back); d != "" {
		t.Errorf("JSON round trip:\n%s", d)
	}
	if !strings.Contains(string(data), `"class":"escalate"`) {
		t.Errorf("class is not a word: %s", data)
	}
}

func TestClass(t *testing.T) {
	if !Refuse.Worse(Escalate) || !Escalate.Worse(Condition) || !Condition.Worse(Go) || Go.Worse(Go) {
		t.Error("the order of the classes is broken")
	}
	if got := Worst(Condition, Escalate, Go); got != Escalate {
		t.Errorf("worst: got %s, want escalate", got)
	}
	if Worst() != Go {
		t.Error("nothing found is go")
	}
	var zero Verdict
	if zero.Class != Refuse {
		t.Error("a verdict that nobody made lets an arc through")
	}
	var c Class
	if err := c.UnmarshalText([]byte("maybe")); err == nil {
		t.Error("no error for an unknown class")
	}
	if _, err := Class(9).MarshalText(); err == nil {
		t.Error("no error for an unknown class")
	}
}

// Every rule of touch has its own sentence to the customer; an approval in hand
// takes its place.
func TestFindingToCustomer(t *testing.T) {
	for _, r := range touchRules() {
		if got := (Finding{RuleID: r.id}).ToCustomer(); got != r.customer {
			t.Errorf("%s: %q, want %q", r.id, got, r.customer)
		}
	}
	if got := (Finding{RuleID: "crane", Approved: "letter 4"}).ToCustomer(); got != phrase("approved-customer") {
		t.Errorf("approved: %q", got)
	}
	if got := (Finding{RuleID: "no such rule"}).ToCustomer(); got != "" {
		t.Errorf("no rule: %q", got)
	}
}
