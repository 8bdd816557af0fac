package plan

import (
	"fmt"
	"strings"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/strength"
)

// NextLook is when to look again after the repair.
type NextLook struct {
	With     string       `json:"with" doc:"way of looking: dye or magnetic"`
	Findable q.Length     `json:"findable" doc:"smallest crack that finds, m"`
	Critical q.Length     `json:"critical,omitempty" doc:"crack at which it breaks, worst case, m; half of a through crack"`
	Interval q.Of[q.Time] `json:"interval" doc:"hours of work between looks, worst and best case, s; keep the low end"`
	Blind    bool         `json:"blind" doc:"in the worst case a crack breaks the part before anybody looks"`
	From     job.Day      `json:"from,omitempty" doc:"day the dates count from"`
	Looks    []LookAt     `json:"looks" doc:"the first looks, then the first of the regular ones"`
}

// LookAt is one look.
type LookAt struct {
	After q.Time  `json:"after" doc:"hours of work after the repair, s"`
	Date  job.Day `json:"date,omitempty" doc:"latest day, by the hours it works in a week"`
	Text  string  `json:"text" doc:"when, in words"`
}

// nextLook takes the looks from the strength room, with their days.
func nextLook(l strength.LookPlan, in strength.HoldInput) *NextLook {
	n := &NextLook{With: in.Look, Findable: l.Findable, Critical: l.Critical, Interval: l.Interval, Blind: l.Blind}
	if in.Start.Known {
		n.From = job.DayOf(in.Start.V)
	}
	for _, one := range l.Looks {
		at := LookAt{After: one.After, Text: one.Text}
		if one.Date.Known {
			at.Date = job.DayOf(one.Date.V)
		}
		n.Looks = append(n.Looks, at)
	}
	return n
}

// weekday prints a day with its name: Mon 2026-05-04.
func weekday(d job.Day) string {
	t, ok := d.Time()
	if !ok {
		return ""
	}
	return t.Format("Mon " + time.DateOnly)
}

// nextSection says when to look again.
func (w *work) nextSection() (Section, bool) {
	n := w.strong.plan.Look
	if n == nil {
		return Section{}, false
	}
	s, f := w.section("next", "Next look")
	b := w.strong.holding.Look.Basis
	if n.Interval.Low > 0 {
		text := "every " + LifeText(n.Interval.Low) + " of work"
		if high := LifeText(n.Interval.High); high != LifeText(n.Interval.Low) {
			text = LifeText(n.Interval.Low) + " to " + high + " of work; keep to the " + LifeText(n.Interval.Low)
		}
		s.figure(between(f, "interval", "look again", n.Interval, text, w.sys, b))
	} else {
		s.add(Note, "The load is not known: only the first looks can be named. Log the hours.", &b)
	}
	for i, l := range n.Looks {
		text := strings.TrimSuffix(capital(l.Text), ".")
		if l.Date != "" {
			text += ": by " + weekday(l.Date)
		}
		s.add(Do, text, &b)
		if i == 0 && n.With != "" {
			s.Lines[len(s.Lines)-1].Text += fmt.Sprintf(" (%s; it finds from %s)", lookName(n.With), n.Findable.Text(w.sys))
		}
	}
	switch {
	case n.From == "" && w.j.Machine.HoursPerWeek.Known:
		s.add(Note, "Dates come with the day the plan is made.", nil)
	case n.From != "" && !w.j.Machine.HoursPerWeek.Known:
		s.add(Note, "For dates give the hours it works in a week.", nil)
	case n.From != "":
		s.add(Note, fmt.Sprintf("Dates from %s, at %s a week. More hours: earlier.", weekday(n.From), LifeText(w.j.Machine.HoursPerWeek.V)), nil)
	}
	if n.Blind {
		s.add(Caution, "At worst a crack grows from what you can find to breaking before the next look: looking alone does not protect. Keep the hours, look with a finer test, or choose a better repair.", &b)
	}
	s.add(Note, "A crack at a look: stop, lower it, tag it out.", nil)
	return s, true
}

func lookName(with string) string {
	if with == "magnetic" {
		return "magnetic yoke"
	}
	return with
}
