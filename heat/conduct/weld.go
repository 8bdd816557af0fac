package conduct

// A bead: its rule, its rods, the metal it lays.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
)

// weld lays a bead under its rule.
func (r *runner) weld(b *Bead) (met bool, gross q.Energy, err error) {
	rec := BeadRecord{Name: r.name, Asked: q.Time(r.t), Ready: true}
	if h := b.Hold; h != nil {
		longest := h.Longest
		if longest == 0 {
			longest = 4 * q.Hour
		}
		// Heating overshoots into the ceiling and waiting falls into the floor: so often round.
		const rounds = 6
		for range rounds {
			if h.Ceiling.Known && r.most(h.Probes) > float64(h.Ceiling.V) {
				t := r.t
				if rec.Ready, err = r.stand(Until{Probes: h.Probes, AtMost: h.Ceiling, For: longest}); err != nil {
					return false, gross, err
				}
				rec.Waited += q.Time(r.t - t)
			}
			if h.Floor.Known && r.least(h.Probes) < float64(h.Floor.V) {
				if h.Reheat == nil {
					rec.Ready = false
					break
				}
				t := r.t
				if rec.Ready, err = r.heat(h.Reheat, Until{Probes: h.Probes, AtLeast: q.Known(max(h.Warm.Or(h.Floor.V), h.Floor.V)), For: longest}); err != nil {
					return false, gross, err
				}
				rec.Reheated += q.Time(r.t - t)
				gross += q.Energy(float64(h.Reheat.Power) * (r.t - t))
			}
		}
		const hair = 0.05 // K, of stopping at the crossing
		rec.Ready = rec.Ready &&
			!(h.Ceiling.Known && r.most(h.Probes) > float64(h.Ceiling.V)+hair) &&
			!(h.Floor.Known && r.least(h.Probes) < float64(h.Floor.V)-hair)
	}
	rec.Gross = gross
	rec.Start = q.Time(r.t)
	for _, v := range r.now {
		rec.Before = append(rec.Before, q.Temperature(v))
	}
	n := len(r.hist.Beads)
	r.hist.Beads = append(r.hist.Beads, rec)
	err = r.burn(b, n)
	r.hist.Beads[n].End = q.Time(r.t)
	return rec.Ready, gross, err
}

func (r *runner) most(names []string) float64 {
	v := math.Inf(-1)
	for _, n := range names {
		v = max(v, r.now[r.byName[n]])
	}
	return v
}

func (r *runner) least(names []string) float64 {
	v := math.Inf(1)
	for _, n := range names {
		v = min(v, r.now[r.byName[n]])
	}
	return v
}

// burn moves the arc along the bead, rod by rod.
func (r *runner) burn(b *Bead, n int) error {
	a := newArc(r.s, b)
	r.zones = append(r.zones, newZone(r.s, b, n))
	power, speed := float64(b.Power), float64(b.Speed)
	put := r.s.sourceSum
	defer func() { r.hist.Ledger.Arc += q.Energy(r.s.sourceSum - put) }()
	done, fill := 0.0, 0
	rod := a.length
	if b.PerRod > 0 {
		rod = float64(b.PerRod)
	}
	for done < a.length-1e-9 && !r.over() {
		end := min(done+rod, a.length)
		r.dtLast = 0
		r.dt = float64(r.o.ArcStep)
		burn := (end - done) / speed
		steps := math.Ceil(burn/float64(r.o.ArcStep) - 1e-9)
		dt := burn / steps
		t0 := r.t
		source := func(from, to float64) []heat {
			return a.heats(done+speed*(from-t0), done+speed*(to-t0))
		}
		for i := range int(steps) {
			if r.over() {
				return nil
			}
			p := done + (end-done)*float64(i+1)/steps
			fill = r.layUpTo(n, fill, a, p)
			if err := r.advance(dt, source, power); err != nil {
				return err
			}
			if a.lost {
				return fmt.Errorf("event %d (%s): the arc burns in the air %.4g mm after its start; the bead must lie on or in the steel", r.event+1, r.name, p*1000)
			}
		}
		done = end
		if done < a.length-1e-9 && b.Change > 0 {
			if _, err := r.stand(Until{For: b.Change}); err != nil {
				return err
			}
		}
	}
	r.layUpTo(n, fill, a, math.Inf(1))
	return nil
}
