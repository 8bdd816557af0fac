package book_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/demo"
	"soundmetal/job"
	q "soundmetal/quantity"
)

func TestHolds(t *testing.T) {
	w := newBench(t)
	w.open("blade-arm.yaml")
	w.refused(book.CodeUnknown, "no hold point", book.AnswerHold{Job: w.job, Holds: []string{"safe/moon"}, Says: book.SaysYes})
	w.refused(book.CodeField, "say which", book.AnswerHold{Job: w.job, Says: book.SaysYes})
	w.refused(book.CodeField, "not one of", book.AnswerHold{Job: w.job, Holds: []string{"safe/stop"}, Says: "perhaps"})
	w.refused(book.CodeHold, "answer the hold point first", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldCrackGone)}, Says: book.SaysYes, How: "dye"})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{"safe/stop"}, Says: book.SaysNo, Note: "no key"})
	if w.is().Hold("safe/stop").Passed {
		t.Error("a no passes the hold point")
	}
	w.do(book.AnswerHold{Job: w.job, Holds: []string{"safe/stop"}, Says: book.SaysYes})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{"safe/accumulator"}, Says: book.SaysNotHere})
	if h := w.is().Hold("safe/stop"); !h.Passed || len(h.Answers) != 2 {
		t.Errorf("a no and then a yes: %+v", h)
	}
	w.do(book.AnswerHold{Job: w.job, Holds: []string{"safe/stop"}, Says: book.SaysNo, Note: "somebody put the key back"})
	if w.is().Hold("safe/stop").Passed {
		t.Error("a yes and then a no passes")
	}
	w.refused(book.CodeField, "reason is missing", book.OverrideHold{Job: w.job, Hold: "safe/stop", Name: "R. O."})
	w.refused(book.CodeField, "name is missing", book.OverrideHold{Job: w.job, Hold: "safe/stop", Reason: "in a hurry"})
	w.do(book.OverrideHold{Job: w.job, Hold: "safe/stop", Name: "R. O.", Reason: "engine is out of the machine"})
	if h := w.is().Hold("safe/stop"); !h.Passed || h.Override == nil {
		t.Errorf("overridden: %+v", h)
	}
	w.refused(book.CodeState, "already passed", book.OverrideHold{Job: w.job, Hold: "safe/stop", Name: "R. O.", Reason: "x"})
	w.passAll("cut")
	w.refused(book.CodeField, "applies to every repair", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldCrackGone)}, Says: book.SaysNotHere})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldCrackGone)}, Says: book.SaysYes, How: "dye"})
	w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 1}})
	if h := w.is().Hold(w.hold(book.HoldCrackGone)); h.Passed || !strings.Contains(h.Reopened, "gouged again") {
		t.Errorf("gouged after the crack was proven gone: %+v", h)
	}
	w.passAll("heat")
	w.do(book.LogReading{Job: w.job, Reading: book.Reading{Temp: book.SI(q.Temperature(140))}})
	w.refused(book.CodeHold, "is below 160 °C", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldHeatReached)}, Says: book.SaysYes})
	w.do(book.LogReading{Job: w.job, Reading: book.Reading{Crayon: &book.Crayon{At: book.Said[q.Temperature]{SI: 165}, Melted: true}}})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldHeatReached)}, Says: book.SaysYes})
	w.refused(book.CodeHold, "no bead is laid", book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldFinalLook)}, Says: book.SaysYes})
}

// A bead after the final look makes it necessary again.
func TestFinalLookAgain(t *testing.T) {
	w := ready(t)
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(170))})
	w.now = w.now.Add(50 * time.Hour)
	w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Clear}})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldFinalLook)}, Says: book.SaysYes})
	if !w.is().Hold(w.hold(book.HoldFinalLook)).Passed {
		t.Fatal("not passed")
	}
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(170))})
	h := w.is().Hold(w.hold(book.HoldFinalLook))
	if h.Passed || !h.NotBefore.Equal(w.now.Add(48*time.Hour)) {
		t.Errorf("after one more bead: passed %v, not before %v", h.Passed, h.NotBefore)
	}
}

