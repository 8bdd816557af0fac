package book_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/task"
)

// device is one of several that work on one job without knowing of each other.
type device struct {
	st   store.Store
	b    *book.Book
	skew time.Duration
}

// base is the log of a job that is ready for its first bead; it is made once,
// for planning takes its time.
var base struct {
	entries    []store.Entry
	job, place string
}

func baseOf(t *testing.T) {
	t.Helper()
	if base.entries == nil {
		w := ready(t)
		base.entries, base.job, base.place = since(t, w.st), w.job, w.place
	}
}

// crew makes three devices that all know the job.
func crew(t *rapid.T) []*device {
	var all []*device
	for i := range 3 {
		d := &device{st: memory.New(), skew: time.Duration(rapid.IntRange(-90_000, 90_000).Draw(t, "skew")) * time.Second}
		if _, err := d.st.Receive(context.Background(), base.entries); err != nil {
			t.Fatal(err)
		}
		var err error
		if d.b, err = book.Open(context.Background(), d.st, fmt.Sprintf("device-%d", i), book.Options{}); err != nil {
			t.Fatal(err)
		}
		all = append(all, d)
	}
	return all
}

// anything draws a command of the work; corrected says whether it may correct.
func anything(t *rapid.T, j *book.Job, corrects bool) book.Command {
	temp := func() *book.Said[q.Temperature] {
		return book.SI(q.Temperature(rapid.IntRange(60, 260).Draw(t, "temp")))
	}
	length := func(most int) *book.Said[q.Length] {
		return book.SI(q.Length(rapid.IntRange(1, most).Draw(t, "mm")) * q.Millimetre)
	}
	id, place := j.ID, base.place
	kinds := 20
	if corrects {
		kinds = 23
	}
	if c := j.OpenChange(); c != nil && rapid.IntRange(0, 2).Draw(t, "answer") == 0 {
		if rapid.Bool().Draw(t, "yes") {
			return book.AcceptChange{Job: id, Yes: book.Yes{Name: "A. Lund", How: book.ByPhone}}
		}
		return book.RefuseChange{Job: id, Name: "A. Lund"}
	}
	switch rapid.IntRange(0, kinds-1).Draw(t, "command") {
	case 0, 1:
		r := book.Reading{Item: place, Bead: rapid.IntRange(0, 4).Draw(t, "bead"), Temp: temp()}
		if rapid.Bool().Draw(t, "crayon") {
			r.Crayon, r.Temp = &book.Crayon{At: *r.Temp, Melted: rapid.Bool().Draw(t, "melted")}, nil
		}
		return book.LogReading{Job: id, Reading: r}
	case 2, 3, 4:
		b := book.Bead{Item: place, Number: rapid.IntRange(0, 6).Draw(t, "number"), Rods: float64(rapid.IntRange(0, 3).Draw(t, "rods")), Length: length(600), Amps: book.SI(q.Current(rapid.IntRange(50, 250).Draw(t, "amps")))}
		if len(j.Tins) > 0 {
			b.Tin = rapid.SampledFrom(j.Tins).Draw(t, "tin").Is.ID
		}
		return book.BeadDone{Job: id, Bead: b, Temp: temp()}
	case 5:
		return book.OpenTin{Job: id, Class: rapid.SampledFrom([]string{"E11018-M 3.2 mm", "E7018-H4R 3.2 mm"}).Draw(t, "class")}
	case 6:
		return book.LogGouge{Job: id, GougeDone: book.GougeDone{Item: place, Side: 1, Length: length(400), Depth: length(40)}}
	case 7:
		return book.Inspect{Job: id, Inspection: book.Inspection{Item: place, Stage: book.StageFinal, Method: book.MethodMT, Result: rapid.SampledFrom([]book.Outcome{book.Clear, book.Found, book.Doubtful}).Draw(t, "result")}}
	case 8:
		holds := j.Holds
		return book.AnswerHold{Job: id, Holds: []string{rapid.SampledFrom(holds).Draw(t, "hold").ID}, Says: rapid.SampledFrom([]book.Says{book.SaysYes, book.SaysNo}).Draw(t, "says"), How: "dye"}
	case 9:
		return book.OverrideHold{Job: id, Hold: rapid.SampledFrom(j.Holds).Draw(t, "hold").ID, Name: "R. O.", Reason: "no other way"}
	case 10:
		return book.StartClock{Job: id, What: rapid.SampledFrom([]book.ClockKind{book.FireWatch, book.WaitClock, book.WorkClock}).Draw(t, "clock"), For: 20 * q.Minute}
	case 11:
		for _, c := range j.Clocks {
			if c.Running() && c.What != book.RodClock && c.What != book.DelayClock {
				return book.StopClock{Job: id, Clock: c.ID}
			}
		}
		return book.AddNote{Job: id, Text: "nothing to stop"}
	case 15:
		if len(j.Tins) > 0 {
			return book.PutAwayTin{Job: id, Tin: rapid.SampledFrom(j.Tins).Draw(t, "tin").Is.ID, Into: book.IntoOven}
		}
		return book.AddNote{Job: id, Text: "no tin"}
	case 16:
		return book.LogPostHeat{Job: id, PostHeat: book.PostHeat{Item: place, Temp: temp()}}
	case 17:
		for _, c := range j.Clocks {
			if c.What == book.CheckInClock && c.Running() {
				return book.CheckIn{Job: id, Clock: c.ID}
			}
		}
		return book.StartClock{Job: id, What: book.CheckInClock, For: 30 * q.Minute, Call: "office"}
	case 18:
		res := simulatedFor(j, place, rapid.IntRange(100, 200).Draw(t, "floor"))
		if n := len(j.Readings); n > 0 && rapid.Bool().Draw(t, "fitted") {
			res.Readings = []task.Reading{{Time: 60, T: 80, At: 0.075, Ref: j.Readings[n-1].Ref.String()}}
		}
		return book.KeepHeat{Job: id, Item: place, Result: res}
	case 19:
		return book.StartClock{Job: id, What: book.TorchClock, Item: place}
	case 12:
		if open := j.OpenDeviations(); len(open) > 0 {
			return book.ClearDeviation{Job: id, Deviation: rapid.SampledFrom(open).Draw(t, "deviation").ID, Done: "put right"}
		}
		return book.AddNote{Job: id, Text: "nothing to put right"}
	case 13:
		return book.FoundMore{Job: id, Item: place, Text: "longer", Set: map[string]string{"crack.length": fmt.Sprint(rapid.IntRange(150, 260).Draw(t, "mm"), " mm")}}
	case 14:
		return book.SetCustomer{ID: "c1", Set: map[string]string{"name": rapid.SampledFrom([]string{"A", "B", "C"}).Draw(t, "name"), "phone": fmt.Sprint(rapid.IntRange(1, 9).Draw(t, "phone"))}}
	}
	if len(j.Readings) == 0 {
		return book.AddNote{Job: id, Text: "nothing to correct"}
	}
	r := rapid.SampledFrom(j.Readings).Draw(t, "reading")
	c := book.Correct{Job: id, Of: r.Ref, Reason: "misread", Void: rapid.Bool().Draw(t, "void")}
	if !c.Void {
		is := r.Is
		is.Temp, is.Crayon = temp(), nil
		c.Body = is
	}
	return c
}

