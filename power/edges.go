package power

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	q "soundmetal/quantity"
)

// An edge list on one line: "a-b:0.5mohm, b-c:1mohm". Names are letters, digits,
// dots and underscores; a resistance is a number and a unit (uohm, mohm, ohm; µΩ,
// mΩ, Ω). Several edges may lie between the same two bodies.

// Edge is one resistance between two bodies.
type Edge struct {
	A, B string
	R    q.Resistance
}

const (
	longestEdges = 4096 // bytes
	mostEdges    = 200
)

// An EdgeError says where an edge list is wrong.
type EdgeError struct {
	Column int // in runes, from 1
	Says   string
}

func (e *EdgeError) Error() string {
	return fmt.Sprintf("edges, column %d: %s; accepted: a-b:0.5mohm, b-c:1mohm", e.Column, e.Says)
}

// ReadEdges reads an edge list.
func ReadEdges(text string) ([]Edge, error) {
	if len(text) > longestEdges {
		return nil, &EdgeError{1, fmt.Sprintf("longer than %d bytes", longestEdges)}
	}
	var edges []Edge
	column := 1
	for part := range strings.SplitSeq(text, ",") {
		if len(edges) == mostEdges {
			return nil, &EdgeError{column, fmt.Sprintf("more than %d edges", mostEdges)}
		}
		e, err := readEdge(part, column)
		if err != nil {
			return nil, err
		}
		edges = append(edges, e)
		column += len([]rune(part)) + 1
	}
	return edges, nil
}

func readEdge(part string, column int) (Edge, error) {
	lead := len([]rune(part)) - len([]rune(strings.TrimLeftFunc(part, unicode.IsSpace)))
	column += lead
	part = strings.TrimSpace(part)
	fail := func(at int, says string, args ...any) (Edge, error) {
		return Edge{}, &EdgeError{column + at, fmt.Sprintf(says, args...)}
	}
	if part == "" {
		return fail(0, "an edge is missing")
	}
	ends, value, ok := strings.Cut(part, ":")
	if !ok {
		return fail(0, "%q has no resistance after a colon", part)
	}
	a, b, ok := strings.Cut(ends, "-")
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	switch {
	case !ok:
		return fail(0, "%q names one body; two are joined by a minus sign", ends)
	case !bodyName(a):
		return fail(0, "%q is no name of a body: letters, digits, dots and underscores", a)
	case !bodyName(b):
		return fail(len([]rune(a))+1, "%q is no name of a body: letters, digits, dots and underscores", b)
	case a == b:
		return fail(0, "both ends are %s", a)
	}
	r, err := readOhms(strings.TrimSpace(value))
	if err != nil {
		return fail(len([]rune(ends))+1, "%v", err)
	}
	return Edge{a, b, r}, nil
}

func bodyName(s string) bool {
	if s == "" || len(s) > 64 {
		return false
	}
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.' && r != '_' {
			return false
		}
	}
	return true
}

// ohmUnits are tried in this order, the longer before the shorter.
var ohmUnits = []struct {
	symbol string
	unit   q.Resistance
}{
	{"milliohm", q.Milliohm}, {"microohm", q.Ohm / 1e6}, {"mohm", q.Milliohm}, {"uohm", q.Ohm / 1e6}, {"µohm", q.Ohm / 1e6}, {"ohm", q.Ohm},
	{"mω", q.Milliohm}, {"uω", q.Ohm / 1e6}, {"µω", q.Ohm / 1e6}, {"μω", q.Ohm / 1e6}, {"ω", q.Ohm},
}

func readOhms(text string) (q.Resistance, error) {
	// The ohm sign and the Greek letter both fold to small omega. A capital M
	// before ohm would be a million; nobody means that here, so it is refused.
	if strings.HasPrefix(strings.TrimLeft(text, "0123456789.eE+- "), "M") {
		return 0, fmt.Errorf("%q: write mohm with a small m; a megohm carries nothing", text)
	}
	lower := strings.ToLower(text)
	for _, u := range ohmUnits {
		number, ok := strings.CutSuffix(lower, u.symbol)
		if !ok {
			continue
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return 0, fmt.Errorf("%q is no number of ohms", text)
		}
		r := q.Resistance(v) * u.unit
		if r < leastOhms || r > mostOhms {
			return 0, fmt.Errorf("%q is outside %g to %g ohm", text, float64(leastOhms), float64(mostOhms))
		}
		return r, nil
	}
	return 0, fmt.Errorf("%q has no unit", text)
}

// The resistances that the reader takes: anything that could be a contact.
const (
	leastOhms q.Resistance = 1e-9
	mostOhms  q.Resistance = 1e6
)

// EdgesText writes an edge list that ReadEdges reads back to the same values.
func EdgesText(edges []Edge) string {
	parts := make([]string, len(edges))
	for i, e := range edges {
		parts[i] = e.A + "-" + e.B + ":" + strconv.FormatFloat(float64(e.R), 'g', -1, 64) + "ohm"
	}
	return strings.Join(parts, ", ")
}
