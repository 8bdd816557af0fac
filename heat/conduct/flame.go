package conduct

// The flame: a bell of revolution of flux on the surface it looks at,
//
//	q″ = ηP/(πr²)·exp(−ρ²/r²)
//
// integrated over each cell's face by error functions, so that a coarse grid
// gets the same heat as a fine one, and averaged over the stretch of the path
// that a step covers. What falls past an edge of the part is lost.

import (
	_ "embed"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed flames.csv
var flamesCSV string

// Flame is one kind of torch: ranges of its efficiency, gross power and size.
type Flame struct {
	ID         string
	Efficiency q.Ratio // default
	Range      q.Of[q.Ratio]
	Gross      q.Of[q.Power]
	Radius     q.Length
	Text       string
	Ref        source.Ref
}

var flames = mustFlames(flamesCSV)

func mustFlames(text string) map[string]Flame {
	all := map[string]Flame{}
	for _, r := range source.Table("conduct/flames.csv", text) {
		all[r.Text("id")] = Flame{
			ID: r.Text("id"), Efficiency: q.Ratio(r.Num("efficiency")), Range: q.Span(q.Ratio(r.Num("low")), q.Ratio(r.Num("high"))),
			Gross:  q.Span(q.Power(r.Num("gross_low_kw"))*q.Kilowatt, q.Power(r.Num("gross_high_kw"))*q.Kilowatt),
			Radius: q.Length(r.Num("radius_mm")) * q.Millimetre, Text: r.Text("text"), Ref: r.Ref(),
		}
	}
	return all
}

// anyFlame is the row with the bounds of a calibration: no kind of torch.
const anyFlame = "any"

// FlameOf gives the row of a kind of torch: air-propane, oxy-propane or
// oxy-acetylene.
func FlameOf(kind string) (Flame, bool) {
	f, ok := flames[kind]
	return f, ok && kind != anyFlame
}

// burner lays a torch's heat on the cells.
type burner struct {
	s       *solver
	t       *Torch
	column  []int32 // cell whose face meets the flame, by the two coordinates across it
	u, v    int     // axes of the surface
	length  float64 // of the path
	at      []float64
	wu, wv  []float64
	sum     []float64
	into    []heat
	missing float64 // part of the flame past the edges, of the last laying
	even    bool    // into is the whole path and stays so
}

// newBurner finds the surface under the flame.
func newBurner(s *solver, t *Torch) *burner {
	axis, up := t.Face.axis()
	b := &burner{s: s, t: t, u: (axis + 1) % 3, v: (axis + 2) % 3}
	if b.u > b.v {
		b.u, b.v = b.v, b.u
	}
	g := s.g
	nu, nv := g.n[b.u], g.n[b.v]
	b.column = make([]int32, nu*nv)
	level := t.Path[0].xyz()[axis]
	for j := range nv {
		for i := range nu {
			var at [3]int
			at[b.u], at[b.v] = i, j
			best, far := int32(-1), math.Inf(1)
			for k := range g.n[axis] {
				at[axis] = k
				c := g.index(at[0], at[1], at[2])
				if !s.solid(c) || !s.exposed(c, t.Face) {
					continue
				}
				edge := k
				if up {
					edge++
				}
				if d := math.Abs(g.edge[axis][edge] - level); d < far {
					best, far = int32(c), d
				}
			}
			b.column[j*nu+i] = best
		}
	}
	b.at = []float64{0}
	for i := 1; i < len(t.Path); i++ {
		p, n := t.Path[i-1].xyz(), t.Path[i].xyz()
		b.length += math.Hypot(n[b.u]-p[b.u], n[b.v]-p[b.v])
		b.at = append(b.at, b.length)
	}
	b.wu, b.wv = make([]float64, nu), make([]float64, nv)
	b.sum = make([]float64, nu*nv)
	b.into = make([]heat, 0, nu*nv)
	return b
}

// power is what reaches the steel, W.
func (b *burner) power() float64 { return float64(b.t.Power) * float64(b.t.Efficiency) }

// heats gives the shares of a step from a to z seconds after lighting.
func (b *burner) heats(a, z float64) []heat {
	if b.even {
		return b.into
	}
	speed := float64(b.t.Speed)
	s0, s1 := 0.0, 2*b.length
	switch {
	case b.length == 0:
		b.even = true
	case speed == 0 || speed*(z-a) >= 8*b.length:
		b.even = speed == 0
	default:
		s0, s1 = speed*a, speed*z
	}
	clear(b.sum)
	r := float64(b.t.Radius)
	n := 1
	if b.length > 0 {
		n = max(1, int(math.Ceil((s1-s0)/(0.5*r))))
	}
	for i := range n {
		b.lay(s0+(s1-s0)*(float64(i)+0.5)/float64(n), r, 1/float64(n))
	}
	b.into = b.into[:0]
	total := 0.0
	for i, w := range b.sum {
		if w > 1e-9 {
			b.into = append(b.into, heat{b.column[i], w})
			total += w
		}
	}
	b.missing = 1 - total
	return b.into
}

// lay adds the bell at path length p, to and fro.
func (b *burner) lay(p, r, share float64) {
	pu, pv := b.place(p)
	g := b.s.g
	bell(b.wu, g.edge[b.u], pu, r, b.u == 0 && b.s.halfX || b.u == 1 && b.s.halfY)
	bell(b.wv, g.edge[b.v], pv, r, b.v == 1 && b.s.halfY)
	nu := len(b.wu)
	for j, wv := range b.wv {
		if wv < 1e-9 {
			continue
		}
		w := wv * share
		col := b.column[j*nu:][:nu]
		sum := b.sum[j*nu:][:nu]
		for i, wu := range b.wu {
			if col[i] >= 0 {
				sum[i] += w * wu
			}
		}
	}
}

func (b *burner) place(p float64) (u, v float64) {
	path := b.t.Path
	if b.length == 0 {
		x := path[0].xyz()
		return x[b.u], x[b.v]
	}
	p = math.Mod(p, 2*b.length)
	if p > b.length {
		p = 2*b.length - p
	}
	i := 1
	for i < len(b.at)-1 && b.at[i] < p {
		i++
	}
	f := 0.0
	if d := b.at[i] - b.at[i-1]; d > 0 {
		f = (p - b.at[i-1]) / d
	}
	x, y := path[i-1].xyz(), path[i].xyz()
	return x[b.u] + f*(y[b.u]-x[b.u]), x[b.v] + f*(y[b.v]-x[b.v])
}

// bell gives the share of exp(−(x−at)²/r²) in each cell. In half a body the
// flame is the mean of itself and its mirror image, so that half of its heat
// falls on the half.
func bell(w, edge []float64, at, r float64, half bool) {
	last := 0.5 * math.Erf((edge[0]-at)/r)
	for i := range w {
		next := 0.5 * math.Erf((edge[i+1]-at)/r)
		w[i] = next - last
		last = next
	}
	if !half {
		return
	}
	last = 0.5 * math.Erf((edge[0]+at)/r)
	for i := range w {
		next := 0.5 * math.Erf((edge[i+1]+at)/r)
		w[i] = (w[i] + next - last) / 2
		last = next
	}
}
