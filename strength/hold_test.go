package strength

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// crossMember is a box cross member of a tipper with an old square plate.
func crossMember() HoldInput {
	return HoldInput{
		Machine: job.Machine{Kind: "tipper truck", HoursPerWeek: q.Known(45 * q.Hour), LiftsPeople: job.No, HangsLoad: job.No},
		Item: job.Item{Shape: job.Box, Thickness: q.Known(9.525 * mm), Width: q.Known(127 * mm), Depth: q.Known(178 * mm),
			Crack: job.Crack{Length: q.Known(40 * mm), Through: job.Yes, Ends: "both", Starts: "plate-end"}, Access: job.OneSide,
			History: job.History{Welded: job.Yes, By: "other", Held: q.Known(700 * q.Hour), PlateOver: job.Yes, PlateEnds: "square", Mirror: job.Yes},
			Cause:   job.CauseEvidence{BeachMarks: job.Yes, CyclesPerHour: q.Known(3.0)}},
		Start: q.Known(time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)), Stock: q.US, PlateOver: true, Draws: 1000}
}

func option(t *testing.T, h Holding, id string) Option {
	t.Helper()
	for _, o := range h.Repairs.Value {
		if o.ID == id {
			return o
		}
	}
	t.Fatalf("no option %s", id)
	return Option{}
}

func TestHoldNamesTheOldPlate(t *testing.T) {
	h, err := Hold(crossMember())
	if err != nil {
		t.Fatal(err)
	}
	if top := h.Causes.Value[0]; top.ID != "repair" || top.Weight < 0.4 {
		t.Errorf("first cause %s with %.2f, want the earlier repair", top.ID, top.Weight)
	}
	square, backing, root := option(t, h, "plate-square"), option(t, h, "backing"), option(t, h, "one-side")
	if !square.Worse || square.Life.Risk5 >= backing.Life.Risk5 || square.EndLimit >= 1 {
		t.Errorf("square plate %v h (worse %v, end limit %v), backing %v h: the plate must be named as the worse one", square.Life.Risk5.Hours(), square.Worse, square.EndLimit, backing.Life.Risk5.Hours())
	}
	if root.Life.Risk5 >= square.Life.Risk5 {
		t.Errorf("an unproven root (%v h) outlives the plate (%v h)", root.Life.Risk5.Hours(), square.Life.Risk5.Hours())
	}
	if flush := option(t, h, "flush"); flush.Possible {
		t.Error("a weld from both sides is offered where one side can be reached")
	}
	if over := option(t, h, "plate-over"); over.Possible || over.Life.Risk5 != 0 {
		t.Error("a plate over the crack left in is offered")
	}
	if !h.Hidden.Value.Refused {
		t.Error("a plate over the crack was not refused")
	}
	if h.Friday.Value.Verdict != StopNow {
		t.Errorf("a 40 mm crack in an as-welded joint of unknown steel: %s", h.Friday.Value.Verdict)
	}
	if l := h.Look.Value; l.Interval.Low <= 0 || l.Interval.High < l.Interval.Low || !l.Looks[len(l.Looks)-1].Date.Known {
		t.Errorf("next look: interval %v to %v h, dates known %v", l.Interval.Low.Hours(), l.Interval.High.Hours(), l.Looks[len(l.Looks)-1].Date.Known)
	}
	if len(h.Missing) > 0 {
		t.Errorf("missing: %v", h.Missing)
	}
}

func TestHoldGivesNothingWhereTheGateWithholds(t *testing.T) {
	in := crossMember()
	in.Withheld = "a fork is not welded"
	h, err := Hold(in)
	if err != nil {
		t.Fatal(err)
	}
	if h.Causes != nil || h.Load != nil || h.Repairs != nil || h.Plate != nil || h.Friday != nil || h.Hidden != nil || h.Look != nil || h.Restraint != nil {
		t.Errorf("figures for a withheld item: %+v", h)
	}
	for name, r := range map[string]source.Basis{
		"friday":  mustFriday(t, FridayInput{Withheld: "no"}).Basis,
		"repairs": mustRepairs(t, RepairsInput{Withheld: "no"}).Basis,
		"look":    mustLook(t, LookInput{Withheld: "no"}).Basis,
	} {
		if len(r.Steps) > 0 || len(r.Inputs) > 0 {
			t.Errorf("%s: figures for a withheld item: %+v", name, r)
		}
	}
	if v := mustFriday(t, FridayInput{Withheld: "no"}).Value.Verdict; v != NotACase {
		t.Errorf("withheld: %s", v)
	}
}

