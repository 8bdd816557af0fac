package plan

import (
	_ "embed"

	"soundmetal/heat"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed groups.csv
var groupsCSV string

// heatGroups maps a family of the steel list to the group of heat rules.
var heatGroups = func() map[string]heat.Group {
	all := map[string]heat.Group{}
	for _, r := range source.Table("plan/groups.csv", groupsCSV) {
		all[r.Text("family")] = heat.Group(r.Text("group"))
	}
	return all
}()

// steelCase is one credible steel made ready for the heat room: its worst
// composition at the thickness, with the equivalents of it.
type steelCase struct {
	candidate material.Candidate
	family    material.Family
	steel     heat.Steel
	group     heat.Group
	category  heat.Category
	usual     q.Maybe[q.Percent] // Pcm of a usual composition, where a listed grade was not analysed
}

// ready prepares a candidate. ok is false for cast iron, which this plan never welds.
func ready(c material.Candidate, thickness q.Maybe[q.Length]) (s steelCase, ok bool) {
	s = steelCase{candidate: c, family: c.Family()}
	if s.family.Group == material.Iron {
		return s, false
	}
	s.group, s.category = heatGroups[c.ID], heat.Category(s.family.Category)
	w, err := c.WorstValue(thickness)
	if err != nil {
		s.steel.Unknown = true
		return s, true
	}
	e, err := w.Values()
	s.steel = heat.Steel{C: w.C, Si: w.Si, Mn: w.Mn, Cr: w.Cr, Mo: w.Mo, V: w.V, Ni: w.Ni, Cu: w.Cu, Nb: w.Nb, B: w.B,
		CE: e.CEIIW, CET: e.CET, Pcm: e.Pcm, CEN: e.CEN, Unknown: err != nil}
	if s.category != "" && !c.Analysis.Known {
		if u, err := c.Typical().Values(); err == nil {
			s.usual = q.Known(u.Pcm)
		}
	}
	return s, true
}

// preheat is what the floor of this steel depends on.
func (s steelCase) preheat(in heat.PreheatInput) heat.PreheatInput {
	in.Steel, in.Group = s.steel, s.group
	in.Category, in.UsualPcm = heat.CategoryWith(s.category, in.Hydrogen), s.usual
	return in
}

// ceiling is the lower of the two rooms' ceilings.
func (s steelCase) ceiling(thickness q.Length, strong bool) (q.Temperature, source.Basis, bool) {
	r, err := heat.MaximumInterpass(heat.CeilingInput{Group: s.group, Steel: s.steel, Thickness: thickness, StrongFiller: strong})
	m, errM := s.family.MaxInterpass(q.Known(thickness))
	switch {
	case err != nil && (errM != nil || !m.Value.Known):
		return 0, source.Basis{}, false
	case err != nil || (errM == nil && m.Value.Known && m.Value.V < r.Value.Maximum):
		return m.Value.V, m.Basis, true
	}
	return r.Value.Maximum, r.Basis, true
}
