package book

import (
	"maps"
	"strconv"
	"strings"
	"time"

	q "soundmetal/quantity"
)

// Close closes a job: the last page of its record.
type Close struct {
	Job         string
	By          string
	Done        string   // what was repaired
	NotExamined []string // what nobody looked at; at least one line
	Limits      []string // how the machine may work
	Looks       []NextLook
	When        time.Time
}

// NextLook is a look that is due: after working hours, or on a day.
type NextLook struct {
	What  string
	Hours q.Time    // working hours of the machine from now
	On    time.Time // or the day
}

func (c Close) about() string { return c.Job }

func (c Close) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	if err := d.closable(); err != nil {
		return err
	}
	by, err := text("by", "who closes the job?", c.By)
	if err != nil {
		return err
	}
	done, err := text("done", "say what was repaired, or that nothing was", c.Done)
	if err != nil {
		return err
	}
	out := Closed{By: by, Done: done}
	if out.NotExamined, err = lines("not examined", c.NotExamined); err != nil {
		return err
	}
	if len(out.NotExamined) == 0 {
		return refuse(CodeField, "not_examined", "write down what was not examined: inside faces, other welds, the root, bearings, wiring")
	}
	if out.Limits, err = lines("limits", c.Limits); err != nil {
		return err
	}
	if out.When, err = d.at("when", c.When); err != nil {
		return err
	}
	if out.Looks, err = c.looks(d, out.When); err != nil {
		return err
	}
	return d.log(KindClosed, out)
}

// closable says whether the work is at an end.
func (d *desk) closable() error {
	j := d.job
	if c := j.OpenChange(); c != nil {
		return refuse(CodeChange, c.ID, "change %d (%s) waits for the customer: get his yes or no first", c.Number, c.Why)
	}
	for _, p := range j.Standing() {
		if h := j.Hold(p.ID + "/" + HoldFinalLook); p.Welded && h != nil && !h.Passed {
			return refuse(CodeHold, h.ID, "%s: answer the final look first, or override it with name and reason", p.Name)
		}
	}
	for _, v := range j.OpenDeviations() {
		if v.Stop {
			return refuse(CodeState, v.ID, "say first what was done about this: %s", v.Text)
		}
	}
	return nil
}

const maxLines = 40

// lines trims a list of lines and leaves empty ones out.
func lines(field string, all []string) ([]string, error) {
	var out []string
	for _, s := range all {
		s, err := optional(field, s)
		if err != nil {
			return nil, err
		}
		if s != "" {
			out = append(out, s)
		}
	}
	if len(out) > maxLines {
		return nil, refuse(CodeField, field, "%s: up to %d lines are accepted", field, maxLines)
	}
	return out, nil
}

// looks turns working hours into days, by the hours that the machine works in a
// week.
func (c *Close) looks(d *desk, now time.Time) ([]Look, error) {
	welded := false
	for _, p := range d.job.Standing() {
		welded = welded || p.Welded
	}
	if welded && len(c.Looks) == 0 {
		return nil, refuse(CodeField, "looks", "say when to look at the place again: after the first shift, after 50 h, on a day")
	}
	if len(c.Looks) > maxLines {
		return nil, refuse(CodeField, "looks", "up to %d looks are accepted", maxLines)
	}
	week := q.Time(figure("hours-week")) * q.Hour
	if j, _, _, err := d.job.Facts.Job(); err == nil && j.Machine.HoursPerWeek.Known && j.Machine.HoursPerWeek.V > 0 {
		week = j.Machine.HoursPerWeek.V
	}
	var all []Look
	for _, l := range c.Looks {
		what, err := text("what", "say what is to be looked at", l.What)
		if err != nil {
			return nil, err
		}
		look := Look{ID: d.newID("l"), What: what}
		switch {
		case !l.On.IsZero():
			look.Due = l.On.UTC().Truncate(time.Millisecond)
		case l.Hours > 0 && l.Hours < 1e6*q.Hour:
			hours := l.Hours
			look.Hours = &hours
			look.Due = now.Add(time.Duration(float64(l.Hours/week) * float64(7*24*time.Hour))).Truncate(time.Minute)
		default:
			return nil, refuse(CodeField, "looks", "%s: give working hours or a day", what)
		}
		if look.Due.Before(now.Add(-time.Hour)) || look.Due.After(now.AddDate(30, 0, 0)) {
			return nil, refuse(CodeField, "looks", "%s: give a day to come, within 30 years", what)
		}
		all = append(all, look)
	}
	return all, nil
}

// Reopen opens a closed job again.
type Reopen struct {
	Job    string
	Reason string
	When   time.Time
}

func (c Reopen) about() string { return c.Job }

func (c Reopen) decide(d *desk) error {
	if d.job.Status != JobClosed {
		return refuse(CodeState, "", "this job is open")
	}
	reason, err := text("reason", "why is it opened again?", c.Reason)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindReopened, Reopened{reason, when})
}

// FollowUpLook says how a repair held at a look that was due.
type FollowUpLook struct {
	Job    string
	Look   string
	Result Held
	Hours  *Said[q.Time] // worked since the repair
	Note   string
	When   time.Time
}

