package book_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// handOver gives a job as a file.
func handOver(t testing.TB, b *book.Book, job string, photos bool) []byte {
	t.Helper()
	f, err := b.JobFile(context.Background(), job, photos)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := f.Write(context.Background(), &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func takeIn(b *book.Book, now time.Time, data []byte) (book.TakenIn, error) {
	f, err := book.OpenJobFile(context.Background(), bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return book.TakenIn{}, err
	}
	return b.TakeIn(context.Background(), now, f)
}

// takes takes a job file in that must be accepted.
func (w *bench) takes(data []byte) book.TakenIn {
	w.Helper()
	r, err := takeIn(w.b, w.now, data)
	if err != nil {
		w.Fatal(err)
	}
	return r
}

// gets brings what another book has by sync.
func (w *bench) gets(entries []store.Entry) {
	w.Helper()
	if _, err := w.b.Receive(w.Context(), entries); err != nil {
		w.Fatal(err)
	}
}

// copyOf makes an empty book that is to get the job of w.
func (w *bench) copyOf(device string) *bench {
	o := benchOn(w.T, memory.New(), device)
	o.job, o.place, o.now = w.job, w.place, w.now.Add(time.Hour)
	return o
}

// In whichever way and order the entries of a job reach a book: it shows the same.
func TestCarriedIsTheSame(t *testing.T) {
	w := small(t)
	r := w.is().Readings[0]
	before := handOver(t, w.b, w.job, true)
	is := r.Is
	is.Temp = book.SI(q.Temperature(151))
	w.do(book.Correct{Job: w.job, Of: r.Ref, Reason: "misread", Body: is})
	after := handOver(t, w.b, w.job, true)
	direct := since(t, w.st)
	want := asJSON(t, w.is())
	middle := w.copyOf("middle") // has it by file and hands it on by file
	middle.takes(after)
	handed := handOver(t, middle.b, w.job, true)
	if !bytes.Equal(handed, after) {
		t.Error("handed on, the file is another one")
	}
	other := w.copyOf("other")
	other.takes(before)
	other.takes(after)
	for _, c := range []struct {
		name string
		by   func(*bench)
	}{
		{"by file", func(o *bench) { o.takes(after) }},
		{"by sync", func(o *bench) { o.gets(direct) }},
		{"by file, then by sync", func(o *bench) { o.takes(after); o.gets(direct) }},
		{"by sync, then by file", func(o *bench) { o.gets(direct); o.takes(after) }},
		{"half by sync, then by file, then the rest", func(o *bench) { o.gets(direct[:20]); o.takes(after); o.gets(direct) }},
		{"before the correction, then after it", func(o *bench) { o.takes(before); o.takes(after) }},
		{"after the correction, then from before it", func(o *bench) { o.takes(after); o.takes(before) }},
		{"handed on by another", func(o *bench) { o.takes(handed) }},
		{"carried by two devices, by sync", func(o *bench) { o.gets(since(t, middle.st)); o.gets(since(t, other.st)) }},
		{"carried by two devices the other way round, then itself", func(o *bench) { o.gets(since(t, other.st)); o.gets(since(t, middle.st)); o.gets(direct) }},
		{"opened anew in between", func(o *bench) {
			o.takes(before)
			o.b = benchOn(t, o.st, "copy").b
			o.takes(after)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := w.copyOf("copy")
			o.T = t
			c.by(o)
			if got := asJSON(t, o.is()); got != want {
				t.Errorf("another job:\n%s\nwant\n%s", got, want)
			}
			a, _ := w.b.Card(w.job)
			b, _ := o.b.Card(w.job)
			if asJSON(t, a) != asJSON(t, b) {
				t.Errorf("another card: %+v, want %+v", b, a)
			}
			if again := o.takes(after); again.Entries != 0 || again.Known == 0 {
				t.Errorf("taken in once more: %+v", again)
			}
			if again := o.takes(after); again.Entries+again.Files != 0 || again.Known == 0 {
				t.Errorf("taken in twice more: %+v", again)
			}
			fresh, err := book.Open(t.Context(), o.st, "copy", book.Options{})
			if err != nil {
				t.Fatal(err)
			}
			o.b = fresh
			if asJSON(t, o.is()) != want {
				t.Error("opened again it is another job")
			}
			if r, err := o.st.Verify(t.Context()); err != nil || !r.OK() {
				t.Errorf("%v, %v", r, err)
			}
		})
	}
}

// Customer, machine and its owner come with the job, and later changes of them
// with a later file.
func TestCarriedParties(t *testing.T) {
	w := newBench(t)
	w.job = w.do(plate()).Job
	owner := w.do(book.SetCustomer{Set: map[string]string{"name": "Hill Rentals"}}).Made
	machine, customer := w.is().Machine, w.is().Customer
	first := handOver(t, w.b, w.job, true)
	w.do(book.SetMachine{ID: machine, Set: map[string]string{"customer": owner}})
	w.do(book.SetCustomer{ID: customer, Set: map[string]string{"phone": "555"}})
	second := handOver(t, w.b, w.job, true)
	for name, files := range map[string][][]byte{"in order": {first, second}, "the later one first": {second, first}} {
		o := w.copyOf("tablet")
		for _, f := range files {
			o.takes(f)
		}
		for _, b := range []*book.Book{o.b, benchOn(t, o.st, "tablet").b} {
			m, _ := b.Registry().Machine(machine)
			c, _ := b.Registry().Customer(customer)
			h, _ := b.Registry().Customer(owner)
			if m.Get("serial") != "VS-2041" || m.Get("customer") != owner || c.Get("phone") != "555" || h.Get("name") != "Hill Rentals" {
				t.Errorf("%s: machine %v, customer %v, owner %v", name, m, c, h)
			}
			if on := b.OnMachine(machine); len(on) != 1 || on[0].ID != w.job {
				t.Errorf("%s: on the machine: %v", name, on)
			}
		}
	}
}

// A book that has the job by file alone works on with it, and both get together.
func TestWorkOnCarried(t *testing.T) {
	w := ready(t)
	w.do(book.FoundMore{Job: w.job, Item: w.place, Text: "longer", Set: map[string]string{"crack.length": "200 mm"}})
	o := w.copyOf("phone")
	o.now = w.now.Add(-30 * 24 * time.Hour) // its clock is a month behind
	o.takes(handOver(t, w.b, w.job, true))
	o.do(book.AcceptChange{Job: w.job, Yes: book.Yes{Name: "A. Lund", How: book.ByPhone}})
	o.do(book.Correct{Job: w.job, Of: o.is().Readings[0].Ref, Void: true, Reason: "wrong gun"})
	o.do(book.AddNote{Job: w.job, Text: "from the phone"})
	j := o.is()
	if j.OpenChange() != nil || !j.Readings[0].Void || len(j.Notes) != 1 {
		t.Errorf("change %+v, reading %+v, %d notes", j.OpenChange(), j.Readings[0], len(j.Notes))
	}
	w.takes(handOver(t, o.b, w.job, true))
	if a, b := asJSON(t, w.is()), asJSON(t, o.is()); a != b {
		t.Errorf("back by file they differ:\n%s\n%s", a, b)
	}
	if r := w.takes(handOver(t, o.b, w.job, true)); r.Entries != 0 {
		t.Errorf("a second time: %+v", r)
	}
	// the whole book goes out and in as any other
	st := memory.New()
	if _, err := take(t, st, export(t, o.st)); err != nil {
		t.Fatal(err)
	}
	third := benchOn(t, st, "third")
	third.job = w.job
	if asJSON(t, third.is()) != asJSON(t, o.is()) {
		t.Error("after the archive it is another job")
	}
	if want, err := third.b.Wanted(t.Context()); err != nil || len(want) != 0 {
		t.Errorf("wanted %v, %v", want, err)
	}
}

// carriedBy seals an entry that carries a line, whatever the line is.
func carriedBy(t *testing.T, device string, seq int, line string, job string) store.Entry {
	t.Helper()
	head := store.Head{Device: device}
	var all []store.Entry
	for i := range seq {
		d := store.Draft{Kind: "note.added", Body: json.RawMessage(`{}`), Job: "other"}
		if i == seq-1 {
			d = store.Draft{Kind: store.Carried, Job: job, Body: json.RawMessage(`{"entry":` + line + `}`)}
		}
		e, err := store.Seal(head, head.Clock, store.Batch{Device: device, Key: fmt.Sprint("c", i), Now: morning, Drafts: []store.Draft{d}})
		if err != nil {
			t.Fatal(err)
		}
		head = e[0].Head()
		all = append(all, e...)
	}
	return all[seq-1]
}

// forged is the entry with another text, a clock that comes first and a hash that
// fits both.
func forged(t *testing.T, e store.Entry, old, is string) string {
	t.Helper()
	e.Body = json.RawMessage(strings.Replace(string(e.Body), old, is, 1))
	e.Clock.MS--
	e.Hash = e.Sum()
	line, err := e.Line()
	if err != nil {
		t.Fatal(err)
	}
	return string(line)
}

// What an entry carries counts only where it is an entry as it was written, and
// an entry of the log itself counts before any other at its place.
func TestCarriedThatIsNotTaken(t *testing.T) {
	w := newBench(t)
	w.job = w.do(plate()).Job
	w.do(book.AddNote{Job: w.job, Text: "as it was written"})
	w.do(book.SetCustomer{ID: "c1", Set: map[string]string{"name": "as it was written"}})
	all := since(t, w.st)
	note, customer := all[len(all)-2], all[len(all)-1]
	line, err := note.Line()
	if err != nil {
		t.Fatal(err)
	}
	other := forged(t, note, "as it was", "as it was not")
	otherCustomer := forged(t, customer, "as it was", "as it was not")
	inside := carriedBy(t, "one", 1, string(line), w.job)
	nested, err := inside.Line()
	if err != nil {
		t.Fatal(err)
	}
	customerLine, err := customer.Line()
	if err != nil {
		t.Fatal(err)
	}
	copies := []store.Entry{carriedBy(t, "three", 1, string(line), w.job), carriedBy(t, "four", 1, string(customerLine), "")}
	for _, c := range []struct {
		name, says string
		entry      store.Entry
	}{
		{"changed, with its old hash", "its hash is not that of its fields", carriedBy(t, "two", 1, strings.Replace(string(line), "as it was", "as it was not", 1), w.job)},
		{"a field more", "unknown field", carriedBy(t, "two", 1, string(line)[:len(line)-1]+`,"more":1}`, w.job)},
		{"its fields in another order", "not written as an entry is", carriedBy(t, "two", 1, strings.Replace(`{"job":"`+w.job+`",`+string(line)[1:], `,"job":"`+w.job+`","key"`, `,"key"`, 1), w.job)},
		{"nothing", "", carriedBy(t, "two", 1, "null", w.job)},
		{"a list", "", carriedBy(t, "two", 1, "[]", w.job)},
		{"carried inside a carried one", "not inside another", carriedBy(t, "two", 1, string(nested), w.job)},
		{"of another job", "of another job", carriedBy(t, "two", 1, string(line), "j2")},
		{"contradicts the log", "left out", carriedBy(t, "two", 1, other, w.job)},
		{"contradicts a customer", "left out", carriedBy(t, "two", 1, otherCustomer, "")},
	} {
		t.Run(c.name, func(t *testing.T) {
			var shown []string
			for _, order := range [][]store.Entry{slices.Concat(all, copies, []store.Entry{c.entry}), slices.Concat([]store.Entry{c.entry}, all, copies), slices.Concat(copies, []store.Entry{c.entry}, all)} {
				s := book.NewState()
				for i := range order {
					s.Fold(&order[i])
				}
				j, err := s.Job(w.job)
				if err != nil {
					t.Fatal(err)
				}
				strange := j.Strange
				if c.entry.Job != w.job && c.entry.Job != "" {
					o, err := s.Job(c.entry.Job)
					if err != nil {
						t.Fatal(err)
					}
					strange = o.Strange
				} else if c.entry.Job == "" {
					strange = s.Strange()
				}
				if len(strange) != 1 || !strings.Contains(strange[0].Why, c.says) || strange[0].Why == "" {
					t.Errorf("strange: %+v, want one: %s", strange, c.says)
				}
				if len(j.Notes) != 1 || j.Notes[0].Is.Text != "as it was written" {
					t.Errorf("the note is %+v", j.Notes)
				}
				if l := j.Find(book.RefOf(&note)); l == nil || l.Text() != "as it was written" {
					t.Errorf("found %+v", l)
				}
				if p, _ := s.Registry().Customer("c1"); p.Get("name") != "as it was written" {
					t.Errorf("customer %+v", p)
				}
				shown = append(shown, asJSON(t, j)+asJSON(t, strange))
			}
			if shown[0] != shown[1] || shown[0] != shown[2] {
				t.Errorf("in another order it is another book:\n%s\n%s\n%s", shown[0], shown[1], shown[2])
			}
		})
	}
	// two carried ones, none of the log itself: one counts, whichever came first
	var texts []string
	for _, lines := range [][2]string{{string(line), other}, {other, string(line)}} {
		s := book.NewState()
		for i, l := range lines {
			e := carriedBy(t, fmt.Sprint("by-", i), 1, l, w.job)
			s.Fold(&e)
		}
		j, err := s.Job(w.job)
		if err != nil {
			t.Fatal(err)
		}
		if len(j.Notes) != 1 || len(j.Strange) != 1 {
			t.Fatalf("%d notes, %d strange", len(j.Notes), len(j.Strange))
		}
		texts = append(texts, asJSON(t, j))
	}
	if texts[0] != texts[1] {
		t.Errorf("it depends on who carried it:\n%s\n%s", texts[0], texts[1])
	}
}

// However three devices work, hand a job over by file and exchange their logs:
// who has the same entries shows the same job.
func TestCarriedConvergence(t *testing.T) {
	baseOf(t)
	rapid.Check(t, func(t *rapid.T) {
		ctx := context.Background()
		all := crew(t)
		empty := &device{st: memory.New()} // starts without the job
		var err error
		if empty.b, err = book.Open(ctx, empty.st, "device-2", book.Options{}); err != nil {
			t.Fatal(err)
		}
		all[2] = empty
		now := morning.Add(2 * time.Hour)
		hand := func(from, to *device) {
			f, err := from.b.JobFile(ctx, base.job, true)
			if err != nil {
				return // it has not reached this device yet
			}
			var out bytes.Buffer
			if err := f.Write(ctx, &out); err != nil {
				t.Fatal(err)
			}
			if _, err := takeIn(to.b, now.Add(to.skew), out.Bytes()); err != nil {
				t.Fatal(err)
			}
		}
		for i := range rapid.IntRange(1, 30).Draw(t, "steps") {
			d := rapid.SampledFrom(all).Draw(t, "device")
			now = now.Add(time.Duration(rapid.IntRange(1, 3600).Draw(t, "later")) * time.Second)
			if j, err := d.b.Job(ctx, base.job); err == nil && len(j.Holds) > 0 {
				d.b.Do(ctx, now.Add(d.skew), fmt.Sprintf("key-%d", i), anything(t, j, true))
			}
			with := rapid.SampledFrom(all).Draw(t, "with")
			switch rapid.IntRange(0, 5).Draw(t, "exchange") {
			case 0:
				exchange(t, d, with, rapid.IntRange(1, 20).Draw(t, "most"))
			case 1:
				hand(d, with)
			}
		}
		// by file alone, once round: every entry of the job is everywhere
		for _, from := range all {
			for _, to := range all {
				if from != to {
					hand(from, to)
				}
			}
		}
		show := func(b *book.Book) string {
			j, err := b.Job(ctx, base.job)
			if err != nil {
				t.Fatal(err)
			}
			c, _ := b.Card(base.job)
			return asJSONRapid(t, j) + asJSONRapid(t, c)
		}
		want := show(all[0].b)
		same := func(b *book.Book, what string) {
			if got := show(b); got != want {
				t.Fatalf("%s: another job:\n%s\nwant\n%s", what, got, want)
			}
		}
		for i, d := range all {
			same(d.b, fmt.Sprint("device ", i, " by file"))
		}
		for range 3 { // and then the logs themselves
			for _, from := range all {
				for _, to := range all {
					for exchange(t, from, to, 7) > 0 {
					}
				}
			}
		}
		for i, d := range all {
			same(d.b, fmt.Sprint("device ", i, " by sync"))
			hand(d, all[(i+1)%3])
			same(all[(i+1)%3].b, "after one more file")
		}
		fresh, err := book.Open(ctx, all[1].st, "device-1", book.Options{})
		if err != nil {
			t.Fatal(err)
		}
		same(fresh, "opened again")
	})
}
