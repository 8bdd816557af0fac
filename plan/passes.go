package plan

import (
	"fmt"
	"strings"

	"soundmetal/filler"
	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// passesSection is the order of the beads and how they are put in.
func (w *work) passesSection() Section {
	s, f := w.section("passes", "Weld it: beads in order")
	v := w.fill.Value
	n := float64(len(v.Beads))
	s.figure(count(f, "beads", "beads in the section", n, n, fmt.Sprintf("%d in %d layers", len(v.Beads), len(v.Layers)), w.fill.Basis))
	if r, ok := w.rods(); ok {
		c := r.Value
		s.figure(count(f, "rods", "rods", float64(c.Low), float64(c.High), amount(float64(c.Likely), q.Of[float64]{Low: float64(c.Low), High: float64(c.High)}), r.Basis))
	}
	w.beforeBead(&s, f)
	w.alongLines(&s, f)
	s.sayIf(w.onQT() || w.held.floor.floor.Minimum > q.Temperature(rateOf("stringer-from").Likely), "passes-stringer")
	s.sayIf(w.it.Position == job.Vertical, "passes-up")
	s.say("passes-pull")
	return s
}

// beforeBead repeats the window where the beads are read, on one line.
func (w *work) beforeBead(s *Section, f figures) {
	b := w.floorBasis()
	row := w.windowRow()
	if w.held.ceiling == nil {
		s.figure(one(f, "before", "before every bead, at least", row.Floor, w.held.floor.floor.Minimum.MinimumText(w.sys), w.sys, b))
		return
	}
	low, high := w.held.floor.floor.Minimum, w.held.ceiling.ceiling
	if !w.held.open() || row.Floor > row.Ceiling { // narrower than can be read is none
		text := "no window: " + low.MinimumText(w.sys) + " at least, " + high.MaximumText(w.sys) + " at most"
		s.figure(one(f, "before", "before every bead, at least", row.Floor, text, w.sys, b))
		return
	}
	text := low.MinimumText(w.sys) + " to " + high.MaximumText(w.sys)
	s.figure(between(f, "before", "before every bead", q.Of[q.Temperature]{Low: row.Floor, High: row.Ceiling}, text, w.sys, b))
}

// alongLines is the order along the groove and its rules.
func (w *work) alongLines(s *Section, f figures) {
	e := w.dig.Value
	seq, err := joint.Along(e.Surface.High, nil, w.fill.Value.Layers)
	if err != nil {
		return
	}
	v := seq.Value
	s.figure(one(f, "block", "blocks along the groove", v.Block, w.blockText(v), w.sys, seq.Basis))
	for _, r := range v.Rules {
		if !w.applies(r.ID, len(v.Runs[0].Blocks)) {
			continue
		}
		s.add(Do, r.Text, &source.Basis{Method: r.ID, Title: r.Text, Why: r.Why, Skip: r.Skip, Ref: r.Ref})
	}
}

// applies says whether a rule of the sequence has anything to say here.
func (w *work) applies(rule string, blocks int) bool {
	switch rule {
	case "tabs":
		return w.dig.Value.Edges > 0
	case "backstep":
		return blocks > 1
	case "block":
		return blocks > 1 && w.wall >= q.Length(rateOf("thick-joint").Likely)*q.Millimetre && w.restraint() == job.HighRestraint
	case "peen":
		return len(w.fill.Value.Layers) > 2
	}
	return true
}

// blockText says how the first layer goes along the groove.
func (w *work) blockText(v joint.Sequence) string {
	blocks := v.Runs[0].Blocks
	if len(blocks) < 2 {
		return "one, " + nice(v.Block, w.sys) + "; turn the direction every layer"
	}
	return fmt.Sprintf("%d of %s, from the middle outwards", len(blocks), nice(v.Block, w.sys))
}

// rods counts the rods for the weld metal.
func (w *work) rods() (source.Result[filler.RodCount], bool) {
	_, spread, err := w.weldMass()
	if err != nil {
		return source.Result[filler.RodCount]{}, false
	}
	r, err := w.rodsFor(spread)
	return r, err == nil
}

// rodsFor counts the rods for a mass of weld metal, as if all were of the fill's size.
func (w *work) rodsFor(mass q.Of[q.Mass]) (source.Result[filler.RodCount], error) {
	return filler.RodsNeeded(mass, w.rod.fill.deposit.Value)
}

// afterSection is cooling, waiting, finishing and checking.
func (w *work) afterSection() Section {
	s, f := w.section("after", "After welding")
	if r, ok := w.postHeat(); ok {
		p := r.Value
		s.figure(between(f, "postheat", "post-heat, at once", p.Temperature, p.Temperature.Text(w.sys)+" for "+p.Time.Text(w.sys), w.sys, r.Basis))
		if p.CoolPerHour.Known {
			s.figure(one(f, "cooling-rate", "then cool no faster than, an hour", p.CoolPerHour.V, "", w.sys, r.Basis))
		}
	}
	s.sayIf(!w.austenitic(), "after-cover")
	s.sayIf(!w.austenitic(), "after-noquench")
	flush := w.flush()
	s.sayIf(flush, "after-grind")
	s.sayIf(!flush, "after-toes")
	s.say("after-visual")
	if r, ok := w.holdTime(); ok {
		text := r.Value.Text(w.sys) + " after the last bead"
		if r.Value == 0 {
			text = "as soon as it is cold"
		}
		s.figure(one(f, "hold", "final crack test not before", r.Value, text, w.sys, r.Basis))
		if r.Value > 0 {
			s.say("after-hold")
		}
	}
	s.add(Do, "Final test with "+w.finalTest()+", on clean ground metal; limits as under Look further.", nil)
	s.say("after-not-examined")
	s.add(Note, "Here at least: "+w.notExamined()+".", nil)
	s.say("after-next-look")
	return s
}

// postHeat is the strictest post-heat over the steels held.
func (w *work) postHeat() (best source.Result[heat.PostHeating], ok bool) {
	for _, l := range w.held.steels {
		ce := q.Known(l.steel.CE)
		if l.steel.Unknown {
			ce.Known = false
		}
		r, err := heat.PostHeat(l.group, ce, w.t)
		if err == nil && r.Value.Wanted && (!ok || r.Value.Temperature.High < best.Value.Temperature.High) {
			best, ok = r, true
		}
	}
	return best, ok
}

// holdTime is the longest wait over the steels held.
func (w *work) holdTime() (best source.Result[q.Time], ok bool) {
	k := arcEfficiency()
	for _, l := range w.held.steels {
		r, err := heat.HoldGoverning(heat.HoldInput{Group: l.group, Size: w.weldSize(), Thickness: w.thickness,
			HeatInput: q.HeatInput(float64(w.rod.fill.window.High) * float64(k.Value)), Restraint: w.restraint()})
		if err == nil && (!ok || r.Value > best.Value) {
			best, ok = r, true
		}
	}
	return best, ok
}

// weldSize is the depth of the weld: the whole wall where it goes through.
func (w *work) weldSize() q.Length {
	if w.dig.Value.Through {
		return w.wall
	}
	return w.dig.Value.Depth
}

// notExamined lists what this plan leaves unseen.
func (w *work) notExamined() string {
	all := []string{"the inside of the weld (no ultrasonic test)"}
	if w.shop != nil && w.shop.Tests.UT == job.Yes {
		all = nil
	}
	if e := w.dig.Value; e.Root == joint.OnBacking || e.Root == joint.OpenRoot {
		all = append(all, "the root from behind")
	}
	if w.it.Shape == job.Box || w.it.Shape == job.Tube || has(w.it.Behind, "closed-hollow") {
		all = append(all, "the far faces of the hollow")
	}
	if w.it.History.Mirror != job.No && w.it.History.Mirror != job.Yes {
		all = append(all, "the mirror side, unless you looked")
	}
	all = append(all, "the composition of the steel")
	return strings.Join(all, "; ")
}

// magnetic says that a yoke works on one of the steels it can be.
func (w *work) magnetic() bool {
	for _, s := range w.steels {
		if s.family.Magnetic {
			return true
		}
	}
	return len(w.steels) == 0
}

// finalTest names the tests on the truck, the better one first.
func (w *work) finalTest() string {
	mt, pt := job.Unknown, job.Unknown
	if w.shop != nil {
		mt, pt = w.shop.Tests.MT, w.shop.Tests.PT
	}
	if !w.magnetic() {
		return "dye (the yoke does not take this steel)"
	}
	switch {
	case mt == job.Yes:
		return "the magnetic yoke"
	case pt == job.Yes:
		return "dye"
	}
	return "yoke or dye (bring one)"
}
