package power

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// The single checks of the rig: output, current, voltage, leads, air.

func output(s job.Source) Check {
	c := Check{What: "output", Need: "constant current", Have: string(s.Output), State: Fits}
	switch s.Output {
	case "cv":
		c.State, c.Say = Short, "constant voltage only: a touch gives a surge that shatters the carbon or freezes the rod"
	case "":
		c.State, c.Have, c.Say = Unknown, "not known", "is it constant current (drooping)? The plate says so"
	}
	return c
}

func (f *Fit) current(u Use, s job.Source) Check {
	c := Check{What: "current", Need: u.Amps.Text(q.SI) + " at " + percentText(u.Duty), State: Fits}
	if len(s.Points) == 0 {
		if s.Max.Known && s.Max.V < u.Amps.Low {
			c.State, c.Have, c.Say = Short, "at most "+ampText(s.Max.V), "less than the use wants at any duty cycle"
			return c
		}
		c.State, c.Have, c.Say = Unknown, "not known", "read the duty points on the nameplate"
		return c
	}
	points, _ := plate(s) // checked before
	i, how, _ := held(s, points, u.Duty)
	f.Held = q.Known(i)
	c.Have = ampText(i) + " at " + percentText(u.Duty) + " (" + how + ")"
	top := s.Max.Or(points[0].Amps)
	if u.Amps.High <= top {
		f.Duty = q.Known(dutyFor(points, u.Amps.High))
	}
	switch {
	case i >= u.Amps.High:
	case i >= u.Amps.Low:
		c.State, c.Say = LowEnd, "the low end of the band only"
		f.At = i
	default:
		c.State, c.Say = Short, "holds too little at that duty cycle"
		if u.Amps.Low <= top {
			d := dutyFor(points, u.Amps.Low)
			c.Say += fmt.Sprintf("; %s for %s minutes in 10 only", ampText(u.Amps.Low), short(10*float64(d)))
		}
		f.At = u.Amps.Low
	}
	return c
}

func openCircuit(s job.Source) Check {
	need := fig("gouge-ocv")
	c := Check{What: "open-circuit voltage", Need: voltText(q.Voltage(need.Likely)) + " or more", State: Fits}
	switch {
	case !s.OCV.Known:
		c.State, c.Have, c.Say = Unknown, "not known", "read it on the nameplate or measure it"
	case float64(s.OCV.V) < need.Likely:
		c.State, c.Have, c.Say = Short, voltText(s.OCV.V), "may not light or hold the carbon"
	default:
		c.Have = voltText(s.OCV.V)
	}
	return c
}

// sureVolts is the least voltage that a constant-current machine gives at a current.
func sureVolts(s job.Source, i q.Current) q.Maybe[q.Voltage] {
	best := q.Maybe[q.Voltage]{}
	for _, p := range s.Points {
		if p.Amps < i {
			continue
		}
		at := p.Volts.Or(ConventionalVolts(p.Amps))
		if s.OCV.Known && s.OCV.V > at {
			at = s.OCV.V - (s.OCV.V-at)*q.Voltage(i/p.Amps)
		}
		if !best.Known || at > best.V {
			best = q.Known(at)
		}
	}
	return best
}

// volts looks at the voltage for the current found; where that is not sure
// enough, at the low end of the band, where a falling curve gives more.
func (in RigIn) volts(f *Fit, u Use, s job.Source, add func(Check)) {
	c, loop, err := in.voltsAt(f, u, s)
	if low := *f; c.State.rank() > LowEnd.rank() && u.Amps.Low < f.At {
		low.At = u.Amps.Low
		if lowCheck, lowLoop, lowErr := in.voltsAt(&low, u, s); lowCheck.State.rank() <= LowEnd.rank() {
			*f, c, loop, err = low, lowCheck, lowLoop, lowErr
			c.State, c.Say = LowEnd, "enough at the low end of the band only"
		}
	}
	add(c)
	switch {
	case err != nil:
		add(Check{What: "leads", State: Unknown, Need: "size and both lengths", Have: "not known", Say: err.Error()})
	case loop.Hot:
		size := "a heavier cable"
		if pick, err := PickCable(f.At, in.Leads.Electrode.V+in.Leads.Work.V, u.Duty); err == nil {
			size = pick.Value.Size
		}
		add(Check{What: "cable", State: LowEnd, Need: ampText(f.At), Have: "size " + loop.Cable.Size + ", " + ampText(loop.Cable.Max.V) + " by heat", Say: "the cable gets too hot: short bursts, or size " + size})
	default:
		add(Check{What: "leads", State: Fits, Need: "drop", Have: loop.Drop.Text(q.SI) + " lost in " + loop.Cable.Size})
	}
}

