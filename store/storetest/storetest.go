// Package storetest holds every adapter of a store to what package store says.
package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"soundmetal/store"
)

// Adapter is what is tested.
type Adapter struct {
	New    func(t *testing.T) store.Store                // an empty store
	Reopen func(t *testing.T, s store.Store) store.Store // closes it and opens it again; nil where nothing survives that
}

// Run runs the whole suite.
func Run(t *testing.T, a Adapter) {
	for _, c := range []struct {
		name string
		test func(*testing.T, Adapter)
	}{
		{"AppendChains", appendChains},
		{"AppendIsAllOrNothing", allOrNothing},
		{"SameKeySameResult", sameKey},
		{"SameKeyAtOnce", sameKeyAtOnce},
		{"DecidedOnOldState", moved},
		{"ClockSetBack", clockSetBack},
		{"ClockAhead", clockAhead},
		{"RefusesBadBatches", badBatches},
		{"ReceiveUnion", receiveUnion},
		{"ReceiveRefuses", receiveRefuses},
		{"ReceiveIsAllOrNothing", receiveAllOrNothing},
		{"AppendAfterReceive", appendAfterReceive},
		{"LoadQueries", loadQueries},
		{"LoadStops", loadStops},
		{"SinceInParts", sinceInParts},
		{"Blobs", blobs},
		{"Snapshots", snapshots},
		{"WritersAndReaders", writersAndReaders},
		{"Cancelled", cancelled},
		{"CallerKeepsItsBytes", callerBytes},
		{"VerifyClean", verifyClean},
		{"SurvivesReopen", survives},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, a) })
	}
}

// Noon is a fixed time for tests.
var Noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// Batch makes a batch of n notes.
func Batch(device, key, job string, n int) store.Batch {
	b := store.Batch{Device: device, Key: key, Now: Noon, After: store.Anywhere}
	for i := range n {
		b.Drafts = append(b.Drafts, store.Draft{Kind: "note.added", Job: job, Body: json.RawMessage(fmt.Sprintf(`{"text":"%s/%d","sign":"ä <&> ∑"}`, key, i))})
	}
	return b
}

func ok(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func add(t *testing.T, s store.Store, b store.Batch) []store.Entry {
	t.Helper()
	out, err := s.Append(t.Context(), b)
	ok(t, err)
	return out.Entries
}

func all(t *testing.T, s store.Store, q store.Query) []store.Entry {
	t.Helper()
	var list []store.Entry
	for e, err := range s.Load(t.Context(), q) {
		ok(t, err)
		list = append(list, e)
	}
	return list
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("%s: want - got +\n%s", what, d)
	}
}

func appendChains(t *testing.T, a Adapter) {
	s := a.New(t)
	first := add(t, s, Batch("phone", "k1", "j1", 2))
	second := add(t, s, Batch("phone", "k2", "j2", 1))
	list := append(slices.Clone(first), second...)
	for i, e := range list {
		if e.Seq != int64(i+1) {
			t.Errorf("entry %d has sequence number %d", i+1, e.Seq)
		}
		ok(t, e.Check())
		if i > 0 {
			ok(t, e.Follows(list[i-1].Head()))
		}
	}
	heads, err := s.Heads(t.Context())
	ok(t, err)
	same(t, "heads", heads, []store.Head{list[2].Head()})
	same(t, "loaded", all(t, s, store.Query{}), list)
}

func allOrNothing(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", "k1", "j1", 3)
	b.Drafts[2].Body = json.RawMessage(`{"text": "spaces"}`)
	b.Blobs = [][]byte{[]byte("photo")}
	if _, err := s.Append(t.Context(), b); err == nil {
		t.Error("a body that is not compact was taken")
	}
	if n := len(all(t, s, store.Query{})); n != 0 {
		t.Errorf("%d entries were stored of a refused batch", n)
	}
	if _, err := s.Blob(t.Context(), store.HashOf(b.Blobs[0])); !errors.Is(err, store.ErrNoBlob) {
		t.Errorf("a file was stored of a refused batch: %v", err)
	}
	known, err := s.Find(t.Context(), "k1")
	ok(t, err)
	if len(known) != 0 {
		t.Error("the key of a refused batch is known")
	}
}

