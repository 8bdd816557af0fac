package book_test

import (
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/store/memory"
)

// The whole job on a plate: call, make safe, cut, heat, weld, wait, prove, close,
// look again.
func TestWholeJob(t *testing.T) {
	w := newBench(t)
	r := w.do(plate())
	w.job = r.Job
	j := w.is()
	w.place = j.Places[0].ID
	if j.Plan() == nil || j.Plan().Number != 1 || j.Machine == "" || j.Customer == "" {
		t.Fatalf("plan %v, machine %q, customer %q", j.Plan(), j.Machine, j.Customer)
	}
	l, ok := j.Limits(w.place)
	if !ok || !l.Planned || l.Floor == nil || len(l.Beads) == 0 {
		t.Fatalf("limits: %+v", l)
	}
	file, err := w.b.Plan(t.Context(), j.Plan())
	if err != nil || !strings.Contains(string(file.Plan), `"beads"`) || !strings.Contains(string(file.Job), "S355J2") {
		t.Fatalf("kept plan: %v", err)
	}

	w.refused(book.CodeHold, "answer the hold point first", book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 1}})
	w.refused(book.CodeHold, "answer the hold point first", book.BeadDone{Job: w.job})
	w.do(book.AgreeWork{Job: w.job, Price: "1200 to 1900 USD", Yes: book.Yes{Name: "R. Ostrander", How: book.ByPhone}})
	w.passAll("cut")
	w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 1, Length: book.SI(*l.Length), Depth: book.SI(*l.Depth)}})
	w.refused(book.CodeHold, "Crack proven gone", book.BeadDone{Job: w.job})
	w.refused(book.CodeField, "how it was seen", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldCrackGone)}, Says: book.SaysYes})
	w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageGone, Method: book.MethodPT, Result: book.Clear}})
	w.passAll("heat")
	w.passAll("passes")
	w.refused(book.CodeHold, "log the reading first", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldHeatReached)}, Says: book.SaysYes})
	w.heat()
	tin := w.do(book.OpenTin{Job: w.job, Class: "E7018-H4R 3.2 mm", Lot: "A77"}).Made
	for range l.Beads {
		w.do(book.BeadDone{Job: w.job, Temp: book.SI(*l.Floor + 15), Bead: book.Bead{Tin: tin, Rods: 1, Length: book.SI(l.Beads[0].Run.Mid())}})
	}
	j = w.is()
	if got := rules(j.Deviations); strings.Contains(got, "bead-cold") || strings.Contains(got, "bead-unread") || strings.Contains(got, "run-") {
		t.Errorf("deviations of a job by the plan: %s", got)
	}
	if got := j.Tin(tin); got.Rods != float64(len(l.Beads)) || got.Due == nil {
		t.Errorf("tin: %v rods, due %v", got.Rods, got.Due)
	}
	w.refused(book.CodeHold, "final look", book.Close{Job: w.job, By: "me", Done: "welded", NotExamined: []string{"inside"}})
	if l.Delay != nil {
		w.refused(book.CodeHold, "the delay runs until", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldFinalLook)}, Says: book.SaysYes})
		w.now = w.now.Add(time.Duration(float64(*l.Delay)) * time.Second)
	}
	w.refused(book.CodeHold, "log the final look first", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldFinalLook)}, Says: book.SaysYes})
	w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Clear}})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldFinalLook)}, Says: book.SaysYes, How: "yoke"})
	w.refused(book.CodeField, "not examined", book.Close{Job: w.job, By: "me", Done: "welded"})
	w.refused(book.CodeField, "look at the place again", book.Close{Job: w.job, By: "me", Done: "welded", NotExamined: []string{"inside"}})
	w.do(book.Close{Job: w.job, By: "me", Done: "side plate gouged, welded both sides, ground flush", NotExamined: []string{"the other side plate", "bearings"},
		Looks: []book.NextLook{{What: "after 60 working hours", Hours: 60 * q.Hour}}})
	j = w.is()
	if j.Status != book.JobClosed || len(j.FollowUps) != 1 {
		t.Fatalf("status %s, %d looks", j.Status, len(j.FollowUps))
	}
	if got, want := j.FollowUps[0].Due.Sub(j.Closing().At).Round(time.Hour), 7*24*time.Hour; got != want {
		t.Errorf("60 h at 60 h a week are due in %v, want %v", got, want)
	}
	w.refused(book.CodeState, "closed", book.BeadDone{Job: w.job})
	cards, _ := w.b.List(book.ListQuery{})
	if len(cards) != 1 || len(cards[0].Due) == 0 || cards[0].Due[len(cards[0].Due)-1].What != book.LookClock {
		t.Errorf("the look is not in the list: %+v", cards)
	}
	w.do(book.FollowUpLook{Job: w.job, Look: j.FollowUps[0].ID, Result: book.ItCracked, Hours: book.SI(55 * q.Hour)})

	again := w.do(book.CrackedAgain{Job: w.job, Hours: book.SI(55 * q.Hour), Note: "at the end of the weld"})
	old := w.job
	w.job = again.Made
	j = w.is()
	if j.Repeat == nil || j.Repeat.Job != old || j.Machine != w.jobOf(old).Machine {
		t.Errorf("the new job does not point back: %+v", j.Repeat)
	}
	it := j.Facts.Items[0].Set
	if it["history.welded"] != "yes" || it["history.by"] != "me" || it["history.held"] != "55 h" || it["crack.length"] != "" || it["thickness"] != "25 mm" {
		t.Errorf("facts of the new job: %v", it)
	}
	if jobs := w.b.OnMachine(j.Machine); len(jobs) != 2 || jobs[0].ID != w.job || len(jobs[1].Again) != 1 {
		t.Errorf("jobs on the machine: %+v", jobs)
	}
}

