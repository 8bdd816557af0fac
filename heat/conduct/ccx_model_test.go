//go:build ccx

package conduct

// The same case for the general finite-element program ccx (Debian package
// calculix-ccx): a mesh of eight-node bricks on the solid cells of a grid, the
// same property table, films, radiation and heat sources, and the reader of the
// temperatures it prints.

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"testing"

	q "soundmetal/quantity"
)

// stage is one step of the program: so long, in increments of so much.
type stage struct{ length, dt float64 }

// feModel writes a case on the grid of r.
type feModel struct {
	r      *runner
	rows   []Property
	solver string // "" is the program's default
	out    bytes.Buffer
}

// node numbers the corner of the grid.
func (m *feModel) node(i, j, k int) int {
	return (k*(m.r.s.g.n[1]+1)+j)*(m.r.s.g.n[0]+1) + i + 1
}

// feFace is the program's number of a side of the brick.
var feFace = [faces]int{XLow: 6, XHigh: 4, YLow: 3, YHigh: 5, ZLow: 1, ZHigh: 2}

// mesh writes nodes, bricks, material, initial temperature.
func (m *feModel) mesh(start float64) {
	s, g, w := m.r.s, m.r.s.g, &m.out
	used := map[int]bool{}
	type brick struct{ id, n [8]int }
	fmt.Fprintln(w, "*NODE, NSET=ALL")
	for c := range s.state {
		if !s.solid(c) {
			continue
		}
		i, j, k := g.ijk(c)
		for _, n := range m.corners(i, j, k) {
			used[n] = true
		}
	}
	for k := 0; k <= g.n[2]; k++ {
		for j := 0; j <= g.n[1]; j++ {
			for i := 0; i <= g.n[0]; i++ {
				if n := m.node(i, j, k); used[n] {
					fmt.Fprintf(w, "%d, %.9g, %.9g, %.9g\n", n, g.edge[0][i], g.edge[1][j], g.edge[2][k])
				}
			}
		}
	}
	fmt.Fprintln(w, "*ELEMENT, TYPE=DC3D8, ELSET=STEEL")
	for c := range s.state {
		if !s.solid(c) {
			continue
		}
		i, j, k := g.ijk(c)
		fmt.Fprintf(w, "%d", c+1)
		for _, n := range m.corners(i, j, k) {
			fmt.Fprintf(w, ", %d", n)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, "*MATERIAL, NAME=M1\n*DENSITY\n7850.\n*CONDUCTIVITY")
	for _, p := range m.rows {
		fmt.Fprintf(w, "%.6g, %.6g\n", float64(p.K), float64(p.T))
	}
	fmt.Fprintln(w, "*SPECIFIC HEAT")
	for _, p := range m.rows {
		fmt.Fprintf(w, "%.6g, %.6g\n", float64(p.C), float64(p.T))
	}
	fmt.Fprintln(w, "*SOLID SECTION, ELSET=STEEL, MATERIAL=M1")
	fmt.Fprintf(w, "*PHYSICAL CONSTANTS, ABSOLUTE ZERO=-273.15, STEFAN BOLTZMANN=%.10g\n", stefanBoltzmann)
	fmt.Fprintf(w, "*INITIAL CONDITIONS, TYPE=TEMPERATURE\nALL, %.6g\n", start)
}

func (m *feModel) corners(i, j, k int) [8]int {
	return [8]int{m.node(i, j, k), m.node(i+1, j, k), m.node(i+1, j+1, k), m.node(i, j+1, k),
		m.node(i, j, k+1), m.node(i+1, j, k+1), m.node(i+1, j+1, k+1), m.node(i, j+1, k+1)}
}

// surfaces writes films and radiation of every exposed face.
func (m *feModel) surfaces() {
	s, w := m.r.s, &m.out
	fmt.Fprintln(w, "*FILM, OP=NEW")
	for _, f := range s.face {
		r := s.rules[f.class]
		fmt.Fprintf(w, "%d, F%d, %.6g, %.6g\n", f.cell+1, feFace[f.dir], r.air, r.h)
	}
	fmt.Fprintln(w, "*RADIATE, OP=NEW")
	for _, f := range s.face {
		r := s.rules[f.class]
		fmt.Fprintf(w, "%d, R%d, %.6g, %.6g\n", f.cell+1, feFace[f.dir], r.air, r.es/stefanBoltzmann)
	}
}

// readNodes are the corners of the brick around each probe and their weights.
func (m *feModel) readNodes(probes []Probe) (nodes [][8]int, weights [][8]float64) {
	g := m.r.s.g
	for _, p := range probes {
		at := p.At.xyz()
		var c [3]int
		var f [3]float64
		for a := range 3 {
			c[a] = g.locate(a, at[a])
			f[a] = (at[a] - g.edge[a][c[a]]) / (g.edge[a][c[a]+1] - g.edge[a][c[a]])
		}
		n := m.corners(c[0], c[1], c[2])
		x, y, z := f[0], f[1], f[2]
		nodes = append(nodes, n)
		weights = append(weights, [8]float64{
			(1 - x) * (1 - y) * (1 - z), x * (1 - y) * (1 - z), x * y * (1 - z), (1 - x) * y * (1 - z),
			(1 - x) * (1 - y) * z, x * (1 - y) * z, x * y * z, (1 - x) * y * z})
	}
	return nodes, weights
}

// step opens one stage.
func (m *feModel) step(st stage) {
	solver := ""
	if m.solver != "" {
		solver = ", SOLVER=" + m.solver
	}
	fmt.Fprintf(&m.out, "*STEP, INC=1000000\n*HEAT TRANSFER, DIRECT%s\n%.9g, %.9g\n", solver, st.dt, st.length)
}

// stepEnd closes it, printing the probes' nodes.
func (m *feModel) stepEnd() {
	fmt.Fprintln(&m.out, "*NODE PRINT, NSET=PROBES\nNT\n*END STEP")
}

func (m *feModel) probeSet(probes []Probe) {
	nodes, _ := m.readNodes(probes)
	fmt.Fprintln(&m.out, "*NSET, NSET=PROBES")
	seen := map[int]bool{}
	for _, n := range nodes {
		for _, v := range n {
			if !seen[v] {
				seen[v] = true
				fmt.Fprintf(&m.out, "%d,\n", v)
			}
		}
	}
}

// below600 is steel of EN 1993-1-2 in a table both programs read alike: every
// 25 K to 600 °C and held beyond, without the peak, whose place between the
// points of a table would be a matter of taste.
func below600() []Property {
	var rows []Property
	for t := 20.0; t <= 600; t += 20 {
		rows = append(rows, Property{q.Temperature(t), Conductivity(carbonCurves["k"].at(t)), SpecificHeat(carbonCurves["c"].at(t - 1e-9))})
	}
	return rows
}

// evenHeat is the same conductivity with one specific heat, 600 J/kgK. The
// program takes c at the end of an increment times its temperature change, which
// is not the heat between the two: where an arc drives a brick up and down by
// 100 K in an increment, heat is lost that no mesh brings back.
func evenHeat() []Property {
	rows := below600()
	for i := range rows {
		rows[i].C = 600
	}
	return rows
}

// preheatCase is a half plate of 25 mm under a spread flame in wind, then left.
func preheatCase(steel *Material) Case {
	const mm = q.Millimetre
	return Case{
		Body: HalfPlate(600*mm, 500*mm, 25*mm), Steel: steel, Start: 20,
		Env: Environment{Air: 20, Wind: 4, Skin: Scaled},
		Probes: []Probe{
			{"far at the weld", MM(0, 0, 0)}, {"near at the weld", MM(0, 0, 25)}, {"far at 75 mm", MM(0, 75, 0)},
			{"near beyond the end", MM(150, 20, 25)}, {"far at 150 mm", MM(0, 150, 0)},
		},
		Events: []Event{
			Torch{Face: ZHigh, Path: []Point{MM(-80, 40, 25), MM(80, 40, 25)}, Power: 40e3, Efficiency: 0.16, Radius: 45 * mm,
				Until: Until{For: 300}},
			wait(1200),
		},
	}
}

// preheatModel is the same for the program.
func preheatModel(t *testing.T, steel *Material, o Options, rows []Property, stages []stage, solver string) (*feModel, []Probe) {
	c := preheatCase(steel)
	r, err := newRunner(context.Background(), &c, o)
	if err != nil {
		t.Fatal(err)
	}
	m := &feModel{r: r, rows: rows, solver: solver}
	m.mesh(float64(c.Start))
	m.probeSet(c.Probes)
	torch := c.Events[0].(Torch)
	b := newBurner(r.s, &torch)
	into := b.heats(0, 1)
	for i, st := range stages {
		m.step(st)
		if i == 0 {
			m.surfaces()
			fmt.Fprintln(&m.out, "*DFLUX, OP=NEW")
			for _, q := range into {
				fmt.Fprintf(&m.out, "%d, S%d, %.9g\n", q.cell+1, feFace[torch.Face], q.share*b.power()/r.s.area(int(q.cell), 2))
			}
		}
		if i == 1 { // flame off
			fmt.Fprintln(&m.out, "*DFLUX, OP=NEW")
		}
		m.stepEnd()
	}
	return m, c.Probes
}

// beadsCase lays three beads side by side on a plate, with pauses, and lets it stand.
func beadsCase(steel *Material) Case {
	const mm = q.Millimetre
	bead := func(y float64) Bead {
		return Bead{From: MM(-30, y, 25), To: MM(30, y, 25), Speed: 3e-3, Power: 2400, Patch: Patch{Along: 14 * mm, Across: 12 * mm, Depth: 7 * mm}}
	}
	return Case{
		Body: Plate(180*mm, 140*mm, 25*mm), Steel: steel, Start: 100,
		Env: Environment{Air: 20, Wind: 2, Skin: Mill},
		Probes: []Probe{
			{"beside the beads", MM(0, 20, 25)}, {"far face under them", MM(0, 0, 0)}, {"near at 40 mm", MM(0, 40, 25)},
			{"beyond the end", MM(55, 0, 25)}, {"far at 60 mm", MM(-20, -60, 0)},
		},
		Events: []Event{bead(-8), wait(60), bead(0), wait(60), bead(8), wait(60), wait(540)},
	}
}

// beadsModel is the same for the program: each slab of bricks along the weld has
// the arc's passing as its amplitude.
func beadsModel(t *testing.T, steel *Material, o Options, rows []Property, arcDt, waitDt, coolDt float64, solver string) (*feModel, []Probe) {
	c := beadsCase(steel)
	r, err := newRunner(context.Background(), &c, o)
	if err != nil {
		t.Fatal(err)
	}
	m := &feModel{r: r, rows: rows, solver: solver}
	m.mesh(float64(c.Start))
	m.probeSet(c.Probes)
	type load struct {
		name   string
		stage  int
		cells  []int
		values []float64
	}
	var loads []load
	at := 0.0
	var stages []stage
	for n, e := range c.Events {
		b, ok := e.(Bead)
		if !ok {
			w := float64(e.(Wait).Until.For)
			dt := waitDt
			if n == len(c.Events)-1 {
				dt = coolDt
			}
			stages = append(stages, stage{w, dt})
			at += w
			continue
		}
		a := newArc(r.s, &b)
		length := b.length() / float64(b.Speed)
		stages = append(stages, stage{length, arcDt})
		const sample = 0.25
		k := int(math.Round(length / sample))
		table := map[int][]float64{} // by slab, by sample
		cells := map[int][]int{}
		shape := map[int]map[int]float64{}
		for i := 0; i <= k; i++ {
			p := float64(b.Speed) * length * float64(i) / float64(k)
			for _, q := range a.heats(p, p) {
				x, _, _ := r.s.g.ijk(int(q.cell))
				if table[x] == nil {
					table[x], shape[x] = make([]float64, k+1), map[int]float64{}
				}
				table[x][i] += q.share
				shape[x][int(q.cell)] = max(shape[x][int(q.cell)], q.share)
			}
		}
		for x := range r.s.g.n[0] {
			if table[x] == nil {
				continue
			}
			total := 0.0
			for c := range r.s.state {
				if v, ok := shape[x][c]; ok {
					cells[x] = append(cells[x], c)
					total += v
				}
			}
			name := fmt.Sprintf("A%dX%d", n, x)
			fmt.Fprintf(&m.out, "*AMPLITUDE, NAME=%s, TIME=TOTAL TIME\n0., 0.\n", name)
			if at > 0 {
				fmt.Fprintf(&m.out, "%.9g, 0.\n", at-1e-4)
			}
			for i, v := range table[x] {
				// the program takes the amplitude at the end of an increment: half of
				// one later is its mean
				time := at + length*float64(i)/float64(k) + arcDt/2
				if time > at+length+1e-6 {
					break
				}
				fmt.Fprintf(&m.out, "%.9g, %.9g\n", time, v)
			}
			fmt.Fprintf(&m.out, "%.9g, 0.\n1.E6, 0.\n", at+length+1e-4)
			l := load{name: name, stage: n, cells: cells[x]}
			for _, c := range l.cells {
				i, j, kk := r.s.g.ijk(c)
				l.values = append(l.values, float64(b.Power)*shape[x][c]/total/r.s.volume(i, j, kk))
			}
			loads = append(loads, l)
		}
		at += length
	}
	for i, st := range stages {
		m.step(st)
		if i == 0 {
			m.surfaces()
		}
		fmt.Fprintln(&m.out, "*DFLUX, OP=NEW") // the program takes one amplitude of a brick in a step
		for _, l := range loads {
			if l.stage != i {
				continue
			}
			fmt.Fprintf(&m.out, "*DFLUX, AMPLITUDE=%s\n", l.name)
			for k, c := range l.cells {
				fmt.Fprintf(&m.out, "%d, BF, %.9g\n", c+1, l.values[k])
			}
		}
		m.stepEnd()
	}
	return m, c.Probes
}
