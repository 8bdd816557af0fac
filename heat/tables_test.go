package heat

import (
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Every row of every table names a publication and a status; Ref panics
// on an unknown one, so reading them all is the test.
func TestTablesNameTheirSources(t *testing.T) {
	files, err := tables.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatal("no table is embedded")
	}
	for _, f := range files {
		for _, r := range load(f.Name()) {
			if r.Ref().Where == "" {
				t.Errorf("%s:%d: no place in the publication", r.File, r.Line)
			}
		}
	}
}

// Rows that name groups name known ones.
func TestTablesKnowTheirGroups(t *testing.T) {
	for file, column := range map[string]string{"special_minima.csv": "group", "cooling_windows.csv": "group", "ceilings.csv": "group",
		"hold_rules.csv": "groups", "postheat.csv": "groups", "shop_chart.csv": "group"} {
		for _, r := range load(file) {
			for _, g := range strings.Fields(r.Text(column)) {
				if err := Group(g).valid(); err != nil && Group(g) != strongFiller {
					t.Errorf("%s:%d: %v", r.File, r.Line, err)
				}
			}
		}
	}
}

// The hydrogen-control table rises with group, thickness and restraint: a
// mistyped cell would most likely break this. One cell was read in print.
func TestSITableRises(t *testing.T) {
	reads := 0
	rank := func(c siCell) float64 { // "<65" lies below 65
		if c.under {
			return c.f - 1
		}
		return c.f
	}
	order := []job.Restraint{job.LowRestraint, job.MediumRestraint, job.HighRestraint}
	for k, restraint := range order {
		rows := siTable[restraint]
		if len(rows) != 5 {
			t.Fatalf("%s has %d rows, want 5", restraint, len(rows))
		}
		for i, row := range rows {
			for g, c := range row.cells {
				if c.wasRead {
					reads++
				}
				if g > 0 && rank(c) < rank(row.cells[g-1]) || i > 0 && rank(c) < rank(rows[i-1].cells[g]) || k > 0 && rank(c) < rank(siTable[order[k-1]][i].cells[g]) {
					t.Errorf("%s, row %d, group %c falls to %v", restraint, i+1, 'A'+g, c.c)
				}
				// The metric edition rounds to 5 °C: at most 5 °C from the conversion (100 °F to 40 °C is 2.2).
				if d := c.c - q.Fahrenheit(c.f); d > 5 || d < -5 {
					t.Errorf("%s, row %d, group %c: %v °F against %v °C", restraint, i+1, 'A'+g, c.f, c.c)
				}
			}
		}
	}
	if reads != 1 {
		t.Errorf("%d cells are marked as read, want the one of the published example", reads)
	}
}

func TestSIEdges(t *testing.T) {
	for _, r := range []struct {
		name      string
		in        SIInput
		group     string
		c         float64
		roomWarm  bool
		refusedBy string
	}{
		{"rounding keeps 3.04 in A", SIInput{.25333, 1, mm(25), job.LowRestraint}, "A", 20, true, ""},
		{"3.05 rounds to B", SIInput{.25425, 1, mm(25), job.MediumRestraint}, "B", 20, false, ""},
		{"3/8 in is not under 3/8 in", SIInput{.30, 5, in(.375), job.HighRestraint}, "D", 105, false, ""},
		{"9 mm is", SIInput{.30, 5, mm(9), job.HighRestraint}, "D", 40, false, ""},
		{"formula, not lookup, at the cell's edge", SIInput{.33, 5, in(1), job.MediumRestraint}, "E", 140, false, ""},
		{"over 7.0", SIInput{.55, 5, mm(25), job.LowRestraint}, "", 0, false, "susceptibility index"},
		{"soaked rod", SIInput{.25, 31, mm(25), job.LowRestraint}, "", 0, false, "hydrogen"},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := PreheatSI(r.in)
			if r.refusedBy != "" {
				refused(t, err, r.refusedBy)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got.Value.Group != r.group || got.Value.RoomWarm != r.roomWarm {
				t.Errorf("got %+v, want group %s, room warm %v", got.Value, r.group, r.roomWarm)
			}
			near(t, "°C", got.Value.Minimum.C(), r.c, 0)
		})
	}
	if _, err := PreheatSI(SIInput{.25, 5, mm(25), ""}); err == nil {
		t.Error("an unknown restraint is taken")
	}
	got, err := PreheatSI(SIInput{.28, 10, in(2), job.HighRestraint})
	if err != nil || got.Basis.Ref.Status != source.Read {
		t.Errorf("the cell read in print has status %q, %v", got.Basis.Ref.Status, err)
	}
}

