package book_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/store/storetest"
)

// export gives the archive of a store.
func export(t testing.TB, st store.Store) []byte {
	t.Helper()
	var out bytes.Buffer
	r, err := book.Export(context.Background(), st, &out)
	if err != nil || len(r.Faults)+len(r.Other) > 0 {
		t.Fatal(r, err)
	}
	return out.Bytes()
}

func take(t testing.TB, st store.Store, data []byte) (book.ImportReport, error) {
	t.Helper()
	return book.Import(context.Background(), st, bytes.NewReader(data), int64(len(data)))
}

// small is a book of two devices with a plan and a photo.
func small(t *testing.T) *bench {
	t.Helper()
	w := ready(t)
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(140)), Bead: book.Bead{Note: "ä <b>& ∑ \u2028 \"quoted\""}})
	w.do(book.AddPhoto{Job: w.job, Data: jpegFile(t, 40, 30, nil), Caption: "bead 1"})
	phone := benchOn(t, memory.New(), "phone-1")
	if _, err := phone.b.Receive(t.Context(), since(t, w.st)); err != nil {
		t.Fatal(err)
	}
	phone.now = w.now
	phone.do(book.AddNote{Job: w.job, Text: "from the phone"})
	if _, err := w.b.Receive(t.Context(), since(t, phone.st)); err != nil {
		t.Fatal(err)
	}
	return w
}

