package quantity

import (
	"math"
	"math/big"
	"strconv"
)

// Exact prints an SI value in the unit named with the fewest digits that Read
// turns into the same float64 again; "" is the first unit of the kind. Where an
// offset swallows the value (1e-300 °C in °F) the first unit is used instead.
// An unknown unit is a programmer's error and panics.
func (k Kind) Exact(v float64, unit string) string {
	u := k.mustUnit(unit)
	text, ok := u.digits(v)
	if !ok {
		u = k.mustUnit("")
		text, _ = u.digits(v)
	}
	return text + u.glue()
}

// digits finds the shortest figure of the unit that gives v back.
func (u *Unit) digits(v float64) (string, bool) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', -1, 64), true
	}
	x := u.From(v)
	for sig := 15; sig <= floatDigits; sig++ {
		if y := roundSig(x, sig); u.SI(y) == v {
			return shortest(y), true
		}
	}
	for _, y := range [...]float64{math.Nextafter(x, math.Inf(-1)), math.Nextafter(x, math.Inf(1))} {
		if u.SI(y) == v {
			return shortest(y), true
		}
	}
	// No float64 of this unit lands on v: more digits, which Read converts exactly.
	const most = 40
	exact := new(big.Rat).SetFloat64(v)
	exact.Quo(exact, u.exact).Add(exact, u.exactOffset)
	wide := new(big.Float).SetPrec(most * 4).SetRat(exact)
	for sig := floatDigits + 2; sig <= most; sig++ {
		text := wide.Text('e', sig-1)
		if size := math.Abs(x); size >= 1e-4 && size < 1e15 {
			text = exact.FloatString(max(0, decimals(size, sig)))
		}
		if f, rest, why := takeNumber(text); why == "" && rest == "" && f.long && u.of(f) == v {
			return text, true
		}
	}
	return "", false
}

// shortest writes x plainly where it is of a size that people write out.
func shortest(x float64) string {
	if size := math.Abs(x); size != 0 && (size < 1e-5 || size >= 1e15) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	if x == 0 {
		return "0"
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
