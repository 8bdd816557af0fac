package exchange

import (
	"context"
	"errors"
	"slices"
	"sync"

	"soundmetal/book"
	"soundmetal/store"
)

// index knows which files the entries of a book name. It reads each entry once.
type index struct {
	mu    sync.Mutex
	seen  store.Vector
	named map[store.Hash]place
	order []store.Hash
}

// place is the entry that names a file, the first one that was met.
type place struct {
	device string
	seq    int64
}

// catchUp reads the entries that came since.
func (x *index) catchUp(ctx context.Context, st store.Store) error {
	if x.named == nil {
		x.seen, x.named = store.Vector{}, map[store.Hash]place{}
	}
	for e, err := range st.Load(ctx, store.Query{After: x.seen.Clone()}) {
		var fault *store.Fault
		if err != nil && !errors.As(err, &fault) {
			return err
		}
		x.seen[e.Device] = max(x.seen[e.Device], e.Seq)
		if h, ok := book.FileOf(&e); err == nil && ok {
			if _, known := x.named[h]; !known {
				x.named[h] = place{e.Device, e.Seq}
				x.order = append(x.order, h)
			}
		}
	}
	return nil
}

// names says whether an entry names the file.
func (x *index) names(ctx context.Context, st store.Store, h store.Hash) (bool, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if err := x.catchUp(ctx, st); err != nil {
		return false, err
	}
	_, ok := x.named[h]
	return ok, nil
}

// wanted lists the files that entries name and that are not here.
func (x *index) wanted(ctx context.Context, st store.Store) ([]store.Hash, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if err := x.catchUp(ctx, st); err != nil {
		return nil, err
	}
	have, err := held(ctx, st)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(x.order), func(h store.Hash) bool { return have[h] }), nil
}

// beyond lists the files of entries that are not in the vector.
func (x *index) beyond(ctx context.Context, st store.Store, v store.Vector) ([]store.Hash, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if err := x.catchUp(ctx, st); err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(x.order), func(h store.Hash) bool {
		at := x.named[h]
		return at.seq <= v[at.device]
	}), nil
}

// held are the files of a store.
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
