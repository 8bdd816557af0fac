package plan

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// limits is floor and ceiling of one steel.
type limits struct {
	steelCase
	floor     heat.Floor
	ceiling   q.Temperature
	hasCeil   bool
	ceilBasis source.Basis
	failed    error // no floor: why
}

// window is the temperature window over a set of steels.
type window struct {
	steels  []limits
	floor   *limits // the steel that sets the floor
	ceiling *limits // the steel that sets the ceiling
}

func (n window) open() bool {
	if n.floor == nil || n.floor.failed != nil {
		return false
	}
	return n.ceiling == nil || n.floor.floor.Minimum < n.ceiling.ceiling
}

// workable says that a torch and crayons can keep to the window.
func (n window) workable() bool {
	return n.open() && (n.ceiling == nil || float64(n.ceiling.ceiling-n.floor.floor.Minimum) >= rateOf("window-width").Likely)
}

// limitsOf works out floor and ceiling of each steel it can be. The ceilings hang
// on nothing that changes from turn to turn and are worked once.
func (w *work) limitsOf(in heat.PreheatInput) []limits {
	if w.limits == nil {
		w.limits = make([]limits, len(w.steels))
		for i, s := range w.steels {
			l := &w.limits[i]
			l.steelCase = s
			l.ceiling, l.ceilBasis, l.hasCeil = s.ceiling(w.t, in.StrongFiller)
		}
	}
	for i := range w.limits {
		l := &w.limits[i]
		l.floor, l.failed = heat.MinimumPreheat(l.preheat(in))
	}
	return w.limits
}

// over takes the highest floor and the lowest ceiling.
func over(all []limits) window {
	n := window{steels: all}
	for i := range all {
		l := &all[i]
		if n.floor == nil || l.failed != nil || (n.floor.failed == nil && l.floor.Minimum > n.floor.floor.Minimum) {
			n.floor = l
		}
		if l.hasCeil && (n.ceiling == nil || l.ceiling < n.ceiling.ceiling) {
			n.ceiling = l
		}
	}
	return n
}

// holding says which of the credible steels the plan's window holds for.
type holding struct {
	window
	left  []limits    // credible, but no window could hold for them too
	tests []ruling    // the tests that must rule them out first
	rest  []steelCase // those that no test can
}

// same says that these are the steels held.
func (h holding) same(steels []steelCase) bool {
	if len(steels) != len(h.steels) {
		return false
	}
	for i := range steels {
		if steels[i].candidate.ID != h.steels[i].candidate.ID {
			return false
		}
	}
	return true
}

// hold picks the steels that the plan holds for. All credible ones if one window
// fits them all. Otherwise the likely ones, and a test has to rule out the rest
// before the heat is lit. If even those share no window, the heaviest steels
// that do.
func (w *work) hold(all []limits) holding {
	if n := over(all); n.workable() {
		return holding{window: n}
	}
	held := slices.DeleteFunc(slices.Clone(all), func(l limits) bool { return l.candidate.Guarded || l.failed != nil })
	if len(held) == 0 {
		held = slices.DeleteFunc(slices.Clone(all), func(l limits) bool { return l.failed != nil })
	}
	// the lightest steel goes first until one window fits the others
	slices.SortStableFunc(held, func(a, b limits) int {
		switch {
		case a.candidate.Weight > b.candidate.Weight:
			return -1
		case a.candidate.Weight < b.candidate.Weight:
			return 1
		}
		return 0
	})
	for len(held) > 1 && !over(held).workable() {
		held = held[:len(held)-1]
	}
	h := holding{window: over(held)}
	for _, l := range all {
		if !slices.ContainsFunc(held, func(k limits) bool { return k.candidate.ID == l.candidate.ID }) {
			h.left = append(h.left, l)
		}
	}
	return h
}

// narrowings says what each test not yet done would save at its best likely
// outcome: the floor it would leave against the floor there is.
func (w *work) narrowings(h holding, in heat.PreheatInput) []saving {
	now := max(floorOf(h.steels), floorOf(h.left))
	var all []saving
	floors := map[string]q.Temperature{} // of families without an analysis of their own
	for _, t := range w.tests {
		var best *saving
		for _, o := range t.Outcomes {
			if o.Credible == nil {
				continue // hardly to be expected
			}
			floor, weldable := q.Temperature(0), 0
			for _, c := range o.Credible {
				f, ok := floors[c.ID]
				if !ok || c.Analysis.Known {
					s, ok := ready(c, w.thickness)
					if !ok {
						continue
					}
					if f = heat.FloorValue(s.preheat(in)); !c.Analysis.Known {
						floors[c.ID] = f
					}
				}
				floor = max(floor, f)
				weldable++
			}
			if weldable == 0 || floor >= now {
				continue
			}
			if s := (saving{test: t, says: o.Says, floor: floor, chance: o.Probability}); best == nil || worth(s, now) > worth(*best, now) {
				best = &s
			}
		}
		if best != nil {
			all = append(all, *best)
		}
	}
	slices.SortStableFunc(all, func(a, b saving) int {
		switch x, y := worth(a, now), worth(b, now); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return all
}

// saving is what one test would save.
type saving struct {
	test   material.TestOption
	says   string
	floor  q.Temperature
	chance q.Ratio
}

// noFloor stands for the floor of a steel that no method gives one.
var noFloor = q.Temperature(rateOf("no-floor").Likely)

// worth is the expected fall of the floor for a minute of testing, with the
// minutes for finding the kit, or for getting it where it is not on the truck.
func worth(s saving, now q.Temperature) float64 {
	kit := rateOf("test-kit").Low
	if s.test.Have == job.No {
		kit = rateOf("test-kit").High
	}
	return float64(s.chance) * float64(min(now, noFloor)-s.floor) / (kit + s.test.Time.Minutes())
}

func floorOf(all []limits) q.Temperature {
	t := q.Temperature(0)
	for i := range all {
		if all[i].failed != nil {
			return noFloor
		}
		t = max(t, all[i].floor.Minimum)
	}
	return t
}

// groupNames lists steels by their welding group; of a group with more than
// three it gives the number only. The last two are joined by the word last.
func groupNames(all []steelCase, last string) string {
	var order []material.Group
	members := map[material.Group][]string{}
	for _, l := range all {
		g := l.family.Group
		if members[g] == nil {
			order = append(order, g)
		}
		members[g] = append(members[g], l.family.Name)
	}
	var parts []string
	for _, g := range order {
		if n := len(members[g]); n > 3 {
			parts = append(parts, fmt.Sprintf("%s (%d kinds)", groupWord(g), n))
			continue
		}
		parts = append(parts, members[g]...)
	}
	if n := len(parts); n > 1 {
		return strings.Join(parts[:n-1], ", ") + " " + last + " " + parts[n-1]
	}
	return strings.Join(parts, "")
}

// groupWord is a welding group in words.
func groupWord(g material.Group) string {
	switch g {
	case material.Cast:
		return "steel castings"
	case material.Bar:
		return "bar and forging steel"
	case material.OtherSteels:
		return "steel outside the list"
	}
	return string(g) + " steel"
}

func cases(all []limits) []steelCase {
	some := make([]steelCase, len(all))
	for i, l := range all {
		some[i] = l.steelCase
	}
	return some
}

// names joins the names of steels, at most n of them.
func names(all []limits, n int) string {
	var s []string
	for _, l := range all {
		s = append(s, l.family.Name)
	}
	if len(s) > n {
		s = append(s[:n:n], fmt.Sprintf("%d more", len(s)-n))
	}
	return strings.Join(s, ", ")
}
