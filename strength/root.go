package strength

import (
	"errors"
	"math"
)

var errNoRoot = errors.New("no change of sign in the interval")

// brent finds x in [a, b] with f(x) = 0 to an absolute tolerance. f(a) and f(b)
// must differ in sign. Inverse quadratic steps, secant steps, and halving
// wherever these do not keep up.
//
// Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973),
// chapter 4, from memory. gonum has no scalar root finder.
func brent(f func(float64) float64, a, b, tolerance float64) (float64, error) {
	fa, fb := f(a), f(b)
	if math.IsNaN(fa) || math.IsNaN(fb) || fa*fb > 0 {
		return math.NaN(), errNoRoot
	}
	c, fc := a, fa
	d := b - a
	e := d
	for range 200 { // halving alone needs fewer than 110 for any double
		if fb*fc > 0 { // keep the root between b and c
			c, fc = a, fa
			d = b - a
			e = d
		}
		if math.Abs(fc) < math.Abs(fb) { // b is the best so far
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		tol := 2*0x1p-52*math.Abs(b) + tolerance/2
		half := (c - b) / 2
		if math.Abs(half) <= tol || fb == 0 {
			return b, nil
		}
		if math.Abs(e) < tol || math.Abs(fa) <= math.Abs(fb) {
			d, e = half, half
		} else {
			s := fb / fa
			var p, r float64
			if a == c { // secant
				p, r = 2*half*s, 1-s
			} else { // inverse quadratic
				u, v := fa/fc, fb/fc
				p = s * (2*half*u*(u-v) - (b-a)*(v-1))
				r = (u - 1) * (v - 1) * (s - 1)
			}
			if p > 0 {
				r = -r
			}
			p = math.Abs(p)
			if 2*p < math.Min(3*half*r-math.Abs(tol*r), math.Abs(e*r)) {
				e, d = d, p/r
			} else {
				d, e = half, half
			}
		}
		a, fa = b, fb
		if math.Abs(d) > tol {
			b += d
		} else {
			b += math.Copysign(tol, half)
		}
		fb = f(b)
	}
	return b, nil
}
