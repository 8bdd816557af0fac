// Package store keeps the entries of the job book and the files that belong to
// them: it is the port between the book, which knows what an entry means, and
// the adapters, which keep the bytes.
//
// A book is the union of the logs of its devices. A log is a hash chain: every
// entry holds the hash of the one before it, so that no entry can be changed,
// left out or moved without being noticed. Sync exchanges logs by sequence
// number; see Receive and Since.
//
// Adapters: store/memory, store/sqlite and, on the phone, store/browser. The
// suite in store/storetest holds each of them to what is written here.
package store

import (
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"time"
)

// Store keeps entries and blobs. Its methods may be called at the same time.
type Store interface {
	// Append seals the drafts of a batch into entries of the device's log and
	// stores them with the blobs, all or nothing. When it returns without error
	// they are on disk. A key that the book already knows, from whichever
	// device, gives the entries of that batch again and stores nothing.
	Append(ctx context.Context, b Batch) (Appended, error)

	// Find gives the entries that came with an idempotency key; none where the
	// book does not know it.
	Find(ctx context.Context, key string) ([]Entry, error)

	// Receive takes sealed entries of any device's log, all or nothing. Each
	// log must go on where it ends here; entries that are already here are
	// passed over. It gives the entries that were new. A *Fault says which
	// entry of which device was refused.
	Receive(ctx context.Context, entries []Entry) ([]Entry, error)

	// Load gives the entries that the query asks for, in the order of Compare.
	// An entry that is damaged comes with a *Fault and the reading goes on; any
	// other error ends it.
	Load(ctx context.Context, q Query) iter.Seq2[Entry, error]

	// Since gives entries that a reader with the vector has not seen, log by
	// log in sequence, at most limit of them; none means that it has all.
	Since(ctx context.Context, seen Vector, limit int) ([]Entry, error)

	// Heads gives the end of each device's log, by device.
	Heads(ctx context.Context) ([]Head, error)

	// PutBlob stores a file under the hash of its bytes.
	PutBlob(ctx context.Context, data []byte) (Hash, error)

	// Blob gives a file. The error is ErrNoBlob where it is not here, and
	// ErrDamagedBlob where its bytes are not those of the hash.
	Blob(ctx context.Context, h Hash) ([]byte, error)

	// Blobs lists the files that are here, by hash.
	Blobs(ctx context.Context) ([]BlobInfo, error)

	// PutSnapshot keeps a snapshot in place of the last one of its name.
	PutSnapshot(ctx context.Context, s Snapshot) error

	// Snapshot gives the last snapshot of the name, or ErrNoSnapshot.
	Snapshot(ctx context.Context, name string) (Snapshot, error)

	// Verify reads everything and reports every fault.
	Verify(ctx context.Context) (Report, error)

	// Close ends the use of the store.
	Close() error
}

// Backuper is a store that can write a copy of itself while it is in use.
type Backuper interface {
	// Backup writes a whole and verified copy to a new file.
	Backup(ctx context.Context, path string) error
}

// Draft is an entry before it is sealed.
type Draft struct {
	Kind string
	Job  string
	Body json.RawMessage
}

// Batch is what one request adds.
type Batch struct {
	Device string
	Key    string    // idempotency key: the same form sent twice has the same key
	Now    time.Time // what the device's clock reads
	After  Mark      // entries in the store when this was decided, or Anywhere
	Later  Clock     // the entries get clocks later than this; zero: than those of the store
	Drafts []Draft
	Blobs  [][]byte
}

// Mark counts the entries in a store, those of all devices together.
type Mark int64

// Anywhere says that the batch holds whatever came in between.
const Anywhere Mark = -1

// Appended is what Append has stored.
type Appended struct {
	Entries []Entry
	Again   bool // the key was known: these were stored before
}

// Query says which entries to load.
type Query struct {
	Jobs  []string // of these jobs; nil: of all. The empty id is what belongs to no job
	After Vector   // that are not in this vector; nil: all
}

// Vector says how far each device's log is known: device to sequence number.
type Vector map[string]int64

// Mark counts the entries in the vector.
func (v Vector) Mark() Mark {
	var n int64
	for _, seq := range v {
		n += seq
	}
	return Mark(n)
}

// Has says whether the entry is in the vector.
func (v Vector) Has(e *Entry) bool { return e.Seq <= v[e.Device] }

// Clone is a copy that may be changed.
func (v Vector) Clone() Vector { return maps.Clone(v) }

// Head is the end of one device's log.
type Head struct {
	Device string `json:"device"`
	Seq    int64  `json:"seq"`
	Hash   Hash   `json:"hash"`
	Clock  Clock  `json:"clock"`
}

// VectorOf gives the vector that the heads stand for.
func VectorOf(heads []Head) Vector {
	v := make(Vector, len(heads))
	for _, h := range heads {
		v[h.Device] = h.Seq
	}
	return v
}

// LatestOf gives the latest clock of the heads.
func LatestOf(heads []Head) Clock {
	var c Clock
	for _, h := range heads {
		if h.Clock.Compare(c) > 0 {
			c = h.Clock
		}
	}
	return c
}

// BlobInfo is a stored file without its bytes.
type BlobInfo struct {
	Hash Hash  `json:"hash"`
	Size int64 `json:"size"`
}

