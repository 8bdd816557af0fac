package web

import (
	"fmt"
	"math"
	"time"

	"soundmetal/book"
	"soundmetal/filler"
	"soundmetal/price"
	q "soundmetal/quantity"
)

// What a job used up, as the book has it: what was logged, and the plan's
// quantity where it was not.

// used is what is billed.
type used struct {
	price.Used
	planned map[price.Kind]string // lines that are taken from the plan, in words; travel: its distance
	time    bool                  // the driving time was logged
	notes   []string              // what the customer should know of the quantities
	watch   []string              // what the shop should look at
}

const asPlanned = "as planned, not logged"

// usedOf maps the record to what is billed. e is the plan's own reckoning; nil
// where no place of the job may be priced.
func usedOf(j *book.Job, e *price.Estimated, now time.Time) used {
	u := used{planned: map[price.Kind]string{}}
	var p price.Used
	if e != nil {
		p = e.Used
	}
	u.clocks(j, p, now)
	u.rods(j, e)
	u.carbons(j, p)
	u.tests(j, p)
	// nobody logs these: the plan's, as they are
	u.Gas, u.Oxygen, u.Backing, u.Discs, u.Fuel = p.Gas, p.Oxygen, p.Backing, p.Discs, p.Fuel
	for _, k := range []price.Kind{price.Gas, price.Backing, price.Discs, price.Fuel} {
		u.planned[k] = asPlanned
	}
	u.notes = append(u.notes, workDone(j)...)
	return u
}

// clocks takes hours from the clocks that count them.
func (u *used) clocks(j *book.Job, p price.Used, now time.Time) {
	any := map[book.ClockKind]bool{}
	for _, c := range j.Clocks {
		any[c.What] = true
		if c.Running() && (c.What == book.WorkClock || c.What == book.TravelClock || c.What == book.StandbyClock) {
			u.watch = append(u.watch, fmt.Sprintf("The %s clock still runs: it is counted up to now.", word(c.What)))
		}
	}
	hours := func(k book.ClockKind) q.Time { return q.Time(j.Hours(k, now).Seconds()) }
	u.Labour, u.Standby = hours(book.WorkClock), hours(book.StandbyClock)
	if !any[book.WorkClock] {
		u.Labour, u.planned[price.Labour] = p.Labour, asPlanned
	}
	switch {
	case any[book.StandbyClock]:
	case !any[book.WorkClock]:
		u.Standby, u.planned[price.Standby] = p.Standby, asPlanned
	case p.Standby > 0: // waits may lie in the hours of work: nothing is charged twice
		u.notes = append(u.notes, fmt.Sprintf("Standing by was planned with %s and not logged: none is charged.", hourText(p.Standby)))
	}
	u.Drives = append(u.Drives, p.Drives...)
	u.planned[price.Travel] = asPlanned
	if !any[book.TravelClock] {
		return
	}
	u.time = true
	if n := len(u.Drives); n > 1 {
		u.watch = append(u.watch, fmt.Sprintf("Travel is billed for %d drives, as the plan has them: look whether that is what you drove.", n))
	}
	if len(u.Drives) == 0 {
		u.Drives = []price.Drive{{}}
	}
	for i := range u.Drives { // the clocks hold all drives together
		u.Drives[i].Time = q.Known(q.Time(0))
	}
	u.Drives[0].Time = q.Known(hours(book.TravelClock))
}

// rods takes the rods of the beads by class and size; beads whose rods were not
// counted take their share of the plan.
func (u *used) rods(j *book.Job, e *price.Estimated) {
	counted, laid := 0, 0
	planned, beads := q.Mass(0), 0
	if e != nil {
		for _, r := range e.Used.Rods {
			planned += r.Mass
		}
	}
	for _, l := range currentLimits(j) {
		beads += len(l.Beads)
	}
	for i := range j.Beads {
		b := &j.Beads[i]
		if b.Void {
			continue
		}
		laid++
		if b.Is.Rods <= 0 {
			continue
		}
		class, core, mass, ok := rodOf(j, b, e)
		if !ok {
			u.watch = append(u.watch, fmt.Sprintf("The %g rods of bead %d are not billed: neither the tin nor the plan says what rods they were.", b.Is.Rods, b.Is.Number))
			continue
		}
		counted++
		u.Rods = append(u.Rods, price.RodUsed{Class: class, Core: core, Mass: q.Mass(b.Is.Rods) * mass})
	}
	switch {
	case laid == 0 && e != nil:
		u.Rods, u.planned[price.Rods] = e.Used.Rods, asPlanned
	case counted == laid || e == nil || beads == 0:
	case counted == 0:
		u.Rods, u.planned[price.Rods] = e.Used.Rods, "as planned: beads are logged, their rods are not"
	default:
		share := min(1, float64(laid-counted)/float64(beads))
		for _, r := range e.Used.Rods {
			r.Mass = q.Mass(float64(r.Mass) * share)
			u.Rods = append(u.Rods, r)
		}
		u.planned[price.Rods] = fmt.Sprintf("logged, but for %d of %d beads as planned", laid-counted, laid)
	}
}

