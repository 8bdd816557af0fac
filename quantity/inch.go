package quantity

import (
	"math"
	"strconv"
)

// Inches are printed as on a rule: to the sixteenth where that is close, else to
// the nearest thirty-second, and as a decimal where they are thinner than the
// finest mark and lie on none. (facts of the trade, common practice, no source)
const (
	coarseMark = 1.0 / 16
	fineMark   = 1.0 / 32
	closeTo    = 0.1 / 25.4 // a tenth of a millimetre is close, for one value
	roundShare = 0.05       // for the ends of a range, a twentieth of the value is
	thinSig    = 2          // significant figures below the finest mark
)

// mark gives the nearest mark of a rule, and false where a decimal says it better.
func mark(x, near float64) (at float64, ok bool) {
	size := math.Abs(x)
	if at = RoundTo(size, coarseMark); math.Abs(at-size) <= near*(1+1e-9) && (at > 0 || size == 0) {
		return at, true
	}
	at = RoundTo(size, fineMark)
	return at, size >= coarseMark || at > 0 && math.Abs(at-size) <= closeTo
}

// appendInches writes 3/16, 1-1/2, 12 or 0.012.
func appendInches(b []byte, x, near float64) []byte {
	at, ok := mark(x, near)
	if !ok {
		return appendSig(b, x, thinSig)
	}
	if x < 0 && at > 0 {
		b = append(b, '-')
	}
	whole := math.Floor(at)
	if at-whole == 0 {
		return appendFixed(b, whole, 0)
	}
	if whole > 0 {
		b = append(appendFixed(b, whole, 0), '-')
	}
	over, under := int64((at-whole)/fineMark), int64(1/fineMark)
	for over%2 == 0 {
		over, under = over/2, under/2
	}
	b = strconv.AppendInt(b, over, 10)
	b = append(b, '/')
	return strconv.AppendInt(b, under, 10)
}

// inchesOff is how far appendInches may be off x for a single value.
func inchesOff(x float64) float64 {
	if _, ok := mark(x, closeTo); !ok {
		return math.Pow(10, math.Floor(math.Log10(x))-thinSig+1) / 2 * 1.01
	}
	return max(fineMark/2, closeTo)
}