func sameKey(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", "form-7", "j1", 2)
	first, err := s.Append(t.Context(), b)
	ok(t, err)
	add(t, s, Batch("phone", "other", "j1", 1))
	b.Now = b.Now.Add(time.Hour)
	b.After = 0 // decided long ago: the key counts first
	b.Drafts = b.Drafts[:1]
	again, err := s.Append(t.Context(), b)
	ok(t, err)
	if first.Again || !again.Again {
		t.Errorf("Again: first %v, second %v", first.Again, again.Again)
	}
	same(t, "second result", again.Entries, first.Entries)
	found, err := s.Find(t.Context(), "form-7")
	ok(t, err)
	same(t, "found", found, first.Entries)
	if n := len(all(t, s, store.Query{})); n != 3 {
		t.Errorf("%d entries, want 3", n)
	}
	b.Device = "laptop"
	elsewhere, err := s.Append(t.Context(), b)
	ok(t, err)
	same(t, "result on another device", elsewhere.Entries, first.Entries)
}

func sameKeyAtOnce(t *testing.T, a Adapter) {
	s := a.New(t)
	var wg sync.WaitGroup
	results := make([]store.Appended, 8)
	errs := make([]error, 8)
	for i := range results {
		wg.Go(func() { results[i], errs[i] = s.Append(context.Background(), Batch("phone", "one", "j1", 2)) })
	}
	wg.Wait()
	fresh := 0
	for i, r := range results {
		ok(t, errs[i])
		if !r.Again {
			fresh++
		}
		same(t, "result", r.Entries, results[0].Entries)
	}
	if fresh != 1 {
		t.Errorf("%d of 8 were stored, want 1", fresh)
	}
}

func moved(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", "k1", "j1", 2)
	b.After = 0
	add(t, s, b)
	b = Batch("laptop", "k2", "j1", 1)
	b.After = 0
	if _, err := s.Append(t.Context(), b); !errors.Is(err, store.ErrMoved) {
		t.Errorf("decided on an empty book: %v, want ErrMoved", err)
	}
	b.After = 2
	add(t, s, b)
}

func clockSetBack(t *testing.T, a Adapter) {
	s := a.New(t)
	first := add(t, s, Batch("phone", "k1", "j1", 1))
	b := Batch("phone", "k2", "j1", 3)
	b.Now = Noon.Add(-24 * time.Hour)
	second := add(t, s, b)
	before := first[0].Clock
	for _, e := range second {
		if e.Clock.Compare(before) <= 0 {
			t.Errorf("clock %v after %v", e.Clock, before)
		}
		if e.Wall != b.Now.UnixMilli() {
			t.Errorf("wall clock %d, want what the device read, %d", e.Wall, b.Now.UnixMilli())
		}
		before = e.Clock
	}
	report, err := s.Verify(t.Context())
	ok(t, err)
	if !report.OK() {
		t.Error(report)
	}
}

func clockAhead(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", "k1", "j1", 1)
	b.Now = Noon.Add(24 * time.Hour) // a day ahead
	ahead := add(t, s, b)
	after := add(t, s, Batch("laptop", "k2", "j1", 1))
	if after[0].Clock.Compare(ahead[0].Clock) <= 0 {
		t.Error("an entry of another device, made after it, stands before it")
	}
}

