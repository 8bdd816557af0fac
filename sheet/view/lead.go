package view

import (
	"regexp"
	"strconv"
	"strings"

	q "soundmetal/quantity"
)

// A sheet leads in one system. Texts that come with the plan may hold figures in
// a fixed order ("50 mm (2 in)") or in one system only ("12 mm or more"); Lead
// puts them right:
//
//	a pair in the wrong order is turned round;
//	a metric length or temperature alone, on a US sheet, gets its inches or °F in front.
//
// An inch alone is left as it is: "in" is a word too ("14 in 8 layers", "1 in 3").

const number = `-?\d+(?:[.,]\d+)?(?:-\d+/\d+|/\d+)?`

var (
	metricUnits = []string{"mm²", "mm", "cm", "km/h", "km", "m/s", "m³", "m", "°C", "kJ/mm", "kg", "g", "L/min", "L", "bar", "kPa", "MPa", "kN", "K"}
	usUnits     = []string{"in²", "in³", "in", "ft", "°F", "kJ/in", "mph", "mi", "lb", "oz", "cfm", "cfh", "psi", "ksi", "gal", "kip"}

	usFigure     = figures(usUnits)
	metricFigure = figures(metricUnits)
	metricFirst  = regexp.MustCompile(`(` + metricFigure + `) \((` + usFigure + `)\)`)
	usFirst      = regexp.MustCompile(`(` + usFigure + `) \((` + metricFigure + `)\)`)
	metricAlone  = regexp.MustCompile(`(^|[^\d.,/(-])(` + number + `)(?: (to) (` + number + `))? ?(mm|°C)([^²³\pL]|$)`)
)

// figures is the pattern of one figure or range with one of the units, also of
// two units: 2 ft 6-1/4 in.
func figures(units []string) string {
	var quoted []string
	for _, u := range units {
		quoted = append(quoted, regexp.QuoteMeta(u))
	}
	unit := `(?:` + strings.Join(quoted, "|") + `)`
	one := number + `(?: ?` + unit + `)?(?: ` + number + ` ?` + unit + `)?`
	return `(?:` + one + ` to )?` + number + ` ?` + unit + `(?: ` + number + ` ?` + unit + `)?`
}

// Turn turns round the pairs that stand in the wrong order and changes nothing
// else: for the working, whose lone figures are in the units of the formula.
func Turn(text string, sys q.System) string {
	if !hasPair(text) {
		return text // most texts: the search is left out
	}
	if sys == q.SI {
		return usFirst.ReplaceAllString(text, "$2 ($1)")
	}
	return metricFirst.ReplaceAllString(text, "$2 ($1)")
}

// hasPair says whether a figure in brackets may follow another one.
func hasPair(text string) bool {
	for {
		i := strings.Index(text, " (")
		if i < 0 || i+2 >= len(text) {
			return false
		}
		if c := text[i+2]; c >= '0' && c <= '9' || c == '-' {
			return true
		}
		text = text[i+2:]
	}
}

// Lead gives the text with the system's figures first.
func Lead(text string, sys q.System) string {
	text = Turn(text, sys)
	if sys == q.SI {
		return text
	}
	if !strings.Contains(text, "mm") && !strings.Contains(text, "°C") {
		return text
	}
	// what stands in a right pair is hidden from the search for lone figures
	var kept []string
	masked := usFirst.ReplaceAllStringFunc(text, func(pair string) string {
		kept = append(kept, pair)
		return "\x00"
	})
	masked = metricAlone.ReplaceAllStringFunc(masked, pairOf)
	for _, pair := range kept {
		masked = strings.Replace(masked, "\x00", pair, 1)
	}
	return masked
}

// pairOf puts the US figure before a metric one that stands alone.
func pairOf(match string) string {
	m := metricAlone.FindStringSubmatch(match)
	low, err := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
	if err != nil {
		return match
	}
	high := low
	if m[4] != "" {
		if high, err = strconv.ParseFloat(strings.Replace(m[4], ",", ".", 1), 64); err != nil {
			return match
		}
	}
	figure := strings.TrimSuffix(strings.TrimPrefix(match, m[1]), m[6])
	us := ""
	if m[5] == "mm" {
		us = q.Of[q.Length]{Low: tape(low), High: tape(high)}.In(q.US)
	} else {
		us = q.Of[q.Temperature]{Low: q.Temperature(low), High: q.Temperature(high)}.In(q.US)
	}
	return m[1] + us + " (" + figure + ")" + m[6]
}

// tape gives a length in mm as it is read off an inch tape.
func tape(mm float64) q.Length {
	l := q.Length(mm) * q.Millimetre
	switch {
	case l < 6*q.Millimetre:
		return max(q.Inch/32, q.RoundTo(l, q.Inch/32))
	case l < 100*q.Millimetre:
		return q.RoundTo(l, q.Inch/16)
	}
	return q.RoundTo(l, q.Inch/4)
}