func (w *bench) jobOf(id string) *book.Job {
	w.Helper()
	j, err := w.b.Job(w.Context(), id)
	if err != nil {
		w.Fatal(err)
	}
	return j
}

// A machine is known again by its serial number, however it is written.
func TestSameMachine(t *testing.T) {
	w := newBench(t)
	first := w.do(plate())
	second := plate()
	second.Name = "again"
	second.MachineFields = map[string]string{"serial": "vs 2041"}
	r := w.do(second)
	a, b := w.jobOf(first.Job), w.jobOf(r.Job)
	if a.Machine == "" || a.Machine != b.Machine {
		t.Errorf("machines %q and %q", a.Machine, b.Machine)
	}
	if b.Facts.Set["machine.kind"] != "vibrating screen" {
		t.Errorf("the second job does not know the machine: %v", b.Facts.Set)
	}
	if n := len(w.b.OnMachine(a.Machine)); n != 2 {
		t.Errorf("%d jobs on the machine", n)
	}
}

// A place that may not be touched takes no gouge and no bead.
func TestRefusedPlace(t *testing.T) {
	w := newBench(t)
	w.open("fork.yaml")
	j := w.is()
	if l, _ := j.Limits(w.place); l.Planned || len(j.Holds) != 0 {
		t.Fatalf("a fork was planned: %+v", l)
	}
	w.refused(book.CodeState, "not to be touched", book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 1}})
	w.refused(book.CodeState, "not to be touched", book.BeadDone{Job: w.job})
	w.do(book.AddNote{Job: w.job, Text: "told him to scrap the fork"})
	w.do(book.Close{Job: w.job, By: "me", Done: "nothing: refused", NotExamined: []string{"everything"}})
}

