package plan

import (
	"slices"
	"strings"
	"unicode"

	"soundmetal/source"
)

// A phrase is found in a text on whole words; case, hyphens and the plural do
// not count. The longest phrase counts; of two as long, the one that stands first.

// phrase is some words and what they mean.
type phrase struct {
	words []string
	means []string
	ref   source.Ref
}

func phrases(r source.Row, column string, means ...string) []phrase {
	var all []phrase
	for _, p := range r.List(column) {
		all = append(all, phrase{wordsOf(p), means, r.Ref()})
	}
	return all
}

// wordsOf cuts a text into plain words.
func wordsOf(text string) []string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for i, w := range words {
		if len(w) > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") {
			words[i] = strings.TrimSuffix(w, "s")
		}
	}
	return words
}

// find gives the phrase that a text holds.
func find(all []phrase, text []string) (best phrase, ok bool) {
	at := len(text)
	for _, p := range all {
		if len(p.words) < len(best.words) || len(p.words) == 0 {
			continue
		}
		i := indexOf(text, p.words)
		if i >= 0 && (len(p.words) > len(best.words) || i < at) {
			best, at, ok = p, i, true
		}
	}
	return best, ok
}

func indexOf(text, words []string) int {
	for i := 0; i+len(words) <= len(text); i++ {
		if slices.Equal(text[i:i+len(words)], words) {
			return i
		}
	}
	return -1
}

// neighbours are words behind which a part is named that is not the one meant.
var neighbours = []string{"beside", "near", "next", "behind", "below", "above", "under", "towards"}

// before cuts a text off where the names of neighbours begin.
func before(text []string) []string {
	if i := slices.IndexFunc(text, func(w string) bool { return slices.Contains(neighbours, w) }); i > 0 {
		return text[:i]
	}
	return text
}
