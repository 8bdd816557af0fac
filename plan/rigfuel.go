package plan

import (
	"fmt"

	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// fuelSection is the engine fuel of the day by its load profile: arc time at
// welding and gouging current, idling between.
func (r *rigWork) fuelSection() Section {
	s, f := Section{ID: "fuel", Title: "Engine fuel"}, figures{"fuel"}
	src, ok := r.engine()
	switch {
	case !ok:
		return s
	case src.Fuel == "":
		s.add(Do, "Fuel of "+src.Name+" not known: say diesel, petrol or mains.", nil)
		return s
	case src.Fuel == "mains":
		s.add(Note, src.Name+" runs on mains: find the socket, its fuse and a cable long enough before you drive.", nil)
		return s
	}
	profile, arc, idle := r.profile()
	use, err := power.FuelFor(profile, src.Fuel)
	if err != nil {
		s.add(Note, capital(r.planned[0].reason(err)), nil)
		return s
	}
	b := use.Basis
	b.Why, b.Skip = "An engine that stops in the middle of a pass lets the joint go cold.", "You siphon the customer's tractor."
	s.figure(one(f, "arc", "arc time, welding and gouging", arc, niceWait(arc, r.sys), r.sys, b))
	s.figure(one(f, "idle", "engine idling between", idle, niceWait(idle, r.sys), r.sys, b))
	v := use.Value
	s.figure(between(f, "volume", string(src.Fuel)+" for "+src.Name, v.Range, fmt.Sprintf("about %s, %s", v.Likely.Text(r.sys), v.Range.Text(r.sys)), r.sys, b))
	s.add(Note, "Compressor, grinders and light on the machine's sockets come on top. Shut the engine off while you heat, grind or wait.", nil)
	return s
}

// engine is the source that does the work: the one that runs the fill rod best.
func (r *rigWork) engine() (job.Source, bool) {
	if r.shop == nil || len(r.shop.Power) == 0 {
		return job.Source{}, false
	}
	all := r.sources()
	if u, ok := r.wanted(power.Weld); ok {
		for _, s := range all {
			if s.Name == u.Source {
				return s, true
			}
		}
	}
	return all[0], true
}

// profile is the day of the engine, likely figures.
func (r *rigWork) profile() (all []power.Load, arc, idle q.Time) {
	add := func(t q.Time, v q.Voltage, i q.Current) {
		if t > 0 {
			all = append(all, power.Load{Time: t, Voltage: v, Current: i})
		}
	}
	for _, w := range r.planned {
		if rods, ok := w.rods(); ok {
			run := &w.rod.fill
			weld := run.arcTime().Mid() * q.Time(rods.Value.Likely)
			add(weld, w.volts(), run.amps.Value.Typical.Mid())
			arc += weld
			idle += max(0, w.timeOf("weld").Likely-weld)
		}
		for _, g := range w.gouges {
			if !g.Value.Found {
				continue
			}
			t := g.Value.Time.Value
			add(t.Arc.Likely, g.Value.ArcVolts.Mid(), g.Value.Set.Mid())
			arc += t.Arc.Likely
			idle += max(0, t.Elapsed.Likely-t.Arc.Likely)
		}
	}
	add(idle, 0, 0)
	return all, arc, idle
}

// place is where the welder stands, for shock; why is empty for a dry open place.
func (r *rigWork) place() (p power.Place, why string) {
	site := r.j.Site
	switch {
	case site.ConfinedSpace == job.Yes:
		return power.WetPlace, "you weld inside something"
	case site.Wet != "" && site.Wet != job.Dry:
		return power.WetPlace, wetWords[site.Wet]
	case site.Wet == "":
		return power.WetPlace, "not known whether it is dry"
	case site.ConfinedSpace == job.Unknown:
		return power.WetPlace, "not known whether you have to get inside"
	}
	return power.NormalPlace, ""
}

var wetWords = map[job.Wetness]string{job.Damp: "it is damp", job.Rain: "it rains", job.Snow: "there is snow", job.Mud: "there is mud"}

// shockSection is the open-circuit voltage against the limit of the place.
func (r *rigWork) shockSection() Section {
	s, f := Section{ID: "shock", Title: "Shock"}, figures{"shock"}
	place, why := r.place()
	said := false
	for i, src := range r.sources() {
		in := power.ShockIn{Volts: src.OCV, Kind: power.DCPeak, Place: place}
		c, err := power.ShockCheck(in)
		if err != nil {
			s.add(Note, capital(src.Name+": "+r.planned[0].reason(err)), nil)
			continue
		}
		where := "in a dry, open place"
		if place == power.WetPlace {
			where = "in a wet or cramped place: " + why
		}
		v := c.Value
		switch {
		case !v.Sum.Known:
			s.add(Do, "Open-circuit voltage of "+src.Name+" not known: read it on the plate.", &c.Basis)
		case v.Over:
			s.figure(one(f, fmt.Sprint(i+1), "open circuit, "+src.Name, v.Sum.V, fmt.Sprintf("%s: ABOVE the limit of %s", v.Sum.V.Text(r.sys), v.Limit.Text(r.sys)), r.sys, c.Basis))
			s.add(Caution, "Do not use it "+where+".", &c.Basis)
		default:
			s.figure(one(f, fmt.Sprint(i+1), "open circuit, "+src.Name, v.Sum.V, fmt.Sprintf("%s; limit %s DC peak", v.Sum.V.Text(r.sys), v.Limit.Text(r.sys)), r.sys, c.Basis))
		}
		if !said {
			said = true
			s.add(Note, "Counted "+where+".", nil)
			for _, w := range v.Warn {
				s.add(Caution, w.Text, &source.Basis{Method: "shock", Title: w.Text, Ref: w.Ref})
			}
			if ac, err := power.ShockCheck(power.ShockIn{Volts: src.OCV, Kind: power.ACRMS, Place: place}); err == nil && place == power.WetPlace {
				s.add(Note, fmt.Sprintf("On AC the limit there is %s.", ac.Value.Limit.Text(r.sys)), &ac.Basis)
			}
		}
	}
	return s
}

// twoSection is what to know where two sources together would carry what
// neither carries alone.
func (r *rigWork) twoSection() Section {
	s := Section{ID: "two", Title: "Two machines on one arc"}
	if len(r.two) == 0 {
		return s
	}
	s.add(Note, "Two of your machines together hold enough for a use that neither carries alone. Only so:", nil)
	for _, t := range r.two {
		s.add(Caution, t.Text, &source.Basis{Method: "rig", Title: t.Text, Ref: t.Ref})
	}
	src := r.sources()
	var volts []q.Maybe[q.Voltage]
	for _, x := range src {
		volts = append(volts, x.OCV)
	}
	place, _ := r.place()
	if c, err := power.ShockCheck(power.ShockIn{Volts: volts[0], Kind: power.DCPeak, Place: place, Other: volts[1], Two: job.Yes}); err == nil {
		if !c.Value.Sum.Known {
			s.add(Caution, "One of the two open-circuit voltages is not known, so their sum counts as too high.", &c.Basis)
			return s
		}
		text := c.Value.Sum.V.Text(r.sys) + " if they add up"
		if c.Value.Over {
			text += fmt.Sprintf(": ABOVE the limit of %s", c.Value.Limit.Text(r.sys))
		}
		s.figure(one(figures{"two"}, "volts", "between two holders", c.Value.Sum.V, text, r.sys, c.Basis))
	}
	return s
}
