package material

import (
	q "soundmetal/quantity"
	"soundmetal/source"
)

var families, familyIndex = readFamilies()

// listed is the number of families that evidence is weighed for: all but Unlisted, which is last.
var listed = len(families) - 1

func readFamilies() ([]Family, map[string]int) {
	var all []Family
	index := map[string]int{}
	mpa := func(r source.Row, low, high string) q.Of[q.Stress] {
		return q.Of[q.Stress]{Low: q.Stress(r.Num(low)) * q.Megapascal, High: q.Stress(r.Num(high)) * q.Megapascal}
	}
	for _, r := range source.Table("families.csv", familiesCSV) {
		f := Family{
			ID: r.Text("id"), Name: r.Text("name"), Group: Group(r.Text("group")), Standard: r.Text("standard"),
			Yield: mpa(r, "yield_low", "yield_high"), Tensile: mpa(r, "uts_low", "uts_high"),
			Hardness: q.Of[q.Brinell]{Low: q.Brinell(r.Num("hb_low")), High: q.Brinell(r.Num("hb_high"))},
			Magnetic: r.Yes("magnetic"), Category: r.Text("category"), Tempered: r.Yes("tempered"),
			Hold: Hold(r.Text("hold")), OwnRules: r.Yes("own_rules"), Ref: r.Ref(), leavesBy: mustKind(r.Text("leaves_by")), cutShare: r.Or("cut_share", 0),
		}
		if r.Text("ce_low") != "" {
			f.CE = q.Known(q.Of[q.Percent]{Low: q.Percent(r.Num("ce_low")), High: q.Percent(r.Num("ce_high"))})
		}
		if r.Text("postheat_max") != "" {
			f.PostHeat = q.Known(q.Temperature(r.Num("postheat_max")))
		}
		if _, twice := index[f.ID]; twice {
			panic("families.csv: " + f.ID + " twice")
		}
		index[f.ID] = len(all)
		all = append(all, f)
	}
	if all[len(all)-1].ID != Unlisted {
		panic("families.csv: the last row must be " + Unlisted)
	}
	at := func(r source.Row, column string) *Family {
		i, ok := index[r.Text(column)]
		if !ok {
			panic(r.File + ": no family " + r.Text(column))
		}
		return &all[i]
	}
	for _, r := range source.Table("chemistry.csv", chemistryCSV) {
		f, e := at(r, "family"), mustElement(r.Text("element"))
		r.Ref() // a row without a known source stops the program
		f.limits[e] = append(f.limits[e], chemistry{q.Length(r.Num("over_mm")) * q.Millimetre, r.Num("low"), r.Num("high"), r.Num("typical")})
	}
	for _, r := range source.Table("caps.csv", capsCSV) {
		f := at(r, "family")
		f.caps = append(f.caps, cap_{q.Length(r.Or("to_mm", 0)) * q.Millimetre, r.Num("ce"), r.Text("kind") == "standard", r.Ref()})
	}
	own := map[string]bool{} // families with ceilings of their own
	for _, r := range source.Table("interpass.csv", interpassCSV) {
		if i, ok := index[r.Text("target")]; ok && string(all[i].Group) != r.Text("target") {
			own[r.Text("target")] = true
		}
	}
	for _, r := range source.Table("interpass.csv", interpassCSV) {
		for i := range all {
			f := &all[i]
			if r.Text("target") == f.ID || !own[f.ID] && r.Text("target") == string(f.Group) {
				f.ceilings = append(f.ceilings, ceiling{q.Length(r.Num("over_mm")) * q.Millimetre, q.Temperature(r.Num("max_c")), r.Text("reason"), r.Ref()})
			}
		}
	}
	for _, r := range source.Table("notes.csv", notesCSV) {
		r.Ref()
		for i := range all {
			if f := &all[i]; r.Text("target") == f.ID || r.Text("target") == string(f.Group) {
				f.Notes = append(f.Notes, r.Text("text"))
			}
		}
	}
	return all, index
}
