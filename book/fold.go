package book

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"soundmetal/store"
)

// FoldVersion rises whenever the fold makes something else of the same entries;
// snapshots of another version are thrown away.
const FoldVersion = 3

// record is one entry, decoded: where it was carried, the one inside.
type record struct {
	ref     Ref
	clock   store.Clock
	wall    int64
	kind    Kind
	job     string
	key     string
	hash    store.Hash
	direct  bool // it stands in its own device's log here; else it was carried
	body    any
	strange string // why it cannot be read; empty: it can
}

func decode(e *store.Entry) *record {
	in, carried, err := original(e)
	if err != nil {
		r := recordOf(e)
		r.direct, r.strange = true, "what it carries cannot be taken: "+err.Error()
		return r
	}
	r := recordOf(&in)
	r.direct = !carried
	b, ok := bodies[r.kind]
	if !ok {
		r.strange = "this build does not know entries of the kind " + in.Kind + "; a newer one does"
		return r
	}
	body, err := b.read(in.Body)
	if err != nil {
		r.strange = "its contents cannot be read: " + err.Error()
		return r
	}
	r.body = body
	return r
}

func recordOf(e *store.Entry) *record {
	return &record{ref: RefOf(e), clock: e.Clock, wall: e.Wall, kind: Kind(e.Kind), job: e.Job, key: e.Key, hash: e.Hash}
}

// compare orders records as store.Entry.Compare does its entries; of two that
// claim one place and one clock the lower hash comes first.
func (r *record) compare(o *record) int {
	return cmp.Or(r.clock.Compare(o.clock), cmp.Compare(r.ref.Device, o.ref.Device), cmp.Compare(r.ref.Seq, o.ref.Seq), bytes.Compare(r.hash[:], o.hash[:]))
}

// meta is the record's part of what is shown of it.
func (r *record) meta() Meta {
	wall := time.UnixMilli(r.wall).UTC()
	return Meta{Ref: r.ref, Kind: r.kind, At: wall, Logged: wall, clock: r.clock}
}

// stream is the entries of one job, in order, and what they come to.
type stream struct {
	id      string
	records []*record
	job     *Job // nil: to be folded anew
}

// add puts a record into its place in the order. One that was carried and is
// here itself is kept once, as the one that is here itself.
func (s *stream) add(r *record) {
	at, found := slices.BinarySearchFunc(s.records, r, (*record).compare)
	switch {
	case !found:
		s.records = slices.Insert(s.records, at, r)
	case r.direct && !s.records[at].direct:
		s.records[at] = r
	default:
		return
	}
	s.job = nil
}

// has says whether the entry is in the stream, directly or carried.
func (s *stream) has(e *store.Entry) bool {
	_, found := slices.BinarySearchFunc(s.records, recordOf(e), (*record).compare)
	return found
}

// fold gives the job that the entries tell of. It depends on nothing but the
// set of entries: not on when or in what order they came.
func (s *stream) fold() *Job {
	if s.job == nil {
		s.job = fold(s.id, s.records)
	}
	return s.job
}

// folding is a job while it is folded.
type folding struct {
	j           *Job
	corrections map[Ref][]*record
	batches     map[string]string // key to the device that used it first
	batch       *record           // last one let in
	steps       map[string]*Logged[StepDone]
	answers     map[string][]Logged[HoldAnswered]
	overrides   map[string]*Logged[HoldOverridden]
	stale       map[string]staleness // by hold: its answer no longer counts
	sparks      []time.Time          // ends of arc and gouging
	heat        map[string]time.Time // last heat of the weld, by place
	readings    map[atBead][]int     // indexes into the job's readings
	rods        map[string]rod
	open        map[openKey][]int // deviations that nothing has been done about
	looks       map[string]*Logged[FollowedUp]
}

type staleness struct{ why string }

