package plan

import (
	"fmt"
	"slices"

	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// steelSection is what it can be and what would tell.
func (w *work) steelSection() Section {
	s, f := w.section("steel", "What steel is it?")
	for _, c := range w.assess.Contradictions {
		s.add(Caution, capital(c), &w.assess.Basis)
	}
	for _, u := range w.assess.Unused {
		s.add(Note, capital(u), &w.assess.Basis)
	}
	n := len(w.assess.Credible)
	s.figure(count(f, "credible", "steels it can still be", float64(n), float64(n), fmt.Sprint(n), w.assess.Basis))
	seen := map[string]bool{}
	for _, c := range w.steels {
		for _, note := range c.family.Notes {
			if c.family.OwnRules && float64(c.candidate.Weight) >= rateOf("credible-weight").Likely && !seen[note] {
				seen[note] = true
				s.add(Caution, c.family.Name+": "+note, &source.Basis{Method: "steel-list", Title: c.family.Name, Ref: c.family.Ref})
			}
		}
	}
	w.rulingLines(&s)
	for _, sv := range w.savings() {
		b := sv.test.Basis
		s.add(Note, fmt.Sprintf("%s (%s%s): if %s, %s.", sv.test.Title, sv.test.Time.Text(w.sys), noTester(sv.test), sv.says, w.savingText(sv)), &b)
	}
	return s
}

// savingText says what a test would save: where the plan holds for all steels,
// against its own floor, else against the heat that would cover them all.
func (w *work) savingText(sv saving) string {
	now := max(floorOf(w.held.steels), floorOf(w.held.left))
	if len(w.held.left) == 0 {
		return fmt.Sprintf("the least heat falls from %s to %s", now.MinimumText(w.sys), sv.floor.MinimumText(w.sys))
	}
	return fmt.Sprintf("%s covers every steel that is left; now it takes %s to cover them all", sv.floor.MinimumText(w.sys), now.MinimumText(w.sys))
}

// drier gives the floor of the steels held, and what it would be with the driest
// mark that rods carry.
func (w *work) drier() (now, drier q.Temperature) {
	if w.held.floor == nil {
		return 0, 0
	}
	now, drier = w.held.floor.floor.Minimum.Minimum(w.sys), q.Temperature(0)
	in := w.preheat
	in.Hydrogen = min(in.Hydrogen, q.Hydrogen(rateOf("driest-mark").Likely))
	for _, l := range w.held.steels {
		drier = max(drier, heat.FloorValue(l.preheat(in)))
	}
	return now, drier.Minimum(w.sys)
}

// noTester says that the truck has no kit for the test.
func noTester(t material.TestOption) string {
	if t.Have == job.No {
		return ", no tester on the truck"
	}
	return ""
}

// ironSection is the plan for a part that is cast iron, or most likely so.
func (w *work) ironSection() Section {
	s, _ := w.section("steel", "What steel is it?")
	text := "By the evidence this is cast iron."
	if len(w.steels) > 0 {
		text = "By the evidence this is most likely cast iron. A spark test beside a known bar, or a chip, must show steel before anything else is planned."
	}
	s.add(Hold, text+" This plan is for steel; iron is another job with other heat, other rod and often no lasting repair. Do not weld it by this plan.", &w.assess.Basis)
	return s
}

// ironShare is the weight of cast iron among what it can be.
func (w *work) ironShare() q.Ratio {
	share := q.Ratio(0)
	for _, c := range w.assess.Credible {
		if c.Family().Group == material.Iron {
			share += c.Weight
		}
	}
	return share
}

// needThickness stands where nothing can be computed without the thickness.
func (w *work) needThickness() Section {
	s, _ := w.section("thickness", "Measure the thickness")
	s.add(Hold, "The thickness is not known. Measure it at an edge, or drill a small hole beside the crack and hook a wire; then plan again. Groove, rods and heat all start from it.", nil)
	return s
}

// savings are the tests worth doing, best first, three at most.
func (w *work) savings() []saving {
	if w.saved == nil && w.held.floor != nil {
		all := w.narrowings(w.held, w.preheat)
		w.saved = all[:min(3, len(all))]
	}
	return w.saved
}

// steelRows are the credible steels as data. held may be nil where the
// thickness is not known and no limit can be worked out.
func (w *work) steelRows(held []limits) []Steel {
	var rows []Steel
	all := append(slices.Clone(held), w.held.left...)
	for _, c := range w.assess.Credible {
		row := Steel{ID: c.ID, Name: c.Name, Weight: float64(c.Weight)}
		if c.Guarded && c.Reason != "" {
			row.Notes = append(row.Notes, c.Reason)
		}
		if f := c.Family(); f.Group == material.Iron {
			row.Notes = append(row.Notes, "cast iron: not welded by this plan")
		}
		for i := range all {
			l := &all[i]
			if l.candidate.ID != c.ID {
				continue
			}
			if l.failed == nil {
				floor := l.floor.Minimum
				row.Floor, row.Method = &floor, l.floor.By
			} else {
				row.Notes = append(row.Notes, l.failed.Error())
			}
			if l.hasCeil {
				ceiling := l.ceiling
				row.Ceiling = &ceiling
			}
			row.Held = i < len(held)
		}
		rows = append(rows, row)
	}
	return rows
}

// narrow gives the facts worth finding out: tests of the steel, and measures
// that are missing.
func (w *work) narrow() []Narrowing {
	var all []Narrowing
	add := func(ask, how, save string) { all = append(all, Narrowing{w.name(), ask, capital(how), capital(save)}) }
	if w.stopped || len(w.steels) == 0 {
		return nil
	}
	if !w.thickness.Known {
		add("The thickness", "callipers at an edge, or a drilled hole and a hooked wire", "without it there is no groove, no rod count and no heat")
	}
	if !w.it.Crack.Length.Known {
		add("The length of the crack", "wire brush, dye, tape", "rods, hours and price follow from it")
	}
	onSite := slices.ContainsFunc(w.savings(), func(sv saving) bool { return sv.test.Time < laboratory })
	asked := 0
	for _, sv := range w.savings() {
		if asked < 2 && (sv.test.Time < laboratory || !onSite) {
			chance := fmt.Sprintf(" (about %.0f in 100)", 100*float64(sv.chance))
			if sv.test.Time >= laboratory {
				chance = "" // whose analysis it is says little about what the analysis says
			}
			add(sv.test.Title, sv.test.How, "if "+sv.says+chance+", "+w.savingText(sv))
			asked++
		}
	}
	if now, drier := w.drier(); drier < now {
		add("The hydrogen mark on the tin", "read it: H4, H8 or none", fmt.Sprintf("with a rod marked H4 the least heat falls from %s to %s", now.MinimumText(w.sys), drier.MinimumText(w.sys)))
	}
	if w.it.Access == "" {
		add("Can you reach both sides?", "mirror and lamp, or ask", "from both sides the root can be proven and no backing is needed")
	}
	if d := w.dig.Value.Remove; (w.it.Crack.Ends == "" || w.it.Crack.Ends == "none") && d.High > 1.1*d.Low {
		add("Where the crack ends", "clean to bright metal and dye", "the cut is between "+niceUp(d.Low, w.sys)+" and "+niceUp(d.High, w.sys)+" long")
	}
	if w.it.Restraint == "" {
		add("Can the joint shrink freely?", "look what holds it", "it is planned as held fast; a free joint needs less heat")
	}
	if w.it.Position == "" {
		add("The position of the weld", "look", "amps, beads and hours are those of flat welding until it is known")
	}
	return all
}
