package filler

import (
	_ "embed"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Reading what people write on a list, on a tin or on the phone: "7018",
// "E7018-H4R", "118", "lo-hi", "1/8 8018-C3 H4", "E 42 4 B 42 H5".
// The reader knows the classes of classes.csv, the words of aliases.csv and the
// strength symbols of ISO 2560-A and ISO 18275-A; anything else is an error that
// names the nearest class it does know.

//go:embed aliases.csv
var aliasesCSV string

//go:embed iso_strength.csv
var isoStrengthCSV string

//go:embed sizes.csv
var sizesCSV string

type alias struct{ class, assumed string }

var (
	aliases     = mustAliases(aliasesCSV)
	isoStrength = mustISOStrength(isoStrengthCSV)
	saidSizes   = mustSaidSizes(sizesCSV)
)

func mustAliases(text string) map[string]alias {
	all := map[string]alias{}
	add := func(key, class, assumed string) {
		if old, twice := all[key]; twice && old.class != class {
			panic("filler: aliases.csv: " + key + " means two classes")
		}
		all[key] = alias{class, assumed}
	}
	for _, c := range classes {
		key := squeeze(c.ID)
		add(key, c.ID, "")
		if bare, ok := strings.CutPrefix(key, "er"); ok {
			add(bare, c.ID, "")
		} else if bare, ok := strings.CutPrefix(key, "e"); ok {
			add(bare, c.ID, "")
		}
	}
	for _, r := range source.Table("aliases.csv", text) {
		if _, ok := byID(r.Text("class")); !ok {
			r.Fail("class", "no such class")
		}
		key := squeeze(r.Text("text"))
		add(key, r.Text("class"), r.Text("assumed"))
		if unicode.IsDigit(rune(key[0])) && len(key) >= 3 {
			add("e"+key, r.Text("class"), r.Text("assumed"))
		}
	}
	return all
}

func mustISOStrength(text string) map[string]string {
	all := map[string]string{}
	for _, r := range source.Table("iso_strength.csv", text) {
		all[r.Text("yield_mark")] = r.Text("class")
	}
	return all
}

type saidSize struct {
	said string
	size q.Length
}

func mustSaidSizes(text string) []saidSize {
	var all []saidSize
	for _, r := range source.Table("sizes.csv", text) {
		over, under, ok := strings.Cut(r.Text("inch"), "/")
		n, err1 := strconv.ParseFloat(over, 64)
		d, err2 := strconv.ParseFloat(under, 64)
		if !ok || err1 != nil || err2 != nil {
			r.Fail("inch", "not a fraction")
		}
		all = append(all, saidSize{r.Text("said"), q.Length(n/d) * q.Inch})
	}
	return all
}

// squeeze leaves lower-case ASCII letters and digits only.
func squeeze(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case 'A' <= r && r <= 'Z':
			return r + 'a' - 'A'
		case 'a' <= r && r <= 'z' || '0' <= r && r <= '9':
			return r
		}
		return -1
	}, s)
}

var (
	plainWords = regexp.MustCompile(`\b(?:rods?|electrodes?|sticks?|wire|dc|dcep|aws)\b`)
	metricSize = regexp.MustCompile(`(?:^|\s)(\d(?:[.,]\d{1,2})?)\s*mm\b`)
	bareSize   = regexp.MustCompile(`(?:^|\s)([1-8][.,]\d{1,2})(?:\s|$)`)
	inchSize   = regexp.MustCompile(`(?:^|\s)(0?[.,]\d{2,4})\s*(?:inch\b|in\b|")?`)
	marked     = regexp.MustCompile(`^(.+?)(?:h(2|4|5|8|10|15|16|z))?(r)?$`)
	isoClass   = regexp.MustCompile(`^e(\d\d)[0-9az](?:(?:1|2|15)?(?:mn|ni|mo)[a-z0-9]*?)?b\d{0,2}(?:h(5|10|15))?$`)
	stainless  = regexp.MustCompile(`^(.+?)(?:1[567]|2[56])$`)
	wireGas    = regexp.MustCompile(`^(.+?)[cmj]{1,2}$`)
)

const longestClass = 64 // runes; no tin says more

// Read reads a class of rod or wire as people write it. A size that stands with it is passed over; ReadRod gives it.
func Read(text string) (Class, error) {
	c, _, err := ReadRod(text)
	return c, err
}

// ReadRod reads a class and, where it is written with it, the core diameter.
func ReadRod(text string) (Class, q.Maybe[q.Length], error) {
	if len([]rune(text)) > longestClass {
		return Class{}, q.Maybe[q.Length]{}, fmt.Errorf("a class of rod is a few letters and figures, such as E7018-H4R; this text is longer than %d signs", longestClass)
	}
	clean := normalise(text)
	if i := strings.IndexFunc(clean, strange); i >= 0 {
		r, _ := utf8.DecodeRuneInString(clean[i:])
		return Class{}, q.Maybe[q.Length]{}, fmt.Errorf("%q: the sign %q stands in no class of rod; write the class on the tin, such as E7018-H4R, with a size as 1/8 or 3.2 mm", strings.TrimSpace(text), r)
	}
	rest, size := cutSize(clean)
	key := squeeze(rest)
	if key == "" {
		return Class{}, size, fmt.Errorf("%q names no rod; write the class on the tin, such as E7018-H4R or E11018-M", text)
	}
	if c, ok := readKey(key); ok {
		return c, size, nil
	}
	// The size pattern may have eaten a part of a class ("18/8 Mn" is none, but be sure).
	if whole := squeeze(clean); whole != key {
		if c, ok := readKey(whole); ok {
			return c, q.Maybe[q.Length]{}, nil
		}
	}
	near := nearest(key)
	return Class{}, size, fmt.Errorf("%q is not a rod or wire we know; the nearest is %s (write %s); accepted: the class on the tin, such as E7018-H4R, E11018-M, E309L",
		strings.TrimSpace(text), near, near)
}