// Damage found on the way: the old plan holds until the customer has answered.
func TestScopeGrows(t *testing.T) {
	w := ready(t)
	before := w.is().Plan().ID
	r := w.do(book.FoundMore{Job: w.job, Item: w.place, Set: map[string]string{"crack.length": "210 mm"}, Text: "the crack runs 70 mm further under the paint"})
	j := w.is()
	c := j.OpenChange()
	if c == nil || c.ID != r.Made || j.Plan().ID != before || len(j.Plans) != 2 || j.Plans[1].Standing != book.Waiting {
		t.Fatalf("change %+v, plan in force %s of %d", c, j.Plan().ID, len(j.Plans))
	}
	text := strings.Join(c.Difference.Text, "\n")
	for _, want := range []string{"crack length: 210 mm instead of 140 mm", "rods E11018-M", "hours:"} {
		if !strings.Contains(text, want) {
			t.Errorf("the difference does not say %q:\n%s", want, text)
		}
	}
	for _, n := range c.Difference.Quantities {
		if n.After < n.Before {
			t.Errorf("a longer crack needs less: %+v", n)
		}
	}
	w.refused(book.CodeChange, "the customer has not answered change 1", book.BeadDone{Job: w.job})
	w.refused(book.CodeChange, "waits for the customer", book.Close{Job: w.job, By: "me", Done: "x", NotExamined: []string{"x"}})
	w.do(book.LogReading{Job: w.job, Reading: book.Reading{Temp: book.SI(170 * q.Temperature(1))}}) // heat may always be read
	w.refused(book.CodeField, "signature is missing", book.AcceptChange{Job: w.job, Yes: book.Yes{Name: "A. Lund", How: book.Signed}})
	w.refused(book.CodeField, "type the name", book.AcceptChange{Job: w.job, Yes: book.Yes{How: book.ByPhone}})
	w.do(book.AcceptChange{Job: w.job, Yes: book.Yes{Name: "A. Lund", How: book.Signed, Strokes: [][]book.Stroke{{{10, 10}, {200, 80}, {400, 20}}}}})
	j = w.is()
	if j.Plan().ID == before || j.Plan().Standing != book.InForce || j.Plans[0].Standing != book.Replaced || j.OpenChange() != nil {
		t.Errorf("after the yes: plans %v, %v", j.Plans[0].Standing, j.Plans[1].Standing)
	}
	if h := j.Hold(w.hold(book.HoldCrackGone)); h.Passed || !strings.Contains(h.Reopened, "more damage") {
		t.Errorf("the crack counts as gone though more was found: %+v", h)
	}
	if _, err := w.b.Plan(t.Context(), &j.Plans[0]); err != nil {
		t.Errorf("the old plan cannot be read: %v", err)
	}
	w.refused(book.CodeState, "already agreed", book.RefuseChange{Job: w.job, Change: c.ID, Name: "A. Lund"})
}

func TestChangeRefused(t *testing.T) {
	w := ready(t)
	before := w.is().Plan().ID
	w.do(book.FoundMore{Job: w.job, New: true, Text: "second crack at the tube", Set: map[string]string{"name": "cross tube", "part": "cross tube", "shape": "tube", "thickness": "10 mm", "crack.length": "60 mm"}})
	w.do(book.FoundMore{Job: w.job, Item: w.place, Text: "longer", Set: map[string]string{"crack.length": "180 mm"}})
	j := w.is()
	if len(j.Changes) != 1 || len(j.Places) != 2 {
		t.Fatalf("%d changes, %d places: one question to the customer, not two", len(j.Changes), len(j.Places))
	}
	w.refused(book.CodeChange, "has not answered", book.BeadDone{Job: w.job, Bead: book.Bead{Item: w.place}})
	w.do(book.SetFacts{Job: w.job, Set: map[string]string{"site.wind": "10 km/h"}}) // the plan goes on waiting
	if got := w.is().Plan().ID; got != before {
		t.Errorf("a plan with unanswered damage came into force")
	}
	w.do(book.RefuseChange{Job: w.job, Name: "A. Lund", Reason: "sells it next week"})
	j = w.is()
	if len(j.Standing()) != 1 || j.Facts.Items[0].Set["crack.length"] != "140 mm" || j.Facts.Set["site.wind"] != "10 km/h" {
		t.Errorf("facts after the no: %v %v", j.Facts.Set, j.Facts.Items)
	}
	l, _ := j.Limits(w.place)
	if len(j.Plan().Limits.Items) != 1 || *l.Length > 0.2*q.Metre {
		t.Errorf("the plan in force is for more than was agreed: %v", *l.Length)
	}
	if got := rules(j.OpenDeviations()); !strings.Contains(got, "damage-left") {
		t.Errorf("the damage that stays in is not on record: %s", got)
	}
}

