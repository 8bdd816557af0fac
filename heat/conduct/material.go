package conduct

// A Material is one table Θ(H) made from conductivity and specific heat:
//
//	H(T) = ρ·∫c dT        J/m³, from 20 °C
//	Θ(T) = ∫k dT          W/m,  from 20 °C
//
// in equal steps of H, straight in between, so that dH/dΘ of a step is exact
// for the table and the sum of H is the energy to the last bit.

import (
	"fmt"
	"math"
	"sort"

	q "soundmetal/quantity"
)

const (
	// tableBins is the number of equal enthalpy steps: about 3 K each below
	// 600 °C and 0.4 K at the peak of the specific heat.
	tableBins = 1024
	tableLow  = -100.0 // °C
	tableHigh = 2200.0 // °C
	refTemp   = 20.0   // °C, where H and Θ are 0
)

// bin is one step of the table as the update of a cell reads it.
type bin struct {
	a     float64 // Θ = a + slope·H, W/m
	slope float64 // dΘ/dH, m²/s
	m     float64 // dH/dΘ
}

// bint is the same step as the surfaces and probes read it.
type bint struct {
	a     float64 // T = a + slope·H, °C
	slope float64 // dT/dH
	k     float64 // dΘ/dT, W/(m·K)
	t     float64 // T at the low end
}

// Material is a steel as far as heat goes. Make one with Carbon, Uniform or
// FromTable; it does not change afterwards and may be shared.
type Material struct {
	name    string
	density float64
	c, k    func(t float64) float64 // J/kgK, W/mK
	low     float64                 // H at the low end of bin 0
	width   float64                 // H of one bin
	inv     float64                 // 1/width
	hot     []bin
	surf    []bint
}

// Name says which steel this is.
func (m *Material) Name() string { return m.name }

// Density gives the density used at every temperature.
func (m *Material) Density() Density { return Density(m.density) }

// Conductivity gives k at a temperature.
func (m *Material) Conductivity(t q.Temperature) Conductivity { return Conductivity(m.k(float64(t))) }

// SpecificHeat gives c at a temperature.
func (m *Material) SpecificHeat(t q.Temperature) SpecificHeat { return SpecificHeat(m.c(float64(t))) }

// Diffusivity gives k/(ρc) at a temperature.
func (m *Material) Diffusivity(t q.Temperature) q.Diffusivity {
	return q.Diffusivity(m.k(float64(t)) / (m.density * m.c(float64(t))))
}

// Enthalpy gives the heat needed from 20 °C to t.
func (m *Material) Enthalpy(t q.Temperature) SpecificEnthalpy {
	return SpecificEnthalpy(m.enthalpy(float64(t)) / m.density)
}

// index finds the bin of an enthalpy; the end bins reach on without limit.
func (m *Material) index(h float64) int {
	i := int((h - m.low) * m.inv)
	return min(max(i, 0), len(m.hot)-1)
}

func (m *Material) temp(h float64) float64 {
	b := &m.surf[m.index(h)]
	return b.a + b.slope*h
}

func (m *Material) theta(h float64) float64 {
	b := &m.hot[m.index(h)]
	return b.a + b.slope*h
}

// enthalpy inverts the table, J/m³.
func (m *Material) enthalpy(t float64) float64 {
	i := sort.Search(len(m.surf), func(i int) bool { return m.surf[i].t > t }) - 1
	i = max(i, 0)
	return (t - m.surf[i].a) / m.surf[i].slope
}

// enthalpyOf inverts the table by Θ, J/m³.
func (m *Material) enthalpyOf(th float64) float64 {
	last := len(m.hot) - 1
	i := sort.Search(last, func(i int) bool {
		return m.hot[i].a+m.hot[i].slope*(m.low+float64(i+1)*m.width) > th
	})
	return (th - m.hot[i].a) / m.hot[i].slope
}

// thetaOf gives Θ of a temperature.
func (m *Material) thetaOf(t float64) float64 { return m.theta(m.enthalpy(t)) }

// newMaterial tabulates. heat and flow are ∫c dT and ∫k dT from any start.
func newMaterial(name string, density float64, c, k, heat, flow func(float64) float64) *Material {
	m := &Material{name: name, density: density, c: c, k: k}
	h0, f0 := heat(refTemp), flow(refTemp)
	lo, hi := density*(heat(tableLow)-h0), density*(heat(tableHigh)-h0)
	m.low, m.width = lo, (hi-lo)/tableBins
	m.inv = 1 / m.width
	m.hot = make([]bin, tableBins)
	m.surf = make([]bint, tableBins)
	at := func(i int, from float64) float64 { // temperature at edge i, by guarded Newton steps
		want := h0 + (m.low+float64(i)*m.width)/density
		a, b := from, tableHigh
		t := a
		for range 80 {
			miss := heat(t) - want
			if miss < 0 {
				a = t
			} else {
				b = t
			}
			next := t - miss/c(t)
			if !(next > a && next < b) {
				next = (a + b) / 2
			}
			if math.Abs(next-t) < 1e-11*(1+math.Abs(t)) {
				return next
			}
			t = next
		}
		return t
	}
	t, th := tableLow, flow(tableLow)-f0
	for i := range tableBins {
		t1 := at(i+1, t)
		th1 := flow(t1) - f0
		h := m.low + float64(i)*m.width
		sth, st := (th1-th)/m.width, (t1-t)/m.width
		m.hot[i] = bin{a: th - sth*h, slope: sth, m: 1 / sth}
		m.surf[i] = bint{a: t - st*h, slope: st, k: sth / st, t: t}
		t, th = t1, th1
	}
	return m
}

