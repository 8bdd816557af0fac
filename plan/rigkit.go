package plan

import (
	"fmt"
	"strings"

	"soundmetal/cut"
	"soundmetal/power"
	q "soundmetal/quantity"
)

// loop is electrode lead and work lead together.
func (r *rigWork) loop() (q.Length, bool) {
	l := r.kit().Leads
	return l.Electrode.V + l.Work.V, l.Electrode.Known && l.Work.Known
}

// wanted gives the use of a kind that asks for the most of those that the plan
// wants; for gouging the carbon that runs before one that does not.
func (r *rigWork) wanted(kind power.UseKind) (*askedUse, bool) {
	var best *askedUse
	for i := range r.uses {
		u := &r.uses[i]
		if u.Kind != string(kind) || u.Unknown != "" || len(u.For) == 0 {
			continue
		}
		if best == nil || u.Amps.High > best.Amps.High {
			best = u
		}
	}
	return best, best != nil
}

// leadSection is the leads: what they lose, what they bear, what would do.
func (r *rigWork) leadSection() Section {
	s, f := Section{ID: "leads", Title: "Leads"}, figures{"leads"}
	leads := r.kit().Leads
	length, known := r.loop()
	if _, err := power.ReadCable(leads.Size); err != nil || !known {
		s.add(Do, "Size or length of the leads not known: read the size off the jacket and pace out both, electrode lead and work lead. What they lose is missing at the arc.", nil)
		return s
	}
	for _, kind := range []power.UseKind{power.Weld, power.Gouge} {
		u, ok := r.wanted(kind)
		if !ok {
			continue
		}
		at := u.fit.Best.At
		d, err := power.LoopDrop(leads, at)
		if err != nil {
			continue
		}
		name, label := "weld", "lost welding"
		if kind == power.Gouge {
			name, label = "gouge", "lost gouging"
		}
		if len(s.Lines) == 0 {
			s.figure(one(f, "loop", "cable "+d.Value.Cable.Size+", both leads", length, length.Text(r.sys)+", "+couplers(leads.Joints), r.sys, d.Basis))
		}
		s.figure(between(f, name, fmt.Sprintf("%s at %.0f A", label, float64(at)), d.Value.Drop, d.Value.Drop.Text(r.sys)+", cold to warm", r.sys, d.Basis))
		if d.Value.Hot {
			s.add(Caution, fmt.Sprintf("Cable %s bears %s by heat: at %.0f A work in short bursts, or take a heavier cable.", d.Value.Cable.Size, d.Value.Cable.Max.V.Text(r.sys), float64(at)), &d.Basis)
		}
		pick, err := power.PickCable(at, length, u.Duty)
		if err != nil {
			s.add(Note, capital(fmt.Sprintf("no size in the table for %.0f A: %s", float64(at), r.planned[0].reason(err))), nil)
			continue
		}
		text := fmt.Sprintf("%s (%.0f mm²): yours does", pick.Value.Size, pick.Value.Area.MM2())
		if pick.Value.Area > d.Value.Cable.Area*(1+1e-9) {
			text = fmt.Sprintf("%s (%.0f mm²): yours is thinner; shorten the loop or lay a second cable beside it", pick.Value.Size, pick.Value.Area.MM2())
		}
		s.figure(one(f, name+"-size", "  size by the table", pick.Value.Area, text, r.sys, pick.Basis))
	}
	s.add(Do, "Lay the leads out straight; a coil on the drum gets hot. Feel clamp, couplers and holder after the first rod: warm is dirty.", nil)
	return s
}

func couplers(n q.Maybe[float64]) string {
	switch {
	case !n.Known:
		return "couplers not counted"
	case n.V == 0:
		return "no couplers"
	case n.V == 1:
		return "1 coupler"
	}
	return fmt.Sprintf("%.0f couplers", n.V)
}

// airSection is compressor and hose for the carbons that the plan wants.
func (r *rigWork) airSection() Section {
	s, f := Section{ID: "air", Title: "Air for gouging"}, figures{"air"}
	seen := map[cut.Torch]bool{}
	for i := range r.uses {
		u := &r.uses[i]
		if u.Kind != string(power.Gouge) || u.Unknown != "" || !u.use.Air.Known || seen[u.use.Air.V.Class] {
			continue
		}
		if u.State == power.Short && len(u.For) == 0 {
			continue // what does not run anyway needs no air
		}
		want := u.use.Air.V
		seen[want.Class] = true
		n := string(want.Class)
		basis := u.basis
		s.figure(one(f, n, u.Name+" wants", want.Flow, fmt.Sprintf("%s at %s, hose %s bore", want.Flow.Text(r.sys), want.Pressure.Text(r.sys), want.Hose.Text(r.sys)), r.sys, basis))
		if have := r.kit().Air.Flow; have.Known {
			s.figure(one(f, n+"-have", "  on the truck", have.V, r.airText(u), r.sys, basis))
		} else {
			s.add(Note, "On the truck: "+r.airText(u)+".", &basis)
		}
		s.figure(between(f, n+"-power", "  compressor by the table", q.Of[q.Power]{Low: want.Intermittent, High: want.Steady},
			fmt.Sprintf("%.3g hp off and on, %.3g hp steady", float64(want.Intermittent/q.Horsepower), float64(want.Steady/q.Horsepower)), r.sys, basis))
	}
	return s
}

// airText sums the checks of compressor and hose up.
func (r *rigWork) airText(u *askedUse) string {
	worst := power.Fits
	var parts, bad, missing []string
	for _, c := range u.Checks {
		name, ok := strings.CutPrefix(c.What, "air ")
		if !ok {
			continue
		}
		if c.Have == notKnown {
			missing = append(missing, name)
		} else {
			parts = append(parts, name+" "+c.Have)
		}
		switch {
		case c.State == power.Short:
			worst = power.Short
			bad = append(bad, c.Say)
		case c.State == power.Unknown && worst != power.Short:
			worst = power.Unknown
		}
	}
	text := map[power.State]string{power.Fits: "enough: ", power.Unknown: "", power.Short: "NOT enough: "}[worst]
	if len(missing) > 0 {
		parts = append(parts, strings.Join(missing, ", ")+" not known")
	}
	text += strings.Join(parts, ", ")
	if len(bad) > 0 {
		text += "; " + strings.Join(bad, "; ")
	}
	return text
}