// Everything that was typed is kept as it was typed.
func TestAsTyped(t *testing.T) {
	w := newBench(t)
	w.open("tipper.yaml")
	j := w.is()
	if got := j.Facts.Items[0].Set["thickness"]; got != "3/8" {
		t.Errorf("thickness %q, want 3/8", got)
	}
	if got := j.Facts.Items[0].Set["behind"]; got != "closed-hollow, hose" {
		t.Errorf("behind %q", got)
	}
	if j.Units != "us" || len(j.Places) != 2 || j.Places[1].Name != "tailgate hinge ear" {
		t.Errorf("units %s, places %v", j.Units, j.Places)
	}
}

// A fact that cannot be is refused with its field, and nothing is logged.
func TestFactsRefused(t *testing.T) {
	w := newBench(t)
	w.open("blade-arm.yaml")
	for _, c := range []struct {
		words string
		set   book.SetFacts
	}{
		{"thickness", book.SetFacts{Items: []book.ItemSet{{ID: w.place, Set: map[string]string{"thickness": "32 bananas"}}}}},
		{"is not a known field", book.SetFacts{Set: map[string]string{"site.moon": "full"}}},
		{"not the path", book.SetFacts{Set: map[string]string{"site..air": "3 C"}}},
		{"by hand", book.SetFacts{Set: map[string]string{"items[0].name": "x"}}},
		{"deeper than the thickness", book.SetFacts{Items: []book.ItemSet{{ID: w.place, Set: map[string]string{"crack.depth": "50 mm", "crack.through": ""}}}}},
		{"nothing to set", book.SetFacts{}},
	} {
		c.set.Job = w.job
		w.refused(book.CodeField, c.words, c.set)
	}
	w.refused(book.CodeUnknown, "no place", book.SetFacts{Job: w.job, Items: []book.ItemSet{{ID: "i9", Set: map[string]string{"name": "x"}}}})
	w.refused(book.CodeUnknown, "no job", book.SetFacts{Job: "j9", Set: map[string]string{"site.air": "3 C"}})
}

// The price of a change is the difference of the two plans' prices.
func TestChangePrice(t *testing.T) {
	for _, c := range []struct {
		name string
		then book.Money
		want string // what it costs more: low, likely, high
	}{
		{"dearer", book.Money{Low: "1500.00", Likely: "2100.50", High: "3900", Currency: "CAD"}, "500.00 900.50 1900 CAD"},
		{"cheaper", book.Money{Low: "900", Likely: "1100", High: "1500", Currency: "CAD"}, "-500 -100 -100 CAD"},
		{"another currency", book.Money{Low: "1500", Likely: "2100", High: "3900", Currency: "USD"}, ""},
		{"not a number", book.Money{Low: "much", Likely: "2100", High: "3900", Currency: "CAD"}, ""},
		{"no price", book.Money{}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			now := book.Money{Low: "1000", Likely: "1200", High: "2000", Currency: "CAD"}
			b, err := book.Open(t.Context(), memory.New(), "office", book.Options{Price: func(job.Job, *job.Shop, *plan.Plan) (book.Money, bool) { return now, now.Currency != "" }})
			if err != nil {
				t.Fatal(err)
			}
			w := &bench{T: t, b: b, now: morning}
			w.open("blade-arm.yaml")
			if p := w.is().Plan().Limits.Price; p == nil || p.Likely != "1200" {
				t.Fatalf("price of the plan: %+v", p)
			}
			now = c.then
			w.do(book.FoundMore{Job: w.job, Text: "longer", Set: map[string]string{"crack.length": "200 mm"}})
			got := ""
			if p := w.is().OpenChange().Difference.Price; p != nil {
				got = strings.Join([]string{p.More.Low, p.More.Likely, p.More.High, p.More.Currency}, " ")
			}
			if got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}
