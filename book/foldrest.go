package book

import (
	"time"
)

// Hold points, changes, tins and clocks while a job is folded.

// reopen makes an answer to a hold point of a place stale.
func (f *folding) reopen(item, hold, why string) {
	id := item + "/" + hold
	if len(f.answers[id]) > 0 || f.overrides[id] != nil {
		f.stale[id] = staleness{why}
	}
}

func (f *folding) answered(e *effect, b HoldAnswered) {
	f.answers[b.Hold] = append(f.answers[b.Hold], take[HoldAnswered](e))
	if !e.Void {
		delete(f.stale, b.Hold)
	}
}

func (f *folding) overridden(e *effect, b HoldOverridden) {
	l := take[HoldOverridden](e)
	f.overrides[b.Hold] = &l
	delete(f.stale, b.Hold)
	text, item := b.Hold, ""
	if p := f.j.Plan(); p != nil {
		for _, h := range p.Limits.Holds {
			if h.ID == b.Hold {
				text, item = h.Text, h.Item
			}
		}
	}
	f.deviate("hold-overridden", &e.Meta, item, 0, words{value: b.Name, limit: text})
}

// finishHolds says which hold points of the plan in force are passed.
func (f *folding) finishHolds() {
	p := f.j.Plan()
	if p == nil {
		return
	}
	for _, line := range p.Limits.Holds {
		if !f.standing(line.Item) {
			continue
		}
		h := Hold{HoldLine: line, Answers: f.answers[line.ID], Override: f.overrides[line.ID]}
		if h.Override != nil {
			h.Passed = true
		}
		for _, a := range h.Answers {
			if !a.Void && (h.Override == nil || h.Override.clock.Compare(a.clock) < 0) {
				h.Passed = a.Is.Says != SaysNo
			}
		}
		if s, stale := f.stale[line.ID]; stale {
			h.Passed, h.Reopened = false, s.why
		}
		if h.Name() == HoldFinalLook {
			if at, ok := f.finalLook(line.Item); ok {
				h.NotBefore = &at
			}
		}
		f.j.Holds = append(f.j.Holds, h)
	}
}

// finalLook is the earliest time of the final look at a place.
func (f *folding) finalLook(item string) (time.Time, bool) {
	l, ok := f.limits(item)
	last, welded := f.lastHeat(item)
	if !ok || !welded || l.Delay == nil {
		return time.Time{}, false
	}
	return last.Add(duration(*l.Delay)), true
}

func (f *folding) damage(e *effect, b DamageFound) {
	f.j.Damages = append(f.j.Damages, take[DamageFound](e))
	if e.Void {
		return
	}
	for _, hold := range []string{HoldCrackGone, HoldHeatReached, HoldFinalLook} {
		f.reopen(b.Item, hold, "more damage was found after it was answered")
	}
	for _, rule := range []string{"gouge-long", "gouge-deep"} {
		f.clear(&e.Meta, func() string { return "logged as found more" }, rule, b.Item, 0)
	}
}

func (f *folding) proposed(e *effect, b ChangeProposed) {
	if c := f.j.Change(b.ID); c != nil {
		if c.State == ChangeOpen { // priced again: the new plan takes the place of the old one
			if p := f.j.PlanOf(c.To); p != nil && p.Standing == Waiting {
				p.Standing = Replaced
			}
			c.ChangeProposed, c.Meta = b, e.Meta
		}
		return
	}
	f.j.Changes = append(f.j.Changes, Change{Meta: e.Meta, ChangeProposed: b, Number: len(f.j.Changes) + 1, State: ChangeOpen})
}

func (f *folding) accepted(e *effect, b ChangeAccepted) {
	c := f.j.Change(b.ID)
	if c == nil || c.State != ChangeOpen {
		return // answered before, on another device: the first answer counts, both are in the log
	}
	l := take[ChangeAccepted](e)
	c.State, c.Accepted = ChangeAgreed, &l
	for i := range f.j.Plans {
		if f.j.Plans[i].ID == c.To {
			f.enforce(i)
		}
	}
}

func (f *folding) refused(e *effect, b ChangeRefused) {
	c := f.j.Change(b.ID)
	if c == nil || c.State != ChangeOpen {
		return
	}
	l := take[ChangeRefused](e)
	c.State, c.Refused = ChangeDeclined, &l
	if p := f.j.PlanOf(c.To); p != nil {
		p.Standing = Declined
	}
	f.deviate("damage-left", &e.Meta, c.Item, 0, words{value: number(c.Number)})
}

