package material

import (
	"slices"
	"strings"
	"unicode"

	"soundmetal/source"
)

// alias is one way of writing a steel.
type alias struct {
	families []int
	prefix   bool
}

var aliases, aliasPrefixes, aliasWords = readAliases()

// readAliases makes the lookup table, the list of those that take any ending,
// and the greatest number of words in one.
func readAliases() (map[string]alias, []string, int) {
	all := map[string]alias{}
	var prefixes []string
	longest := 1
	for i, f := range families[:listed] {
		all[strings.ReplaceAll(f.ID, "-", "")] = alias{families: []int{i}}
	}
	for _, r := range source.Table("aliases.csv", aliasesCSV) {
		r.Ref()
		var a alias
		for _, id := range r.List("families") {
			i, ok := familyIndex[id]
			if !ok {
				panic("aliases.csv: no family " + id)
			}
			a.families = append(a.families, i)
		}
		written := strings.Fields(r.Text("written"))
		longest = max(longest, len(written))
		key := strings.Join(written, "")
		if k, ok := strings.CutSuffix(key, "*"); ok {
			key, a.prefix = k, true
			prefixes = append(prefixes, k)
		}
		all[key] = a
	}
	slices.SortFunc(prefixes, func(a, b string) int { return len(b) - len(a) })
	return all, prefixes, longest
}

// words splits text into lower-case runs of letters and digits.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// Named gives the ids of the families that a written or spoken name can mean:
// "A36", "S355J2+N", "mild", "100 ksi Q&T", "hard plate", "cast". Where a text
// says two things, what both allow counts ("cast manganese"); where they share
// nothing, both count ("A36 or A572-50"). ok is false where nothing is recognised
// or a name is known but the list has no such steel (spring steel, A572 grade 65).
func Named(text string) (ids []string, ok bool) {
	set := named(text)
	if set == nil {
		return nil, false
	}
	for i, in := range set {
		if in {
			ids = append(ids, families[i].ID)
		}
	}
	return ids, true
}

func named(text string) []bool {
	ws := words(text)
	var set []bool
	for i := 0; i < len(ws); {
		a, n := aliasAt(ws[i:])
		if n == 0 {
			i++
			continue
		}
		i += n
		if a.families == nil {
			return nil
		}
		mine := make([]bool, listed)
		for _, f := range a.families {
			mine[f] = true
		}
		if set == nil {
			set = mine
			continue
		}
		both, any := make([]bool, listed), false
		for f := range set {
			both[f] = set[f] && mine[f]
			any = any || both[f]
		}
		if !any {
			for f := range set {
				both[f] = set[f] || mine[f]
			}
		}
		set = both
	}
	return set
}

// aliasAt finds the longest alias at the start of the words and how many it takes.
func aliasAt(ws []string) (alias, int) {
	// a name may be written in more pieces than its alias: A-514-B, Q & T
	for n := min(len(ws), aliasWords+2); n > 0; n-- {
		key := strings.Join(ws[:n], "")
		if a, ok := aliases[key]; ok {
			return a, n
		}
	}
	for n := 1; n <= min(len(ws), 2); n++ {
		key := strings.Join(ws[:n], "")
		for _, p := range aliasPrefixes {
			// an ending that starts with a digit would be another number: S3550 is not S355
			if rest, ok := strings.CutPrefix(key, p); ok && (rest == "" || rest[0] < '0' || rest[0] > '9') {
				return aliases[p], n
			}
		}
	}
	return alias{}, 0
}
