package power

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// The way of the return current: bodies joined by contact resistances, the arc
// on one of them, the work clamp on another.
//
// Method: nodal analysis. With the body of the clamp at zero volts the
// conductances make a symmetric positive definite matrix (the reduced Laplacian
// of the network); G·v = i is solved by Cholesky and refined once; the current
// in each contact is (v_a − v_b)/R. Bodies that hang on nothing carry nothing.
// Validity: direct current, contacts as constant resistances of 1e-9 to 1e6 ohm.
// Source: Kirchhoff's laws; any textbook of circuits.

// Flow is the current in one edge, positive from A to B.
type Flow struct {
	Edge
	Current q.Current
}

// Solution is a solved network.
type Solution struct {
	Flows      []Flow
	Volts      []Potential
	Resistance q.Resistance // between source and sink
	Across     q.Voltage
	Residual   q.Current // largest breach of Kirchhoff's current law
}

// Potential is the voltage of one body against the sink.
type Potential struct {
	Body  string
	Volts q.Voltage
}

// circuit is a network with numbered bodies.
type circuit struct {
	names []string
	ends  [][2]int
}

func newCircuit(ends [][2]string) circuit {
	var c circuit
	index := map[string]int{}
	number := func(name string) int {
		i, ok := index[name]
		if !ok {
			i = len(c.names)
			index[name] = i
			c.names = append(c.names, name)
		}
		return i
	}
	for _, e := range ends {
		c.ends = append(c.ends, [2]int{number(e[0]), number(e[1])})
	}
	return c
}

func (c circuit) body(name string) (int, bool) {
	i := slices.Index(c.names, name)
	return i, i >= 0
}

// grounded is a circuit with its conductances, factored with one body at zero volts.
type grounded struct {
	circuit
	ground int
	g      []float64 // conductance of each end, 0: open
	at     []int     // body → row of the matrix; -1: ground, -2: not joined to it
	rows   int
	matrix *symmetric
}

// factor prepares the circuit for one set of conductances.
func (c circuit) factor(g []float64, ground int) (*grounded, bool) {
	f := &grounded{circuit: c, ground: ground, g: g, at: make([]int, len(c.names))}
	for i := range f.at {
		f.at[i] = -2
	}
	// the bodies that the ground reaches
	f.at[ground] = -1
	for queue := []int{ground}; len(queue) > 0; {
		here := queue[0]
		queue = queue[1:]
		for k, e := range c.ends {
			if g[k] == 0 || e[0] != here && e[1] != here {
				continue
			}
			if there := e[0] + e[1] - here; f.at[there] == -2 {
				f.at[there] = f.rows
				f.rows++
				queue = append(queue, there)
			}
		}
	}
	if f.rows == 0 {
		return f, true
	}
	f.matrix = newSymmetric(f.rows)
	add := f.matrix.add
	for k, e := range c.ends {
		a, b := f.at[e[0]], f.at[e[1]]
		if g[k] == 0 || a == -2 || b == -2 {
			continue
		}
		if a >= 0 {
			add(a, a, g[k])
		}
		if b >= 0 {
			add(b, b, g[k])
		}
		if a >= 0 && b >= 0 {
			add(a, b, -g[k])
		}
	}
	return f, f.matrix.factor()
}

// solve gives the voltage of every body with the current i fed in at one body.
// ok is false where that body is not joined to the ground.
func (f *grounded) solve(feed int, i float64) (volts []float64, ok bool) {
	volts = make([]float64, len(f.names))
	if feed == f.ground {
		return volts, true
	}
	if f.at[feed] < 0 {
		return nil, false
	}
	rhs := make([]float64, f.rows)
	rhs[f.at[feed]] = i
	v := f.matrix.solve(rhs)
	for row, fix := range f.matrix.solve(f.matrix.lack(rhs, v)) { // one step of refinement
		v[row] += fix
	}
	for b, row := range f.at {
		if row >= 0 {
			volts[b] = v[row]
		}
	}
	return volts, true
}

// inverse prepares many feeds at once: column of a body is its voltages for one
// ampere fed in there. Not refined; for random draws that is ample.
func (f *grounded) inverse() [][]float64 {
	if f.rows == 0 {
		return nil
	}
	return f.matrix.inverse()
}

// solveBy is solve by a prepared inverse.
func (f *grounded) solveBy(inverse [][]float64, feed int, i float64) (volts []float64, ok bool) {
	volts = make([]float64, len(f.names))
	if feed == f.ground {
		return volts, true
	}
	if f.at[feed] < 0 {
		return nil, false
	}
	for b, row := range f.at {
		if row >= 0 {
			volts[b] = i * inverse[f.at[feed]][row]
		}
	}
	return volts, true
}

