package plan_test

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soundmetal/gate"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet"
)

// The laws of the plan, over random jobs and shops.

// stops are the reasons for which a place may be left without figures, beside
// iron and a thickness that is not known.
var stops = regexp.MustCompile(`^(` + strings.Join([]string{
	`Groove depth: .*, (less than|more than) (1 mm|200 mm|0.039 in|7-7/8 in) .*; weld it in one pass, or ask a welding engineer`,
	`The steel can be something for which no method gives a heat; ask a welding engineer`,
	`Excavation: .*`, // measures that contradict each other, where no reader has refused them
}, "|") + `)\. No method here plans that: do not weld it by guess\.$`)

func TestPlanLaws(t *testing.T) {
	planned, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		j, shop, sys := drawJob(t), drawShop(t), drawSystem(t)
		p, err := plan.Make(j, shop, sys)
		if err != nil {
			t.Fatalf("no plan: %v", err)
		}
		for i, it := range p.Items {
			checkTouch(t, p, i)
			if it.Planned {
				planned++
				checkItem(t, p, i)
			} else {
				refused++
			}
		}
		checkFigures(t, p)
		checkJSON(t, p)
		checkText(t, p)
		again, err := plan.Make(j, shop, sys)
		if err != nil || encode(t, again) != encode(t, p) {
			t.Errorf("a second plan of the same job is another one (%v)", err)
		}
		if len(p.Narrow) > 3 {
			t.Errorf("%d facts worth finding out; at most 3", len(p.Narrow))
		}
	})
	if planned == 0 || refused == 0 {
		t.Errorf("%d places planned, %d refused: the jobs drawn do not test both", planned, refused)
	}
}

// checkTouch: a refused or escalated place has no technical word in it.
func checkTouch(t *rapid.T, p *plan.Plan, i int) {
	it := p.Items[i]
	stopped := it.Touch.Class == gate.Refuse || it.Touch.Class == gate.Escalate
	if it.Planned == stopped {
		t.Errorf("item %d: verdict %v, planned %v", i+1, it.Touch.Class, it.Planned)
	}
	if !stopped {
		return
	}
	if it.Sections != nil || it.Steels != nil || it.Groove != nil || it.Beads != nil || it.Heat != nil {
		t.Errorf("item %d is %v and has a technical part", i+1, it.Touch.Class)
	}
	for _, f := range p.Figures() {
		if strings.HasPrefix(f.ID, fmt.Sprint(i+1)+".") || strings.HasPrefix(f.ID, fmt.Sprintf("hours.%d.", i+1)) {
			t.Errorf("item %d is %v and has the figure %s", i+1, it.Touch.Class, f.ID)
		}
	}
	for _, e := range p.Read {
		if strings.HasPrefix(e.Field, fmt.Sprintf("items[%d]", i+1)) {
			t.Errorf("item %d is %v and its %s is repeated", i+1, it.Touch.Class, e.Field)
		}
	}
}

// checkItem: the window covers the steels held, beads are numbered, a stop has a reason.
func checkItem(t *rapid.T, p *plan.Plan, i int) {
	it := p.Items[i]
	for _, s := range it.Sections {
		if s.ID == "stop" && !stops.MatchString(s.Lines[0].Text) {
			t.Errorf("item %d stops for no good reason: %s", i+1, s.Lines[0].Text)
		}
	}
	for k, b := range it.Beads {
		if b.Number != k+1 {
			t.Errorf("item %d: bead %d has the number %d", i+1, k+1, b.Number)
		}
		if k > 0 && (b.Layer < it.Beads[k-1].Layer || b.Layer > it.Beads[k-1].Layer+1 || b.Side < it.Beads[k-1].Side) {
			t.Errorf("item %d: bead %d of layer %d, side %d follows layer %d, side %d", i+1, b.Number, b.Layer, b.Side, it.Beads[k-1].Layer, it.Beads[k-1].Side)
		}
	}
	if it.Heat == nil {
		if it.Beads != nil || it.Groove != nil {
			t.Errorf("item %d has beads or a groove and no heat", i+1)
		}
		return
	}
	if len(it.Beads) == 0 || it.Groove == nil {
		t.Errorf("item %d has a heat and %d beads", i+1, len(it.Beads))
	}
	floor, ceiling, held := q.Temperature(math.Inf(-1)), q.Temperature(math.Inf(1)), 0
	for _, s := range it.Steels {
		if !s.Held {
			continue
		}
		held++
		if s.Floor == nil {
			t.Errorf("item %d holds for %s, which has no floor", i+1, s.ID)
			continue
		}
		floor = max(floor, *s.Floor)
		if s.Ceiling != nil {
			ceiling = min(ceiling, *s.Ceiling)
		}
	}
	if held == 0 {
		t.Errorf("item %d holds for no steel", i+1)
		return
	}
	if want := floor.Minimum(p.Units); it.Heat.Floor != want {
		t.Errorf("item %d: floor %v, highest of the steels held %v", i+1, it.Heat.Floor, want)
	}
	if want := ceiling.Maximum(p.Units); !math.IsInf(float64(ceiling), 0) && it.Heat.Ceiling != want {
		t.Errorf("item %d: ceiling %v, lowest of the steels held %v", i+1, it.Heat.Ceiling, want)
	}
	if open := floor < ceiling; it.Heat.Open != open {
		t.Errorf("item %d: window open %v, floor %v, ceiling %v", i+1, it.Heat.Open, floor, ceiling)
	}
}

