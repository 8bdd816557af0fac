package book

import (
	"slices"

	"soundmetal/store"
	"soundmetal/task"
)

// KeepHeat keeps a simulation of a place. It must be of the plan in force: where
// the plan has changed while it was computed, it answers a question that nobody
// asks any more.
type KeepHeat struct {
	Job    string
	Item   string
	Result *task.Result
}

func (c KeepHeat) about() string { return c.Job }

func (c KeepHeat) decide(d *desk) error {
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	if c.Result == nil {
		return refuse(CodeField, "result", "the result is missing")
	}
	now := d.job.Plan()
	if now == nil {
		return refuse(CodeState, "", "there is no plan for this job yet: there is no heat to keep")
	}
	i := slices.IndexFunc(now.Limits.Items, func(l ItemLimits) bool { return l.Item == p.ID })
	switch {
	case c.Result.Plan != now.ID:
		return refuse(CodeState, "", "the plan has changed since this was begun: work it out again")
	case c.Result.Place != p.ID || i < 0 || c.Result.Item != i+1:
		return refuse(CodeField, "result", "this result is of another place")
	}
	var refs []Ref
	for _, r := range c.Result.Readings {
		ref, err := ReadRef(r.Ref)
		if err != nil || !slices.ContainsFunc(d.job.Readings, func(l Logged[Reading]) bool { return l.Ref == ref && l.Is.Item == p.ID }) {
			return refuse(CodeUnknown, "result", "this result was fitted to a reading that is not logged here")
		}
		refs = append(refs, ref)
	}
	blob, err := c.Result.Pack()
	if err != nil {
		return refuse(CodeField, "result", "%v", err)
	}
	d.out.Blobs = append(d.out.Blobs, blob)
	return d.log(KindSimulated, HeatSimulated{ID: d.newID("h"), Plan: now.ID, Item: p.ID, Level: c.Result.Level, Blob: store.HashOf(blob), Readings: refs, When: d.now})
}

// HeatOf gives the simulations of a place, the newest last, and whether the last
// one is of the plan in force.
func (j *Job) HeatOf(item string) (all []Logged[HeatSimulated], current bool) {
	for _, s := range j.Simulated {
		if s.Is.Item == item {
			all = append(all, s)
		}
	}
	p := j.Plan()
	return all, len(all) > 0 && p != nil && all[len(all)-1].Is.Plan == p.ID
}

// TorchLit gives the torch clocks of a place, in the order in which they were
// started.
func (j *Job) TorchLit(item string) (all []Clock) {
	for _, c := range j.Clocks {
		if c.What == TorchClock && c.Item == item {
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(a, b Clock) int { return a.Started.Compare(b.Started) })
	return all
}