func badBatches(t *testing.T, a Adapter) {
	s := a.New(t)
	for name, change := range map[string]func(*store.Batch){
		"no entries":       func(b *store.Batch) { b.Drafts = nil },
		"too many":         func(b *store.Batch) { *b = Batch("phone", "k", "j", store.MaxBatch+1) },
		"device in caps":   func(b *store.Batch) { b.Device = "Phone" },
		"device of a path": func(b *store.Batch) { b.Device = "../x" },
		"no key":           func(b *store.Batch) { b.Key = "" },
		"key with a space": func(b *store.Batch) { b.Key = "a b" },
		"kind in caps":     func(b *store.Batch) { b.Drafts[0].Kind = "Note" },
		"no kind":          func(b *store.Batch) { b.Drafts[0].Kind = "" },
		"job of a path":    func(b *store.Batch) { b.Drafts[0].Job = "a/b" },
		"no body":          func(b *store.Batch) { b.Drafts[0].Body = nil },
		"body a list":      func(b *store.Batch) { b.Drafts[0].Body = json.RawMessage(`[]`) },
		"body cut off":     func(b *store.Batch) { b.Drafts[0].Body = json.RawMessage(`{"a":1`) },
		"body not UTF-8":   func(b *store.Batch) { b.Drafts[0].Body = json.RawMessage("{\"a\":\"\xff\"}") },
		"body too long": func(b *store.Batch) {
			b.Drafts[0].Body = json.RawMessage(`{"a":"` + string(make([]byte, store.MaxBody)) + `"}`)
		},
		"time before 1970": func(b *store.Batch) { b.Now = time.Unix(-10, 0) },
		"empty file":       func(b *store.Batch) { b.Blobs = [][]byte{{}} },
		"file too large":   func(b *store.Batch) { b.Blobs = [][]byte{make([]byte, store.MaxBlob+1)} },
	} {
		b := Batch("phone", "key-"+name[:2], "j1", 1)
		change(&b)
		if _, err := s.Append(t.Context(), b); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if n := len(all(t, s, store.Query{})); n != 0 {
		t.Errorf("%d entries were stored", n)
	}
}

// Logs makes the logs of two devices, each in a store of its own.
func Logs(t *testing.T, a Adapter) (phone, laptop []store.Entry) {
	t.Helper()
	own := a.New(t)
	phone = append(phone, add(t, own, Batch("phone", "p1", "j1", 2))...)
	phone = append(phone, add(t, own, Batch("phone", "p2", "j2", 2))...)
	s := a.New(t)
	laptop = append(laptop, add(t, s, Batch("laptop", "l1", "j1", 1))...)
	laptop = append(laptop, add(t, s, Batch("laptop", "l2", "", 2))...)
	return phone, laptop
}

func receiveUnion(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	want := append(slices.Clone(phone), laptop...)
	slices.SortFunc(want, func(x, y store.Entry) int { return x.Compare(&y) })
	for name, parts := range map[string][][]store.Entry{
		"one log, then the other": {phone, laptop},
		"in turns":                {laptop[:1], phone[:2], laptop[1:], phone[2:]},
		"overlapping":             {phone[:3], phone[1:], laptop, laptop, phone},
		"mixed in one call":       {{phone[0], laptop[0], phone[1], laptop[1], phone[2]}, {laptop[2], phone[3]}},
		"twice in one call":       {append(slices.Clone(phone), phone...), laptop},
	} {
		s := a.New(t)
		n := 0
		for _, p := range parts {
			fresh, err := s.Receive(t.Context(), p)
			ok(t, err)
			n += len(fresh)
		}
		if n != len(want) {
			t.Errorf("%s: %d entries were new, want %d", name, n, len(want))
		}
		same(t, name, all(t, s, store.Query{}), want)
	}
}

func receiveRefuses(t *testing.T, a Adapter) {
	phone, _ := Logs(t, a)
	forged := slices.Clone(phone)
	forged[1].Body = json.RawMessage(`{"text":"forged"}`)
	resealed := slices.Clone(forged) // with its own hash put right: the next entry does not follow it
	resealed[1].Hash = resealed[1].Sum()
	reordered := []store.Entry{phone[1], phone[0]}
	fork := slices.Clone(phone[:1])
	fork[0].Body = json.RawMessage(`{"text":"other"}`)
	fork[0].Hash = fork[0].Sum()
	back := slices.Clone(phone[:2])
	back[1].Clock = back[0].Clock
	back[1].Hash = back[1].Sum()
	malformed := slices.Clone(phone[:1])
	malformed[0].Kind = "No Kind"
	malformed[0].Hash = malformed[0].Sum()
	for _, c := range []struct {
		name   string
		have   []store.Entry
		send   []store.Entry
		device string
		seq    int64
		kind   store.FaultKind
	}{
		{"changed", nil, forged, "phone", 2, store.Damaged},
		{"changed and sealed again", nil, resealed, "phone", 3, store.Broken},
		{"in the wrong order", nil, reordered, "phone", 2, store.Gap},
		{"one left out", nil, []store.Entry{phone[0], phone[2]}, "phone", 3, store.Gap},
		{"begins in the middle", nil, phone[1:], "phone", 2, store.Gap},
		{"another entry at the same place", phone, fork, "phone", 1, store.Forked},
		{"clock not later", nil, back, "phone", 2, store.Broken},
		{"not an entry", nil, malformed, "phone", 1, store.Malformed},
	} {
		s := a.New(t)
		if c.have != nil {
			_, err := s.Receive(t.Context(), c.have)
			ok(t, err)
		}
		_, err := s.Receive(t.Context(), c.send)
		var f *store.Fault
		if !errors.As(err, &f) {
			t.Errorf("%s: %v, want a fault", c.name, err)
			continue
		}
		if f.Device != c.device || f.Seq != c.seq || f.Kind != c.kind {
			t.Errorf("%s: %s %d of %s, want %s %d of %s", c.name, f.Kind, f.Seq, f.Device, c.kind, c.seq, c.device)
		}
		same(t, c.name+": stored", len(all(t, s, store.Query{})), len(c.have))
	}
}

func receiveAllOrNothing(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	s := a.New(t)
	if _, err := s.Receive(t.Context(), append(slices.Clone(laptop), phone[1:]...)); err == nil {
		t.Error("a log with its beginning missing was taken")
	}
	if n := len(all(t, s, store.Query{})); n != 0 {
		t.Errorf("%d entries were stored of a refused call", n)
	}
}

func appendAfterReceive(t *testing.T, a Adapter) {
	phone, _ := Logs(t, a)
	s := a.New(t)
	_, err := s.Receive(t.Context(), phone)
	ok(t, err)
	more := add(t, s, Batch("phone", "p3", "j1", 1)) // the device's own log, brought back
	ok(t, more[0].Follows(phone[3].Head()))
	known, err := s.Append(t.Context(), Batch("laptop", "p1", "j1", 1))
	ok(t, err)
	if !known.Again {
		t.Error("the key of a received batch is not known")
	}
}

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

func sinceInParts(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	s := a.New(t)
	_, err := s.Receive(t.Context(), append(slices.Clone(phone), laptop...))
	ok(t, err)
	for limit := 1; limit <= 8; limit++ {
		other, seen := a.New(t), store.Vector{}
		for {
			part, err := s.Since(t.Context(), seen, limit)
			ok(t, err)
			if len(part) == 0 {
				break
			}
			if len(part) > limit {
				t.Fatalf("%d entries, limit %d", len(part), limit)
			}
			if _, err := other.Receive(t.Context(), part); err != nil {
				t.Fatalf("limit %d: %v", limit, err)
			}
			for _, e := range part {
				seen[e.Device] = e.Seq
			}
		}
		same(t, fmt.Sprintf("limit %d", limit), all(t, other, store.Query{}), all(t, s, store.Query{}))
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

func writersAndReaders(t *testing.T, a Adapter) {
	s := a.New(t)
	var wg sync.WaitGroup
	errs := make(chan error, 100)
	const each = 15
	for w := range 4 {
		wg.Go(func() {
			for i := range each {
				if _, err := s.Append(context.Background(), Batch(fmt.Sprintf("device%d", w%2), fmt.Sprintf("w%d-%d", w, i), "j1", 2)); err != nil {
					errs <- err
				}
			}
		})
	}
	for range 2 {
		wg.Go(func() {
			for range 10 {
				seen := map[string]int64{}
				for e, err := range s.Load(context.Background(), store.Query{Jobs: []string{"j1"}}) {
					switch {
					case err != nil:
						errs <- err
					case e.Seq != seen[e.Device]+1:
						errs <- fmt.Errorf("entry %d of %s after %d", e.Seq, e.Device, seen[e.Device])
					}
					seen[e.Device] = e.Seq
				}
				for device, n := range seen {
					if n%2 != 0 {
						errs <- fmt.Errorf("%s: half a batch was seen", device)
					}
				}
			}
		})
	}
	wg.Wait()
	close(errs)
	for err := range errs {
		t.Error(err)
	}
	report, err := s.Verify(t.Context())
	ok(t, err)
	if !report.OK() || report.Entries != 4*each*2 {
		t.Error(report)
	}
}

func cancelled(t *testing.T, a Adapter) {
	s := a.New(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Append(ctx, Batch("phone", "k1", "j1", 1)); err == nil {
		t.Error("a cancelled request was stored")
	}
	for _, err := range s.Load(ctx, store.Query{}) {
		if err == nil {
			t.Error("a cancelled reading gave an entry")
		}
	}
	add(t, s, Batch("phone", "k1", "j1", 1))
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
