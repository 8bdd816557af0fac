package sqlite_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"soundmetal/store"
	"soundmetal/store/sqlite"
	"soundmetal/store/storetest"
)

func open(t *testing.T, path string) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestStore(t *testing.T) {
	paths := map[store.Store]string{}
	storetest.Run(t, storetest.Adapter{
		New: func(t *testing.T) store.Store {
			path := filepath.Join(t.TempDir(), "book.db")
			s := open(t, path)
			paths[s] = path
			return s
		},
		Reopen: func(t *testing.T, s store.Store) store.Store {
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			return open(t, paths[s])
		},
	})
}

// Two programs on one file, as serve and backup are.
func TestTwoProcesses(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	a, b := open(t, path), open(t, path)
	var wg sync.WaitGroup
	for i, s := range []store.Store{a, b} {
		wg.Go(func() {
			for k := range 20 {
				if _, err := s.Append(context.Background(), storetest.Batch("office", fmt.Sprintf("%d-%d", i, k), "j1", 1)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	r, err := a.Verify(t.Context())
	if err != nil || !r.OK() || r.Entries != 40 {
		t.Errorf("%v, %v", r, err)
	}
}

func TestStrangePaths(t *testing.T) {
	for _, name := range []string{"with space.db", "what?.db", "a#b.db", "50%25.db", "ä∑.db", "a&b=c.db", "file:x.db"} {
		path := filepath.Join(t.TempDir(), name)
		s := open(t, path)
		if _, err := s.Append(t.Context(), storetest.Batch("phone", "k", "j", 1)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		s.Close()
		info, err := os.Stat(path)
		if err != nil || info.Size() == 0 {
			t.Errorf("%s: the book is not where it was asked for: %v", name, err)
			continue
		}
		if info.Mode().Perm() != 0o600 {
			t.Errorf("%s: mode %v, want it for its owner alone", name, info.Mode())
		}
	}
}

// raw opens the file behind the adapter's back, with the guards taken off.
func raw(t *testing.T, path string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(s, err)
		}
	}
}

const noGuards = "DROP TRIGGER entry_is_not_changed; DROP TRIGGER entry_is_not_deleted"

func TestEntriesCannotBeChanged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	if _, err := s.Append(t.Context(), storetest.Batch("phone", "k", "j", 2)); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, q := range []string{"UPDATE entry SET body = '{}' WHERE seq = 1", "DELETE FROM entry WHERE seq = 2", "INSERT OR REPLACE INTO entry SELECT ord, device, seq, prev, hash, ms, n, wall, kind, job, key, '{}' FROM entry"} {
		if _, err := db.Exec("PRAGMA recursive_triggers = 1; " + q); err == nil || !strings.Contains(err.Error(), "never") {
			t.Errorf("%s: %v", q, err)
		}
	}
}

func TestDamageIsReported(t *testing.T) {
	for _, c := range []struct {
		name, do string
		kind     store.FaultKind
		seq      int64
	}{
		{"body changed", `UPDATE entry SET body = '{"text":"other"}' WHERE seq = 3`, store.Damaged, 3},
		{"time changed", "UPDATE entry SET wall = wall + 1 WHERE seq = 5", store.Damaged, 5},
		{"job changed", "UPDATE entry SET job = 'j2' WHERE seq = 1", store.Damaged, 1},
		{"entry taken out", "DELETE FROM entry WHERE seq = 2", store.Gap, 3},
		{"end cut off", "DELETE FROM entry WHERE seq >= 5", store.Missing, 5},
		{"everything gone", "DELETE FROM entry", store.Missing, 1},
		{"end written again", "UPDATE head SET hash = zeroblob(32)", store.Damaged, 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "book.db")
			s := open(t, path)
			if _, err := s.Append(t.Context(), storetest.Batch("phone", "k", "j", 6)); err != nil {
				t.Fatal(err)
			}
			s.Close()
			raw(t, path, noGuards, c.do)
			s = open(t, path)
			r, err := s.Verify(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if len(r.Faults) != 1 || r.Faults[0].Device != "phone" || r.Faults[0].Kind != c.kind || r.Faults[0].Seq != c.seq {
				t.Errorf("got %v, want one fault: %s at entry %d of phone", r, c.kind, c.seq)
			}
		})
	}
}

func TestDamagedBlob(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	h, err := s.PutBlob(t.Context(), []byte("picture"))
	if err != nil {
		t.Fatal(err)
	}
	raw(t, path, "UPDATE blob SET data = x'00'")
	if _, err := s.Blob(t.Context(), h); !errors.Is(err, store.ErrDamagedBlob) {
		t.Errorf("%v", err)
	}
	r, err := s.Verify(t.Context())
	if err != nil || len(r.Other) != 1 || !strings.Contains(r.Other[0], h.String()) {
		t.Errorf("%v, %v", r, err)
	}
}

func TestNewerBookIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	open(t, path).Close()
	raw(t, path, "INSERT INTO migration VALUES (99, 'later', 'x')")
	if _, err := sqlite.Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), "newer version") {
		t.Errorf("%v", err)
	}
	raw(t, path, "DELETE FROM migration WHERE number = 99", "UPDATE migration SET checksum = 'other'")
	if _, err := sqlite.Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), "step 1") {
		t.Errorf("%v", err)
	}
}

func TestNotABook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	if err := os.WriteFile(path, []byte(strings.Repeat("this is a letter. ", 400)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := sqlite.Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("%v", err)
	}
}
