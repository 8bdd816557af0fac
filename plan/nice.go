package plan

import (
	"fmt"

	q "soundmetal/quantity"
)

// step is how finely a length of this size is marked out with a tape.
func step(l q.Length, sys q.System) q.Length {
	if sys == q.US {
		switch {
		case l < 1.5*q.Inch:
			return q.Inch / 16
		case l < 4*q.Inch:
			return q.Inch / 8
		case l < 24*q.Inch:
			return q.Inch / 4
		}
		return q.Inch
	}
	switch {
	case l < 10*q.Millimetre:
		return q.Millimetre / 2
	case l < 100*q.Millimetre:
		return q.Millimetre
	case l < 500*q.Millimetre:
		return 5 * q.Millimetre
	}
	return 10 * q.Millimetre
}

// nice prints a length as it would be marked out, niceUp one that must not be
// less, niceSpan a range. The figure itself keeps its exact value.
func nice(l q.Length, sys q.System) string { return q.RoundTo(l, step(l, sys)).Text(sys) }

func niceUp(l q.Length, sys q.System) string {
	return q.RoundUp(l-0.3*q.Millimetre, step(l, sys)).Text(sys) // 50 mm is 2 in to anybody with a tape
}

func niceSpan(r q.Of[q.Length], sys q.System) string {
	return niceRange(r, sys).Text(sys)
}

func niceRange(r q.Of[q.Length], sys q.System) q.Of[q.Length] {
	s := step(r.High, sys)
	if n := step(r.Low, sys); n < s && r.High-r.Low < 4*s {
		s = n
	}
	return q.Of[q.Length]{Low: q.RoundTo(r.Low, s), High: q.RoundTo(r.High, s)}
}

// TapeSpan prints a range of lengths in one system, rounded as it would be marked out.
func TapeSpan(r q.Of[q.Length], sys q.System) string { return niceRange(r, sys).In(sys) }

// timeStep is how finely a time of this size is kept on a site.
func timeStep(t q.Time) q.Time {
	switch {
	case t <= q.Minute:
		return 10 * q.Second
	case t <= 5*q.Minute:
		return 30 * q.Second
	case t <= 30*q.Minute:
		return q.Minute
	}
	return 5 * q.Minute
}

// niceWait prints a time that must not be less.
func niceWait(t q.Time, sys q.System) string { return q.RoundUp(t, timeStep(t)).Text(sys) }

// niceTimes prints a range of times in one unit: 30 to 100 s, 3 to 33 min.
func niceTimes(r q.Of[q.Time], sys q.System) string {
	unit := q.Minute
	if r.High < 2*q.Minute {
		unit = 10 * q.Second
	}
	low, high := max(q.RoundTo(r.Low, unit), unit), q.RoundUp(r.High, unit)
	if high >= 2*q.Hour {
		return hourText(low) + " to " + hourText(high)
	}
	if low >= high {
		return high.Text(sys)
	}
	number, name := high.Minutes(), "min"
	first := low.Minutes()
	if unit < q.Minute {
		number, first, name = float64(high), float64(low), "s"
	}
	return fmt.Sprintf("%.0f to %.0f %s", first, number, name)
}
