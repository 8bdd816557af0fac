package plan_test

import (
	"slices"
	"strings"
	"testing"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// calmJob is a machine and a site that let every plan through.
const calmJob = `
units: si
machine: {kind: vibrating screen, lifts_people: no, hangs_load: no, on_road: no, blocked: yes}
site: {steel: 20 C, air: 20 C, wet: dry, fire_ban: no}
`

// The rim of what is asked: each is planned, or says in one sentence why not.
func TestEdgeJobs(t *testing.T) {
	const (
		whole   = "after"     // the section that ends a whole plan
		stopped = "stop"      // no method answers
		measure = "thickness" // must be measured first
		iron    = "steel"     // not a job for this plan
	)
	for name, c := range map[string]struct {
		item string
		shop string
		ends string // section by which the outcome is known
		says string // somewhere in its lines
	}{
		"sheet of 1 mm":          {"part: guard\nthickness: 1 mm\ncrack: {length: 30 mm, through: yes}", "", whole, ""},
		"sheet under 1 mm":       {"part: guard\nthickness: 0.8 mm\ncrack: {length: 30 mm, through: yes}", "", stopped, "one pass"},
		"wall of 200 mm":         {"part: frame\nthickness: 200 mm\ncrack: {length: 300 mm, through: yes}\naccess: both", "", whole, ""},
		"wall of 260 mm":         {"part: frame\nthickness: 260 mm\ncrack: {length: 300 mm, through: yes}", "", stopped, "200 mm"},
		"thick, shallow crack":   {"part: frame\nthickness: 260 mm\ncrack: {length: 300 mm, through: no, depth: 20 mm}", "", whole, ""},
		"crack of 1 mm":          {"part: frame\nthickness: 20 mm\ncrack: 1 mm", "", whole, ""},
		"crack of 19 m":          {"part: frame\nthickness: 20 mm\ncrack: 19 m", "", whole, ""},
		"crack across the plate": {"part: frame\nthickness: 20 mm\nwidth: 200 mm\ncrack: {length: 200 mm, through: yes}", "", whole, "whole width"},
		"tube":                   {"part: frame\nshape: tube\nthickness: 8 mm\nwidth: 90 mm\ncrack: 60 mm\naccess: one", "", whole, "backing"},
		"casting":                {"part: frame\nshape: casting\nthickness: 60 mm\ncrack: 80 mm\nsteel: {surface: cast, spark: long-many-forks}", "", whole, ""},
		"manganese steel":        {"part: frame\nthickness: 30 mm\ncrack: 80 mm\nsteel: {grade: manganese steel, grade_by: certificate, magnet: none}", demoKit, whole, "martensite"},
		"stainless":              {"part: frame\nthickness: 10 mm\ncrack: 80 mm\nsteel: {grade: \"304\", grade_by: certificate, magnet: none}", demoKit, whole, "dye"},
		"iron":                   {"part: frame\nthickness: 30 mm\ncrack: 80 mm\nsteel: {spark: short-dull-red, chip: crumbles, surface: cast}", "", iron, "cast iron"},
		"thickness not known":    {"part: frame\ncrack: 80 mm", "", measure, "Measure it"},
		"only the other part":    {"part: frame\nthickness2: 40 mm\ncrack: 80 mm", "", measure, "Measure it"},
		"crack not known":        {"part: frame\nthickness: 20 mm", "", whole, "not known"},
		"two thicknesses":        {"part: frame\nthickness: 10 mm\nthickness2: 50 mm\ncrack: 80 mm", "", whole, "Two thicknesses"},
		"no rods":                {"part: frame\nthickness: 20 mm\ncrack: 80 mm", "units: si\nshop: empty van\n", whole, "bring it"},
		"only wire":              {"part: frame\nthickness: 20 mm\ncrack: 80 mm", "units: si\nrods:\n  - {class: ER70S-6, size: 1.5 mm}\n  - {class: E71T-1, size: 1.6 mm}\n", whole, "bring it"},
		"wet rods":               {"part: frame\nthickness: 20 mm\ncrack: 80 mm", "units: si\nrods:\n  - {class: E7018, size: 3.2 mm, condition: wet}\n", whole, "scrap"},
		"thin quenched plate":    {"part: frame\nthickness: 5 mm\ncrack: 80 mm\nsteel: {grade: A514, grade_by: certificate}", demoKit, whole, ""},
		"frozen steel":           {"part: frame\nthickness: 20 mm\ncrack: 80 mm\nsteel: {grade: S355, grade_by: certificate}", "", whole, ""},
	} {
		t.Run(name, func(t *testing.T) {
			j := readJob(t, "edge.yaml", calmJob+c.item+"\n")
			var shop *job.Shop
			switch c.shop {
			case "":
			case demoKit:
				shop = demoShop(t)
			default:
				s, err := job.ReadShop("shop.yaml", []byte(c.shop))
				if err != nil {
					t.Fatal(err)
				}
				shop = &s
			}
			p, err := plan.Make(j, shop, q.SI)
			if err != nil {
				t.Fatal(err)
			}
			it := p.Items[0]
			if !it.Planned {
				t.Fatalf("not planned: %v", it.Touch)
			}
			var ids []string
			for _, s := range it.Sections {
				ids = append(ids, s.ID)
			}
			if !slices.Contains(ids, c.ends) {
				t.Errorf("has the sections %v, lacks %q", ids, c.ends)
			}
			if (it.Heat != nil) != (c.ends == whole) {
				t.Errorf("has a heat: %v", it.Heat != nil)
			}
			if all := lines(it); !strings.Contains(all, c.says) {
				t.Errorf("nowhere says %q:\n%s", c.says, all)
			}
		})
	}
}

// demoKit stands for the demo shop.
const demoKit = "demo"

func lines(it plan.Item) string {
	var b strings.Builder
	for _, s := range it.Sections {
		for _, l := range s.Lines {
			b.WriteString(l.Text + "\n")
		}
	}
	return b.String()
}

// One job may hold places with different verdicts: the one that is refused takes
// nothing from the other and shows no figure.
func TestMixedJob(t *testing.T) {
	j := readJob(t, "mixed.yaml", calmJob+`
items:
  - {name: fork, part: fork tine, thickness: 40 mm, crack: 30 mm}
  - {name: frame, part: side plate, thickness: 20 mm, crack: 80 mm}
`)
	p, err := plan.Make(j, demoShop(t), q.SI)
	if err != nil {
		t.Fatal(err)
	}
	if p.Items[0].Planned || !p.Items[1].Planned || p.Verdict != gate.Refuse {
		t.Fatalf("fork planned %v, frame planned %v, verdict %v", p.Items[0].Planned, p.Items[1].Planned, p.Verdict)
	}
	for _, f := range p.Figures() {
		if strings.HasPrefix(f.ID, "1.") || strings.HasPrefix(f.ID, "hours.1.") {
			t.Errorf("the fork has the figure %s", f.ID)
		}
	}
}

// Five lines, and nothing but unknown: a usable plan with the facts that would
// narrow it, three at most.
func TestFiveLines(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		facts int
	}{
		"us":  {"units: us\nmachine: tipper\npart: cross member\nthickness: 3/8\ncrack: 6\n", 3},
		"si":  {"units: si\nmachine: tipper\npart: cross member\nthickness: 10\ncrack: 150\n", 3},
		"all": {"units: si\nmachine: unknown\npart: unknown\nthickness: unknown\ncrack: unknown\naccess: unknown\nposition: unknown\nshape: unknown\nrestraint: unknown\nsteel: unknown\nbehind: unknown\n", 3},
	} {
		j := readJob(t, name, c.text)
		p, err := plan.Make(j, nil, q.SI)
		if err != nil {
			t.Fatal(err)
		}
		it := p.Items[0]
		if !it.Planned || len(it.Steels) < 12 {
			t.Errorf("%s: planned %v with %d candidates", name, it.Planned, len(it.Steels))
		}
		if len(p.Narrow) != c.facts {
			t.Errorf("%s: %d facts worth finding out, want %d: %v", name, len(p.Narrow), c.facts, p.Narrow)
		}
		if name != "all" && (it.Heat == nil || len(it.Beads) == 0 || p.Bring == nil || p.Hours == nil) {
			t.Errorf("%s: no whole plan", name)
		}
	}
}
