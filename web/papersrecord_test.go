//go:build !js

package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/words"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// copyOf is a desk with a copy of a book.
func copyOf(t testing.TB, from *desk) *desk {
	t.Helper()
	st := memory.New()
	for e, err := range from.book.Store().Load(t.Context(), store.Query{}) {
		if err == nil {
			_, err = st.Receive(t.Context(), []store.Entry{e})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	files, err := from.book.Store().Blobs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		data, err := from.book.Blob(t.Context(), f.Hash)
		if err == nil {
			_, err = st.PutBlob(t.Context(), data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	b, err := book.Open(t.Context(), st, "phone", book.Options{Price: Price})
	if err != nil {
		t.Fatal(err)
	}
	return &desk{TB: t, book: b, now: from.now}
}

// printed is the text of the record as it is drawn, without its line breaks.
func printed(t interface{ Fatal(...any) }, r paper.Record, o paper.Options) string {
	doc, err := paper.RecordPaper(r, o)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, p := range doc.Pages {
		all = append(all, draw.Apart(p).Words()...)
	}
	return strings.Join(all, " ")
}

// Whatever is logged, in whichever order: every reading, bead and deviation that
// stands is in the record once, and what was taken back is among the corrections
// and not among the figures.
func TestNothingLoggedIsLeftOut(t *testing.T) {
	base, j := workedDesk(t, false)
	place := j.Places[0].ID
	rapid.Check(t, func(rt *rapid.T) {
		d := copyOf(t, base)
		n := 0
		do := func(c book.Command) book.Result {
			n++
			d.now = d.now.Add(time.Minute)
			res, err := d.book.Do(t.Context(), d.now, fmt.Sprintf("law-%d", n), c)
			if err != nil {
				rt.Fatal(err)
			}
			return res
		}
		var refs []book.Ref
		for range rapid.IntRange(1, 25).Draw(rt, "entries") {
			switch rapid.IntRange(0, 4).Draw(rt, "what") {
			case 0, 1:
				temp := q.Temperature(rapid.IntRange(0, 450).Draw(rt, "temp"))
				refs = append(refs, do(book.LogReading{Job: j.ID, Reading: book.Reading{Item: place, Bead: rapid.IntRange(0, 20).Draw(rt, "bead"), Temp: book.SI(temp), Place: fmt.Sprintf("w%d", n)}}).Entries[0])
			case 2:
				c := book.Crayon{At: *book.SI(q.Temperature(rapid.IntRange(60, 300).Draw(rt, "crayon"))), Melted: rapid.Bool().Draw(rt, "melted")}
				refs = append(refs, do(book.LogReading{Job: j.ID, Reading: book.Reading{Item: place, Crayon: &c, Place: fmt.Sprintf("w%d", n)}}).Entries[0])
			case 3:
				refs = append(refs, do(book.BeadDone{Job: j.ID, Bead: book.Bead{Item: place, Number: rapid.IntRange(1, 40).Draw(rt, "number"), Rods: float64(rapid.IntRange(0, 4).Draw(rt, "rods")), Note: fmt.Sprintf("w%d", n)}}).Entries[0])
			case 4:
				if len(refs) > 0 {
					do(book.Correct{Job: j.ID, Of: rapid.SampledFrom(refs).Draw(rt, "of"), Void: true, Reason: fmt.Sprintf("r%d", n)})
				}
			}
		}
		got, err := d.book.Job(t.Context(), j.ID)
		if err != nil {
			rt.Fatal(err)
		}
		o := paper.Options{Size: paper.A4, Date: d.now, Words: words.English()}
		c := recorder{j: got, p: &printing{Options: o, version: got.Plan()}, now: d.now}
		rec := c.record()
		reads, beads, devs := 0, 0, 0
		text := " " + printed(rt, rec, o) + " "
		for _, r := range got.Readings {
			switch {
			case !r.Void:
				reads++
				if r.Is.Place != "" && !strings.Contains(text, " "+r.Is.Place+" ") {
					rt.Fatalf("the reading at %s is not in the record", r.Is.Place)
				}
			case !strings.Contains(text, r.Corrections[len(r.Corrections)-1].Reason):
				rt.Fatalf("nothing says why %s was taken back", r.Ref)
			}
		}
		for _, b := range got.Beads {
			if !b.Void {
				beads++
				if b.Is.Note != "" && !strings.Contains(text, " "+b.Is.Note+" ") {
					rt.Fatalf("bead %s is not in the record", b.Is.Note)
				}
			}
		}
		for _, d := range got.Deviations {
			devs++
			if first := strings.Fields(d.Text)[0]; !strings.Contains(strings.ToLower(text), strings.ToLower(first)) {
				rt.Fatalf("deviation %q is not in the record", d.Text)
			}
		}
		gotReads, gotBeads, gotDevs := len(rec.Log.Readings), 0, len(rec.Log.Deviations)
		for _, it := range rec.Items {
			gotReads, gotBeads, gotDevs = gotReads+len(it.Readings), gotBeads+len(it.Beads), gotDevs+len(it.Deviations)
		}
		if gotReads != reads || gotBeads != beads || gotDevs != devs {
			rt.Fatalf("%d readings, %d beads, %d deviations in the record; %d, %d, %d stand in the book", gotReads, gotBeads, gotDevs, reads, beads, devs)
		}
	})
}

// Too many rows are counted, never dropped in silence.
func TestTooManyRowsAreCounted(t *testing.T) {
	j := withPlan(book.Job{ID: "j", Places: []book.PlaceOf{{ID: "i", Name: "rail"}}}, book.PlanVersion{})
	for n := range mostPrinted + 7 {
		j.Readings = append(j.Readings, book.Logged[book.Reading]{Meta: book.Meta{At: noon.Add(time.Duration(n) * time.Minute)}, Is: book.Reading{Item: "i", Temp: book.SI(q.Temperature(20))}})
	}
	c := recorder{j: &j, p: &printing{Options: paper.Options{Size: paper.A4, Date: noon, Words: words.English()}}, now: noon}
	rec := c.record()
	if n := len(rec.Items[0].Readings); n != mostPrinted {
		t.Errorf("%d rows, want %d", n, mostPrinted)
	}
	for _, want := range []string{"7 more readings: the log of the job has them.", fmt.Sprintf("The chart shows the last %d of %d readings.", mostRows, mostPrinted+7)} {
		if !strings.Contains(printed(t, rec, c.p.Options), want) {
			t.Errorf("the record does not say %q: %q", want, rec.Items[0].LeftOut)
		}
	}
}

// How a reading stands to the window of its day: floor 150 °C, ceiling 250 °C.
func TestWithinTheWindow(t *testing.T) {
	floor, ceiling := q.Temperature(150), q.Temperature(250)
	limits := book.Limits{Items: []book.ItemLimits{{Item: "i", Floor: &floor, Ceiling: &ceiling}}}
	crayon := func(at q.Temperature, melted bool) *book.Crayon {
		return &book.Crayon{At: *book.SI(at), Melted: melted}
	}
	for _, c := range []struct {
		name string
		r    book.Reading
		want string
	}{
		{"at the floor", book.Reading{Bead: 1, Temp: book.SI(q.Temperature(150))}, "yes"},
		{"below it before a bead", book.Reading{Bead: 1, Temp: book.SI(q.Temperature(140))}, "NO: too cold"},
		{"below it at no bead", book.Reading{Temp: book.SI(q.Temperature(140))}, "below it, at no bead"},
		{"above the ceiling", book.Reading{Bead: 2, Temp: book.SI(q.Temperature(260))}, "NO: too hot"},
		{"above it at no bead", book.Reading{Temp: book.SI(q.Temperature(260))}, "NO: too hot"},
		{"crayon of the floor melts", book.Reading{Bead: 2, Crayon: crayon(150, true)}, "hot enough; upper limit not shown"},
		{"crayon of the floor does not", book.Reading{Bead: 2, Crayon: crayon(150, false)}, "NO: too cold"},
		{"crayon of the ceiling does not melt", book.Reading{Bead: 2, Crayon: crayon(250, false)}, "not too hot; lower limit not shown"},
		{"crayon above the ceiling melts", book.Reading{Bead: 2, Crayon: crayon(260, true)}, "NO: too hot"},
		{"a low crayon melts", book.Reading{Bead: 2, Crayon: crayon(100, true)}, "does not show it"},
		{"a place without limits", book.Reading{Item: "other", Bead: 1, Temp: book.SI(q.Temperature(20))}, "no limit planned"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.r.Item == "" {
				c.r.Item = "i"
			}
			j := withPlan(book.Job{Readings: []book.Logged[book.Reading]{is(c.r)}}, book.PlanVersion{PlanMade: book.PlanMade{Limits: limits}})
			if got := windowWords[j.Window(&j.Readings[0])]; got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}
