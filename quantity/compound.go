package quantity

import (
	"math"
	"math/big"
	"slices"
	"strings"
)

// compound reads 2 ft 6 in, 2'-6", 1h30 and 5 lb 4 oz.
func (r *reader) compound(f figure, rest string) (float64, *Unit, *ReadError, bool) {
	i := strings.IndexAny(rest, "0123456789")
	if i < 1 {
		return 0, nil, nil, false
	}
	name := strings.TrimRight(rest[:i], " ")
	if cut := strings.TrimRight(strings.TrimSuffix(name, "-"), " "); r.find(tidyUnit(cut)) != nil {
		name = cut // 2'-6" as on a drawing
	}
	unit := r.find(tidyUnit(name))
	if unit == nil || unit.then == "" {
		return 0, nil, nil, false
	}
	small := r.kind.mustUnit(unit.then)
	v, err := r.smaller(f, unit, small, rest[i:])
	return v, unit, err, true
}

// smaller reads the second part of a compound and adds it to the first.
func (r *reader) smaller(f figure, unit, small *Unit, s string) (float64, *ReadError) {
	g, rest, why := takeNumber(s)
	if why != "" {
		return 0, r.fail(BadForm, why)
	}
	name := tidyUnit(rest)
	per := new(big.Rat).Quo(unit.exact, small.exact)
	switch {
	case !f.whole || g.or != nil || g.clock > 0:
		return 0, r.fail(BadForm, "only whole "+unit.Symbol+" go before "+small.Symbol)
	case name == "" && unit.mustName:
		return 0, r.fail(NoUnit, "the second number has no unit")
	case name != "" && r.find(name) != small && !slices.Contains(unit.thenWords, strings.ToLower(name)):
		if v, ok := r.third(f, unit, small, g, rest); ok {
			return v, nil
		}
		return 0, r.fail(UnknownUnit, quote(rest)+" does not follow "+unit.Symbol)
	case g.x.Cmp(per) >= 0:
		return 0, r.fail(BadForm, "more "+small.Symbol+" than make one "+unit.Symbol)
	}
	sum := new(big.Rat).Mul(new(big.Rat).Abs(f.x), per)
	sum.Add(sum, g.x)
	if f.negative {
		sum.Neg(sum)
	}
	x, _ := sum.Float64()
	return small.SI(x), nil
}

// third reads a third part: 1 h 30 min 20 s.
func (r *reader) third(f figure, unit, small *Unit, g figure, rest string) (float64, bool) {
	v, second, err, ok := r.compound(g, rest)
	if !ok || err != nil || second != small || v >= unit.SI(1) {
		return 0, false
	}
	v += unit.SI(math.Abs(f.float()))
	if f.negative {
		v = -v
	}
	return v, true
}

// clock reads 1:30 h, 1:30 min and 1:30:00.
func (r *reader) clock(f figure, rest string) (float64, *Unit, *ReadError) {
	if r.kind != KindTime {
		return 0, nil, r.fail(OtherKind, "a colon belongs to a time")
	}
	hour, minute := r.kind.mustUnit("h"), r.kind.mustUnit("min")
	name := tidyUnit(rest)
	unit := r.find(name)
	if name == "" {
		switch {
		case f.clock == 3:
			unit = hour
		case r.as.Bare != "":
			unit = r.kind.mustUnit(r.as.Bare)
		default:
			return 0, nil, r.ask("it may be hours and minutes or minutes and seconds",
				r.reading(f.x, hour), r.reading(f.x, minute))
		}
	}
	if unit != hour && (unit != minute || f.clock == 3) {
		return 0, nil, r.fail(BadForm, "a time with a colon is in h or min")
	}
	// f.x counts the unit before the first colon; 60ths are exact in the smallest
	seconds, _ := new(big.Rat).Mul(f.x, unit.exact).Float64()
	return seconds, unit, nil
}