func (c FollowUpLook) about() string { return c.Job }

func (c FollowUpLook) decide(d *desk) error {
	for _, f := range d.job.FollowUps {
		if f.ID != c.Look {
			continue
		}
		if f.Done != nil {
			return refuse(CodeState, "look", "this look is already logged")
		}
		when, err := d.at("when", c.When)
		if err != nil {
			return err
		}
		b := FollowedUp{Look: f.ID, Result: c.Result, Note: c.Note, When: when}
		if v, said := value(c.Hours); said {
			b.Hours = &v
		}
		if err := b.check(); err != nil {
			return err
		}
		return d.log(KindFollowedUp, b)
	}
	return refuse(CodeUnknown, "look", "this job has no look %q that is due", clipped(c.Look))
}

// CrackedAgain opens a job for a repair that did not hold. The new job takes
// over customer, machine, site and the place, with what is now known of its
// history; the crack itself is to be measured anew.
type CrackedAgain struct {
	Job   string
	Item  string
	Hours *Said[q.Time] // it held
	Note  string
	When  time.Time
}

func (c CrackedAgain) about() string { return c.Job }

func (c CrackedAgain) decide(d *desk) error {
	if err := optionals(&c.Note); err != nil {
		return err
	}
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	if d.job.Status != JobClosed {
		return refuse(CodeState, "", "this job is still open: log it as found more")
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	again := CrackedAgainBody{NewJob: d.newID("j"), Item: p.ID, Note: c.Note, When: when}
	held := ""
	if v, said := value(c.Hours); said {
		again.Hours = &v
		held = strconv.FormatFloat(v.Hours(), 'f', -1, 64) + " h"
	}
	if err := d.log(KindAgain, again); err != nil {
		return err
	}
	old, _ := d.job.Facts.Item(p.ID)
	facts := map[string]string{}
	for path, text := range old.Set {
		if !strings.HasPrefix(path, "crack.") && !strings.HasPrefix(path, "cause.") && path != "approval" {
			facts[path] = text
		}
	}
	times := 1
	if n, err := strconv.Atoi(strings.TrimSpace(old.Set["history.times"])); err == nil && n > 0 {
		times += n
	}
	maps.Copy(facts, map[string]string{"history.welded": "yes", "history.by": "me", "history.times": strconv.Itoa(times), "history.held": held, "crack.starts": "old-repair"})
	if held == "" {
		delete(facts, "history.held")
	}
	set := maps.Clone(d.job.Facts.Set)
	for path := range set {
		if strings.HasPrefix(path, "wanted.") || path == "site.air" || path == "site.steel" || path == "site.wind" || path == "site.wet" || path == "site.permit" {
			delete(set, path)
		}
	}
	set["job"] = "again: " + strings.TrimPrefix(d.job.Name, "again: ")
	next := NewJob{Units: d.job.Units, Customer: d.job.Customer, Machine: d.job.Machine, Set: set, Items: []map[string]string{facts}}
	return next.open(d, again.NewJob, &Repeat{d.job.ID, p.ID})
}

// Correct corrects an entry of the record, or takes it back. The entry stays in
// the book beside its correction. Body is a value of the entry's own type: a
// Reading for a reading.
type Correct struct {
	Job    string
	Of     Ref
	Void   bool
	Reason string
	Body   any // nil where Void
	When   time.Time
}

func (c Correct) about() string { return c.Job }

func (c Correct) decide(d *desk) error {
	line := d.job.Find(c.Of)
	if line == nil {
		return refuse(CodeUnknown, "entry", "this job has no entry %q", c.Of.String())
	}
	b := bodies[line.Kind]
	if !b.correctable {
		return refuse(CodeState, "entry", "an entry of this kind is not corrected: add what is new")
	}
	if d.job.Status == JobClosed && line.Kind != KindPhoto && line.Kind != KindNote && line.Kind != KindFollowedUp {
		return refuse(CodeState, "", "this job is closed: open it again first")
	}
	reason, err := text("reason", "say why it is corrected", c.Reason)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	out := Corrected{Of: c.Of, Kind: line.Kind, Void: c.Void, Reason: reason, When: when}
	if c.Void {
		return d.log(KindCorrected, out)
	}
	if out.Body, err = encode(c.Body); err != nil {
		return err
	}
	if err := checkCorrection(d, line.Kind, c.Body, out.Body); err != nil {
		return err
	}
	return d.log(KindCorrected, out)
}

// checkCorrection holds a corrected body to what a new one must keep.
func checkCorrection(d *desk, kind Kind, is any, data []byte) error {
	read, err := bodies[kind].read(data)
	if err != nil || is == nil || !sameType(read, is) {
		return refuse(CodeField, "body", "the correction is not of the same kind as the entry")
	}
	for _, t := range timesOf(read) {
		if _, err := d.at("when", t); err != nil {
			return err
		}
	}
	if item := itemOf(read); item != "" {
		if _, ok := d.job.Place(item); !ok {
			return refuse(CodeUnknown, "item", "this job has no place %q", clipped(item))
		}
	}
	return checkAny(read)
}
