package book_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/store/storetest"
)

func TestJobFile(t *testing.T) {
	w := small(t)
	w.do(book.NewJob{Name: "another job", Units: job.SI, CustomerFields: map[string]string{"name": "Not To Be Told"}, Set: map[string]string{"site.air": "8 C"}})
	w.do(book.SetShop{Set: map[string]string{"shop": "Plain Bench", "prices.hour": "90"}})
	w.do(book.NameDevice{Device: "phone-1", Name: "the phone"})
	w.do(book.NameDevice{Device: "elsewhere", Name: "a device of other jobs"})
	whole := handOver(t, w.b, w.job, true)
	if !bytes.Equal(whole, handOver(t, w.b, w.job, true)) {
		t.Error("the same job gave two different files")
	}
	names, content := files(t, whole)
	if len(names) != 4 || names[0] != "job.json" || names[1] != "entries.jsonl" {
		t.Errorf("it holds %q", names)
	}
	if text := string(content["entries.jsonl"]); strings.Contains(text, "Not To Be Told") || strings.Contains(text, "prices.hour") || strings.Contains(text, "elsewhere") || !strings.Contains(text, "the phone") {
		t.Error("it holds what it should not, or not what it should")
	}
	o := w.copyOf("tablet")
	r := o.takes(whole)
	if r.Job != w.job || r.Entries != len(bytes.Split(content["entries.jsonl"], []byte("\n")))-1 || r.Files != 2 || r.Missing+r.Known+r.Against+r.Cut != 0 {
		t.Errorf("%+v", r)
	}
	if n := o.b.Registry().DeviceName("phone-1"); n != "the phone" {
		t.Errorf("the phone is called %q", n)
	}
	if _, n := o.b.List(book.ListQuery{}); n != 1 || len(o.b.Faults())+len(o.b.Strange()) != 0 {
		t.Errorf("%d jobs, faults %v, strange %v", n, o.b.Faults(), o.b.Strange())
	}

	few := w.copyOf("without-photos")
	if r := few.takes(handOver(t, w.b, w.job, false)); r.Files != 1 || r.Missing != 1 {
		t.Errorf("without photos: %+v", r)
	}
	photo := w.is().Photos[0].Is.Blob
	if want, err := few.b.Wanted(t.Context()); err != nil || len(want) != 1 || want[0] != photo {
		t.Errorf("wanted %v, %v", want, err)
	}
	if _, err := few.b.Plan(t.Context(), few.is().Plan()); err != nil {
		t.Error(err)
	}
	if r := few.takes(whole); r.Entries != 0 || r.Files != 1 || r.Missing != 0 {
		t.Errorf("the photos later: %+v", r)
	}
}

// An entry of the greatest length and one of every kind that this build does not
// know are handed over as any other.
func TestJobFileOfLongEntries(t *testing.T) {
	w := newBench(t)
	w.job = w.do(plate()).Job
	long := `{"text":"` + strings.Repeat("x", store.MaxBody-len(`{"text":""}`)) + `"}`
	head, err := w.st.Heads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	device := strings.Repeat("d", 40)
	sealed, err := store.Seal(store.Head{Device: device}, head[0].Clock, store.Batch{Device: device, Key: strings.Repeat(`"`, store.MaxKey), Now: w.now.Add(time.Hour), Drafts: []store.Draft{
		{Kind: "note.added", Job: w.job, Body: json.RawMessage(long)}, {Kind: "of.a-newer-build", Job: w.job, Body: json.RawMessage(`{"text":"<é> \u2028"}`)}}})
	if err != nil {
		t.Fatal(err)
	}
	w.gets(sealed)
	o := w.copyOf("tablet")
	if r := o.takes(handOver(t, w.b, w.job, true)); r.Entries < 4 {
		t.Fatalf("%+v", r)
	}
	if a, b := asJSON(t, w.is()), asJSON(t, o.is()); a != b {
		t.Error("another job")
	}
	if len(o.is().Strange) != 1 {
		t.Errorf("strange: %+v", o.is().Strange)
	}
	// and out again, by file and as a whole book
	if !bytes.Equal(handOver(t, w.b, w.job, true), handOver(t, o.b, w.job, true)) {
		t.Error("handed on it is another file")
	}
	if _, err := take(t, memory.New(), export(t, o.st)); err != nil {
		t.Error(err)
	}
}

