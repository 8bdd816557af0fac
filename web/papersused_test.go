//go:build !js

package web

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/sheet/paper"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func ranFor(what book.ClockKind, d time.Duration) book.Clock {
	stop := noon
	return book.Clock{ID: string(what), What: what, Started: noon.Add(-d), Stopped: &stop}
}

func is[T any](v T) book.Logged[T] { return book.Logged[T]{Is: v} }

func void[T any](v T) book.Logged[T] {
	return book.Logged[T]{Meta: book.Meta{Void: true}, Is: v}
}

// thePlan is what a plan of an invented job would use up.
func thePlan() *price.Estimated {
	return &price.Estimated{
		Used: price.Used{Labour: 6 * q.Hour, Standby: q.Hour, Drives: []price.Drive{{Distance: q.Known(80_000 * q.Metre), Time: q.Known(90 * q.Minute)}, {Why: "second visit", Distance: q.Known(80_000 * q.Metre), Time: q.Known(90 * q.Minute)}},
			Rods: []price.RodUsed{{Class: "E7018 H4R", Core: 3.2 * q.Millimetre, Mass: 1}}, Carbons: []price.CarbonUsed{{Size: 5 * q.Millimetre, Count: 8}}, Gas: 4, Discs: 2, Fuel: 0.01,
			Tests: []price.TestUsed{{Method: price.PT, Count: 2}}},
		Call: price.Call{Items: []price.Work{{Rods: []price.RodNeed{{Class: "E7018 H4R", Core: 3.2 * q.Millimetre, Mass: 0.04}}}}},
	}
}

// The record of an invented job as what is billed: what was logged counts, and
// what was not is the plan's and says so.
func TestUsedOf(t *testing.T) {
	tin := book.Tin{Logged: is(book.TinOpened{ID: "t", Class: "E7018-H4R", Size: book.SI(3.2 * q.Millimetre)})}
	fuel := func(k ...price.Kind) map[price.Kind]string {
		m := map[price.Kind]string{price.Gas: asPlanned, price.Backing: asPlanned, price.Discs: asPlanned, price.Fuel: asPlanned, price.Travel: asPlanned}
		for _, k := range k {
			m[k] = asPlanned
		}
		return m
	}
	plan := plannedBeads(10)
	for _, c := range []struct {
		name    string
		j       book.Job
		e       *price.Estimated
		want    func(*price.Used)
		planned map[price.Kind]string
		time    bool
		watch   int
		notes   int
	}{
		{name: "nothing logged", e: thePlan(), planned: fuel(price.Labour, price.Standby, price.Rods, price.Carbons, price.Tests)},
		{name: "hours of work, no standing by: none is charged", j: book.Job{Clocks: []book.Clock{ranFor(book.WorkClock, 5*time.Hour)}}, e: thePlan(),
			want: func(u *price.Used) { u.Labour, u.Standby = 5*q.Hour, 0 }, planned: fuel(price.Rods, price.Carbons, price.Tests), notes: 1},
		{name: "all clocks; the time of all drives is one", j: book.Job{Clocks: []book.Clock{ranFor(book.WorkClock, 5*time.Hour), ranFor(book.StandbyClock, 30*time.Minute), ranFor(book.TravelClock, 2*time.Hour)}}, e: thePlan(),
			want: func(u *price.Used) {
				u.Labour, u.Standby = 5*q.Hour, 30*q.Minute
				u.Drives[0].Time, u.Drives[1].Time = q.Known(2*q.Hour), q.Known(q.Time(0))
			}, planned: fuel(price.Rods, price.Carbons, price.Tests), time: true, watch: 1},
		{name: "a clock that runs counts up to now", j: book.Job{Clocks: []book.Clock{{ID: "w", What: book.WorkClock, Started: noon.Add(-3 * time.Hour)}}}, e: thePlan(),
			want: func(u *price.Used) { u.Labour, u.Standby = 3*q.Hour, 0 }, planned: fuel(price.Rods, price.Carbons, price.Tests), watch: 1, notes: 1},
		{name: "rods counted, one bead taken back", j: book.Job{Tins: []book.Tin{tin}, Beads: []book.Logged[book.Bead]{is(book.Bead{Number: 1, Tin: "t", Rods: 2}), is(book.Bead{Number: 2, Tin: "t", Rods: 3}), void(book.Bead{Number: 3, Tin: "t", Rods: 9})}}, e: thePlan(),
			want: func(u *price.Used) {
				u.Rods = []price.RodUsed{{Class: "E7018 H4R", Core: 3.2 * q.Millimetre, Mass: 0.08}, {Class: "E7018 H4R", Core: 3.2 * q.Millimetre, Mass: 0.12}}
			}, planned: fuel(price.Labour, price.Standby, price.Carbons, price.Tests), notes: 1},
		{name: "one of two beads without a count: a tenth of the plan", j: withPlan(book.Job{Tins: []book.Tin{tin}, Beads: []book.Logged[book.Bead]{is(book.Bead{Item: "i", Number: 1, Tin: "t", Rods: 2}), is(book.Bead{Item: "i", Number: 2})}}, plan), e: thePlan(),
			want: func(u *price.Used) {
				u.Rods = []price.RodUsed{{Class: "E7018 H4R", Core: 3.2 * q.Millimetre, Mass: 0.08}, {Class: "E7018 H4R", Core: 3.2 * q.Millimetre, Mass: 0.1}}
			}, planned: with(fuel(price.Labour, price.Standby, price.Carbons, price.Tests), price.Rods, "logged, but for 1 of 2 beads as planned"), notes: 1},
		{name: "carbons and tests; looks by eye cost nothing", j: book.Job{Gouges: []book.Logged[book.GougeDone]{is(book.GougeDone{Side: 1, Carbons: 3}), is(book.GougeDone{Side: 2, Carbons: 2})},
			Inspections: []book.Logged[book.Inspection]{is(book.Inspection{Method: book.MethodPT}), is(book.Inspection{Method: book.MethodEye}), void(book.Inspection{Method: book.MethodUT}), is(book.Inspection{Method: book.MethodMT})}}, e: thePlan(),
			want: func(u *price.Used) {
				u.Carbons = []price.CarbonUsed{{Size: 5 * q.Millimetre, Count: 5}}
				u.Tests = []price.TestUsed{{Method: price.PT, Count: 1}, {Method: price.MT, Count: 1}}
			}, planned: fuel(price.Labour, price.Standby, price.Rods), notes: 1},
		{name: "no plan: only what was logged, and what has no size is said", j: book.Job{Clocks: []book.Clock{ranFor(book.WorkClock, time.Hour)}, Gouges: []book.Logged[book.GougeDone]{is(book.GougeDone{Side: 1, Carbons: 3})},
			Beads: []book.Logged[book.Bead]{is(book.Bead{Number: 1, Rods: 2})}},
			want: func(u *price.Used) { *u = price.Used{Labour: q.Hour} }, planned: fuel(price.Tests), watch: 2, notes: 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			want := price.Used{}
			if c.e != nil {
				want = thePlan().Used
			}
			if c.want != nil {
				c.want(&want)
			}
			if len(c.j.Plans) == 0 {
				c.j = withPlan(c.j, book.PlanVersion{})
			}
			got := usedOf(&c.j, c.e, noon)
			if d := cmp.Diff(want, got.Used, cmpopts.EquateApprox(1e-9, 1e-12), cmpopts.EquateEmpty()); d != "" {
				t.Errorf("want -, got +:\n%s", d)
			}
			if d := cmp.Diff(c.planned, got.planned); d != "" {
				t.Errorf("taken from the plan, want -, got +:\n%s", d)
			}
			if got.time != c.time || len(got.watch) != c.watch || len(got.notes) != c.notes {
				t.Errorf("time %v, watch %q, notes %q", got.time, got.watch, got.notes)
			}
		})
	}
}

