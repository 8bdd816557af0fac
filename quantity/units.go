package quantity

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math/big"
	"slices"
	"strings"
)

// The unit table is data: units.csv, one unit a row.
//
//	symbol   as printed; symbol and aliases are accepted in any case, an alias with
//	         = before it in this case only (=mΩ, so that MΩ is no milliohm)
//	factor   to SI, an expression of decimals, * and /, pi and rt(x), kept exact;
//	         with / before it the value is divided (°F: (x - 32) / 1.8)
//	offset   taken off first
//	show     named in messages as accepted
//	then     the smaller unit that may follow (2 ft 6 in), with ! where it must be
//	         written out, and after | a word that means it only there (1h30m)

// Unit is one unit of one kind.
type Unit struct {
	Kind   Kind
	Symbol string
	System System // SI for the units that both systems share
	Shared bool   // both systems use it: ampere, minute, %

	Aliases []string
	Source  string // key in source/sources.csv; "" for the names of scales
	Status  string

	factor, offset float64
	divide         bool     // SI = (x - offset) / factor
	exact          *big.Rat // the factor, for Exact; after division
	exactOffset    *big.Rat
	show           bool
	then           string   // symbol of the unit that may follow
	mustName       bool     // that unit must be written out
	thenWords      []string // further words for it
}

// SI converts x of the unit to the SI value.
func (u *Unit) SI(x float64) float64 {
	if u.divide {
		return (x - u.offset) / u.factor
	}
	return (x - u.offset) * u.factor
}

// From converts an SI value to the unit.
func (u *Unit) From(si float64) float64 {
	if u.divide {
		return si*u.factor + u.offset
	}
	return si/u.factor + u.offset
}

// glue is what stands between figure and unit.
func (u *Unit) glue() string {
	switch u.Symbol {
	case "%", "°":
		return u.Symbol
	case "", "1":
		return ""
	}
	return " " + u.Symbol
}

//go:embed units.csv
var unitsCSV string

//go:embed words.csv
var wordsCSV string

// word is an entry of words.csv: a word after a number that is not a unit.
type word struct {
	means    string // bare: as if it were not there; ask: two readings; refuse
	why      string
	readings []reading
}

// reading is what a doubtful word may mean: so many of a unit.
type reading struct {
	unit  string
	times float64
}

// lexicon is all that may stand behind a number of one kind.
type lexicon struct {
	units []*Unit
	exact map[string]*Unit // symbols and aliases, as written
	fold  map[string]*Unit // in lower case
	words map[string]*word // in lower case
	takes []string         // shown in messages
}

var lexicons = mustReadLexicons(unitsCSV, wordsCSV)

func mustReadLexicons(units, words string) *[kindCount]lexicon {
	var all [kindCount]lexicon
	for i := range all {
		all[i] = lexicon{exact: map[string]*Unit{}, fold: map[string]*Unit{}, words: map[string]*word{}}
	}
	for _, r := range mustReadCSV("units.csv", units) {
		u := mustMakeUnit(r)
		l := &all[u.Kind]
		l.units = append(l.units, u)
		if u.show {
			l.takes = append(l.takes, u.Symbol)
		}
		l.add(u.Symbol, u, !slices.Contains(u.Aliases, "="+u.Symbol))
		for _, a := range u.Aliases {
			sameCase := strings.HasPrefix(a, "=")
			l.add(strings.TrimPrefix(a, "="), u, !sameCase)
		}
	}
	for _, r := range mustReadCSV("words.csv", words) {
		k := mustKind("words.csv", r["kind"])
		w := &word{means: r["means"], why: r["why"]}
		for _, text := range split(r["readings"]) {
			unit, times, _ := strings.Cut(text, ":")
			w.readings = append(w.readings, reading{unit, mustFactor(times)})
		}
		for _, name := range split(r["words"]) {
			all[k].words[tidyUnit(name)] = w
		}
	}
	return &all
}

func (l *lexicon) add(name string, u *Unit, anyCase bool) {
	name = tidyUnit(normal(name))
	if other := l.exact[name]; other != nil && other != u {
		panic(fmt.Sprintf("quantity: units.csv: %q is both %s and %s", name, other.Symbol, u.Symbol))
	}
	l.exact[name] = u
	if !anyCase {
		return
	}
	low := strings.ToLower(name)
	if other := l.fold[low]; other != nil && other != u {
		panic(fmt.Sprintf("quantity: units.csv: %q is both %s and %s", low, other.Symbol, u.Symbol))
	}
	l.fold[low] = u
}