// work lets the devices work and exchange logs at random.
func work(t *rapid.T, crew []*device, steps int, corrects bool) {
	now := morning.Add(2 * time.Hour)
	for i := range steps {
		d := rapid.SampledFrom(crew).Draw(t, "device")
		now = now.Add(time.Duration(rapid.IntRange(1, 3600).Draw(t, "later")) * time.Second)
		j, err := d.b.Job(context.Background(), base.job)
		if err != nil {
			t.Fatal(err)
		}
		d.b.Do(context.Background(), now.Add(d.skew), fmt.Sprintf("key-%d", i), anything(t, j, corrects)) // a refusal is an answer too
		if rapid.IntRange(0, 4).Draw(t, "exchange") == 0 {
			exchange(t, d, rapid.SampledFrom(crew).Draw(t, "with"), rapid.IntRange(1, 20).Draw(t, "most"))
		}
	}
}

// exchange brings at most n entries that to has not from from.
func exchange(t *rapid.T, from, to *device, n int) int {
	heads, err := to.st.Heads(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	entries, err := from.st.Since(context.Background(), store.VectorOf(heads), n)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := to.b.Receive(context.Background(), entries); err != nil {
		t.Fatal(err)
	}
	return len(entries)
}

// everything is all that a book shows.
func everything(t *rapid.T, list func(book.ListQuery) ([]book.Card, int), job *book.Job, r *book.Registry) string {
	cards, n := list(book.ListQuery{Limit: 1000})
	data := struct {
		Cards     []book.Card
		N         int
		Job       *book.Job
		Plan      string
		Customers []book.Party
	}{cards, n, job, job.Plan().ID, r.Customers()}
	return asJSONRapid(t, data)
}

// However three devices work and exchange their logs: once each has every log,
// all show the same, and so does a book that folds the entries in any order.
func TestConvergence(t *testing.T) {
	baseOf(t)
	rapid.Check(t, func(t *rapid.T) {
		all := crew(t)
		work(t, all, rapid.IntRange(1, 40).Draw(t, "steps"), true)
		for range 3 {
			for _, from := range all {
				for _, to := range all {
					for exchange(t, from, to, 7) > 0 {
					}
				}
			}
		}
		var want string
		for i, d := range all {
			j, err := d.b.Job(context.Background(), base.job)
			if err != nil {
				t.Fatal(err)
			}
			got := everything(t, d.b.List, j, d.b.Registry())
			if i == 0 {
				want = got
			}
			if got != want {
				t.Fatalf("device %d shows another book:\n%s\n%s", i, got, want)
			}
		}
		logs := map[string][]store.Entry{}
		for e, err := range all[0].st.Load(context.Background(), store.Query{}) {
			if err != nil {
				t.Fatal(err)
			}
			logs[e.Device] = append(logs[e.Device], e)
		}
		state := book.NewState()
		for len(logs) > 0 { // any interleaving of the logs
			var names []string
			for n := range logs {
				names = append(names, n)
			}
			slices.Sort(names)
			n := rapid.SampledFrom(names).Draw(t, "log")
			state.Fold(&logs[n][0])
			state.Fold(&logs[n][0]) // twice is once
			if logs[n] = logs[n][1:]; len(logs[n]) == 0 {
				delete(logs, n)
			}
		}
		j, err := state.Job(base.job)
		if err != nil {
			t.Fatal(err)
		}
		if got := everything(t, state.List, j, state.Registry()); got != want {
			t.Fatalf("folded in another order it is another book:\n%s\n%s", got, want)
		}
		fresh, err := book.Open(context.Background(), all[1].st, "device-1", book.Options{})
		if err != nil {
			t.Fatal(err)
		}
		j, err = fresh.Job(context.Background(), base.job)
		if err != nil {
			t.Fatal(err)
		}
		if got := everything(t, fresh.List, j, fresh.Registry()); got != want {
			t.Fatalf("opened again it is another book:\n%s\n%s", got, want)
		}
	})
}

// Logging more never takes a deviation away, unless an entry is corrected.
func TestDeviationsOnlyGrow(t *testing.T) {
	baseOf(t)
	rapid.Check(t, func(t *rapid.T) {
		d := crew(t)[:1]
		work(t, d, rapid.IntRange(1, 40).Draw(t, "steps"), false)
		state := book.NewState()
		var before []book.Deviation
		for e, err := range d[0].st.Load(context.Background(), store.Query{}) {
			if err != nil {
				t.Fatal(err)
			}
			state.Fold(&e)
			j, err := state.Job(base.job)
			if err != nil {
				continue // not opened yet
			}
			for i, old := range before {
				if i >= len(j.Deviations) || j.Deviations[i].ID != old.ID || j.Deviations[i].Text != old.Text {
					t.Fatalf("deviation %s is gone after entry %d (%s)", old.ID, e.Seq, e.Kind)
				}
				if old.Cleared != nil && j.Deviations[i].Cleared == nil {
					t.Fatalf("deviation %s is open again", old.ID)
				}
			}
			before = j.Deviations
		}
	})
}

// A form sent twice is carried out once, even when it reaches two devices.
func TestFormSentTwice(t *testing.T) {
	baseOf(t)
	rapid.Check(t, func(t *rapid.T) {
		all := crew(t)
		now := morning.Add(2 * time.Hour)
		j, err := all[0].b.Job(context.Background(), base.job)
		if err != nil {
			t.Fatal(err)
		}
		cmd := anything(t, j, true)
		first, errA := all[0].b.Do(context.Background(), now, "form", cmd)
		marks := all[0].b.Mark()
		again, errB := all[0].b.Do(context.Background(), now.Add(time.Hour), "form", cmd)
		if (errA == nil) != (errB == nil) || all[0].b.Mark() != marks {
			t.Fatalf("first %v, second %v, %d entries more", errA, errB, all[0].b.Mark()-marks)
		}
		if errA != nil {
			return
		}
		if !again.Again || !slices.Equal(first.Entries, again.Entries) || first.Made != again.Made || first.Job != again.Job || asJSONRapid(t, first.Deviations) != asJSONRapid(t, again.Deviations) {
			t.Fatalf("first %+v, second %+v", first, again)
		}
		if _, err := all[1].b.Do(context.Background(), now, "form", cmd); err != nil {
			t.Fatal(err)
		}
		for exchange(t, all[0], all[1], 5)+exchange(t, all[1], all[0], 5) > 0 {
		}
		a, err := all[0].b.Job(context.Background(), base.job)
		if err != nil {
			t.Fatal(err)
		}
		b, err := all[1].b.Job(context.Background(), base.job)
		if err != nil {
			t.Fatal(err)
		}
		if asJSONRapid(t, a) != asJSONRapid(t, b) {
			t.Fatal("the two devices differ")
		}
		if n := len(a.Log); n > len(j.Log)+len(first.Entries) {
			t.Fatalf("%d entries count, want %d more than %d", n, len(first.Entries), len(j.Log))
		}
	})
}
