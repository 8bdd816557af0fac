// Package storetest holds every adapter of a store to what package store says.
package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
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
		{"ClockLater", clockLater},
		{"LongCarried", longCarried},
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

// clockLater: a batch that knows of entries outside this store comes after them.
func clockLater(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", "k1", "j1", 2)
	b.Later = store.Clock{MS: Noon.Add(24 * time.Hour).UnixMilli(), N: 7}
	got := add(t, s, b)
	if got[0].Clock.Compare(b.Later) <= 0 || got[1].Clock.Compare(got[0].Clock) <= 0 {
		t.Errorf("clocks %v and %v, want later than %v", got[0].Clock, got[1].Clock, b.Later)
	}
	b = Batch("phone", "k2", "j1", 1)
	b.Later = store.Clock{MS: 1}
	if again := add(t, s, b); again[0].Clock.Compare(got[1].Clock) <= 0 {
		t.Errorf("clock %v after %v", again[0].Clock, got[1].Clock)
	}
}

// longCarried: an entry of the greatest length can be carried.
func longCarried(t *testing.T, a Adapter) {
	s := a.New(t)
	b := Batch("phone", strings.Repeat("k", store.MaxKey), "j1", 1)
	b.Drafts[0].Body = json.RawMessage(`{"a":"` + strings.Repeat("x", store.MaxBody-8) + `"}`)
	line, err := (&add(t, s, b)[0]).Line()
	ok(t, err)
	b = Batch("laptop", "k2", "j1", 1)
	b.Drafts[0] = store.Draft{Kind: store.Carried, Job: "j1", Body: json.RawMessage(`{"entry":` + string(line) + `}`)}
	carried := add(t, s, b)
	other := a.New(t)
	if _, err := other.Receive(t.Context(), carried); err != nil {
		t.Error(err)
	}
	b.Key, b.Drafts[0].Kind = "k3", "note.added"
	if _, err := s.Append(t.Context(), b); err == nil {
		t.Error("a body of another kind may be as long")
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
