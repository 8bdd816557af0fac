package book

import (
	"fmt"
	"strconv"
	"time"

	"soundmetal/filler"
	q "soundmetal/quantity"
)

// The checks of what is logged against the plan in force.

func number(n int) string { return strconv.Itoa(n) }

// limits gives the limits of a place by the plan that is in force now.
func (f *folding) limits(item string) (ItemLimits, bool) { return f.j.Limits(item) }

// beadName is how a text speaks of a bead.
func (f *folding) beadName(item string, n int) string {
	name := "bead " + number(n)
	if p, ok := f.j.Place(item); ok && len(f.j.Standing()) > 1 {
		name += " (" + p.Name + ")"
	}
	return name
}

// beside prints a length that lies beyond a limit: to the tenth of a millimetre
// where both would print alike.
func beside(v, limit q.Length, sys q.System) string {
	if s := v.Text(sys); s != limit.Text(sys) {
		return s
	}
	return fmt.Sprintf("%.1f mm", v.MM())
}

func (f *folding) bead(m *Meta, b Bead) {
	f.hot(b.Item, b.Ended, true)
	f.reopen(b.Item, HoldFinalLook, "a bead was laid after it was answered")
	for i := range f.j.Places {
		p := &f.j.Places[i]
		if p.ID != b.Item {
			continue
		}
		if b.Number != p.NextBead {
			f.deviate("bead-order", m, b.Item, b.Number, words{bead: f.beadName(b.Item, b.Number), limit: f.beadName(b.Item, p.NextBead)})
		}
		p.NextBead, p.Welded = max(p.NextBead, b.Number+1), true
	}
	f.beadTin(m, b)
	l, ok := f.limits(b.Item)
	if !ok {
		return
	}
	f.beadHeat(m, b, l)
	plan, ok := l.bead(b.Number)
	if !ok {
		if len(l.Beads) > 0 {
			f.deviate("bead-extra", m, b.Item, b.Number, words{bead: f.beadName(b.Item, b.Number), limit: number(len(l.Beads))})
		}
		return
	}
	sys := f.j.System()
	deviate := func(rule, value, limit string) {
		f.deviate(rule, m, b.Item, b.Number, words{bead: f.beadName(b.Item, b.Number), value: value, limit: limit})
	}
	if run, ok := b.PerRod(); ok && plan.Run.High > 0 {
		switch {
		case q.Under(run, plan.Run.Low):
			deviate("run-short", beside(run, plan.Run.Low, sys), plan.Run.Low.Text(sys))
		case q.Over(run, plan.Run.High):
			deviate("run-long", beside(run, plan.Run.High, sys), plan.Run.High.Text(sys))
		}
	}
	if amps, said := value(b.Amps); said && plan.Amps != nil {
		band := func() string { return fmt.Sprintf("%.0f to %.0f A", float64(plan.Amps.Low), float64(plan.Amps.High)) }
		switch {
		case q.Over(amps, plan.Amps.High):
			deviate("amps-high", amps.Text(sys), band())
		case q.Under(amps, plan.Amps.Low):
			deviate("amps-low", amps.Text(sys), band())
		}
	}
	if t := f.j.Tin(b.Tin); t != nil && f.otherRod(t, plan.Rod) {
		deviate("rod-other", t.name(sys), plan.Rod)
	}
}

// rod is a class with its size, read once in a fold.
type rod struct {
	class string
	size  q.Maybe[q.Length]
	known bool
}

func (f *folding) rod(text string) rod {
	r, ok := f.rods[text]
	if !ok {
		if c, size, err := filler.ReadRod(text); err == nil {
			r = rod{c.ID, size, true}
		}
		f.rods[text] = r
	}
	return r
}

// otherRod says whether the rods of a tin are of another class or size than the
// planned one.
func (f *folding) otherRod(t *Tin, planned string) bool {
	const step = 0.3 * q.Millimetre // between an inch size and its metric neighbour
	want, is := f.rod(planned), f.rod(t.Is.Class)
	core, said := value(t.Is.Size)
	if said && want.size.Known && (core-want.size.V > step || want.size.V-core > step) {
		return true
	}
	return want.known && is.known && want.class != is.class
}

// begun is when the bead was begun, its end where that is not said.
func (b *Bead) begun() time.Time {
	if b.Begun != nil {
		return *b.Begun
	}
	return b.Ended
}

