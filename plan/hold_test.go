package plan_test

import (
	"encoding/json"
	"strings"
	"testing"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"

	"pgregory.net/rapid"
)

// turner is an invented case: a crack of 40 mm from a weld toe in the flange of
// a compost turner.
const turner = `
units: si
job: turner
made: 2026-05-04
site: {country: GB, air: 12 C, steel: 12 C, wet: dry, fire_ban: no}
machine: {kind: compost turner, hours: 5200 h, hours_per_week: 40 h, lifts_people: no, hangs_load: no, on_road: no, blocked: yes, coldest: 5 C}
items:
  - name: main beam
    part: main beam, lower flange
    role: structure
    shape: plate
    thickness: 20 mm
    width: 300 mm
    crack: {length: 40 mm, through: yes, ends: both, starts: weld-toe, sized: dye, corner: no}
    access: both
    steel: {grade: S355, grade_by: certificate, magnet: strong, t27j: -20 C}
    history: {welded: no, plate_over: no}
    cause: {beach_marks: yes, cycles_per_hour: 60}
`

// turned is the case with some of its words exchanged.
func turned(t testing.TB, pairs ...string) job.Job {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(turner, pairs[i]) {
			t.Fatalf("the case does not say %q", pairs[i])
		}
	}
	return readJob(t, "turner.yaml", strings.NewReplacer(pairs...).Replace(turner))
}

func onlyItem(t testing.TB, j job.Job) plan.Item {
	t.Helper()
	p, err := plan.Make(j, nil, q.SI)
	if err != nil {
		t.Fatal(err)
	}
	return p.Items[0]
}

func section(it plan.Item, id string) (plan.Section, string) {
	for _, s := range it.Sections {
		if s.ID == id {
			var all []string
			for _, l := range s.Lines {
				all = append(all, l.Text)
			}
			return s, strings.Join(all, "\n")
		}
	}
	return plan.Section{}, ""
}

// The old plate of the tipper demo is named, with numbers, and at least five
// repairs are compared; looks have a range and dates.
func TestTipperNamesTheOldPlate(t *testing.T) {
	j := readJob(t, "tipper.yaml", demoFile(t, "tipper.yaml"))
	j.Made = "2026-05-04"
	p, err := plan.Make(j, demoShop(t), q.US)
	if err != nil {
		t.Fatal(err)
	}
	it := p.Items[0]
	h := it.Hold
	if h == nil || h.Load == nil {
		t.Fatal("no load for the cross member")
	}
	if h.Causes[0].ID != "repair" || h.Causes[0].Weight <= h.Causes[1].Weight {
		t.Errorf("causes %+v: the old repair or plate must come first", h.Causes[:2])
	}
	worked := map[string]plan.Repair{}
	for _, r := range h.Repairs {
		if r.Option.Governs != "" && r.Option.Life.Risk5 > 0 {
			worked[r.Option.ID] = r
			if r.First() == "" || r.Short() == "" || len([]rune(r.Short())) > 24 {
				t.Errorf("%s: short %q, first %q", r.Option.ID, r.Short(), r.First())
			}
		}
	}
	if len(worked) < 5 {
		t.Errorf("%d repairs compared", len(worked))
	}
	square, backing := worked["plate-square"].Option, worked["backing"].Option
	if !square.Worse || square.Life.Risk5 >= backing.Life.Risk5 || h.Planned != "backing" {
		t.Errorf("square plate %v h, worse %v; weld on backing %v h; planned %q", square.Life.Risk5.Hours(), square.Worse, backing.Life.Risk5.Hours(), h.Planned)
	}
	if backing.Governs == "" || worked["plate-square"].Extra == nil || worked["plate-square"].Extra.High <= 0 || worked["backing"].Extra.High != 0 {
		t.Errorf("a plate costs nothing extra, or the planned weld does: %v, %v", worked["plate-square"].Extra, worked["backing"].Extra)
	}
	_, text := section(it, "hold")
	for _, says := range []string{"The old plate is the likely culprit", "% of the stress that the weld alone stands", "half of such plates crack in", "Take the old plate off"} {
		if !strings.Contains(text, says) {
			t.Errorf("the comparison does not say %q:\n%s", says, text)
		}
	}
	n := h.Look
	if n.Interval.Low <= 0 || n.Interval.High <= n.Interval.Low || n.From != "2026-05-04" {
		t.Errorf("look again in %v to %v h, from %s", n.Interval.Low.Hours(), n.Interval.High.Hours(), n.From)
	}
	var last job.Day
	for _, l := range n.Looks {
		if _, ok := l.Date.Time(); !ok || l.Date < last {
			t.Errorf("look %q by %q after one by %q", l.Text, l.Date, last)
		}
		last = l.Date
	}
	// the tail gate ear: nothing but a thickness and a length is known
	if ear := p.Items[1].Hold; ear.Load == nil || ear.Load.Known || len(ear.Repairs) == 0 || ear.Look.Interval.High != 0 || ear.Repairs[0].Option.Life.Times <= 0 {
		t.Errorf("the ear: %+v", ear.Load)
	}
}

