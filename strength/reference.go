package strength

// Method:   reference stress: how near the rest of the section is to yielding, per unit stress
// Formula:  through: 1/(1 - 2a/W)
//           edge, free to rotate: 1/n with n² + 2xn - (1-x)² = 0, x = a/W: the pull acts a/2 off
//             the middle of the rest, and N·a/2 = Mp(1 - (N/Np)²) on the rest (derived)
//           edge, bending: (2/3)/(1-x)² of the elastic bending stress (derived: plastic rest)
//           hole: 1/(1 - (2R + cracks)/W)
//           surface: α″ = (a/t)/(1 + t/c); [Pb + √(Pb² + 9Pm²(1-α″)²)]/[3(1-α″)²]
// Validity: as the stress intensity of the same crack
// Source:   BS 7910 annex P family (through, surface); edge derived

import "math"

func refThrough(a, w float64) float64 { return 1 / (1 - 2*a/w) }

func refEdge(a, w float64) float64 {
	x := a / w
	return 1 / (math.Sqrt(x*x+(1-x)*(1-x)) - x)
}

func refEdgeBending(a, w float64) float64 { return 2.0 / 3 / ((1 - a/w) * (1 - a/w)) }

// refHole takes the plate as wide where the width is not given.
func refHole(cracks, r, w float64) float64 {
	if w <= 0 {
		return 1
	}
	return 1 / (1 - (2*r+cracks)/w)
}

func refSurface(a, c, t, membrane, bending float64) float64 {
	rest := 1 - a/t/(1+t/c)
	return (bending + math.Sqrt(bending*bending+9*membrane*membrane*rest*rest)) / (3 * rest * rest)
}
