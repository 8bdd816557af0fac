//go:build !js

package book_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// long is a book with one job of n entries after its plan. As in real work, most
// are readings and notes in the window; every fiftieth reading deviates. With
// bad set every second entry deviates, which is the worst that can be.
func long(b *testing.B, st store.Store, n int, bad bool) string {
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
	l, _ := j.Limits(place)
	draft := func(k book.Kind, body any) store.Draft {
		data, err := json.Marshal(body)
		if err != nil {
			b.Fatal(err)
		}
		return store.Draft{Kind: string(k), Job: r.Job, Body: data}
	}
	for i := 0; i < n; i += 2 {
		at := morning.Add(time.Duration(i) * time.Minute)
		reading := book.Reading{Item: place, Bead: 1 + i/2%len(l.Beads), Temp: book.SI(*l.Floor + 20), Place: "far face", When: at}
		if bad || i%100 == 0 {
			reading.Temp = book.SI(q.Temperature(-10))
		}
		second := draft(book.KindNote, book.Note{Text: "nothing to see", When: at})
		if bead := i/2 + 1; bead <= len(l.Beads) {
			second = draft(book.KindBead, book.Bead{Item: place, Number: bead, Rods: 1, Length: book.SI(l.Beads[0].Run.Mid()), Ended: at})
		}
		if _, err := st.Append(ctx, store.Batch{Device: "office", Key: fmt.Sprint("k", i), Now: at, After: store.Anywhere,
			Drafts: []store.Draft{draft(book.KindReading, reading), second}}); err != nil {
			b.Fatal(err)
		}
	}
	return r.Job
}

// BenchmarkFold5000 folds a job of 5 000 entries from their JSON.
func BenchmarkFold5000(b *testing.B) {
	st := memory.New()
	id := long(b, st, 5000, false)
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
	id := long(b, st, 5000, false)
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
	id := long(b, st, 5000, false)
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

// BenchmarkDo5000Worst is the same where every second entry deviates.
func BenchmarkDo5000Worst(b *testing.B) {
	st := memory.New()
	id := long(b, st, 5000, true)
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
	id := long(b, st, 5000, false)
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

// handed is a book in SQLite with a job of 1 000 entries and 10 photos as a phone
// takes them, made smaller in the page.
func handed(b *testing.B) (*book.Book, string) {
	b.Helper()
	st := openFile(b, filepath.Join(b.TempDir(), "book.db"))
	id := long(b, st, 1000, false)
	bk, err := book.Open(b.Context(), st, "office", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	for i := range 10 {
		img := image.NewRGBA(image.Rect(0, 0, 1600, 1200))
		for y := range 1200 {
			for x := range 1600 {
				v := uint8((x+y)/12 + random.IntN(24))
				img.SetRGBA(x, y, color.RGBA{v, v, v / 2, 255})
			}
		}
		var out bytes.Buffer
		if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 82}); err != nil {
			b.Fatal(err)
		}
		if _, err := bk.Do(b.Context(), morning.AddDate(0, 1, 0), fmt.Sprint("photo", i), book.AddPhoto{Job: id, Data: out.Bytes()}); err != nil {
			b.Fatal(err)
		}
	}
	return bk, id
}

// BenchmarkHandOver writes a job file.
func BenchmarkHandOver(b *testing.B) {
	bk, id := handed(b)
	var size int
	for b.Loop() {
		size = len(handOver(b, bk, id, true))
	}
	b.ReportMetric(float64(size)/1e6, "MB/file")
	b.ReportMetric(float64(len(handOver(b, bk, id, false)))/1e6, "MB/bare")
}

// BenchmarkTakeIn takes it into an empty book on disk.
func BenchmarkTakeIn(b *testing.B) {
	bk, id := handed(b)
	data := handOver(b, bk, id, true)
	for b.Loop() {
		b.StopTimer()
		to, err := book.Open(b.Context(), openFile(b, filepath.Join(b.TempDir(), "book.db")), "phone", book.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if _, err := takeIn(to, morning.AddDate(0, 2, 0), data); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTakeInAgain takes it in where it is already.
func BenchmarkTakeInAgain(b *testing.B) {
	bk, id := handed(b)
	data := handOver(b, bk, id, true)
	for b.Loop() {
		if _, err := takeIn(bk, morning.AddDate(0, 2, 0), data); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOpenCarried opens a book whose only job came by file, without a
// snapshot, and folds the job.
func BenchmarkOpenCarried(b *testing.B) {
	bk, id := handed(b)
	st := openFile(b, filepath.Join(b.TempDir(), "book.db"))
	to, err := book.Open(b.Context(), st, "phone", book.Options{})
	if err != nil {
		b.Fatal(err)
	}
	if _, err := takeIn(to, morning.AddDate(0, 2, 0), handOver(b, bk, id, true)); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		to, err := book.Open(b.Context(), st, "phone", book.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := to.Job(b.Context(), id); err != nil {
			b.Fatal(err)
		}
	}
}