// AWS D1.1 Table 3.3: one steel, two columns by the hydrogen of the filler.
func TestCategoryWith(t *testing.T) {
	for _, r := range []struct {
		steel Category
		h     q.Hydrogen
		want  Category
	}{{CategoryA, 4, CategoryB}, {CategoryA, 30, CategoryA}, {CategoryB, 16, CategoryB}, {CategoryB, 17, CategoryA}, {CategoryC, 30, CategoryC},
		{CategoryD, 8, CategoryD}, {CategoryD, 10, CategoryC}, {CategoryA514, 30, CategoryA514}, {"", 4, ""}} {
		if got := CategoryWith(r.steel, r.h); got != r.want {
			t.Errorf("category %q at %v ml/100 g is read in %q, want %q", r.steel, r.h, got, r.want)
		}
	}
}

func TestParseGroup(t *testing.T) {
	for name, want := range map[string]Group{
		"s355": S355, "S355J2+N": S355, "A36": Mild, "ASTM A36": Mild, "A572 Gr. 50": S355, "a572-60": S460, "A572 Gr60": S460, "A572 Grade 65": S460,
		"A514 Grade F": A514, "a514-f": A514, "S690QL": S690, "AISI 4140": CrMo, "42CrMo4": CrMo, "4340": NiCrMo, "1045": MediumCarbon, "C45E": MediumCarbon,
		"ar400": AR400, "400HB": AR400, "A148 80-50": CastAlloy, "A27 65-35": CastCarbon, "304L": Stainless, "rail": HighCarbon, "A128": Manganese, "cr-mo": CrMo,
		"A709-50W": S355, "a514-q": A514, "s690ql": S690, "cast-a27": CastCarbon, "cast-a148": CastAlloy, "mn-steel": Manganese, "stainless-304": Stainless, "unlisted": Unlisted, "a572-50": S355, "A709-100W": A514, "S275JR": Mild,
	} {
		if got, err := ParseGroup(name); err != nil || got != want {
			t.Errorf("%q: got %q, %v, want %q", name, got, err, want)
		}
	}
	for _, name := range []string{"", "A3600", "brass", "S3555", "3", "grey-iron"} {
		if got, err := ParseGroup(name); err == nil {
			t.Errorf("%q is taken for %q", name, got)
		}
	}
}

// Steelmakers' minima and shop practice as in special_minima.csv; the adders of
// 25 °C each are steelmaker practice, from memory.
func TestSpecialMinima(t *testing.T) {
	medium := func(g Group, t float64) SpecialInput {
		return SpecialInput{Group: g, Thickness: mm(t), HeatInput: kjmm(1.8), Restraint: job.MediumRestraint}
	}
	for _, r := range []struct {
		name string
		in   SpecialInput
		want float64
	}{
		{"400 HB 20 mm: none", medium(AR400, 20), 20},
		{"400 HB 30 mm", medium(AR400, 30), 75},
		{"400 HB 50 mm", medium(AR400, 50), 100},
		{"500 HB 30 mm", medium(AR500, 30), 150},
		{"500 HB 30 mm, rigid, small beads, cold", SpecialInput{Group: AR500, Thickness: mm(30), HeatInput: kjmm(1.2), Restraint: job.HighRestraint, Air: known(2)}, 225},
		{"600 HB", medium(AR600, 12), 150},
		{"alloy casting", medium(CastAlloy, 60), 150},
		{"manganese steel", medium(Manganese, 60), 0},
		{"strong rods on A514 25 mm", SpecialInput{Group: A514, Thickness: mm(25), HeatInput: kjmm(1.2), StrongFiller: true}, 175},
		{"strong rods on A514 10 mm", SpecialInput{Group: A514, Thickness: mm(10), HeatInput: kjmm(1.2), StrongFiller: true}, 125},
		{"strong rods over 40 mm", SpecialInput{Group: A514, Thickness: mm(41), HeatInput: kjmm(1.2), StrongFiller: true}, 190},
		{"carbon over .30 and over 1 in", SpecialInput{Group: CastCarbon, Carbon: q.Known[q.Percent](.31), Thickness: mm(30), HeatInput: kjmm(1.2)}, 79},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := MinimumBySpecialRule(r.in)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "°C", got.Value.C(), r.want, 0)
			full(t, got.Basis)
		})
	}
	for name, in := range map[string]SpecialInput{
		"S355 has no rule":      medium(S355, 20),
		"1 in is not over 1 in": {Group: CastCarbon, Carbon: q.Known[q.Percent](.31), Thickness: in(1), HeatInput: kjmm(1.2)},
		"carbon not over .30":   {Group: CastCarbon, Carbon: q.Known[q.Percent](.30), Thickness: mm(30), HeatInput: kjmm(1.2)},
		"no plate":              {Group: AR500},
	} {
		if got, err := MinimumBySpecialRule(in); err == nil {
			t.Errorf("%s: got %v", name, got.Value)
		}
	}
}

