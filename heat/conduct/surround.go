package conduct

// Which surface gives off heat how: the case's own surfaces, blankets, sheltered
// spaces, open air.

import (
	"math"
)

// regions are the boxes whose planes the grid must meet.
func (r *runner) regions() []Box {
	var all []Box
	for _, s := range r.c.Surfaces {
		all = append(all, s.Where.In)
	}
	for _, e := range r.c.Events {
		if b, ok := e.(Blanket); ok {
			for _, w := range b.Where {
				all = append(all, w.In)
			}
		}
		if g, ok := e.(Gouge); ok {
			all = append(all, g.Groove.box())
		}
	}
	return all
}

// The classes of surface: the case's own first, then blankets, inside, open.
func (r *runner) rulesOf() []rule {
	var all []rule
	for _, s := range r.c.Surfaces {
		all = append(all, rule{
			h: float64(s.Film), es: float64(s.Emissivity) * stefanBoltzmann, air: float64(s.Air), airAt: s.AirAt,
			flux: float64(s.Flux), hold: math.IsInf(float64(s.Film), 1), loss: 1,
			counted: s.Flux == 0 && !math.IsInf(float64(s.Film), 1) && s.AirAt == nil,
		})
	}
	h := float64(FilmOf(r.env.Wind))
	es := float64(r.env.Skin.Emissivity()) * stefanBoltzmann
	loss := r.env.lossFactor()
	for _, b := range r.blanket {
		film := float64(b.Film)
		if film == 0 {
			film = figure("blanket").Likely
		}
		all = append(all, rule{h: h, es: es, cover: film, air: float64(r.env.Air), loss: loss, counted: true})
	}
	all = append(all,
		rule{h: figure("film-inside").Likely, air: float64(r.env.Air), loss: loss, counted: true},
		rule{h: h, es: es, air: float64(r.env.Air), loss: loss, counted: true})
	return all
}

// classes gives the class of a face by its middle.
func (r *runner) classes(s *solver) func(int, Face) uint8 {
	return func(c int, f Face) uint8 {
		i, j, k := s.g.ijk(c)
		p := [3]float64{s.g.mid[0][i], s.g.mid[1][j], s.g.mid[2][k]}
		axis, up := f.axis()
		at := [3]int{i, j, k}[axis]
		out := 1e-6 // just outside
		if up {
			p[axis] = s.g.edge[axis][at+1]
		} else {
			p[axis] = s.g.edge[axis][at]
			out = -out
		}
		for n := range r.c.Surfaces {
			if r.c.Surfaces[n].Where.has(p, f) {
				if r.c.Surfaces[n].Insulated {
					return noSurface
				}
				return uint8(n)
			}
		}
		n := len(r.c.Surfaces)
		for b := range r.blanket {
			for _, w := range r.blanket[b].Where {
				if w.has(p, f) {
					return uint8(n + b)
				}
			}
		}
		n += len(r.blanket)
		p[axis] += out
		for _, in := range r.c.Body.Sheltered {
			if in.has(p) {
				return uint8(n)
			}
		}
		return uint8(n + 1)
	}
}

func (r *runner) surroundings() {
	r.s.rules = r.rulesOf()
	r.s.reclass()
	r.restart(2)
}
