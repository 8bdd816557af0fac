package gate

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"

	"soundmetal/source"
)

// keywords.csv: words of the job and what they mean. They match on whole words;
// case, plural, hyphen and space do not count ("lock-ring", "Lockrings").
//
//	in     part: the item's part and name; machine: the machine's kind, and for cranes,
//	       people lifts and industrial trucks the part and name too; steel: grade,
//	       family, part and name; approval: the item's approval text; any: everywhere
//	with   the row holds only where the machine carries this tag; where one row of a
//	       phrase holds by its tag, the rows without tag do not
//	kind   see hitKind
//	means  a role of the job file or a word of our own (facts.go); for tags the tags
//
// A longer phrase hides a shorter one inside it ("road fork" hides "fork"); where
// two of one length overlap, both count.

// hitKind is what a phrase does.
type hitKind string

const (
	sure     hitKind = "sure"     // settles what the part is
	doubt    hitKind = "doubt"    // may be that part: ask
	plain    hitKind = "plain"    // an ordinary structural part
	away     hitKind = "away"     // carries no load of the machine and protects nobody
	friend   hitKind = "friend"   // means nothing here, only hides the shorter words in it
	tag      hitKind = "tag"      // a trait of the machine
	near     hitKind = "near"     // the words behind it name a neighbour: sure becomes doubt
	denial   hitKind = "denial"   // an approval with this word is no approval
	spelling hitKind = "spelling" // another way to write the word in means
)

// keyword is one row of keywords.csv.
type keyword struct {
	in, with string
	kind     hitKind
	means    []string
}

// hit is one phrase found in a text: tokens from to before to of a segment.
type hit struct {
	keyword
	segment, from, to int
	word              string // as he wrote it
	field, text       string // where it stood, and the text there, shortened where long
}

// token is one word of a text.
type token struct {
	stem string // lower case, singular, usual spelling
	raw  string
}

//go:embed keywords.csv
var keywordsCSV string

var (
	keywordRows  = sync.OnceValue(func() []source.Row { return source.Table("gate/keywords.csv", keywordsCSV) })
	spellings    = sync.OnceValue(readSpellings)
	keywordIndex = sync.OnceValue(readKeywords)
)

func readSpellings() map[string]string {
	usual := map[string]string{}
	for _, r := range keywordRows() {
		if hitKind(r.Text("kind")) == spelling {
			for _, p := range r.List("phrases") {
				usual[singular(p)] = r.Text("means")
			}
		}
	}
	return usual
}

// phraseIndex finds a phrase by its stems written together; longest is the number
// of words that one may be written in.
type phraseIndex struct {
	by      map[string][]keyword
	longest int
}

// readKeywords indexes the phrases by their stems written together, so that
// "lock ring", "lock-ring" and "lockring" are one.
func readKeywords() phraseIndex {
	index, longest := map[string][]keyword{}, 0
	for _, r := range keywordRows() {
		r.Ref() // panics on an unknown source or status
		kind := hitKind(r.Text("kind"))
		if kind == spelling {
			continue
		}
		for _, p := range r.List("phrases") {
			segments := tokenize(p)
			if len(segments) != 1 {
				panic("gate: keywords.csv: phrase " + p + " falls into parts")
			}
			key := joined(segments[0])
			index[key] = append(index[key], keyword{r.Text("in"), r.Text("with"), kind, r.List("means")})
			longest = max(longest, len(segments[0]))
		}
	}
	// a phrase may be written in more pieces than in the table: "under carriage"
	return phraseIndex{index, longest + 1}
}

// tokenize cuts a text into segments at punctuation that ends a thought, and
// each segment into words. A phrase never reaches over the end of a segment.
func tokenize(s string) [][]token {
	var segments [][]token
	var segment []token
	var word []rune
	endWord := func() {
		if len(word) > 0 {
			raw := string(word)
			segment = append(segment, token{stem(raw), raw})
			word = nil
		}
	}
	endSegment := func() {
		endWord()
		if len(segment) > 0 {
			segments = append(segments, segment)
			segment = nil
		}
	}
	runes := []rune(s)
	isWord := func(i int) bool {
		return i >= 0 && i < len(runes) && (unicode.IsLetter(runes[i]) || unicode.IsDigit(runes[i]) || unicode.IsMark(runes[i]))
	}
	for i, r := range runes {
		switch {
		case isWord(i):
			word = append(word, r)
		case r == '\'' || r == '’': // driver's
		case r == '\n' || r == '\r':
			endSegment()
		case unicode.IsSpace(r) || r == '_' || unicode.Is(unicode.Pd, r):
			endWord()
		case r == '.' && isWord(i-1) && isWord(i+1): // L.P.G.
			endWord()
		default:
			endSegment()
		}
	}
	endSegment()
	return segments
}