// Ceilings: AWS D1.1 for A514, TWI for manganese steel, otherwise practice.
func TestCeilings(t *testing.T) {
	for _, r := range []struct {
		name string
		in   CeilingInput
		want float64
		tol  float64
	}{
		{"mild", CeilingInput{Group: Mild, Thickness: mm(20)}, 250, 0},
		{"S690", CeilingInput{Group: S690, Thickness: mm(20)}, 200, 0},
		{"A514 1-1/2 in", CeilingInput{Group: A514, Thickness: in(1.5)}, 205, 0},
		{"A514 2 in", CeilingInput{Group: A514, Thickness: in(2)}, 230, 0},
		{"A514 2 in, strong rods", CeilingInput{Group: A514, Thickness: in(2), StrongFiller: true}, 210, 0},
		{"wear plate", CeilingInput{Group: AR500, Thickness: mm(20)}, 225, 0},
		{"manganese steel, beside the weld", CeilingInput{Group: Manganese, Thickness: mm(40)}, 250, 0},
		{"300 series", CeilingInput{Group: Stainless, Thickness: mm(6)}, 175, 0},
		{"4140, Ms + 50 is 380", CeilingInput{Group: CrMo, Steel: steels["S7 4140"], Thickness: mm(40)}, 370, 0},
		{"4340, Ms + 50", CeilingInput{Group: NiCrMo, Steel: steels["S8 4340"], Thickness: mm(40)}, 354.6, .1},
		{"no known family", CeilingInput{Thickness: mm(40)}, 200, 0},
	} {
		t.Run(r.name, func(t *testing.T) {
			got, err := MaximumInterpass(r.in)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "°C", got.Value.Maximum.C(), r.want, r.tol)
			full(t, got.Basis)
		})
	}
	if _, err := MaximumInterpass(CeilingInput{Group: HighCarbon, Steel: Steel{C: .8}, Thickness: mm(40)}); err == nil {
		t.Error("a ceiling without a martensite start")
	}
	if _, err := MaximumInterpass(CeilingInput{Group: "unobtainium", Thickness: mm(40), StrongFiller: true}); err == nil {
		t.Error("a ceiling for an unknown group")
	}
}

// AWS D1.1: below 0 °C to 20 °C; below -20 °C at the weld no welding.
func TestColdWeather(t *testing.T) {
	unknown := q.Maybe[q.Temperature]{}
	for _, r := range []struct {
		name       string
		air, steel q.Maybe[q.Temperature]
		shelter    bool
		want       Cold
	}{
		{"mild day", known(15), known(12), false, Cold{}},
		{"frost in the steel", known(5), known(-1), false, Cold{WarmTo: 20}},
		{"air stands in for the steel", known(-5), unknown, false, Cold{WarmTo: 20}},
		{"arctic", known(-25), known(-25), false, Cold{WarmTo: 20, TooCold: true}},
		{"arctic, heated enclosure", known(-25), known(-25), true, Cold{WarmTo: 20}},
		{"nothing known", unknown, unknown, false, Cold{}},
	} {
		got, err := ColdWeather(r.air, r.steel, r.shelter)
		if err != nil || got.Value != r.want {
			t.Errorf("%s: got %+v, %v, want %+v", r.name, got.Value, err, r.want)
		}
	}
}

// EN 1011-2: usual windows and shape factors, from memory.
func TestCoolingTables(t *testing.T) {
	w, err := CoolingWindow(A514)
	if err != nil || w.Value != (q.Of[q.Time]{Low: 5, High: 20}) {
		t.Errorf("A514 window %v, %v", w.Value, err)
	}
	if _, err := CoolingWindow(AR600); err == nil {
		t.Error("a window for 600 HB, of which none is published")
	}
	for _, f := range []WeldForm{BeadOnPlate, ButtFill, CornerFillet, TFillet} {
		s, err := ShapeFactors(f)
		if err != nil {
			t.Fatal(err)
		}
		full(t, s.Basis)
		if _, err := CoolingTime(CoolingInput{20, kjmm(1), mm(12), s.Value.F2.Low, s.Value.F3}); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
	for h, want := range map[q.Hydrogen]q.Vickers{4: 450, 5: 450, 8: 400, 15: 375, 20: 350} {
		if got, err := HardnessLimit(h); err != nil || got.Value != want {
			t.Errorf("limit at %v ml/100 g: %v, %v, want %v", h, got.Value, err, want)
		}
	}
	if k, err := Efficiency("smaw"); err != nil || k.Value != .8 {
		t.Errorf("k of SMAW: %v, %v", k.Value, err)
	}
}
