package quantity

import (
	"math/big"
	"strings"
)

// figure is a number as written.
type figure struct {
	x        *big.Rat
	negative bool
	whole    bool     // digits only
	fraction bool     // 3/16 or 1-1/2
	clock    int      // parts of 1:30 or 1:30:00
	long     bool     // more digits than a float64 holds: converted exactly
	or       *big.Rat // the other reading of 1,200
}

// float gives the nearest float64.
func (f figure) float() float64 { v, _ := f.x.Float64(); return v }

const (
	maxText     = 200 // bytes
	maxExponent = 400 // covers every float64
	floatDigits = 17  // a float64 is told apart by so many
)

// takeNumber reads the number at the start of a normal text. why is empty
// where that succeeded, and otherwise a clause for the message.
//
//	12   1.5   .5   3,2   1200.5   1,200.5   1e3   -12   3/16   1-1/2   1 1/2   1:30
func takeNumber(s string) (f figure, rest, why string) {
	start := s
	if s != "" && (s[0] == '-' || s[0] == '+') {
		f.negative = s[0] == '-'
		s = strings.TrimLeft(s[1:], " ")
	}
	n := span(s, "0123456789.,")
	token := s[:n]
	if strings.Trim(token, ".,") == "" {
		return f, start, "no number"
	}
	s = s[n:]
	f.whole = digits(token)
	decimal, other, why := asDecimal(token)
	if why != "" {
		return f, start, why
	}
	f.x, f.or = decimal, other
	f.long = f.or == nil && len(strings.TrimLeft(token, "0.,")) > floatDigits+1 // a mark may be among them

	switch {
	case f.whole:
		if s, why = f.takeFraction(s); why != "" {
			return f, start, why
		}
		if !f.fraction {
			if s, why = f.takeClock(s); why != "" {
				return f, start, why
			}
		}
		if !f.fraction && f.clock == 0 {
			s, why = f.takeExponent(s)
		}
	default:
		s, why = f.takeExponent(s)
	}
	if why != "" {
		return f, start, why
	}
	if f.negative {
		f.x.Neg(f.x)
		if f.or != nil {
			f.or.Neg(f.or)
		}
	}
	return f, strings.TrimLeft(s, " "), ""
}

// takeFraction reads what makes a fraction of a whole number: /16 or -1/2.
func (f *figure) takeFraction(s string) (rest, why string) {
	if over, ok := strings.CutPrefix(strings.TrimLeft(s, " "), "/"); ok {
		if r, rest, ok := denominator(over); ok {
			if r.Sign() == 0 {
				return s, "a number over 0 is a cable size"
			}
			f.x.Quo(f.x, r)
			f.fraction, f.whole = true, false
			return rest, ""
		}
		return s, ""
	}
	// a space, a hyphen or both between 1 and 1/2
	part := strings.TrimLeft(s, " ")
	part = strings.TrimLeft(strings.TrimPrefix(part, "-"), " ")
	n := span(part, "0123456789")
	if n == 0 || len(part) == len(s) {
		return s, ""
	}
	over, ok := strings.CutPrefix(strings.TrimLeft(part[n:], " "), "/")
	if !ok {
		return s, ""
	}
	below, rest, ok := denominator(over)
	if !ok {
		return s, ""
	}
	above, _ := new(big.Rat).SetString(part[:n])
	if above.Cmp(below) >= 0 {
		return s, "the fraction after a whole number must be smaller than 1"
	}
	f.x.Add(f.x, above.Quo(above, below))
	f.fraction, f.whole = true, false
	return rest, ""
}

// denominator reads the digits below a fraction stroke.
func denominator(s string) (r *big.Rat, rest string, ok bool) {
	s = strings.TrimLeft(s, " ")
	n := span(s, "0123456789")
	if n == 0 {
		return nil, s, false
	}
	r, _ = new(big.Rat).SetString(s[:n])
	return r, s[n:], true
}