func stem(word string) string {
	s := singular(strings.ToLower(word))
	if usual, ok := spellings()[s]; ok {
		return usual
	}
	return s
}

// singular takes the plural off an English word. It is used on both sides, so
// it need only be consistent, not right.
func singular(s string) string {
	ends := func(suffixes ...string) bool {
		return slices.ContainsFunc(suffixes, func(x string) bool { return strings.HasSuffix(s, x) })
	}
	switch {
	case len(s) <= 3:
		return s
	case ends("ies") && len(s) > 4:
		return s[:len(s)-3] + "y"
	case ends("xes", "ches", "shes", "sses", "zes"):
		return s[:len(s)-2]
	case ends("s") && !ends("ss", "us", "is"):
		return s[:len(s)-1]
	}
	return s
}

func joined(tokens []token) string {
	var b strings.Builder
	for _, t := range tokens {
		b.WriteString(t.stem)
	}
	return b.String()
}

func written(tokens []token) string {
	words := make([]string, len(tokens))
	for i, t := range tokens {
		words[i] = t.raw
	}
	return strings.Join(words, " ")
}

// find gives every phrase of the text, in the order of their first words;
// wants says which rows of keywords.csv hold for this text.
func find(field, text string, wants func(keyword) bool) []hit {
	var all []hit
	short, index := fact(text), keywordIndex()
	for n, segment := range tokenize(text) {
		var here []hit
		for from := range segment {
			for to := from + 1; to <= len(segment) && to-from <= index.longest; to++ {
				for _, k := range index.by[joined(segment[from:to])] {
					if k.in == "any" || wants(k) {
						here = append(here, hit{k, n, from, to, written(segment[from:to]), field, short})
					}
				}
			}
		}
		neighbours(here, segment)
		all = append(all, here...)
	}
	return all
}

// neighbours turns sure into doubt behind a word such as "beside", for the part
// is then something else. The protective frame stays: its rule covers the
// metal around its mounts too.
func neighbours(hits []hit, segment []token) {
	ends := map[int]bool{} // tokens before which a word such as "beside" ends
	for _, h := range hits {
		if h.kind == near {
			ends[h.to] = true
		}
	}
	for i, h := range hits {
		if h.kind != sure || slices.Contains(h.means, protectFrame) {
			continue
		}
		before := h.from
		for before > 0 && slices.Contains(articles, segment[before-1].stem) {
			before--
		}
		if ends[before] {
			hits[i].kind = doubt
		}
	}
}

var articles = []string{"the", "a", "an", "its"}

// settle keeps the rows that count: a row with a tag counts where the machine
// carries the tag and then replaces the rows without tag for the same words; a
// longer phrase hides a shorter one inside it.
func settle(hits []hit, tags map[string]string) []hit {
	holds := func(h hit) bool { return h.with != "" && tags[h.with] != "" }
	var valid []hit
	for i, h := range hits {
		replaced := slices.ContainsFunc(around(hits, i), func(o hit) bool { return holds(o) && o.from == h.from && o.to == h.to })
		if h.kind != near && (holds(h) || h.with == "" && !replaced) {
			valid = append(valid, h)
		}
	}
	var out []hit
	for i, h := range valid {
		if !slices.ContainsFunc(around(valid, i), func(o hit) bool { return o.hides(h) }) {
			out = append(out, h)
		}
	}
	return out
}

// hides says that o is a longer phrase with h inside. A trait of the machine is
// hidden only by another trait or by a word that means nothing or an ordinary part.
func (o hit) hides(h hit) bool {
	if o.from > h.from || o.to < h.to || o.to-o.from == h.to-h.from {
		return false
	}
	if h.kind == tag {
		return o.kind == tag || o.kind == friend || o.kind == plain
	}
	return o.kind != tag
}

// around gives the hits of one text that may overlap hits[i] from its start or
// before it.
func around(hits []hit, i int) []hit {
	h := hits[i]
	reach := func(o hit) bool {
		return o.field == h.field && o.segment == h.segment && o.from >= h.from-keywordIndex().longest && o.from <= h.from
	}
	low, high := i, i+1
	for low > 0 && reach(hits[low-1]) {
		low--
	}
	for high < len(hits) && reach(hits[high]) {
		high++
	}
	return hits[low:high]
}
