package conduct

import (
	"fmt"
	"math"
	"slices"
	"sort"

	q "soundmetal/quantity"
)

// bindAll finds the cells of every probe.
func (r *runner) bindAll(first bool) error {
	if first {
		r.byName = map[string]int{}
		r.readers = make([]reader, len(r.c.Probes))
		r.now, r.before = make([]float64, len(r.c.Probes)), make([]float64, len(r.c.Probes))
	}
	for i, p := range r.c.Probes {
		r.readers[i].at = p.At.xyz()
		r.byName[p.Name] = i
		if err := r.readers[i].bind(r.s); err != nil {
			return fmt.Errorf("probe %q: %w", p.Name, err)
		}
	}
	return nil
}

// record reads the probes and keeps them.
func (r *runner) record() {
	r.now, r.before = r.before, r.now
	r.hist.Times = append(r.hist.Times, q.Time(r.t))
	for i := range r.readers {
		v := r.readers[i].read(r.s)
		r.now[i] = v
		r.hist.Temps[i] = append(r.hist.Temps[i], q.Temperature(v))
	}
}

// assign gives every open cell that no bead has yet to the bead whose line passes
// nearest, of those from event first on until steel is gouged again, and sorts a
// bead's cells by when the arc passes.
func (r *runner) assign(first int) {
	type line struct {
		from, dir [3]float64
		length    float64
		bead      int
	}
	var lines []line
	beads, over := 0, false
	for i, e := range r.c.Events {
		if _, ok := e.(Gouge); ok && i >= first {
			over = true
		}
		if b, ok := e.(Bead); ok {
			beads++
			if i < first || over {
				continue
			}
			l := line{bead: beads - 1, from: b.From.xyz(), length: b.length()}
			to := b.To.xyz()
			for a := range 3 {
				l.dir[a] = (to[a] - l.from[a]) / l.length
			}
			lines = append(lines, l)
		}
	}
	if r.fills == nil {
		r.fills = make([][]int32, beads)
	}
	if len(lines) == 0 {
		return
	}
	s := r.s
	along := make([]float64, len(s.state))
	for c := range s.state {
		if s.state[c] != open {
			continue
		}
		i, j, k := s.g.ijk(c)
		p := [3]float64{s.g.mid[0][i], s.g.mid[1][j], s.g.mid[2][k]}
		best, far := 0, math.Inf(1)
		for n, l := range lines {
			u := 0.0
			for a := range 3 {
				u += (p[a] - l.from[a]) * l.dir[a]
			}
			d := 0.0
			for a := range 3 {
				e := p[a] - l.from[a] - u*l.dir[a]
				d += e * e
			}
			if d < far-1e-12 {
				best, far = lines[n].bead, d
				along[c] = u
			}
		}
		r.fills[best] = append(r.fills[best], int32(c))
	}
	for _, l := range lines {
		f := r.fills[l.bead]
		sort.SliceStable(f, func(a, b int) bool { return along[f[a]] < along[f[b]] })
	}
}

// layUpTo fills the bead's cells that the arc at p has reached.
func (r *runner) layUpTo(n, fill int, a *arc, p float64) int {
	f := r.fills[n]
	start := fill
	for fill < len(f) {
		c := int(f[fill])
		i, j, k := r.s.g.ijk(c)
		u := 0.0
		for ax, m := range [3]int{i, j, k} {
			u += (r.s.g.mid[ax][m] - a.from[ax]) * a.dir[ax]
		}
		// the front of the cell, so that there is metal under the arc
		if u-r.s.size[a.axis][[3]int{i, j, k}[a.axis]]/2 > p {
			break
		}
		r.s.lay(c)
		if r.hist.Section != nil {
			r.laidInSection(c)
		}
		fill++
	}
	if fill > start {
		_ = r.bindAll(false) // steel was only added: what was found before is found again
	}
	return fill
}

// startSection prepares the ordered cross-section.
func (r *runner) startSection() {
	o := r.o.Section
	if o == nil {
		return
	}
	g := r.s.g
	x := g.locate(0, float64(o.X))
	sec := &Section{X: q.Length(g.mid[0][x])}
	for _, e := range g.edge[1] {
		sec.YEdges = append(sec.YEdges, q.Length(e))
	}
	for _, e := range g.edge[2] {
		sec.ZEdges = append(sec.ZEdges, q.Length(e))
	}
	n := g.n[1] * g.n[2]
	sec.LaidBy, sec.Laid = make([]int, n), make([]q.Time, n)
	for i := range n {
		sec.LaidBy[i] = -2
		if r.s.state[i*g.n[0]+x] == metal {
			sec.LaidBy[i] = -1
		}
	}
	for b, f := range r.fills {
		for _, c := range f {
			if int(c)%g.n[0] == x {
				sec.LaidBy[int(c)/g.n[0]] = b
				sec.Laid[int(c)/g.n[0]] = q.Time(math.Inf(1))
			}
		}
	}
	r.hist.Section = sec
	r.shot = math.Inf(-1)
	r.picture(true)
}

func (r *runner) laidInSection(c int) {
	g, sec := r.s.g, r.hist.Section
	if c%g.n[0] == g.locate(0, float64(sec.X)) {
		sec.Laid[c/g.n[0]] = q.Time(r.t)
	}
}

// picture keeps the section if it is time.
func (r *runner) picture(force bool) {
	sec := r.hist.Section
	if sec == nil || !force && r.t-r.shot < float64(r.o.Section.Every) {
		return
	}
	if n := len(sec.Times); n > 0 && sec.Times[n-1] == q.Time(r.t) {
		return
	}
	g := r.s.g
	x := g.locate(0, float64(sec.X))
	t := make([]float32, g.n[1]*g.n[2])
	for i := range t {
		c := i*g.n[0] + x
		t[i] = float32(math.NaN())
		if r.s.solid(c) {
			t[i] = float32(r.s.temp(c))
		}
	}
	sec.Times = append(sec.Times, q.Time(r.t))
	sec.Temps = append(sec.Temps, t)
	r.shot = r.t
}

// finish adds up.
func (r *runner) finish() {
	s, h := r.s, r.hist
	for _, z := range r.zones { // still hot at the end: what is known
		h.Beads[z.bead].Cooling = z.result()
	}
	for _, v := range r.now {
		h.Final = append(h.Final, q.Temperature(v))
	}
	h.Ledger.Fixed = q.Energy(s.fluxSum)
	h.Ledger.Lost = q.Energy(s.lossSum)
	h.Ledger.Stored = q.Energy(s.stored())
	if all := float64(h.Ledger.Torch) + r.missed; all > 0 {
		h.Ledger.Missed = q.Ratio(r.missed / all)
	}
	h.Size = Size{NX: s.g.n[0], NY: s.g.n[1], NZ: s.g.n[2], Cells: s.g.cells(), Steps: s.steps,
		Updates: s.updates, Bytes: s.g.cells()*bytesPerCell + cap(s.face)*48, Level: r.o.Level}
	h.Times = slices.Clip(h.Times)
	if m := float64(h.Ledger.Missed); m > 0.02 {
		h.Notes = append(h.Notes, fmt.Sprintf("%.0f %% of the flame misses the part past its edges", m*100))
	}
}
