package strength

// Method:   lives of a crack from today's length to breaking, by drawing what is not known
// Drawn:    growth constant (lognormal), stress range and cycles in an hour (linked lognormal),
//           stress intensity by hand (lognormal), residual stress and toughness (even over
//           their ranges)
// Formula:  break where (σmax + σres)·k(a) = Kmat·f(Lr); N = ∫da/rate between, by tables of
//           ∫da/k^m that are common to all draws; hours = N/r
// Validity: as growth and fracture
// Source:   BS 7910; scatter JCSS; points see draws.go

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mathext"
)

// growthTable holds what all draws share: the geometry on a grid of lengths.
type growthTable struct {
	a, k, ref []float64 // length, K per stress for growth, σref per stress
	kf        []float64 // K per load stress for fracture: the higher of two tips
	kr        []float64 // K per residual stress, which a weld toe does not bend
	i1, i2    []float64 // ∫da/k^m1 and ∫da/k^m2 from the first length
	m1, m2    float64
}

const gridPoints = 160

// newGrid fills lengths from a0 to the end of the range, evenly in ln a.
func newGrid(a0, most float64) []float64 {
	g := make([]float64, gridPoints)
	for i := range g {
		g[i] = a0 * math.Pow(most/a0, float64(i)/(gridPoints-1))
	}
	return g
}

// table makes the growth table of a plain crack.
func (c crack) table(a0 float64, law growthLaw) growthTable {
	t := growthTable{a: newGrid(a0, c.most), m1: law.m1, m2: law.m2}
	for _, a := range t.a {
		t.k, t.ref = append(t.k, c.k(a)), append(t.ref, c.ref(a))
	}
	t.kf, t.kr = t.k, t.k
	t.integrate()
	return t
}

// integrate fills i1 and i2 by Simpson's rule in ln a; k at mid-points by the
// geometric mean, exact for a power of a.
func (t *growthTable) integrate() {
	t.i1, t.i2 = make([]float64, len(t.a)), make([]float64, len(t.a))
	step := func(i int, m float64) float64 {
		if m == 0 {
			return 0
		}
		h := math.Log(t.a[i] / t.a[i-1])
		f := func(a, k float64) float64 { return a * math.Pow(k, -m) }
		return h / 6 * (f(t.a[i-1], t.k[i-1]) + 4*f(math.Sqrt(t.a[i-1]*t.a[i]), math.Sqrt(t.k[i-1]*t.k[i])) + f(t.a[i], t.k[i]))
	}
	for i := 1; i < len(t.a); i++ {
		t.i1[i], t.i2[i] = t.i1[i-1]+step(i, t.m1), t.i2[i-1]+step(i, t.m2)
	}
}

// reach finds the share of the grid at which a rising column reaches v.
func reach(column []float64, v float64) float64 {
	n := len(column)
	switch {
	case v <= column[0]:
		return 0
	case v >= column[n-1]:
		return float64(n - 1)
	}
	i := sort.SearchFloat64s(column, v)
	return float64(i-1) + (v-column[i-1])/(column[i]-column[i-1])
}

// at reads a column at a share of the grid.
func at(column []float64, x float64) float64 {
	i := int(x)
	if i >= len(column)-1 {
		return column[len(column)-1]
	}
	return column[i] + (x-float64(i))*(column[i+1]-column[i])
}

// cycles between the start of the grid and a share x of it, at a range whose
// logarithm is given.
func (t growthTable) cycles(x, logDS float64, l growthLaw) float64 {
	b := math.Exp(-t.m2*logDS) / l.a2
	if t.m1 == 0 {
		return at(t.i2, x) * b
	}
	s := math.Min(reach(t.k, l.change()*math.Exp(-logDS)), x) // stage A before it, stage B after
	return at(t.i1, s)*math.Exp(-t.m1*logDS)/l.a1 + (at(t.i2, x)-at(t.i2, s))*b
}

