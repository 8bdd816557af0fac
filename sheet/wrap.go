// Package sheet turns plans and workings into what people read: text for the
// terminal, drawings and paper.
package sheet

import (
	"strings"
	"unicode/utf8"
)

// Columns is the width of everything printed as text.
const Columns = 80

// writer builds wrapped text.
type writer struct{ b strings.Builder }

func (w *writer) String() string { return w.b.String() }

func (w *writer) blank() { w.b.WriteByte('\n') }

func (w *writer) line(s string) {
	w.b.WriteString(strings.TrimRight(s, " "))
	w.b.WriteByte('\n')
}

// para writes text wrapped to the width: the first line after first, the others
// after rest.
func (w *writer) para(first, rest, text string) {
	for i, l := range wrap(text, Columns-max(width(first), width(rest))) {
		if i == 0 {
			w.line(first + l)
		} else {
			w.line(rest + l)
		}
	}
}

// pair writes "label .... value" on one line, or on two where it does not fit.
// A long value is wrapped under itself.
func (w *writer) pair(indent, label, value string) {
	const column = 36
	dots := column - width(indent) - width(label)
	if dots < 2 {
		w.para(indent, indent, label)
		w.para(strings.Repeat(" ", column+1), strings.Repeat(" ", column+1), value)
		return
	}
	lead := indent + label + " " + strings.Repeat(".", dots-1) + " "
	w.para(lead, strings.Repeat(" ", column+1), value)
}

func (w *writer) heading(s string) {
	w.blank()
	w.line(s)
	w.line(strings.Repeat("-", min(Columns, width(s))))
}

func width(s string) int { return utf8.RuneCountInString(s) }

// wrap breaks text into lines of at most n characters; a longer word is cut.
func wrap(text string, n int) []string {
	n = max(n, 10)
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		for width(word) > n {
			if line != "" {
				lines, line = append(lines, line), ""
			}
			r := []rune(word)
			lines, word = append(lines, string(r[:n])), string(r[n:])
		}
		switch {
		case line == "":
			line = word
		case width(line)+1+width(word) <= n:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}
