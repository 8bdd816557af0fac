package plan

// A logged reading beside what was simulated, in words. An estimate: it holds up
// nothing, and the reading decides.

import (
	"fmt"

	q "soundmetal/quantity"
)

// HeatSeen is a reading as it was logged.
type HeatSeen struct {
	T    q.Temperature
	At   q.Time            // since the torch was lit; for a reading at no bead
	Bead int               // just before this bead; 0: before any bead
	Far  bool              // on the far face
	From q.Maybe[q.Length] // from the groove edge
}

// HeatHint is a reading beside what was expected.
type HeatHint struct {
	Expected q.Of[q.Temperature]
	Off      int    // -1 colder than expected, 1 hotter, 0 as expected
	Text     string // in words, without a full stop
}

// Compare holds a reading against the simulation; false where it says nothing of
// such a reading.
func (it *ThermalItem) Compare(s HeatSeen, sys q.System) (HeatHint, bool) {
	var h HeatHint
	when := ""
	switch {
	case s.Bead > 0:
		if s.Bead > len(it.Beads) {
			return h, false
		}
		b := it.Beads[s.Bead-1]
		h.Expected = q.Of[q.Temperature]{Low: min(b.Coldest, b.Hottest), High: max(b.Coldest, b.Hottest)}
		when = fmt.Sprintf("before bead %d", s.Bead)
	default:
		if it.Chart == nil {
			return h, false
		}
		f := it.Chart.Face(s.Far)
		if f == nil {
			return h, false
		}
		// nearer to the groove than any reading point it is hotter, by an amount that
		// the answer does not hold
		if s.From.Known && s.From.V < f.From-2*q.Millimetre {
			return h, false
		}
		var ok bool
		if h.Expected, ok = f.Expected(s.At); !ok {
			return h, false
		}
		when = "at " + since(s.At)
	}
	spare := q.Temperature(rateOf("read-off").Likely)
	switch {
	case s.T < h.Expected.Low-spare:
		h.Off = -1
	case s.T > h.Expected.High+spare:
		h.Off = 1
	}
	h.Text = fmt.Sprintf("read %s %s; expected %s: %s", readOff(s.T, sys), when, h.Expected.Text(sys), heatWords(s.Bead > 0, h.Off))
	return h, true
}

// since is how long the torch has burnt: it is no wait and is not rounded up.
func since(t q.Time) string {
	if t < 2*q.Minute {
		return fmt.Sprintf("%.0f s", float64(t))
	}
	return fmt.Sprintf("%.0f min", t.Minutes())
}

// readOff prints a reading to the degree, as it was read.
func readOff(t q.Temperature, sys q.System) string {
	if sys == q.US {
		return fmt.Sprintf("%.0f °F (%.0f °C)", t.F(), t.C())
	}
	return fmt.Sprintf("%.0f °C (%.0f °F)", t.C(), t.F())
}

// heatWords is what it may come of: common practice.
func heatWords(bead bool, off int) string {
	switch {
	case off == 0:
		return "as simulated"
	case bead && off < 0:
		return "colder than simulated; likely a longer wait than in the simulation, more wind, or more loss"
	case bead:
		return "hotter than simulated; likely a shorter wait, larger beads, or read beside the last bead"
	case off < 0:
		return "slower than simulated; likely wind, more loss, a weaker flame, or steel beside it that the job does not name"
	}
	return "faster than simulated; likely a stronger flame, less steel, or read where the flame just was"
}
