package conduct

// The arc: a bell of heat in the metal around the point where it burns,
//
//	q ∝ exp(−3x²/a²)·exp(−3y²/b²)·exp(−3z²/c²)      (Goldak et al., form from memory)
//
// integrated over each cell and averaged over the stretch of a step, on the
// solid cells only and scaled so that all of the arc's heat goes in.

import (
	_ "embed"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed patches.csv
var patchesCSV string

var patches = mustPatches(patchesCSV)

func mustPatches(text string) map[string]Patch {
	all := map[string]Patch{}
	for _, r := range source.Table("conduct/patches.csv", text) {
		r.Ref() // known source and status
		mm := func(column string) q.Length { return q.Length(r.Num(column)) * q.Millimetre }
		all[r.Text("id")] = Patch{mm("along_mm"), mm("across_mm"), mm("depth_mm")}
	}
	return all
}

// PatchOf gives the row of patches.csv: rod-small, rod-medium, rod-large.
func PatchOf(id string) (Patch, bool) { p, ok := patches[id]; return p, ok }

func (p Patch) or(id string) Patch {
	d := patches[id]
	if p.Along == 0 {
		p.Along = d.Along
	}
	if p.Across == 0 {
		p.Across = d.Across
	}
	if p.Depth == 0 {
		p.Depth = d.Depth
	}
	return p
}

// arc lays a bead's heat on the cells.
type arc struct {
	s      *solver
	b      *Bead
	from   [3]float64
	dir    [3]float64
	length float64
	r      [3]float64 // bell radius along each axis, half-length/√3
	w      [3][]float64
	tmp    []float64
	into   []heat
	lost   bool // the arc burnt in the air
	axis   int  // the axis the bead mostly runs along
}

func newArc(s *solver, b *Bead) *arc {
	a := &arc{s: s, b: b, from: b.From.xyz(), length: b.length()}
	to := b.To.xyz()
	for i := range 3 {
		a.dir[i] = (to[i] - a.from[i]) / a.length
		if math.Abs(a.dir[i]) > math.Abs(a.dir[a.axis]) {
			a.axis = i
		}
	}
	p := b.Patch.or("rod-medium")
	across := a.axis ^ 1 // x and y change places
	if a.axis == 2 {
		across = 0
	}
	a.r[a.axis] = float64(p.Along) / math.Sqrt(3)
	a.r[across] = float64(p.Across) / math.Sqrt(3)
	a.r[3-a.axis-across] = float64(p.Depth) / math.Sqrt(3)
	most := 0
	for i := range 3 {
		a.w[i] = make([]float64, s.g.n[i])
		most = max(most, s.g.n[i])
	}
	a.tmp = make([]float64, most)
	a.into = make([]heat, 0, 4096)
	return a
}

// heats gives the shares of a step while the arc goes from p0 to p1 along the
// bead, m.
func (a *arc) heats(p0, p1 float64) []heat {
	g := a.s.g
	var lo, hi [3]int
	for i := range 3 {
		clear(a.w[i])
		w := a.w[i]
		// four places of the stretch are enough: a step covers a fraction of the bell
		const parts = 4
		for n := range parts {
			p := p0 + (p1-p0)*(float64(n)+0.5)/parts
			bell(a.tmp[:len(w)], g.edge[i], a.from[i]+p*a.dir[i], a.r[i], false)
			for j, v := range a.tmp[:len(w)] {
				w[j] += v / parts
			}
			if a.dir[i] == 0 {
				for j := range w {
					w[j] *= parts
				}
				break
			}
		}
		const least = 2e-4
		lo[i], hi[i] = 0, len(w)
		for lo[i] < hi[i]-1 && w[lo[i]] < least {
			lo[i]++
		}
		for hi[i] > lo[i]+1 && w[hi[i]-1] < least {
			hi[i]--
		}
	}
	a.into = a.into[:0]
	total := 0.0
	for k := lo[2]; k < hi[2]; k++ {
		for j := lo[1]; j < hi[1]; j++ {
			wk := a.w[2][k] * a.w[1][j]
			c := g.index(lo[0], j, k)
			for i := lo[0]; i < hi[0]; i++ {
				if v := wk * a.w[0][i]; v > 1e-7 && a.s.solid(c) {
					a.into = append(a.into, heat{int32(c), v})
					total += v
				}
				c++
			}
		}
	}
	// All of the heat goes in; half of it where the plane of symmetry cuts the bead.
	share := 1.0
	if a.s.halfY {
		share = 0.5
	}
	if total < 1e-4 {
		a.lost = true
		return a.into[:0]
	}
	for i := range a.into {
		a.into[i].share *= share / total
	}
	return a.into
}
