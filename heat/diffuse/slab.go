package diffuse

// The slab in closed form: thickness L, both faces at zero, even at the start,
// Fo = D·t/L² (Crank, The mathematics of diffusion, 4.3).
//
//	mean   = (8/π²)·Σ exp(−(2n+1)²π²Fo)/(2n+1)²
//	centre = (4/π)·Σ (−1)ⁿ·exp(−(2n+1)²π²Fo)/(2n+1)
//
// One face sealed: the slab is half of one of twice the thickness. A rectangle is
// the product of two slabs. Package heat makes its method of it; here it checks
// the finite volumes.

import "math"

// SlabMean is the part left of the whole.
func SlabMean(fo float64) float64 {
	if fo < 1e-3 { // the series converges slowly there; this is exact to 1e-100
		return 1 - 4*math.Sqrt(fo/math.Pi)
	}
	sum := 0.0
	for n := 0; ; n++ {
		m := float64(2*n + 1)
		term := math.Exp(-m*m*math.Pi*math.Pi*fo) / (m * m)
		sum += term
		if term < 1e-16 {
			return 8 / (math.Pi * math.Pi) * sum
		}
	}
}

// SlabCentre is the part left in the middle.
func SlabCentre(fo float64) float64 {
	if fo < 1e-3 {
		return 1 - 2*math.Erfc(1/(4*math.Sqrt(fo)))
	}
	sum, sign := 0.0, 1.0
	for n := 0; ; n++ {
		m := float64(2*n + 1)
		term := math.Exp(-m*m*math.Pi*math.Pi*fo) / m
		sum += sign * term
		sign = -sign
		if term < 1e-16 {
			return 4 / math.Pi * sum
		}
	}
}

// FourierFor is the Fo at which f (falling from 1 to 0) has come down to left.
func FourierFor(f func(float64) float64, left float64) float64 {
	low, high := 0.0, 1.0
	for f(high) > left {
		high *= 2
	}
	for range 100 {
		if mid := (low + high) / 2; f(mid) > left {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
