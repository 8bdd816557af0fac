package browser

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"soundmetal/store"
)

func sealed(t testing.TB) []store.Entry {
	t.Helper()
	all, err := store.Seal(store.Head{}, store.Clock{MS: 5, N: 65535}, store.Batch{Device: "phone-1", Key: "k-1", Now: time.UnixMilli(3), After: store.Anywhere,
		Drafts: []store.Draft{{Kind: "note.added", Job: "j1", Body: json.RawMessage(`{"text":"a\tb\nc – 25 °C"}`)}, {Kind: "shop.set", Body: json.RawMessage(`{}`)}}})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestRow(t *testing.T) {
	for _, e := range sealed(t) {
		row := string(AppendRow(nil, &e))
		if strings.ContainsAny(row, "\n") {
			t.Errorf("a row has two lines: %q", row)
		}
		got, err := ReadRow(row)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(e, got); d != "" {
			t.Error(d)
		}
		if err := got.Check(); err != nil {
			t.Error(err)
		}
	}
}

func TestRowRefused(t *testing.T) {
	row := string(AppendRow(nil, &sealed(t)[0]))
	for i := 1; i < 6; i++ {
		fields := strings.Split(row, "\t")
		fields[i] = "x"
		if _, err := ReadRow(strings.Join(fields, "\t")); err == nil {
			t.Errorf("field %d was read as %q", i+1, "x")
		}
	}
	if _, err := ReadRow("phone\t1"); err == nil {
		t.Error("a cut row was read")
	}
}

func FuzzRow(f *testing.F) {
	for _, e := range sealed(f) {
		f.Add(string(AppendRow(nil, &e)))
	}
	f.Fuzz(func(t *testing.T, row string) {
		e, err := ReadRow(row)
		if err != nil || e.Check() != nil {
			return
		}
		if again := string(AppendRow(nil, &e)); again != row {
			t.Errorf("%q is read, and written as %q", row, again)
		}
	})
}