// repack changes the entries of a job file and makes its list fit them.
func repack(t testing.TB, data []byte, change func([]byte) []byte) []byte {
	t.Helper()
	names, content := files(t, data)
	content["entries.jsonl"] = change(bytes.Clone(content["entries.jsonl"]))
	var c book.JobContents
	if err := json.Unmarshal(content["job.json"], &c); err != nil {
		t.Fatal(err)
	}
	c.Entries, c.Sum = bytes.Count(content["entries.jsonl"], []byte("\n")), store.HashOf(content["entries.jsonl"])
	content["job.json"] = []byte(asJSON(t, c))
	return pack(t, names, content)
}

func TestJobFileRefused(t *testing.T) {
	w := small(t)
	good := handOver(t, w.b, w.job, true)
	lines := func(change func([][]byte) [][]byte) []byte {
		return repack(t, good, func(data []byte) []byte {
			all := bytes.SplitAfter(data, []byte("\n"))
			return bytes.Join(change(all[:len(all)-1]), nil)
		})
	}
	edit := func(change func(*store.Entry)) []byte {
		return lines(func(all [][]byte) [][]byte {
			e, err := store.ReadLine(bytes.TrimSpace(all[5]))
			if err != nil {
				t.Fatal(err)
			}
			change(&e)
			e.Hash = e.Sum()
			line, err := e.Line()
			if err != nil {
				t.Fatal(err)
			}
			all[5] = append(line, '\n')
			return all
		})
	}
	raw := func(change func([]string, map[string][]byte) []string) []byte {
		names, content := files(t, good)
		return pack(t, change(names, content), content)
	}
	add := func(name string, data []byte) []byte {
		return raw(func(n []string, c map[string][]byte) []string {
			c[name] = data
			return append(n, name)
		})
	}
	for _, c := range []struct {
		name, words string
		data        []byte
	}{
		{"a line changed", "its hash is not that of its fields", lines(func(all [][]byte) [][]byte {
			all[5] = bytes.Replace(all[5], []byte(`"when"`), []byte(`"whem"`), 1)
			return all
		})},
		{"a line forged with a hash that fits", "does not follow", edit(func(e *store.Entry) { e.Body = json.RawMessage(`{}`) })},
		{"a line without the list's sum", "not those that the list", raw(func(n []string, c map[string][]byte) []string {
			c["entries.jsonl"] = bytes.Replace(c["entries.jsonl"], []byte("a"), []byte("b"), 1)
			return n
		})},
		{"two lines swapped", "out of order", lines(func(all [][]byte) [][]byte { all[4], all[5] = all[5], all[4]; return all })},
		{"a line twice", "twice", lines(func(all [][]byte) [][]byte { return append(all, all[5]) })},
		{"the end cut off", "cut off", lines(func(all [][]byte) [][]byte { all[len(all)-1] = all[len(all)-1][:40]; return all })},
		{"a space in a line", "not written as an entry is", lines(func(all [][]byte) [][]byte {
			all[5] = bytes.Replace(all[5], []byte(`,"seq"`), []byte(`, "seq"`), 1)
			return all
		})},
		{"no entry at all", "no entry of its job", lines(func([][]byte) [][]byte { return nil })},
		{"an entry of another job", "does not belong", edit(func(e *store.Entry) { e.Job = "jother" })},
		{"a setting of the shop", "does not belong", edit(func(e *store.Entry) { e.Job, e.Kind = "", "shop.set" })},
		{"a setting", "does not belong", edit(func(e *store.Entry) { e.Job, e.Kind = "", "settings.set" })},
		{"a carried entry", "not inside another", edit(func(e *store.Entry) { e.Kind = store.Carried })},
		{"a later number earlier", "logged later", edit(func(e *store.Entry) { e.Seq += 500 })},
		{"a file missing", "not whole", raw(func(n []string, c map[string][]byte) []string { return n[:len(n)-1] })},
		{"a file changed", "not those of its name", raw(func(n []string, c map[string][]byte) []string {
			c[n[len(n)-1]][9] ^= 1
			return n
		})},
		{"no list", "no job file", raw(func(n []string, c map[string][]byte) []string { return n[1:] })},
		{"no entries", "no job file", raw(func(n []string, c map[string][]byte) []string { return without(n, "entries.jsonl") })},
		{"a list of something else", "no job file", raw(func(n []string, c map[string][]byte) []string {
			c["job.json"] = []byte(`{"format":"other"}`)
			return n
		})},
		{"a job id that climbs", "no job file", raw(func(n []string, c map[string][]byte) []string {
			c["job.json"] = bytes.Replace(c["job.json"], []byte(w.job), []byte("../x"), 1)
			return n
		})},
		{"a later version", "update the program", raw(func(n []string, c map[string][]byte) []string {
			c["job.json"] = []byte(`{"format":"soundmetal job","version":2}`)
			return n
		})},
		{"a path that climbs", "does not belong", add("../../etc/passwd", []byte("x"))},
		{"a path that climbs out of files", "does not belong", add("files/../x", []byte("x"))},
		{"an absolute path", "does not belong", add("/etc/passwd", []byte("x"))},
		{"a backslash", "does not belong", add(`files\x`, []byte("x"))},
		{"a folder", "does not belong", add("files/", nil)},
		{"a log", "does not belong", add("logs/office.jsonl", nil)},
		{"the list twice", "twice", add("job.json", []byte("{}"))},
		{"a file of 64 MB", "bytes", add("files/"+store.HashOf(make([]byte, 64<<20)).String(), make([]byte, 64<<20))},
		{"a list of 8 MB", "more than", raw(func(n []string, c map[string][]byte) []string {
			c["job.json"] = append(c["job.json"], bytes.Repeat([]byte(" "), 8<<20)...)
			return n
		})},
		{"a line of 2 MB", "too long", lines(func(all [][]byte) [][]byte { return append(all, append(bytes.Repeat([]byte("x"), 2<<20), '\n')) })},
		{"entries of 200 MB", "more than", zeroLines(t, good, 200<<20)},
		{"a zip that lies about a size", "", lyingZip(t)},
		{"nothing", "no job file", nil},
		{"text", "no job file", []byte("hello")},
		{"half of it", "no job file", good[:len(good)/2]},
		{"the archive of a book", "does not belong", export(t, w.st)},
		{"a date in the year 2300", "no clock", lines(func(all [][]byte) [][]byte {
			e, err := store.ReadLine(bytes.TrimSpace(all[len(all)-1]))
			if err != nil {
				t.Fatal(err)
			}
			e.Clock.MS += 274 * 365 * 24 * 3600e3
			e.Hash = e.Sum()
			line, _ := e.Line()
			all[len(all)-1] = append(line, '\n')
			return all
		})},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := w.copyOf("tablet")
			_, err := takeIn(o.b, o.now, c.data)
			if err == nil || !strings.Contains(err.Error(), c.words) || strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v, want ...%s...", err, c.words)
			}
			if n := len(since(t, o.st)); n != 0 {
				t.Errorf("%d entries were taken", n)
			}
			if b, _ := o.st.Blobs(t.Context()); len(b) != 0 {
				t.Errorf("%d files were taken", len(b))
			}
		})
	}
}

