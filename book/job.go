package book

import (
	"slices"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Status says whether a job is being worked on.
type Status string

const (
	JobOpen   Status = "open"
	JobClosed Status = "closed"
)

// Job is one job as its entries tell it. It is not changed once it is made:
// pages may keep and read it while others write. Lists are in the order in
// which things were logged.
type Job struct {
	ID       string
	Name     string
	Units    job.Units
	Customer string // id; "" where none is named
	Machine  string // id
	Repeat   *Repeat
	Demo     bool
	Opened   time.Time
	Touched  time.Time // last entry
	Status   Status

	Facts   Facts
	Places  []PlaceOf
	Plans   []PlanVersion
	Agreed  []Logged[WorkAgreed]
	Damages []Logged[DamageFound]
	Changes []Change

	Steps       []Step
	Holds       []Hold
	Readings    []Logged[Reading]
	Tins        []Tin
	Gouges      []Logged[GougeDone]
	Beads       []Logged[Bead]
	PostHeats   []Logged[PostHeat]
	Simulated   []Logged[HeatSimulated]
	Inspections []Logged[Inspection]
	Photos      []Logged[Photo]
	Notes       []Logged[Note]
	Clocks      []Clock
	Deviations  []Deviation

	Closings  []Logged[Closed]
	Reopened  []Logged[Reopened]
	FollowUps []FollowUp
	Again     []Logged[CrackedAgainBody]

	Log     []Line    // every entry, with what it says
	Strange []Strange // entries that this build cannot read
	Doubts  []Doubt   // where the clocks of the devices contradict each other

	inForce int // index into Plans; -1: none
}

// PlaceOf is one damaged place.
type PlaceOf struct {
	ID       string
	Name     string
	Dropped  bool // no longer to be repaired
	NextBead int  // number of the next bead
	Welded   bool // at least one bead is laid
}

// PlanVersion is one plan of the job. Older ones stay readable; see Book.Plan.
type PlanVersion struct {
	Meta
	PlanMade
	Number   int // as people count them, from 1
	Standing Standing
}

// Standing says what a plan counts for.
type Standing string

const (
	InForce  Standing = "in force"
	Waiting  Standing = "waiting" // for the customer's yes
	Replaced Standing = "replaced"
	Declined Standing = "declined"
)

// Line is one entry of the log in words.
type Line struct {
	Meta
	Item string

	job *Job
	is  any
	was []any
}

// Text is what the entry says, in one line.
func (l Line) Text() string {
	if r, ok := l.is.(*record); ok {
		return r.strange
	}
	return l.job.describe(l.is)
}

// Body is the entry as it stands after its corrections: a value of its type, or
// nil where this build cannot read it.
func (l Line) Body() any {
	if _, strange := l.is.(*record); strange {
		return nil
	}
	return l.is
}

// Was is what the entry said as first written and after each correction but the
// last, in words; none where it was never changed.
func (l Line) Was() []string {
	var all []string
	for _, w := range l.was {
		all = append(all, l.job.describe(w))
	}
	return all
}

// contradicts says that another entry counts at this one's place.
func (l Line) contradicts() bool {
	r, ok := l.is.(*record)
	return ok && r.strange == contradicts
}

// Strange is an entry that has no effect: this build cannot read it, or it
// contradicts the one that stands at its place.
type Strange struct {
	Meta
	Why string
}

// Doubt is a place where an entry is logged after another, but its device's
// clock reads earlier: one of the clocks is wrong or was set.
type Doubt struct {
	Ref   Ref
	By    time.Duration // how far the clock is behind the order of the entries
	Clock time.Time     // what it read
}

// System is the system that leads in texts.
func (j *Job) System() q.System {
	if j.Units == job.US {
		return q.US
	}
	return q.SI
}

// Plan is the plan in force, or nil.
func (j *Job) Plan() *PlanVersion {
	if j.inForce < 0 {
		return nil
	}
	return &j.Plans[j.inForce]
}

// PlanOf finds a plan by id, or nil.
func (j *Job) PlanOf(id string) *PlanVersion {
	i := slices.IndexFunc(j.Plans, func(p PlanVersion) bool { return p.ID == id })
	if i < 0 {
		return nil
	}
	return &j.Plans[i]
}

// Limits are the limits of the place by the plan in force.
func (j *Job) Limits(item string) (ItemLimits, bool) {
	if p := j.Plan(); p != nil {
		return p.Limits.of(item)
	}
	return ItemLimits{}, false
}

// Place finds a damaged place.
func (j *Job) Place(id string) (PlaceOf, bool) {
	i := slices.IndexFunc(j.Places, func(p PlaceOf) bool { return p.ID == id })
	if i < 0 {
		return PlaceOf{}, false
	}
	return j.Places[i], true
}

// Standing lists the places that are to be repaired.
func (j *Job) Standing() []PlaceOf {
	return slices.DeleteFunc(slices.Clone(j.Places), func(p PlaceOf) bool { return p.Dropped })
}

// OpenChange is the change order that waits for the customer, or nil.
func (j *Job) OpenChange() *Change {
	for i := range j.Changes {
		if j.Changes[i].State == ChangeOpen {
			return &j.Changes[i]
		}
	}
	return nil
}

// Change finds a change order, or nil.
func (j *Job) Change(id string) *Change {
	i := slices.IndexFunc(j.Changes, func(c Change) bool { return c.ID == id })
	if i < 0 {
		return nil
	}
	return &j.Changes[i]
}

// Hold finds a hold point of the plan in force, or nil.
func (j *Job) Hold(id string) *Hold {
	i := slices.IndexFunc(j.Holds, func(h Hold) bool { return h.ID == id })
	if i < 0 {
		return nil
	}
	return &j.Holds[i]
}

// Step finds a step of the plan in force, or nil.
func (j *Job) Step(id string) *Step {
	i := slices.IndexFunc(j.Steps, func(s Step) bool { return s.ID == id })
	if i < 0 {
		return nil
	}
	return &j.Steps[i]
}

// Tin finds a tin, or nil.
func (j *Job) Tin(id string) *Tin {
	i := slices.IndexFunc(j.Tins, func(t Tin) bool { return t.Is.ID == id })
	if i < 0 {
		return nil
	}
	return &j.Tins[i]
}

// Clock finds a clock, or nil.
func (j *Job) Clock(id string) *Clock {
	i := slices.IndexFunc(j.Clocks, func(c Clock) bool { return c.ID == id })
	if i < 0 {
		return nil
	}
	return &j.Clocks[i]
}

// OpenDeviations are those that nothing has been done about.
func (j *Job) OpenDeviations() []Deviation {
	return slices.DeleteFunc(slices.Clone(j.Deviations), func(d Deviation) bool { return d.Cleared != nil })
}

// Closing is the job's last page, or nil while it is open.
func (j *Job) Closing() *Logged[Closed] {
	if j.Status != JobClosed || len(j.Closings) == 0 {
		return nil
	}
	return &j.Closings[len(j.Closings)-1]
}

// Find gives the log line of an entry that counts, or nil.
func (j *Job) Find(r Ref) *Line {
	i := slices.IndexFunc(j.Log, func(l Line) bool { return l.Ref == r && !l.contradicts() })
	if i < 0 {
		return nil
	}
	return &j.Log[i]
}
