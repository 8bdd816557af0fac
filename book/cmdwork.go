package book

import (
	"strings"
	"time"

	"soundmetal/filler"
	"soundmetal/gate"
	q "soundmetal/quantity"
	"soundmetal/store"
)

// DoStep ticks a step of the plan.
type DoStep struct {
	Job  string
	Step string
	Note string
	When time.Time // zero: now; so in every command
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
	var err error
	if c.When, err = d.at("when", c.When); err != nil {
		return err
	}
	for _, id := range c.Holds {
		h := d.job.Hold(id)
		if h == nil {
			return refuse(CodeUnknown, "hold", "the plan in force has no hold point %q", clipped(id))
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

// LogReading logs a reading of heat. It is never held up: heat may be read at
// any time. Bead is the bead that is about to be begun; 0 is no bead.
type LogReading struct {
	Job string
	Reading
}

func (c LogReading) about() string { return c.Job }

func (c LogReading) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	c.Item = p.ID
	if c.When, err = d.at("when", c.When); err != nil {
		return err
	}
	if err := c.Reading.check(); err != nil {
		return err
	}
	return d.log(KindReading, c.Reading)
}

// OpenTin logs a tin opened or rods taken out of the oven; how long they may be
// out is taken from the table of the class.
type OpenTin struct {
	Job   string
	Class string
	Size  *Said[q.Length]
	Lot   string
	From  TinFrom
	When  time.Time
}

func (c OpenTin) about() string { return c.Job }

func (c OpenTin) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	if err := optionals(&c.Lot); err != nil {
		return err
	}
	class, err := text("class", "write it as on the tin, E7018-H4R for example", c.Class)
	if err != nil {
		return err
	}
	if c.From == "" {
		c.From = FromSealed
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	t := TinOpened{ID: d.newID("t"), Class: class, Size: c.Size, Lot: c.Lot, From: c.From, When: when}
	known, size, err := filler.ReadRod(class)
	if err != nil {
		return refuse(CodeField, "class", "%v", err)
	}
	t.Class = known.String()
	if t.Size == nil && size.Known {
		t.Size = SI(size.V)
	}
	if r, err := filler.Exposure(known, d.onQT()); err == nil {
		t.Limit, t.Basis = &r.Value, r.Basis.Ref.String()
	} else {
		t.Basis = err.Error()
	}
	if err := t.check(); err != nil {
		return err
	}
	return d.log(KindTin, t)
}

// onQT says that a quenched and tempered steel is among those planned for.
func (d *desk) onQT() bool {
	if p := d.job.Plan(); p != nil {
		for _, it := range p.Limits.Items {
			if it.QT {
				return true
			}
		}
	}
	return false
}

// PutAwayTin ends a tin's time in the air.
type PutAwayTin struct {
	Job  string
	Tin  string
	Into TinTo
	When time.Time
}

func (c PutAwayTin) about() string { return c.Job }

func (c PutAwayTin) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	t, err := d.tin(c.Tin)
	if err != nil {
		return err
	}
	if t.Away != nil {
		return refuse(CodeState, "tin", "these rods are already put away")
	}
	if err := one("into", c.Into, IntoOven, UsedUp, Scrapped); err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindTinAway, TinPutAway{t.Is.ID, c.Into, when})
}

func (d *desk) tin(id string) (*Tin, error) {
	t := d.job.Tin(id)
	if t == nil || t.Void {
		return nil, refuse(CodeUnknown, "tin", "this job has no tin %q: log it when it is opened", clipped(id))
	}
	return t, nil
}

// LogGouge logs a side gouged and ground.
type LogGouge struct {
	Job string
	GougeDone
}

func (c LogGouge) about() string { return c.Job }

func (c LogGouge) decide(d *desk) error {
	p, err := d.weldable(c.Item, "cut")
	if err != nil {
		return err
	}
	c.Item = p.ID
	if c.Side == 0 {
		c.Side = 1
	}
	if c.When, err = d.at("when", c.When); err != nil {
		return err
	}
	if err := c.GougeDone.check(); err != nil {
		return err
	}
	return d.log(KindGouge, c.GougeDone)
}

// BeadDone logs a bead. Number 0 is the next one. Temp is the reading just
// before it, where it was not logged by itself.
type BeadDone struct {
	Job  string
	Temp *Said[q.Temperature]
	Tool Tool
	Bead
}

func (c BeadDone) about() string { return c.Job }

func (c BeadDone) decide(d *desk) error {
	p, err := d.weldable(c.Item, "passes")
	if err != nil {
		return err
	}
	c.Item = p.ID
	if c.Number == 0 {
		c.Number = p.NextBead
	}
	if c.Tin != "" {
		if _, err := d.tin(c.Tin); err != nil {
			return err
		}
	}
	if c.Ended, err = d.at("ended", c.Ended); err != nil {
		return err
	}
	if c.Begun != nil {
		begun, err := d.at("begun", *c.Begun)
		if err != nil {
			return err
		}
		c.Begun = &begun
	}
	if err := c.Bead.check(); err != nil {
		return err
	}
	if c.Temp != nil {
		r := Reading{Item: c.Item, Bead: c.Number, Temp: c.Temp, Tool: c.Tool, When: c.Bead.begun()}
		if err := r.check(); err != nil {
			return err
		}
		if err := d.log(KindReading, r); err != nil {
			return err
		}
	}
	return d.log(KindBead, c.Bead)
}

// LogPostHeat logs heat held after the last bead.
type LogPostHeat struct {
	Job string
	PostHeat
}

func (c LogPostHeat) about() string { return c.Job }

