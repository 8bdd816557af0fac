package storetest

import (
	"errors"
	"slices"
	"testing"

	"soundmetal/store"
)

func loadQueries(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	s := a.New(t)
	_, err := s.Receive(t.Context(), append(slices.Clone(phone), laptop...))
	ok(t, err)
	every := all(t, s, store.Query{})
	for _, c := range []struct {
		name  string
		query store.Query
		want  func(store.Entry) bool
	}{
		{"a job", store.Query{Jobs: []string{"j1"}}, func(e store.Entry) bool { return e.Job == "j1" }},
		{"no job", store.Query{Jobs: []string{""}}, func(e store.Entry) bool { return e.Job == "" }},
		{"two jobs, one named twice", store.Query{Jobs: []string{"j2", "j1", "j2"}}, func(e store.Entry) bool { return e.Job != "" }},
		{"unknown job", store.Query{Jobs: []string{"j9"}}, func(store.Entry) bool { return false }},
		{"of no jobs", store.Query{Jobs: []string{}}, func(store.Entry) bool { return false }},
		{"after a vector", store.Query{After: store.Vector{"phone": 3, "laptop": 1}}, func(e store.Entry) bool {
			return e.Device == "phone" && e.Seq > 3 || e.Device == "laptop" && e.Seq > 1
		}},
		{"after one device", store.Query{After: store.Vector{"phone": 4}}, func(e store.Entry) bool { return e.Device == "laptop" }},
		{"after all", store.Query{After: store.Vector{"phone": 4, "laptop": 3}}, func(store.Entry) bool { return false }},
		{"after more than there is", store.Query{After: store.Vector{"phone": 99, "tablet": 7, "laptop": 99}}, func(store.Entry) bool { return false }},
		{"a job after a vector", store.Query{Jobs: []string{"j1"}, After: store.Vector{"phone": 1}}, func(e store.Entry) bool {
			return e.Job == "j1" && (e.Device == "laptop" || e.Seq > 1)
		}},
	} {
		var want []store.Entry
		for _, e := range every {
			if c.want(e) {
				want = append(want, e)
			}
		}
		same(t, c.name, all(t, s, c.query), want)
	}
}

func loadStops(t *testing.T, a Adapter) {
	s := a.New(t)
	add(t, s, Batch("phone", "k1", "j1", 20))
	n := 0
	for range s.Load(t.Context(), store.Query{}) {
		if n++; n == 3 {
			break
		}
	}
	add(t, s, Batch("phone", "k2", "j1", 1)) // and nothing is left locked
	for e, err := range s.Load(t.Context(), store.Query{}) {
		ok(t, err)
		if e.Seq == 1 { // other calls work while one is read
			add(t, s, Batch("phone", "k3", "j1", 1))
			if _, err := s.Heads(t.Context()); err != nil {
				t.Error(err)
			}
		}
	}
}

func blobs(t *testing.T, a Adapter) {
	s := a.New(t)
	data := []byte("a picture\x00\xff")
	h, err := s.PutBlob(t.Context(), data)
	ok(t, err)
	if h != store.HashOf(data) {
		t.Error("the hash is not that of the bytes")
	}
	again, err := s.PutBlob(t.Context(), data)
	ok(t, err)
	same(t, "hash", again, h)
	got, err := s.Blob(t.Context(), h)
	ok(t, err)
	same(t, "bytes", got, data)
	b := Batch("phone", "k1", "j1", 1)
	b.Blobs = [][]byte{[]byte("another"), data}
	add(t, s, b)
	infos, err := s.Blobs(t.Context())
	ok(t, err)
	if len(infos) != 2 || infos[0].Size+infos[1].Size != int64(len(data)+len("another")) {
		t.Errorf("files: %v", infos)
	}
	if !slices.IsSortedFunc(infos, func(x, y store.BlobInfo) int { return slices.Compare(x.Hash[:], y.Hash[:]) }) {
		t.Error("files are not in the order of their hashes")
	}
	if _, err := s.Blob(t.Context(), store.HashOf([]byte("none"))); !errors.Is(err, store.ErrNoBlob) {
		t.Errorf("a file that is not there: %v", err)
	}
	if _, err := s.PutBlob(t.Context(), nil); err == nil {
		t.Error("an empty file was taken")
	}
	if _, err := s.PutBlob(t.Context(), make([]byte, store.MaxBlob+1)); err == nil {
		t.Error("a file above the limit was taken")
	}
}

func snapshots(t *testing.T, a Adapter) {
	s := a.New(t)
	if _, err := s.Snapshot(t.Context(), "book"); !errors.Is(err, store.ErrNoSnapshot) {
		t.Errorf("no snapshot: %v", err)
	}
	first := store.Snapshot{Name: "book", Version: 1, Vector: store.Vector{"phone": 3}, Latest: store.Clock{MS: 9, N: 4}, Data: []byte("{}")}
	ok(t, s.PutSnapshot(t.Context(), first))
	second := store.Snapshot{Name: "book", Version: 2, Vector: store.Vector{"phone": 4, "laptop": 1}, Latest: store.Clock{MS: 10}, Data: []byte("{\"a\":1}")}
	ok(t, s.PutSnapshot(t.Context(), second))
	got, err := s.Snapshot(t.Context(), "book")
	ok(t, err)
	same(t, "snapshot", got, second)
}

func callerBytes(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", "k1", "j1", 1)
	blob := []byte("picture")
	b.Blobs = [][]byte{blob}
	h := store.HashOf(blob)
	add(t, s, b)
	copy(b.Drafts[0].Body, `{"text":"X`)
	copy(blob, "PICTURE")
	ok(t, all(t, s, store.Query{})[0].Check())
	got, err := s.Blob(t.Context(), h)
	ok(t, err)
	copy(got, "xxxxxxx")
	if _, err := s.Blob(t.Context(), h); err != nil {
		t.Error(err)
	}
}

func verifyClean(t *testing.T, a Adapter) {
	s := a.New(t)
	report, err := s.Verify(t.Context())
	ok(t, err)
	if !report.OK() || report.Entries != 0 {
		t.Error(report)
	}
	b := Batch("phone", "k1", "j1", 5)
	b.Blobs = [][]byte{[]byte("picture")}
	add(t, s, b)
	add(t, s, Batch("laptop", "k2", "j1", 2))
	report, err = s.Verify(t.Context())
	ok(t, err)
	same(t, "report", report, store.Report{Devices: 2, Entries: 7, Blobs: 1})
}

func survives(t *testing.T, a Adapter) {
	if a.Reopen == nil {
		t.Skip("nothing of this adapter survives its end")
	}
	s := a.New(t)
	b := Batch("phone", "k1", "j1", 3)
	b.Blobs = [][]byte{[]byte("picture")}
	add(t, s, b)
	snap := store.Snapshot{Name: "book", Version: 1, Vector: store.Vector{"phone": 3}, Data: []byte("{}")}
	ok(t, s.PutSnapshot(t.Context(), snap))
	want := all(t, s, store.Query{})
	s = a.Reopen(t, s)
	same(t, "entries", all(t, s, store.Query{}), want)
	got, err := s.Snapshot(t.Context(), "book")
	ok(t, err)
	same(t, "snapshot", got, snap)
	_, err = s.Blob(t.Context(), store.HashOf(b.Blobs[0]))
	ok(t, err)
	again, err := s.Append(t.Context(), b)
	ok(t, err)
	if !again.Again {
		t.Error("the key is forgotten")
	}
	more := add(t, s, Batch("phone", "k2", "j1", 1))
	ok(t, more[0].Follows(want[2].Head()))
}