// zeroLines gives a job file whose entries are zeros.
func zeroLines(t *testing.T, data []byte, n int) []byte {
	names, content := files(t, data)
	content["entries.jsonl"] = make([]byte, n)
	return pack(t, names, content)
}

// A book that was put back from an older copy may not take for carried what it
// has logged itself.
func TestJobFileOfAnOlderCopy(t *testing.T) {
	w := small(t)
	old := memory.New()
	if _, err := take(t, old, export(t, w.st)); err != nil {
		t.Fatal(err)
	}
	w.do(book.AddNote{Job: w.job, Text: "later"})
	data := handOver(t, w.b, w.job, true)
	var no *book.Refusal
	if _, err := takeIn(benchOn(t, old, "office").b, w.now, data); !errors.As(err, &no) || !strings.Contains(no.Text, "older copy") {
		t.Errorf("%v", err)
	}
	if r, err := takeIn(benchOn(t, old, "office-2").b, w.now, data); err != nil || r.Entries != 1 {
		t.Errorf("under a new id: %+v, %v", r, err)
	}
}

// A log that was written twice, from a copy: the job can be handed over all the
// same, and what does not fit is said.
func TestJobFileOfAFork(t *testing.T) {
	w := small(t)
	copied := memory.New()
	if _, err := take(t, copied, export(t, w.st)); err != nil {
		t.Fatal(err)
	}
	c := benchOn(t, copied, "office")
	c.job, c.now, c.keys = w.job, w.now, 500
	for i := range 3 {
		c.do(book.AddNote{Job: w.job, Text: fmt.Sprint("on the copy ", i)})
	}
	w.do(book.AddNote{Job: w.job, Text: "on the first"})
	o := w.copyOf("tablet")
	o.gets(since(t, w.st))
	if r := o.takes(handOver(t, c.b, w.job, true)); r.Entries != 3 || r.Against != 1 {
		t.Errorf("%+v", r)
	}
	j := o.is()
	if len(j.Strange) != 1 || !strings.Contains(asJSON(t, j.Notes), "on the first") || strings.Contains(asJSON(t, j.Notes), "on the copy 0") {
		t.Errorf("strange %+v, notes %+v", j.Strange, j.Notes)
	}
	third := w.copyOf("third")
	if r := third.takes(handOver(t, o.b, w.job, true)); r.Cut != 1 {
		t.Errorf("handed on: %+v", r)
	}
}

