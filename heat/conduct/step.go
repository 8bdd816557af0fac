package conduct

// One step: residual, losses, sources, three sweeps, update, and whether to believe it.

import "math"

// heat is power into one cell.
type heat struct {
	cell  int32
	share float64 // of the source's power
}

// The solution of a step rests on the slope dH/dΘ expected for it. Where a cell
// turned out otherwise by more than lagFree of its increment and lagHeld, and the
// step is stiff, the step is solved once more with the secant it showed. Short
// steps need no such care: what a cell takes up is then what flows in, whatever
// its slope.
const (
	lagFree  = 0.3
	lagHeld  = 5.0 // K
	maxAgain = 3
	stiff    = 6 // steps above so many times the explicit limit are stiff
)

// step moves the part on by dt with the power (W) spread over into. It says
// whether the result is sound: nothing became colder than it may.
func (s *solver) step(t, dt, theta float64, into []heat, power float64) bool {
	s.d, s.dPrev = s.dPrev, s.d
	before := s.account
	s.lowBefore = s.lowest
	for round := 0; ; round++ {
		s.residual(dt)
		s.lose(t+theta*dt, dt, theta)
		for _, q := range into {
			s.d[s.pad+int(q.cell)] += dt * power * q.share
			s.sourceSum += dt * power * q.share
		}
		tdt := theta * dt
		s.sweepX(tdt)
		s.sweepY(tdt)
		s.sweepZ(tdt)
		s.unload()
		s.update()
		s.updates += float64(len(s.state))
		if s.maxLag <= lagHeld*float64(nominalK) || round == maxAgain || dt < stiff*s.explicit {
			break
		}
		s.undo(true, round == maxAgain-1)
		s.account = before
		s.redone++
	}
	s.m, s.mNext = s.mNext, s.m
	s.steps++
	return s.sound()
}

// sound says that no cell fell below the coldest there was and the coldest air.
func (s *solver) sound() bool {
	bound := s.lowBefore
	for i := range s.rules {
		bound = min(bound, s.mat.thetaOf(s.rules[i].air))
	}
	const hair = 2.0 // K
	return s.lowest >= bound-hair*float64(nominalK)
}

// revert undoes a step that was not sound.
func (s *solver) revert(before account) {
	s.m, s.mNext = s.mNext, s.m
	s.undo(false, false)
	s.account = before
	s.lowest = s.lowBefore
	s.d, s.dPrev = s.dPrev, s.d
}

// undo takes the increments back. With secant, the slope of a cell that turned
// out otherwise becomes the one between where it was and where the solution
// would have put it; with least, no more than it was, which cannot overshoot.
func (s *solver) undo(secant, least bool) {
	nx, ny, nz := s.g.n[0], s.g.n[1], s.g.n[2]
	for k := range nz {
		for j := range ny {
			row := s.pad + (k*ny+j)*nx
			ia := s.inv[1][j] * s.inv[2][k]
			for i := range nx {
				c := row + i
				if s.d[c] == 0 {
					continue
				}
				iv := ia * s.inv[0][i]
				after := s.th[c]
				h := s.h[c] - s.d[c]*s.m[c]*iv
				th := s.mat.theta(h)
				s.h[c], s.th[c] = h, th
				if !secant || math.Abs(after-th-s.d[c]) <= 0.5*lagFree*math.Abs(s.d[c])+0.05*lagHeld*float64(nominalK) {
					continue
				}
				m := (s.mat.enthalpyOf(th+s.d[c]) - h) / s.d[c] / iv
				if least {
					m = min(m, s.m[c])
				}
				s.m[c] = m
			}
		}
	}
}

// residual sets d to dt × the net flow into each cell.
func (s *solver) residual(dt float64) {
	nx, plane := s.g.n[0], s.pad
	n := s.g.cells()
	for row := plane; row < plane+n; row += nx {
		th := s.th[row : row+nx : row+nx]
		d := s.d[row:][:len(th)]
		gx := s.link[0][row:][:len(th)]
		gxm := s.link[0][row-1:][:len(th)]
		gy := s.link[1][row:][:len(th)]
		gym := s.link[1][row-nx:][:len(th)]
		gz := s.link[2][row:][:len(th)]
		gzm := s.link[2][row-plane:][:len(th)]
		xp := s.th[row+1:][:len(th)]
		xm := s.th[row-1:][:len(th)]
		yp := s.th[row+nx:][:len(th)]
		ym := s.th[row-nx:][:len(th)]
		zp := s.th[row+plane:][:len(th)]
		zm := s.th[row-plane:][:len(th)]
		for i, v := range th {
			d[i] = dt * (gx[i]*(xp[i]-v) + gxm[i]*(xm[i]-v) +
				gy[i]*(yp[i]-v) + gym[i]*(ym[i]-v) +
				gz[i]*(zp[i]-v) + gzm[i]*(zm[i]-v))
		}
	}
}

// bendFree is the part of a cell's increment by which it may differ from the
// last one before the step control looks at it.
const bendFree = 0.25

// update adds the increments to the enthalpy and reads Θ and the next slope,
// where the cell is expected half-way through a step like this one.
func (s *solver) update() {
	nx, ny, nz := s.g.n[0], s.g.n[1], s.g.n[2]
	low, inv := s.mat.low, s.mat.inv
	hot := s.mat.hot
	last := len(hot) - 1
	dx, idx := s.size[0], s.inv[0]
	worst, lag, lowest, ratio := 0.0, 0.0, math.Inf(1), s.ratio
	row := s.pad
	for k := range nz {
		for j := range ny {
			a := s.size[1][j] * s.size[2][k]
			ia := s.inv[1][j] * s.inv[2][k]
			h := s.h[row : row+nx : row+nx]
			th := s.th[row:][:len(h)]
			d := s.d[row:][:len(h)]
			dp := s.dPrev[row:][:len(h)]
			m := s.m[row:][:len(h)]
			mn := s.mNext[row:][:len(h)]
			dx := dx[:len(h)]
			idx := idx[:len(h)]
			for i := range h {
				dth := d[i]
				dh := dth * m[i] * ia * idx[i]
				v := h[i] + dh
				h[i] = v
				p := min(max(int((v-low)*inv), 0), last)
				b := &hot[p]
				now := b.a + b.slope*v
				size := math.Abs(dth)
				if e := math.Abs(now-th[i]-dth) - lagFree*size; e > lag {
					lag = e
				}
				if e := math.Abs(dth-ratio*dp[i]) - bendFree*size; e > worst {
					worst = e
				}
				if now < lowest {
					lowest = now
				}
				th[i] = now
				p = min(max(int((v+0.5*dh-low)*inv), 0), last)
				mn[i] = hot[p].m * a * dx[i]
			}
			row += nx
		}
	}
	s.maxCurve, s.maxLag, s.lowest = worst, lag, lowest
}
