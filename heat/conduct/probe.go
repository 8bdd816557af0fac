package conduct

// A probe reads between the middles of the cells around it, and from the two
// last cells straight on to the surface, so that a reading on the flamed or the
// windy face keeps its slope. Where a cell it would read is air, it reads the
// nearest solid one along that axis.

import (
	"fmt"
	"math"
)

type reader struct {
	at   [3]float64
	cell [8]int32
	w    [8]float64
	n    int
}

// bind finds the cells a probe reads; it is called again when cells are laid.
func (p *reader) bind(s *solver) error {
	g := s.g
	home, err := s.home(p.at)
	if err != nil {
		return err
	}
	var lo [3]int
	var f [3]float64 // weight of the upper cell of each pair, may lie outside 0 to 1 at a surface
	var pair [3]int  // upper − lower: 1, or 0 where there is one cell only
	i, j, k := g.ijk(home)
	ijk := [3]int{i, j, k}
	for a := range 3 {
		mid := g.mid[a]
		c := ijk[a]
		step := 1
		if p.at[a] < mid[c] {
			step = -1
		}
		other := c + step
		if !s.solidAlong(ijk, a, other) { // at a surface: slope of the two last cells
			other = c - step
			if !s.solidAlong(ijk, a, other) {
				lo[a] = c
				continue
			}
		}
		lo[a] = min(c, other)
		pair[a] = 1
		f[a] = (p.at[a] - mid[lo[a]]) / (mid[lo[a]+1] - mid[lo[a]])
		// no further out than the surface of the cell
		edge := (g.edge[a][c] - mid[lo[a]]) / (mid[lo[a]+1] - mid[lo[a]])
		edge2 := (g.edge[a][c+1] - mid[lo[a]]) / (mid[lo[a]+1] - mid[lo[a]])
		f[a] = min(max(f[a], min(edge, edge2, 0)), max(edge, edge2, 1))
	}
	p.n = 0
	sum := 0.0
	for dz := 0; dz <= pair[2]; dz++ {
		for dy := 0; dy <= pair[1]; dy++ {
			for dx := 0; dx <= pair[0]; dx++ {
				c := g.index(lo[0]+dx, lo[1]+dy, lo[2]+dz)
				if !s.solid(c) {
					continue
				}
				w := 1.0
				for a, d := range [3]int{dx, dy, dz} {
					if pair[a] == 1 {
						if d == 1 {
							w *= f[a]
						} else {
							w *= 1 - f[a]
						}
					}
				}
				p.cell[p.n], p.w[p.n] = int32(c), w
				p.n++
				sum += w
			}
		}
	}
	if math.Abs(sum-1) > 1e-9 { // a corner of the eight is air
		if sum < 0.2 {
			p.n, p.cell[0], p.w[0] = 1, int32(home), 1
			return nil
		}
		for i := range p.n {
			p.w[i] /= sum
		}
	}
	return nil
}

func (s *solver) solidAlong(ijk [3]int, axis, at int) bool {
	if at < 0 || at >= s.g.n[axis] {
		return false
	}
	ijk[axis] = at
	return s.solid(s.g.index(ijk[0], ijk[1], ijk[2]))
}

// home is the solid cell that holds a point, or the nearest one within a few
// cells where the point lies on a surface or in a groove not yet filled.
func (s *solver) home(at [3]float64) (int, error) {
	g := s.g
	i, j, k := g.locate(0, at[0]), g.locate(1, at[1]), g.locate(2, at[2])
	if c := g.index(i, j, k); s.solid(c) {
		return c, nil
	}
	best, far := -1, math.Inf(1)
	const reach = 3
	for dk := -reach; dk <= reach; dk++ {
		for dj := -reach; dj <= reach; dj++ {
			for di := -reach; di <= reach; di++ {
				a, b, c := i+di, j+dj, k+dk
				if a < 0 || b < 0 || c < 0 || a >= g.n[0] || b >= g.n[1] || c >= g.n[2] {
					continue
				}
				cell := g.index(a, b, c)
				if !s.solid(cell) {
					continue
				}
				d := 0.0
				for ax, n := range [3]int{a, b, c} {
					e := max(g.edge[ax][n]-at[ax], at[ax]-g.edge[ax][n+1], 0)
					d += e * e
				}
				if d < far {
					best, far = cell, d
				}
			}
		}
	}
	if best < 0 {
		return 0, fmt.Errorf("there is no steel at (%.4g, %.4g, %.4g) mm", at[0]*1000, at[1]*1000, at[2]*1000)
	}
	return best, nil
}

// read gives the temperature at the probe.
func (p *reader) read(s *solver) float64 {
	t := 0.0
	for i := range p.n {
		t += p.w[i] * s.temp(int(p.cell[i]))
	}
	return t
}
