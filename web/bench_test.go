//go:build !js

package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// timed gets a page n times and reports the middle and the 95th of 100.
func timed(b *testing.B, d *desk, path string) {
	b.Helper()
	all := make([]time.Duration, 0, b.N)
	d.page(path)
	for b.Loop() {
		t := time.Now()
		w := httptest.NewRecorder()
		d.h.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		if w.Code != 200 {
			b.Fatal(w.Code)
		}
		all = append(all, time.Since(t))
	}
	slices.Sort(all)
	b.ReportMetric(float64(all[len(all)/2].Microseconds())/1000, "ms-p50")
	b.ReportMetric(float64(all[len(all)*95/100].Microseconds())/1000, "ms-p95")
}

// BenchmarkJobPage is the sheet of a job with 5,000 entries.
func BenchmarkJobPage(b *testing.B) {
	d := demoDesk(b)
	j := d.jobNamed("quarry")
	item := j.Places[0].ID
	at := d.now
	for i := range 5000 {
		at = at.Add(time.Minute)
		var cmd book.Command = book.LogReading{Job: j.ID, Reading: book.Reading{Item: item, Temp: book.SI(q.Temperature(120 + i%60))}}
		if i%5 == 0 {
			cmd = book.AddNote{Job: j.ID, Text: fmt.Sprint("note ", i)}
		}
		if _, err := d.book.Do(context.Background(), at, fmt.Sprint("b", i), cmd); err != nil {
			b.Fatal(err)
		}
	}
	d.now = at
	for _, page := range []string{"", "/record", "/log", "/answer"} {
		b.Run("page"+page, func(b *testing.B) { timed(b, d, "/jobs/"+j.ID+page) })
	}
}

// BenchmarkStart is the first page with 10,000 jobs.
func BenchmarkStart(b *testing.B) {
	for _, n := range []int{100, 10_000} {
		d := newDesk(b)
		for i := range n {
			if _, err := d.book.Do(context.Background(), d.now.Add(time.Duration(i)*time.Second), fmt.Sprint("j", i), book.NewJob{Name: fmt.Sprint("job ", i), Set: map[string]string{"site.where": fmt.Sprint("yard ", i%97)}}); err != nil {
				b.Fatal(err)
			}
		}
		for _, page := range []string{"/", "/?q=yard+13", "/due"} {
			b.Run(fmt.Sprintf("%d%s", n, page), func(b *testing.B) { timed(b, d, page) })
		}
	}
}
