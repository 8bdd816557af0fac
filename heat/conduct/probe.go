package conduct

// A probe reads the parabolas through the three nearest cells along each axis,
// up to the surface, so that a reading on the flamed or the windy face keeps its
// slope and its bend. On a plane of symmetry the mirror image is one of the
// three. Where a corner of the cells it would read is air, it takes the bends
// along the axes one by one.

import (
	"fmt"
	"math"
)

type reader struct {
	at   [3]float64
	cell [27]int32
	w    [27]float64
	n    int
}

// stencil is the reading along one axis: up to three cells and their weights.
type stencil struct {
	at [3]int
	w  [3]float64
	n  int
}

// bind finds the cells a probe reads; it is called again when cells are laid.
func (p *reader) bind(s *solver) error {
	home, err := s.home(p.at)
	if err != nil {
		return err
	}
	i, j, k := s.g.ijk(home)
	ijk := [3]int{i, j, k}
	var st [3]stencil
	for a := range 3 {
		st[a] = s.along(ijk, a, p.at[a])
	}
	p.n = 0
	whole := true
	for z := range st[2].n {
		for y := range st[1].n {
			for x := range st[0].n {
				c := s.g.index(st[0].at[x], st[1].at[y], st[2].at[z])
				whole = whole && s.solid(c)
				p.cell[p.n], p.w[p.n] = int32(c), st[0].w[x]*st[1].w[y]*st[2].w[z]
				p.n++
			}
		}
	}
	if whole {
		return nil
	}
	p.n, p.cell[0], p.w[0] = 1, int32(home), 1
	for a := range 3 {
		for n := range st[a].n {
			at := ijk
			at[a] = st[a].at[n]
			if at[a] == ijk[a] {
				p.w[0] += st[a].w[n] - 1
				continue
			}
			p.cell[p.n], p.w[p.n] = int32(s.g.index(at[0], at[1], at[2])), st[a].w[n]
			p.n++
		}
	}
	return nil
}

// along gives the reading along one axis through a cell, no further out than
// that cell's faces.
func (s *solver) along(ijk [3]int, axis int, u float64) stencil {
	mid, edge := s.g.mid[axis], s.g.edge[axis]
	c := ijk[axis]
	u = min(max(u, edge[c]), edge[c+1])
	below, above := s.solidAlong(ijk, axis, c-1), s.solidAlong(ijk, axis, c+1)
	st := stencil{n: 1, at: [3]int{c}, w: [3]float64{1}}
	mirror := -1.0 // plane of symmetry beside the cell
	if c == 0 && s.mirror[2*axis] {
		mirror = edge[0]
	}
	if c == s.g.n[axis]-1 && s.mirror[2*axis+1] {
		mirror = edge[c+1]
	}
	switch {
	case (c == 0 && s.mirror[2*axis] || c == s.g.n[axis]-1 && s.mirror[2*axis+1]) && below != above:
		next := c + 1
		if below {
			next = c - 1
		}
		d, d1, d2 := u-mirror, mid[c]-mirror, mid[next]-mirror
		w := (d*d - d1*d1) / (d2*d2 - d1*d1)
		st = stencil{n: 2, at: [3]int{c, next}, w: [3]float64{1 - w, w}}
	case below && above:
		st = lagrange(mid, u, c, c-1, c+1)
	case above && s.solidAlong(ijk, axis, c+2):
		st = lagrange(mid, u, c, c+1, c+2)
	case below && s.solidAlong(ijk, axis, c-2):
		st = lagrange(mid, u, c, c-1, c-2)
	case above || below:
		next := c + 1
		if below {
			next = c - 1
		}
		w := (u - mid[c]) / (mid[next] - mid[c])
		st = stencil{n: 2, at: [3]int{c, next}, w: [3]float64{1 - w, w}}
	}
	return st
}

// lagrange gives the weights of the parabola through three cells.
func lagrange(mid []float64, u float64, a, b, c int) stencil {
	x, y, z := mid[a], mid[b], mid[c]
	return stencil{n: 3, at: [3]int{a, b, c}, w: [3]float64{
		(u - y) * (u - z) / ((x - y) * (x - z)),
		(u - x) * (u - z) / ((y - x) * (y - z)),
		(u - x) * (u - y) / ((z - x) * (z - y)),
	}}
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
	const beside = 10e-3 // m: further off it is not a place on this part
	off := 0.0           // from the grid itself
	for a := range 3 {
		off = max(off, g.edge[a][0]-at[a], at[a]-g.edge[a][g.n[a]])
	}
	if c := g.index(i, j, k); s.solid(c) && off < beside {
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
	if best < 0 || far > beside*beside {
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
