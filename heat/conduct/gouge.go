package conduct

// Gouging: steel is taken out, with the heat that is in it, and is air until the
// beads after it are laid there. The heat of the gouging arc itself is left out:
// most of it leaves with the melt.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
)

// Gouge takes a groove out of the part, as the second side is after the first is
// welded. The beads that follow fill it.
type Gouge struct {
	Name   string
	Groove Groove
}

func (Gouge) kind() string { return "gouge" }

func (e *Gouge) check() error {
	if len(e.Groove.Outline) < 3 || !(e.Groove.To > e.Groove.From) {
		return fmt.Errorf("a groove needs an outline of at least three corners and a length along x above zero")
	}
	return nil
}

// box is the block that holds the groove.
func (g *Groove) box() Box {
	inf := q.Length(math.Inf(1))
	b := Box{Point{g.From, inf, inf}, Point{g.To, -inf, -inf}}
	for _, c := range g.Outline {
		b.Low.Y, b.High.Y = min(b.Low.Y, c.Y), max(b.High.Y, c.Y)
		b.Low.Z, b.High.Z = min(b.Low.Z, c.Z), max(b.High.Z, c.Z)
	}
	return b
}

// gouge opens the cells of a groove and gives them to the beads after event n.
func (r *runner) gouge(e *Gouge, n int) error {
	s := r.s
	s.closeLoss()
	removed := 0.0
	for c := range s.state {
		i, j, k := s.g.ijk(c)
		if !s.solid(c) || !e.Groove.has([3]float64{s.g.mid[0][i], s.g.mid[1][j], s.g.mid[2][k]}) {
			continue
		}
		removed += (s.h[s.pad+c] - s.h0) * s.volume(i, j, k)
		s.take(c)
	}
	r.hist.Ledger.Removed += q.Energy(removed)
	s.reclass()
	r.assign(n + 1)
	if err := r.bindAll(false); err != nil {
		return err
	}
	if sec := r.hist.Section; sec != nil {
		x := s.g.locate(0, float64(sec.X))
		for b, f := range r.fills {
			for _, c := range f {
				if int(c)%s.g.n[0] == x && s.state[c] == open {
					sec.LaidBy[int(c)/s.g.n[0]] = b
					sec.Laid[int(c)/s.g.n[0]] = q.Time(math.Inf(1))
				}
			}
		}
	}
	r.restart(1)
	return nil
}

// take makes a solid cell air that a bead may fill.
func (s *solver) take(c int) {
	for axis, stride := range [3]int{1, s.g.n[0], s.pad} {
		p := s.pad + c
		s.link[axis][p], s.link[axis][p-stride] = 0, 0
	}
	i, j, k := s.g.ijk(c)
	p := s.pad + c
	s.state[c] = open
	s.h[p], s.th[p] = s.h0, s.startTheta
	s.m[p] = s.mat.hot[s.mat.index(s.h0)].m * s.volume(i, j, k)
	s.mNext[p], s.d[p], s.dPrev[p] = s.m[p], 0, 0
}
