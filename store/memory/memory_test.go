package memory_test

import (
	"context"
	"errors"
	"maps"
	"testing"

	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, storetest.Adapter{New: func(t *testing.T) store.Store { return memory.New() }})
}

// medium is a disk as a phone's adapter will have one.
type medium struct {
	entries   []store.Entry
	blobs     map[store.Hash][]byte
	snapshots []store.Snapshot
	full      bool
}

var errFull = errors.New("full")

func (m *medium) Write(_ context.Context, entries []store.Entry, blobs map[store.Hash][]byte) error {
	if m.full {
		return errFull
	}
	m.entries = append(m.entries, entries...)
	maps.Copy(m.blobs, blobs)
	return nil
}

func (m *medium) Blob(_ context.Context, h store.Hash) ([]byte, error) {
	if d, ok := m.blobs[h]; ok {
		return d, nil
	}
	return nil, store.ErrNoBlob
}

func (m *medium) PutSnapshot(_ context.Context, s store.Snapshot) error {
	m.snapshots = append(m.snapshots, s)
	return nil
}

func (m *medium) open() *memory.Store {
	sizes := map[store.Hash]int64{}
	for h, d := range m.blobs {
		sizes[h] = int64(len(d))
	}
	return memory.Open(m, m.entries, sizes, m.snapshots)
}

func TestStoreOnMedium(t *testing.T) {
	var last *medium
	storetest.Run(t, storetest.Adapter{
		New: func(t *testing.T) store.Store {
			last = &medium{blobs: map[store.Hash][]byte{}}
			return last.open()
		},
		Reopen: func(t *testing.T, s store.Store) store.Store { return last.open() },
	})
}

// A change that the medium refuses must not be seen afterwards.
func TestFullMedium(t *testing.T) {
	m := &medium{blobs: map[store.Hash][]byte{}}
	s := m.open()
	if _, err := s.Append(t.Context(), storetest.Batch("phone", "k1", "j1", 1)); err != nil {
		t.Fatal(err)
	}
	m.full = true
	b := storetest.Batch("phone", "k2", "j1", 1)
	if _, err := s.Append(t.Context(), b); !errors.Is(err, errFull) {
		t.Fatalf("full: %v", err)
	}
	heads, _ := s.Heads(t.Context())
	if heads[0].Seq != 1 {
		t.Errorf("%d entries, want 1", heads[0].Seq)
	}
	m.full = false
	out, err := s.Append(t.Context(), b)
	if err != nil || out.Again || out.Entries[0].Seq != 2 {
		t.Errorf("after making room: %+v, %v", out, err)
	}
}

// Damage of the medium is reported with device and number, and the rest is read.
func TestDamagedMedium(t *testing.T) {
	m := &medium{blobs: map[store.Hash][]byte{}}
	if _, err := m.open().Append(t.Context(), storetest.Batch("phone", "k1", "j1", 4)); err != nil {
		t.Fatal(err)
	}
	m.entries[1].Body = []byte(`{"text":"other"}`)
	s := m.open()
	report, err := s.Verify(t.Context())
	if err != nil || len(report.Faults) != 1 || report.Faults[0].Seq != 2 || report.Faults[0].Kind != store.Damaged {
		t.Errorf("%v, %v", report, err)
	}
	good, bad := 0, 0
	for _, err := range s.Load(t.Context(), store.Query{}) {
		if err == nil {
			good++
		} else {
			bad++
		}
	}
	if good != 3 || bad != 1 {
		t.Errorf("%d good, %d damaged, want 3 and 1", good, bad)
	}
	m.entries = append(m.entries[:2:2], m.entries[3])
	report, _ = m.open().Verify(t.Context())
	if len(report.Faults) != 2 || report.Faults[1].Kind != store.Gap || report.Faults[1].Seq != 4 {
		t.Errorf("with entry 3 gone: %v", report)
	}
}
