package strength

// Method:   life at a risk, of a repair with several places that may crack
// Symbols:  place i: class FATi, share ratio_i of the range at the crack's line, slope mi
// Formula:  ln Ti = ln ref + mi·ln(FATi·factor/ratio_i) - mi·ln Δσ - ln r + s·z; P(T < t) = 1 - E[Π P(Ti > t)]
//           s² = s_N² + s_D² (S-N scatter and Miner sum); ln Δσ and ln r common to all places.
//           Places of one slope feel them as one common quantity; one place of another slope feels
//           part of it and has the rest for itself, which is exact as long as it is the only one
// Validity: as the S-N curves; below 1e4 cycles only an order of size
// Source:   derived; scatter BS 7608 and JCSS; trapezium rule over the common quantity, Brent for t

import (
	"math"

	q "soundmetal/quantity"
)

// place is one spot that may crack, under a share of the range at the crack's line.
type place struct {
	name  string
	fat   float64 // MPa, on its own stress
	ratio float64 // its range over the range at the crack's line
	shear bool    // slope 5 about 2e6
}

// Life is a life with its risk. Hours are zero where the load is not known; the
// shares of the life the part had are zero where that is not known.
type Life struct {
	Median q.Time  `json:"median"`
	Risk5  q.Time  `json:"risk_5"` // one of twenty is shorter
	Risk1  q.Time  `json:"risk_1"` // one of a hundred is shorter
	Times  float64 `json:"times"`  // median over the life the part had
	Times5 float64 `json:"times_5"`
	Spread Spread  `json:"spread"` // of the life of the first place alone
}

// life gives the life of the first of several places to crack, and what governs.
func (l Load) life(places []place) (Life, string) {
	median, risk5, risk1, spread, governs := lifeOf(l, places)
	o := Life{Spread: Spread(spread)}
	if l.had > 0 {
		o.Times, o.Times5 = median/l.had, risk5/l.had
	}
	if l.Known {
		o.Median, o.Risk5, o.Risk1 = q.Time(median)*q.Hour, q.Time(risk5)*q.Hour, q.Time(risk1)*q.Hour
	}
	return o, governs
}

// lifeOf gives the life of the first of several places to crack, and the place
// that governs at 5 % risk. Lives are in the unit of the load (hours).
func lifeOf(l Load, places []place) (median, risk5, risk1, spread float64, governs string) {
	median, risk5, risk1 = math.Inf(1), math.Inf(1), math.Inf(1)
	for _, m := range l.models {
		a := newSpots(m, l, places)
		median = math.Min(median, a.quantile(0.5))
		risk1 = math.Min(risk1, a.quantile(0.01))
		if t := a.quantile(0.05); t < risk5 {
			risk5, governs = t, a.first(math.Log(t))
			spread = a.spots[0].total
		}
	}
	return median, risk5, risk1, spread, governs
}

// spots are places ready for the integral: ln T = mean + common·u + own·z, u shared.
type spots struct {
	spots         []spot
	nodes, weight []float64
}

type spot struct {
	name                     string
	mean, common, own, total float64
}

// The trapezium rule on the normal density is exact to many figures at this
// step, because density and integrand are smooth and die out (Trefethen and
// Weideman 2014, from memory).
const (
	nodeStep = 0.375
	nodeMost = 6.0
)

func newSpots(m loadModel, l Load, places []place) spots {
	var a spots
	for z := -nodeMost; z <= nodeMost; z += nodeStep {
		a.nodes = append(a.nodes, z)
		a.weight = append(a.weight, nodeStep*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi))
	}
	life, miner := fig("sn_sd")*math.Ln10, math.Sqrt(math.Log1p(math.Pow(fig("miner_cov"), 2)))
	own := math.Hypot(life, miner)
	sx := math.Sqrt(m.vx)
	along, rest := 0.0, math.Sqrt(m.vr)
	if sx > 0 {
		along = m.cov / sx
		rest = math.Sqrt(math.Max(0, m.vr-along*along))
	}
	// the common quantity is that of the slope of the load: its share of ln Δσ and of ln r
	d1, d2 := m.m*sx+along, rest
	if all := math.Hypot(d1, d2); all > 0 {
		d1, d2 = d1/all, d2/all
	}
	for _, p := range places {
		slope, ref, factor := m.m, m.ref, m.factor
		if p.shear {
			if !l.Known {
				continue // a slope of its own needs the range in MPa
			}
			slope, ref = 5, fig("sn_reference")
			factor = math.Pow(10, 2*fig("sn_sd")/slope)
		}
		c1, c2 := slope*sx+along, rest
		common := c1*d1 + c2*d2
		s := spot{name: p.name, mean: math.Log(ref) + slope*(math.Log(p.fat*factor/p.ratio)-m.x) - m.r,
			common: -common, own: math.Hypot(own, c1*d2-c2*d1)}
		s.total = math.Hypot(s.common, s.own)
		a.spots = append(a.spots, s)
	}
	return a
}

// failed is the probability that a place has cracked before t.
func (a spots) failed(logT float64) float64 {
	if len(a.spots) == 1 {
		return normalCDF((logT - a.spots[0].mean) / a.spots[0].total)
	}
	var sum float64
	for i, u := range a.nodes {
		alive := 1.0
		for _, s := range a.spots {
			alive *= normalCDF(-(logT - s.mean - s.common*u) / s.own)
		}
		sum += a.weight[i] * (1 - alive)
	}
	return sum
}

// quantile is the time before which a share p has cracked.
func (a spots) quantile(p float64) float64 {
	low, high := math.Inf(1), math.Inf(1)
	for _, s := range a.spots {
		low = math.Min(low, s.mean-6*s.total)
		high = math.Min(high, s.mean+4*s.total)
	}
	t, err := brent(func(x float64) float64 { return a.failed(x) - p }, low, high, 1e-5)
	if err != nil {
		panic("strength: life quantile not bracketed") // p lies between 1e-8 and 1 - 3e-5 by construction
	}
	return math.Exp(t)
}

// first names the place most likely to have cracked by then.
func (a spots) first(logT float64) string {
	name, worst := "", -1.0
	for _, s := range a.spots {
		if p := normalCDF((logT - s.mean) / s.total); p > worst {
			name, worst = s.name, p
		}
	}
	return name
}

func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
