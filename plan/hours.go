package plan

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// span is a time as range with its likely value.
type span struct{ low, likely, high q.Time }

func (a span) plus(b span) span { return span{a.low + b.low, a.likely + b.likely, a.high + b.high} }

func minutes(r rate) span {
	return span{q.Time(r.low) * q.Minute, q.Time(r.likely) * q.Minute, q.Time(r.high) * q.Minute}
}

// hours is the first cut of the time for all planned items; money and spread
// are the price room's.
func hours(planned []*work) *Section {
	s := &Section{ID: "hours", Title: "Hours, first cut"}
	f := figures{"hours"}
	var total span
	add := func(name, label string, t span, b source.Basis) {
		if t.high <= 0 {
			return
		}
		total = total.plus(t)
		s.figure(between(f, name, label, q.Of[q.Time]{Low: t.low, High: t.high}, hoursText(t), planned[0].sys, b))
	}
	w := planned[0]
	if drive := w.j.Site.DriveTime; drive.Known {
		add("drive", "driving, both ways", span{2 * drive.V, 2 * drive.V, 2 * drive.V}, source.Basis{Method: "hours", Title: "Driving", Ref: source.At("derived", "", source.Derived)})
	}
	add("set-up", "set up, isolate, guard", minutes(rateOf("setup-time")), basisOf("setup-time", "Set up"))
	for _, w := range planned {
		w.itemHours(add)
	}
	add("close", "clean up and leave", minutes(rateOf("close-time")), basisOf("close-time", "Clean up"))
	s.figure(between(f, "total", "on site and road", q.Of[q.Time]{Low: total.low, High: total.high},
		hoursText(total)+", without the wait before the final test", w.sys,
		source.Basis{Method: "hours", Title: "Sum of the steps", Formula: "sum", Ref: source.At("derived", "", source.Derived),
			Notes: []string{"low and high ends added up: wider than the real spread"}}))
	return s
}

func basisOf(id, title string) source.Basis {
	r := rateOf(id)
	b := source.Basis{Method: "hours", Title: title, Ref: r.ref}
	if r.note != "" {
		b.Notes = []string{r.note}
	}
	return b
}

// itemHours adds the steps of one item.
func (w *work) itemHours(add func(name, label string, t span, b source.Basis)) {
	id := fmt.Sprintf("%d.", w.index+1)
	label := func(s string) string {
		if len(w.j.Items) > 1 {
			return fmt.Sprintf("item %d: %s", w.index+1, s)
		}
		return s
	}
	add(id+"map", label("find the ends, map"), minutes(rateOf("map-time")), basisOf("map-time", "Crack mapping"))
	if len(w.fill.Value.Beads) == 0 {
		return
	}
	var gouge span
	var gougeBasis source.Basis
	for _, g := range w.gouges {
		if g.Value.Found {
			e := g.Value.Time.Value.Elapsed
			gouge, gougeBasis = gouge.plus(span{e.Range.Low, e.Likely, e.Range.High}), g.Value.Time.Basis
		}
	}
	add(id+"gouge", label("gouge"), gouge, gougeBasis)
	grind := minutes(rateOf("grind-rate"))
	per100 := func(l q.Length) q.Time { return q.Time(l / perLength) }
	sides := q.Time(max(1, len(w.gouges)))
	r := w.removed()
	add(id+"grind", label("grind and prove gone"), span{grind.low * per100(r.Low) * sides, grind.likely * per100(r.Low) * sides, grind.high * per100(r.High) * sides}.plus(minutes(rateOf("map-time"))), basisOf("grind-rate", "Grinding"))
	if t, ok := w.torchTime(); ok {
		add(id+"heat", label("preheat"), span{t.Value.Low, t.Value.Mid(), t.Value.High}, t.Basis)
	}
	w.weldHours(id, label("weld"), add)
	add(id+"test", label("grind, final test"), minutes(rateOf("final-test")), basisOf("final-test", "Final test"))
}

// weldHours is arc time over the operating factor, with re-heating in it.
func (w *work) weldHours(id, label string, add func(name, label string, t span, b source.Basis)) {
	rods, ok := w.rods()
	if !ok {
		return
	}
	arc := w.rod.fill.arcTime()
	name := "of-good"
	if w.it.Position == job.Overhead || w.j.Site.ConfinedSpace == job.Yes || w.held.floor.floor.Minimum > 100 {
		name = "of-poor"
	}
	of := rateOf(name)
	if w.shop != nil && w.shop.Factors.OperatingFactor.Known {
		own := float64(w.shop.Factors.OperatingFactor.V) * 100
		of.low, of.likely, of.high = own*0.85, own, own*1.15
	}
	c := rods.Value
	t := span{arc.Low * q.Time(float64(c.Low)*100/of.high), arc.Mid() * q.Time(float64(c.Likely)*100/of.likely), arc.High * q.Time(float64(c.High)*100/of.low)}
	add(id+"weld", label, t, source.Basis{Method: "hours", Title: "Welding", Formula: "rods × arc time of one / operating factor", Ref: of.ref,
		Steps: []source.Step{{Name: "rods", Value: float64(c.Likely)}, {Name: "arc time of one", Value: float64(arc.Mid()), Unit: "s"}, {Name: "operating factor", Value: of.likely, Unit: "%"}}})
}

// arcTime is the arc time of one rod: by the deposition table, else its heat
// over the usual volts and the amps.
func (r *rodRun) arcTime() q.Of[q.Time] {
	if t := r.deposit.Value.ArcTime; t.Known {
		return t.V
	}
	v, amps := rateOf("arc-volts"), float64(r.amps.Value.Typical.Mid())
	return q.Of[q.Time]{Low: q.Time(r.joules / (v.high * amps)), High: q.Time(r.joules / (v.low * amps))}
}

// hoursText prints a time with its spread, where it has one.
func hoursText(t span) string {
	likely, low, high := hourText(t.likely), hourText(t.low), hourText(t.high)
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
