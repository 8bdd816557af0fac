package price

import (
	"fmt"
	"math"

	"soundmetal/cut"
	"soundmetal/filler"
	q "soundmetal/quantity"
)

// Range is a planning value with the ends it may move between.
type Range[T ~float64] struct {
	Low    T `json:"low"`
	Likely T `json:"likely"`
	High   T `json:"high"`
}

// Exactly is a range of one value.
func Exactly[T ~float64](v T) Range[T] { return Range[T]{v, v, v} }

// Between is a range by its three values.
func Between[T ~float64](low, likely, high T) Range[T] { return Range[T]{low, likely, high} }

// Spanning is a range of two ends, its middle as likely.
func Spanning[T ~float64](r q.Of[T]) Range[T] { return Range[T]{r.Low, r.Mid(), r.High} }

// Like is a planning figure of the gouging room.
func Like[T ~float64](a cut.Amount[T]) Range[T] { return Range[T]{a.Range.Low, a.Likely, a.Range.High} }

// RodsOf is a count of rods of the filler room.
func RodsOf(c filler.RodCount) Range[float64] {
	return Range[float64]{float64(c.Low), float64(c.Likely), float64(c.High)}
}

// None says that the range is nothing at all.
func (r Range[T]) None() bool { return r.High <= 0 }

// check refuses a range that cannot be.
func (r Range[T]) check(what string) error {
	for _, v := range []T{r.Low, r.Likely, r.High} {
		if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) || v < 0 {
			return fmt.Errorf("%s: %v is not a quantity; give numbers of zero or more", what, float64(v))
		}
	}
	if r.Low > r.Likely || r.Likely > r.High {
		return fmt.Errorf("%s: low %.4g, likely %.4g, high %.4g are not in that order", what, float64(r.Low), float64(r.Likely), float64(r.High))
	}
	return nil
}

// plain is the range as numbers in SI units.
func plain[T ~float64](r Range[T]) [3]float64 {
	return [3]float64{float64(r.Low), float64(r.Likely), float64(r.High)}
}

// triangle gives the value of a triangular distribution at the share u of its
// draws: the inverse transform, rising in u and in each of the three values.
//
// Source: law-simulation, triangular distribution and inverse transform.
func triangle(low, likely, high, u float64) float64 {
	w := high - low
	if w <= 0 {
		return likely
	}
	if left := (likely - low) / w; u < left {
		return low + math.Sqrt(u*w*(likely-low))
	}
	return high - math.Sqrt((1-u)*w*(high-likely))
}
