//go:build js

package browser

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"testing"

	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/store/storetest"
)

// The suite needs IndexedDB: `make browser` builds this test and runs it in
// Chromium (web/browser/conform.mjs). Elsewhere it is skipped.
func book(t *testing.T, name string) (*memory.Store, *Medium) {
	t.Helper()
	at := js.Global().Get("pocketStoreAt")
	if at.IsUndefined() {
		t.Skip("no IndexedDB here")
	}
	s, m, err := open(context.Background(), &Medium{shim: at.Invoke(name)})
	if err != nil {
		t.Fatal(err)
	}
	return s, m
}

func TestStore(t *testing.T) {
	n := 0
	names := map[store.Store]string{}
	storetest.Run(t, storetest.Adapter{
		New: func(t *testing.T) store.Store {
			n++
			name := fmt.Sprintf("conform-%d", n)
			s, _ := book(t, name)
			names[s] = name
			return s
		},
		Reopen: func(t *testing.T, s store.Store) store.Store {
			again, _ := book(t, names[s])
			names[again] = names[s]
			return again
		},
	})
}

// Two programs on one book: the second to write is told that it is stale, and
// what the first one stored stays.
func TestStale(t *testing.T) {
	one, _ := book(t, "stale")
	told := 0
	other, m, err := open(t.Context(), &Medium{shim: js.Global().Get("pocketStoreAt").Invoke("stale"), stale: func() { told++ }})
	if err != nil {
		t.Fatal(err)
	}
	first, err := one.Append(t.Context(), storetest.Batch("phone", "k1", "j1", 2))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Append(t.Context(), storetest.Batch("phone", "k2", "j1", 1)); !errors.Is(err, ErrStale) || told != 1 {
		t.Fatalf("got %v, told %d times", err, told)
	}
	again, _, err := open(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := again.Find(t.Context(), "k1"); err != nil || len(got) != 2 || got[0].Hash != first.Entries[0].Hash {
		t.Errorf("%v, %v", got, err)
	}
	if got, _ := again.Find(t.Context(), "k2"); len(got) != 0 {
		t.Errorf("what was refused is stored: %v", got)
	}
}

func TestKept(t *testing.T) {
	_, m := book(t, "kept")
	if data, err := m.Load(t.Context(), "nothing"); data != nil || err != nil {
		t.Errorf("%q, %v", data, err)
	}
	for _, want := range []string{"phone-1", "phone-2"} {
		if err := m.Save(t.Context(), "device", []byte(want)); err != nil {
			t.Fatal(err)
		}
		if data, err := m.Load(t.Context(), "device"); string(data) != want || err != nil {
			t.Errorf("%q, %v", data, err)
		}
	}
}