// beadTin counts rods and weld length of the tin and checks its time in the air.
func (f *folding) beadTin(m *Meta, b Bead) {
	t := f.j.Tin(b.Tin)
	if t == nil || t.Void {
		return
	}
	t.Rods += b.Rods
	if l, said := value(b.Length); said && b.Rods > 0 {
		t.Length += l
	}
	deviate := func(rule, value, limit string) {
		f.deviate(rule, m, b.Item, b.Number, words{bead: f.beadName(b.Item, b.Number), tin: t.name(f.j.System()), value: value, limit: limit})
	}
	if t.Away != nil && b.begun().After(t.Away.At) {
		deviate("rod-put-away", span(b.begun().Sub(t.Away.At)), "")
	}
	if t.Due != nil && b.Ended.After(*t.Due) {
		deviate("rod-exposed", span(b.Ended.Sub(t.At)), span(t.Due.Sub(t.At)))
	}
}

// name is the tin in words.
func (t *Tin) name(sys q.System) string {
	s := t.Is.Class
	if d, said := value(t.Is.Size); said {
		s += " " + d.In(sys)
	}
	return s
}

func (f *folding) gouge(m *Meta, b GougeDone) {
	f.hot(b.Item, b.When, false)
	f.reopen(b.Item, HoldCrackGone, "it was gouged again after that was answered")
	l, ok := f.limits(b.Item)
	if !ok {
		return
	}
	sys := f.j.System()
	grown := q.Length(figure("gouge-growth"))
	if v, said := value(b.Length); said && l.Length != nil && q.Over(v, *l.Length*grown) {
		f.deviate("gouge-long", m, b.Item, 0, words{value: v.Text(sys), limit: l.Length.Text(sys)})
	}
	if v, said := value(b.Depth); said && l.Depth != nil && q.Over(v, *l.Depth*grown) {
		f.deviate("gouge-deep", m, b.Item, 0, words{value: v.Text(sys), limit: l.Depth.Text(sys)})
	}
}

func (f *folding) postHeat(m *Meta, b PostHeat) {
	f.hot(b.Item, b.To, true)
	l, ok := f.limits(b.Item)
	t, said := value(b.Temp)
	if !ok || !said || l.PostHeat == nil {
		return
	}
	sys := f.j.System()
	w := words{value: degrees(t, sys), limit: q.WindowText(*l.PostHeat, sys)}
	switch {
	case q.Under(t, l.PostHeat.Low):
		f.deviate("postheat-cool", m, b.Item, 0, w)
	case q.Over(t, l.PostHeat.High):
		f.deviate("postheat-hot", m, b.Item, 0, w)
	}
}

// hot notes the end of arc, gouging or post-heat at a place.
func (f *folding) hot(item string, at time.Time, weld bool) {
	f.sparks = append(f.sparks, at)
	if weld && at.After(f.heat[item]) {
		f.heat[item] = at
	}
}

// lastHeat is when the weld of a place was last hot, by bead or post-heat.
func (f *folding) lastHeat(item string) (time.Time, bool) {
	last := f.heat[item]
	return last, !last.IsZero()
}

func (f *folding) inspection(m *Meta, b Inspection) {
	if b.Stage != StageFinal {
		return
	}
	sys := f.j.System()
	if l, ok := f.limits(b.Item); ok && l.Delay != nil {
		if last, ok := f.lastHeat(b.Item); ok && b.When.Before(last.Add(duration(*l.Delay))) {
			f.deviate("test-early", m, b.Item, 0, words{value: span(b.When.Sub(last)), limit: span(duration(*l.Delay))})
		}
	}
	switch b.Result {
	case Found:
		w := words{value: "a crack"}
		if v, said := value(b.Length); said {
			w.value += " of " + v.Text(sys)
		}
		f.deviate("test-found", m, b.Item, 0, w)
	case Doubtful:
		f.deviate("test-doubt", m, b.Item, 0, words{})
	case Clear:
		f.clear(m, func() string { return "looked again: clear" }, "test-doubt", b.Item, 0)
	}
}

// duration is a time as the clock counts it, within a century either way.
func duration(t q.Time) time.Duration {
	const century = 100 * 365.25 * 24 * 3600
	return time.Duration(min(max(float64(t), -century), century) * float64(time.Second))
}

// span prints a length of time as people say it.
func span(d time.Duration) string {
	d = max(d, 0).Round(time.Minute)
	h, m := int(d/time.Hour), int(d%time.Hour/time.Minute)
	switch {
	case h == 0:
		return fmt.Sprintf("%d min", m)
	case m == 0:
		return fmt.Sprintf("%d h", h)
	}
	return fmt.Sprintf("%d h %d min", h, m)
}