// Uniform makes a material whose properties do not depend on temperature.
func Uniform(k Conductivity, density Density, c SpecificHeat) *Material {
	one := func(v float64) func(float64) float64 { return func(float64) float64 { return v } }
	line := func(v float64) func(float64) float64 { return func(t float64) float64 { return v * t } }
	name := fmt.Sprintf("constant k %.4g W/mK, ρ %.5g kg/m³, c %.4g J/kgK", float64(k), float64(density), float64(c))
	return newMaterial(name, float64(density), one(float64(c)), one(float64(k)), line(float64(c)), line(float64(k)))
}

// Property is one row of a table of properties.
type Property struct {
	T q.Temperature
	K Conductivity
	C SpecificHeat
}

// FromTable makes a material of rows in rising temperature, straight in between
// and held beyond the ends.
func FromTable(name string, density Density, rows []Property) (*Material, error) {
	if len(rows) == 0 {
		return nil, fmt.Errorf("a table of properties needs at least one row")
	}
	t := make([]float64, len(rows))
	c := make([]float64, len(rows))
	k := make([]float64, len(rows))
	for i, r := range rows {
		t[i], c[i], k[i] = float64(r.T), float64(r.C), float64(r.K)
		if !(c[i] > 0 && k[i] > 0) || (i > 0 && !(t[i] > t[i-1])) {
			return nil, fmt.Errorf("row %d of the table of properties: temperature must rise, k and c must be above zero", i+1)
		}
	}
	cf, ch := piecewise(t, c)
	kf, kh := piecewise(t, k)
	return newMaterial(name, float64(density), cf, kf, ch, kh), nil
}

// piecewise gives the straight-line function through (x, y), held at the ends,
// and its integral.
func piecewise(x, y []float64) (value, integral func(float64) float64) {
	sum := make([]float64, len(x))
	for i := 1; i < len(x); i++ {
		sum[i] = sum[i-1] + (x[i]-x[i-1])*(y[i]+y[i-1])/2
	}
	last := len(x) - 1
	value = func(t float64) float64 {
		if t <= x[0] {
			return y[0]
		}
		if t >= x[last] {
			return y[last]
		}
		i := sort.SearchFloat64s(x, t)
		f := (t - x[i-1]) / (x[i] - x[i-1])
		return y[i-1] + f*(y[i]-y[i-1])
	}
	integral = func(t float64) float64 {
		if t <= x[0] {
			return (t - x[0]) * y[0]
		}
		if t >= x[last] {
			return sum[last] + (t-x[last])*y[last]
		}
		i := sort.SearchFloat64s(x, t)
		return sum[i-1] + (t-x[i-1])*(y[i-1]+value(t))/2
	}
	return value, integral
}

// curve is a property of properties.csv: pieces a0+a1·θ+a2·θ²+a3·θ³ + r/(p−θ),
// held at the value of its ends beyond them.
type curve []piece

type piece struct {
	from, to       float64
	a0, a1, a2, a3 float64
	r, p           float64
}

func (s piece) value(t float64) float64 {
	v := s.a0 + t*(s.a1+t*(s.a2+t*s.a3))
	if s.r != 0 {
		v += s.r / (s.p - t)
	}
	return v
}

func (s piece) primitive(t float64) float64 {
	v := t * (s.a0 + t*(s.a1/2+t*(s.a2/3+t*s.a3/4)))
	if s.r != 0 {
		v -= s.r * math.Log(math.Abs(s.p-t))
	}
	return v
}

// at takes the upper piece where two meet: 735 °C is 5000 J/kgK.
func (c curve) at(t float64) float64 {
	last := len(c) - 1
	if t <= c[0].from {
		return c[0].value(c[0].from)
	}
	if t >= c[last].to {
		return c[last].value(c[last].to)
	}
	for _, s := range c {
		if t < s.to {
			return s.value(t)
		}
	}
	return c[last].value(c[last].to)
}

// integral is from the lowest temperature of the curve.
func (c curve) integral(t float64) float64 {
	first, last := c[0], c[len(c)-1]
	if t <= first.from {
		return (t - first.from) * first.value(first.from)
	}
	sum := 0.0
	for _, s := range c {
		sum += s.primitive(min(t, s.to)) - s.primitive(s.from)
		if t < s.to {
			return sum
		}
	}
	return sum + (t-last.to)*last.value(last.to)
}