func with(m map[price.Kind]string, k price.Kind, s string) map[price.Kind]string {
	m[k] = s
	return m
}

// plannedBeads is a plan of so many beads at a place i.
func plannedBeads(n int) book.PlanVersion {
	l := book.ItemLimits{Item: "i"}
	for i := range n {
		l.Beads = append(l.Beads, book.BeadLimits{Number: i + 1, Rod: "E7018 3.2 mm"})
	}
	return book.PlanVersion{PlanMade: book.PlanMade{ID: "p", Limits: book.Limits{Items: []book.ItemLimits{l}}}}
}

func withPlan(j book.Job, p book.PlanVersion) book.Job {
	j.Plans = []book.PlanVersion{p} // the first is in force
	return j
}

// The sum that may not be passed without a new yes.
func TestAgreedOn(t *testing.T) {
	shop := job.Shop{Prices: job.Prices{Currency: "EUR"}}
	quoted := book.PlanVersion{PlanMade: book.PlanMade{ID: "p", Limits: book.Limits{Price: &book.Money{Low: "600", Likely: "700", High: "900", Currency: "EUR", Cap: "1100"}}}}
	yes := book.Yes{Name: "A. Grey", How: book.ByPhone, When: noon}
	agreed := func(text string) []book.Logged[book.WorkAgreed] {
		return []book.Logged[book.WorkAgreed]{is(book.WorkAgreed{Plan: "p", Price: text, Yes: yes})}
	}
	change := func(m *book.PriceChange) []book.Change {
		a := is(book.ChangeAccepted{ID: "o", Yes: yes})
		return []book.Change{{Number: 1, ChangeProposed: book.ChangeProposed{ID: "o", Why: "more", Difference: book.Difference{Price: m}}, State: book.ChangeAgreed, Accepted: &a}}
	}
	more := &book.PriceChange{After: book.Money{Low: "800", Likely: "900", High: "1200", Currency: "EUR", Cap: "1500"}, More: book.Money{Low: "200", Likely: "200", High: "300", Currency: "EUR", Cap: "400"}}
	for _, c := range []struct {
		name    string
		agreed  []book.Logged[book.WorkAgreed]
		changes []book.Change
		want    string
	}{
		{"nothing agreed", nil, nil, "0.00"},
		{"the range as it was quoted: its cap", agreed("600 to 900 EUR"), nil, "1100.00 EUR"},
		{"with a change: the cap of the new plan", agreed("600 to 900 EUR"), change(more), "1500.00 EUR"},
		{"a figure of his own", agreed("750 EUR"), nil, "750.00 EUR"},
		{"a figure of his own and a change", agreed("750"), change(more), "1050.00 EUR"},
		{"a range of his own: its upper end", agreed("700 - 1,250.50"), nil, "1250.50 EUR"},
		{"by the hour", agreed("90 EUR an hour"), nil, "0.00"},
		{"another currency", agreed("750 USD"), nil, "0.00"},
		{"a figure that can be read two ways", agreed("1.250,50"), nil, "0.00"},
		{"a change without a sum", agreed("750"), change(nil), "0.00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := book.Job{Plans: []book.PlanVersion{quoted}, Agreed: c.agreed, Changes: c.changes}
			got, notes := agreedOn(&j, shop, paper.Options{Date: noon})
			if got.String() != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
			if len(notes) != len(c.agreed)+len(c.changes) {
				t.Errorf("notes %q", notes)
			}
		})
	}
}
