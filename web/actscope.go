package web

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// Forms where the scope grows, the customer answers, and the job is closed.

func foundForm(r *request) (Form, error) {
	place := chips("item", "Where?").must().is(r.FormValue("item"))
	for _, p := range r.job.Standing() {
		place.Choices = append(place.Choices, Choice{p.ID, "At " + p.Name, "crack"})
	}
	place.Choices = append(place.Choices, Choice{"new", "A place of its own", "plus"})
	return Form{Title: "Found more", Icon: "crack", Submit: "Plan it again and ask",
		Lead: "Stop, take a photo, then measure. The old plan stays readable; the new one waits for the customer's yes.",
		Fields: []Field{place, area("text", "What was found? The customer reads this.").must(),
			measure("i.crack.length", "The crack is now this long"), measure("i.crack.depth", "It is this deep", usual("crack-depth", r.job.Units)...),
			ask("i.crack.through", "Does it go right through?"), ask("i.crack.ends", "Are its ends visible now?"),
			heading("Where it is a place of its own", ""), text("i.name", "Name of the place"), ask("i.part", "Which part?"),
			ask("i.thickness", "Thickness there"), ask("i.shape", "Shape").only("plate", "box", "tube", "channel", "i-section", "solid", "casting")}}, nil
}

func foundCommand(r *request, v values) (book.Command, error) {
	c := book.FoundMore{Job: r.job.ID, Item: v.text("item"), Text: v.text("text"), Set: map[string]string{}}
	if c.Item == "new" {
		c.Item, c.New = "", true
	}
	for name, vs := range v.Values {
		if kept := factValue(vs); strings.HasPrefix(name, "i.") && kept != "" {
			if !c.New && (name == "i.name" || name == "i.part" || name == "i.thickness" || name == "i.shape") {
				continue
			}
			c.Set[name[2:]] = kept
		}
	}
	switch {
	case v.text("item") == "":
		return nil, wrong("item", "say where it was found")
	case c.Set["crack.length"] == "" && c.Set["crack.depth"] == "":
		return nil, wrong("i.crack.length", "give the length or the depth as it is now")
	case c.New && c.Set["part"] == "":
		return nil, wrong("i.part", "name the part")
	}
	if c.New && c.Set["name"] == "" {
		c.Set["name"] = c.Set["part"]
	}
	return c, nil
}

// changeView is the page that the customer looks at.
type changeView struct {
	Change *book.Change
	Form   Form
	Refuse Form
	All    []book.Change
}

func (r *request) change() error {
	c := r.job.OpenChange()
	if id := r.URL.Query().Get("id"); id != "" {
		c = r.job.Change(id)
	}
	v := changeView{Change: c, All: r.job.Changes}
	if c != nil && c.State == book.ChangeOpen {
		var err error
		if v.Form, err = acceptForm(r); err != nil {
			return err
		}
		if v.Refuse, err = refuseForm(r); err != nil {
			return err
		}
	}
	return r.render("change", "Change order", v)
}

// yesFields are the fields of a yes.
func yesFields() []Field {
	return []Field{text("name", "Name of the customer").must(),
		chips("how", "How did he say yes?", Choice{"signed", "He signs here", "note"}, Choice{"phone", "By phone", "call"}, Choice{"message", "By message", "note"}).must(),
		{Name: "strokes", Label: "Signature", Kind: kindSign, Hint: "Draw with a finger. Without it choose phone or message: his typed name then stands for him."}}
}

func (v values) yes() (book.Yes, error) {
	y := book.Yes{Name: v.text("name"), How: book.How(v.text("how"))}
	s := v.text("strokes")
	if s == "" || y.How != book.Signed {
		return y, nil
	}
	if len(s) > 200_000 || json.Unmarshal([]byte(s), &y.Strokes) != nil {
		return y, wrong("strokes", "the drawing cannot be read: draw it again, or choose phone or message")
	}
	return y, nil
}

func acceptForm(r *request) (Form, error) {
	f := Form{Title: "The customer says yes", Icon: "done", Submit: "Yes, go on", Action: r.path("accept"), Back: r.path("change"), Fields: yesFields()}
	if c := r.job.OpenChange(); c != nil {
		f.Lead = fmt.Sprintf("Change %d: %s.", c.Number, c.Why)
		f.Fields = append(f.Fields, hidden("change", c.ID))
	}
	return f, nil
}

func acceptCommand(r *request, v values) (book.Command, error) {
	y, err := v.yes()
	return book.AcceptChange{Job: r.job.ID, Change: v.text("change"), Yes: y}, err
}

func refuseForm(r *request) (Form, error) {
	f := Form{Title: "The customer says no", Icon: "no", Submit: "He says no", Action: r.path("refuse"), Back: r.path("change"),
		Lead: "The old plan holds on; what was found stands in the record as not repaired.", Fields: []Field{text("name", "Name of the customer").must(), text("reason", "His reason")}}
	if c := r.job.OpenChange(); c != nil {
		f.Fields = append(f.Fields, hidden("change", c.ID))
	}
	return f, nil
}