func TestSteps(t *testing.T) {
	w := newBench(t)
	w.open("blade-arm.yaml")
	w.do(book.DoStep{Job: w.job, Step: "safe/battery", Note: "both cables"})
	w.refused(book.CodeState, "already done", book.DoStep{Job: w.job, Step: "safe/battery"})
	w.refused(book.CodeHold, "answer the hold point first", book.DoStep{Job: w.job, Step: w.place + "/cut-grind"})
	w.refused(book.CodeUnknown, "no step", book.DoStep{Job: w.job, Step: "x"})
	if s := w.is().Step("safe/battery"); s.Done == nil || s.Done.Is.Note != "both cables" {
		t.Errorf("%+v", s)
	}
	// A tick that was taken back is open again, and still in the log.
	w.do(book.Correct{Job: w.job, Of: w.is().Step("safe/battery").Done.Ref, Void: true, Reason: "wrong line"})
	if w.is().Step("safe/battery").Done != nil {
		t.Error("taken back and still ticked")
	}
}

func TestCorrections(t *testing.T) {
	w := ready(t)
	r := w.do(book.LogReading{Job: w.job, Reading: book.Reading{Bead: 1, Temp: book.SI(q.Temperature(85)), Place: "near face"}})
	if got := rules(w.is().Deviations); got != "bead-cold" {
		t.Fatal(got)
	}
	ref := r.Entries[0]
	is := w.is().Readings[1].Is
	is.Temp = &book.Said[q.Temperature]{SI: 185, As: "185 C"}
	w.refused(book.CodeField, "reason is missing", book.Correct{Job: w.job, Of: ref, Body: is})
	w.refused(book.CodeField, "not of the same kind", book.Correct{Job: w.job, Of: ref, Reason: "x", Body: book.Note{Text: "x"}})
	w.refused(book.CodeField, "not of the same kind", book.Correct{Job: w.job, Of: ref, Reason: "x"})
	w.refused(book.CodeField, "give a temperature", book.Correct{Job: w.job, Of: ref, Reason: "x", Body: book.Reading{Item: w.place}})
	w.refused(book.CodeUnknown, "no entry", book.Correct{Job: w.job, Of: book.Ref{Device: "office", Seq: 999}, Reason: "x", Void: true})
	w.refused(book.CodeState, "not corrected", book.Correct{Job: w.job, Of: book.Ref{Device: "office", Seq: 1}, Reason: "x", Void: true})
	w.do(book.Correct{Job: w.job, Of: ref, Reason: "misread the dial", Body: is})
	j := w.is()
	got := j.Readings[1]
	if got.Is.Temp.SI != 185 || len(got.Was) != 1 || got.Was[0].Temp.SI != 85 || len(got.Corrections) != 1 || got.Corrections[0].Reason != "misread the dial" {
		t.Errorf("both must stay to be seen: %+v", got)
	}
	if len(j.Deviations) != 0 {
		t.Errorf("the corrected reading still deviates: %s", rules(j.Deviations))
	}
	w.do(book.Correct{Job: w.job, Of: ref, Reason: "was at the other place", Void: true})
	j = w.is()
	if !j.Readings[1].Void || len(j.Readings) != 2 || len(j.Readings[1].Corrections) != 2 {
		t.Errorf("taken back: %+v", j.Readings[1])
	}
	w.do(book.Correct{Job: w.job, Of: ref, Reason: "it was here after all", Body: is})
	if j = w.is(); j.Readings[1].Void {
		t.Error("the last correction does not count")
	}
	// A corrected tin moves its clock.
	tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"})
	b := w.is().Tins[0].Is
	b.When = b.When.Add(-40 * time.Minute)
	w.do(book.Correct{Job: w.job, Of: tin.Entries[0], Reason: "opened before the call", Body: b})
	if c := w.clock(book.RodClock); c.Left(w.now) >= 0 {
		t.Errorf("left %v", c.Left(w.now))
	}
	b.When = w.now.Add(time.Hour)
	w.refused(book.CodeField, "still to come", book.Correct{Job: w.job, Of: tin.Entries[0], Reason: "x", Body: b})
}

