package filler

import (
	"strconv"

	q "soundmetal/quantity"
)

// Numbers in a basis are shown in both systems, with the digits that matter.

func num(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }

// short prints up to four digits and no trailing noughts.
func short(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

func lengthText(l q.Length) string { return short(l.MM()) + " mm (" + short(l.Inches()) + " in)" }

func heatText(h q.HeatInput) string {
	return short(h.KJPerMM()) + " kJ/mm (" + short(h.KJPerInch()) + " kJ/in)"
}

func massText(m q.Mass) string {
	if m < 0.1*q.Kilogram {
		return short(float64(m/q.Gram)) + " g (" + short(float64(m/q.Pound)*16) + " oz)"
	}
	return short(float64(m)) + " kg (" + short(float64(m/q.Pound)) + " lb)"
}

func tempText(t q.Temperature) string { return num(t.C(), 0) + " °C (" + num(t.F(), 0) + " °F)" }

func stressText(s q.Stress) string {
	return num(s.MPa(), 0) + " MPa (" + num(float64(s/q.KSI), 0) + " ksi)"
}

func hoursText(t q.Time) string {
	if t > 0 && t < q.Hour {
		return num(t.Minutes(), 0) + " min"
	}
	return short(t.Hours()) + " h"
}

func rateText(r q.MassRate) string {
	return short(float64(r/q.KilogramPerHour)) + " kg/h (" + short(float64(r/q.PoundPerHour)) + " lb/h)"
}

func spanText[T ~float64](r q.Of[T], text func(T) string) string {
	if r.Low == r.High {
		return text(r.Low)
	}
	return text(r.Low) + " to " + text(r.High)
}
