package book

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"sync"

	"soundmetal/store"
	"soundmetal/task"
)

// Book is a job book on a store. Its methods may be called at the same time.
// Nothing is held in it alone: it can be thrown away and opened again at any
// moment.
type Book struct {
	store  store.Store
	device string
	price  Pricer

	mu     sync.Mutex
	state  *State
	recent []string // jobs folded in memory, the last used at the end
	since  store.Mark
	faults []*store.Fault
}

const (
	keepJobs      = 48   // jobs kept folded in memory
	snapshotEvery = 2000 // entries
	tries         = 8    // of a command that others get ahead of
)

// Options are choices for a book.
type Options struct {
	Price Pricer // nil: changes are shown without money
}

// Open reads the book of a store. Device is the id under which this host logs.
// Entries that are damaged are left out and reported by Faults; the book opens
// all the same.
func Open(ctx context.Context, st store.Store, device string, o Options) (*Book, error) {
	if err := store.CheckDevice(device); err != nil {
		return nil, err
	}
	b := &Book{store: st, device: device, price: o.Price}
	b.mu.Lock()
	defer b.mu.Unlock()
	return b, b.reload(ctx)
}

// reload folds the store from its snapshot, or from the start.
func (b *Book) reload(ctx context.Context) error {
	b.state, b.recent, b.faults = NewState(), nil, nil
	snap, err := b.store.Snapshot(ctx, snapshotName)
	switch {
	case err == nil:
		if s, err := restore(snap); err == nil {
			b.state, b.since = s, s.vector.Mark()
		}
	case !errors.Is(err, store.ErrNoSnapshot):
		return err
	}
	return b.catchUp(ctx)
}

// catchUp folds what the store has and the state has not.
func (b *Book) catchUp(ctx context.Context) error {
	var fresh []store.Entry
	for e, err := range b.store.Load(ctx, store.Query{After: b.state.vector}) {
		var fault *store.Fault
		switch {
		case errors.As(err, &fault):
			b.note(fault)
		case err != nil:
			return err
		default:
			fresh = append(fresh, e)
		}
	}
	return b.fold(ctx, fresh)
}

func (b *Book) note(f *store.Fault) {
	if !slices.ContainsFunc(b.faults, func(o *store.Fault) bool { return *o == *f }) {
		b.faults = append(b.faults, f)
	}
}

// fold folds entries that are stored. A job that is not in memory, and what
// belongs to no job, is read whole from the store, which has the new entries too.
func (b *Book) fold(ctx context.Context, entries []store.Entry) error {
	ctx = context.WithoutCancel(ctx) // half folded, the state would never show the other half
	touched := map[string]bool{}
	for i := range entries {
		e := &entries[i]
		if !b.state.enter(e) {
			continue
		}
		if st := b.state.streams[e.Job]; st != nil {
			st.add(decode(e))
		}
		touched[e.Job] = true
	}
	for id := range touched {
		if b.state.streams[id] == nil {
			if err := b.read(ctx, id); err != nil {
				return err
			}
		}
		b.state.touch(b.state.streams[id])
		b.use(id)
	}
	b.keep(ctx)
	return nil
}

// read folds a job from its entries in the store.
func (b *Book) read(ctx context.Context, id string) error {
	st := &stream{id: id}
	for e, err := range b.store.Load(ctx, store.Query{Jobs: []string{id}}) {
		var fault *store.Fault
		switch {
		case errors.As(err, &fault):
			b.note(fault)
		case err != nil:
			return err
		case b.state.vector.Has(&e): // what came since is folded in its turn
			st.add(decode(&e))
		}
	}
	if len(st.records) == 0 && id != "" {
		return noJob(id)
	}
	b.state.streams[id] = st
	return nil
}

// use marks a job as used and lets go of the ones not used for long.
func (b *Book) use(id string) {
	if id == "" {
		return // what belongs to no job stays
	}
	if i := slices.Index(b.recent, id); i >= 0 {
		b.recent = slices.Delete(b.recent, i, i+1)
	}
	b.recent = append(b.recent, id)
	for len(b.recent) > keepJobs {
		delete(b.state.streams, b.recent[0])
		b.recent = b.recent[1:]
	}
}

// keep writes a snapshot when enough has come since the last one.
func (b *Book) keep(ctx context.Context) {
	if mark := b.state.vector.Mark(); mark-b.since >= snapshotEvery {
		if snap, err := b.state.snapshot(); err == nil {
			b.store.PutSnapshot(ctx, snap) // where it fails a start takes longer; the entries are the truth
		}
		b.since = mark
	}
}

// view is the book while a command is decided.
type view struct {
	b   *Book
	ctx context.Context
}