// Every kind that may be corrected is checked like a new entry.
func TestCorrectionsAreChecked(t *testing.T) {
	w := ready(t)
	tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"})
	bead := w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(170)), Bead: book.Bead{Tin: tin.Made, Rods: 2}})
	gouge := w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 2}})
	note := w.do(book.AddNote{Job: w.job, Text: "x"})
	look := w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFind, Method: book.MethodPT, Result: book.Clear}})
	heat := w.do(book.LogPostHeat{Job: w.job, PostHeat: book.PostHeat{From: w.now.Add(-time.Minute)}})
	clock := w.do(book.StartClock{Job: w.job, What: book.WaitClock, For: q.Minute})
	at := w.now
	for _, c := range []struct {
		name  string
		of    book.Ref
		words string
		body  any
	}{
		{"rods", bead.Entries[1], "rods", book.Bead{Item: w.place, Number: 1, Rods: 9999, Ended: at}},
		{"bead number", bead.Entries[1], "numbered", book.Bead{Item: w.place, Number: -1, Ended: at}},
		{"place", bead.Entries[1], "no place", book.Bead{Item: "i9", Number: 1, Ended: at}},
		{"times", bead.Entries[1], "after it ended", book.Bead{Item: w.place, Number: 1, Begun: &at, Ended: at.Add(-time.Hour)}},
		{"amps", bead.Entries[1], "amps", book.Bead{Item: w.place, Number: 1, Ended: at, Amps: book.SI(q.Current(99999))}},
		{"side", gouge.Entries[0], "side 3", book.GougeDone{Item: w.place, Side: 3, When: at}},
		{"length", gouge.Entries[0], "length", book.GougeDone{Item: w.place, Side: 1, Length: book.SI(q.Length(-1)), When: at}},
		{"empty note", note.Entries[0], "write the note", book.Note{When: at}},
		{"method", look.Entries[0], "method", book.Inspection{Item: w.place, Stage: book.StageFind, Method: "smell", Result: book.Clear, When: at}},
		{"post-heat", heat.Entries[0], "began after it ended", book.PostHeat{Item: w.place, From: at, To: at.Add(-time.Hour)}},
		{"tin", tin.Entries[0], "from", book.TinOpened{ID: tin.Made, From: "river", When: at}},
		{"clock", clock.Entries[0], "by hand", book.ClockStarted{ID: clock.Made, What: book.RodClock, When: at}},
		{"too long", note.Entries[0], "bytes", book.Note{Text: strings.Repeat("x", 5000), When: at}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			w.refused(codeOf(c.words), c.words, book.Correct{Job: w.job, Of: c.of, Reason: "x", Body: c.body})
		})
	}
}

func codeOf(words string) book.Code {
	if words == "no place" {
		return book.CodeUnknown
	}
	return book.CodeField
}

func TestReadingsRefused(t *testing.T) {
	w := newBench(t)
	w.open("tipper.yaml") // two places
	temp := book.SI(q.Temperature(100))
	for words, r := range map[string]book.Reading{
		"say which place": {Temp: temp},
		"give a temp":     {Item: w.place},
		"not both":        {Item: w.place, Temp: temp, Crayon: &book.Crayon{At: *temp}},
		"cannot be":       {Item: w.place, Temp: book.SI(q.Temperature(5000))},
		"crayon: ":        {Item: w.place, Crayon: &book.Crayon{At: book.Said[q.Temperature]{SI: -300}}},
		"bead":            {Item: w.place, Temp: temp, Bead: -3},
		"tool":            {Item: w.place, Temp: temp, Tool: "finger"},
		"still to come":   {Item: w.place, Temp: temp, When: w.now.Add(time.Hour)},
		"too long ago":    {Item: w.place, Temp: temp, When: w.now.AddDate(-30, 0, 0)},
	} {
		w.refused(book.CodeField, words, book.LogReading{Job: w.job, Reading: r})
	}
	w.refused(book.CodeUnknown, "no place", book.LogReading{Job: w.job, Reading: book.Reading{Item: "i1", Temp: temp}})
	w.do(book.LogReading{Job: w.job, Reading: book.Reading{Item: w.place, Temp: temp, When: w.now.Add(-time.Hour)}})
	if got := w.is().Readings[0].At; !got.Equal(w.now.Add(-time.Minute).Add(-time.Hour)) {
		t.Errorf("told to be at %v", got)
	}
}

func TestSay(t *testing.T) {
	for _, c := range []struct {
		text  string
		units string
		want  float64 // °C; -1: nil
		bad   string
	}{
		{"85 C", "si", 85, ""}, {"185F", "si", 85, ""}, {"85", "si", 85, ""}, {"185", "us", 85, ""}, {" 250 °F ", "us", 121.1111111, ""},
		{"", "si", -1, ""}, {"don't know", "us", -1, ""}, {"?", "us", -1, ""},
		{"warm", "si", 0, "temp"}, {"3000 F", "us", 0, "temp"}, {"12 mm", "si", 0, "temp"},
	} {
		s, err := book.Say[q.Temperature]("temp", c.text, job.Units(c.units))
		var no *book.Refusal
		switch {
		case c.bad != "":
			if !errors.As(err, &no) || no.Field != "temp" {
				t.Errorf("%q: %v", c.text, err)
			}
		case err != nil:
			t.Errorf("%q: %v", c.text, err)
		case (s == nil) != (c.want == -1):
			t.Errorf("%q: %v", c.text, s)
		case s != nil && (s.SI.C()-c.want > 1e-6 || c.want-s.SI.C() > 1e-6 || s.As != strings.TrimSpace(c.text)):
			t.Errorf("%q: got %v (%q), want %v", c.text, s.SI.C(), s.As, c.want)
		}
	}
}