// What is refused or handed on gets no word of it, in the plan or by the verb.
func TestRefusedItemsGetNoneOfIt(t *testing.T) {
	for _, part := range []string{"load fork", "crane hook", "gas cylinder", "rops frame"} {
		j := turned(t, "part: main beam, lower flange", "part: "+part, "role: structure", "role: unknown")
		j.Wanted.UntilHours = q.Known(30 * q.Hour)
		it := onlyItem(t, j)
		if c := it.Touch.Class; c != gate.Refuse && c != gate.Escalate {
			t.Fatalf("%s is not refused: %s", part, c)
		}
		if it.Hold != nil || len(it.Sections) > 0 {
			t.Errorf("%s: %d sections, hold %v", part, len(it.Sections), it.Hold)
		}
		r, err := plan.WillHold(j, nil, q.SI)
		if err != nil {
			t.Fatal(err)
		}
		if h := r.Items[0]; h.Hold != nil || len(h.Sections) > 0 {
			t.Errorf("%s: the verb gives %d sections", part, len(h.Sections))
		}
	}
}

// An approval covers the repair, not hours, lives and looks: those are the
// approver's.
func TestApprovedItemsHaveCausesOnly(t *testing.T) {
	crane := []string{"part: main beam, lower flange", "part: crane boom", "kind: compost turner", "kind: mobile crane"}
	refused := turned(t, crane...)
	if it := onlyItem(t, refused); it.Planned {
		t.Fatal("a crane boom is planned without an approval")
	}
	j := turned(t, crane...)
	j.Items[0].Approval = "maker's procedure 4711 for the crane boom"
	j.Wanted.UntilHours = q.Known(30 * q.Hour)
	it := onlyItem(t, j)
	if !it.Planned {
		t.Fatalf("not planned with the approval: %s", it.Touch.Findings[0].Title)
	}
	h := it.Hold
	if len(h.Causes) == 0 || h.Load != nil || h.Repairs != nil || h.Look != nil || h.Plate != nil || h.Until == nil || h.Until.Hours != 0 || h.Until.Verdict != "not a case for this tool" {
		t.Errorf("got %+v", h)
	}
	s, text := section(it, "hold")
	for _, l := range s.Lines {
		if l.Figure != nil {
			t.Errorf("a figure for an approved part: %s", l.Text)
		}
	}
	if !strings.Contains(text, "No figure here") {
		t.Errorf("it does not say why: %q", text)
	}
	// a permit of the site is no approval of the part
	mine := turned(t, "fire_ban: no", "fire_ban: no, rules: [mine], permit: yes")
	mine.Items[0].Approval = "mine manager's hot work permit 12 for the workshop"
	if it := onlyItem(t, mine); !it.Planned || it.Hold.Load == nil {
		t.Error("a site permit keeps the load of the part from us")
	}
}

