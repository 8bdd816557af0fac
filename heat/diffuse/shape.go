package diffuse

import (
	"fmt"
	"math"

	"soundmetal/heat/conduct"
	q "soundmetal/quantity"
)

// Shape is the cross-section: rectangles of steel between Y and Z edges, each laid
// at a time with a charge.
type Shape struct {
	y, z   []float64 // edges
	steel  []bool
	laid   []float64 // s; −Inf from the start
	charge []float64 // what it holds when laid
	parent []int     // cell of the section it came from
	sealed [4]bool   // y low, y high, z low, z high: the outermost edges let nothing through
}

// Cells is the number of cells.
func (s *Shape) Cells() int { return (len(s.y) - 1) * (len(s.z) - 1) }

// Bar is a rectangle charged evenly from the start, with cells of at most one size.
func Bar(width, height, cell q.Length) (Shape, error) {
	if !(width > 0 && height > 0 && cell > 0) {
		return Shape{}, fmt.Errorf("a bar needs width, height and cell above zero")
	}
	even := func(l float64) []float64 {
		n := max(1, int(math.Ceil(l/float64(cell)-1e-9)))
		e := make([]float64, n+1)
		for i := range e {
			e[i] = l * float64(i) / float64(n)
		}
		return e
	}
	s := Shape{y: even(float64(width)), z: even(float64(height))}
	if s.Cells() > maxCells {
		return Shape{}, fmt.Errorf("%d cells are more than the limit of %d; ask for larger cells", s.Cells(), maxCells)
	}
	for range s.Cells() {
		s.steel = append(s.steel, true)
		s.laid = append(s.laid, math.Inf(-1))
		s.charge = append(s.charge, 1)
		s.parent = append(s.parent, 0)
	}
	return s, nil
}

// Plate is a slab through its thickness: a bar that lets nothing through sideways.
func Plate(thickness, cell q.Length) (Shape, error) {
	s, err := Bar(cell, thickness, cell)
	s.sealed = [4]bool{true, true, false, false}
	return s, err
}

// maxCells bounds the grid: far more than a weld needs.
const maxCells = 400_000

// reach is how far around the weld hydrogen is followed, m: at 250 °C it goes
// 10 mm in an hour.
const reach = 0.030

// FromSection makes the cross-section of a simulated weld: what the beads laid is
// charged when laid, the base metal is not. The grid is the section's, made finer
// to cell around the weld and cut off where no hydrogen comes.
func FromSection(sec *conduct.Section, cell q.Length, half bool) (Shape, error) {
	if sec == nil {
		return Shape{}, fmt.Errorf("the simulation kept no cross-section: order one")
	}
	if !(cell > 0) {
		return Shape{}, fmt.Errorf("the cell needs a size above zero")
	}
	ny := len(sec.YEdges) - 1
	lo := [2]float64{math.Inf(1), math.Inf(1)}
	hi := [2]float64{math.Inf(-1), math.Inf(-1)}
	for c, by := range sec.LaidBy {
		if by < 0 {
			continue
		}
		j, k := c%ny, c/ny
		lo[0], hi[0] = min(lo[0], float64(sec.YEdges[j])), max(hi[0], float64(sec.YEdges[j+1]))
		lo[1], hi[1] = min(lo[1], float64(sec.ZEdges[k])), max(hi[1], float64(sec.ZEdges[k+1]))
	}
	if lo[0] > hi[0] {
		return Shape{}, fmt.Errorf("no bead lies in the cross-section: beads without a groove lay no metal")
	}
	var s Shape
	var from [2][]int // coarse cell of each fine one
	for a, edges := range [2][]q.Length{sec.YEdges, sec.ZEdges} {
		var out []float64
		for i := range len(edges) - 1 {
			u, v := float64(edges[i]), float64(edges[i+1])
			if v < lo[a]-reach || u > hi[a]+reach {
				continue
			}
			// fine in and beside the weld, growing by a fifth of the distance
			gap := max(lo[a]-v, u-hi[a], 0)
			n := max(1, int(math.Ceil((v-u)/(float64(cell)+0.2*gap)-1e-9)))
			if out == nil {
				out = append(out, u)
			}
			for m := 1; m <= n; m++ {
				out = append(out, u+(v-u)*float64(m)/float64(n))
				from[a] = append(from[a], i)
			}
		}
		if a == 0 {
			s.y = out
		} else {
			s.z = out
		}
		// cut off in the steel: nothing comes there; a true edge is open
		last := len(edges) - 1
		s.sealed[2*a] = out[0] > float64(edges[0])+1e-9 || a == 0 && half
		s.sealed[2*a+1] = out[len(out)-1] < float64(edges[last])-1e-9
	}
	if s.Cells() > maxCells {
		return Shape{}, fmt.Errorf("%d cells are more than the limit of %d; ask for larger cells", s.Cells(), maxCells)
	}
	for _, k := range from[1] {
		for _, j := range from[0] {
			c := k*ny + j
			by := sec.LaidBy[c]
			s.steel = append(s.steel, by >= -1)
			laid, charge := math.Inf(-1), 0.0
			if by >= 0 {
				laid, charge = float64(sec.Laid[c]), 1
			}
			s.laid = append(s.laid, laid)
			s.charge = append(s.charge, charge)
			s.parent = append(s.parent, c)
		}
	}
	return s, nil
}
