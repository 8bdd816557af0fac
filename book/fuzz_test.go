package book_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"soundmetal/book"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/store"
)

// Whatever stands in an entry of another device: it is folded without a panic,
// the job can be shown, and folding it twice or in another order is the same.
func FuzzFold(f *testing.F) {
	w := newSeed(f)
	for _, e := range w {
		f.Add(e.Kind, string(e.Body), e.Kind, string(e.Body))
	}
	f.Add("reading", `{"item":"x","bead":1,"crayon":{"at":{"si":1e308}}}`, "facts.set", `{"set":{"a":"1","a.b":"2","[":"3","a[7].b[9]":"4"}}`)
	f.Add("clock.started", `{"id":"k","what":"fire-watch","for":1e300,"when":"9999-12-31T23:59:59Z"}`, "bead.done", `{"item":"","number":-5,"ended":"0001-01-01T00:00:00Z"}`)
	f.Add("entry.corrected", `{"of":"phone.1","kind":"reading","body":{"item":"x"}}`, "job.closed", `{"looks":[{"id":"a"},{"id":"a"}]}`)
	f.Fuzz(func(t *testing.T, kindA, bodyA, kindB, bodyB string) {
		drafts := []store.Draft{{Kind: kindA, Job: "j1", Body: []byte(bodyA)}, {Kind: kindB, Job: "j1", Body: []byte(bodyB)}}
		a, errA := store.Seal(store.Head{Device: "phone"}, store.Clock{}, store.Batch{Device: "phone", Key: "a", Now: morning, Drafts: drafts})
		b, errB := store.Seal(store.Head{Device: "tablet"}, store.Clock{}, store.Batch{Device: "tablet", Key: "b", Now: morning, Drafts: drafts})
		if errA != nil || errB != nil {
			return
		}
		var shown []string
		for _, order := range [][]store.Entry{append(append(append([]store.Entry{}, w...), a...), b...), append(append(append([]store.Entry{}, b...), a...), w...)} {
			s := book.NewState()
			for i := range order {
				s.Fold(&order[i])
			}
			s.List(book.ListQuery{Text: "x"})
			j, err := s.Job("j1")
			if err != nil {
				t.Fatal(err)
			}
			j.Facts.Document()
			for _, l := range j.Log {
				l.Text()
			}
			data, err := json.Marshal(j)
			if err != nil {
				if strings.Contains(err.Error(), "year outside") {
					return // a time that no JSON can say
				}
				t.Fatal(err)
			}
			shown = append(shown, string(data))
		}
		if shown[0] != shown[1] {
			t.Fatalf("in another order it is another job:\n%s\n%s", shown[0], shown[1])
		}
	})
}

// newSeed is the log of a small job under the id j1.
func newSeed(f *testing.F) []store.Entry {
	f.Helper()
	limits := book.Limits{Items: []book.ItemLimits{{Item: "i1", Planned: true, Floor: ptr[q.Temperature](110), Ceiling: ptr[q.Temperature](200), Length: ptr[q.Length](0.2), Depth: ptr[q.Length](0.01), Delay: ptr[q.Time](3600), ReadAt: ptr[q.Length](0.05),
		Beads: []book.BeadLimits{{Number: 1, Rod: "E7018 3.2 mm"}}}},
		Holds: []book.HoldLine{{ID: "i1/after-hold", Item: "i1", Section: "after"}}, Steps: []book.StepLine{{ID: "safe/stop", Section: "safe"}}}
	var drafts []store.Draft
	for _, d := range []struct {
		kind book.Kind
		body any
	}{
		{book.KindOpened, book.JobOpened{Name: "x", Units: job.SI}},
		{book.KindFacts, book.FactsSet{Set: map[string]string{"site.air": "3 C"}, Items: []book.ItemSet{{ID: "i1", Set: map[string]string{"name": "plate"}}}}},
		{book.KindPlan, book.PlanMade{ID: "p1", Limits: limits}},
		{book.KindTin, book.TinOpened{ID: "t1", Class: "E7018", When: morning}},
		{book.KindReading, book.Reading{Item: "i1", Bead: 1, When: morning}},
		{book.KindBead, book.Bead{Item: "i1", Number: 1, Tin: "t1", Ended: morning}},
		{book.KindClockOn, book.ClockStarted{ID: "k1", What: book.FireWatch, For: 60, When: morning}},
		{book.KindProposed, book.ChangeProposed{ID: "o1", From: "p1", To: "p1", Item: "i1"}},
		{book.KindAccepted, book.ChangeAccepted{ID: "o1"}},
		{book.KindClosed, book.Closed{By: "me", Looks: []book.Look{{ID: "l1", Due: morning}}}},
	} {
		body, err := json.Marshal(d.body)
		if err != nil {
			f.Fatal(err)
		}
		drafts = append(drafts, store.Draft{Kind: string(d.kind), Job: "j1", Body: body})
	}
	entries, err := store.Seal(store.Head{Device: "office"}, store.Clock{}, store.Batch{Device: "office", Key: "seed", Now: morning, Drafts: drafts})
	if err != nil {
		f.Fatal(err)
	}
	return entries
}

func ptr[T ~float64](v float64) *T { t := T(v); return &t }

// A job file taken apart into fields and put together again is the same job.
func FuzzFields(f *testing.F) {
	f.Add([]byte("job: x\nsite: {air: 3 C}\nunits: si\nitems:\n  - {name: a, part: plate, thickness: 12 mm, crack: 40 mm, behind: [hose, oil]}\n"))
	f.Add([]byte("units: us\npart: plate\nthickness: 1/2\ncrack: {length: 6, through: yes}\nsteel: {grade: A36, analysis: {C: 0.2, Mn: 1}}\n"))
	f.Fuzz(func(t *testing.T, document []byte) {
		set, items, err := book.FieldsOfJob("x", document)
		if err != nil {
			return
		}
		facts := book.Facts{Set: set}
		for i, it := range items {
			facts.Items = append(facts.Items, book.ItemFacts{ID: string(rune('a' + i)), Set: it})
		}
		again, _, err := facts.Document()
		if err != nil {
			t.Fatal(err)
		}
		was, errA := job.Read("x", document)
		is, errB := job.Read("x", again)
		if errA != nil || errB != nil {
			t.Fatalf("%v, then %v\n%s", errA, errB, again)
		}
		a, _ := json.Marshal(was)
		b, _ := json.Marshal(is)
		if !bytes.Equal(a, b) {
			t.Fatalf("was\n%s\nis\n%s\nfrom %s", a, b, again)
		}
	})
}
