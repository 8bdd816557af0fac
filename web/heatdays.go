package web

import (
	"slices"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// A place that is heated again on a later day is cold in between: each heat is
// a record of its own, and one axis over both would show neither.

// coldAfter without torch, bead or reading the steel is taken as cold again
// (judgement: a thick part under a blanket is near the air by then).
const coldAfter = 6 * time.Hour

// hotter by so much than the first reading after a pause, and somebody has heated
// it (judgement: beyond what the sun does).
const hotter q.Temperature = 20

// lastHeat is when the last heat of a place began; zero where there was but one.
// What is only read after a pause is the cooling of the heat before it.
func (h heatLog) lastHeat() time.Time {
	type event struct {
		at   time.Time
		fire bool
		t    *q.Temperature
	}
	var all []event
	for _, l := range h.j.Readings {
		if !l.Void && l.Is.Item == h.item {
			all = append(all, event{l.At, false, readAs(l.Is)})
		}
	}
	for _, b := range h.j.Beads {
		if !b.Void && b.Is.Item == h.item {
			all = append(all, event{begunAt(b.Is), true, nil}, event{b.Is.Ended, true, nil})
		}
	}
	for _, c := range h.j.TorchLit(h.item) {
		all = append(all, event{c.Started, true, nil})
	}
	slices.SortStableFunc(all, func(a, b event) int { return a.at.Compare(b.at) })
	var from, run time.Time
	var cold *q.Temperature // first reading after the pause
	for i, e := range all {
		if i > 0 && e.at.Sub(all[i-1].at) > coldAfter {
			run, cold = e.at, nil
		}
		if cold == nil {
			cold = e.t
		}
		if e.fire || e.t != nil && *e.t > *cold+hotter {
			from = run
		}
	}
	return from
}

// before says what of earlier heats the chart leaves out.
func (h heatLog) before(held bool) string {
	if h.from.IsZero() {
		return ""
	}
	reads, beads := 0, 0
	for _, l := range h.j.Readings {
		if !l.Void && l.Is.Item == h.item && l.At.Before(h.from) {
			reads++
		}
	}
	for _, b := range h.j.Beads {
		if !b.Void && b.Is.Item == h.item && begunAt(b.Is).Before(h.from) {
			beads++
		}
	}
	s := "This is the last heat, from " + h.clock(h.from) + " on. Drawn without what was logged before it: " + countOf(reads, "reading")
	if beads > 0 {
		s += " and " + countOf(beads, "bead")
	}
	s += "."
	if held {
		s += " What was expected is the first heat, from cold."
	}
	return s
}

func marksLeft(n int) string {
	if n == 0 {
		return ""
	}
	return countOf(n, "bead") + " " + isAre(n) + " not marked."
}

func countOf(n int, what string) string { return howMany(int64(n), what, what+"s") }

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// readAs is the temperature that a reading shows; nil where it shows none.
func readAs(r book.Reading) *q.Temperature {
	switch {
	case r.Temp != nil:
		return &r.Temp.SI
	case r.Crayon != nil && r.Crayon.Melted:
		return &r.Crayon.At.SI
	}
	return nil
}
