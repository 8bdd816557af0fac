package diffuse

// The state of one side of the band and its steps.

import (
	"math"
)

// solver is the state of one side.
type solver struct {
	s       *Shape
	ny, nz  int
	c       []float64
	inc     []float64
	d       []float64
	gy, gz  []float64 // links to the next cell, D·length/distance
	open    []float64 // link to the open surfaces, in all
	openY   []float64 // and by axis, for the sweeps
	cp      []float64
	here    []bool // laid
	brought float64
	fresh   int // steps since the last cell was laid
	next    float64
}

func newSolver(s *Shape) *solver {
	n := s.Cells()
	v := &solver{s: s, ny: len(s.y) - 1, nz: len(s.z) - 1}
	for _, a := range []*[]float64{&v.c, &v.inc, &v.d, &v.gy, &v.gz, &v.open, &v.openY, &v.cp} {
		*a = make([]float64, n)
	}
	v.here = make([]bool, n)
	return v
}

func (v *solver) dy(j int) float64 { return v.s.y[j+1] - v.s.y[j] }

func (v *solver) dz(k int) float64 { return v.s.z[k+1] - v.s.z[k] }

// lay brings in the cells due at t.
func (v *solver) lay(t float64) {
	v.next = math.Inf(1)
	for c := range v.c {
		if v.here[c] || !v.s.steel[c] {
			continue
		}
		if v.s.laid[c] <= t {
			v.here[c] = true
			v.c[c] = v.s.charge[c]
			v.brought += v.s.charge[c] * v.dy(c%v.ny) * v.dz(c/v.ny)
			if v.s.charge[c] > 0 {
				v.fresh = 0
			}
			continue
		}
		v.next = min(v.next, v.s.laid[c])
	}
}

// links sets the links from the diffusivities, zero concentration at surfaces.
func (v *solver) links() {
	for k := range v.nz {
		for j := range v.ny {
			c := k*v.ny + j
			v.gy[c], v.gz[c], v.open[c], v.openY[c] = 0, 0, 0, 0
			if !v.here[c] {
				continue
			}
			dy, dz := v.dy(j), v.dz(k)
			side := func(there, sealed bool, other int, len, half float64) float64 {
				if there && v.here[other] {
					return 0
				}
				if !there && sealed {
					return 0
				}
				return v.d[c] * len / half
			}
			y := side(j > 0, v.s.sealed[0], c-1, dz, dy/2) + side(j < v.ny-1, v.s.sealed[1], c+1, dz, dy/2)
			z := side(k > 0, v.s.sealed[2], c-v.ny, dy, dz/2) + side(k < v.nz-1, v.s.sealed[3], c+v.ny, dy, dz/2)
			v.openY[c], v.open[c] = y, y+z
			if j < v.ny-1 && v.here[c+1] {
				v.gy[c] = dz / (dy/2/v.d[c] + v.dy(j+1)/2/v.d[c+1])
			}
			if k < v.nz-1 && v.here[c+v.ny] {
				v.gz[c] = dy / (dz/2/v.d[c] + v.dz(k+1)/2/v.d[c+v.ny])
			}
		}
	}
}

// step moves on by dt with θ.
func (v *solver) step(dt, theta float64) {
	ny, nz := v.ny, v.nz
	for k := range nz {
		for j := range ny {
			c := k*ny + j
			r := -v.open[c] * v.c[c]
			if j < ny-1 {
				r += v.gy[c] * (v.c[c+1] - v.c[c])
			}
			if j > 0 {
				r += v.gy[c-1] * (v.c[c-1] - v.c[c])
			}
			if k < nz-1 {
				r += v.gz[c] * (v.c[c+ny] - v.c[c])
			}
			if k > 0 {
				r += v.gz[c-ny] * (v.c[c-ny] - v.c[c])
			}
			v.inc[c] = dt * r
		}
	}
	tdt := theta * dt
	for k := range nz { // along y
		var gp, cp, x float64
		for j := range ny {
			c := k*ny + j
			m := v.dy(j) * v.dz(k)
			g := tdt * v.gy[c]
			den := m + tdt*v.openY[c] + g + gp - gp*cp
			x = (v.inc[c] + gp*x) / den
			cp = g / den
			v.inc[c], v.cp[c] = x, cp
			gp = g
		}
		for j := ny - 2; j >= 0; j-- {
			c := k*ny + j
			v.inc[c] += v.cp[c] * v.inc[c+1]
		}
	}
	for j := range ny { // along z
		var gp, cp, x float64
		for k := range nz {
			c := k*ny + j
			m := v.dy(j) * v.dz(k)
			g := tdt * v.gz[c]
			den := m + tdt*(v.open[c]-v.openY[c]) + g + gp - gp*cp
			x = (m*v.inc[c] + gp*x) / den
			cp = g / den
			v.inc[c], v.cp[c] = x, cp
			gp = g
		}
		for k := nz - 2; k >= 0; k-- {
			c := k*ny + j
			v.inc[c] += v.cp[c] * v.inc[c+ny]
		}
	}
	for c := range v.c {
		v.c[c] += v.inc[c]
	}
	v.fresh++
}

// left reads peak and mean.
func (v *solver) left() (peak, mean float64, at int) {
	sum := 0.0
	for c, x := range v.c {
		if x > peak {
			peak, at = x, c
		}
		sum += x * v.dy(c%v.ny) * v.dz(c/v.ny)
	}
	if v.brought > 0 {
		mean = sum / v.brought
	}
	return peak, mean, at
}

// fastest is the highest diffusivity over the square of the smallest cell.
func (v *solver) fastest() float64 {
	h := math.Inf(1)
	for j := range v.ny {
		h = min(h, v.dy(j))
	}
	for k := range v.nz {
		h = min(h, v.dz(k))
	}
	d := 0.0
	for c, x := range v.d {
		if v.here[c] {
			d = max(d, x)
		}
	}
	return d / (h * h)
}