func fold(id string, all []*record) *Job {
	records, against := counting(all)
	f := &folding{
		j:           &Job{ID: id, Status: JobOpen, inForce: -1, Facts: Facts{Set: map[string]string{}}},
		corrections: map[Ref][]*record{}, batches: make(map[string]string, len(records)), batch: &record{}, steps: map[string]*Logged[StepDone]{},
		answers: map[string][]Logged[HoldAnswered]{}, overrides: map[string]*Logged[HoldOverridden]{},
		stale: map[string]staleness{}, looks: map[string]*Logged[FollowedUp]{}, heat: map[string]time.Time{},
		readings: map[atBead][]int{}, rods: map[string]rod{}, open: map[openKey][]int{},
	}
	for _, r := range records {
		if c, ok := r.body.(Corrected); ok && !f.again(r) {
			f.corrections[c.Of] = append(f.corrections[c.Of], r)
		}
	}
	f.j.Log = make([]Line, 0, len(all))
	for _, r := range records {
		for len(against) > 0 && against[0].compare(r) < 0 {
			f.strange(against[0])
			against = against[1:]
		}
		f.record(r)
	}
	for _, r := range against {
		f.strange(r)
	}
	f.finish()
	return f.j
}

// again says that the batch was already logged by another device: a form that
// was sent twice and reached both.
func (f *folding) again(r *record) bool {
	if r.key == f.batch.key && r.ref.Device == f.batch.ref.Device {
		return false // of the batch that was just let in
	}
	first, ok := f.batches[r.key]
	if !ok {
		f.batches[r.key] = r.ref.Device
	}
	if ok && first != r.ref.Device {
		return true
	}
	f.batch = r
	return false
}

// effect is an entry as it stands after its corrections.
type effect struct {
	Meta
	is  any
	was []any
}

func take[T any](e *effect) Logged[T] {
	l := Logged[T]{Meta: e.Meta, Is: e.is.(T)}
	for _, w := range e.was {
		l.Was = append(l.Was, w.(T))
	}
	return l
}

// record folds one entry.
func (f *folding) record(r *record) {
	if f.again(r) {
		return
	}
	j := f.j
	e := &effect{Meta: r.meta(), is: r.body}
	if e.Logged.After(j.Touched) {
		j.Touched = e.Logged
	}
	f.doubt(r, e.Logged)
	if r.strange != "" {
		f.strange(r)
		return
	}
	f.correct(e)
	if t, ok := e.is.(timed); ok {
		if when := t.when(); !when.IsZero() {
			e.At = when
		}
	}
	j.Log = append(j.Log, Line{Meta: e.Meta, Item: itemOf(e.is), job: j, is: e.is, was: e.was})
	f.apply(e)
}

// strange shows an entry that has no effect.
func (f *folding) strange(r *record) {
	f.j.Strange = append(f.j.Strange, Strange{r.meta(), r.strange})
	f.j.Log = append(f.j.Log, Line{Meta: r.meta(), job: f.j, is: r})
}

// doubt notes where the device's clock contradicts the order of the entries.
func (f *folding) doubt(r *record, wall time.Time) {
	limit := time.Duration(figure("clock-doubt")) * time.Second
	if behind := r.clock.Time().Sub(wall); behind > limit {
		f.j.Doubts = append(f.j.Doubts, Doubt{r.ref, behind, wall})
	}
}

// correct puts the corrections of an entry into effect.
func (f *folding) correct(e *effect) {
	for _, r := range f.corrections[e.Ref] {
		c := r.body.(Corrected)
		b := bodies[e.Kind]
		if !b.correctable || c.Kind != e.Kind {
			continue
		}
		note := Correction{r.ref, c.When, c.Reason, c.Void}
		if !c.Void {
			is, err := b.read(c.Body)
			if err != nil {
				continue // it stays in the log as it was written
			}
			e.was = append(e.was, e.is)
			e.is = is
		}
		e.Void = c.Void
		e.Corrections = append(e.Corrections, note)
	}
}