// A damaged book hands over what is whole, and says what is not.
func TestJobFileOfDamage(t *testing.T) {
	w := small(t)
	entries := since(t, w.st)
	entries[5].Body = json.RawMessage(`{"set":{"site.air":"3 C"}}`)
	damaged := benchOn(t, memory.Open(nil, entries, nil, nil), "office")
	data := handOver(t, damaged.b, w.job, true)
	o := w.copyOf("tablet")
	if r := o.takes(data); r.Cut != 1 || r.Missing != 2 {
		t.Errorf("%+v", r)
	}
	// and what is damaged here comes back from a file that has it
	damaged.job, damaged.now = w.job, w.now
	if r := damaged.takes(handOver(t, w.b, w.job, true)); r.Entries != 1 {
		t.Errorf("%+v", r)
	}
	if asJSON(t, damaged.is()) != asJSON(t, w.is()) {
		t.Error("it is not as it was")
	}
}

// Whatever is read: it is refused, or it is a job that every book shows alike.
func FuzzJobFile(f *testing.F) {
	st := memory.New()
	batch := storetest.Batch("phone", "k1", "j1", 3)
	batch.Drafts = append(batch.Drafts, store.Draft{Kind: "customer.set", Body: json.RawMessage(`{"id":"c1","set":{"name":"x"}}`)})
	if _, err := st.Append(f.Context(), batch); err != nil {
		f.Fatal(err)
	}
	b, err := book.Open(f.Context(), st, "phone", book.Options{})
	if err != nil {
		f.Fatal(err)
	}
	good := handOver(f, b, "j1", true)
	_, content := files(f, good)
	f.Add(true, good)
	f.Add(false, content["entries.jsonl"])
	f.Add(false, []byte("{}\n"))
	f.Fuzz(func(t *testing.T, whole bool, data []byte) {
		if !whole {
			data = repack(t, good, func([]byte) []byte { return data })
		}
		b, err := book.Open(t.Context(), memory.New(), "tablet", book.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := takeIn(b, morning.AddDate(1, 0, 0), data)
		if err != nil {
			return
		}
		if v, err := b.Store().Verify(t.Context()); err != nil || !v.OK() {
			t.Fatalf("taken, and then %v, %v", v, err)
		}
		again, err := takeIn(b, morning.AddDate(1, 0, 0), data)
		if err != nil || again.Entries != 0 || again.Known != r.Entries {
			t.Fatalf("a second time: %+v, %v", again, err)
		}
		j, err := b.Job(t.Context(), r.Job)
		if err != nil {
			t.Fatal(err)
		}
		other, err := book.Open(t.Context(), memory.New(), "third", book.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := takeIn(other, morning.AddDate(1, 0, 0), handOver(t, b, r.Job, true)); err != nil {
			t.Fatal(err)
		}
		o, err := other.Job(t.Context(), r.Job)
		if err != nil {
			t.Fatal(err)
		}
		if fmt.Sprint(j.Strange, j.Notes, j.Opened, j.Facts) != fmt.Sprint(o.Strange, o.Notes, o.Opened, o.Facts) || len(j.Log) != len(o.Log) {
			t.Fatal("handed on it is another job")
		}
	})
}
