package quantity

import (
	"strings"
	"unicode/utf8"
)

// Fault says what is wrong with a text, for a caller that acts on it: a form
// asks back at Ambiguous and Implausible and refuses the rest.
type Fault string

const (
	NoNumber    Fault = "no number"    // nothing to read, or no number in it
	NoUnit      Fault = "no unit"      // a bare number where a unit is needed
	UnknownUnit Fault = "unknown unit" // a word that no kind knows
	OtherKind   Fault = "other kind"   // a unit of another quantity or another scale
	Ambiguous   Fault = "ambiguous"    // two readings
	Implausible Fault = "implausible"  // outside the plausible limits
	Impossible  Fault = "impossible"   // physics forbids it, or the number is beyond a float64
	BadForm     Fault = "bad form"     // a number or unit that is malformed
)

// ReadError is a text that was not accepted. Error is one sentence.
type ReadError struct {
	What     string // "thickness"
	Text     string // as written
	Why      string // a clause
	Accepted []string
	Readings []string // what it may have meant, each with its unit
	Fault    Fault
}

// Error says what was read, the text, why it was refused and what would do.
func (e *ReadError) Error() string {
	s := e.What + " " + quote(e.Text) + ": " + e.Why
	switch {
	case len(e.Readings) > 0:
		s += "; is it " + strings.Join(e.Readings, " or ") + "?"
	case len(e.Accepted) > 0:
		s += "; " + e.What + " takes " + strings.Join(e.Accepted, ", ")
	}
	return oneLine(s)
}

// quote puts a text between quotes that it does not hold itself.
func quote(text string) string {
	const most = 40 // characters; a message is read on a phone
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "…"
	}
	if strings.Contains(text, `"`) {
		return "“" + text + "”"
	}
	return `"` + text + `"`
}

// oneLine takes out what would break a line of a terminal or a log.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7F && r < 0xA0 || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}
