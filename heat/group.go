package heat

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/source"
)

// Group is a family of steels that share rules of heat: ceiling, cooling time,
// waiting time, special minimum. The empty Group counts as Unlisted.
type Group string

// Groups with rules of their own (groups.csv).
const (
	Mild         Group = "mild"
	S355         Group = "s355"
	S460         Group = "s460"
	S690         Group = "s690"
	A514         Group = "a514"
	S960         Group = "s960"
	AR400        Group = "ar400"
	AR450        Group = "ar450"
	AR500        Group = "ar500"
	AR600        Group = "ar600"
	CastCarbon   Group = "cast-carbon"
	CastAlloy    Group = "cast-alloy"
	MediumCarbon Group = "medium-carbon"
	CrMo         Group = "cr-mo"
	NiCrMo       Group = "ni-cr-mo"
	HighCarbon   Group = "high-carbon"
	Manganese    Group = "manganese"
	Stainless    Group = "stainless"
	Unlisted     Group = "unlisted" // of no known family

	// strongFiller heads the rules that come from the rod, not from the steel.
	strongFiller Group = "strong-filler"
)

type groupRow struct {
	group       Group
	title       string
	aliases     []string
	equivalents bool   // carbon equivalents mean something for it
	highCarbon  bool   // above .32 % C the practice for high-carbon steel is used
	hold        string // column of the waiting time table, or A514, or none
	ref         source.Ref
}

var (
	groupRows = loadGroups()
	groupOf   = indexGroups(groupRows)
)

func loadGroups() []groupRow {
	var all []groupRow
	for _, r := range load("groups.csv") {
		all = append(all, groupRow{Group(r.Text("group")), r.Text("title"), strings.Fields(r.Text("aliases")),
			r.Yes("equivalents"), r.Yes("high_carbon"), r.Text("hold"), r.Ref()})
	}
	return all
}

func indexGroups(rows []groupRow) map[Group]*groupRow {
	m := make(map[Group]*groupRow, len(rows))
	for i := range rows {
		m[rows[i].group] = &rows[i]
	}
	return m
}

// Groups lists all groups in the order of the table.
func Groups() []Group {
	all := make([]Group, len(groupRows))
	for i, r := range groupRows {
		all[i] = r.group
	}
	return all
}

// orUnlisted gives the group itself, or Unlisted for the empty one.
func (g Group) orUnlisted() Group {
	if g == "" {
		return Unlisted
	}
	return g
}

// row is the group's row; an unknown group is a programmer's error, caught by valid.
func (g Group) row() *groupRow { return groupOf[g.orUnlisted()] }

// Title is the name of the group in words.
func (g Group) Title() string {
	if r := g.row(); r != nil {
		return r.title
	}
	return string(g)
}

// valid says whether the rules below know the group.
func (g Group) valid() error {
	if g.row() != nil {
		return nil
	}
	return fmt.Errorf("steel group %q is not known; use one of %s", string(g), groupList())
}

// ParseGroup finds the group of a group id or of a grade as people write it:
// "s355", "S355J2+N", "A572 Gr 50", "a514-F", "4140".
func ParseGroup(name string) (Group, error) {
	key, seams := gradeKey(name)
	best, length := Group(""), 0
	for _, r := range groupRows {
		for _, alias := range append([]string{string(r.group)}, r.aliases...) {
			if a, _ := gradeKey(alias); len(a) > length && beginsGrade(key, seams, a) {
				best, length = r.group, len(a)
			}
		}
	}
	if best == "" {
		return "", fmt.Errorf("steel %q is not in the list; give a grade such as s355, a36, a572-50, s690, a514, ar400, 1045, 4140, or a group: %s", name, groupList())
	}
	return best, nil
}

// gradeKey drops case, blanks, dashes and the words between a standard and its
// grade; seams are the places where one was.
func gradeKey(s string) (key string, seams []int) {
	for _, f := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" -_/", r) }) {
		for _, w := range []string{"astm", "aisi", "sae", "type", "grade", "gr.", "gr"} {
			if rest, ok := strings.CutPrefix(f, w); ok && (rest == "" || digit(rest[0])) {
				f = rest
			}
		}
		key += f
		seams = append(seams, len(key))
	}
	return key, seams
}

func digit(b byte) bool { return b >= '0' && b <= '9' }

// beginsGrade says whether key is the alias, or goes on after it with a suffix
// that is no further digit of the same word (s355j2 is S355, a148-80 is A148;
// a3600 is not A36).
func beginsGrade(key string, seams []int, alias string) bool {
	rest, ok := strings.CutPrefix(key, alias)
	return ok && (rest == "" || !digit(rest[0]) || !digit(alias[len(alias)-1]) || slices.Contains(seams, len(alias)))
}

func groupList() string {
	var ids []string
	for _, r := range groupRows {
		ids = append(ids, string(r.group))
	}
	return strings.Join(ids, ", ")
}