func refuseCommand(r *request, v values) (book.Command, error) {
	return book.RefuseChange{Job: r.job.ID, Change: v.text("change"), Name: v.text("name"), Reason: v.text("reason")}, nil
}

func agreeForm(r *request) (Form, error) {
	f := Form{Title: "The customer agrees to the work", Icon: "done", Submit: "He agrees"}
	price := text("price", "Price as it was shown to him").hint("A range, a figure, or by the hour.")
	if p := r.job.Plan(); p != nil && p.Limits.Price != nil {
		price.Value = moneyText(*p.Limits.Price)
	}
	f.Fields = append([]Field{price}, yesFields()...)
	return f, nil
}

func agreeCommand(r *request, v values) (book.Command, error) {
	y, err := v.yes()
	return book.AgreeWork{Job: r.job.ID, Price: v.text("price"), Yes: y}, err
}

// --- closing

// notLooked are what a repair usually leaves unseen.
var notLooked = []string{"inside faces", "other welds of the part", "the root from behind", "the inside of the weld (no ultrasonic test)", "bearings, pins and bushes", "wiring and electronics", "the same place on the other side"}

const lookRows = 4

func closeForm(r *request) (Form, error) {
	f := Form{Title: "Close the job", Icon: "lock", Submit: "Close the job", Lead: "This is the last page of the repair record."}
	if c := r.job.OpenChange(); c != nil {
		f.Warn = append(f.Warn, fmt.Sprintf("Change %d waits for the customer.", c.Number))
	}
	for _, d := range r.job.OpenDeviations() {
		if d.Stop {
			f.Warn = append(f.Warn, "Nothing is written yet about: "+d.Text+".")
		}
	}
	for _, p := range r.job.Standing() {
		if h := r.job.Hold(p.ID + "/" + book.HoldFinalLook); p.Welded && h != nil && !h.Passed {
			f.Warn = append(f.Warn, capital(p.Name)+": the final look is not answered.")
		}
	}
	not := Field{Name: "not", Label: "What was not examined", Kind: kindTicks, Must: true}
	for _, s := range notLooked {
		not.Choices = append(not.Choices, Choice{s, capital(s), ""})
	}
	f.Fields = []Field{text("by", "Who closes it?").must().is(r.setting("welder")), area("done", "What was repaired").must(), not,
		area("not_examined", "What else was not examined").hint("One line each."), area("limits", "How it may work").hint("One line each: half load for a shift, no side load."),
		heading("When to look again", "After working hours, or on a day.")}
	var looks [][2]string
	for _, p := range r.job.Standing() {
		if p.Welded {
			looks = nil
			for _, hours := range usual("looks", r.job.Units) {
				looks = append(looks, [2]string{"the repaired place, cleaned", hours})
			}
		}
	}
	for i := range lookRows {
		n := fmt.Sprint(i + 1)
		what, hours := text("what"+n, "Look "+n+": at what?"), Field{Name: "hours" + n, Label: "After how many working hours?", Kind: kindMeasure, Mode: "decimal"}
		if i < len(looks) {
			what.Value, hours.Value = looks[i][0], looks[i][1]
		}
		f.Fields = append(f.Fields, what, hours, Field{Name: "on" + n, Label: "Or on this day", Kind: kindDay})
	}
	return f, nil
}

func closeCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.Close{Job: r.job.ID, By: v.text("by"), Done: v.text("done"), Limits: v.lines("limits")}
	c.NotExamined = append(v.lines("not"), v.lines("not_examined")...)
	for i := range lookRows {
		n := fmt.Sprint(i + 1)
		l := book.NextLook{What: v.text("what" + n), Hours: q.Time(count(v, "hours"+n, "working hours", &err)) * q.Hour}
		if day := v.text("on" + n); day != "" && err == nil {
			d, e := time.ParseInLocation("2006-01-02", day, r.now.Location())
			if e != nil {
				err = wrong("on"+n, "give the day as year-month-day: 2026-05-04")
			}
			l.On, l.Hours = d.Add(12*time.Hour), 0
		}
		if l.What == "" && l.Hours == 0 && l.On.IsZero() || l.Hours == 0 && l.On.IsZero() {
			continue
		}
		c.Looks = append(c.Looks, l)
	}
	return c, err
}

func reopenForm(r *request) (Form, error) {
	return Form{Title: "Open it again", Icon: "lock", Submit: "Open the job again", Fields: []Field{text("reason", "Why?").must()}}, nil
}

func reopenCommand(r *request, v values) (book.Command, error) {
	return book.Reopen{Job: r.job.ID, Reason: v.text("reason")}, nil
}

func followUpForm(r *request) (Form, error) {
	i := slices.IndexFunc(r.job.FollowUps, func(f book.FollowUp) bool { return f.ID == r.FormValue("look") })
	if i < 0 {
		return Form{}, missing("this job has no such look")
	}
	return Form{Title: "Looked again", Icon: "look", Lead: capital(r.job.FollowUps[i].What) + ", due " + r.clock(r.job.FollowUps[i].Due) + ".", Submit: "Log the look", Fields: []Field{
		hidden("look", r.FormValue("look")), heldField(),
		measure("hours", "Hours it has worked since").hint("Write 50 h."), text("note", "Remark")}}, nil
}