// units in which each kind of figure must be said.
var bothUnits = map[string][2][]string{
	"m":    {{" mm", " m", " km"}, {" in", " ft", " mi"}},
	"°C":   {{"°C"}, {"°F"}},
	"kg":   {{" g", " kg", " t"}, {" oz", " lb"}},
	"J/m":  {{"kJ/mm"}, {"kJ/in"}},
	"Pa":   {{" bar", " kPa", " MPa"}, {" psi", " ksi"}},
	"m²":   {{"mm²"}, {"in²"}},
	"m³/s": {{" L/min"}, {" cfm"}},
}

func checkFigures(t *rapid.T, p *plan.Plan) {
	seen := map[string]bool{}
	for _, f := range p.Figures() {
		if seen[f.ID] {
			t.Errorf("figure %s twice", f.ID)
		}
		seen[f.ID] = true
		if f.ID == "" || f.Label == "" || f.Text == "" || f.Unit == "" {
			t.Errorf("figure without id, label, text or unit: %+v", f)
		}
		if f.Basis.Title == "" || f.Basis.Ref.Key == "" || f.Basis.Ref.Status == "" {
			t.Errorf("figure %s has no title (%q) or source (%+v)", f.ID, f.Basis.Title, f.Basis.Ref)
		}
		if (f.Value == nil) != (f.Low != nil && f.High != nil) {
			t.Errorf("figure %s has neither a value nor a band, or both", f.ID)
		}
		for _, v := range []*float64{f.Value, f.Low, f.High} {
			if v != nil && (math.IsNaN(*v) || math.IsInf(*v, 0)) {
				t.Errorf("figure %s is %v", f.ID, *v)
			}
		}
		if f.Low != nil && f.High != nil && *f.Low > *f.High {
			t.Errorf("figure %s from %v down to %v", f.ID, *f.Low, *f.High)
		}
		for _, any := range bothUnits[f.Unit] {
			ok := any == nil
			for _, u := range any {
				ok = ok || strings.Contains(f.Text, u)
			}
			if !ok {
				t.Errorf("figure %s lacks one of %q: %s", f.ID, any, f.Text)
			}
		}
		got, err := p.Find(f.ID)
		if err != nil || got.ID != f.ID {
			t.Errorf("figure %s is not found by its name: %v", f.ID, err)
		}
	}
}

func encode(t *rapid.T, p *plan.Plan) string {
	data, err := json.Marshal(p)
	if err != nil {
		t.Fatalf("json: %v", err)
	}
	return string(data)
}

// checkJSON: what is written is read again as the same plan.
func checkJSON(t *rapid.T, p *plan.Plan) {
	data := encode(t, p)
	var back plan.Plan
	if err := json.Unmarshal([]byte(data), &back); err != nil {
		t.Fatalf("json: %v", err)
	}
	if again := encode(t, &back); again != data {
		t.Errorf("the plan changes on its way through JSON: %s", cmp.Diff(data, again))
	}
}

var (
	promises = regexp.MustCompile(`(?i)\b(certified|guaranteed|guarantee)\b`)
	verdicts = regexp.MustCompile(`(?i)\bsafe\b`)
	ordinary = regexp.MustCompile(`(?i)\bmake( it)? safe\b`)
)

// checkText: the paper keeps to its width and promises nothing.
func checkText(t *rapid.T, p *plan.Plan) {
	text := sheet.PlanText(p)
	for n, line := range strings.Split(text, "\n") {
		if w := utf8.RuneCountInString(line); w > sheet.Columns {
			t.Errorf("line %d has %d columns: %s", n+1, w, line)
		}
		for _, junk := range []string{"NaN", "+Inf", "-Inf", "%!", "{", "}", "<nil>", "  ,", "..  ", "1 pieces", "1 passes"} {
			if strings.Contains(line, junk) {
				t.Errorf("line %d holds %q: %s", n+1, junk, line)
			}
		}
	}
	flat := strings.Join(strings.Fields(text), " ")
	if m := promises.FindString(flat); m != "" {
		t.Errorf("the plan says %q", m)
	}
	if all, make := verdicts.FindAllString(flat, -1), ordinary.FindAllString(flat, -1); len(all) > len(make) {
		i := verdicts.FindStringIndex(ordinary.ReplaceAllString(flat, "-"))
		t.Errorf("the plan says safe: %q", ordinary.ReplaceAllString(flat, "-")[max(0, i[0]-60):i[1]])
	}
}
