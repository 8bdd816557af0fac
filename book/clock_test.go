package book_test

import (
	"testing"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

func (w *bench) clock(what book.ClockKind) *book.Clock {
	w.Helper()
	for _, c := range w.is().Clocks {
		if c.What == what {
			return &c
		}
	}
	w.Fatalf("no clock for %s", what)
	return nil
}

// Clocks are absolute: a book opened again shows the same times.
func TestClocksSurvive(t *testing.T) {
	w := ready(t)
	w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"})
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(170))})
	w.do(book.StartClock{Job: w.job, What: book.WaitClock, For: 10 * q.Minute, Label: "soak"})
	w.do(book.StartClock{Job: w.job, What: book.FireWatch})
	w.do(book.StartClock{Job: w.job, What: book.CheckInClock, For: 30 * q.Minute, Call: "office: drives out if no call"})
	before := w.is().Dues()
	if len(before) != 5 {
		t.Fatalf("%d times are due, want rods, delay, wait, fire watch, check-in: %+v", len(before), before)
	}
	again := benchOn(t, w.st, "office")
	again.job = w.job
	after := again.is().Dues()
	for i := range before {
		if before[i] != after[i] {
			t.Errorf("before %+v, after %+v", before[i], after[i])
		}
	}
	cards, _ := again.b.List(book.ListQuery{})
	if at, ok := cards[0].NextDue(); !ok || !at.Equal(before[0].At) {
		t.Errorf("the list says %v, want %v", at, before[0].At)
	}
}

func TestRodClock(t *testing.T) {
	w := ready(t)
	tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"}).Made
	opened := w.now
	c := w.clock(book.RodClock)
	if got := c.Due.Sub(opened); got != 30*time.Minute {
		t.Errorf("E11018-M may lie out %v, want 30 min (AWS D1.1 Table 5.1, column A)", got)
	}
	if got := c.Left(opened.Add(40 * time.Minute)); got != -10*time.Minute {
		t.Errorf("left %v", got)
	}
	w.refused(book.CodeState, "follows from what is logged", book.StopClock{Job: w.job, Clock: c.ID})
	w.do(book.PutAwayTin{Job: w.job, Tin: tin, Into: book.UsedUp})
	if w.clock(book.RodClock).Running() {
		t.Error("the rods are put away and their clock runs")
	}
	w.do(book.OpenTin{Job: w.job, Class: "E6010 1/8"}) // no low-hydrogen rod: no limit
	if n := len(w.is().Dues()); n != 0 {
		t.Errorf("%d times are due", n)
	}
	w.refused(book.CodeField, "", book.OpenTin{Job: w.job, Class: "best rod in the shop"})
}

// The fire watch counts from the last spark, whenever it was started.
func TestFireWatch(t *testing.T) {
	w := ready(t)
	w.do(book.StartClock{Job: w.job, What: book.FireWatch, For: 30 * q.Minute}) // shorter than the rule
	least := w.clock(book.FireWatch).Due.Sub(w.now)
	if least < time.Hour {
		t.Errorf("the watch is %v; NFPA 51B asks for an hour", least)
	}
	w.now = w.now.Add(20 * time.Minute)
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(170))})
	spark := w.now
	if got := w.clock(book.FireWatch).Due.Sub(spark); got != least {
		t.Errorf("after the last spark %v, want %v", got, least)
	}
	w.refused(book.CodeState, "already running", book.StartClock{Job: w.job, What: book.FireWatch})
	w.now = w.now.Add(30 * time.Minute)
	r := w.do(book.StopClock{Job: w.job, Clock: w.clock(book.FireWatch).ID})
	if rules(r.Deviations) != "watch-short" {
		t.Errorf("half an hour short: %s", rules(r.Deviations))
	}
	w.refused(book.CodeState, "already stopped", book.StopClock{Job: w.job, Clock: w.clock(book.FireWatch).ID})
}

func TestCheckIn(t *testing.T) {
	w := ready(t)
	w.refused(book.CodeField, "who waits for your call", book.StartClock{Job: w.job, What: book.CheckInClock, For: 30 * q.Minute})
	w.refused(book.CodeField, "how long", book.StartClock{Job: w.job, What: book.CheckInClock, Call: "office"})
	id := w.do(book.StartClock{Job: w.job, What: book.CheckInClock, For: 30 * q.Minute, Call: "office"}).Made
	w.now = w.now.Add(20 * time.Minute)
	if r := w.do(book.CheckIn{Job: w.job, Clock: id}); len(r.Deviations) != 0 {
		t.Errorf("in time: %s", rules(r.Deviations))
	}
	if got := w.clock(book.CheckInClock).Due.Sub(w.now); got != 30*time.Minute {
		t.Errorf("next call in %v", got)
	}
	w.now = w.now.Add(45 * time.Minute)
	if r := w.do(book.CheckIn{Job: w.job, Clock: id}); rules(r.Deviations) != "check-in-late" {
		t.Errorf("a quarter of an hour late: %s", rules(r.Deviations))
	}
	w.do(book.StopClock{Job: w.job, Clock: id})
	w.refused(book.CodeState, "stopped", book.CheckIn{Job: w.job, Clock: id})
}

func TestWorkingHours(t *testing.T) {
	w := ready(t)
	id := w.do(book.StartClock{Job: w.job, What: book.TravelClock}).Made
	w.now = w.now.Add(89 * time.Minute)
	w.do(book.StopClock{Job: w.job, Clock: id})
	w.do(book.StartClock{Job: w.job, What: book.WorkClock})
	j := w.is()
	if got := j.Hours(book.TravelClock, w.now.Add(time.Hour)); got != 90*time.Minute {
		t.Errorf("travel %v, want 1 h 30", got)
	}
	if got := j.Hours(book.WorkClock, w.now.Add(time.Hour)); got != time.Hour {
		t.Errorf("work so far %v, want 1 h", got)
	}
}

// A clock set back by a day: nothing is lost, the order holds, and it is said.
func TestClockSetBack(t *testing.T) {
	w := ready(t)
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(170))})
	w.now = w.now.Add(-24 * time.Hour)
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(171))})
	j := w.is()
	if len(j.Beads) != 2 || j.Beads[0].Is.Number != 1 || j.Beads[1].Is.Number != 2 {
		t.Errorf("beads out of order: %+v", j.Beads)
	}
	if len(j.Doubts) == 0 || j.Doubts[0].By < 23*time.Hour {
		t.Errorf("the clock's jump is not said: %+v", j.Doubts)
	}
	w.refused(book.CodeField, "still to come", book.AddNote{Job: w.job, Text: "x", When: w.now.Add(time.Hour)})
}
