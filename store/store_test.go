package store_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"soundmetal/store"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func sealed(t interface{ Fatal(...any) }, n int) []store.Entry {
	b := store.Batch{Device: "phone-1", Key: "form-1", Now: noon}
	for i := range n {
		b.Drafts = append(b.Drafts, store.Draft{Kind: "note.added", Job: "j1", Body: json.RawMessage(fmt.Sprintf(`{"text":"<b>&ä∑","n":%d}`, i))})
	}
	entries, err := store.Seal(store.Head{Device: "phone-1"}, store.Clock{}, b)
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

// The hash is over the encoding that docs/book-format.md describes, reckoned here
// a second time by its words.
func TestSumIsAsDescribed(t *testing.T) {
	e := sealed(t, 2)[1]
	h := sha256.New()
	fmt.Fprint(h, "soundmetal entry 1\n")
	for _, f := range []string{"phone-1", "2", e.Prev.String(), "1772452800000.1", "1772452800000", "note.added", "j1", "form-1", `{"text":"<b>&ä∑","n":1}`} {
		fmt.Fprintf(h, "%d:%s\n", len(f), f)
	}
	if got := fmt.Sprintf("%x", h.Sum(nil)); got != e.Hash.String() {
		t.Errorf("got %s, want %s", e.Hash, got)
	}
	line, err := e.Line()
	want := `{"device":"phone-1","seq":2,"prev":"` + e.Prev.String() + `","hash":"` + e.Hash.String() + `","clock":"1772452800000.1","wall":1772452800000,"kind":"note.added","job":"j1","key":"form-1","body":{"text":"<b>&ä∑","n":1}}`
	if err != nil || string(line) != want {
		t.Errorf("line\n%s\nwant\n%s", line, want)
	}
}

// Any single byte of a log's lines may be changed: it is noticed.
func TestAnyByteIsNoticed(t *testing.T) {
	var log []byte
	for _, e := range sealed(t, 4) {
		line, err := e.Line()
		if err != nil {
			t.Fatal(err)
		}
		log = append(append(log, line...), '\n')
	}
	if err := follow(log); err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		bad := bytes.Clone(log)
		at := rapid.IntRange(0, len(bad)-1).Draw(t, "at")
		bad[at] ^= byte(rapid.IntRange(1, 255).Draw(t, "flip"))
		if follow(bad) == nil {
			t.Fatalf("byte %d changed from %q to %q and nothing was noticed", at, log[at], bad[at])
		}
	})
	for at := range log { // and each byte once, by its lowest bit
		bad := bytes.Clone(log)
		bad[at] ^= 1
		if follow(bad) == nil {
			t.Errorf("byte %d changed from %q to %q and nothing was noticed", at, log[at], bad[at])
		}
	}
}

// follow reads a log as an import does.
func follow(log []byte) error {
	var head store.Head
	n := 0
	for line := range bytes.SplitSeq(bytes.TrimSuffix(log, []byte("\n")), []byte("\n")) {
		e, err := store.ReadLine(line)
		if err != nil {
			return err
		}
		if err := e.Follows(head); err != nil {
			return err
		}
		head = e.Head()
		n++
	}
	if n != 4 || !bytes.HasSuffix(log, []byte("\n")) {
		return errors.New("the end is gone")
	}
	return nil
}

func FuzzReadLine(f *testing.F) {
	for _, e := range sealed(f, 3) {
		line, err := e.Line()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(line)
	}
	f.Add([]byte(`{"device":"a","seq":1}`))
	f.Fuzz(func(t *testing.T, line []byte) {
		e, err := store.ReadLine(line)
		if err != nil {
			if e.Seq != 0 {
				t.Error("an error and an entry")
			}
			return
		}
		again, err := e.Line()
		if err != nil || !bytes.Equal(again, line) {
			t.Errorf("read and written again:\n%s\n%s, %v", line, again, err)
		}
	})
}