func mustFriday(t *testing.T, in FridayInput) source.Result[FridayAnswer] {
	t.Helper()
	r, err := UntilFriday(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func mustRepairs(t *testing.T, in RepairsInput) source.Result[[]Option] {
	t.Helper()
	r, err := CompareRepairs(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func mustLook(t *testing.T, in LookInput) source.Result[LookPlan] {
	t.Helper()
	r, err := NextLook(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A job of five lines still gets an answer, and says what it lacks.
func TestHoldOfAPoorJob(t *testing.T) {
	for name, in := range map[string]HoldInput{
		"nothing known":            {},
		"thickness only":           {Item: job.Item{Thickness: q.Known(12 * mm)}},
		"thickness and crack":      {Item: job.Item{Thickness: q.Known(12 * mm), Crack: job.Crack{Length: q.Known(60 * mm)}}},
		"hours but no size":        {Machine: job.Machine{Kind: "loader", Hours: q.Known(5000 * q.Hour)}, Item: job.Item{Thickness: q.Known(12 * mm)}},
		"ends hidden":              {Machine: job.Machine{Hours: q.Known(5000 * q.Hour)}, Item: job.Item{Thickness: q.Known(12 * mm), Crack: job.Crack{Length: q.Known(60 * mm), Ends: "none"}}},
		"crack as long as it gets": {Machine: job.Machine{Hours: q.Known(5000 * q.Hour)}, Item: job.Item{Thickness: q.Known(12 * mm), Width: q.Known(100 * mm), Crack: job.Crack{Length: q.Known(95 * mm), Ends: "both"}}},
		"lasted no time at all":    {Item: job.Item{Thickness: q.Known(12 * mm), Crack: job.Crack{Length: q.Known(60 * mm), Through: job.Yes, Ends: "both"}, History: job.History{Welded: job.Yes, Held: q.Known(q.Time(1e-40))}}},
		"not through":              {Machine: job.Machine{Hours: q.Known(5000 * q.Hour)}, Item: job.Item{Thickness: q.Known(12 * mm), Crack: job.Crack{Length: q.Known(30 * mm), Depth: q.Known(3 * mm), Through: job.No, Starts: "weld-toe"}}},
	} {
		t.Run(name, func(t *testing.T) {
			in.Draws = 200
			h, err := Hold(in)
			if err != nil {
				t.Fatal(err)
			}
			if h.Causes == nil || len(h.Causes.Value) == 0 {
				t.Error("no causes")
			}
			if h.Friday != nil && h.Friday.Value.Light == Green && in.Machine.LiftsPeople != job.No {
				t.Error("green though nobody said that it lifts no people")
			}
			if h.Friday != nil && len(h.Friday.Value.Reasons) == 0 {
				t.Error("an answer without a reason")
			}
			if in.Item.Thickness.Known && h.Repairs == nil {
				t.Error("no comparison of repairs")
			}
			text, err := json.Marshal(h)
			if err != nil {
				t.Fatalf("not JSON: %v", err)
			}
			if bad := regexp.MustCompile(`NaN|Inf|%!|\b(safe to|guaranteed|certified)\b`).FindString(string(text)); bad != "" {
				t.Errorf("the text says %q: %s", bad, text)
			}
		})
	}
}

func TestNeverGreenForPeopleOrHangingLoads(t *testing.T) {
	in := exampleFriday(2, 300, 15, LoadOf(15*mpas, 0.1, 1, 0.1, true), 1)
	in.Residual = q.Of[q.Stress]{}
	if a := mustFriday(t, in).Value; a.Light != Green || a.Verdict != LimitedHours || a.Hours <= 0 {
		t.Fatalf("a tiny crack under a small load for an hour: %s, %s; the test needs a green one", a.Light, a.Verdict)
	}
	hang := in
	hang.HangsLoad = true
	if a := mustFriday(t, hang).Value; a.Light == Green {
		t.Error("green with a hanging load")
	}
	people := in
	people.People = true
	if a := mustFriday(t, people).Value; a.Verdict != StopNow || a.Light != Red {
		t.Errorf("people: %s, %s", a.Verdict, a.Light)
	}
	corner := in
	corner.SecondPlate = true
	if a := mustFriday(t, corner).Value; a.Verdict != StopNow {
		t.Errorf("into a second plate: %s", a.Verdict)
	}
	eye := in
	eye.Sized = ByEye
	if a, b := mustFriday(t, in).Value, mustFriday(t, eye).Value; b.Life.Risk1 >= a.Life.Risk1 {
		t.Errorf("a crack measured by eye lasts %v h, a given one %v h", b.Life.Risk1.Hours(), a.Life.Risk1.Hours())
	} else if a.Hours != in.Need {
		t.Errorf("%v h are given, %v h were asked for and could be", a.Hours.Hours(), in.Need.Hours())
	}
}

func TestHiddenCrack(t *testing.T) {
	in := exampleFriday(8, 300, 40, LoadOf(40*mpas, 0.15, 20, 0.1, true), 8)
	in.Residual = q.Of[q.Stress]{Low: 0, High: 30 * mpas}
	h := must(HiddenCrack(in, 0.687))
	if !h.Refused || len(h.Why) == 0 {
		t.Error("not refused")
	}
	if h.Temporary.Life.Median <= h.Bare.Median {
		t.Errorf("under the plate %v h, bare %v h: a plate that takes load off lengthens the growth", h.Temporary.Life.Median.Hours(), h.Bare.Median.Hours())
	}
	// worked section: with ΔK × 0.687 the growth slows by 3.1 for a slope of 3
	run(t, []check{{"slower by", 1 / (0.687 * 0.687 * 0.687), 3.1, 0.01}})
	if h.Temporary.Verdict == LimitedHours && !strings.Contains(h.Temporary.Limits[0], "log") {
		t.Errorf("a temporary that is not to be logged: %v", h.Temporary.Limits)
	}
}

// Source: worked box section: the plate takes 68.6 to 47.1 MPa at the old flange.
func TestReliefOf(t *testing.T) {
	r := ReliefOf(job.Item{Shape: job.Box, Thickness: q.Known(16 * mm), Thickness2: q.Known(10 * mm), Width: q.Known(300 * mm), Depth: q.Known(400 * mm)})
	if !r.Known || r.V < 0.64 || r.V > 0.72 {
		t.Errorf("relief %v (%v): the worked section with a near plate has 0.687", float64(r.V), r.Known)
	}
	if r := ReliefOf(job.Item{Shape: job.Casting, Thickness: q.Known(16 * mm), Width: q.Known(300 * mm)}); r.Known {
		t.Error("a relief for a casting")
	}
}

func BenchmarkHold(b *testing.B) {
	in := crossMember()
	in.Draws = 0
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Hold(in); err != nil {
			b.Fatal(err)
		}
	}
}
