package conduct

// The grid: cell edges along each axis. Edges lie on every plane of the body,
// cells are finest in a zone around the weld and grow with the distance from
// it: the wanted size is s(u) = min(largest, finest + growth × distance), and
// the edges of a stretch are placed at equal parts of ∫du/s, so that neighbours
// differ little and the scheme keeps its order.

import (
	"fmt"
	"math"
	"slices"
)

type grid struct {
	n    [3]int
	edge [3][]float64 // n+1 each
	mid  [3][]float64 // n each
}

func (g *grid) cells() int { return g.n[0] * g.n[1] * g.n[2] }

func (g *grid) index(i, j, k int) int { return (k*g.n[1]+j)*g.n[0] + i }

func (g *grid) ijk(c int) (i, j, k int) {
	return c % g.n[0], c / g.n[0] % g.n[1], c / (g.n[0] * g.n[1])
}

// locate finds the cell along one axis that holds u, the end cells reach on.
func (g *grid) locate(axis int, u float64) int {
	e := g.edge[axis]
	i, _ := slices.BinarySearch(e, u)
	return min(max(i-1, 0), g.n[axis]-1)
}

// TooLarge refuses a grid: nothing was computed.
type TooLarge struct {
	NX, NY, NZ int
	Limit      int // cells
}

func (e *TooLarge) Error() string {
	cells := float64(e.NX) * float64(e.NY) * float64(e.NZ)
	return fmt.Sprintf("the grid would have %d × %d × %d = %.4g cells (%.0f MB), more than the limit of %d; ask for larger cells or a smaller part",
		e.NX, e.NY, e.NZ, cells, cells*bytesPerCell/1e6, e.Limit)
}

// sizing is the wanted cell size along one axis.
type sizing struct {
	finest, growth, largest float64
	low, high               float64 // zone of the finest cells
	least                   int     // cells through a wall: none grows beyond a stretch between planes over this
}

func (s sizing) at(u float64) float64 {
	d := max(s.low-u, u-s.high, 0)
	return min(s.largest, s.finest+s.growth*d)
}

// lines places the edges between planes, which rise.
func (s sizing) lines(planes []float64, limit int) []float64 {
	out := []float64{planes[0]}
	for p := 1; p < len(planes); p++ {
		a, b := planes[p-1], planes[p]
		s := s
		s.largest = min(s.largest, max(s.finest, (b-a)/float64(max(s.least, 1))))
		const parts = 400
		var sum [parts + 1]float64
		du := (b - a) / parts
		for i := range parts {
			sum[i+1] = sum[i] + du/s.at(a+(float64(i)+.5)*du)
		}
		n := max(int(math.Ceil(sum[parts]-1e-6)), 1)
		if n > limit {
			n = limit + 1 // refused later, with its size
		}
		at := 0
		for i := 1; i < n; i++ {
			want := sum[parts] * float64(i) / float64(n)
			for sum[at+1] < want {
				at++
			}
			f := (want - sum[at]) / (sum[at+1] - sum[at])
			out = append(out, a+(float64(at)+f)*du)
		}
		out = append(out, b)
	}
	return out
}

// planes are the coordinates along one axis where the body changes, rising and
// a little apart.
func planes(b *Body, extra []Box, axis int) []float64 {
	lo, hi := b.bounds()
	all := []float64{lo[axis], hi[axis]}
	add := func(v float64) {
		if v > lo[axis] && v < hi[axis] {
			all = append(all, v)
		}
	}
	for _, list := range [][]Box{b.Solid, b.Cut, extra} {
		for _, s := range list {
			add(s.Low.xyz()[axis])
			add(s.High.xyz()[axis])
		}
	}
	if g := b.Groove; g != nil {
		switch axis {
		case 0:
			add(float64(g.From))
			add(float64(g.To))
		case 2: // the root face and the toe of a fillet lie on cell faces
			for _, c := range g.Outline {
				add(float64(c.Z))
			}
		}
	}
	slices.Sort(all)
	const apart = 0.05e-3 // m: planes closer than this are one
	out := all[:1]
	for _, v := range all[1:] {
		if v-out[len(out)-1] > apart {
			out = append(out, v)
		}
	}
	out[len(out)-1] = hi[axis]
	return out
}

// makeGrid lays the cells and refuses too many.
func makeGrid(b *Body, extra []Box, size [3]sizing, limit int) (*grid, error) {
	g := &grid{}
	for a := range 3 {
		g.edge[a] = size[a].lines(planes(b, extra, a), limit)
		g.n[a] = len(g.edge[a]) - 1
		g.mid[a] = make([]float64, g.n[a])
		for i := range g.mid[a] {
			g.mid[a][i] = (g.edge[a][i] + g.edge[a][i+1]) / 2
		}
	}
	if float64(g.n[0])*float64(g.n[1])*float64(g.n[2]) > float64(limit) {
		return nil, &TooLarge{g.n[0], g.n[1], g.n[2], limit}
	}
	return g, nil
}
