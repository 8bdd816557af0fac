package font

// Printing order of a line with letters written from right to left.
//
// Method: rules P2, P3, W1 to W7, N1, N2, I1, I2, L2 and L4 of the Unicode
// bidirectional algorithm; the classes are those of golang.org/x/text. An isolate
// (Isolate) is laid out by itself and stands in its line as one neutral letter;
// one that was broken over two lines counts to the end, or from the beginning, of
// its line. Embeddings are not followed and paired brackets (N0) count as
// neutral: neither occurs in names.
// Source: Unicode Standard Annex 9.

import (
	"slices"
	"strings"

	"golang.org/x/text/unicode/bidi"
)

// The marks round an isolate.
const (
	firstStrong = '\u2068'
	popIsolate  = '\u2069'
)

// Isolate marks a name that may be written from right to left, so that it keeps
// its place in a line made of several. A name without such letters stays as it is.
func Isolate(name string) string {
	if !strings.ContainsFunc(name, rightToLeft) {
		return name
	}
	return string(firstStrong) + name + string(popIsolate)
}

// visual puts a line into printing order: letters written from right to left are
// turned round and Arabic ones take the form that joins them.
func visual(text string) []rune {
	if !strings.ContainsFunc(text, rightToLeft) {
		return []rune(text)
	}
	outer, inner := split(text)
	if inner == nil {
		return turn([]rune(text))
	}
	var line []rune
	// the order of the isolates may be turned round with the line: they are
	// numbered by private letters, which count as neutral
	for _, r := range turn(outer) {
		if n := int(r - private); n >= 0 && n < len(inner) {
			line = append(line, visual(inner[n])...)
			continue
		}
		line = append(line, r)
	}
	return line
}

// private is the first of the letters that stand for isolates.
const private = '\U000f0000'

// split takes the isolates out of a line.
func split(text string) (outer []rune, inner []string) {
	take := func(name string) {
		outer, inner = append(outer, private+rune(len(inner))), append(inner, name)
	}
	open, shut := strings.IndexRune(text, firstStrong), strings.IndexRune(text, popIsolate)
	if shut >= 0 && (open < 0 || shut < open) { // begun on the line before
		take(text[:shut])
		text = text[shut+len(string(popIsolate)):]
	}
	for {
		before, rest, more := strings.Cut(text, string(firstStrong))
		outer = append(outer, []rune(before)...)
		if !more {
			return outer, inner
		}
		var name string
		name, text, _ = strings.Cut(rest, string(popIsolate)) // without an end: to the end of the line
		take(name)
	}
}

// turn orders a line without isolates.
func turn(letters []rune) []rune {
	levels := levelsOf(letters)
	// join first, while neighbours are neighbours; a sign made of two letters
	// takes the place of the first, and the second goes
	letters, levels = joinKeeping(letters, levels)
	for i, r := range letters {
		if levels[i]%2 == 1 {
			letters[i] = mirrored(r)
		}
	}
	for level := slices.Max(levels); level > 0; level-- { // L2
		for i := 0; i < len(letters); {
			if levels[i] < level {
				i++
				continue
			}
			from := i
			for i < len(letters) && levels[i] >= level {
				i++
			}
			slices.Reverse(letters[from:i])
			slices.Reverse(levels[from:i])
		}
	}
	return letters
}

func joinKeeping(letters []rune, levels []int) ([]rune, []int) {
	joined := join(letters)
	if len(joined) == len(letters) {
		return joined, levels
	}
	kept := make([]int, 0, len(joined))
	for i := 0; i < len(letters); i++ {
		kept = append(kept, levels[i])
		if letters[i] == lam && i+1 < len(letters) && lamAlef[letters[i+1]] != [2]rune{} {
			i++
		}
	}
	return joined, kept
}