func normalise(text string) string {
	s := strings.Map(func(r rune) rune {
		switch {
		case r == '″' || r == '”' || r == '“' || r == '＂':
			return '"'
		case r == '⁄' || r == '／':
			return '/'
		case unicode.Is(unicode.Pd, r) || r == '−': // every dash
			return '-'
		case unicode.IsSpace(r) || r == '_' || r == ';' || r == '(' || r == ')':
			return ' '
		}
		return unicode.ToLower(r)
	}, text)
	return plainWords.ReplaceAllString(s, " ")
}

// strange says that a sign has no business in a class of rod or its size.
func strange(r rune) bool {
	return (r < 'a' || r > 'z') && (r < '0' || r > '9') && !strings.ContainsRune(` -./,"'+:#`, r)
}

// cutSize takes the size out of a cleaned text.
func cutSize(s string) (rest string, size q.Maybe[q.Length]) {
	words := " " + strings.Join(strings.Fields(strings.ReplaceAll(s, "-", " ")), " ") + " "
	for _, said := range saidSizes {
		for _, end := range []string{" ", `" `, " in ", "in ", " inch ", "inch "} {
			if at := strings.Index(words, " "+said.said+end); at >= 0 {
				return words[:at] + " " + words[at+len(said.said+end)+1:], q.Known(said.size)
			}
		}
	}
	for _, p := range []struct {
		pattern *regexp.Regexp
		unit    q.Length
	}{{metricSize, q.Millimetre}, {bareSize, q.Millimetre}, {inchSize, q.Inch}} {
		m := p.pattern.FindStringSubmatchIndex(s)
		if m == nil {
			continue
		}
		v, err := strconv.ParseFloat(strings.ReplaceAll(s[m[2]:m[3]], ",", "."), 64)
		if err != nil || v <= 0 {
			continue
		}
		return s[:m[0]] + " " + s[m[1]:], q.Known(q.Length(v) * p.unit)
	}
	return s, q.Maybe[q.Length]{}
}

// readKey reads a squeezed class with its marks.
func readKey(key string) (Class, bool) {
	if c, ok := classOf(key); ok {
		return c, true
	}
	if m := isoClass.FindStringSubmatch(key); m != nil {
		id, ok := isoStrength[m[1]]
		if !ok {
			return Class{}, false
		}
		c, _ := byID(id)
		c.Assumed = "metric class taken as the nearest of our table; the strength on the tin stands"
		// The M classes promise H4; a metric tin promises only its own mark.
		c.Mark = q.Known(mustLevel("H16"))
		if m[2] != "" {
			c.Mark = q.Known(mustLevel("H" + m[2]))
		}
		return c, true
	}
	m := marked.FindStringSubmatch(key)
	if m == nil || m[2] == "" && m[3] == "" {
		return Class{}, false
	}
	c, ok := classOf(m[1])
	if !ok {
		return Class{}, false
	}
	if m[2] != "" && m[2] != "z" {
		c.Mark = q.Known(mustLevel("H" + m[2]))
	}
	c.Resist = m[3] == "r"
	return c, true
}

// classOf looks a key without marks up, with the suffixes that do not change the class.
func classOf(key string) (Class, bool) {
	find := func(key string) (Class, bool) {
		a, ok := aliases[key]
		if !ok {
			return Class{}, false
		}
		c, ok := byID(a.class)
		c.Assumed = a.assumed
		return c, ok
	}
	if c, ok := find(key); ok {
		return c, true
	}
	if m := stainless.FindStringSubmatch(key); m != nil {
		if c, ok := find(m[1]); ok && c.Metal == Austenitic {
			return c, true
		}
	}
	if m := wireGas.FindStringSubmatch(key); m != nil {
		if c, ok := find(m[1]); ok && c.Process == GasCored {
			return c, true
		}
	}
	return Class{}, false
}

func mustLevel(mark string) q.Hydrogen {
	h, ok := levelOf(mark)
	if !ok {
		panic("filler: no mark " + mark + " in designators.csv")
	}
	return h
}

// nearest is the class whose written form takes the fewest changes; among equals
// the one that starts alike, then the first of the table.
func nearest(key string) string {
	best, least, alike := "", 1<<30, 0
	for _, c := range classes {
		for k, a := range aliases {
			if a.class != c.ID {
				continue
			}
			d, n := changes(key, k), prefix(key, k)
			if d < least || d == least && n > alike {
				best, least, alike = c.ID, d, n
			}
		}
	}
	return best
}

func prefix(a, b string) int {
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}

// changes counts the insertions, deletions, replacements and swaps of
// neighbours between two texts (optimal string alignment).
func changes(a, b string) int {
	var before, last []int
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		before, last = last, row
		row = make([]int, len(b)+1)
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
	}
	return row[len(b)]
}