// currents are the flows for a set of voltages.
func (f *grounded) currents(volts []float64) []float64 {
	flows := make([]float64, len(f.ends))
	for k, e := range f.ends {
		if f.at[e[0]] != -2 && f.at[e[1]] != -2 {
			flows[k] = (volts[e[0]] - volts[e[1]]) * f.g[k]
		}
	}
	return flows
}

// residual is the largest breach of the current law with i fed in at one body.
func (f *grounded) residual(flows []float64, feed int, i float64) float64 {
	sum := make([]float64, len(f.names))
	for k, e := range f.ends {
		sum[e[0]] -= flows[k]
		sum[e[1]] += flows[k]
	}
	if feed != f.ground {
		sum[feed] += i
		sum[f.ground] -= i
	}
	worst := 0.0
	for _, s := range sum {
		worst = max(worst, math.Abs(s))
	}
	return worst
}

// worstResidual is the breach of the current law, as a part of the current, at
// which an answer is thrown away. Networks of real contacts stay below 1e-9.
const worstResidual = 1e-6

// SolveEdges solves a network of known resistances. Method id: network (edges source sink I).
func SolveEdges(edges []Edge, from, to string, i q.Current) (source.Result[Solution], error) {
	var none source.Result[Solution]
	if err := within("network", "current", float64(i)); err != nil {
		return none, err
	}
	if len(edges) == 0 {
		return none, fmt.Errorf("no edges: give at least one, such as a-b:0.5mohm")
	}
	var ends [][2]string
	var g []float64
	for _, e := range edges {
		if e.A == e.B {
			return none, fmt.Errorf("edge %s-%s: both ends are one body", e.A, e.B)
		}
		if !(e.R >= leastOhms && e.R <= mostOhms) {
			return none, &source.OutOfRange{Method: "network", Quantity: "resistance " + e.A + "-" + e.B, Value: float64(e.R), Low: float64(leastOhms), High: float64(mostOhms), Unit: "ohm",
				Instead: "leave an open contact out"}
		}
		ends = append(ends, [2]string{e.A, e.B})
		g = append(g, 1/float64(e.R))
	}
	c := newCircuit(ends)
	src, ok1 := c.body(from)
	dst, ok2 := c.body(to)
	if !ok1 || !ok2 {
		missing := from
		if ok1 {
			missing = to
		}
		return none, fmt.Errorf("body %q stands in no edge; the edges name %v", missing, c.names)
	}
	f, ok := c.factor(g, dst)
	if !ok {
		return none, fmt.Errorf("the network cannot be solved: its resistances lie too far apart")
	}
	volts, ok := f.solve(src, float64(i))
	if !ok {
		return none, fmt.Errorf("no way for the current from %s to %s: the edges do not join them", from, to)
	}
	flows := f.currents(volts)
	v := Solution{Across: q.Voltage(volts[src]), Resistance: q.Resistance(volts[src] / float64(i)), Residual: q.Current(f.residual(flows, src, float64(i)))}
	if float64(v.Residual) > worstResidual*float64(i) {
		return none, fmt.Errorf("the network cannot be solved: its resistances lie too far apart")
	}
	b := source.Basis{
		Method: "network", Title: "Where the welding current runs", Formula: "Kirchhoff: currents into each body add to nothing; I = ΔV/R",
		Inputs: []source.Input{{Name: "network", Text: EdgesText(edges)}, {Name: "arc at", Text: from}, {Name: "clamp at", Text: to}, {Name: "current", Text: ampText(i)}},
		Ref:    source.At("circuit-theory", "nodal analysis", source.Derived),
		Notes:  []string{"Contacts are taken as fixed resistances. A real contact changes with paint, grease and load by a factor of ten and more."},
		Why:    "The current takes every way home, through bearings and rods too, each by its own resistance.",
		Skip:   "Pitted races and dead controllers that show weeks later.",
	}
	for k, e := range edges {
		v.Flows = append(v.Flows, Flow{e, q.Current(flows[k])})
		b.Steps = append(b.Steps, source.Step{Name: e.A + " to " + e.B, Formula: "(V_a − V_b)/R",
			With: fmt.Sprintf("(%s − %s) mV / %s mΩ", short(volts[c.ends[k][0]]*1000), short(volts[c.ends[k][1]]*1000), short(float64(e.R/q.Milliohm))), Value: flows[k], Unit: "A"})
	}
	for n, name := range c.names {
		v.Volts = append(v.Volts, Potential{name, q.Voltage(volts[n])})
	}
	slices.SortFunc(v.Volts, func(a, b Potential) int { return cmp.Compare(a.Body, b.Body) })
	b.Steps = append(b.Steps, source.Step{Name: "resistance from arc to clamp", Value: float64(v.Resistance / q.Milliohm), Unit: "mΩ"},
		source.Step{Name: "voltage from arc to clamp", Value: float64(v.Across), Unit: "V"})
	return source.Result[Solution]{Value: v, Basis: b}, nil
}
