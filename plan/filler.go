package plan

import (
	"fmt"
	"strings"

	"soundmetal/filler"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// fillerSection is which rod, how dry, how many amps, and how far one rod goes.
func (w *work) fillerSection() Section {
	s, f := w.section("filler", "Rod")
	r := &w.rod
	choice := r.choice
	where := "on the truck"
	switch {
	case w.shop == nil:
		where = "no shop file: not known whether it is on the truck"
	case !r.onTruck:
		where = "NOT on the truck: bring it"
	case !r.fill.onTruck || !r.root.onTruck:
		where = "on the truck, but not in every size below: bring it"
	}
	s.add(Do, fmt.Sprintf("%s (%s), %s.", r.class, r.class.Name, where), &choice.Basis)
	for _, reason := range r.reasons {
		s.add(reasonKind(reason.Verdict), capital(sentence(reason)), &source.Basis{Method: "filler-choice", Title: reason.Text, Ref: reason.Ref})
	}
	w.secondRods(&s)
	w.otherRods(&s)
	w.dryLines(&s)
	if e, err := filler.Exposure(r.class, w.onQT()); err == nil {
		s.figure(one(f, "exposure", "may lie out of tin or oven", e.Value, "", w.sys, e.Basis))
	}
	h := source.Basis{Method: "hydrogen-level", Title: "Hydrogen to plan with", Ref: source.At("aws-a5.1", "hydrogen designators", source.Read),
		Why: "The drier the rod, the less hydrogen cracks the steel beside the weld.", Notes: []string{"mark on the tin, or what its condition allows"}}
	if !r.known {
		h.Ref = source.At("judgement", "", source.Judgement)
		h.Notes = []string{"this rod holds its hydrogen; the figure is that of a dry low-hydrogen rod, on the high side"}
	}
	if !w.austenitic() {
		s.figure(one(f, "hydrogen", "hydrogen to plan with", r.hydrogen, "", w.sys, h))
	}
	s.sayIf(r.class.LowHydrogen(), "filler-dry")
	s.sayIf(r.class.LowHydrogen(), "filler-polarity")
	s.sayIf(!r.class.LowHydrogen(), "filler-polarity-tin")
	if r.root.stick.Core != r.fill.stick.Core {
		w.runLines(&s, figures{f.prefix + ".root"}, "root", &r.root)
	}
	use := "fill"
	if r.root.stick.Core == r.fill.stick.Core {
		use = "rod"
	}
	w.runLines(&s, figures{f.prefix + ".fill"}, use, &r.fill)
	for _, l := range w.energyLimits {
		b := l.basis
		text := fmt.Sprintf("Heat limit for %s: arc energy %s", l.steel, l.arc.Text(w.sys))
		if l.arc.Low <= 0 {
			text = fmt.Sprintf("Heat limit for %s: arc energy at most %s", l.steel, l.arc.High.Text(w.sys))
		}
		s.add(Note, text+" ("+b.Title+").", &b)
	}
	if r.fill.odd || r.root.odd {
		s.add(Caution, "Length, mass or burn time of this rod in the shop file do not go with its size: the usual figures are taken. Measure one rod again.", nil)
	}
	if r.fill.outside || r.root.outside {
		s.add(Caution, "No run length of this rod keeps inside the heat limits of the thin wall: run the longest beads you can, wait between them, and read the heat before each.", nil)
	}
	if len(r.unlikely) > 0 {
		s.add(Note, "If a test shows it is "+groupNames(r.unlikely, "or")+", plan again: a joint in tension then wants another rod and other heat.", nil)
	}
	s.say("filler-tack")
	return s
}

// runLines are amps and weld length for one size.
func (w *work) runLines(s *Section, f figures, use string, r *rodRun) {
	name := strings.TrimSuffix(use, " rod") + " rod"
	if use == "rod" {
		name = "rod, all beads"
	}
	s.figure(one(f, "core", name, r.stick.Core, rodName(r, w.sys)+otherSystem(r.stick.Core, w.sys), w.sys, w.rod.choice.Basis))
	s.figure(between(f, "amps", use+": amps", r.amps.Value.Typical, "start at "+r.amps.Value.Typical.Text(w.sys)+"; usual "+r.amps.Value.Used.Text(w.sys), w.sys, r.amps.Basis))
	w.rodRig(s, f, use, r)
	s.figure(between(f, "run", use+": weld length from one rod", r.run.Value.Use, niceSpan(r.run.Value.Use, w.sys), w.sys, r.run.Basis))
	s.figure(between(f, "energy", use+": arc energy", r.window, "", w.sys, r.run.Basis))
}

func otherSystem(l q.Length, sys q.System) string {
	if sys == q.US {
		return " (" + l.In(q.SI) + ")"
	}
	return " (" + l.In(q.US) + ")"
}

// dryLines say how each tin that is used has to be kept or baked.
func (w *work) dryLines(s *Section) {
	runs := []*rodRun{&w.rod.root, &w.rod.fill}
	if runs[0].stick.Core == runs[1].stick.Core {
		runs = runs[1:]
	}
	said := ""
	for _, r := range runs {
		if !r.onTruck {
			continue
		}
		dry, err := filler.Dryness(filler.DryIn{Rod: w.shop.Rods[r.tin], OnQT: w.onQT(), Oven: w.shop.Oven})
		if err != nil || dry.Value.Say == said {
			continue
		}
		text := dry.Value.Say
		if len(runs) > 1 && said != "" || len(runs) > 1 && r == runs[0] {
			text = r.stick.Core.Text(w.sys) + " rods: " + strings.ToLower(text[:1]) + text[1:]
		}
		said = dry.Value.Say
		s.add(Do, text, &dry.Basis)
	}
}

// secondRods names what else on the truck could do, two classes at most, each
// with its condition.
func (w *work) secondRods(s *Section) {
	seen := []string{w.rod.class.ID}
	for _, c := range w.rod.choice.Value.Use {
		if has(seen, c.Class.ID) || len(seen) > 2 || c.Class.Process != filler.Rod {
			continue
		}
		seen = append(seen, c.Class.ID)
		why, ref := "", w.rod.choice.Basis.Ref
		for _, r := range c.Reasons {
			if why == "" || r.Verdict == filler.UseIf {
				why, ref = sentence(r), r.Ref
			}
		}
		s.add(Note, capital("Second choice on the truck: "+c.Class.String()+": "+why), &source.Basis{Method: "filler-choice", Title: why, Ref: ref})
	}
}

// otherRods says what should have been on the truck and what must stay there.
func (w *work) otherRods(s *Section) {
	c := w.rod.choice.Value
	if c.Short && w.rod.onTruck {
		var names []string
		for _, x := range c.Want {
			if x.Class.ID != w.rod.class.ID {
				names = append(names, x.Class.String())
			}
		}
		s.add(Note, "Better for this weld: "+strings.Join(names, ", ")+".", &w.rod.choice.Basis)
	}
	var left []string
	for _, x := range c.Never {
		if has(left, x.Class.ID) {
			continue // another tin of the same class
		}
		left = append(left, x.Class.ID)
		why := "not for this weld"
		ref := source.At("judgement", "", source.Judgement)
		for _, reason := range x.Reasons {
			if reason.Verdict == filler.No {
				why, ref = sentence(reason), reason.Ref
				break
			}
		}
		s.add(Caution, "Leave the "+x.Class.String()+" on the truck: "+why, &source.Basis{Method: "filler-choice", Title: why, Ref: ref})
	}
	if ask := c.Ask; ask != "" {
		if w.it.Steel.Hardness.Known {
			ask = strings.Replace(ask, "a hardness reading", "the grade by a paper", 1)
		}
		s.add(Note, ask, nil)
	}
}

func reasonKind(v filler.Verdict) LineKind {
	if v == filler.UseIf {
		return Caution
	}
	return Note
}

func sentence(r filler.Reason) string {
	if r.Instead != "" {
		return r.Text + "; " + r.Instead
	}
	return r.Text
}

// austenitic says that only manganese and stainless steel are held: no preheat, no
// hydrogen cracks, no magnet.
func (w *work) austenitic() bool {
	for _, l := range w.held.steels {
		if l.family.Group != material.Manganese && l.family.Group != material.Stainless {
			return false
		}
	}
	return len(w.held.steels) > 0
}

// onQT says that a quenched and tempered steel is among those held.
func (w *work) onQT() bool {
	for _, l := range w.held.steels {
		if l.family.Tempered {
			return true
		}
	}
	return false
}
