package quantity

import (
	"fmt"
	"math"
)

// onStep is the part of a step by which a value may lie beyond a multiple and
// still count as that multiple, so that 150.00000000000003 is 150.
const onStep = 1e-9

// RoundTo gives the multiple of step nearest to v, halves away from zero. A
// step that is not positive is a programmer's error and panics.
func RoundTo[T ~float64](v, step T) T {
	n := float64(v / mustStep(step))
	return times(math.Round(n+math.Copysign(onStep, n)), step)
}

// RoundUp gives the lowest multiple of step that is not below v.
func RoundUp[T ~float64](v, step T) T {
	return times(math.Ceil(float64(v/mustStep(step))-onStep), step)
}

// RoundDown gives the highest multiple of step that is not above v.
func RoundDown[T ~float64](v, step T) T {
	return times(math.Floor(float64(v/mustStep(step))+onStep), step)
}

// times is n steps; no step at all is 0, never -0.
func times[T ~float64](n float64, step T) T {
	if n == 0 {
		return 0
	}
	return T(n) * step
}

func mustStep[T ~float64](step T) T {
	if !(step > 0) {
		panic(fmt.Sprintf("quantity: rounding to a step of %v", step))
	}
	return step
}

// Minimum rounds a computed minimum up to a full step (5) of the leading
// system. The plan holds this value, so that what is printed is what is checked.
func (t Temperature) Minimum(sys System) Temperature { return t.toLimit(sys, RoundUp[float64]) }

// Maximum rounds a computed maximum down to a full step (5) of the leading system.
func (t Temperature) Maximum(sys System) Temperature { return t.toLimit(sys, RoundDown[float64]) }

// MinimumText prints a computed minimum: rounded up in the leading system, and
// that rounded up again in the other, so that neither figure is too low:
// 250 °F (125 °C).
func (t Temperature) MinimumText(sys System) string {
	lead := t.Minimum(sys)
	return lead.limitIn(sys) + " (" + lead.Minimum(sys.other()).limitIn(sys.other()) + ")"
}

// MaximumText prints a computed maximum: rounded down in both systems.
func (t Temperature) MaximumText(sys System) string {
	lead := t.Maximum(sys)
	return lead.limitIn(sys) + " (" + lead.Maximum(sys.other()).limitIn(sys.other()) + ")"
}

// WindowText prints a window of temperature, its floor rounded up and its
// ceiling down in both systems: 120 to 200 °C (250 to 390 °F). A window too
// narrow for the full step is printed to the degree, or to a tenth or hundredth.
func WindowText(window Of[Temperature], sys System) string {
	if window.Low > window.High {
		return "no window"
	}
	lead, text := windowIn(window, sys)
	_, echo := windowIn(lead, sys.other())
	return text + " (" + echo + ")"
}

// windowIn rounds a window inwards and prints it.
func windowIn(w Of[Temperature], sys System) (Of[Temperature], string) {
	p := printings[KindTemperature].limit[sys&1]
	low, high := p.unit.From(float64(w.Low)), p.unit.From(float64(w.High))
	for _, finer := range [...]band{p, {step: 1}, {step: 0.1, tens: 1}, {step: 0.01, tens: 2}} {
		p.step, p.tens = finer.step, finer.tens
		if l, h := RoundUp(low, p.step), RoundDown(high, p.step); l <= h {
			low, high = l, h
			break
		}
	}
	b := appendFixed(nil, low, p.tens)
	if low != high {
		b = appendFixed(append(b, " to "...), high, p.tens)
	}
	return Of[Temperature]{Temperature(p.unit.SI(low)), Temperature(p.unit.SI(high))}, string(append(b, p.tail...))
}

func (t Temperature) toLimit(sys System, round func(v, step float64) float64) Temperature {
	p := &printings[KindTemperature].limit[sys&1]
	return Temperature(p.unit.SI(round(p.unit.From(float64(t)), p.step)))
}

// limitIn prints a temperature that lies on the step already.
func (t Temperature) limitIn(sys System) string {
	p := &printings[KindTemperature].limit[sys&1]
	return string(append(p.append(nil, float64(t), closeTo), p.tail...))
}

// sameShare is the part of a limit within which a value counts as equal to it.
const sameShare = 1e-9

// Over says whether v lies above limit by more than conversion leaves: 38.1 mm
// is not over 1-1/2 in, though the two float64 differ in the last bit.
func Over[T ~float64](v, limit T) bool {
	return float64(v-limit) > sameShare*math.Abs(float64(limit))
}

// Under says whether v lies below limit by more than conversion leaves.
func Under[T ~float64](v, limit T) bool {
	return float64(limit-v) > sameShare*math.Abs(float64(limit))
}
