package book

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// ClockKind says what a clock is for.
type ClockKind string

// The clocks. The first three follow from what is logged; the others are
// started by hand.
const (
	RodClock     ClockKind = "rod"        // rods out of tin or oven
	DelayClock   ClockKind = "delay"      // before the final test
	LookClock    ClockKind = "look"       // follow-up look
	WaitClock    ClockKind = "wait"       // soak, cooling, reading
	FireWatch    ClockKind = "fire-watch" // after the last spark
	CheckInClock ClockKind = "check-in"   // lone worker
	WorkClock    ClockKind = "work"       // hours for the bill
	TravelClock  ClockKind = "travel"
	StandbyClock ClockKind = "standby"
	TorchClock   ClockKind = "torch" // since the torch was lit at a place
)

// byHand are the clocks that StartClock starts, and whether they run down.
var byHand = map[ClockKind]bool{WaitClock: true, FireWatch: true, CheckInClock: true, WorkClock: false, TravelClock: false, StandbyClock: false, TorchClock: false}

// Clock is a clock of the job. All its times are absolute: it survives a restart
// and reads the same on every device.
type Clock struct {
	ID      string
	What    ClockKind
	Item    string
	Label   string
	Call    string // who waits for the call
	Started time.Time
	Due     *time.Time // nil: it counts up
	Stopped *time.Time // nil: it runs
	Ref     Ref        // the entry that started it
}

// Running says that it has not been stopped.
func (c *Clock) Running() bool { return c.Stopped == nil }

// Of is the id of what the clock was started by itself for: the tin of rods that
// are out, the look that is due, the place that waits for its test.
func (c Clock) Of() string { return ofClock(c.What, c.ID) }

// Of is as for a Clock.
func (d Due) Of() string { return ofClock(d.What, d.ID) }

func ofClock(what ClockKind, id string) string { return strings.TrimPrefix(id, string(what)+"-") }

// Left is the time to go; below zero it is over. A clock that counts up has none.
func (c *Clock) Left(now time.Time) time.Duration {
	if c.Due == nil {
		return 0
	}
	return c.Due.Sub(now)
}

// Elapsed is the time since the start, up to its stop.
func (c *Clock) Elapsed(now time.Time) time.Duration {
	if c.Stopped != nil {
		now = *c.Stopped
	}
	return max(0, now.Sub(c.Started))
}

// Due is something with a time.
type Due struct {
	What ClockKind `json:"what"`
	ID   string    `json:"id"`
	Item string    `json:"item,omitempty"`
	Text string    `json:"text"`
	At   time.Time `json:"at"`
}

// Dues are the times that are still to come or passed unanswered, soonest first.
func (j *Job) Dues() []Due {
	var all []Due
	for _, c := range j.Clocks {
		if c.Running() && c.Due != nil {
			all = append(all, Due{c.What, c.ID, c.Item, c.Label, *c.Due})
		}
	}
	slices.SortStableFunc(all, func(a, b Due) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) })
	return all
}

// Hours adds up the clocks that count hours of one kind.
func (j *Job) Hours(what ClockKind, now time.Time) time.Duration {
	var sum time.Duration
	for _, c := range j.Clocks {
		if c.What == what {
			sum += c.Elapsed(now)
		}
	}
	return sum
}

// FollowUp is a look that the closing asks for.
type FollowUp struct {
	Look
	Done *Logged[FollowedUp] // nil: not yet
}
