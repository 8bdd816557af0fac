package filler

import (
	_ "embed"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Which rod for which weld: the tables. The verdicts are made in candidates.go.

// Group is a family of base steel, by the ids of the steel list.
type Group string

// The groups that the rules know (groups.csv).
const (
	Structural    Group = "structural"
	Quenched      Group = "quenched-and-tempered"
	Wear          Group = "wear"
	SteelCasting  Group = "casting"
	Bar           Group = "bar"
	MnSteel       Group = "manganese"
	Stainless     Group = "stainless"
	Iron          Group = "iron"
	FreeMachining Group = "free-machining"
	Unlisted      Group = "unlisted"
)

// Weld is what the run has to do.
type Weld string

// The kinds of weld.
const (
	GrooveTension Weld = "groove-tension" // full joint carrying tension
	FilletShear   Weld = "fillet-shear"
	Root          Weld = "root"
	Butter        Weld = "butter" // a layer on one side before the joint
)

// Strategy is what the deposit is against the steel.
type Strategy string

// The strategies; an austenitic, nickel or manganese deposit is its own.
const (
	Match      Strategy = "match"
	Undermatch Strategy = "undermatch"
	Overmatch  Strategy = "overmatch"
	Other      Strategy = "none" // not a metal for joining steel
)

// Verdict on a rod for a weld.
type Verdict string

// The verdicts, from best to worst.
const (
	Use   Verdict = "use"
	UseIf Verdict = "if" // with the conditions given in the reasons
	No    Verdict = "no"
)

func (v Verdict) rank() int { return slices.Index([]Verdict{Use, UseIf, No}, v) }

func worse(a, b Verdict) Verdict {
	if b.rank() > a.rank() {
		return b
	}
	return a
}

// Base is one credible steel on one side of the joint.
type Base struct {
	Group Group
	Name  string            // as shown
	Yield q.Maybe[q.Stress] // least yield of the steel by its standard
}

// Need is what the weld has to do and what there is to do it with.
type Need struct {
	Steels   []Base // every credible steel of the cracked part
	Other    []Base // credible steels of the part on the other side, if it is another part
	Weld     Weld
	Impact   job.Answer             // blows in service
	Service  q.Maybe[q.Temperature] // hot service; unknown: not hot
	Hydrogen q.Maybe[q.Hydrogen]    // most the preheat plan allows
	Position job.Position           // unknown: all positions
	Wind     q.Maybe[q.Speed]       // at the weld
	Rods     []job.Rod              // on the truck
	Oven     job.Answer             // baking oven at hand
	Rebaked  []bool                 // tin i was baked once already; may be nil
}

// Reason is one line for or against a rod.
type Reason struct {
	Text    string     `json:"text"`
	Instead string     `json:"instead,omitempty"`
	Verdict Verdict    `json:"verdict"`
	Ref     source.Ref `json:"source"`
}

// Candidate is one class judged for the weld.
type Candidate struct {
	Class    Class            `json:"class"`
	Rod      int              `json:"rod"` // index in Need.Rods; -1: not on the truck
	Verdict  Verdict          `json:"verdict"`
	Strategy Strategy         `json:"strategy"` // against the strongest credible steel
	Points   float64          `json:"points"`   // 0 is best
	Reasons  []Reason         `json:"reasons"`
	Dry      q.Maybe[Dry]     `json:"dry"`
	CET      q.Maybe[CETBand] `json:"cet"`
}

// Choice is the answer: what to use of what is there, what should be there, and what never.
type Choice struct {
	Use   []Candidate `json:"use"`           // on the truck, best first
	Never []Candidate `json:"never"`         // on the truck, not for this weld
	Want  []Candidate `json:"want"`          // best classes of the whole table, three at most
	Short bool        `json:"short"`         // the best class wanted is not on the truck
	Ask   string      `json:"ask,omitempty"` // what would settle a set of steels that wants different rods
}

//go:embed groups.csv
var groupsCSV string

//go:embed match.csv
var matchCSV string

//go:embed prefer.csv
var preferCSV string

//go:embed rules.csv
var rulesCSV string

type groupRow struct {
	title string
	yield q.Stress
	ref   source.Ref
}

type matchRow struct {
	to    q.Stress
	class Class
	ref   source.Ref
}

type preferRow struct {
	group    Group
	weld     Weld // empty: any other
	strategy Strategy
	from     q.Stress
	points   float64
	verdict  Verdict
	text     string
	ref      source.Ref
}

type ruleRow struct {
	id                                          string
	metal, coating, process, class, group, weld []string
	when                                        string
	verdict                                     Verdict
	points                                      float64
	text, instead                               string
	ref                                         source.Ref
}

var (
	groups  = mustGroups(groupsCSV)
	matches = mustMatches(matchCSV)
	prefers = mustPrefers(preferCSV)
	rules   = mustRules(rulesCSV)
)

// conditions are the words that the column "when" of rules.csv may hold.
var conditions = []string{"", "hot", "not-hot", "impact", "wind", "wind-unknown", "with-manganese", "no-manganese", "strong"}

func mustGroups(text string) map[Group]groupRow {
	all := map[Group]groupRow{}
	for _, r := range source.Table("groups.csv", text) {
		all[Group(r.Text("group"))] = groupRow{r.Text("title"), q.Stress(r.Num("assumed_yield_mpa")) * q.Megapascal, r.Ref()}
	}
	return all
}

func mustMatches(text string) []matchRow {
	var all []matchRow
	for _, r := range source.Table("match.csv", text) {
		c, ok := byID(r.Text("class"))
		if !ok || !c.UTS.Known {
			r.Fail("class", "no such class, or one without strength")
		}
		all = append(all, matchRow{q.Stress(r.Num("yield_to_mpa")) * q.Megapascal, c, r.Ref()})
	}
	return all
}

func mustVerdict(r source.Row) Verdict {
	v := Verdict(r.Text("verdict"))
	if v.rank() < 0 {
		r.Fail("verdict", "use, if or no")
	}
	return v
}

func mustPrefers(text string) []preferRow {
	var all []preferRow
	for _, r := range source.Table("prefer.csv", text) {
		g := Group(r.Text("group"))
		if _, ok := groups[g]; !ok {
			r.Fail("group", "not in groups.csv")
		}
		all = append(all, preferRow{g, Weld(r.Text("weld")), Strategy(r.Text("strategy")), q.Stress(r.Or("yield_from_mpa", 0)) * q.Megapascal,
			r.Num("points"), mustVerdict(r), r.Text("text"), r.Ref()})
	}
	return all
}

func mustRules(text string) []ruleRow {
	var all []ruleRow
	for _, r := range source.Table("rules.csv", text) {
		for _, g := range r.List("group") {
			if _, ok := groups[Group(g)]; !ok {
				r.Fail("group", "not in groups.csv")
			}
		}
		for _, id := range r.List("class") {
			if _, ok := byID(id); !ok {
				r.Fail("class", "not in classes.csv")
			}
		}
		if !slices.Contains(conditions, r.Text("when")) {
			r.Fail("when", "not a condition")
		}
		all = append(all, ruleRow{r.Text("id"), r.List("metal"), r.List("coating"), r.List("process"), r.List("class"), r.List("group"), r.List("weld"),
			r.Text("when"), mustVerdict(r), r.Num("points"), r.Text("text"), r.Text("instead"), r.Ref()})
	}
	return all
}

// yield is the least yield of the steel, or the group's where it is not known.
func (b Base) yield() q.Stress { return b.Yield.Or(groups[b.Group].yield) }

// matching is the class that matches a yield; ok is false above the table.
func matching(y q.Stress) (matchRow, bool) {
	i := slices.IndexFunc(matches, func(m matchRow) bool { return y <= m.to*(1+1e-9) })
	if i < 0 {
		return matchRow{}, false
	}
	return matches[i], true
}

// strategy is what a class is against a steel of yield y.
func (c Class) strategy(y q.Stress) Strategy {
	switch c.Metal {
	case Austenitic, Nickel, Manganese:
		return Strategy(c.Metal)
	case Ferritic:
	default:
		return Other
	}
	if !c.UTS.Known {
		return Other
	}
	m, ok := matching(y)
	switch {
	case !ok || c.UTS.V < m.class.UTS.V:
		return Undermatch
	case c.UTS.V > m.class.UTS.V:
		return Overmatch
	}
	return Match
}

// prefer finds the row for a steel, weld and strategy: the named weld before the
// general row, the higher strength before the lower.
func prefer(b Base, w Weld, s Strategy) (preferRow, bool) {
	best, found := preferRow{}, false
	for _, p := range prefers {
		if p.group != b.Group || p.strategy != s || p.weld != "" && p.weld != w || b.yield() < p.from {
			continue
		}
		if !found || p.weld != "" && best.weld == "" || p.weld == best.weld && p.from > best.from {
			best, found = p, true
		}
	}
	return best, found
}
