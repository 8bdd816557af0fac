package conduct

// t8/5 of a bead from the simulation: in the section half-way along it every
// cell of base metal is watched for its peak and for the last time it fell
// through 800 and 500 °C.

import (
	"math"

	q "soundmetal/quantity"
)

const (
	hazLow  = 900.0  // °C, transformed
	hazHigh = 1450.0 // °C, not melted
)

type zone struct {
	bead     int
	cell     []int32
	last     []float64
	peak     []float64
	t8, t5   []float64
	started  float64
	anyAbove bool
}

func newZone(s *solver, b *Bead, n int) *zone {
	z := &zone{bead: n, started: -1}
	from, to := b.From.xyz(), b.To.xyz()
	axis := 0
	for a := range 3 {
		if math.Abs(to[a]-from[a]) > math.Abs(to[axis]-from[axis]) {
			axis = a
		}
	}
	mid := s.g.locate(axis, (from[axis]+to[axis])/2)
	const reach = 0.030 // m around the bead's line; nothing beyond reaches 800 °C
	for c := range s.state {
		if s.state[c] != metal {
			continue
		}
		i, j, k := s.g.ijk(c)
		ijk := [3]int{i, j, k}
		if ijk[axis] != mid {
			continue
		}
		d := 0.0
		for a := range 3 {
			if a != axis {
				e := s.g.mid[a][ijk[a]] - (from[a]+to[a])/2
				d += e * e
			}
		}
		if d > reach*reach {
			continue
		}
		z.cell = append(z.cell, int32(c))
	}
	m := len(z.cell)
	z.last, z.peak = make([]float64, m), make([]float64, m)
	z.t8, z.t5 = make([]float64, m), make([]float64, m)
	for i, c := range z.cell {
		z.last[i] = s.temp(int(c))
		z.peak[i] = z.last[i]
		z.t8[i], z.t5[i] = -1, -1
	}
	return z
}

// watch looks at the section after a step and says whether all is over.
func (z *zone) watch(s *solver, t, dt float64) bool {
	if z.started < 0 {
		z.started = t - dt
	}
	hot := false
	for i, c := range z.cell {
		v := s.temp(int(c))
		old := z.last[i]
		z.last[i] = v
		if v > z.peak[i] {
			z.peak[i] = v
		}
		if old > 800 && v <= 800 {
			z.t8[i] = t - dt*(800-v)/(old-v)
		}
		if old > 500 && v <= 500 && z.t8[i] >= 0 {
			z.t5[i] = t - dt*(500-v)/(old-v)
		}
		if v > 500 {
			hot = true
		}
	}
	z.anyAbove = z.anyAbove || hot
	const patience = 1800 // s: an arc that never came by
	return z.anyAbove && !hot || t-z.started > patience
}

func (z *zone) result() Cooling {
	var out Cooling
	lo, hi, sum := math.Inf(1), 0.0, 0.0
	hottest, at := math.Inf(-1), -1
	for i := range z.cell {
		out.Peak = max(out.Peak, q.Temperature(z.peak[i]))
		if z.t8[i] < 0 || z.t5[i] < z.t8[i] {
			continue
		}
		if z.peak[i] > hottest {
			hottest, at = z.peak[i], i
		}
		if z.peak[i] < hazLow || z.peak[i] > hazHigh {
			continue
		}
		d := z.t5[i] - z.t8[i]
		lo, hi, sum = min(lo, d), max(hi, d), sum+d
		out.Cells++
	}
	switch {
	case out.Cells > 0:
		out.T85 = q.Known(q.Span(q.Time(lo), q.Time(hi)))
		out.Mean = q.Time(sum / float64(out.Cells))
	case at >= 0:
		d := q.Time(z.t5[at] - z.t8[at])
		out.T85, out.Mean = q.Known(q.At(d)), d
	}
	return out
}