// Snapshot is a folded state, so that a start need not read all entries again.
// It can be thrown away at any time: the entries are the truth.
type Snapshot struct {
	Name    string
	Version int    // of the fold that made it; another version's is of no use
	Vector  Vector // the entries that went into it
	Latest  Clock  // latest clock of those entries
	Data    []byte
}

// Report is the outcome of Verify.
type Report struct {
	Devices int      `json:"devices"`
	Entries int64    `json:"entries"`
	Blobs   int      `json:"blobs"`
	Faults  []*Fault `json:"faults,omitempty"`
	Other   []string `json:"other,omitempty"` // damage that is not of one entry: a blob, the database file
}

// OK says that nothing is wrong.
func (r Report) OK() bool { return len(r.Faults) == 0 && len(r.Other) == 0 }

// String says it in a line.
func (r Report) String() string {
	s := fmt.Sprintf("%d entries of %d devices, %d files", r.Entries, r.Devices, r.Blobs)
	if r.OK() {
		return s + ": every hash holds"
	}
	for _, f := range r.Faults {
		s += "; " + f.Error()
	}
	for _, o := range r.Other {
		s += "; " + o
	}
	return s
}

// Check refuses a batch that no store may take.
func (b *Batch) Check() error {
	if err := CheckDevice(b.Device); err != nil {
		return err
	}
	if err := CheckKey(b.Key); err != nil {
		return err
	}
	if len(b.Drafts) == 0 || len(b.Drafts) > MaxBatch {
		return fmt.Errorf("%d entries in one batch: 1 to %d are accepted", len(b.Drafts), MaxBatch)
	}
	for _, blob := range b.Blobs {
		if err := CheckBlob(blob); err != nil {
			return err
		}
	}
	return nil
}

// CheckBlob refuses a file that is empty or too large.
func CheckBlob(data []byte) error {
	if len(data) == 0 || len(data) > MaxBlob {
		return fmt.Errorf("a file of %d bytes: 1 to %d are accepted", len(data), MaxBlob)
	}
	return nil
}

// Seal turns the drafts of a batch into the entries that follow head. latest is
// the latest clock of all devices; where the batch knows a later one, that. Adapters call it inside their transaction.
func Seal(head Head, latest Clock, b Batch) ([]Entry, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	wall := b.Now.UnixMilli()
	if b.Later.Compare(latest) > 0 {
		latest = b.Later
	}
	entries := make([]Entry, len(b.Drafts))
	for i, d := range b.Drafts {
		latest = latest.Next(wall)
		e := Entry{Device: b.Device, Seq: head.Seq + 1, Prev: head.Hash, Clock: latest, Wall: wall,
			Kind: d.Kind, Job: d.Job, Key: b.Key, Body: d.Body}
		if err := e.checkForm(); err != nil {
			return nil, err
		}
		e.Hash = e.Sum()
		head = e.Head()
		entries[i] = e
	}
	return entries, nil
}

// Head is the end of the log that the entry makes.
func (e *Entry) Head() Head { return Head{e.Device, e.Seq, e.Hash, e.Clock} }

// Follows says whether the entry is the next of the log that ends with head.
// The error is a *Fault. The entry itself is not checked; see Check.
func (e *Entry) Follows(head Head) error {
	fault := func(k FaultKind, text string) error { return &Fault{e.Device, e.Seq, k, text} }
	switch {
	case e.Seq > head.Seq+1:
		return fault(Gap, fmt.Sprintf("entries %d to %d before it are missing", head.Seq+1, e.Seq-1))
	case e.Seq != head.Seq+1:
		return fault(Forked, fmt.Sprintf("the log already has %d entries", head.Seq))
	case e.Prev != head.Hash:
		return fault(Broken, "it does not follow the entry before it: an entry was changed, moved or taken out")
	case head.Seq > 0 && e.Clock.Compare(head.Clock) <= 0:
		return fault(Broken, "its clock is not later than that of the entry before it")
	}
	return nil
}

// Admit says which of the received entries are new and what the heads are then.
// heads is by device and is changed; known gives the hash of an entry that is
// already stored. Adapters call it inside their transaction.
func Admit(heads map[string]Head, known func(device string, seq int64) (Hash, error), entries []Entry) ([]Entry, error) {
	type place struct {
		device string
		seq    int64
	}
	var fresh []Entry
	came := map[place]Hash{}
	for i := range entries {
		e := &entries[i]
		if err := e.Check(); err != nil {
			return nil, err
		}
		if head := heads[e.Device]; e.Seq > head.Seq {
			if err := e.Follows(head); err != nil {
				return nil, err
			}
			heads[e.Device] = e.Head()
			came[place{e.Device, e.Seq}] = e.Hash
			fresh = append(fresh, *e)
			continue
		}
		h, ok := came[place{e.Device, e.Seq}]
		if !ok {
			var err error
			if h, err = known(e.Device, e.Seq); err != nil {
				return nil, err
			}
		}
		if h != e.Hash {
			return nil, &Fault{e.Device, e.Seq, Forked, "another entry stands here at this place: the log was written twice, from a copy"}
		}
	}
	return fresh, nil
}
