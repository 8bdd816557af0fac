package conduct

// The state of the part and one step of it. Everything is a flat slice of
// float64, x fastest, with one plane of padding before and after so that a
// neighbour can be read without asking whether there is one: its link is zero.

import "math"

// bytesPerCell is what the arrays below take for each cell.
const bytesPerCell = 10*8 + 6*4 + 2

// Cell states.
const (
	air   uint8 = iota
	metal       // steel from the start
	open        // groove, not yet filled
	laid        // groove, filled by a bead
)

type solver struct {
	g   *grid
	mat *Material
	pad int // one plane

	h        []float64    // J/m³
	th       []float64    // Θ, W/m
	d, dPrev []float64    // increment of Θ: residual first, then the solution
	m        []float64    // V·dH/dΘ
	mNext    []float64    // the same for the next step
	cp       []float64    // scratch of the sweeps
	link     [3][]float64 // A/d to the next cell along each axis, 0 where there is none
	state    []uint8
	size     [3][]float64 // cell sizes
	inv      [3][]float64 // 1/size
	face     []surface    // exposed faces
	at       []int32      // [face·cells+cell] → place in face, −1 none
	rules    []rule       // how each class of surface gives off heat
	mirror   [faces]bool  // outermost planes that mirror or insulate
	halfX    bool
	halfY    bool
	pick     func(cell int, f Face) uint8
	account
	redone     int     // steps solved once more
	updates    float64 // cells × solutions
	explicit   float64 // s, longest stable step of an explicit scheme, at the start
	startTemp  float64
	startTheta float64
	h0         float64
	ratio      float64 // this step over the last, 0 after a sudden change
	maxCurve   float64 // largest |ΔΘ − ΔΘ expected| of the last step
	maxLag     float64 // largest |ΔΘ(H) − ΔΘ solved| of the last step, less what is free
	lowest     float64 // lowest Θ after the last step
	lowBefore  float64 // and before it
}

// account is what a step adds to; it is put back when a step is undone.
type account struct {
	steps     int
	lossPower float64 // W leaving at the start of the last step
	lossSum   float64 // J left, trapezoidal in the surface temperatures
	lossDt    float64
	lossTheta float64
	fresh     bool    // no step since a change that breaks the loss trapezoid
	sourceSum float64 // J put in by flame and arc
	fluxSum   float64 // J put in by prescribed fluxes and fixed temperatures
}

func newSolver(g *grid, mat *Material, b *Body, start float64, pick func(s *solver) func(int, Face) uint8) *solver {
	n := g.cells()
	pad := g.n[0] * g.n[1]
	full := n + 2*pad
	s := &solver{g: g, mat: mat, pad: pad, startTemp: start}
	for _, a := range []*[]float64{&s.h, &s.th, &s.d, &s.dPrev, &s.m, &s.mNext, &s.cp, &s.link[0], &s.link[1], &s.link[2]} {
		*a = make([]float64, full)
	}
	s.state = make([]uint8, n)
	s.at = make([]int32, int(faces)*n)
	for i := range s.at {
		s.at[i] = -1
	}
	for a := range 3 {
		s.size[a] = make([]float64, g.n[a])
		s.inv[a] = make([]float64, g.n[a])
		for i := range s.size[a] {
			s.size[a][i] = g.edge[a][i+1] - g.edge[a][i]
			s.inv[a][i] = 1 / s.size[a][i]
		}
	}
	s.halfX, s.halfY = b.HalfX, b.HalfY
	s.mirror[XLow], s.mirror[YLow] = b.HalfX, b.HalfY
	for _, f := range b.Insulated {
		s.mirror[f] = true
	}
	s.h0 = mat.enthalpy(start)
	s.startTheta = mat.theta(s.h0)
	slope := mat.hot[mat.index(s.h0)].m
	for c := range n {
		i, j, k := g.ijk(c)
		solid, groove := b.solidAt([3]float64{g.mid[0][i], g.mid[1][j], g.mid[2][k]})
		switch {
		case groove:
			s.state[c] = open
		case solid:
			s.state[c] = metal
		}
		s.h[pad+c] = s.h0
		s.th[pad+c] = s.startTheta
		s.m[pad+c] = slope * s.volume(i, j, k)
	}
	s.pick = pick(s)
	exposed := 0
	for c := range n {
		if s.solid(c) {
			for f := range faces {
				if s.exposed(c, f) {
					exposed++
				}
			}
		}
	}
	s.face = make([]surface, 0, exposed+exposed/4+64)
	for c := range n {
		if s.solid(c) {
			s.join(c)
		}
	}
	s.fresh = true
	s.lowest = s.startTheta
	s.explicit = math.Inf(1)
	for c := pad; c < pad+n; c++ {
		sum := s.link[0][c] + s.link[0][c-1] + s.link[1][c] + s.link[1][c-g.n[0]] + s.link[2][c] + s.link[2][c-pad]
		if sum > 0 {
			s.explicit = min(s.explicit, s.m[c]/sum)
		}
	}
	return s
}