// takeClock reads the minutes of 1:30 and the seconds of 1:30:00.
func (f *figure) takeClock(s string) (rest, why string) {
	below := big.NewRat(1, 1)
	for parts := 2; strings.HasPrefix(s, ":"); parts++ {
		if parts > 3 {
			return s, "a time has no more than hours, minutes and seconds"
		}
		if span(s[1:], "0123456789") != 2 || s[1] > '5' {
			return s, "after a colon come two digits from 00 to 59"
		}
		part, _ := new(big.Rat).SetString(s[1:3])
		below.Mul(below, big.NewRat(1, 60))
		f.x.Add(f.x, part.Mul(part, below))
		f.clock, f.whole = parts, false
		s = s[3:]
	}
	return s, ""
}

// takeExponent reads e3 or e-05.
func (f *figure) takeExponent(s string) (rest, why string) {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return s, ""
	}
	power := s[1:]
	sign := 1
	if power != "" && (power[0] == '-' || power[0] == '+') {
		if power[0] == '-' {
			sign = -1
		}
		power = power[1:]
	}
	n := span(power, "0123456789")
	if n == 0 {
		return s, ""
	}
	e := 0
	for _, c := range power[:n] {
		if e = e*10 + int(c-'0'); e > maxExponent {
			return s, "that power of ten is beyond every measure"
		}
	}
	if f.or != nil {
		return s, "a comma and a power of ten do not go together"
	}
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(e)), nil)
	factor := new(big.Rat).SetInt(ten)
	if sign < 0 {
		factor.Inv(factor)
	}
	f.x.Mul(f.x, factor)
	f.whole = false
	return power[n:], ""
}

// asDecimal reads digits with points and commas. or is the second reading where
// a comma may be a decimal mark or part the thousands.
func asDecimal(token string) (x, or *big.Rat, why string) {
	commas, points := strings.Count(token, ","), strings.Count(token, ".")
	const odd = "points and commas stand where no number has them"
	plain := token
	switch {
	case commas == 0 && points <= 1:
	case commas == 1 && points == 0:
		before, after, _ := strings.Cut(token, ",")
		if after == "" {
			return nil, nil, odd
		}
		plain = before + "." + after
		if len(after) == 3 && groups(token, ',') {
			or, _ = new(big.Rat).SetString(before + after)
		}
	case points == 1 && strings.LastIndexByte(token, ',') < strings.IndexByte(token, '.'): // 1,200.5
		before, after, _ := strings.Cut(token, ".")
		if !groups(before, ',') {
			return nil, nil, odd
		}
		plain = strings.ReplaceAll(before, ",", "") + "." + after
	case commas == 1 && strings.LastIndexByte(token, '.') < strings.IndexByte(token, ','): // 1.200,5
		before, after, _ := strings.Cut(token, ",")
		if !groups(before, '.') || after == "" {
			return nil, nil, odd
		}
		plain = strings.ReplaceAll(before, ".", "") + "." + after
	case points == 0 && groups(token, ','): // 1,200,000
		plain = strings.ReplaceAll(token, ",", "")
	case commas == 0 && groups(token, '.'): // 1.200.000
		plain = strings.ReplaceAll(token, ".", "")
	default:
		return nil, nil, odd
	}
	if plain[0] == '.' {
		plain = "0" + plain
	}
	x, ok := new(big.Rat).SetString(strings.TrimSuffix(plain, "."))
	if !ok {
		return nil, nil, odd
	}
	return x, or, ""
}

// groups says whether the digits of s are parted into thousands by sep.
func groups(s string, sep byte) bool {
	first := strings.IndexByte(s, sep)
	if first < 1 || first > 3 || s[0] == '0' {
		return false
	}
	for rest := s[first:]; rest != ""; rest = rest[4:] {
		if len(rest) < 4 || rest[0] != sep || !digits(rest[1:4]) {
			return false
		}
	}
	return digits(s[:first])
}

func digits(s string) bool { return s != "" && span(s, "0123456789") == len(s) }

// span is the length of the part of s that consists of the characters of set.
func span(s, set string) int {
	for i := range len(s) {
		if strings.IndexByte(set, s[i]) < 0 {
			return i
		}
	}
	return len(s)
}
