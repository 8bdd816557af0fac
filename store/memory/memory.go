// Package memory keeps a book in memory. It serves tests and demos, and is the
// working part of adapters whose medium can only be read and written as a whole:
// such an adapter gives a Medium, which must have a change on disk before it
// answers.
package memory

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"iter"
	"maps"
	"slices"
	"sync"

	"soundmetal/store"
)

// Medium is where changes go before they count. It may be nil.
type Medium interface {
	// Write puts the entries and files of one change on disk, all or nothing.
	Write(ctx context.Context, entries []store.Entry, blobs map[store.Hash][]byte) error
	// Blob gives a file, or store.ErrNoBlob.
	Blob(ctx context.Context, h store.Hash) ([]byte, error)
	// PutSnapshot keeps a snapshot.
	PutSnapshot(ctx context.Context, s store.Snapshot) error
}

// Store is a book in memory.
type Store struct {
	medium Medium

	mu        sync.RWMutex
	logs      map[string][]store.Entry // by device, in sequence
	keys      map[string][]place       // entries of a batch by its key
	jobs      map[string][]place       // entries of a job, in order of arrival
	heads     map[string]store.Head
	blobs     map[store.Hash][]byte // nil bytes: in the medium only
	sizes     map[store.Hash]int64
	snapshots map[string]store.Snapshot
}

// place is where an entry stands.
type place struct {
	device string
	seq    int64
}

var _ store.Store = (*Store)(nil)

// New makes an empty book.
func New() *Store {
	return &Store{logs: map[string][]store.Entry{}, keys: map[string][]place{}, jobs: map[string][]place{}, heads: map[string]store.Head{},
		blobs: map[store.Hash][]byte{}, sizes: map[store.Hash]int64{}, snapshots: map[string]store.Snapshot{}}
}

// Open makes a book of what a medium holds: its entries, log by log in
// sequence, its files by size and its snapshots. Damaged entries are kept;
// Verify and Load report them.
func Open(m Medium, entries []store.Entry, blobs map[store.Hash]int64, snapshots []store.Snapshot) *Store {
	s := New()
	s.medium = m
	s.add(entries)
	maps.Copy(s.sizes, blobs)
	for _, snap := range snapshots {
		s.snapshots[snap.Name] = snap
	}
	return s
}