func (v view) Registry() *Registry         { return v.b.state.registry }
func (v view) Job(id string) (*Job, error) { return v.b.job(v.ctx, id) }

func (b *Book) job(ctx context.Context, id string) (*Job, error) {
	if b.state.cards[id] == nil {
		return nil, noJob(id)
	}
	if b.state.streams[id] == nil {
		if err := b.read(ctx, id); err != nil {
			return nil, err
		}
	}
	b.use(id)
	return b.state.streams[id].fold(), nil
}

// Job gives a job as it stands.
func (b *Book) Job(ctx context.Context, id string) (*Job, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.job(ctx, id)
}

// List gives cards of jobs, those that are due first, and how many there are.
func (b *Book) List(q ListQuery) (cards []Card, total int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state.List(q)
}

// Card gives the card of a job.
func (b *Book) Card(id string) (Card, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state.Card(id)
}

// OnMachine lists the jobs on a machine, the newest first: where it holds more
// than the job at hand, the machine has cracked before.
func (b *Book) OnMachine(machine string) []Card {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state.OnMachine(machine)
}

// Registry gives a copy of what belongs to no job.
func (b *Book) Registry() *Registry {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state.registry.clone()
}

// Faults are the damaged entries that were met so far.
func (b *Book) Faults() []*store.Fault {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.faults)
}

// Strange are entries of no job that have no effect, of those that were read
// since the book was opened.
func (b *Book) Strange() []Strange {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.state.Strange())
}

// Mark counts the entries of the book: it rises with every change, and tells a
// page whether what it shows is still current.
func (b *Book) Mark() store.Mark {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state.vector.Mark()
}

// Device is the id under which this book logs.
func (b *Book) Device() string { return b.device }

// Plan gives a plan of the job, in force or old, as it was made. Its JSON is
// that of docs/plan-format.md. The error is store.ErrNoBlob where the file has
// not reached this device yet.
func (b *Book) Plan(ctx context.Context, v *PlanVersion) (PlanFile, error) {
	data, err := b.store.Blob(ctx, v.Blob)
	if err != nil {
		return PlanFile{}, err
	}
	return ReadPlanFile(data)
}

// Heat gives a kept simulation. The error is store.ErrNoBlob where the file has
// not reached this device yet.
func (b *Book) Heat(ctx context.Context, s HeatSimulated) (*task.Result, error) {
	data, err := b.store.Blob(ctx, s.Blob)
	if err != nil {
		return nil, err
	}
	return task.Unpack(data)
}

// Blob gives the bytes of a photo.
func (b *Book) Blob(ctx context.Context, h store.Hash) ([]byte, error) { return b.store.Blob(ctx, h) }

// Receive takes entries of other devices. See store.Store.
func (b *Book) Receive(ctx context.Context, entries []store.Entry) ([]store.Entry, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	fresh, err := b.store.Receive(ctx, entries)
	if err != nil {
		return nil, err
	}
	// they are stored: whoever sent them may have gone, the state follows all the same
	return fresh, b.catchUp(context.WithoutCancel(ctx))
}

// Refresh folds what others have written into the store: another process, or an
// import.
func (b *Book) Refresh(ctx context.Context) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.catchUp(ctx)
}

// Store is the store of the book, for sync, backup and export.
func (b *Book) Store() store.Store { return b.store }

// held are the files that a store has.
func held(ctx context.Context, st store.Store) (map[store.Hash]bool, error) {
	infos, err := st.Blobs(ctx)
	if err != nil {
		return nil, err
	}
	have := make(map[store.Hash]bool, len(infos))
	for _, i := range infos {
		have[i.Hash] = true
	}
	return have, nil
}

// Wanted lists the files that entries name and that are not here: what a sync
// still has to bring.
func (b *Book) Wanted(ctx context.Context) ([]store.Hash, error) {
	have, err := held(ctx, b.store)
	if err != nil {
		return nil, err
	}
	var all []store.Hash
	for e, err := range b.store.Load(ctx, store.Query{}) {
		var fault *store.Fault
		if errors.As(err, &fault) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if h, ok := FileOf(&e); ok && !have[h] {
			have[h] = true
			all = append(all, h)
		}
	}
	return all, nil
}

// FileOf is the file that an entry names, or the entry that it carries: a photo,
// a kept plan, a kept simulation.
func FileOf(e *store.Entry) (store.Hash, bool) {
	in, _, err := original(e)
	if k := Kind(in.Kind); err != nil || k != KindPlan && k != KindPhoto && k != KindSimulated {
		return store.Hash{}, false
	}
	var b struct {
		Blob store.Hash `json:"blob"`
	}
	if json.Unmarshal(in.Body, &b) != nil || b.Blob.IsZero() {
		return store.Hash{}, false
	}
	return b.Blob, true
}
