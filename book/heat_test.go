package book_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"soundmetal/book"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/task"
)

// simulatedFor is a small invented result for the plan in force.
func simulatedFor(j *book.Job, place string, floor int) *task.Result {
	id, number := "", 1
	if p := j.Plan(); p != nil {
		id = p.PlanMade.ID
		for i, l := range p.Limits.Items {
			if l.Item == place {
				number = i + 1
			}
		}
	}
	return &task.Result{Version: task.Version, Kind: task.Heat, Input: strings.Repeat("0a", 32), Plan: id, Place: place, Item: number, Level: task.Coarse,
		Answer: &plan.ThermalAnswer{Version: plan.Version, Items: []plan.ThermalItem{{Number: number, Name: "place", Chart: &plan.ThermalChart{Floor: q.Temperature(floor)}}}}}
}

func TestKeepHeat(t *testing.T) {
	w := newBench(t)
	w.job = w.do(plate()).Job
	w.place = w.is().Places[0].ID
	reading := w.do(book.LogReading{Job: w.job, Reading: book.Reading{Temp: book.SI(q.Temperature(60))}}).Entries[0]
	res := simulatedFor(w.is(), w.place, 120)
	w.do(book.KeepHeat{Job: w.job, Item: w.place, Result: res})
	all, current := w.is().HeatOf(w.place)
	if len(all) != 1 || !current || all[0].Is.Level != "coarse" {
		t.Fatalf("got %+v, current %v", all, current)
	}
	got, err := w.b.Heat(t.Context(), all[0].Is)
	if err != nil || got.Thermal().Chart.Floor != 120 {
		t.Fatalf("%+v, %v", got, err)
	}
	fitted := simulatedFor(w.is(), w.place, 121)
	fitted.Readings = []task.Reading{{Time: 120, T: 60, At: 0.075, Ref: reading.String()}}
	w.do(book.KeepHeat{Job: w.job, Item: w.place, Result: fitted})
	if l := w.is().Log[len(w.is().Log)-1]; l.Text() != "heat worked out, coarse, with one reading" || l.Item != w.place {
		t.Errorf("the log says %q of %q", l.Text(), l.Item)
	}

	for name, c := range map[string]struct {
		change func(*task.Result)
		code   book.Code
		words  string
	}{
		"of another place":  {func(r *task.Result) { r.Place = "elsewhere" }, book.CodeField, "another place"},
		"of another number": {func(r *task.Result) { r.Item, r.Answer.Items[0].Number = 2, 2 }, book.CodeField, "another place"},
		"of another plan":   {func(r *task.Result) { r.Plan = "p0" }, book.CodeState, "the plan has changed"},
		"unknown reading":   {func(r *task.Result) { r.Readings = []task.Reading{{Time: 60, T: 60, Ref: "office.9999"}} }, book.CodeUnknown, "not logged here"},
		"an answer of nothing": {func(r *task.Result) {
			r.Answer.Items[0].Chart.Faces = []plan.ThermalFace{{Points: []plan.ThermalSpan{{At: -5}}}}
		}, book.CodeField, "cannot be"},
	} {
		t.Run(name, func(t *testing.T) {
			res := simulatedFor(w.is(), w.place, 120)
			c.change(res)
			w.refused(c.code, c.words, book.KeepHeat{Job: w.job, Item: w.place, Result: res})
		})
	}

	// a new plan makes it old: it stays in the record
	old := w.is().Plan().PlanMade.ID
	w.do(book.SetFacts{Job: w.job, Items: []book.ItemSet{{ID: w.place, Set: map[string]string{"thickness": "30 mm"}}}})
	if w.is().Plan().PlanMade.ID == old {
		t.Fatal("no new plan was made")
	}
	if all, current := w.is().HeatOf(w.place); len(all) != 2 || current {
		t.Errorf("%d simulations, current %v: want 2 of the old plan", len(all), current)
	}
	w.refused(book.CodeState, "the plan has changed", book.KeepHeat{Job: w.job, Item: w.place, Result: res})
}

// The file of a simulation is asked for by a sync and goes into the archive.
func TestHeatTravels(t *testing.T) {
	w := newBench(t)
	w.job = w.do(plate()).Job
	w.place = w.is().Places[0].ID
	w.do(book.KeepHeat{Job: w.job, Item: w.place, Result: simulatedFor(w.is(), w.place, 120)})
	is := w.is().Simulated[0].Is
	other := benchOn(t, memory.New(), "phone-2")
	if _, err := other.b.Receive(t.Context(), since(t, w.st)); err != nil {
		t.Fatal(err)
	}
	if _, err := other.b.Heat(t.Context(), is); !errors.Is(err, store.ErrNoBlob) {
		t.Errorf("a simulation that is not here yet: %v", err)
	}
	wanted, err := other.b.Wanted(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, h := range wanted {
		found = found || h == is.Blob
	}
	if !found {
		t.Errorf("%v is not among what a sync wants: %v", is.Blob, wanted)
	}
	var zip bytes.Buffer
	if _, err := book.Export(t.Context(), w.st, &zip); err != nil {
		t.Fatal(err)
	}
	third := memory.New()
	if _, err := book.Import(t.Context(), third, bytes.NewReader(zip.Bytes()), int64(zip.Len())); err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, third, "office-3")
	b.job = w.job
	if got, err := b.b.Heat(t.Context(), b.is().Simulated[0].Is); err != nil || got.Place != w.place {
		t.Errorf("from the archive: %+v, %v", got, err)
	}
}

// One torch for a place at a time, and each place has its own.
func TestTorchClock(t *testing.T) {
	w := newBench(t)
	w.open("quarry-screen.yaml")
	places := w.is().Standing()
	if len(places) < 2 {
		t.Fatal("this job is to have two places")
	}
	a, b := places[0].ID, places[1].ID
	w.refused(book.CodeField, "say which place", book.StartClock{Job: w.job, What: book.TorchClock})
	first := w.do(book.StartClock{Job: w.job, What: book.TorchClock, Item: a}).Made
	w.refused(book.CodeState, "already running", book.StartClock{Job: w.job, What: book.TorchClock, Item: a})
	w.do(book.StartClock{Job: w.job, What: book.TorchClock, Item: b})
	w.do(book.StopClock{Job: w.job, Clock: first})
	w.do(book.StartClock{Job: w.job, What: book.TorchClock, Item: a})
	if lit := w.is().TorchLit(a); len(lit) != 2 || lit[0].Running() || !lit[1].Running() || !lit[0].Started.Before(lit[1].Started) {
		t.Errorf("got %+v", lit)
	}
}