func (c LogPostHeat) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	if !p.Welded {
		return refuse(CodeState, "", "no bead is laid at %s yet: heat before the weld is a reading", p.Name)
	}
	c.Item = p.ID
	if c.From, err = d.at("from", c.From); err != nil {
		return err
	}
	if c.To, err = d.at("to", c.To); err != nil {
		return err
	}
	if err := c.PostHeat.check(); err != nil {
		return err
	}
	return d.log(KindPostHeat, c.PostHeat)
}

// Inspect logs a look for cracks. A later one may be logged on a closed job.
type Inspect struct {
	Job string
	Inspection
}

func (c Inspect) about() string { return c.Job }

func (c Inspect) decide(d *desk) error {
	if c.Stage != StageLater {
		if err := d.isOpen(); err != nil {
			return err
		}
	}
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	c.Item = p.ID
	if c.When, err = d.at("when", c.When); err != nil {
		return err
	}
	if err := c.Inspection.check(); err != nil {
		return err
	}
	return d.log(KindInspection, c.Inspection)
}

// AddNote logs a line of text.
type AddNote struct {
	Job  string
	Text string
	Item string
	When time.Time
}

func (c AddNote) about() string { return c.Job }

func (c AddNote) decide(d *desk) error {
	words, err := text("text", "write the note", c.Text)
	if err != nil {
		return err
	}
	if c.Item != "" {
		if _, err := d.item(c.Item); err != nil {
			return err
		}
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindNote, Note{words, c.Item, when})
}

// StartClock starts a clock by hand: wait, fire-watch, check-in, work, travel or
// standby. A fire watch with no time takes the plan's.
type StartClock struct {
	Job   string
	What  ClockKind
	For   q.Time
	Item  string
	Label string
	Call  string // check-in: who waits for the call
	When  time.Time
}

func (c StartClock) about() string { return c.Job }

func (c StartClock) decide(d *desk) error {
	down, ok := byHand[c.What]
	if !ok {
		return one("clock", c.What, WaitClock, FireWatch, CheckInClock, WorkClock, TravelClock, StandbyClock)
	}
	if err := optionals(&c.Label, &c.Call); err != nil {
		return err
	}
	if c.What == FireWatch {
		least := gate.FireWatch(q.Maybe[q.Time]{}).Value
		if p := d.job.Plan(); p != nil && p.Limits.Watch != nil {
			least = *p.Limits.Watch
		}
		c.For = max(c.For, least)
	}
	if !down {
		c.For = 0
	}
	if down && !(c.For > 0 && c.For <= 40*24*q.Hour) {
		return refuse(CodeField, "for", "say how long the clock runs: more than zero, up to 40 days")
	}
	if c.What == CheckInClock && c.Call == "" {
		return refuse(CodeField, "call", "say who waits for your call and what he does when none comes")
	}
	if c.What != WaitClock {
		for _, other := range d.job.Clocks {
			if other.What == c.What && other.Running() {
				return refuse(CodeState, "clock", "a %s clock is already running: stop it first", strings.ReplaceAll(string(c.What), "-", " "))
			}
		}
	}
	if c.Item != "" {
		if _, err := d.item(c.Item); err != nil {
			return err
		}
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	if c.Label == "" {
		c.Label = strings.ReplaceAll(string(c.What), "-", " ")
	}
	id := d.newID("k")
	return d.log(KindClockOn, ClockStarted{id, c.What, c.For, c.Item, c.Label, c.Call, when})
}

// StopClock stops a clock that was started by hand.
type StopClock struct {
	Job   string
	Clock string
	Note  string
	When  time.Time
}

func (c StopClock) about() string { return c.Job }

func (c StopClock) decide(d *desk) error {
	if _, err := d.clock(c.Clock); err != nil {
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
	return d.log(KindClockOff, ClockStopped{c.Clock, note, when})
}

// clock finds a running clock that was started by hand.
func (d *desk) clock(id string) (*Clock, error) {
	c := d.job.Clock(id)
	if c == nil {
		return nil, refuse(CodeUnknown, "clock", "this job has no clock %q", clipped(id))
	}
	if _, hand := byHand[c.What]; !hand {
		return nil, refuse(CodeState, "clock", "this clock follows from what is logged; it stops when that is done")
	}
	if !c.Running() {
		return nil, refuse(CodeState, "clock", "this clock is already stopped")
	}
	return c, nil
}

// CheckIn logs the lone worker's call.
type CheckIn struct {
	Job   string
	Clock string
	When  time.Time
}

func (c CheckIn) about() string { return c.Job }

func (c CheckIn) decide(d *desk) error {
	k, err := d.clock(c.Clock)
	if err != nil {
		return err
	}
	if k.What != CheckInClock {
		return refuse(CodeField, "clock", "this is no check-in clock")
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindCheckedIn, CheckedIn{k.ID, when})
}

// ClearDeviation says what was done about a deviation.
type ClearDeviation struct {
	Job       string
	Deviation string
	Done      string
	When      time.Time
}

func (c ClearDeviation) about() string { return c.Job }

func (c ClearDeviation) decide(d *desk) error {
	done, err := text("done", "say what was done about it", c.Done)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	for _, v := range d.job.Deviations {
		switch {
		case v.ID != c.Deviation:
		case v.Cleared != nil:
			return refuse(CodeState, "deviation", "something was already done about this: %s", v.Cleared.Done)
		default:
			return d.log(KindCleared, Cleared{v.ID, done, when})
		}
	}
	return refuse(CodeUnknown, "deviation", "this job has no deviation %q", clipped(c.Deviation))
}
