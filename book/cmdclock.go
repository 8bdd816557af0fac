package book

import (
	"strings"
	"time"

	"soundmetal/gate"
	q "soundmetal/quantity"
)

// StartClock starts a clock by hand: wait, fire-watch, check-in, work, travel,
// standby or torch. A fire watch with no time takes the plan's.
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
		return one("clock", c.What, WaitClock, FireWatch, CheckInClock, WorkClock, TravelClock, StandbyClock, TorchClock)
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
	if c.What == TorchClock {
		p, err := d.item(c.Item)
		if err != nil {
			return err
		}
		c.Item = p.ID
	}
	if c.What != WaitClock {
		for _, other := range d.job.Clocks {
			if other.What == c.What && other.Running() && (c.What != TorchClock || other.Item == c.Item) {
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
