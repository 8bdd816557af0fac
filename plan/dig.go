package plan

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"soundmetal/cut"
	"soundmetal/job"
	"soundmetal/joint"
	"soundmetal/material"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// perLength is the crack length that a crack of unknown length is planned for:
// every quantity is then for that much of crack.
const perLength = 100 * q.Millimetre

// settleJoint sizes the excavation, picks the carbon, and lays the beads. The
// groove's root radius follows the carbon, so it is sized again once that is known.
func (w *work) settleJoint() error {
	d := joint.Damage{Length: w.it.Crack.Length, Depth: w.it.Crack.Depth, Through: w.it.Crack.Through, Ends: w.it.Crack.Ends,
		Starts: w.it.Crack.Starts, Corner: w.it.Crack.Corner, Branched: w.it.Crack.Branched, Thickness: w.it.Thickness, Width: w.it.Width,
		Shape: w.it.Shape, Access: w.it.Access, Position: w.it.Position, Steel: w.skin()}
	if !d.Length.Known {
		d.Length = q.Known(perLength)
	}
	var err error
	if w.dig, err = joint.Excavate(d); err != nil {
		return fmt.Errorf("excavation: %w", err)
	}
	if err := w.chooseCarbon(); err != nil {
		return err
	}
	if c := w.firstCarbon(); c > 0 {
		d.Carbon = q.Known(c)
		if again, err := joint.Excavate(d); err == nil {
			w.dig = again
			if err := w.chooseCarbon(); err != nil {
				return err
			}
		}
	}
	w.fill, err = joint.Layout(w.dig.Value.Groove, joint.Constraints{
		Root: joint.Run{Core: w.rod.root.stick.Core, Area: w.rod.root.bead}, Fill: joint.Run{Core: w.rod.fill.stick.Core, Area: w.rod.fill.bead},
		Position: w.it.Position, LowHydrogen: w.rod.class.LowHydrogen(), Cap: q.Length(rateOf("cap-height").Likely) * q.Millimetre})
	if err != nil {
		return fmt.Errorf("bead layout: %w", err)
	}
	return nil
}

// skin says how deep the gouged surface is ground off: by the hardest steel held.
func (w *work) skin() cut.Steel {
	skin := cut.Carbon
	for _, l := range w.held.steels {
		switch {
		case l.family.Group == material.Stainless:
			return cut.Stainless
		case l.family.Group == material.Quenched || l.family.Group == material.Wear:
			return cut.Quenched
		case l.family.Group == material.Cast:
			skin = cut.CastSteel
		case l.steel.CE > 0.45 && skin == cut.Carbon:
			skin = cut.HighCE
		}
	}
	return skin
}

// chooseCarbon picks the carbon for each side of the excavation.
func (w *work) chooseCarbon() error {
	gouges, err := w.dig.Value.Gouges()
	if err != nil {
		return fmt.Errorf("gouging: %w", err)
	}
	w.gouges = w.gouges[:0]
	for _, g := range gouges {
		in := cut.Wanted{Groove: g, Steel: w.skin(), Position: w.it.Position, Rig: w.gougeRig(),
			Hollow: w.it.Shape == job.Box || w.it.Shape == job.Tube || has(w.it.Behind, "closed-hollow")}
		if w.shop != nil {
			in.Carbons, in.Air, in.Own = w.knownCarbons(), w.shop.Air, w.shop.Factors.GougePer100mm
		}
		c, err := cut.Choose(in)
		if err != nil {
			return fmt.Errorf("carbon: %w", err)
		}
		w.gouges = append(w.gouges, c)
	}
	return nil
}

// knownCarbons are the carbons on the truck in sizes that the tables know.
func (w *work) knownCarbons() []job.Stock {
	return slices.DeleteFunc(slices.Clone(w.shop.Carbons), func(s job.Stock) bool {
		_, err := cut.Current(s.Size)
		return err != nil
	})
}

// gougeRig is what the best power source holds at gouging duty.
func (w *work) gougeRig() cut.Rig {
	var rig cut.Rig
	if w.shop == nil {
		return rig
	}
	for _, s := range w.shop.Power {
		r, err := power.Continuous(s, q.Ratio(rateOf("gouge-duty").Likely))
		if err == nil && (!rig.Current.Known || r.Value > rig.Current.V) {
			rig = cut.Rig{Current: q.Known(r.Value), OCV: s.OCV, Output: s.Output}
		}
	}
	return rig
}

func (w *work) firstCarbon() q.Length {
	for _, g := range w.gouges {
		if g.Value.Found {
			return g.Value.Carbon
		}
	}
	return 0
}

// removed is the length of the weld: full depth plus half of each ramp.
func (w *work) removed() q.Of[q.Length] {
	e := w.dig.Value
	ramps := e.Ramp * q.Length(e.Ramps) / 2
	return q.Of[q.Length]{Low: e.Remove.Low + ramps, High: e.Remove.High + ramps}
}

