package plan_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// one is a job of one plain place.
func one(thickness q.Length, ev job.Evidence, restraint job.Restraint) job.Job {
	var j job.Job
	j.Machine = job.Machine{Kind: "vibrating screen", LiftsPeople: job.No, HangsLoad: job.No, OnRoad: job.No, Blocked: job.Yes}
	j.Site = job.Site{Air: q.Known(q.Temperature(20)), Steel: q.Known(q.Temperature(20)), Wet: job.Dry, FireBan: job.No}
	j.Items = []job.Item{{Part: "side plate", Role: job.Structure, Shape: job.Plate, Thickness: q.Known(thickness), Restraint: restraint, Steel: ev,
		Position: job.Flat, Access: job.BothSides, Crack: job.Crack{Length: q.Known(q.Length(0.1)), Through: job.Yes, Ends: "both"}}}
	return j
}

// van is a shop with one kind of rod in every size.
func van(class string, opened q.Maybe[q.Time]) *job.Shop {
	s := &job.Shop{Oven: job.No}
	for _, mm := range []float64{2.5, 3.2, 4} {
		r := job.Rod{Class: class, Size: q.Length(mm) * q.Millimetre, Condition: "sealed"}
		if opened.Known {
			r.Condition, r.Opened = "opened", opened
		}
		s.Rods = append(s.Rods, r)
	}
	return s
}

func make1(t *rapid.T, j job.Job, shop *job.Shop) plan.Item {
	p, err := plan.Make(j, shop, q.SI)
	if err != nil {
		t.Fatal(err)
	}
	return p.Items[0]
}

// sameRuns says that two plans put the rods down the same way, so that a
// difference of heat is not one of heat input.
func sameRuns(a, b plan.Item) bool {
	runs := func(it plan.Item) string {
		all := map[string]string{}
		for _, x := range it.Beads {
			words := strings.Fields(x.Rod) // class and size: E7018 H8 3.2 mm
			all[x.Kind] = fmt.Sprint(words[len(words)-2:], x.Run)
		}
		return fmt.Sprint(all)
	}
	return a.Heat != nil && b.Heat != nil && runs(a) == runs(b) && a.Heat.Arc == b.Heat.Arc
}

// neverFalls checks every steel that both plans know.
func neverFalls(t *rapid.T, what string, before, after plan.Item) {
	for _, b := range before.Steels {
		i := slices.IndexFunc(after.Steels, func(s plan.Steel) bool { return s.ID == b.ID })
		if i < 0 || b.Floor == nil {
			continue
		}
		a := after.Steels[i]
		if a.Floor == nil {
			t.Errorf("%s: %s had a floor of %v and has none", what, b.ID, *b.Floor)
		} else if *a.Floor < *b.Floor-1e-9 {
			t.Errorf("%s: floor of %s falls from %v to %v", what, b.ID, *b.Floor, *a.Floor)
		}
	}
	held := func(it plan.Item) (ids []string) {
		for _, s := range it.Steels {
			if s.Held {
				ids = append(ids, s.ID)
			}
		}
		slices.Sort(ids)
		return ids
	}
	if slices.Equal(held(before), held(after)) && after.Heat.Floor < before.Heat.Floor {
		t.Errorf("%s: the plan's floor falls from %v to %v", what, before.Heat.Floor, after.Heat.Floor)
	}
}

var someGrades = []string{"", "A36", "S355", "A514", "S690QL", "AR400", "1045", "4140", "A27"}

func drawEvidence(t *rapid.T) job.Evidence {
	return job.Evidence{Grade: rapid.SampledFrom(someGrades).Draw(t, "grade"), GradeBy: rapid.SampledFrom([]job.GradeBy{"", "certificate", "hearsay"}).Draw(t, "by"),
		Magnet: rapid.SampledFrom([]job.Magnet{"", "strong"}).Draw(t, "magnet"), Surface: rapid.SampledFrom([]job.Surface{"", "rolled"}).Draw(t, "surface")}
}

func millimetres(t *rapid.T, name string, low, high float64) q.Length {
	return q.Length(rapid.Float64Range(low, high).Draw(t, name)) * q.Millimetre
}

