//go:build !js

package book_test

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// long is a book with one job of n readings and beads after its plan.
func long(b *testing.B, st store.Store, n int) string {
	b.Helper()
	ctx := context.Background()
	seed, err := book.Open(ctx, memory.New(), "seed", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	r, err := seed.Do(ctx, morning, "k", plate())
	if err != nil {
		b.Fatal(err)
	}
	entries, err := seed.Store().Since(ctx, nil, 100)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := st.Receive(ctx, entries); err != nil {
		b.Fatal(err)
	}
	j, err := seed.Job(ctx, r.Job)
	if err != nil {
		b.Fatal(err)
	}
	place := j.Places[0].ID
	for i := 0; i < n; i += 2 {
		at := morning.Add(time.Duration(i) * time.Minute)
		reading, _ := json.Marshal(book.Reading{Item: place, Bead: i/2 + 1, Temp: book.SI(q.Temperature(120 + i%80)), Place: "far face", When: at})
		bead, _ := json.Marshal(book.Bead{Item: place, Number: i/2 + 1, Rods: 2, Length: book.SI(q.Length(0.3)), Amps: book.SI(q.Current(125)), Ended: at})
		if _, err := st.Append(ctx, store.Batch{Device: "office", Key: fmt.Sprint("k", i), Now: at, After: store.Anywhere, Drafts: []store.Draft{
			{Kind: string(book.KindReading), Job: r.Job, Body: reading}, {Kind: string(book.KindBead), Job: r.Job, Body: bead}}}); err != nil {
			b.Fatal(err)
		}
	}
	return r.Job
}

// BenchmarkFold5000 folds a job of 5 000 entries from their JSON.
func BenchmarkFold5000(b *testing.B) {
	st := memory.New()
	id := long(b, st, 5000)
	var entries []store.Entry
	for e, err := range st.Load(context.Background(), store.Query{Jobs: []string{id}}) {
		if err != nil {
			b.Fatal(err)
		}
		entries = append(entries, e)
	}
	b.ReportAllocs()
	for b.Loop() {
		s := book.NewState()
		for i := range entries {
			s.Fold(&entries[i])
		}
		if _, err := s.Job(id); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOpen5000 opens the book and shows the job of 5 000 entries, from SQLite.
func BenchmarkOpen5000(b *testing.B) {
	st := openFile(b, filepath.Join(b.TempDir(), "book.db"))
	id := long(b, st, 5000)
	for b.Loop() {
		bk, err := book.Open(context.Background(), st, "office", book.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := bk.Job(context.Background(), id); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDo5000 logs a note on a job of 5 000 entries and shows it, in memory.
func BenchmarkDo5000(b *testing.B) {
	st := memory.New()
	id := long(b, st, 5000)
	bk, err := book.Open(context.Background(), st, "office", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	i := 0
	for b.Loop() {
		i++
		if _, err := bk.Do(context.Background(), morning.Add(100*time.Hour), fmt.Sprint("n", i), book.AddNote{Job: id, Text: "note"}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkShow5000 gives the job to a page again.
func BenchmarkShow5000(b *testing.B) {
	st := memory.New()
	id := long(b, st, 5000)
	bk, err := book.Open(context.Background(), st, "office", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		j, err := bk.Job(context.Background(), id)
		if err != nil || len(j.Dues()) > 9 {
			b.Fatal(err)
		}
	}
}

// many is a book of 10 000 jobs.
func many(b *testing.B, st store.Store) *book.Book {
	b.Helper()
	notes(b, st, "office", 10_000, 2)
	bk, err := book.Open(context.Background(), st, "office", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return bk
}

// BenchmarkList10000 gives the first page of 10 000 jobs.
func BenchmarkList10000(b *testing.B) {
	bk := many(b, memory.New())
	for b.Loop() {
		if c, n := bk.List(book.ListQuery{Limit: 30}); n != 10_000 || len(c) != 30 {
			b.Fatal(n)
		}
	}
}

// BenchmarkSearch10000 looks for words in 10 000 jobs.
func BenchmarkSearch10000(b *testing.B) {
	bk := many(b, memory.New())
	for b.Loop() {
		if _, n := bk.List(book.ListQuery{Text: "job 9999", Limit: 30}); n != 1 {
			b.Fatal(n)
		}
	}
}

// BenchmarkOpen10000 opens a book of 10 000 jobs from its snapshot.
func BenchmarkOpen10000(b *testing.B) {
	st := openFile(b, filepath.Join(b.TempDir(), "book.db"))
	many(b, st)
	for b.Loop() {
		if _, err := book.Open(context.Background(), st, "office", book.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDo10000 logs a note in a book of 10 000 jobs.
func BenchmarkDo10000(b *testing.B) {
	bk := many(b, memory.New())
	i := 0
	for b.Loop() {
		i++
		if _, err := bk.Do(context.Background(), morning.Add(100*time.Hour), fmt.Sprint("n", i), book.AddNote{Job: fmt.Sprintf("j%06d", i%10_000), Text: "note"}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkNewJob opens a job with its plan.
func BenchmarkNewJob(b *testing.B) {
	bk, err := book.Open(context.Background(), memory.New(), "office", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	i := 0
	for b.Loop() {
		i++
		if _, err := bk.Do(context.Background(), morning, fmt.Sprint("n", i), plate()); err != nil {
			b.Fatal(err)
		}
	}
}
