package plan

import (
	"fmt"
	"math"

	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// span is a time as range with its likely value.
type span struct{ low, likely, high q.Time }

func (a span) plus(b span) span { return span{a.low + b.low, a.likely + b.likely, a.high + b.high} }

func minutes(r source.Figure) span {
	return span{q.Time(r.Low) * q.Minute, q.Time(r.Likely) * q.Minute, q.Time(r.High) * q.Minute}
}

// hours is the time of a call for the damage as it is seen, by the price room.
// It is nil where no weld is planned.
func hours(o *order) *Section {
	if len(o.places) == 0 {
		return nil
	}
	s := &Section{ID: "hours", Title: "Hours, as seen"}
	steps, err := price.Hours(o.call, o.shop)
	if err != nil { // prices that no reader has seen
		s.add(Note, "No hours: "+err.Error()+".", nil)
		return s
	}
	o.hourLines(s, steps)
	s.add(Note, "The damage as it is seen. What may be hidden, and the money: `soundmetal price`.", nil)
	return s
}

// hourLines adds every step and their sum.
func (o *order) hourLines(s *Section, steps []price.Step) {
	f := figures{s.ID}
	var total price.Range[q.Time]
	for _, step := range steps {
		name, label := step.ID, step.Label
		if step.Place > 0 {
			w := o.places[step.Place-1]
			name = fmt.Sprintf("%d.%s", w.index+1, step.ID)
			if o.items > 1 {
				label = fmt.Sprintf("item %d: %s", w.index+1, step.Label)
			}
		}
		total = sum(total, step.Time)
		s.figure(between(f, name, label, q.Of[q.Time]{Low: step.Time.Low, High: step.Time.High}, stepText(step.Time), o.sys, step.Basis))
	}
	s.figure(between(f, "total", "on site and road", q.Of[q.Time]{Low: total.Low, High: total.High}, hoursText(total), o.sys,
		source.Basis{Method: "hours", Title: "Sum of the steps", Formula: "sum", Ref: source.At("derived", "", source.Derived),
			Notes: []string{"low and high ends added up: wider than the real spread"}}))
}

// timeOf is the time of some steps of a place together, such as weld and reheat.
func (w *work) timeOf(ids ...string) (t price.Range[q.Time]) {
	steps, err := price.Hours(price.Call{Items: []price.Work{w.priced()}, Trip: price.TripOf(w.j.Site)}, kitOf(w.shop, w.sys))
	if err != nil {
		return t
	}
	for _, s := range steps {
		if has(ids, s.ID) {
			t = sum(t, s.Time)
		}
	}
	return t
}

// stepText prints the time of a step with its spread: a short one in minutes.
func stepText(t price.Range[q.Time]) string {
	if t.High >= q.Hour {
		return hoursText(t)
	}
	minute := func(v q.Time) float64 { return math.Max(1, math.Round(v.Minutes())) }
	low, likely, high := minute(t.Low), minute(t.Likely), minute(t.High)
	if low == high {
		return fmt.Sprintf("%.0f min", likely)
	}
	return fmt.Sprintf("about %.0f min, %.0f to %.0f", likely, low, high)
}

// hoursText prints a time with its spread, where it has one.
func hoursText(t price.Range[q.Time]) string {
	likely, low, high := hourText(t.Likely), hourText(t.Low), hourText(t.High)
	if low == high {
		return likely
	}
	return "about " + likely + ", " + low + " to " + high
}

// hourText prints a time to the quarter hour.
func hourText(t q.Time) string {
	quarters := float64(q.RoundTo(t, 15*q.Minute)) / 900
	if quarters < 1 {
		return "¼ h"
	}
	whole, rest := int(quarters)/4, int(quarters)%4
	text := []string{"", "¼", "½", "¾"}[rest]
	if whole > 0 {
		text = fmt.Sprint(whole) + text
	}
	return text + " h"
}
