package quantity

import "math"

// Text prints the range in both systems, sys first, with the unit once where
// both ends have the same: 10 to 25 mm (3/8 to 1 in). Equal ends are one value.
// An end at infinity is left open: 200 A or more.
func (r Of[T]) Text(sys System) string {
	return KindOf[T]().spanText(float64(r.Low), float64(r.High), sys)
}

// In prints the range in one system.
func (r Of[T]) In(sys System) string {
	return KindOf[T]().spanIn(float64(r.Low), float64(r.High), sys)
}

func (k Kind) spanText(low, high float64, sys System) string {
	if low == high {
		return k.Text(low, sys)
	}
	s := k.spanIn(low, high, sys)
	if !printings[k].one {
		s += " (" + k.spanIn(low, high, sys.other()) + ")"
	}
	return s
}

func (k Kind) spanIn(low, high float64, sys System) string {
	switch {
	case low == high:
		return k.In(low, sys)
	case math.IsInf(low, -1) && math.IsInf(high, 1):
		return "any " + k.String()
	case math.IsInf(high, 1):
		return k.In(low, sys) + " or more"
	case math.IsInf(low, -1):
		return "up to " + k.In(high, sys)
	}
	var buf [64]byte
	lead, tail := k.band(low, sys), k.band(high, sys)
	if low == 0 && tail.big == nil {
		lead = tail // 0 to 5 kg, and not 0 g
	}
	b := lead.append(buf[:0], low, nearShare(lead, low))
	from := len(b)
	if lead.unitAfter() != tail.unitAfter() || lead.big != nil {
		b = append(b, lead.unitAfter()...)
	}
	first := string(b)
	b = append(b, " to "...)
	mid := len(b)
	b = tail.append(b, high, nearShare(tail, high))
	if string(b[mid:]) == first && lead.unit == tail.unit {
		b = b[:from] // both ends print the same
	}
	return string(append(b, tail.unitAfter()...))
}

// nearShare lets the ends of a range be rounder than a single value.
func nearShare(p *band, v float64) float64 {
	if !p.frac {
		return closeTo
	}
	return max(closeTo, roundShare*math.Abs(p.unit.From(v)))
}
