package book

import (
	"strings"
	"time"
)

// Step is a thing to do of the plan in force.
type Step struct {
	StepLine
	Done *Logged[StepDone] // nil: not yet
}

// Hold is a hold point of the plan in force. The next step opens when it is
// Passed.
type Hold struct {
	HoldLine
	Passed    bool
	Answers   []Logged[HoldAnswered] // all, the last one counts
	Override  *Logged[HoldOverridden]
	Reopened  string     // why an answer no longer counts; empty: it does, or there is none
	NotBefore *time.Time // of the final look: earliest time; nil while no bead is laid or the plan sets no delay
}

// Name is the part of the id after the place: cut-proof.
func (h *Hold) Name() string {
	_, name, _ := strings.Cut(h.ID, "/")
	return name
}

// Opens says whether the work of a section may begin at a place, as of now: the
// customer has answered every change, and every hold point of an earlier section
// is passed. The error is a *Refusal.
func (j *Job) Opens(item, section string) error {
	if j.Status == JobClosed {
		return refuse(CodeState, "", "this job is closed: open it again first")
	}
	rank := sectionRank(section)
	if c := j.OpenChange(); c != nil && rank >= sectionRank("cut") && (c.Item == "" || c.Item == item) {
		return refuse(CodeChange, c.ID, "the customer has not answered change %d (%s): get his yes or no first", c.Number, c.Why)
	}
	for i := range j.Holds {
		h := &j.Holds[i]
		if !h.Passed && sectionRank(h.Section) < rank && (h.Item == "" || h.Item == item) {
			return refuse(CodeHold, h.ID, "answer the hold point first, or override it with name and reason: %s", h.Text)
		}
	}
	return nil
}

// OpenHolds are the hold points of the place, and those of the whole job, that
// are not passed, in the order of the work.
func (j *Job) OpenHolds(item string) []Hold {
	var open []Hold
	for _, h := range j.Holds {
		if !h.Passed && (h.Item == "" || h.Item == item) {
			open = append(open, h)
		}
	}
	return open
}