// weldMass is the weld metal with cap, and with the allowance for over-welding
// at the high end.
func (w *work) weldMass() (source.Result[q.Mass], q.Of[q.Mass], error) {
	section := w.fill.Value.Total
	length := w.removed()
	low, err := joint.Mass(q.Volume(float64(section) * float64(length.Low)))
	if err != nil {
		return low, q.Of[q.Mass]{}, err
	}
	extra := rateOf("root-force")
	return low, q.Of[q.Mass]{Low: low.Value, High: q.Mass(float64(low.Value) * float64(length.High/length.Low) * extra.High)}, nil
}

// cutSection is how the crack is taken out.
func (w *work) cutSection() (Section, error) {
	s, f := w.section("cut", "Take the crack out")
	e := w.dig
	if !w.it.Crack.Length.Known {
		s.add(Caution, "The crack's length is not known: everything below is worked for a crack of "+perLength.Text(w.sys)+".", nil)
	}
	label, r := "gouge at full depth over", e.Value.Remove
	least, most := niceUp(r.Low, w.sys), niceUp(r.High, w.sys)
	switch {
	case e.Value.Severed:
		s.figure(one(f, "length", label, r.High, most+": the whole width", w.sys, e.Basis))
	case least == most:
		s.figure(one(f, "length", label, r.High, most, w.sys, e.Basis))
	default:
		s.figure(between(f, "length", label, r, least+" at least; up to "+most+" if the hidden ends run on", w.sys, e.Basis))
	}
	depth := "depth"
	if len(w.gouges) > 1 {
		depth = "depth, first side"
	}
	s.figure(one(f, "depth", depth, e.Value.Depth, nice(e.Value.Depth, w.sys), w.sys, e.Basis))
	if e.Value.Ramps > 0 && e.Value.Slope >= 1 {
		s.figure(one(f, "ramp", "slope each end out over", e.Value.Ramp, fmt.Sprintf("%s, 1 in %.2g", nice(e.Value.Ramp, w.sys), float64(e.Value.Slope)), w.sys, e.Basis))
	}
	for _, n := range e.Basis.Notes {
		if noteSection(n) == "cut" {
			s.add(Note, capital(n), nil)
		}
	}
	if holes, err := cut.PilotHoles(w.it.Crack.Through, w.it.Crack.Ends); err == nil {
		s.add(Note, pilotText(holes.Value, w.sys), &holes.Basis)
	}
	if w.gougesWarm() {
		s.say("cut-hold-preheat")
		s.Lines[len(s.Lines)-1].Text = "Warm the part to " + w.held.floor.floor.Minimum.MinimumText(w.sys) + " before you gouge it"
	}
	for i, g := range w.gouges {
		w.gougeLines(&s, figures{fmt.Sprintf("%s.side%d", f.prefix, i+1)}, i, g)
	}
	if w.shop != nil && len(w.knownCarbons()) < len(w.shop.Carbons) {
		s.add(Note, "A carbon in the shop file is of no size of the tables: left out.", nil)
	}
	s.say("cut-jets")
	s.say("cut-grind")
	s.say("cut-found-more")
	s.say("cut-proof")
	return s, nil
}

// noteSection is where a remark of the excavation is printed: what speaks of root
// and backing with the joint, what a line of the plan says anyway nowhere.
func noteSection(note string) string {
	switch {
	case strings.HasPrefix(note, "prove it gone"), strings.HasPrefix(note, "corners of the excavation"), strings.HasPrefix(note, "open root"):
		return ""
	case strings.Contains(note, "backing"):
		return "joint"
	}
	return "cut"
}

// pilotText says where holes are drilled before the heat comes.
func pilotText(h cut.StopHoles, sys q.System) string {
	if h.Count == 0 {
		return capital(h.Text)
	}
	holes := "a hole"
	if h.Count > 1 {
		holes = "a hole at each end"
	}
	text := fmt.Sprintf("Before gouging drill %s of %s, centre up to %s past the tip", holes, h.Diameter.Text(sys), h.Ahead.High.Text(sys))
	if h.FindTips {
		text += "; find the hidden tip first"
	}
	return text + "."
}

// amount prints a likely number with its range.
func amount(likely float64, r q.Of[float64]) string {
	if r.Low == r.High {
		return fmt.Sprintf("%.0f", likely)
	}
	return fmt.Sprintf("about %.0f, %.0f to %.0f", likely, r.Low, r.High)
}

// capital begins a sentence with a capital letter and ends it with a full stop.
func capital(s string) string {
	r := []rune(strings.TrimRight(s, "."))
	if len(r) == 0 {
		return s
	}
	r[0] = unicode.ToUpper(r[0])
	return string(r) + "."
}