// breaks gives the share of the grid at which the crack breaks: 0 where it is
// over the line today, the end where it stays below.
func (t growthTable) breaks(d *diagram, peak, residual, kmat float64) float64 {
	over := func(i int) float64 {
		return (peak*t.kf[i]+residual*t.kr[i])/kmat - d.quick(peak*t.ref[i]/d.re)
	}
	low, high := 0, len(t.a)-1
	fl := over(low)
	if fl >= 0 {
		return 0
	}
	fh := over(high)
	if fh < 0 {
		return float64(high)
	}
	for high-low > 1 {
		mid := (low + high) / 2
		if f := over(mid); f < 0 {
			low, fl = mid, f
		} else {
			high, fh = mid, f
		}
	}
	return float64(low) + fl/(fl-fh)
}

// drawing is what is drawn for a crack. MPa, N/mm^1.5, cycles an hour.
type drawing struct {
	table          growthTable
	law            growthLaw // mean
	lawSpread      float64
	kSpread        float64
	load           loadModel
	peak           float64 // highest stress; zero: it follows the range drawn
	residual, kmat [2]float64
	d              *diagram
	draws          int
	seed           uint64
}

// drawn holds what the draws left: the growth constant and the part of the rate
// that is not linked to the range scale every life alike, so they are not drawn
// but added as a normal spread of ln T around each draw's centre.
type drawn struct {
	centres []float64 // ln of hours, sorted; without the broken ones
	broken  float64   // share of draws over the line today
	spread  float64
}

// lives draws the lives.
func (g drawing) lives() drawn {
	points := newPoints(4, g.seed)
	peakOverRange := fig("peak_over_range")
	sx := math.Sqrt(g.load.vx)
	along, rest := 0.0, math.Sqrt(g.load.vr)
	if sx > 0 {
		along = g.load.cov / sx
		rest = math.Sqrt(math.Max(0, g.load.vr-along*along))
	}
	o := drawn{centres: make([]float64, 0, g.draws), spread: math.Hypot(g.lawSpread, rest)}
	for range g.draws {
		u := points.next()
		zx := mathext.NormalQuantile(u[0])
		logDS := g.load.x + sx*zx
		hand := g.kSpread * mathext.NormalQuantile(u[1]) // error of K by hand
		residual := g.residual[0] + u[2]*(g.residual[1]-g.residual[0])
		kmat := g.kmat[0] + u[3]*(g.kmat[1]-g.kmat[0])
		peak := g.peak
		if peak == 0 {
			peak = math.Exp(logDS) * peakOverRange
		}
		x := g.table.breaks(g.d, peak, residual, kmat)
		if x == 0 {
			continue
		}
		n := g.table.cycles(x, logDS+hand, g.law)
		o.centres = append(o.centres, math.Log(n)-g.load.r-along*zx)
	}
	o.broken = 1 - float64(len(o.centres))/float64(g.draws)
	slices.Sort(o.centres)
	return o
}

// failed is the probability that it breaks before t hours.
func (o drawn) failed(logT float64) float64 {
	if o.spread == 0 {
		i, _ := slices.BinarySearch(o.centres, logT)
		return o.broken + (1-o.broken)*float64(i)/float64(len(o.centres))
	}
	// centres further than 6 spreads away are certain or out of the question
	low, _ := slices.BinarySearch(o.centres, logT-6*o.spread)
	high, _ := slices.BinarySearch(o.centres, logT+6*o.spread)
	sum := float64(low)
	for _, c := range o.centres[low:high] {
		sum += normalCDF((logT - c) / o.spread)
	}
	return o.broken + (1-o.broken)*sum/float64(len(o.centres))
}

// quantile is the hours before which a share p breaks; zero where more than
// that is over the line today.
func (o drawn) quantile(p float64) float64 {
	if o.broken >= p || len(o.centres) == 0 {
		return 0
	}
	low, high := o.centres[0]-8*o.spread-1, o.centres[len(o.centres)-1]+8*o.spread+1
	t, err := brent(func(x float64) float64 { return o.failed(x) - p }, low, high, 1e-4)
	if err != nil {
		panic("strength: life quantile not bracketed") // failed runs from broken to 1
	}
	return math.Exp(t)
}