// The floor never falls when thickness, carbon, hydrogen or restraint rise and
// the rods are put down the same way.
func TestFloorNeverFalls(t *testing.T) {
	restraints := []job.Restraint{job.LowRestraint, job.MediumRestraint, job.HighRestraint, ""}
	count := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		ev, thick := drawEvidence(t), millimetres(t, "thickness", 6, 120)
		restraint := rapid.SampledFrom(restraints).Draw(t, "restraint")
		shop := van("E7018-H4R", q.Maybe[q.Time]{})
		base := make1(t, one(thick, ev, restraint), shop)
		check := func(what string, after plan.Item) {
			if sameRuns(base, after) {
				count[what]++
				neverFalls(t, what, base, after)
			}
		}
		check("thicker", make1(t, one(thick+millimetres(t, "more", 0.1, 60), ev, restraint), shop))
		if i := slices.Index(restraints, restraint); i < 2 {
			check("stiffer", make1(t, one(thick, ev, restraints[i+1]), shop))
		} else if i == 2 { // not known counts as high
			check("not known", make1(t, one(thick, ev, ""), shop))
		}
		check("damper tin", make1(t, one(thick, ev, restraint), van("E7018-H4R", q.Known(q.Time(rapid.Float64Range(0, 48).Draw(t, "hours"))*q.Hour))))
		check("worse mark", make1(t, one(thick, ev, restraint), van(rapid.SampledFrom([]string{"E7018-H8", "E7018"}).Draw(t, "mark"), q.Maybe[q.Time]{})))

		// an analysis that fits the family before and after: then the family's worst
		// composition takes no part
		carbon := rapid.Float64Range(0.06, 0.19).Draw(t, "carbon")
		more := rapid.Float64Range(carbon, 0.20).Draw(t, "more carbon")
		analysed := func(c float64) plan.Item {
			e := job.Evidence{Grade: "S355", GradeBy: "certificate",
				Analysis: map[string]float64{"C": c, "Si": .25, "Mn": 1.2, "Cr": .1, "Mo": .02, "V": 0, "Ni": .1, "Cu": .1, "Nb": 0, "B": 0}}
			it := make1(t, one(thick, e, restraint), shop)
			it.Steels = slices.DeleteFunc(it.Steels, func(s plan.Steel) bool { return s.ID != "s355" })
			return it
		}
		base = analysed(carbon)
		check("more carbon", analysed(more))
	})
	for _, what := range []string{"thicker", "stiffer", "not known", "damper tin", "worse mark", "more carbon"} {
		if count[what] == 0 {
			t.Errorf("%s: never tried with the same runs", what)
		}
	}
}

// A finding never brings in the steels it speaks against.
func TestEvidenceNeverWidensAgainstItsDirection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ev, thick := drawEvidence(t), millimetres(t, "thickness", 6, 60)
		ev.Magnet, ev.Surface = "", ""
		before := make1(t, one(thick, ev, job.MediumRestraint), nil)
		for what, c := range map[string]struct {
			add     func(*job.Evidence)
			against []string
		}{
			"magnet sticks":   {func(e *job.Evidence) { e.Magnet = "strong" }, []string{"mn-steel", "stainless-304"}},
			"magnet does not": {func(e *job.Evidence) { e.Magnet = "none" }, []string{"a36", "s355", "s690ql", "a514-b", "ar400", "1045", "4140", "cast-a27"}},
			"rolled skin":     {func(e *job.Evidence) { e.Surface = "rolled" }, []string{"cast-a27", "cast-a148", "grey-iron", "ductile-iron"}},
			"soft":            {func(e *job.Evidence) { e.Hardness = q.Known(q.Brinell(140)) }, []string{"ar400", "ar450", "ar500", "ar600", "s690ql"}},
			"hard":            {func(e *job.Evidence) { e.Hardness = q.Known(q.Brinell(500)) }, []string{"a36", "s235", "s275", "s355", "cast-a27"}},
		} {
			more := ev
			c.add(&more)
			after := make1(t, one(thick, more, job.MediumRestraint), nil)
			for _, id := range c.against {
				is := func(s plan.Steel) bool { return s.ID == id }
				if slices.ContainsFunc(after.Steels, is) && !slices.ContainsFunc(before.Steels, is) {
					t.Errorf("%s brings in %s", what, id)
				}
			}
		}
	})
}