func TestShop(t *testing.T) {
	w := newBench(t)
	data, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	set, err := book.FieldsOfShop("shop.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	w.do(book.SetShop{Set: set})
	shop, err := w.b.Registry().Shop()
	if err != nil || shop.Name != "Plain Bench Mobile Welding" || len(shop.Rods) != 5 || len(shop.Measure.Crayons) != 6 || shop.Prices.Hour != "125.00" {
		t.Fatalf("%+v, %v", shop, err)
	}
	w.do(book.SetShop{Set: map[string]string{"prices.hour": "131.50", "rods[4].class": "", "rods[4].size": "", "rods[4].mass": "", "rods[4].condition": "", "rods[4].opened": ""}})
	shop, err = w.b.Registry().Shop()
	if err != nil || shop.Prices.Hour != "131.50" || len(shop.Rods) != 4 {
		t.Errorf("%d rods, %s an hour, %v", len(shop.Rods), shop.Prices.Hour, err)
	}
	w.refused(book.CodeField, "duty", book.SetShop{Set: map[string]string{"power[0].duty[0].duty": "300%"}})
	w.refused(book.CodeField, "not a known field", book.SetShop{Set: map[string]string{"colour": "red"}})
	w.refused(book.CodeField, "rows", book.SetShop{Set: map[string]string{"rods[99].class": "E7018"}})
	w.open("tipper.yaml")
	if file, err := w.b.Plan(t.Context(), w.is().Plan()); err != nil || !strings.Contains(string(file.Shop), "131.50") {
		t.Errorf("the plan does not say of what shop it was made: %v", err)
	}
}

func TestRegistry(t *testing.T) {
	w := newBench(t)
	c := w.do(book.SetCustomer{Set: map[string]string{"name": "Coldwater Aggregates"}}).Made
	w.do(book.SetCustomer{ID: c, Set: map[string]string{"phone": "555-0123"}})
	m := w.do(book.SetMachine{Set: map[string]string{"kind": "loader", "serial": "L-1", "customer": c}}).Made
	w.do(book.NameDevice{Device: "office", Name: "the laptop"})
	r := w.b.Registry()
	if p, ok := r.Customer(c); !ok || p.Get("name") != "Coldwater Aggregates" || p.Get("phone") != "555-0123" || len(r.Customers()) != 1 {
		t.Errorf("%+v", p)
	}
	if p, ok := r.Machine(m); !ok || p.Label() != "loader, L-1" {
		t.Errorf("%+v", p)
	}
	if r.DeviceName("office") != "the laptop" || r.DeviceName("phone") != "phone" {
		t.Error("device names")
	}
	if r.Setting("photo_place") != "no" || r.Setting("hand") != "right" || r.Setting("moon") != "" {
		t.Error("settings as they are before anybody sets them")
	}
	w.do(book.SetSettings{Set: map[string]string{"hand": "left"}})
	if w.b.Registry().Setting("hand") != "left" || r.Setting("hand") != "right" {
		t.Error("a registry that was handed out changed, or the new one did not")
	}
	w.refused(book.CodeField, "not one of", book.SetSettings{Set: map[string]string{"hand": "both"}})
	w.refused(book.CodeUnknown, "no setting", book.SetSettings{Set: map[string]string{"moon": "full"}})
	w.refused(book.CodeField, "no field", book.SetCustomer{ID: c, Set: map[string]string{"colour": "red"}})
	w.refused(book.CodeField, "name", book.SetCustomer{Set: map[string]string{"phone": "1"}})
	w.refused(book.CodeUnknown, "no customer", book.NewJob{Name: "x", Customer: "c9"})
	w.refused(book.CodeUnknown, "no machine", book.NewJob{Name: "x", Machine: "m9"})
	w.refused(book.CodeField, "name is missing", book.NewJob{})
	job := w.do(book.NewJob{Name: "bucket lip", Customer: c, Machine: m}).Job
	if f := w.jobOf(job).Facts.Set; f["customer.phone"] != "555-0123" || f["machine.serial"] != "L-1" {
		t.Errorf("the job does not know them: %v", f)
	}
}