func heldField() Field {
	return chips("result", "How did it hold?", Choice{"held", "It held", "done"}, Choice{"cracked", "It cracked", "crack"}, Choice{"not-looked", "Nobody looked", "ask"}).must()
}

func followUpCommand(r *request, v values) (book.Command, error) {
	var err error
	return book.FollowUpLook{Job: r.job.ID, Look: v.text("look"), Result: book.Held(v.text("result")), Hours: v.hours("hours", &err), Note: v.text("note")}, err
}

// hours reads working hours; a bare number is hours here.
func (v values) hours(name string, err *error) *book.Said[q.Time] {
	if s := v.text(name); s != "" && strings.Trim(s, "0123456789.,") == "" {
		v.Values.Set(name, s+" h")
	}
	return said[q.Time](v, name, "hours", err)
}

func againForm(r *request) (Form, error) {
	return Form{Title: "It cracked again", Icon: "crack", Submit: "Open a job for it", Lead: "A new job takes over customer, machine and place, with what is now known. Measure the crack anew.",
		Fields: []Field{r.placeField(), measure("hours", "How many hours did it hold?", usual("held", r.job.Units)...), text("note", "What is seen")}}, nil
}

func againCommand(r *request, v values) (book.Command, error) {
	var err error
	return book.CrackedAgain{Job: r.job.ID, Item: v.text("item"), Hours: v.hours("hours", &err), Note: v.text("note")}, err
}

// --- deviations

func clearForm(r *request) (Form, error) {
	i := slices.IndexFunc(r.job.Deviations, func(d book.Deviation) bool { return d.ID == r.FormValue("deviation") })
	if i < 0 {
		return Form{}, missing("this job has no such deviation")
	}
	d := r.job.Deviations[i]
	done := area("done", "What was done about it?").must()
	done.Usual = d.Cures
	return Form{Title: d.Title, Icon: "warn", Lead: capital(d.Text) + ".", Submit: "Log it", Fields: []Field{hidden("deviation", d.ID), done}}, nil
}

func clearCommand(r *request, v values) (book.Command, error) {
	return book.ClearDeviation{Job: r.job.ID, Deviation: v.text("deviation"), Done: v.text("done")}, nil
}

// --- clocks

func clockForm(r *request) (Form, error) {
	return Form{Title: "Start a clock", Icon: "clock", Submit: "Start", Lead: "It runs on when the phone is off: its times are kept, not counted.", Fields: []Field{
		chips("what", "Which?", Choice{"wait", "Wait", "wait"}, Choice{"fire-watch", "Fire watch", "fire"}, Choice{"check-in", "Check-in call, alone", "call"}, Choice{"work", "Work", "bead"}, Choice{"travel", "Drive", "machine"}, Choice{"standby", "Standing by", "clock"}).must(),
		measure("for", "How long?", usual("wait", r.job.Units)...).hint("For a wait or a check-in call. A fire watch takes the plan's time."),
		text("label", "What for?"), text("call", "Check-in: who waits for your call, and what does he do?")}}, nil
}

func clockCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.StartClock{Job: r.job.ID, What: book.ClockKind(v.text("what")), Label: v.text("label"), Call: v.text("call"), Item: v.text("item")}
	if d := said[q.Time](v, "for", "how long", &err); d != nil {
		c.For = d.SI
	}
	if err == nil && c.What == "" {
		err = wrong("what", "say which clock")
	}
	return c, err
}

func (r *request) runningClock() (*book.Clock, error) {
	c := r.job.Clock(r.FormValue("clock"))
	if c == nil {
		return nil, missing("this job has no such clock")
	}
	return c, nil
}

func clockStopForm(r *request) (Form, error) {
	c, err := r.runningClock()
	if err != nil {
		return Form{}, err
	}
	return Form{Title: "Stop the clock", Icon: "clock", Lead: capital(c.Label), Submit: "Stop it", Fields: []Field{hidden("clock", c.ID), text("note", "Remark"), ago("When?")}}, nil
}

func clockStopCommand(r *request, v values) (book.Command, error) {
	var err error
	return book.StopClock{Job: r.job.ID, Clock: v.text("clock"), Note: v.text("note"), When: v.when("ago", &err)}, err
}

func checkInForm(r *request) (Form, error) {
	c, err := r.runningClock()
	if err != nil {
		return Form{}, err
	}
	return Form{Title: "Checked in", Icon: "call", Lead: capital(c.Label) + prefixed(": ", c.Call), Submit: "I have called", Fields: []Field{hidden("clock", c.ID)}}, nil
}

func checkInCommand(r *request, v values) (book.Command, error) {
	return book.CheckIn{Job: r.job.ID, Clock: v.text("clock")}, nil
}
