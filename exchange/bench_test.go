//go:build !js

package exchange_test

import (
	"path/filepath"
	"testing"

	"soundmetal/store/memory"
	"soundmetal/store/sqlite"
)

// Benchmark20000 sends 20,000 entries over loopback to a host on SQLite, with
// every hash and chain checked and every job folded there.
func Benchmark20000(b *testing.B) {
	st := memory.New()
	manyEntries(b, st, "phone", many)
	logged := since(b, st)
	for b.Loop() {
		b.StopTimer()
		file, err := sqlite.Open(b.Context(), filepath.Join(b.TempDir(), "book.db"))
		if err != nil {
			b.Fatal(err)
		}
		o := officeOn(b, file)
		own := memory.New()
		if _, err := own.Receive(b.Context(), logged); err != nil {
			b.Fatal(err)
		}
		p := phoneOn(b, "phone", own)
		if err := p.client.Join(b.Context(), o.front.URL, o.code()); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		pr := p.run()
		b.StopTimer()
		if pr.Sent != many {
			b.Fatalf("%d were sent", pr.Sent)
		}
		b.ReportMetric(float64(pr.Bytes)/many, "B/entry")
		o.front.Close()
		file.Close()
		b.StartTimer()
	}
}

// Benchmark20000Fetch is the other way: a new phone takes 20,000 entries.
func Benchmark20000Fetch(b *testing.B) {
	file, err := sqlite.Open(b.Context(), filepath.Join(b.TempDir(), "book.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer file.Close()
	st := memory.New()
	manyEntries(b, st, "other", many)
	if _, err := file.Receive(b.Context(), since(b, st)); err != nil {
		b.Fatal(err)
	}
	o := officeOn(b, file)
	defer o.front.Close()
	for b.Loop() {
		p := phoneOn(b, "phone", memory.New())
		if err := p.client.Join(b.Context(), o.front.URL, o.code()); err != nil {
			b.Fatal(err)
		}
		if pr := p.run(); pr.Fetched < many {
			b.Fatalf("%d were fetched", pr.Fetched)
		}
	}
}
