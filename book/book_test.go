//go:build !js

package book_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/store/sqlite"
)

func openFile(t testing.TB, path string) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// A restart in the middle of the work shows the same job.
func TestRestart(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	st := openFile(t, path)
	w := benchOn(t, st, "office")
	w.open("blade-arm.yaml")
	w.passAll("cut")
	before := asJSON(t, w.is())
	st.Close()
	again := benchOn(t, openFile(t, path), "office")
	again.job, again.place, again.now, again.keys = w.job, w.place, w.now, w.keys
	if after := asJSON(t, again.is()); after != before {
		t.Errorf("before:\n%s\nafter:\n%s", before, after)
	}
	again.do(book.LogGouge{Job: again.job, GougeDone: book.GougeDone{Side: 1}})
}

// notes makes entries of many jobs straight in the store.
func notes(t testing.TB, st store.Store, device string, jobs, each int) {
	t.Helper()
	for i := range jobs {
		b := store.Batch{Device: device, Key: fmt.Sprintf("%s-job-%d", device, i), Now: morning.Add(time.Duration(i) * time.Second), After: store.Anywhere}
		id := fmt.Sprintf("j%06d", i)
		body, _ := json.Marshal(book.JobOpened{Name: fmt.Sprintf("job %d", i), Units: "si", Machine: fmt.Sprintf("m%d", i%7)})
		b.Drafts = append(b.Drafts, store.Draft{Kind: string(book.KindOpened), Job: id, Body: body})
		for k := range each {
			body, _ := json.Marshal(book.Note{Text: fmt.Sprintf("note %d", k), When: b.Now})
			b.Drafts = append(b.Drafts, store.Draft{Kind: string(book.KindNote), Job: id, Body: body})
		}
		if _, err := st.Append(context.Background(), b); err != nil {
			t.Fatal(err)
		}
	}
}

// A start from a snapshot shows the same as one from the first entry, and jobs
// that are not in memory are read when they are asked for.
func TestSnapshot(t *testing.T) {
	st := memory.New()
	notes(t, st, "office", 1500, 1) // 3000 entries
	first := benchOn(t, st, "office")
	if _, err := st.Snapshot(t.Context(), "book"); err != nil {
		t.Fatal("no snapshot after 3000 entries: ", err)
	}
	first.job = "j000003"
	first.do(book.AddNote{Job: "j000003", Text: "later"}) // beyond the snapshot
	first.do(book.SetCustomer{ID: "c1", Set: map[string]string{"name": "Coldwater"}})
	second := benchOn(t, st, "office")
	second.job = "j000003"
	for what, show := range map[string]func(w *bench) any{
		"list":     func(w *bench) any { c, n := w.b.List(book.ListQuery{Limit: 2000}); return []any{c, n} },
		"job":      func(w *bench) any { return w.is() },
		"machines": func(w *bench) any { return w.b.OnMachine("m3") },
		"customer": func(w *bench) any { return w.b.Registry().Customers() },
	} {
		if a, b := asJSON(t, show(first)), asJSON(t, show(second)); a != b {
			t.Errorf("%s: without snapshot\n%.300s\nwith\n%.300s", what, a, b)
		}
	}
	if n := len(second.is().Notes); n != 2 {
		t.Errorf("%d notes, want 2", n)
	}
	snap, _ := st.Snapshot(t.Context(), "book")
	for name, change := range map[string]func(s *store.Snapshot){
		"of another version": func(s *store.Snapshot) { s.Version++ },
		"damaged":            func(s *store.Snapshot) { s.Data = s.Data[:len(s.Data)/2] },
		"not JSON":           func(s *store.Snapshot) { s.Data = []byte("x") },
	} {
		bad := snap
		change(&bad)
		if err := st.PutSnapshot(t.Context(), bad); err != nil {
			t.Fatal(err)
		}
		third := benchOn(t, st, "office")
		if a, n := third.b.List(book.ListQuery{}); n != 1500 || len(a) != 50 {
			t.Errorf("%s: %d jobs", name, n)
		}
	}
}

