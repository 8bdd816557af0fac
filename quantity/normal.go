package quantity

import "strings"

// vulgar holds the one-character fractions of Unicode.
var vulgar = map[rune]string{
	'¼': "1/4", '½': "1/2", '¾': "3/4",
	'⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
	'⅓': "1/3", '⅔': "2/3", '⅙': "1/6", '⅚': "5/6",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
	'⅐': "1/7", '⅑': "1/9", '⅒': "1/10",
}

// lookalikes are characters that keyboards, autocorrection and copied pages put
// in the place of the plain ones.
var lookalikes = map[rune]string{
	'”': `"`, '“': `"`, '„': `"`, '″': `"`, '〃': `"`, '‶': `"`,
	'’': `'`, '‘': `'`, '‚': `'`, '′': `'`, '´': `'`, '`': `'`, 'ʹ': `'`,
	'−': "-", '–': "-", '‐': "-", '‑': "-", '‒': "-", '—': "-", '﹣': "-",
	'⁄': "/", '∕': "/",
	'º': "°", '˚': "°", '℃': "°C", '℉': "°F", '\u212A': "K",
	'\u2126': "Ω", 'μ': "µ",
	'\u200B': "", '\u200C': "", '\u200D': "", '\u2060': "", '\uFEFF': "", '\u00AD': "",
}

// normal brings a text to plain characters with single spaces: quotes, minus
// signs, degree signs, full-width forms and one-character fractions.
func normal(text string) string {
	var b strings.Builder
	b.Grow(len(text) + 4)
	last := ' ' // last character written
	after := false
	for _, r := range text {
		if r >= '！' && r <= '～' { // full-width forms lie parallel to ASCII
			r -= '！' - '!'
		}
		if f, ok := vulgar[r]; ok {
			if last >= '0' && last <= '9' {
				b.WriteByte(' ') // 1½ is 1 1/2
			}
			b.WriteString(f)
			last, after = '0', true
			continue
		}
		if after && r >= '0' && r <= '9' {
			b.WriteByte(' ') // ½2 is not 1/22
		}
		after = false
		plain, ok := lookalikes[r]
		switch {
		case ok && plain == "":
			continue
		case ok:
		case r <= ' ' || r == 0x7F || r == '\u00A0' || r == '\u3000' || r >= '\u2000' && r <= '\u200A' || r == '\u202F' || r == '\u205F' || r == '\u2028' || r == '\u2029':
			if last == ' ' {
				continue
			}
			plain = " "
		default:
			b.WriteRune(r)
			last = r
			continue
		}
		b.WriteString(plain)
		last = rune(plain[len(plain)-1])
	}
	return strings.TrimRight(strings.ReplaceAll(b.String(), "''", `"`), " ") // two strokes for one
}

// tidyUnit brings the text of a unit to the form the table is keyed by: ^2 and
// a 2 behind a letter become ², dots for products, no spaces round signs.
func tidyUnit(name string) string {
	if plainUnit(name) {
		return name
	}
	name = strings.ReplaceAll(name, " per ", "/")
	name = strings.ReplaceAll(name, ". ", " ")
	var b strings.Builder
	b.Grow(len(name))
	runes := []rune(strings.TrimSuffix(strings.TrimSpace(name), "."))
	for i, r := range runes {
		switch r {
		case '·', '⋅', '∙', '×', '*', '•':
			r = '.'
		}
		runes[i] = r
	}
	at := func(i int) rune {
		if i < 0 || i >= len(runes) {
			return 0
		}
		return runes[i]
	}
	for i := 0; i < len(runes); i++ {
		r := runes[i]
		if r == ' ' && (tight(at(i-1)) || tight(at(i+1)) || at(i-1) == ' ') {
			continue
		}
		if r == '^' && power(at(i+1), at(i+2)) {
			continue // the figure behind it is written raised
		}
		if power(r, at(i+1)) && (letter(at(i-1)) || at(i-1) == '^') {
			r += '²' - '2' // ³ follows ² as 3 follows 2
		}
		b.WriteRune(r)
	}
	return b.String()
}

// plainUnit is true of most units as written: letters only.
func plainUnit(name string) bool {
	for i := range len(name) {
		if c := name[i] | 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return true
}

func tight(r rune) bool {
	switch r {
	case '/', '.', '^', '°', '√', '(', ')':
		return true
	}
	return false
}

func letter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

func power(r, next rune) bool {
	return (r == '2' || r == '3') && (next < '0' || next > '9') && next != '.' && next != ','
}
