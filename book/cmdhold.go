package book

import (
	"time"

	"soundmetal/store"
)

// DoStep ticks a step of the plan.
type DoStep struct {
	Job  string
	Step string
	Note string
	When time.Time // zero: now; so in every command
	Plan string    // id of the plan that the page showed; "": not said
}

func (c DoStep) about() string { return c.Job }

func (c DoStep) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	s := d.job.Step(c.Step)
	if s == nil {
		return refuse(CodeUnknown, "step", "the plan in force has no step %q", clipped(c.Step))
	}
	if s.Done != nil {
		return refuse(CodeState, "step", "this step is already done")
	}
	if err := d.samePlan(c.Plan); err != nil {
		return err
	}
	if err := d.job.Opens(s.Item, s.Section); err != nil {
		return err
	}
	note, err := optional("note", c.Note)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindStep, StepDone{s.ID, note, when})
}

// AnswerHold answers hold points, all with the same answer. How says how it was
// seen; it is needed for the crack proven gone.
type AnswerHold struct {
	Job   string
	Holds []string
	Says  Says
	How   string
	Note  string
	By    string
	Photo *store.Hash
	When  time.Time

	// What the page showed on which it was answered: an answer that crosses a new
	// plan or somebody else's answer is not taken in silence.
	Plan string // id of the plan in force; "": not said
	Seen *int   // answers to the hold point, where Holds names one; nil: not said
}

func (c AnswerHold) about() string { return c.Job }

func (c AnswerHold) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	if err := one("answer", c.Says, SaysYes, SaysNo, SaysNotHere); err != nil {
		return err
	}
	if err := optionals(&c.How, &c.Note, &c.By); err != nil {
		return err
	}
	if len(c.Holds) == 0 {
		return refuse(CodeField, "hold", "say which hold point is answered")
	}
	if err := d.samePlan(c.Plan); err != nil {
		return err
	}
	var err error
	if c.When, err = d.at("when", c.When); err != nil {
		return err
	}
	for _, id := range c.Holds {
		h := d.job.Hold(id)
		if h == nil {
			return refuse(CodeUnknown, "hold", "the plan in force has no hold point %q", clipped(id))
		}
		if n := len(h.Answers); c.Seen != nil && len(c.Holds) == 1 && n > *c.Seen {
			last := h.Answers[n-1]
			return refuse(CodeState, "", "this hold point was answered while your page was open: %s, at %s UTC; look, then answer again where yours is another", says(last.Is.Says)+colon(last.Is.Note), last.At.Format("15:04"))
		}
		if err := d.job.Opens(h.Item, h.Section); err != nil {
			return err
		}
		if c.Says != SaysNo {
			if err := c.proves(d, h); err != nil {
				return err
			}
		}
		if err := d.log(KindHold, HoldAnswered{id, c.Says, c.How, c.Note, c.By, c.Photo, c.When}); err != nil {
			return err
		}
	}
	return nil
}

// samePlan refuses what was answered by a plan that is no longer in force.
func (d *desk) samePlan(id string) error {
	if p := d.job.Plan(); id != "" && p != nil && p.ID != id {
		return refuse(CodeState, "", "the plan has changed since this page was shown; it is plan %d now: look at it, then answer", p.Number)
	}
	return nil
}

// proves says whether the record holds what a yes to a fixed hold point needs.
func (c *AnswerHold) proves(d *desk, h *Hold) error {
	name := h.Name()
	if c.Says == SaysNotHere {
		if name == HoldCrackGone || name == HoldHeatReached || name == HoldFinalLook {
			return refuse(CodeField, "answer", "this hold point applies to every repair: answer yes or no, or override it with name and reason")
		}
		return nil
	}
	switch name {
	case HoldCrackGone:
		if c.How == "" {
			return refuse(CodeField, "how", "say how it was seen that the crack is gone: dye, yoke or by eye")
		}
	case HoldHeatReached:
		return heatReached(d.job, h.Item)
	case HoldFinalLook:
		return c.finalLook(d.job, h)
	}
	return nil
}

// heatReached asks for a reading that shows the least heat, none later below it.
func heatReached(j *Job, item string) error {
	l, ok := j.Limits(item)
	if !ok || l.Floor == nil || float64(*l.Floor) <= figure("cold-room") {
		return nil
	}
	last := silent
	for i := range j.Readings {
		if r := &j.Readings[i]; !r.Void && r.Is.Item == item {
			if v := r.Is.aboveFloor(*l.Floor); v != silent {
				last = v
			}
		}
	}
	floor := l.Floor.MinimumText(j.System())
	switch last {
	case silent:
		return refuse(CodeHold, "reading", "log the reading first: no reading of this place shows %s or more", floor)
	case breaks:
		return refuse(CodeHold, "reading", "the last reading of this place is below %s: heat on, then read again", floor)
	}
	return nil
}

func (c *AnswerHold) finalLook(j *Job, h *Hold) error {
	if p, ok := j.Place(h.Item); !ok || !p.Welded {
		return refuse(CodeHold, "when", "no bead is laid at this place yet")
	}
	if h.NotBefore != nil && c.When.Before(*h.NotBefore) {
		return refuse(CodeHold, "when", "the delay runs until %s UTC: look again then, or override it with name and reason", h.NotBefore.Format("2006-01-02 15:04"))
	}
	for i := range j.Inspections {
		in := &j.Inspections[i]
		if !in.Void && in.Is.Item == h.Item && in.Is.Stage == StageFinal && (h.NotBefore == nil || !in.At.Before(*h.NotBefore)) {
			return nil
		}
	}
	return refuse(CodeHold, "inspection", "log the final look first: how you looked and what you saw")
}

// OverrideHold passes a hold point without its answer. It stays in the record as
// a deviation with the name and the reason.
type OverrideHold struct {
	Job    string
	Hold   string
	Name   string
	Reason string
	When   time.Time
}

func (c OverrideHold) about() string { return c.Job }

func (c OverrideHold) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	h := d.job.Hold(c.Hold)
	if h == nil {
		return refuse(CodeUnknown, "hold", "the plan in force has no hold point %q", clipped(c.Hold))
	}
	if h.Passed {
		return refuse(CodeState, "hold", "this hold point is already passed")
	}
	name, err := text("name", "who takes it on himself?", c.Name)
	if err != nil {
		return err
	}
	reason, err := text("reason", "why is the hold point passed without its answer?", c.Reason)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindOverride, HoldOverridden{h.ID, name, reason, when})
}