// Append is described at store.Store.
func (s *Store) Append(ctx context.Context, b store.Batch) (store.Appended, error) {
	if err := ctx.Err(); err != nil {
		return store.Appended{}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if places, ok := s.keys[b.Key]; ok {
		return store.Appended{Entries: s.at(places), Again: true}, nil
	}
	if b.After != store.Anywhere && b.After != s.mark() {
		return store.Appended{}, store.ErrMoved
	}
	head := s.heads[b.Device]
	head.Device = b.Device
	entries, err := store.Seal(head, store.LatestOf(slices.Collect(maps.Values(s.heads))), b)
	if err != nil {
		return store.Appended{}, err
	}
	for i := range entries {
		entries[i].Body = bytes.Clone(entries[i].Body)
	}
	fresh := map[store.Hash][]byte{}
	for _, data := range b.Blobs {
		if h := store.HashOf(data); s.sizes[h] == 0 {
			fresh[h] = bytes.Clone(data)
		}
	}
	if err := s.write(ctx, entries, fresh); err != nil {
		return store.Appended{}, err
	}
	return store.Appended{Entries: slices.Clone(entries)}, nil
}

// write puts a change into the medium and then into memory.
func (s *Store) write(ctx context.Context, entries []store.Entry, blobs map[store.Hash][]byte) error {
	if s.medium != nil && len(entries)+len(blobs) > 0 {
		if err := s.medium.Write(ctx, entries, blobs); err != nil {
			return err
		}
	}
	s.add(entries)
	for h, data := range blobs {
		s.sizes[h] = int64(len(data))
		if s.medium == nil {
			s.blobs[h] = data
		}
	}
	return nil
}

func (s *Store) add(entries []store.Entry) {
	for _, e := range entries {
		p := place{e.Device, e.Seq}
		s.logs[e.Device] = append(s.logs[e.Device], e)
		s.keys[e.Key] = append(s.keys[e.Key], p)
		s.jobs[e.Job] = append(s.jobs[e.Job], p)
		s.heads[e.Device] = e.Head()
	}
}

func (s *Store) at(places []place) []store.Entry {
	all := make([]store.Entry, len(places))
	for i, p := range places {
		all[i] = s.entry(p)
	}
	return all
}

// entry finds an entry. The place in the log is the sequence number, but for a
// medium that gave a log with entries missing.
func (s *Store) entry(p place) store.Entry {
	log := s.logs[p.device]
	if i := int(p.seq) - 1; i >= 0 && i < len(log) && log[i].Seq == p.seq {
		return log[i]
	}
	return log[slices.IndexFunc(log, func(e store.Entry) bool { return e.Seq == p.seq })]
}

func (s *Store) mark() store.Mark {
	var n int64
	for _, h := range s.heads {
		n += h.Seq
	}
	return store.Mark(n)
}

// Find is described at store.Store.
func (s *Store) Find(ctx context.Context, key string) ([]store.Entry, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mu.RLock()
	defer s.mu.RUnlock()
	return s.at(s.keys[key]), nil
}

// Receive is described at store.Store.
func (s *Store) Receive(ctx context.Context, entries []store.Entry) ([]store.Entry, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	fresh, err := store.Admit(maps.Clone(s.heads), func(device string, seq int64) (store.Hash, error) {
		return s.entry(place{device, seq}).Hash, nil
	}, entries)
	if err != nil {
		return nil, err
	}
	for i := range fresh {
		fresh[i].Body = bytes.Clone(fresh[i].Body)
	}
	if err := s.write(ctx, fresh, nil); err != nil {
		return nil, err
	}
	return slices.Clone(fresh), nil
}

// Load is described at store.Store.
func (s *Store) Load(ctx context.Context, q store.Query) iter.Seq2[store.Entry, error] {
	return func(yield func(store.Entry, error) bool) {
		for _, e := range s.find(q) {
			if err := ctx.Err(); err != nil {
				yield(store.Entry{}, err)
				return
			}
			if !yield(e, e.Check()) {
				return
			}
		}
	}
}

func (s *Store) find(q store.Query) []store.Entry {
	s.mu.RLock()
	defer s.mu.RUnlock()
	var all []store.Entry
	if q.Jobs == nil {
		for device, log := range s.logs {
			all = append(all, after(log, q.After[device])...)
		}
	}
	for i, job := range q.Jobs {
		if slices.Index(q.Jobs, job) != i {
			continue
		}
		for _, e := range s.at(s.jobs[job]) {
			if !q.After.Has(&e) {
				all = append(all, e)
			}
		}
	}
	slices.SortFunc(all, func(a, b store.Entry) int { return a.Compare(&b) })
	return all
}

// after gives the entries of a log beyond a sequence number.
func after(log []store.Entry, seq int64) []store.Entry {
	from, _ := slices.BinarySearchFunc(log, seq, func(e store.Entry, seq int64) int { return cmp.Compare(e.Seq, seq+1) })
	return log[from:]
}

// Since is described at store.Store.
func (s *Store) Since(ctx context.Context, seen store.Vector, limit int) ([]store.Entry, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mu.RLock()
	defer s.mu.RUnlock()
	var all []store.Entry
	for _, device := range slices.Sorted(maps.Keys(s.logs)) {
		more := after(s.logs[device], seen[device])
		all = append(all, more[:min(len(more), limit-len(all))]...)
	}
	return all, nil
}

// Heads is described at store.Store.
func (s *Store) Heads(ctx context.Context) ([]store.Head, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mu.RLock()
	defer s.mu.RUnlock()
	var all []store.Head
	for _, device := range slices.Sorted(maps.Keys(s.heads)) {
		all = append(all, s.heads[device])
	}
	return all, nil
}

// PutBlob is described at store.Store.
func (s *Store) PutBlob(ctx context.Context, data []byte) (store.Hash, error) {
	if err := store.CheckBlob(data); err != nil {
		return store.Hash{}, err
	}
	h := store.HashOf(data)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.sizes[h] > 0 {
		return h, nil
	}
	return h, s.write(ctx, nil, map[store.Hash][]byte{h: bytes.Clone(data)})
}

// Blob is described at store.Store.
func (s *Store) Blob(ctx context.Context, h store.Hash) ([]byte, error) {
	s.mu.RLock()
	data, size := s.blobs[h], s.sizes[h]
	s.mu.RUnlock()
	if size == 0 {
		return nil, store.ErrNoBlob
	}
	if s.medium != nil {
		var err error
		if data, err = s.medium.Blob(ctx, h); err != nil {
			return nil, err
		}
	}
	if store.HashOf(data) != h {
		return nil, store.ErrDamagedBlob
	}
	return bytes.Clone(data), nil
}

// Blobs is described at store.Store.
func (s *Store) Blobs(ctx context.Context) ([]store.BlobInfo, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.mu.RLock()
	defer s.mu.RUnlock()
	all := make([]store.BlobInfo, 0, len(s.sizes))
	for h, size := range s.sizes {
		all = append(all, store.BlobInfo{Hash: h, Size: size})
	}
	slices.SortFunc(all, func(a, b store.BlobInfo) int { return bytes.Compare(a.Hash[:], b.Hash[:]) })
	return all, nil
}

// PutSnapshot is described at store.Store.
func (s *Store) PutSnapshot(ctx context.Context, snap store.Snapshot) error {
	snap.Data, snap.Vector = bytes.Clone(snap.Data), snap.Vector.Clone()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.medium != nil {
		if err := s.medium.PutSnapshot(ctx, snap); err != nil {
			return err
		}
	}
	s.snapshots[snap.Name] = snap
	return nil
}

// Snapshot is described at store.Store.
func (s *Store) Snapshot(ctx context.Context, name string) (store.Snapshot, error) {
	if err := ctx.Err(); err != nil {
		return store.Snapshot{}, err
	}
	s.mu.RLock()
	defer s.mu.RUnlock()
	snap, ok := s.snapshots[name]
	if !ok {
		return store.Snapshot{}, store.ErrNoSnapshot
	}
	snap.Data, snap.Vector = bytes.Clone(snap.Data), snap.Vector.Clone()
	return snap, nil
}

// Verify is described at store.Store.
func (s *Store) Verify(ctx context.Context) (store.Report, error) {
	infos, err := s.Blobs(ctx)
	if err != nil {
		return store.Report{}, err
	}
	r := store.Report{Blobs: len(infos)}
	s.mu.RLock()
	for _, device := range slices.Sorted(maps.Keys(s.logs)) {
		r.Devices++
		c := store.Checker{Device: device}
		for _, e := range s.logs[device] {
			r.Entries++
			c.Add(&e)
		}
		r.Faults = append(r.Faults, c.Faults...)
	}
	s.mu.RUnlock()
	for _, info := range infos {
		if _, err := s.Blob(ctx, info.Hash); err != nil {
			r.Other = append(r.Other, fmt.Sprintf("file %s: %v", info.Hash, err))
		}
	}
	return r, ctx.Err()
}

// Close is described at store.Store.
func (s *Store) Close() error { return nil }