// voltsAt compares the voltage wanted and given at the current f.At.
func (in RigIn) voltsAt(f *Fit, u Use, s job.Source) (Check, Loop, error) {
	c := Check{What: "voltage", State: Fits}
	drop := q.Of[q.Voltage]{}
	loop, err := LoopDrop(in.Leads, f.At)
	if err == nil {
		drop = loop.Value.Drop
		f.Drop = q.Known(drop)
	}
	f.Needs = q.Of[q.Voltage]{Low: u.Volts.Low + drop.Low, High: u.Plan + drop.High}
	f.Sure = sureVolts(s, f.At)
	c.Need = f.Needs.Text(q.SI) + " at " + ampText(f.At)
	switch {
	case s.OCV.Known && s.OCV.V <= f.Needs.Low:
		c.State, c.Have, c.Say = Short, "open circuit "+voltText(s.OCV.V), "the leads and the arc take more than the machine has"
	case !f.Sure.Known:
		c.State, c.Have, c.Say = Unknown, "not known", "no line of the plate reaches that current"
	case f.Sure.V >= f.Needs.High:
		c.Have = f.Sure.V.Text(q.SI) + " at least"
	case f.Sure.V >= f.Needs.Low:
		c.State, c.Have, c.Say = LowEnd, f.Sure.V.Text(q.SI)+" at least", "enough for a short arc; a long one may go out"
	default:
		c.State, c.Have, c.Say = Unknown, f.Sure.V.Text(q.SI)+" at least", "the plate does not show whether it gives more under load: try it on scrap, or shorten the leads"
	}
	return c, loop.Value, err
}

func (in RigIn) air(u Use, add func(Check)) {
	want := u.Air.V
	flow := Check{What: "air flow", State: Fits, Need: want.Flow.Text(in.Units)}
	switch {
	case !in.Air.Flow.Known:
		flow.State, flow.Have, flow.Say = Unknown, "not known", "free air of the compressor, from its plate"
	case in.Air.Flow.V < want.Flow*(1-1e-9):
		flow.State, flow.Have, flow.Say = Short, in.Air.Flow.V.Text(in.Units), "the pressure falls while you gouge"
	default:
		flow.Have = in.Air.Flow.V.Text(in.Units)
	}
	add(flow)
	pressure := Check{What: "air pressure", State: Fits, Need: want.Pressure.Text(in.Units) + " at the torch"}
	switch p := in.Air.Pressure; {
	case !p.Known:
		pressure.State, pressure.Have, pressure.Say = Unknown, "not known", "read it at the torch, blowing"
	case p.V < want.Pressure.Low*(1-1e-9):
		pressure.State, pressure.Have, pressure.Say = Short, p.V.Text(in.Units), "the melt is not blown out and freezes back, full of carbon"
	default:
		pressure.Have = p.V.Text(in.Units)
	}
	add(pressure)
	hose := Check{What: "air hose", State: Fits, Need: want.Hose.Text(in.Units) + " bore"}
	switch h := in.Air.Hose; {
	case !h.Known:
		hose.State, hose.Have, hose.Say = Unknown, "not known", "measure the bore"
	case h.V < want.Hose*(1-1e-2): // 9.5 mm is sold as 3/8 in
		hose.State, hose.Have, hose.Say = Short, h.V.Text(in.Units), "a thin hose eats the pressure"
	default:
		hose.Have = h.V.Text(in.Units)
	}
	add(hose)
}