func since(t testing.TB, st store.Store) []store.Entry {
	t.Helper()
	all, err := st.Since(context.Background(), nil, 1<<30)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Out, in on a new device, and out again: the same bytes, and the same job.
func TestArchiveRoundTrip(t *testing.T) {
	w := small(t)
	first := export(t, w.st)
	if again := export(t, w.st); !bytes.Equal(first, again) {
		t.Error("the same book gave two different archives")
	}
	other := benchOn(t, memory.New(), "tablet")
	r, err := take(t, other.st, first)
	if err != nil {
		t.Fatal(err)
	}
	if err := other.b.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	if second := export(t, other.st); !bytes.Equal(first, second) {
		t.Error("out, in and out again is not the same")
	}
	other.job = w.job
	if a, b := asJSON(t, w.is()), asJSON(t, other.is()); a != b {
		t.Error("the job is not the same on the other device")
	}
	p := other.is().Photos[0]
	if _, err := other.b.Blob(t.Context(), p.Is.Blob); err != nil {
		t.Errorf("photo: %v", err)
	}
	if _, err := other.b.Plan(t.Context(), other.is().Plan()); err != nil {
		t.Errorf("plan: %v", err)
	}
	if r.Entries != len(since(t, w.st)) || r.Files != 2 {
		t.Errorf("report: %+v", r)
	}
	again, err := take(t, other.st, first)
	if err != nil || again.Entries != 0 || again.Known != r.Entries || again.Files != 0 {
		t.Errorf("a second time: %+v, %v", again, err)
	}
}

func asJSON(t testing.TB, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func asJSONRapid(t *rapid.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A newer archive goes into a book that already has its beginning.
func TestArchiveGoesOn(t *testing.T) {
	w := small(t)
	other := memory.New()
	if _, err := take(t, other, export(t, w.st)); err != nil {
		t.Fatal(err)
	}
	w.do(book.AddNote{Job: w.job, Text: "later"})
	newer := export(t, w.st)
	r, err := take(t, other, newer)
	if err != nil || r.Entries != 1 {
		t.Errorf("%+v, %v", r, err)
	}
	if !bytes.Equal(export(t, other), newer) {
		t.Error("not the same book")
	}
}

// Two copies that were both written on as the same device are told apart.
func TestArchiveOfAFork(t *testing.T) {
	w := small(t)
	copied := memory.New()
	if _, err := take(t, copied, export(t, w.st)); err != nil {
		t.Fatal(err)
	}
	c := benchOn(t, copied, "office")
	c.now, c.keys = w.now, 500
	c.do(book.AddNote{Job: w.job, Text: "written on the copy"})
	w.do(book.AddNote{Job: w.job, Text: "written on the first"})
	var f *store.Fault
	if _, err := take(t, copied, export(t, w.st)); !errors.As(err, &f) || f.Kind != store.Forked || f.Device != "office" {
		t.Errorf("%v", err)
	}
}

// An archive of version 1 with an entry of every kind, written when the format was
// new: every later build reads it and shows the same.
func TestOldArchive(t *testing.T) {
	data, err := os.ReadFile("testdata/book-v1.zip")
	if err != nil {
		t.Fatal(err)
	}
	w := newBench(t)
	r, err := take(t, w.st, data)
	if err != nil || r.Entries == 0 || r.Files != 2 {
		t.Fatal(r, err)
	}
	if err := w.b.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	kinds := map[string]bool{}
	for _, e := range since(t, w.st) {
		kinds[e.Kind] = true
	}
	if len(kinds) < 34 {
		t.Errorf("%d kinds, want the 34 of version 1", len(kinds))
	}
	cards, n := w.b.List(book.ListQuery{})
	if n != 2 || len(w.b.Strange())+len(w.b.Faults()) != 0 {
		t.Fatalf("%d jobs, strange %v, faults %v", n, w.b.Strange(), w.b.Faults())
	}
	for _, c := range cards {
		if c.Repeat == nil {
			w.job = c.ID
		}
	}
	j := w.is()
	for what, is := range map[string]bool{
		"closed":              j.Status == book.JobClosed && len(j.Closings) == 2 && len(j.Reopened) == 1,
		"cracked again":       len(j.Again) == 1 && j.FollowUps[0].Done.Is.Result == book.ItCracked,
		"changes":             len(j.Changes) == 2 && j.Changes[0].State == book.ChangeAgreed && j.Changes[1].State == book.ChangeDeclined,
		"the longer crack":    j.Facts.Items[0].Set["crack.length"] == "180 mm" && len(j.Standing()) == 1,
		"corrected reading":   j.Readings[0].Is.Temp.SI == 168 && j.Readings[0].Was[0].Temp.SI == 170,
		"beads and their rod": len(j.Beads) == 2 && j.Tins[0].Rods == 2 && j.Tins[0].Away.Is.Into == book.UsedUp,
		"photo":               len(j.Photos) == 1,
		"signature":           len(j.Agreed) == 1 && len(j.Agreed[0].Is.Strokes) == 1,
		"nothing strange":     len(j.Strange) == 0,
		"what deviated":       strings.Contains(rules(j.Deviations), "bead-cold") && strings.Contains(rules(j.Deviations), "damage-left"),
		"customer":            len(w.b.Registry().Customers()) == 1 && w.b.Registry().DeviceName("office") == "the laptop",
	} {
		if !is {
			t.Errorf("%s: not as it was written", what)
		}
	}
	_, was := files(t, data)
	if _, is := files(t, export(t, w.st)); asJSON(t, was) != asJSON(t, is) {
		t.Error("written again it is not the same")
	}
}

// files takes an archive apart.
func files(t testing.TB, data []byte) (names []string, content map[string][]byte) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	content = map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := b.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		names = append(names, f.Name)
		content[f.Name] = b.Bytes()
	}
	return names, content
}

// pack puts an archive together.
func pack(t testing.TB, names []string, content map[string][]byte) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, n := range names {
		w, err := z.CreateHeader(&zip.FileHeader{Name: n, Method: zip.Deflate})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(content[n]); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestArchiveRefused(t *testing.T) {
	w := small(t)
	good := export(t, w.st)
	log := "logs/office.jsonl"
	replace := func(old, is string) func([]string, map[string][]byte) []string {
		return func(names []string, c map[string][]byte) []string {
			c[log] = bytes.Replace(c[log], []byte(old), []byte(is), 1)
			return names
		}
	}
	add := func(name string, data []byte) func([]string, map[string][]byte) []string {
		return func(names []string, c map[string][]byte) []string {
			c[name] = data
			return append(names, name)
		}
	}
	for _, c := range []struct {
		name, words string
		change      func(names []string, c map[string][]byte) []string
	}{
		{"a body changed", "its hash is not that of its fields", replace("140", "190")},
		{"a name changed", "its hash is not that of its fields", replace("Nordhang", "Nordhanx")},
		{"a line taken out", "missing", func(n []string, c map[string][]byte) []string {
			lines := bytes.SplitAfter(c[log], []byte("\n"))
			c[log] = bytes.Join(append(lines[:3:3], lines[4:]...), nil)
			return n
		}},
		{"the last line taken out", "cut or changed", func(n []string, c map[string][]byte) []string {
			lines := bytes.SplitAfter(c[log], []byte("\n"))
			c[log] = bytes.Join(lines[:len(lines)-2], nil)
			return n
		}},
		{"two lines swapped", "missing", func(n []string, c map[string][]byte) []string {
			lines := bytes.SplitAfter(c[log], []byte("\n"))
			lines[4], lines[5] = lines[5], lines[4]
			c[log] = bytes.Join(lines, nil)
			return n
		}},
		{"the end cut off", "cut off", func(n []string, c map[string][]byte) []string {
			c[log] = c[log][:len(c[log])-20]
			return n
		}},
		{"a space in a line", "not written as an entry is", replace(`"seq":1,`, `"seq": 1,`)},
		{"an added field", "unknown field", replace(`{"device"`, `{"more":1,"device"`)},
		{"a log missing", "not whole", func(n []string, c map[string][]byte) []string { return without(n, log) }},
		{"a file missing", "not whole", func(n []string, c map[string][]byte) []string { return n[:len(n)-1] }},
		{"a file changed", "not those of its name", func(n []string, c map[string][]byte) []string {
			c[n[len(n)-1]][9] ^= 1
			return n
		}},
		{"no list", "no archive", func(n []string, c map[string][]byte) []string { return n[1:] }},
		{"a list of something else", "no archive", func(n []string, c map[string][]byte) []string {
			c["book.json"] = []byte(`{"format":"other"}`)
			return n
		}},
		{"a later version", "update the program", func(n []string, c map[string][]byte) []string {
			c["book.json"] = []byte(`{"format":"soundmetal book","version":2}`)
			return n
		}},
		{"a path that climbs", "does not belong", add("../../etc/passwd", []byte("x"))},
		{"a path that climbs out of logs", "does not belong", add("logs/../../x.jsonl", []byte("x"))},
		{"a path that climbs out of files", "does not belong", add("files/../x", []byte("x"))},
		{"an absolute path", "does not belong", add("/etc/passwd", []byte("x"))},
		{"a backslash", "does not belong", add(`logs\x.jsonl`, []byte("x"))},
		{"a file twice", "twice", add("logs/office.jsonl", nil)},
		{"another log under the device's name", "another device", func(n []string, c map[string][]byte) []string {
			c[log], c["logs/phone-1.jsonl"] = c["logs/phone-1.jsonl"], c[log]
			return n
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			names, content := files(t, good)
			bad := pack(t, c.change(names, content), content)
			st := memory.New()
			_, err := take(t, st, bad)
			if err == nil || !strings.Contains(err.Error(), c.words) {
				t.Errorf("got %v, want ...%s...", err, c.words)
			}
			if n := len(since(t, st)); n != 0 {
				t.Errorf("%d entries were taken", n)
			}
			if b, _ := st.Blobs(t.Context()); len(b) != 0 {
				t.Errorf("%d files were taken", len(b))
			}
		})
	}
	for name, data := range map[string][]byte{"empty": {}, "text": []byte("hello"), "cut": good[:len(good)/2]} {
		if _, err := take(t, memory.New(), data); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func without(names []string, name string) []string {
	var out []string
	for _, n := range names {
		if n != name {
			out = append(out, n)
		}
	}
	return out
}

// A bomb: a few bytes that unpack to gigabytes.
func TestArchiveBombs(t *testing.T) {
	zeros := make([]byte, 64<<20)
	w := small(t)
	good := export(t, w.st)
	names, content := files(t, good)
	name := "files/" + store.HashOf(zeros).String()
	content[name] = zeros
	if _, err := take(t, memory.New(), pack(t, append(names, name), content)); err == nil || !strings.Contains(err.Error(), "bytes") {
		t.Errorf("a file of 64 MB: %v", err)
	}
	names, content = files(t, good)
	content["book.json"] = append(content["book.json"], bytes.Repeat([]byte(" "), 8<<20)...)
	if _, err := take(t, memory.New(), pack(t, names, content)); err == nil || !strings.Contains(err.Error(), "more than") {
		t.Errorf("a list of 8 MB: %v", err)
	}
	names, content = files(t, good)
	content["logs/office.jsonl"] = bytes.Repeat([]byte("x"), 2<<20)
	if _, err := take(t, memory.New(), pack(t, names, content)); err == nil || !strings.Contains(err.Error(), "too long") {
		t.Errorf("a line of 2 MB: %v", err)
	}
	lying := lyingZip(t)
	if _, err := take(t, memory.New(), lying); err == nil {
		t.Error("a file that is longer than its list says was taken")
	}
}

// lyingZip names a size of one byte for a file of 32 MB.
func lyingZip(t *testing.T) []byte {
	t.Helper()
	zeros := make([]byte, 32<<20)
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	w, err := z.CreateRaw(&zip.FileHeader{Name: "files/" + store.HashOf(zeros).String(), Method: zip.Store, CRC32: crc32.ChecksumIEEE(zeros),
		CompressedSize64: uint64(len(zeros)), UncompressedSize64: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(zeros); err != nil {
		t.Fatal(err)
	}
	l, err := z.Create("book.json")
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprint(l, `{"format":"soundmetal book","version":1,"logs":[],"files":1}`)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return packed.Bytes()
}

// Whatever byte of an archive is changed: it is refused, or it makes no
// difference to what is read (dates and the like of the zip).
func TestArchiveAnyByte(t *testing.T) {
	w := small(t)
	good := export(t, w.st)
	_, want := files(t, good)
	random := rand.New(rand.NewPCG(5, 6))
	refused, harmless := 0, 0
	for range 400 {
		bad := bytes.Clone(good)
		at := random.IntN(len(bad))
		bad[at] ^= byte(1 + random.IntN(255))
		st := memory.New()
		if _, err := take(t, st, bad); err != nil {
			refused++
			continue
		}
		harmless++
		if _, got := files(t, export(t, st)); asJSON(t, got) != asJSON(t, want) {
			t.Fatalf("byte %d changed, and another book was taken in", at)
		}
	}
	t.Logf("400 archives with one byte changed: %d refused, %d without difference", refused, harmless)
}

// A damaged book is exported as far as it is whole, and it is said.
func TestExportOfDamage(t *testing.T) {
	entries := since(t, small(t).st)
	entries[5].Body = json.RawMessage(`{"set":{"site.air":"3 C"}}`)
	damaged := memory.Open(nil, entries, nil, nil)
	var out bytes.Buffer
	r, err := book.Export(t.Context(), damaged, &out)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Faults) != 1 || r.Faults[0].Seq != 6 || r.Faults[0].Kind != store.Damaged {
		t.Errorf("%+v", r)
	}
	st := memory.New()
	in, err := take(t, st, out.Bytes())
	if err != nil || len(in.Cut) != 1 || in.Cut[0].Seq != 6 {
		t.Errorf("%+v, %v", in, err)
	}
}

func TestExportWhileWriting(t *testing.T) {
	w := small(t)
	done := make(chan error, 1)
	go func() {
		for i := range 2000 {
			if _, err := w.st.Append(context.Background(), storetest.Batch("phone-1", fmt.Sprint("x", i), "j9", 1)); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	for range 10 {
		if _, err := take(t, memory.New(), export(t, w.st)); err != nil {
			t.Error(err)
		}
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
}

func FuzzImport(f *testing.F) {
	st := memory.New()
	if _, err := st.Append(context.Background(), storetest.Batch("phone", "k1", "j1", 3)); err != nil {
		f.Fatal(err)
	}
	if _, err := st.PutBlob(context.Background(), []byte("picture")); err != nil {
		f.Fatal(err)
	}
	f.Add(export(f, st))
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18)))
	f.Fuzz(func(t *testing.T, data []byte) {
		st := memory.New()
		if _, err := take(t, st, data); err != nil {
			return
		}
		r, err := st.Verify(context.Background())
		if err != nil || !r.OK() {
			t.Fatalf("taken, and then %v, %v", r, err)
		}
		again := memory.New()
		first := export(t, st)
		if _, err := take(t, again, first); err != nil || !bytes.Equal(export(t, again), first) {
			t.Fatalf("not the same again: %v", err)
		}
	})
}