// currentLimits are the limits of the places by the plan in force.
func currentLimits(j *book.Job) []book.ItemLimits {
	if p := j.Plan(); p != nil {
		return p.Limits.Items
	}
	return nil
}

// rodOf says which rod a bead was laid with, and what one weighs: by the tin, else
// by the plan.
func rodOf(j *book.Job, b *book.Logged[book.Bead], e *price.Estimated) (class string, core q.Length, mass q.Mass, ok bool) {
	var size q.Maybe[q.Length]
	if l, is := j.LimitsAt(&b.Meta, b.Is.Item); is {
		for _, p := range l.Beads {
			if p.Number == b.Is.Number || class == "" {
				if c, s, err := filler.ReadRod(p.Rod); err == nil {
					class, size = c.String(), s
				}
			}
		}
	}
	if t := j.Tin(b.Is.Tin); t != nil {
		if c, s, err := filler.ReadRod(t.Is.Class); err == nil {
			class = c.String()
			if s.Known {
				size = s
			}
		}
		if t.Is.Size != nil {
			size = q.Known(t.Is.Size.SI)
		}
	}
	if class == "" || !size.Known {
		return "", 0, 0, false
	}
	const same = 0.3 * q.Millimetre // between an inch size and its metric neighbour
	if e != nil {
		for _, w := range e.Call.Items {
			for _, r := range w.Rods {
				if r.Class == class && math.Abs(float64(r.Core-size.V)) <= float64(same) {
					return r.Class, r.Core, r.Mass, true
				}
			}
		}
	}
	c, err := filler.Read(class)
	if err != nil {
		return "", 0, 0, false
	}
	one, err := filler.RodDeposit(filler.Stick{Class: c, Core: size.V})
	if err != nil {
		return "", 0, 0, false
	}
	return class, size.V, one.Value.Mass.Mid(), true
}

// carbons takes the carbons of the gouging. Their size is not logged: it is the
// plan's.
func (u *used) carbons(j *book.Job, p price.Used) {
	n := 0.0
	for _, g := range j.Gouges {
		if !g.Void {
			n += g.Is.Carbons
		}
	}
	switch {
	case n == 0:
		u.Carbons, u.planned[price.Carbons] = p.Carbons, asPlanned
	case len(p.Carbons) == 0:
		u.watch = append(u.watch, fmt.Sprintf("%g carbons are logged and not billed: the plan has none that says their size.", n))
	default:
		u.Carbons = []price.CarbonUsed{{Size: p.Carbons[0].Size, Count: n}}
	}
}

// tests counts the crack tests that are charged for.
func (u *used) tests(j *book.Job, p price.Used) {
	count := map[price.TestMethod]float64{}
	any := false
	for _, i := range j.Inspections {
		if i.Void {
			continue
		}
		any = true
		switch i.Is.Method {
		case book.MethodPT:
			count[price.PT]++
		case book.MethodMT:
			count[price.MT]++
		case book.MethodUT:
			count[price.UT]++
		}
	}
	if !any {
		u.Tests, u.planned[price.Tests] = p.Tests, asPlanned
		return
	}
	for _, m := range []price.TestMethod{price.PT, price.MT, price.UT} {
		if count[m] > 0 {
			u.Tests = append(u.Tests, price.TestUsed{Method: m, Count: count[m]})
		}
	}
}

// workDone says in a line what was done, for the customer.
func workDone(j *book.Job) []string {
	var parts []string
	say := func(n int, one, more string) {
		switch {
		case n == 1:
			parts = append(parts, "1 "+one)
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", n, more))
		}
	}
	say(standing(j.Gouges), "side gouged out", "sides gouged out")
	say(standing(j.Beads), "bead laid", "beads laid")
	var heat time.Duration
	for _, h := range j.PostHeats {
		if !h.Void {
			heat += h.Is.To.Sub(h.Is.From)
		}
	}
	if heat > 0 {
		parts = append(parts, "post-heat of "+hourText(q.Time(heat.Seconds())))
	}
	say(standing(j.Inspections), "look for cracks", "looks for cracks")
	if len(parts) == 0 {
		return nil
	}
	s := "Done by the job book: "
	for i, p := range parts {
		if i > 0 {
			s += ", "
		}
		s += p
	}
	return []string{s + "."}
}

// standing counts what was not taken back.
func standing[T any](all []book.Logged[T]) int {
	n := 0
	for _, l := range all {
		if !l.Void {
			n++
		}
	}
	return n
}

// hourText prints hours to the quarter.
func hourText(t q.Time) string {
	return fmt.Sprintf("%.4g h", float64(q.RoundTo(t, 15*q.Minute))/float64(q.Hour))
}