func TestClock(t *testing.T) {
	c := store.Clock{MS: 1000, N: 3}
	for _, r := range []struct {
		name string
		now  int64
		from store.Clock
		want store.Clock
	}{
		{"later", 1001, c, store.Clock{MS: 1001}},
		{"same millisecond", 1000, c, store.Clock{MS: 1000, N: 4}},
		{"set back", 5, c, store.Clock{MS: 1000, N: 4}},
		{"counter full", 5, store.Clock{MS: 1000, N: math.MaxUint16}, store.Clock{MS: 1001}},
	} {
		got := r.from.Next(r.now)
		if got != r.want || got.Compare(r.from) <= 0 {
			t.Errorf("%s: got %v, want %v", r.name, got, r.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		a := store.Clock{MS: rapid.Int64Range(0, 1<<50).Draw(t, "ms"), N: rapid.Uint16().Draw(t, "n")}
		text, _ := a.MarshalText()
		var b store.Clock
		if err := b.UnmarshalText(text); err != nil || a != b {
			t.Fatalf("%s: %v, %v", text, b, err)
		}
		if next := a.Next(rapid.Int64Range(0, 1<<50).Draw(t, "now")); next.Compare(a) != 1 || a.Compare(next) != -1 {
			t.Fatalf("%v is not after %v", next, a)
		}
	})
	for _, bad := range []string{"", "1", "1.", ".1", "01.0", "1.00", "+1.0", "-1.0", "1.65536", "1.0 ", "1.0.0", "9223372036854775808.0"} {
		var c store.Clock
		if c.UnmarshalText([]byte(bad)) == nil {
			t.Errorf("%q was read as a clock", bad)
		}
	}
}

func TestHashText(t *testing.T) {
	h := store.HashOf([]byte("x"))
	if got, err := store.ReadHash(h.String()); err != nil || got != h {
		t.Error(err)
	}
	for _, bad := range []string{"", "00", strings.ToUpper(h.String()), h.String() + "0", strings.Repeat("g", 64)} {
		if _, err := store.ReadHash(bad); err == nil {
			t.Errorf("%q was read as a hash", bad)
		}
	}
}

// A checker names each fault once, at its place.
func TestChecker(t *testing.T) {
	check := func(entries []store.Entry, end store.Head) string {
		c := store.Checker{Device: "phone-1"}
		for i := range entries {
			c.Add(&entries[i])
		}
		c.End(end)
		var all []string
		for _, f := range c.Faults {
			all = append(all, fmt.Sprintf("%s %d", f.Kind, f.Seq))
		}
		return strings.Join(all, ", ")
	}
	good := sealed(t, 5)
	end := good[4].Head()
	change := func(f func(e []store.Entry) []store.Entry) []store.Entry { return f(append([]store.Entry{}, good...)) }
	for _, c := range []struct {
		name    string
		entries []store.Entry
		want    string
	}{
		{"whole", good, ""},
		{"one changed", change(func(e []store.Entry) []store.Entry { e[2].Wall++; return e }), "damaged 3"},
		{"two changed", change(func(e []store.Entry) []store.Entry { e[0].Job = "j2"; e[3].Kind = "x"; return e }), "damaged 1, damaged 4"},
		{"one gone", change(func(e []store.Entry) []store.Entry { return append(e[:1], e[2:]...) }), "gap 3"},
		{"end gone", good[:3], "missing 4"},
		{"all gone", nil, "missing 1"},
		{"one twice", change(func(e []store.Entry) []store.Entry { return append(e[:2:2], e[1:]...) }), "forked 2"},
		{"sealed again", change(func(e []store.Entry) []store.Entry { e[2].Wall++; e[2].Hash = e[2].Sum(); return e }), "broken 4"},
		{"last sealed again", change(func(e []store.Entry) []store.Entry { e[4].Wall++; e[4].Hash = e[4].Sum(); return e }), "damaged 5"},
	} {
		if got := check(c.entries, end); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	e := sealed(b, 1)[0]
	for b.Loop() {
		if err := e.Check(); err != nil {
			b.Fatal(err)
		}
	}
}
