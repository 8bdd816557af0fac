package filler

import (
	"slices"
	"strings"
	"testing"

	"soundmetal/source"
)

// Every row of every table names a known source and status, and what refers to
// another table finds it. (Reading the tables panics on the first two; this test
// holds what reading cannot see.)
func TestTables(t *testing.T) {
	for _, table := range []struct{ name, text string }{
		{"classes.csv", classesCSV}, {"deposits.csv", depositsCSV}, {"designators.csv", designatorsCSV}, {"aliases.csv", aliasesCSV},
		{"iso_strength.csv", isoStrengthCSV}, {"sizes.csv", sizesCSV}, {"exposure.csv", exposureCSV}, {"bake.csv", bakeCSV},
		{"runout_factors.csv", factorsCSV}, {"amps.csv", ampsCSV}, {"burn.csv", burnCSV}, {"rates.csv", ratesCSV}, {"wire.csv", wireCSV},
		{"figures.csv", figuresCSV}, {"limits.csv", limitsCSV}, {"groups.csv", groupsCSV}, {"match.csv", matchCSV},
		{"prefer.csv", preferCSV}, {"rules.csv", rulesCSV},
	} {
		rows := source.Table(table.name, table.text)
		if len(rows) == 0 {
			t.Errorf("%s is empty", table.name)
		}
		for _, r := range rows {
			r.Ref()
		}
	}
	for _, c := range classes {
		if c.exposure != "" {
			if _, ok := exposures[c.exposure]; !ok {
				t.Errorf("%s: no exposure row %s", c.ID, c.exposure)
			}
			if _, ok := bakes[c.bake]; !ok {
				t.Errorf("%s: no bake row %s", c.ID, c.bake)
			}
		}
		if c.UTS.Known && c.Yield.Known && c.Yield.V > c.UTS.V {
			t.Errorf("%s yields above its strength", c.ID)
		}
		if _, ok := levelOf(LevelName(c.Level().Or(4))); !ok {
			t.Errorf("%s: hydrogen level %v has no mark", c.ID, c.Level())
		}
		if c.Metal == Ferritic && (!c.Limits.Known() || !c.Typical.Known()) {
			t.Errorf("%s has no deposit composition", c.ID)
		}
	}
	for _, r := range source.Table("exposure.csv", exposureCSV) {
		if s := source.Status(r.Text("status_b")); !slices.Contains([]source.Status{source.Read, source.Memory, source.Judgement}, s) {
			t.Errorf("exposure.csv:%d: status_b %q", r.Line, s)
		}
	}
	for _, r := range rules {
		if r.text == "" || r.verdict == No && r.instead == "" {
			t.Errorf("rule %s says no without saying what instead", r.id)
		}
	}
	seen := map[string]bool{}
	for _, r := range rules {
		if seen[r.id] {
			t.Errorf("rule %s twice", r.id)
		}
		seen[r.id] = true
	}
	for g := range groups { // every group has an answer for the usual metals
		if g != Iron && !slices.ContainsFunc(prefers, func(p preferRow) bool { return p.group == g }) {
			t.Errorf("group %s has no preference", g)
		}
	}
	if strings.Contains(strings.ToLower(rulesCSV+preferCSV), "guarantee") {
		t.Error("a rule promises what nobody can")
	}
}

// Every class can be read by its own id.
func TestEveryClassReads(t *testing.T) {
	for _, c := range Classes() {
		got, err := Read(c.ID)
		if err != nil || got.ID != c.ID || got.Assumed != "" {
			t.Errorf("%s: read as %s (%q, %v)", c.ID, got.ID, got.Assumed, err)
		}
	}
}