// levelsOf gives the embedding level of every letter.
func levelsOf(letters []rune) []int {
	classes := make([]bidi.Class, len(letters))
	base, found := bidi.L, false
	for i, r := range letters {
		p, _ := bidi.LookupRune(r)
		classes[i] = p.Class()
		if r >= private {
			classes[i] = bidi.ON
		}
		if c := classes[i]; !found && (c == bidi.L || c == bidi.R || c == bidi.AL) { // P2, P3
			found = true
			if c != bidi.L {
				base = bidi.R
			}
		}
	}
	weak(classes, base)
	neutral(classes, base)
	levels := make([]int, len(letters))
	for i, c := range classes { // I1, I2
		switch {
		case base == bidi.L && c == bidi.R:
			levels[i] = 1
		case base == bidi.L && c != bidi.L:
			levels[i] = 2
		case base == bidi.R && c == bidi.R:
			levels[i] = 1
		case base == bidi.R:
			levels[i] = 2
		}
	}
	return levels
}

// weak settles marks, numbers and their signs (W1 to W7).
func weak(c []bidi.Class, base bidi.Class) {
	before := base
	for i := range c { // W1
		if c[i] == bidi.NSM {
			c[i] = before
		}
		before = c[i]
	}
	strong := base
	for i := range c { // W2, W3
		switch c[i] {
		case bidi.L, bidi.R, bidi.AL:
			strong = c[i]
		case bidi.EN:
			if strong == bidi.AL {
				c[i] = bidi.AN
			}
		}
	}
	for i := range c {
		if c[i] == bidi.AL {
			c[i] = bidi.R
		}
	}
	for i := 1; i+1 < len(c); i++ { // W4
		a, b := c[i-1], c[i+1]
		if a == b && ((c[i] == bidi.ES && a == bidi.EN) || (c[i] == bidi.CS && (a == bidi.EN || a == bidi.AN))) {
			c[i] = a
		}
	}
	for i := 0; i < len(c); { // W5
		if c[i] != bidi.ET {
			i++
			continue
		}
		from := i
		for i < len(c) && c[i] == bidi.ET {
			i++
		}
		if (from > 0 && c[from-1] == bidi.EN) || (i < len(c) && c[i] == bidi.EN) {
			for k := from; k < i; k++ {
				c[k] = bidi.EN
			}
		}
	}
	strong = base
	for i := range c { // W6, W7
		switch c[i] {
		case bidi.ES, bidi.ET, bidi.CS:
			c[i] = bidi.ON
		case bidi.L, bidi.R:
			strong = c[i]
		case bidi.EN:
			if strong == bidi.L {
				c[i] = bidi.L
			}
		}
	}
}

// neutral gives what stands between letters the direction of both sides, or
// else that of the line (N1, N2).
func neutral(c []bidi.Class, base bidi.Class) {
	side := func(k bidi.Class) bidi.Class {
		if k == bidi.L {
			return bidi.L
		}
		return bidi.R
	}
	for i := 0; i < len(c); {
		if settled(c[i]) {
			i++
			continue
		}
		from := i
		for i < len(c) && !settled(c[i]) {
			i++
		}
		a, b := base, base
		if from > 0 {
			a = side(c[from-1])
		}
		if i < len(c) {
			b = side(c[i])
		}
		if a != b {
			a = base
		}
		for k := from; k < i; k++ {
			c[k] = a
		}
	}
}

func settled(c bidi.Class) bool {
	return c == bidi.L || c == bidi.R || c == bidi.EN || c == bidi.AN
}

// rightToLeft says that the letter is of a script written from right to left.
func rightToLeft(r rune) bool {
	return (r >= 0x590 && r <= 0x8ff) || (r >= 0xfb1d && r <= 0xfdff) || (r >= 0xfe70 && r <= 0xfeff)
}

// mirrored turns a bracket round (L4).
func mirrored(r rune) rune {
	pairs := []rune("()[]{}<>«»")
	for i, b := range pairs {
		if b == r {
			return pairs[i^1]
		}
	}
	return r
}
