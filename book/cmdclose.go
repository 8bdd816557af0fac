package book

import (
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
