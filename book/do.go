package book

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"soundmetal/store"
)

// Result is what a command has come to.
type Result struct {
	Job        string      // the job it is about, or has opened
	Made       string      // id of what it made: a job, a place, a tin, a clock, a change; may be ""
	Entries    []Ref       // what was logged
	Again      bool        // the same form was already carried out: this is its result
	Deviations []Deviation // that it shows: tell the welder at once
}

// Do carries out a command. The key is of the form that was sent: sent twice, it
// is carried out once, and both get the same result. When Do returns without
// error the entries are on disk. A *Refusal says why nothing was done.
func (b *Book) Do(ctx context.Context, now time.Time, key string, cmd Command) (Result, error) {
	if err := store.CheckKey(key); err != nil {
		return Result{}, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	for range tries {
		r, err := b.try(ctx, now, key, cmd)
		if !errors.Is(err, store.ErrMoved) {
			return r, err
		}
		if err := b.catchUp(ctx); err != nil {
			return Result{}, err
		}
	}
	return Result{}, fmt.Errorf("others write into this book without pause; try again")
}

func (b *Book) try(ctx context.Context, now time.Time, key string, cmd Command) (Result, error) {
	if known, err := b.store.Find(ctx, key); err != nil {
		return Result{}, err
	} else if len(known) > 0 {
		if err := b.catchUp(ctx); err != nil {
			return Result{}, err
		}
		return b.result(ctx, cmd, known, true)
	}
	d, err := Decide(view{b, ctx}, now, key, cmd, b.price)
	if err != nil {
		if heads, errHeads := b.store.Heads(ctx); errHeads == nil && store.VectorOf(heads).Mark() != b.state.vector.Mark() {
			return Result{}, store.ErrMoved // refused on an old state: look again
		}
		return Result{}, err
	}
	out, err := b.store.Append(ctx, store.Batch{Device: b.device, Key: key, Now: now, After: b.state.vector.Mark(), Drafts: d.Drafts, Blobs: d.Blobs})
	if err != nil {
		return Result{}, err
	}
	if err := b.fold(ctx, out.Entries); err != nil {
		return Result{}, err
	}
	return b.result(ctx, cmd, out.Entries, out.Again)
}

// result says what entries have come to. It depends on the entries alone, so
// that a form sent twice gets the same answer twice.
func (b *Book) result(ctx context.Context, cmd Command, entries []store.Entry, again bool) (Result, error) {
	r := Result{Job: cmd.about(), Again: again}
	rank := 0
	for i := range entries {
		e := &entries[i]
		if e.Device != entries[0].Device {
			continue // the same form reached two devices; the first one counts
		}
		r.Entries = append(r.Entries, RefOf(e))
		if r.Job == "" && e.Job != "" {
			r.Job = e.Job
		}
		if made, n := madeBy(e); n > rank {
			r.Made, rank = made, n
		}
	}
	if r.Job == "" {
		return r, nil
	}
	j, err := b.job(ctx, r.Job)
	if err != nil {
		return r, err
	}
	for _, d := range j.Deviations {
		if slices.Contains(r.Entries, d.Ref) {
			r.Deviations = append(r.Deviations, d)
		}
	}
	return r, nil
}

// madeBy is the id of what an entry makes, where a page must know it; of the
// entries of a batch the one with the highest rank counts.
func madeBy(e *store.Entry) (id string, rank int) {
	switch b := decode(e).body.(type) {
	case JobOpened:
		return e.Job, 5
	case TinOpened:
		return b.ID, 4
	case ClockStarted:
		return b.ID, 4
	case DamageFound:
		return b.Change, 3
	case FactsSet:
		if len(b.Items) == 1 {
			return b.Items[0].ID, 2
		}
	case CustomerSet:
		return b.ID, 1
	case MachineSet:
		return b.ID, 1
	}
	return "", 0
}
