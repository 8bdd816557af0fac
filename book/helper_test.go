package book_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/demo"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// bench is a welder with a book: its clock goes on by a minute with every command.
type bench struct {
	*testing.T
	b     *book.Book
	st    store.Store
	now   time.Time
	keys  int
	job   string
	place string
}

var morning = time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)

func newBench(t *testing.T) *bench {
	t.Helper()
	return benchOn(t, memory.New(), "office")
}

func benchOn(t *testing.T, st store.Store, device string) *bench {
	t.Helper()
	b, err := book.Open(t.Context(), st, device, book.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return &bench{T: t, b: b, st: st, now: morning}
}

// try carries out a command under a new key.
func (w *bench) try(cmd book.Command) (book.Result, error) {
	w.now = w.now.Add(time.Minute)
	w.keys++
	return w.b.Do(w.Context(), w.now, fmt.Sprintf("%s-%d", w.b.Device(), w.keys), cmd)
}

// do carries out a command that must be accepted.
func (w *bench) do(cmd book.Command) book.Result {
	w.Helper()
	r, err := w.try(cmd)
	if err != nil {
		w.Fatalf("%T: %v", cmd, err)
	}
	return r
}

// refused carries out a command that must be refused, with a sentence that holds
// the words.
func (w *bench) refused(code book.Code, words string, cmd book.Command) {
	w.Helper()
	before := w.b.Mark()
	_, err := w.try(cmd)
	var no *book.Refusal
	switch {
	case !errors.As(err, &no):
		w.Errorf("%T: %v, want a refusal with %q", cmd, err, words)
	case no.Code != code || !strings.Contains(no.Text, words):
		w.Errorf("%T: refused with %s: %q, want %s: ...%s...", cmd, no.Code, no.Text, code, words)
	case w.b.Mark() != before:
		w.Errorf("%T: refused, and yet something was logged", cmd)
	}
}

// now gives the job as it stands.
func (w *bench) is() *book.Job {
	w.Helper()
	j, err := w.b.Job(w.Context(), w.job)
	if err != nil {
		w.Fatal(err)
	}
	return j
}

// rules lists the rules of deviations.
func rules(all []book.Deviation) string {
	var names []string
	for _, d := range all {
		names = append(names, d.Rule)
	}
	return strings.Join(names, " ")
}

// open opens the job of a demo file.
func (w *bench) open(name string) {
	w.Helper()
	data, err := demo.Files.ReadFile(name)
	if err != nil {
		w.Fatal(err)
	}
	set, items, err := book.FieldsOfJob(name, data)
	if err != nil {
		w.Fatal(err)
	}
	w.job = w.do(book.NewJob{Set: set, Items: items}).Job
	w.place = w.is().Places[0].ID
}

// hold is the id of a hold point of the place.
func (w *bench) hold(name string) string { return w.place + "/" + name }

// answer says yes to every hold point before the section.
func (w *bench) passAll(before string) {
	w.Helper()
	order := "touch safe look steel cut joint filler heat passes after"
	for {
		var holds []string
		section := ""
		for _, h := range w.is().OpenHolds(w.place) {
			if strings.Index(order, h.Section) < strings.Index(order, before) && (section == "" || section == h.Section) && h.Name() != book.HoldHeatReached {
				section = h.Section
				holds = append(holds, h.ID)
			}
		}
		if holds == nil {
			return
		}
		w.do(book.AnswerHold{Job: w.job, Holds: holds, Says: book.SaysYes, How: "dye"})
	}
}

// heat logs a reading in the window and answers that the heat is reached.
func (w *bench) heat() {
	w.Helper()
	l, _ := w.is().Limits(w.place)
	w.do(book.LogReading{Job: w.job, Reading: book.Reading{Temp: book.SI(*l.Floor + 10)}})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldHeatReached)}, Says: book.SaysYes})
}

// ready is a job with everything answered up to the first bead.
func ready(t *testing.T) *bench {
	t.Helper()
	w := newBench(t)
	w.open("blade-arm.yaml")
	w.passAll("cut")
	w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 1, Length: book.SI(0.19 * q.Metre), Depth: book.SI(16 * q.Millimetre)}})
	w.passAll("heat")
	w.passAll("passes")
	w.heat()
	return w
}

// plate is a small job of known steel.
func plate() book.NewJob {
	return book.NewJob{Name: "screen side plate", Units: job.SI, MachineFields: map[string]string{"kind": "vibrating screen", "serial": "VS-2041"},
		CustomerFields: map[string]string{"name": "Coldwater Aggregates"},
		Set:            map[string]string{"site.air": "8 C", "site.steel": "8 C", "machine.hours_per_week": "60 h"},
		Items: []map[string]string{{"name": "side plate", "part": "side plate", "role": "structure", "shape": "plate", "thickness": "25 mm", "width": "600 mm",
			"crack.length": "150 mm", "crack.through": "yes", "crack.ends": "both", "access": "both", "position": "flat", "contains": "nothing", "behind": "nothing",
			"steel.grade": "S355J2", "steel.grade_by": "certificate", "history.welded": "no"}}}
}