func (l *lexicon) find(name string) *Unit {
	if u := l.exact[name]; u != nil {
		return u
	}
	return l.fold[strings.ToLower(name)]
}

func mustMakeUnit(r map[string]string) *Unit {
	factor := strings.TrimPrefix(r["factor"], "/")
	u := &Unit{
		Kind: mustKind("units.csv", r["kind"]), Symbol: r["symbol"], Aliases: split(r["aliases"]),
		Source: r["source"], Status: r["status"], show: r["show"] != "",
		divide: factor != r["factor"], exact: mustRat(factor), exactOffset: new(big.Rat),
	}
	switch r["system"] {
	case "us":
		u.System = US
	case "both":
		u.Shared = true
	}
	u.factor, _ = u.exact.Float64()
	if u.divide {
		u.exact = new(big.Rat).Inv(u.exact)
	}
	if r["offset"] != "" {
		u.exactOffset = mustRat(r["offset"])
		u.offset, _ = u.exactOffset.Float64()
	}
	then := split(r["then"])
	if len(then) > 0 {
		u.then = strings.TrimSuffix(then[0], "!")
		u.mustName = u.then != then[0]
		u.thenWords = then[1:]
	}
	return u
}

// mustRat works out a factor of the table. Irrational ones are taken to 300 bits.
func mustRat(text string) *big.Rat {
	product := big.NewRat(1, 1)
	for i, over := range strings.Split(text, "/") {
		for j, name := range strings.Split(over, "*") {
			if inner, ok := strings.CutPrefix(name, "rt("); ok && !strings.HasSuffix(name, ")") {
				panic("quantity: units.csv: write rt(x) with a decimal: rt(" + inner)
			}
			v := mustNumber(name)
			if i > 0 && j == 0 {
				v = new(big.Rat).Inv(v)
			}
			product.Mul(product, v)
		}
	}
	return product
}

func mustNumber(text string) *big.Rat {
	const bits = 300
	const pi = "3.14159265358979323846264338327950288419716939937510582097494459230781640628620899"
	if text == "pi" {
		text = pi
	}
	inner, root := strings.CutPrefix(text, "rt(")
	v, ok := new(big.Rat).SetString(strings.TrimSuffix(inner, ")"))
	if !ok {
		panic("quantity: units.csv: no number: " + text)
	}
	if root {
		f := new(big.Float).SetPrec(bits).SetRat(v)
		v, _ = f.Sqrt(f).Rat(nil)
	}
	return v
}

func mustFactor(text string) float64 {
	f, _ := mustRat(text).Float64()
	return f
}

func mustKind(file, id string) Kind {
	k, ok := kindByID(id)
	if !ok {
		panic("quantity: " + file + ": no kind " + id)
	}
	return k
}

// mustReadCSV gives the rows as maps by column name.
func mustReadCSV(name, text string) []map[string]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic("quantity: " + name + ": " + err.Error())
	}
	out := make([]map[string]string, 0, len(rows)-1)
	for _, r := range rows[1:] {
		m := make(map[string]string, len(r))
		for i, v := range r {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

func split(list string) []string {
	if list == "" {
		return nil
	}
	return strings.Split(list, "|")
}

// Units lists the units of a kind, the first one being that of Exact("").
func (k Kind) Units() []*Unit {
	return lexicons[k].units[:len(lexicons[k].units):len(lexicons[k].units)]
}

// Unit looks up a unit of the kind by symbol or alias.
func (k Kind) Unit(text string) (*Unit, bool) {
	u := lexicons[k].find(tidyUnit(normal(text)))
	return u, u != nil
}

// mustUnit is Unit for a symbol in code; "" is the kind's first unit.
func (k Kind) mustUnit(symbol string) *Unit {
	l := &lexicons[k]
	if symbol == "" {
		return l.units[0]
	}
	u := l.find(symbol)
	if u == nil {
		u = l.find(tidyUnit(normal(symbol)))
	}
	if u == nil {
		panic(fmt.Sprintf("quantity: %q is not a unit of %s", symbol, k))
	}
	return u
}

// otherKind says which other kind a unit belongs to.
func otherKind(k Kind, name string) (Kind, bool) {
	for other := range kindCount {
		if other != k && other != KindNumber && lexicons[other].find(name) != nil {
			return other, true
		}
	}
	return 0, false
}