func (f *folding) tin(e *effect, b TinOpened) {
	if f.j.Tin(b.ID) != nil {
		return
	}
	t := Tin{Logged: take[TinOpened](e)}
	if b.Limit != nil {
		due := e.At.Add(duration(*b.Limit))
		t.Due = &due
	}
	f.j.Tins = append(f.j.Tins, t)
}

func (f *folding) putAway(e *effect, b TinPutAway) {
	if t := f.j.Tin(b.Tin); t != nil && t.Away == nil && !e.Void {
		l := take[TinPutAway](e)
		t.Away = &l
	}
}

func (f *folding) clockOn(e *effect, b ClockStarted) {
	if e.Void || f.j.Clock(b.ID) != nil {
		return
	}
	c := Clock{ID: b.ID, What: b.What, Item: b.Item, Label: b.Label, Call: b.Call, Started: e.At, Ref: e.Ref}
	if b.For > 0 {
		due := e.At.Add(duration(b.For))
		c.Due = &due
	}
	f.j.Clocks = append(f.j.Clocks, c)
}

// watched gives the end of a fire watch: its time after the last spark.
func (f *folding) watched(c *Clock) {
	if c.What != FireWatch || c.Due == nil {
		return
	}
	watch := c.Due.Sub(c.Started)
	for _, at := range f.sparks {
		if at.After(c.Started) {
			due := at.Add(watch)
			c.Started, c.Due = at, &due
		}
	}
}

func (f *folding) clockOff(e *effect, b ClockStopped) {
	c := f.j.Clock(b.ID)
	if e.Void || c == nil || c.Stopped != nil {
		return
	}
	at := e.At
	f.watched(c)
	c.Stopped = &at
	if c.What == FireWatch && c.Due != nil && at.Before(c.Due.Add(-time.Minute)) {
		f.deviate("watch-short", &e.Meta, c.Item, 0, words{value: span(c.Due.Sub(at))})
	}
}

func (f *folding) checkedIn(e *effect, b CheckedIn) {
	c := f.j.Clock(b.ID)
	if e.Void || c == nil || c.Due == nil || c.Stopped != nil {
		return
	}
	every := c.Due.Sub(c.Started)
	if late := e.At.Sub(*c.Due); late > time.Minute {
		f.deviate("check-in-late", &e.Meta, c.Item, 0, words{value: span(late)})
	}
	due := e.At.Add(every)
	c.Started, c.Due = e.At, &due
}

// finishClocks adds the clocks that follow from what was logged.
func (f *folding) finishClocks() {
	j := f.j
	for i := range j.Clocks {
		if j.Clocks[i].Running() {
			f.watched(&j.Clocks[i])
		}
	}
	for i := range j.Tins {
		t := &j.Tins[i]
		if t.Void || t.Due == nil {
			continue
		}
		c := Clock{ID: "rod-" + t.Is.ID, What: RodClock, Label: "rods " + t.name(j.System()) + " are out", Started: t.At, Due: t.Due, Ref: t.Ref}
		if t.Away != nil {
			c.Stopped = &t.Away.At
		}
		j.Clocks = append(j.Clocks, c)
	}
	for _, h := range j.Holds {
		if h.Name() != HoldFinalLook || h.NotBefore == nil {
			continue
		}
		last, _ := f.lastHeat(h.Item)
		p, _ := j.Place(h.Item)
		c := Clock{ID: "delay-" + h.Item, What: DelayClock, Item: h.Item, Label: "final look at " + p.Name, Started: last, Due: h.NotBefore}
		if h.Passed {
			at := last
			for _, a := range h.Answers {
				at = a.At
			}
			if h.Override != nil {
				at = h.Override.At
			}
			c.Stopped = &at
		}
		j.Clocks = append(j.Clocks, c)
	}
}

// finishLooks lists the looks that the closing asks for.
func (f *folding) finishLooks() {
	j := f.j
	if len(j.Closings) == 0 {
		return
	}
	for _, look := range j.Closings[len(j.Closings)-1].Is.Looks {
		done := f.looks[look.ID]
		j.FollowUps = append(j.FollowUps, FollowUp{look, done})
		c := Clock{ID: "look-" + look.ID, What: LookClock, Label: look.What, Started: j.Closings[len(j.Closings)-1].At, Due: &look.Due}
		if done != nil {
			c.Stopped = &done.At
		}
		j.Clocks = append(j.Clocks, c)
	}
}
