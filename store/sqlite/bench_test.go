package sqlite_test

import (
	"context"
	"database/sql"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soundmetal/store"
	"soundmetal/store/sqlite"
	"soundmetal/store/storetest"
)

// BenchmarkAppend is one entry for each form, on disk before the answer.
func BenchmarkAppend(b *testing.B) {
	s, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), "book.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	b.ResetTimer()
	for i := range b.N {
		if _, err := s.Append(context.Background(), batch(i)); err != nil {
			b.Fatal(err)
		}
	}
}

func batch(i int) store.Batch {
	c := storetest.Batch("phone", fmt.Sprintf("form-%016d", i), fmt.Sprintf("j%d", i%7), 1)
	c.Drafts[0].Body = []byte(`{"text":"` + strings.Repeat("x", 200) + `"}`)
	return c
}

// BenchmarkBareInsert is the yardstick: one row of the same bytes in one table
// without any index, at the same durability.
func BenchmarkBareInsert(b *testing.B) {
	insert := bare(b)
	b.ResetTimer()
	for i := range b.N {
		insert(i)
	}
}

// bare gives an insert of the bytes that an entry has, into a table of its own.
func bare(b *testing.B) func(i int) {
	b.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(b.TempDir(), "bare.db")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_txlock=immediate")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE bare (id INTEGER PRIMARY KEY, data TEXT NOT NULL) STRICT"); err != nil {
		b.Fatal(err)
	}
	insert, err := db.Prepare("INSERT INTO bare (data) VALUES (?)")
	if err != nil {
		b.Fatal(err)
	}
	entries, err := store.Seal(store.Head{Device: "phone"}, store.Clock{}, batch(1))
	if err != nil {
		b.Fatal(err)
	}
	line, err := entries[0].Line()
	if err != nil {
		b.Fatal(err)
	}
	text := string(line)
	return func(int) {
		if _, err := insert.Exec(text); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkAgainstBare does both in turns, so that a disk that is slow for a
// while is slow for both, and reports the ratio of their rates.
func BenchmarkAgainstBare(b *testing.B) {
	s, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), "book.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	insert := bare(b)
	var ours, theirs time.Duration
	b.ResetTimer()
	for i := range b.N {
		began := time.Now()
		if _, err := s.Append(context.Background(), batch(i)); err != nil {
			b.Fatal(err)
		}
		middle := time.Now()
		insert(i)
		ours += middle.Sub(began)
		theirs += time.Since(middle)
	}
	b.ReportMetric(float64(theirs)/float64(ours), "of-bare-rate")
}

// BenchmarkLoad reads 20 000 entries with their hashes checked.
func BenchmarkLoad(b *testing.B) {
	s, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), "book.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	fill(b, s, 20_000)
	b.ResetTimer()
	for range b.N {
		n := 0
		for _, err := range s.Load(context.Background(), store.Query{}) {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n != 20_000 {
			b.Fatal(n)
		}
	}
}

// BenchmarkReceive takes 20 000 entries in parts of 500, as a sync does.
func BenchmarkReceive(b *testing.B) {
	from, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), "from.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer from.Close()
	fill(b, from, 20_000)
	b.ResetTimer()
	for i := range b.N {
		to, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), fmt.Sprintf("to%d.db", i)))
		if err != nil {
			b.Fatal(err)
		}
		seen := store.Vector{}
		for {
			part, err := from.Since(context.Background(), seen, 500)
			if err != nil {
				b.Fatal(err)
			}
			if len(part) == 0 {
				break
			}
			if _, err := to.Receive(context.Background(), part); err != nil {
				b.Fatal(err)
			}
			for _, e := range part {
				seen[e.Device] = e.Seq
			}
		}
		to.Close()
	}
}

func fill(b *testing.B, s *sqlite.Store, n int) {
	b.Helper()
	for i := 0; i < n; i += 200 {
		if _, err := s.Append(context.Background(), storetest.Batch("phone", fmt.Sprintf("fill%d", i), fmt.Sprintf("j%d", i%7), 200)); err != nil {
			b.Fatal(err)
		}
	}
}
