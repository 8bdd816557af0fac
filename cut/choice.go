package cut

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// fill works out everything that follows from the carbon taken.
func (v *Choice) fill(in Wanted, c Candidate) (err error) {
	v.Found, v.Carbon, v.Reduced = true, c.Carbon, c.Reduced
	if v.Amps, err = Current(c.Carbon); err != nil {
		return err
	}
	v.Set = v.Amps.Value
	if c.Reduced {
		v.Set.Low = leastAmps(c.Carbon)
	}
	if in.Rig.Current.Known {
		v.Set.High = min(v.Set.High, in.Rig.Current.V)
	}
	if v.Plan, err = Passes(in.Groove, c.Carbon, in.Depth, in.Steel); err != nil {
		return err
	}
	p := v.Plan.Value
	if v.Pass, err = OnePass(c.Carbon, in.Depth); err != nil {
		return err
	}
	if v.Carbons, err = CarbonsFor(p.Length, in.Length); err != nil {
		return err
	}
	if v.Time, err = TimeFor(p.Length, in.Own); err != nil {
		return err
	}
	if v.Air, err = Air(c.Carbon, in.Torch); err != nil {
		return err
	}
	arc := v.Time.Value.Arc
	f := float64(v.Air.Value.Flow)
	v.FreeAir = Amount[q.Volume]{q.Volume(f * float64(arc.Likely)), q.Of[q.Volume]{Low: q.Volume(f * float64(arc.Range.Low)), High: q.Volume(f * float64(arc.Range.High))}}
	if v.Melt, err = Melt(q.Voltage(figure("arc-voltage").Likely), v.Set.Mid(), q.Ratio(figure("efficiency").Likely), p.Pass); err != nil {
		return err
	}
	if v.Shade, err = ShadeFor(GougeArc, v.Set.High); err != nil {
		// a hand carbon above 1000 A is past the table: the darkest shade has no number here
		v.Shade = source.Result[Shade]{}
		v.Warn = append(v.Warn, err.Error())
	}
	v.Noise, err = Noise(SoundLevel(figure("noise").Likely))
	return err
}

// warn lists what the welder should know before he strikes the arc.
func (v *Choice) warn(in Wanted, c Candidate) {
	say := func(f string, a ...any) { v.Warn = append(v.Warn, fmt.Sprintf(f, a...)) }
	for _, k := range c.Checks {
		if k.Verdict == NotKnown {
			say("%s not known: this carbon needs %s", k.What, k.Need)
		}
	}
	if c.Reduced {
		say("the rig is below the main table (%s); the lowest published table starts at %.0f A: expect slow work and dross, or take a smaller carbon", amps(v.Amps.Value), float64(leastAmps(c.Carbon)))
	}
	if ocv := in.Rig.OCV; ocv.Known && ocv.V < v.OCV {
		say("open-circuit voltage %.0f V is below %.0f V: the arc may not hold", float64(ocv.V), float64(v.OCV))
	}
	if in.Rig.Output == "cv" {
		say("a CV wire machine: a touch gives a surge that shatters the carbon; use a drooping (CC) source")
	}
	if h := in.Air.Hose; h.Known && h.V < v.Air.Value.Hose*0.999 {
		say("air hose of %s is narrower than %s: pressure at the torch will drop", length(h.V), length(v.Air.Value.Hose))
	}
	if c.Count.Known && c.Count.V < v.Carbons.Value.Likely {
		say("%.0f carbons on the truck, about %.0f needed (%.0f to %.0f)", c.Count.V, v.Carbons.Value.Likely, v.Carbons.Value.Range.Low, v.Carbons.Value.Range.High)
	}
	if len(in.Carbons) == 0 {
		say("no carbons listed: load this size")
	}
	if in.Hollow {
		say("a closed space behind: vent it first, and leave the last 1 to 2 mm (1/16 in) to the grinder so that no melt goes inside")
	}
	switch in.Position {
	case "overhead":
		say("overhead: melt falls on you and the hoses; cover up and stand beside it, not under it")
	case "vertical":
		say("vertical: melt falls on you and the hoses; gouge from the top down, and cover up")
	}
	// a travel speed far from what the arc can melt is a planning error
	plan := figure("speed")
	if m := v.Melt.Value.Travel; float64(m) < plan.Low || float64(m) > plan.High {
		say("the melt model gives %.0f mm/min on these passes against %.0f to %.0f planned: time is less sure than usual", m.MMPerMin(), plan.Low*60e3, plan.High*60e3)
	}
}