func (s *solver) volume(i, j, k int) float64 { return s.size[0][i] * s.size[1][j] * s.size[2][k] }

func (s *solver) solid(c int) bool { return s.state[c] == metal || s.state[c] == laid }

// next gives the neighbour of a cell beyond a face, −1 outside the grid.
func (s *solver) next(c int, f Face) int {
	axis, up := f.axis()
	i, j, k := s.g.ijk(c)
	at := [3]int{i, j, k}[axis]
	stride := [3]int{1, s.g.n[0], s.pad}[axis]
	if up {
		if at == s.g.n[axis]-1 {
			return -1
		}
		return c + stride
	}
	if at == 0 {
		return -1
	}
	return c - stride
}

func (s *solver) exposed(c int, f Face) bool {
	nb := s.next(c, f)
	if nb < 0 {
		return !s.mirror[f]
	}
	return !s.solid(nb)
}

// area of a cell's face.
func (s *solver) area(c int, axis int) float64 {
	i, j, k := s.g.ijk(c)
	switch axis {
	case 0:
		return s.size[1][j] * s.size[2][k]
	case 1:
		return s.size[0][i] * s.size[2][k]
	default:
		return s.size[0][i] * s.size[1][j]
	}
}

// join links a solid cell to its solid neighbours and gives its other faces to
// the air. It is called once a cell: at the start or when its bead is laid.
func (s *solver) join(c int) {
	n := s.g.cells()
	i, j, k := s.g.ijk(c)
	ijk := [3]int{i, j, k}
	t := s.mat.temp(s.h[s.pad+c])
	for f := range faces {
		axis, up := f.axis()
		nb := s.next(c, f)
		if nb >= 0 && s.solid(nb) {
			lower := c
			if !up {
				lower = nb
			}
			at := ijk[axis]
			if !up {
				at--
			}
			s.link[axis][s.pad+lower] = s.area(c, axis) / (s.g.mid[axis][at+1] - s.g.mid[axis][at])
			s.cover(nb, f^1)
			continue
		}
		if !s.exposed(c, f) {
			continue
		}
		class := s.pick(c, f)
		if class == noSurface {
			continue
		}
		s.at[int(f)*n+c] = int32(len(s.face))
		s.face = append(s.face, surface{
			cell: int32(c), dir: f, class: class, area: s.area(c, axis), half: s.size[axis][ijk[axis]] / 2, ts: t,
		})
	}
}

// cover takes a face that is no longer exposed off the list.
func (s *solver) cover(c int, f Face) {
	n := s.g.cells()
	slot := s.at[int(f)*n+c]
	if slot < 0 {
		return
	}
	last := len(s.face) - 1
	moved := s.face[last]
	s.face[slot] = moved
	s.at[int(moved.dir)*n+int(moved.cell)] = slot
	s.at[int(f)*n+c] = -1
	s.face = s.face[:last]
}

// lay makes an open cell steel, at the temperature the part had at the start:
// what melted it is in the arc's heat.
func (s *solver) lay(c int) {
	if s.state[c] != open {
		return
	}
	s.state[c] = laid
	s.join(c)
}

// reclass asks again for the class of every exposed face, after a blanket was
// laid or taken off.
func (s *solver) reclass() {
	s.closeLoss()
	n := s.g.cells()
	for i := range s.at {
		s.at[i] = -1
	}
	s.face = s.face[:0]
	for c := range n {
		if !s.solid(c) {
			continue
		}
		i, j, k := s.g.ijk(c)
		ijk := [3]int{i, j, k}
		for f := range faces {
			if !s.exposed(c, f) {
				continue
			}
			class := s.pick(c, f)
			if class == noSurface {
				continue
			}
			axis, _ := f.axis()
			s.at[int(f)*n+c] = int32(len(s.face))
			s.face = append(s.face, surface{
				cell: int32(c), dir: f, class: class, area: s.area(c, axis),
				half: s.size[axis][ijk[axis]] / 2, ts: s.mat.temp(s.h[s.pad+c]),
			})
		}
	}
}

// stored is the heat in the part above its start, J.
func (s *solver) stored() float64 {
	sum := 0.0
	for c := range s.state {
		if !s.solid(c) {
			continue
		}
		i, j, k := s.g.ijk(c)
		sum += (s.h[s.pad+c] - s.h0) * s.volume(i, j, k)
	}
	return sum
}

// temp gives the temperature of a cell.
func (s *solver) temp(c int) float64 { return s.mat.temp(s.h[s.pad+c]) }