// Two programs on one store: what one decides on an old state is decided again.
func TestTwoBooksOnOneStore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	a, b := benchOn(t, openFile(t, path), "office"), benchOn(t, openFile(t, path), "office-2")
	a.job = a.do(plate()).Job
	if err := b.b.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for i, w := range []*bench{a, b} {
		wg.Go(func() {
			for k := range 15 {
				if _, err := w.b.Do(context.Background(), morning.Add(time.Hour), fmt.Sprintf("n-%d-%d", i, k), book.AddNote{Job: a.job, Text: "x"}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if err := errors.Join(a.b.Refresh(t.Context()), b.b.Refresh(t.Context())); err != nil {
		t.Fatal(err)
	}
	b.job = a.job
	if n := len(a.is().Notes); n != 30 || asJSON(t, a.is()) != asJSON(t, b.is()) {
		t.Errorf("%d notes, want 30 and the same on both", n)
	}
	// A tin put away on one cannot be put away again on the other.
	tin := a.do(book.OpenTin{Job: a.job, Class: "E7018"}).Made
	b.now = a.now
	b.do(book.PutAwayTin{Job: a.job, Tin: tin, Into: book.IntoOven}) // which b has not seen opened yet
	var no *book.Refusal
	if _, err := a.try(book.PutAwayTin{Job: a.job, Tin: tin, Into: book.IntoOven}); !errors.As(err, &no) || !strings.Contains(no.Text, "already put away") {
		t.Errorf("decided on an old state: %v", err)
	}
}

// A damaged entry is reported with its device and number; the book opens, and
// everything else is shown.
func TestDamagedEntry(t *testing.T) {
	w := ready(t)
	w.do(book.AddNote{Job: w.job, Text: "before"})
	w.do(book.AddNote{Job: w.job, Text: "after"})
	entries := since(t, w.st)
	at := len(entries) - 2
	entries[at].Body = json.RawMessage(`{"text":"forged","when":"2026-03-02T08:00:00Z"}`)
	again := benchOn(t, memory.Open(nil, entries, nil, nil), "office")
	again.job = w.job
	j := again.is()
	if len(j.Notes) != 1 || j.Notes[0].Is.Text != "after" {
		t.Errorf("notes: %+v", j.Notes)
	}
	f := again.b.Faults()
	if len(f) != 1 || f[0].Device != "office" || f[0].Seq != int64(at+1) {
		t.Errorf("faults: %v", f)
	}
	again.now, again.keys = w.now, 999
	again.do(book.AddNote{Job: w.job, Text: "and goes on"})
}

// Entries of a newer build are kept and shown as such.
func TestNewerEntries(t *testing.T) {
	w := ready(t)
	for i, d := range []store.Draft{
		{Kind: "weld.sung", Job: w.job, Body: []byte(`{"song":"low"}`)},
		{Kind: "reading", Job: w.job, Body: []byte(`{"bead":"seven"}`)},
		{Kind: "moon.set", Body: []byte(`{}`)},
		{Kind: "note.added", Job: w.job, Body: []byte(`{"text":"more","when":"2026-03-02T08:00:00Z","mood":"good"}`)},
	} {
		if _, err := w.st.Append(t.Context(), store.Batch{Device: "phone", Key: fmt.Sprint("x", i), Now: w.now, After: store.Anywhere, Drafts: []store.Draft{d}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.b.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	j := w.is()
	if len(j.Strange) != 2 || !strings.Contains(j.Strange[0].Why, "newer") || len(w.b.Strange()) != 1 {
		t.Errorf("%+v, %+v", j.Strange, w.b.Strange())
	}
	if len(j.Notes) != 1 || j.Notes[0].Is.Text != "more" {
		t.Errorf("a known entry with an unknown field: %+v", j.Notes)
	}
}

func TestList(t *testing.T) {
	w := newBench(t)
	var ids []string
	for i := range 5 {
		p := plate()
		p.Name = fmt.Sprintf("plate %d", i)
		p.MachineFields = map[string]string{"kind": "screen", "serial": fmt.Sprint("S", i)}
		p.Demo = i == 4
		ids = append(ids, w.do(p).Job)
	}
	names := func(q book.ListQuery) string {
		cards, _ := w.b.List(q)
		var all []string
		for _, c := range cards {
			all = append(all, strings.TrimPrefix(c.Name, "plate "))
		}
		return strings.Join(all, " ")
	}
	if got := names(book.ListQuery{}); got != "4 3 2 1 0" {
		t.Errorf("last touched first: %s", got)
	}
	w.do(book.StartClock{Job: ids[1], What: book.WaitClock, For: 3600})
	w.do(book.StartClock{Job: ids[0], What: book.WaitClock, For: 600})
	w.do(book.Close{Job: ids[3], By: "me", Done: "only looked", NotExamined: []string{"all"}})
	if got := names(book.ListQuery{}); got != "0 1 4 2 3" {
		t.Errorf("what is due first, closed last: %s", got)
	}
	if got := names(book.ListQuery{Offset: 1, Limit: 2}); got != "1 4" {
		t.Errorf("a page: %s", got)
	}
	if got := names(book.ListQuery{Status: book.JobClosed}); got != "3" {
		t.Errorf("closed: %s", got)
	}
	if got := names(book.ListQuery{Text: "PLATE 2 coldwater"}); got != "2" {
		t.Errorf("by words: %s", got)
	}
	w.do(book.AddNote{Job: ids[1], Text: "the grease line runs behind the Gusset"})
	note := w.do(book.AddNote{Job: ids[0], Text: "the gusset is bent"}).Entries[0]
	w.do(book.SetFacts{Job: ids[2], Set: map[string]string{"site.where": "Lower quay", "customer.name": "Harbour Sheds", "customer.phone": "555 0199"}})
	w.do(book.Correct{Job: ids[0], Of: note, Reason: "another part", Void: true})
	for text, want := range map[string]string{"gusset": "1", "GREASE plate": "1", "quay": "2", "harbour sheds": "2", "0199": "2", "s3": "3", "only looked": "3", "nothing of that": ""} {
		if got := names(book.ListQuery{Text: text}); got != want {
			t.Errorf("found by %q: %q, want %q", text, got, want)
		}
	}
	card, _ := w.b.Card(ids[2])
	if got := names(book.ListQuery{Machine: card.Machine}); got != "2" {
		t.Errorf("by machine: %s", got)
	}
	if got := names(book.ListQuery{Customer: card.Customer}); got != "2" {
		t.Errorf("by customer: %s", got)
	}
	w.do(book.SetSettings{Set: map[string]string{"demo": "cleared"}})
	if got := names(book.ListQuery{}); got != "0 1 2 3" {
		t.Errorf("with the demo cleared: %s", got)
	}
}

// What a sync still has to bring.
func TestWanted(t *testing.T) {
	w := small(t)
	other := benchOn(t, memory.New(), "phone-2")
	if _, err := other.b.Receive(t.Context(), since(t, w.st)); err != nil {
		t.Fatal(err)
	}
	wanted, err := other.b.Wanted(t.Context())
	if err != nil || len(wanted) != 2 {
		t.Fatalf("%v, %v", wanted, err)
	}
	other.job = w.job
	if _, err := other.b.Plan(t.Context(), other.is().Plan()); !errors.Is(err, store.ErrNoBlob) {
		t.Errorf("a plan that is not here yet: %v", err)
	}
	for _, h := range wanted {
		data, err := w.b.Blob(t.Context(), h)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := other.st.PutBlob(t.Context(), data); err != nil {
			t.Fatal(err)
		}
	}
	if wanted, _ := other.b.Wanted(t.Context()); len(wanted) != 0 {
		t.Errorf("still wanted: %v", wanted)
	}
}

// gone is a store whose caller goes away just after it has taken something.
type gone struct {
	store.Store
	leave context.CancelFunc
}

func (g gone) Receive(ctx context.Context, entries []store.Entry) ([]store.Entry, error) {
	fresh, err := g.Store.Receive(ctx, entries)
	g.leave()
	return fresh, err
}

func (g gone) Append(ctx context.Context, b store.Batch) (store.Appended, error) {
	out, err := g.Store.Append(ctx, b)
	g.leave()
	return out, err
}

// What is stored is shown, also where the connection of its sender broke off in
// the moment after.
func TestSenderGone(t *testing.T) {
	w := small(t)
	ctx, leave := context.WithCancel(t.Context())
	b, err := book.Open(t.Context(), gone{memory.New(), leave}, "phone-2", book.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Receive(ctx, since(t, w.st)); err != nil {
		t.Fatal(err)
	}
	if b.Mark() != w.b.Mark() {
		t.Errorf("%d entries are shown of %d", b.Mark(), w.b.Mark())
	}
	there, errThere := b.Job(t.Context(), w.job)
	here, errHere := w.b.Job(t.Context(), w.job)
	if errors.Join(errThere, errHere) != nil || len(there.Log) != len(here.Log) {
		t.Fatalf("%v, %v", errThere, errHere)
	}
	ctx, leave = context.WithCancel(t.Context())
	b, err = book.Open(t.Context(), gone{b.Store().(gone).Store, leave}, "phone-2", book.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Do(ctx, w.now, "note-1", book.AddNote{Job: w.job, Text: "still here"}); err != nil {
		t.Fatal(err)
	}
	if there, err = b.Job(t.Context(), w.job); err != nil || len(there.Log) != len(here.Log)+1 {
		t.Errorf("the note is stored and not shown: %d lines, %v", len(there.Log), err)
	}
}
