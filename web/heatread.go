package web

import (
	"fmt"
	"net/url"
	"slices"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/task"
)

// The readings that torch and loss can be fitted to: taken while the torch burnt,
// before the first bead, at a place that is known.

// fitReading is one reading logged before the first bead.
type fitReading struct {
	book.Logged[book.Reading]
	As   task.Reading
	Not  string // why it cannot be used; "": it can
	Mend string // address of the form that adds what is missing
}

// firstBead is when the first bead of a place was begun, of those from a time on.
func firstBead(j *book.Job, item string, from time.Time) (at time.Time, number int, ok bool) {
	for _, b := range j.Beads {
		if b.Void || b.Is.Item != item {
			continue
		}
		begun := begunAt(b.Is)
		if begun.Before(from) {
			continue
		}
		if !ok || begun.Before(at) {
			at, number, ok = begun, b.Is.Number, true
		}
	}
	return at, number, ok
}

// begunAt is when a bead was begun, its end where that is not said.
func begunAt(b book.Bead) time.Time {
	if b.Begun != nil {
		return *b.Begun
	}
	return b.Ended
}

// torchOf is the burning of the torch that a reading belongs to.
func torchOf(lit []book.Clock, at time.Time) *book.Clock {
	for i := len(lit) - 1; i >= 0; i-- {
		if !lit[i].Started.After(at) {
			return &lit[i]
		}
	}
	return nil
}

// fitReadings lists the readings of the first heat, and says of each whether it
// can be used. Where the torch was lit more than once before the first bead, those
// of its last burning count.
func (r *request) fitReadings(item string) []fitReading {
	j := r.job
	lit := j.TorchLit(item)
	bead, _, welded := firstBead(j, item, time.Time{})
	var last *book.Clock
	var all []fitReading
	for _, l := range j.Readings {
		if l.Void || l.Is.Item != item || l.Is.Bead > 0 || welded && !l.At.Before(bead) {
			continue
		}
		if t := torchOf(lit, l.At); t != nil {
			last = t
		}
		all = append(all, fitReading{Logged: l})
	}
	slices.SortStableFunc(all, func(a, b fitReading) int { return a.At.Compare(b.At) })
	for i := range all {
		r.judge(&all[i], lit, last)
	}
	return all
}

// judge says whether a reading can be used, and what it lacks.
func (r *request) judge(f *fitReading, lit []book.Clock, last *book.Clock) {
	is := f.Is
	torch := torchOf(lit, f.At)
	switch {
	case is.Temp == nil:
		f.Not = "a crayon tells no temperature to fit to"
	case len(lit) == 0:
		f.Not = "it is not logged when the torch was lit"
	case torch == nil:
		f.Not = "it was taken before the torch was lit"
	case last != nil && torch.ID != last.ID:
		f.Not = "the torch was lit again after it"
	case torch.Stopped != nil && f.At.After(*torch.Stopped):
		f.Not = "the torch was away already"
	case is.Distance == nil:
		f.Not, f.Mend = "how far from the groove edge was it read?", r.path("correct")+"?of="+url.QueryEscape(f.Ref.String())+"&reason=the+distance+is+added"
	default:
		f.As = task.Reading{Time: q.Time(f.At.Sub(torch.Started).Seconds()), T: is.Temp.SI, At: is.Distance.SI, Far: is.FarFace, Ref: f.Ref.String()}
		if err := f.As.Check(); err != nil {
			f.Not = err.Error()
		}
	}
}

// usable are the readings that are passed on.
func usable(all []fitReading) []task.Reading {
	var out []task.Reading
	for _, f := range all {
		if f.Not == "" && len(out) < task.MaxReadings {
			out = append(out, f.As)
		}
	}
	return out
}

// torchForm logs when the torch was lit, or taken away.
func torchForm(r *request) (Form, error) {
	return Form{Title: "Torch lit", Icon: "fire", Submit: "Log it", Lead: "From here the minutes of the torch count: readings are held against what was worked out.",
		Back: r.heatPath(r.FormValue("item")), Fields: []Field{r.placeField(), ago("When was it lit?")}}, nil
}

func torchCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.StartClock{Job: r.job.ID, What: book.TorchClock, Item: v.text("item"), Label: "torch burns", When: v.when("ago", &err)}
	return c, err
}

func toHeat(r *request, res book.Result) string { return r.heatPath(r.FormValue("item")) }

// heatPath is the page of a place's heat.
func (r *request) heatPath(item string) string {
	path := r.path("heat")
	if item != "" {
		path += "?item=" + url.QueryEscape(item)
	}
	return path
}

// place finds a place of the plan in force by its id, with its number from 1.
func (r *request) planPlace(item string) (v *book.PlanVersion, number int, err error) {
	v = r.job.Plan()
	if v == nil {
		return nil, 0, wrong("item", "there is no plan for this job yet: there is no heat to work out")
	}
	for i, l := range v.Limits.Items {
		if l.Item != item {
			continue
		}
		if !l.Planned {
			return v, 0, wrong("item", fmt.Sprintf("%s is not to be touched: there is no heat to work out", l.Name))
		}
		return v, i + 1, nil
	}
	return v, 0, missing("the plan has no such place")
}
