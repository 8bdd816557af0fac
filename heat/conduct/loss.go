package conduct

// What each exposed face gives off in a step.

import (
	q "soundmetal/quantity"
)

// rule is how one class of surface gives off heat.
type rule struct {
	h, es   float64 // W/m²K, ε·σ
	cover   float64 // W/m²K of the blanket, 0 without
	air     float64 // °C
	airAt   func(q.Time) q.Temperature
	flux    float64
	hold    bool // the surface is held at air
	loss    float64
	counted bool // its heat counts as loss of the part in the ledger, not as a prescribed flux
}

// noSurface is the class of a face that lets nothing through.
const noSurface = 255

// surface is one exposed face of a cell.
type surface struct {
	cell  int32
	dir   Face
	class uint8
	known bool    // the films were worked out
	area  float64 // m²
	half  float64 // m to the middle of the cell
	ts    float64 // °C of the surface
	at    float64 // °C of the cell when the films were worked out
	q0    float64 // W leaving then
	gt    float64 // W/K, its slope with the cell's temperature
	ga    float64 // the same per unit of Θ
	q     float64 // W leaving at the start of the step
}

// filmHolds is how far a cell's temperature may drift, K, before the films of its
// faces are worked out again; in between their slope holds, which errs by less
// than 0.1 % of the loss.
const filmHolds = 4.0

// poolLooks is the highest temperature, °C, that radiates: what the molten pool
// sends out beyond it is already taken off in the arc's efficiency.
const poolLooks = 1450.0

// lose takes from d what the surfaces give off at time t and puts the slope of
// that loss on the diagonal.
func (s *solver) lose(t, dt, theta float64) {
	for i := range s.rules { // the air of this step
		if r := &s.rules[i]; r.airAt != nil {
			r.air = float64(r.airAt(q.Time(t)))
		}
	}
	power := 0.0
	tdt := theta * dt
	low, inv, last := s.mat.low, s.mat.inv, len(s.mat.surf)-1
	for i := range s.face {
		f := &s.face[i]
		r := &s.rules[f.class]
		c := s.pad + int(f.cell)
		h := s.h[c]
		b := &s.mat.surf[min(max(int((h-low)*inv), 0), last)]
		tc := b.a + b.slope*h
		switch drift := tc - f.at; {
		case r.hold:
			f.ts = r.air
			f.ga = f.area / f.half
			f.q = (s.th[c] - s.mat.thetaOf(r.air)) * f.ga
		case f.known && drift < filmHolds && drift > -filmHolds && r.airAt == nil:
			f.q = f.q0 + f.gt*drift
		default:
			s.film(f, r, tc, b.k)
			f.q = f.q0
		}
		s.d[c] -= dt * f.q
		if r.hold {
			s.m[c] += tdt * f.ga
		} else { // a loss is slow: half-way needs no damping and keeps the balance
			s.m[c] += 0.5 * dt * f.ga
		}
		if r.counted {
			power += f.q
		}
	}
	if !s.fresh {
		s.lossSum += s.lossDt * (s.lossPower + power) / 2
	}
	s.fresh = false
	s.lossPower, s.lossDt, s.lossTheta = power, dt, theta
}

// film works out the way of the heat from the middle of a cell to the air: half
// the cell, then the surface's films or the blanket.
func (s *solver) film(f *surface, r *rule, tc, k float64) {
	rc := f.half / k
	ta := r.air
	var u, grow float64
	if r.cover > 0 {
		// the blanket's outer face is near the air: a fifth of the way to the steel
		hr := radiate(r.es, ta+0.2*(f.ts-ta), ta)
		u = 1 / (rc + 1/r.loss*(1/r.cover+1/(r.h+hr)))
		grow = u
		f.ts = tc - u*(tc-ta)*rc
	} else {
		ts := tc // with the films known so far
		if f.known {
			ts = tc - f.q0/f.area*rc
		}
		rounds := 1
		if r.es > 0 && (r.h+radiate(r.es, ts, ta))*rc > 0.02 {
			rounds = 4 // the surface is well below the middle of its cell
		}
		for range rounds {
			hf := r.loss * (r.h + radiate(r.es, min(ts, poolLooks), ta))
			u = hf / (1 + hf*rc)
			ts = tc - (u*(tc-ta)-r.flux)*rc
		}
		f.ts = ts
		x := min(ts, poolLooks) + kelvin
		hg := r.loss * (r.h + 4*r.es*x*x*x)
		grow = hg / (1 + hg*rc)
	}
	f.q0, f.gt, f.ga = (u*(tc-ta)-r.flux)*f.area, grow*f.area, grow*f.area/k
	f.at, f.known = tc, true
}

// closeLoss finishes the loss of the last step, before the surfaces change and
// at the end: the power given off now, without a step.
func (s *solver) closeLoss() {
	if s.fresh {
		return
	}
	power := 0.0
	for i := range s.face {
		f := &s.face[i]
		if r := &s.rules[f.class]; r.counted {
			power += f.q0 + f.gt*(s.temp(int(f.cell))-f.at)
		}
	}
	s.lossSum += s.lossDt * (s.lossPower + power) / 2
	s.fresh = true
}

// radiate is the radiation film between two temperatures in °C.
func radiate(es, ts, ta float64) float64 {
	a, b := ts+kelvin, ta+kelvin
	return es * (a*a + b*b) * (a + b)
}

// unload takes the losses' slope off the diagonal again.
func (s *solver) unload() {
	tdt, half := s.lossTheta*s.lossDt, 0.5*s.lossDt
	for i := range s.face {
		f := &s.face[i]
		g := half * f.ga
		if s.rules[f.class].hold {
			g = tdt * f.ga
		}
		c := s.pad + int(f.cell)
		s.m[c] -= g
		if !s.rules[f.class].counted {
			s.fluxSum -= s.lossDt*f.q + g*s.d[c]
		}
	}
}
