package diffuse

// The slab in closed form: thickness L, both faces at zero, even at the start,
// Fo = D·t/L² (Crank, The mathematics of diffusion, 4.3).
//
//	mean   = (8/π²)·Σ exp(−(2n+1)²π²Fo)/(2n+1)²
//	centre = (4/π)·Σ (−1)ⁿ·exp(−(2n+1)²π²Fo)/(2n+1)
//
// One face sealed: the slab is half of one of twice the thickness. A rectangle is
// the product of two slabs.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Mean is what is left of the whole at a Fourier number.
func Mean(fo q.Ratio) q.Ratio {
	if fo <= 0 {
		return 1
	}
	if fo < 0.01 { // the series is slow: loss from two half-spaces
		return q.Ratio(1 - 4*math.Sqrt(float64(fo)/math.Pi))
	}
	s := 0.0
	for n := 0; n < 60; n++ {
		m := float64(2*n + 1)
		s += math.Exp(-m*m*math.Pi*math.Pi*float64(fo)) / (m * m)
	}
	return q.Ratio(8 / (math.Pi * math.Pi) * s)
}

// Centre is what is left in the middle at a Fourier number.
func Centre(fo q.Ratio) q.Ratio {
	if fo < 0.005 {
		return 1
	}
	s, sign := 0.0, 1.0
	for n := 0; n < 60; n++ {
		m := float64(2*n + 1)
		s += sign * math.Exp(-m*m*math.Pi*math.Pi*float64(fo)) / m
		sign = -sign
	}
	return q.Ratio(4 / math.Pi * s)
}

// fourier inverts a falling function of Fo.
func fourier(f func(q.Ratio) q.Ratio, left q.Ratio) float64 {
	lo, hi := 0.0, 10.0
	for range 80 {
		mid := (lo + hi) / 2
		if f(q.Ratio(mid)) > left {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Left is a band of what is left: Low belongs to the fast side.
type Left struct {
	Mean   q.Of[q.Ratio]
	Centre q.Of[q.Ratio]
}

// Slab gives what is left in an evenly charged slab after a time at a
// temperature. sealed: hydrogen leaves by one face only.
func Slab(thickness q.Length, t q.Temperature, time q.Time, sealed bool) (source.Result[Left], error) {
	const id = "hydrogen-slab"
	d, err := Diffusivity(t)
	if err != nil {
		return source.Result[Left]{}, err
	}
	if !(thickness > 0) || time < 0 {
		return source.Result[Left]{}, fmt.Errorf("a slab needs a thickness above zero and a time of zero or more")
	}
	l := float64(thickness)
	if sealed {
		l *= 2
	}
	fo := float64(d.Value.High) * float64(time) / (l * l)
	slow := fo * slowFactor
	v := Left{
		Mean:   q.Span(Mean(q.Ratio(fo)), Mean(q.Ratio(slow))),
		Centre: q.Span(Centre(q.Ratio(fo)), Centre(q.Ratio(slow))),
	}
	return source.Result[Left]{Value: v, Basis: source.Basis{
		Method: id, Title: "Hydrogen left in an evenly charged slab",
		Formula: "Fo = D·t/L²; mean = (8/π²)·Σ exp(−(2n+1)²π²Fo)/(2n+1)²",
		Inputs: []source.Input{
			{Name: "L", Text: fmt.Sprintf("%.4g mm", thickness.MM())}, {Name: "T", Text: fmt.Sprintf("%.4g °C", t.C())},
			{Name: "t", Text: fmt.Sprintf("%.4g h", time.Hours())},
		},
		Steps: []source.Step{
			{Name: "D, fast side", Value: float64(d.Value.High), Unit: "m²/s"},
			{Name: "Fo", With: fmt.Sprintf("%.4g × %.4g / %.4g²", float64(d.Value.High), float64(time), l), Value: fo, Unit: "1"},
			{Name: "mean left, fast side", Value: float64(v.Mean.Low), Unit: "1"},
			{Name: "mean left, slow side", Formula: "with Fo/5", Value: float64(v.Mean.High), Unit: "1"},
			{Name: "centre left, fast side", Value: float64(v.Centre.Low), Unit: "1"},
		},
		Ref: source.At("crank", "4.3", source.Derived), Also: d.Basis.Also,
		Notes: []string{"the whole thickness charged evenly: the hydrogen of a weld is local and its peak falls sooner"},
		Why:   "time grows with the square of the thickness, site rules with the thickness",
		Skip:  "a thick part is thought clean when only its skin is",
	}}, nil
}

// TimeToMean gives the band of time until an evenly charged slab has a part left.
func TimeToMean(thickness q.Length, t q.Temperature, left q.Ratio, sealed bool) (source.Result[q.Of[q.Time]], error) {
	const id = "hydrogen-slab-time"
	if err := source.InRange(id, "part left", float64(left), 1e-6, 0.999, "1", ""); err != nil {
		return source.Result[q.Of[q.Time]]{}, err
	}
	d, err := Diffusivity(t)
	if err != nil {
		return source.Result[q.Of[q.Time]]{}, err
	}
	if !(thickness > 0) {
		return source.Result[q.Of[q.Time]]{}, fmt.Errorf("a slab needs a thickness above zero")
	}
	l := float64(thickness)
	if sealed {
		l *= 2
	}
	fo := fourier(Mean, left)
	quick := fo * l * l / float64(d.Value.High)
	return source.Result[q.Of[q.Time]]{Value: q.Span(q.Time(quick), q.Time(quick/slowFactor)), Basis: source.Basis{
		Method: id, Title: "Time until an evenly charged slab has lost its hydrogen",
		Formula: "t = Fo·L²/D with mean(Fo) = part left",
		Inputs: []source.Input{{Name: "L", Text: fmt.Sprintf("%.4g mm", thickness.MM())}, {Name: "T", Text: fmt.Sprintf("%.4g °C", t.C())},
			{Name: "part left", Text: fmt.Sprintf("%.4g", float64(left))}},
		Steps: []source.Step{
			{Name: "Fo", Value: fo, Unit: "1"},
			{Name: "time, fast side", With: fmt.Sprintf("%.4f × %.4g² / %.4g", fo, l, float64(d.Value.High)), Value: quick / 3600, Unit: "h"},
			{Name: "time, slow side", Value: quick / slowFactor / 3600, Unit: "h"},
		},
		Ref: source.At("crank", "4.3", source.Derived), Also: d.Basis.Also,
		Why:  "time grows with the square of the thickness, site rules with the thickness",
		Skip: "one hour an inch is taken for a bake-out, which it is not",
	}}, nil
}