func TestUntilFriday(t *testing.T) {
	light := []string{"starts: weld-toe", "starts: edge", "ends: both", "ends: at-edge", "width: 300 mm", "width: 600 mm", "cycles_per_hour: 60", "cycles_per_hour: 20, range: 30 MPa, peak: 45 MPa"}
	for _, c := range []struct {
		name    string
		change  []string
		verdict string
		says    string // among the reasons
	}{
		{"40 mm from a weld toe", nil, "stop now", "lowest toughness"},
		{"under little load, away from welds", light, "limited hours", "one in a hundred"},
		{"an end not found", []string{"ends: both", "ends: none"}, "not a case for this tool", "an end of the crack was not found"},
		{"hours not known", []string{"hours: 5200 h, ", ""}, "not a case for this tool", "load is not known"},
		{"length not known", []string{"length: 40 mm, ", ""}, "not a case for this tool", "length is not known"},
		{"round a corner", []string{"corner: no", "corner: yes"}, "stop now", "second plate"},
		{"thickness not known", []string{"thickness: 20 mm", "thickness: unknown"}, "not a case for this tool", "could not be planned"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := turned(t, c.change...)
			if it := onlyItem(t, j); it.Hold.Until != nil {
				t.Error("an answer that nobody asked for")
			}
			j.Wanted.UntilHours = q.Known(30 * q.Hour)
			it := onlyItem(t, j)
			a := it.Hold.Until
			if a == nil || string(a.Verdict) != c.verdict {
				t.Fatalf("got %+v, want %s", a, c.verdict)
			}
			if reasons := strings.Join(a.Reasons, "\n"); !strings.Contains(reasons, c.says) {
				t.Errorf("the reasons do not say %q:\n%s", c.says, reasons)
			}
			if (a.Hours > 0) != (c.verdict == "limited hours") || a.Hours > 30*q.Hour || len(a.Limits) == 0 {
				t.Errorf("%v h, %d limits", a.Hours.Hours(), len(a.Limits))
			}
			if _, text := section(it, "until"); !strings.Contains(text, strings.ToUpper(c.verdict)) || !strings.Contains(text, "not a release") {
				t.Errorf("the plan says:\n%s", text)
			}
			r, err := plan.WillHold(j, nil, q.SI)
			if err != nil {
				t.Fatal(err)
			}
			if b := r.Items[0].Hold.Until; b.Verdict != a.Verdict || b.Hours != a.Hours || b.Life != a.Life {
				t.Errorf("the verb says %s %v, the plan %s %v", b.Verdict, b.Life, a.Verdict, a.Life)
			}
		})
	}
}

