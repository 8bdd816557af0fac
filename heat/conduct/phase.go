package conduct

// Stepping until a condition, and how long a step may be.

import (
	"math"

	q "soundmetal/quantity"
)

// restart begins again with a small step after a sudden change.
func (r *runner) restart(arcSteps float64) {
	r.dt = min(max(r.dt, 1e-3), arcSteps*float64(r.o.ArcStep))
	r.dtLast = 0
}

// stiffest is the longest step in explicit limits: beyond it the splitting of the
// axes begins to ring at inner corners.
const stiffest = 600

// phase steps until a condition. Waits let the step grow as the curve straightens.
func (r *runner) phase(u Until, longest float64, source func(a, z float64) []heat, power float64) (bool, error) {
	end := min(r.t+float64(u.For), r.stop)
	least := r.t + float64(u.Least)
	free := len(u.Probes) == 0
	if !free && u.Least == 0 && r.meets(&u, r.now) {
		return true, nil
	}
	small := float64(r.o.ArcStep) / 4
	longest = min(longest, stiffest*r.s.explicit)
	for end-r.t > 1e-9*(1+end) {
		dt := min(r.dt, longest)
		if !free {
			if x := r.crossing(&u); x > 0 && x < dt {
				dt = max(x, small)
			}
		}
		switch left := end - r.t; {
		case dt >= left*(1-1e-9):
			dt = left
		case dt > left/2:
			dt = left / 2
		}
		if err := r.advance(dt, source, power); err != nil {
			return false, err
		}
		r.control(dt, longest)
		if !free && r.t >= least && r.meets(&u, r.now) {
			return true, nil
		}
	}
	return free, nil
}

// damping is θ: ½ while steps are short, a little more for long ones.
func (r *runner) damping(dt float64) float64 {
	base := 2 * float64(r.o.ArcStep)
	if dt <= base {
		return 0.5
	}
	return 0.5 + 0.08*(1-base/dt)
}

// control picks the next step from how far the last one bent.
func (r *runner) control(dt, longest float64) {
	if r.dtLast == 0 { // first after a change: its bend means nothing
		r.dtLast = dt
		return
	}
	r.dtLast = dt
	bend := r.s.maxCurve / float64(nominalK)
	grow := 1.3
	if bend > 0 {
		grow = min(max(0.9*math.Sqrt(float64(r.o.Tolerance)/bend), 0.5), 1.3)
	}
	r.dt = min(dt*grow, longest)
}

// nominalK turns a bend of Θ into kelvins near enough for the step control.
const nominalK Conductivity = 45

// advance makes one step and reads what must be read.
func (r *runner) advance(dt float64, source func(a, z float64) []heat, power float64) error {
	r.s.ratio = 0
	if r.dtLast > 0 {
		r.s.ratio = dt / r.dtLast
	}
	r.step(r.t, dt, source, power, 0)
	r.t += dt
	r.record()
	for i := 0; i < len(r.zones); {
		if r.zones[i].watch(r.s, r.t, dt) {
			r.hist.Beads[r.zones[i].bead].Cooling = r.zones[i].result()
			r.zones = append(r.zones[:i], r.zones[i+1:]...)
			continue
		}
		i++
	}
	r.picture(false)
	r.pace++
	if r.pace%16 == 0 {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		if r.o.Progress != nil && r.pace%64 == 0 {
			r.o.Progress(Progress{Event: r.event, Name: r.name, Time: q.Time(r.t), Steps: r.s.steps})
		}
	}
	return nil
}

// step makes one step, in halves where the whole was not sound.
func (r *runner) step(t, dt float64, source func(a, z float64) []heat, power float64, depth int) {
	var into []heat
	if source != nil {
		into = source(t, t+dt)
	}
	before := r.s.account
	const deepest = 6
	if r.s.step(t, dt, r.damping(dt), into, power) || depth == deepest {
		return
	}
	r.s.revert(before)
	r.halved++
	r.step(t, dt/2, source, power, depth+1)
	r.step(t+dt/2, dt/2, source, power, depth+1)
}

// meets says whether a condition holds for readings.
func (r *runner) meets(u *Until, now []float64) bool {
	all, any := true, false
	for _, n := range u.Probes {
		v := now[r.byName[n]]
		ok := (!u.AtLeast.Known || v >= float64(u.AtLeast.V)) && (!u.AtMost.Known || v <= float64(u.AtMost.V))
		all, any = all && ok, any || ok
	}
	if u.Any {
		return any
	}
	return all
}

// crossing guesses from the last step how long until the condition is met; 0
// where it cannot say.
func (r *runner) crossing(u *Until) float64 {
	if r.dtLast == 0 {
		return 0
	}
	worst, first := 0.0, math.Inf(1)
	for _, n := range u.Probes {
		p := r.byName[n]
		rate := (r.now[p] - r.before[p]) / r.dtLast
		left := 0.0
		for _, lim := range []struct {
			q.Maybe[q.Temperature]
			up bool
		}{{u.AtLeast, true}, {u.AtMost, false}} {
			if !lim.Known {
				continue
			}
			d := float64(lim.V) - r.now[p]
			if lim.up && d <= 0 || !lim.up && d >= 0 {
				continue
			}
			if d*rate <= 0 {
				left = math.Inf(1)
				continue
			}
			left = max(left, d/rate)
		}
		worst, first = max(worst, left), min(first, left)
	}
	if u.Any {
		worst = first
	}
	if math.IsInf(worst, 1) {
		return 0
	}
	return worst * 1.001
}
