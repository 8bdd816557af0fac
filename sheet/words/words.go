// Package words keeps the words of drawings and paper in one table, words.csv,
// with a column for each language. Words of the plan itself come with the plan.
package words

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"maps"
	"slices"
	"strings"
)

//go:embed words.csv
var wordsCSV string

// Book is the words of one language.
type Book struct {
	lang  string
	words map[string]string
}

var books = mustRead(wordsCSV)

func mustRead(text string) map[string]*Book {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) == 0 {
		panic(fmt.Sprint("words: words.csv: not a table: ", err))
	}
	all := map[string]*Book{}
	for column, lang := range rows[0][1:] {
		b := &Book{lang, map[string]string{}}
		for _, r := range rows[1:] {
			if _, twice := b.words[r[0]]; twice {
				panic("words: words.csv: key " + r[0] + " twice")
			}
			word := r[column+1]
			if word == "" {
				word = r[1] // English until somebody translates it
			}
			b.words[r[0]] = word
		}
		all[lang] = b
	}
	return all
}

// English is the language that every word has.
func English() *Book { return books["en"] }

// In gives the words of a language by its two letters.
func In(lang string) (*Book, error) {
	if b := books[lang]; b != nil {
		return b, nil
	}
	return nil, fmt.Errorf("no words for language %q; there are %s", lang, strings.Join(slices.Sorted(maps.Keys(books)), ", "))
}

// Lang is the language by its two letters.
func (b *Book) Lang() string { return b.lang }

// T gives a word by its key; args fill its verbs. A key that is not in the table
// is a programmer's error and panics.
func (b *Book) T(key string, args ...any) string {
	w, ok := b.words[key]
	if !ok {
		panic("words: no key " + key + " in words.csv")
	}
	if len(args) > 0 {
		return fmt.Sprintf(w, args...)
	}
	return w
}

// Has says whether there is a word of that key.
func (b *Book) Has(key string) bool { _, ok := b.words[key]; return ok }

// Keys gives all keys in order.
func (b *Book) Keys() []string { return slices.Sorted(maps.Keys(b.words)) }