// Three shifts are asked for where nobody says.
func TestWillHoldAsksForThreeShifts(t *testing.T) {
	r, err := plan.WillHold(turned(t), nil, q.SI)
	if err != nil {
		t.Fatal(err)
	}
	if r.Need != 24*q.Hour || r.Items[0].Hold.Need != r.Need || !strings.Contains(r.NeedFrom, "three shifts") {
		t.Errorf("need %v h, %q", r.Need.Hours(), r.NeedFrom)
	}
	if _, err := r.Find("hold.range"); err != nil {
		t.Error(err)
	}
	if _, err := r.Find("heat.preheat"); err == nil {
		t.Error("the answer has a preheat")
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
}

// The repair that the plan plans is the one that the comparison marks.
func TestPlannedRepair(t *testing.T) {
	for name, c := range map[string]struct {
		change []string
		want   string
	}{
		"both sides":             {nil, "flush"},
		"both, in compression":   {[]string{"access: both", "access: both\n    loaded: compression"}, "as-welded"},
		"one side of a box":      {[]string{"access: both", "access: one", "shape: plate", "shape: box\n    depth: 400 mm"}, "backing"},
		"a crack part way down":  {[]string{"through: yes", "through: no, depth: 6 mm"}, ""},
		"one side of a sheet":    {[]string{"access: both", "access: one", "thickness: 20 mm", "thickness: 5 mm", "t27j: -20 C", "t27j: -20 C"}, "backing"},
		"tension is not told":    {[]string{"access: both", "access: both\n    loaded: tension"}, "flush"},
		"width is not known yet": {[]string{"width: 300 mm", "width: unknown"}, "flush"},
	} {
		t.Run(name, func(t *testing.T) {
			h := onlyItem(t, turned(t, c.change...)).Hold
			if h.Planned != c.want {
				t.Errorf("planned %q, want %q", h.Planned, c.want)
			}
			for _, r := range h.Repairs {
				if r.Option.ID == h.Planned && !r.Option.Possible {
					t.Errorf("the plan plans %s, which cannot be done: %s", h.Planned, r.Option.WhyNot)
				}
			}
		})
	}
}

// The welder's word on restraint counts, unknown is high, and where the crack
// says more than he does the plan says so.
func TestRestraint(t *testing.T) {
	for _, c := range []struct {
		word, ends string
		want       job.Restraint
		warned     bool
	}{
		{"unknown", "both", job.HighRestraint, false}, {"unknown", "at-edge", job.HighRestraint, false}, {"low", "both", job.LowRestraint, true},
		{"medium", "both", job.MediumRestraint, true}, {"medium", "at-edge", job.MediumRestraint, false}, {"high", "both", job.HighRestraint, false},
	} {
		it := onlyItem(t, turned(t, "access: both", "access: both\n    restraint: "+c.word, "ends: both", "ends: "+c.ends))
		_, text := section(it, "heat")
		if got := it.Hold.Restraint.Class; got != c.want || strings.Contains(text, "You say restraint") != c.warned {
			t.Errorf("%s, ends %s: %s, warned %v", c.word, c.ends, got, !c.warned)
		}
	}
}

// A pin bore beside the weld is warned of, with the movement.
func TestBoreIsWarnedOf(t *testing.T) {
	_, text := section(onlyItem(t, turned(t, "access: both", "access: both\n    behind: [pin-bore]")), "hold")
	if !strings.Contains(text, "A pin bore is near: the weld may pull it 1.") || !strings.Contains(text, "through both bores") {
		t.Errorf("no word on the bore:\n%s", text)
	}
}

// Laws over random jobs: hold is there where the item is planned, hours never
// exceed those asked for, and nothing in it is more than the others can print.
func TestHoldLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t)
		j.Wanted.UntilHours = q.Known(q.Time(rapid.Float64Range(0.5, 500).Draw(t, "need")) * q.Hour)
		p, err := plan.Make(j, nil, drawSystem(t))
		if err != nil {
			t.Fatal(err)
		}
		for i, it := range p.Items {
			h := it.Hold
			if (h != nil) != it.Planned {
				t.Fatalf("item %d: planned %v, hold %v", i, it.Planned, h != nil)
			}
			if h == nil {
				continue
			}
			if h.Until == nil || len(h.Until.Reasons) == 0 || h.Until.Hours > h.Need {
				t.Fatalf("item %d: %v asked for, answer %+v", i, h.Need, h.Until)
			}
			var sum float64
			for _, c := range h.Causes {
				sum += c.Weight
			}
			if sum < 0.999 || sum > 1.001 {
				t.Fatalf("item %d: the causes add to %g", i, sum)
			}
			if h.Look != nil && (h.Look.Interval.Low > h.Look.Interval.High || h.Look.From != j.Made) {
				t.Fatalf("item %d: looks %+v", i, h.Look)
			}
			for _, r := range h.Repairs {
				if r.Extra != nil && (r.Extra.Low < 0 || r.Extra.High < r.Extra.Low) {
					t.Fatalf("item %d: %s takes %v extra", i, r.Option.ID, r.Extra)
				}
			}
		}
		if _, err := json.Marshal(p); err != nil {
			t.Fatal(err)
		}
	})
}