// apply lets an entry take effect. What was taken back stays in its list, marked,
// and has no effect.
func (f *folding) apply(e *effect) {
	j := f.j
	switch b := e.is.(type) {
	case JobOpened:
		f.opened(e, b)
	case FactsSet:
		j.Facts = j.Facts.with(b)
		f.places()
	case PlanMade:
		f.plan(e, b)
	case WorkAgreed:
		j.Agreed = append(j.Agreed, take[WorkAgreed](e))
	case DamageFound:
		f.damage(e, b)
	case ChangeProposed:
		f.proposed(e, b)
	case ChangeAccepted:
		f.accepted(e, b)
	case ChangeRefused:
		f.refused(e, b)
	case StepDone:
		if l := take[StepDone](e); !e.Void {
			f.steps[b.Step] = &l
		}
	case HoldAnswered:
		f.answered(e, b)
	case HoldOverridden:
		f.overridden(e, b)
	case Reading:
		j.Readings = append(j.Readings, take[Reading](e))
		if !e.Void {
			f.reading(&e.Meta, b)
		}
	case TinOpened:
		f.tin(e, b)
	case TinPutAway:
		f.putAway(e, b)
	case GougeDone:
		j.Gouges = append(j.Gouges, take[GougeDone](e))
		if !e.Void {
			f.gouge(&e.Meta, b)
		}
	case Bead:
		j.Beads = append(j.Beads, take[Bead](e))
		if !e.Void {
			f.bead(&e.Meta, b)
		}
	case PostHeat:
		j.PostHeats = append(j.PostHeats, take[PostHeat](e))
		if !e.Void {
			f.postHeat(&e.Meta, b)
		}
	case HeatSimulated:
		j.Simulated = append(j.Simulated, take[HeatSimulated](e))
	case Inspection:
		j.Inspections = append(j.Inspections, take[Inspection](e))
		if !e.Void {
			f.inspection(&e.Meta, b)
		}
	case Photo:
		j.Photos = append(j.Photos, take[Photo](e))
	case Note:
		j.Notes = append(j.Notes, take[Note](e))
	case ClockStarted:
		f.clockOn(e, b)
	case ClockStopped:
		f.clockOff(e, b)
	case CheckedIn:
		f.checkedIn(e, b)
	case Cleared:
		if !e.Void {
			f.clearID(&e.Meta, b)
		}
	case Closed:
		j.Closings = append(j.Closings, take[Closed](e))
		j.Status = JobClosed
	case Reopened:
		j.Reopened = append(j.Reopened, take[Reopened](e))
		j.Status = JobOpen
	case FollowedUp:
		if l := take[FollowedUp](e); !e.Void {
			f.looks[b.Look] = &l
		}
	case CrackedAgainBody:
		j.Again = append(j.Again, take[CrackedAgainBody](e))
	}
}

func (f *folding) opened(e *effect, b JobOpened) {
	j := f.j
	if !j.Opened.IsZero() {
		return // a job is opened once; a second entry stays in the log
	}
	j.Name, j.Units, j.Customer, j.Machine, j.Repeat, j.Demo, j.Opened = b.Name, b.Units, b.Customer, b.Machine, b.Repeat, b.Demo, e.Logged
}

// places brings the list of damaged places up to the facts.
func (f *folding) places() {
	for i, it := range f.j.Facts.Items {
		name := it.Set["name"]
		if name == "" {
			name = it.Set["part"]
		}
		if name == "" {
			name = "place " + number(i+1)
		}
		if i == len(f.j.Places) {
			f.j.Places = append(f.j.Places, PlaceOf{ID: it.ID, NextBead: 1})
		}
		f.j.Places[i].Name, f.j.Places[i].Dropped = name, it.Dropped
	}
	if n := f.j.Facts.Set["job"]; n != "" {
		f.j.Name = n
	}
}

func (f *folding) plan(e *effect, b PlanMade) {
	j := f.j
	v := PlanVersion{Meta: e.Meta, PlanMade: b, Number: len(j.Plans) + 1, Standing: Waiting}
	j.Plans = append(j.Plans, v)
	if b.Change == "" {
		f.enforce(len(j.Plans) - 1)
	}
}

func (f *folding) enforce(i int) {
	j := f.j
	if j.inForce >= 0 && j.inForce != i {
		j.Plans[j.inForce].Standing = Replaced
	}
	j.inForce = i
	j.Plans[i].Standing = InForce
}

// finish works out what follows from all entries together.
func (f *folding) finish() {
	f.finishHolds()
	f.finishSteps()
	f.finishClocks()
	f.finishLooks()
}

func (f *folding) finishSteps() {
	p := f.j.Plan()
	if p == nil {
		return
	}
	for _, line := range p.Limits.Steps {
		if f.standing(line.Item) {
			f.j.Steps = append(f.j.Steps, Step{line, f.steps[line.ID]})
		}
	}
}

// standing says whether a place is to be repaired; "" is the whole job.
func (f *folding) standing(item string) bool {
	p, ok := f.j.Place(item)
	return item == "" || ok && !p.Dropped
}
