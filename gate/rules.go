package gate

import (
	_ "embed"
	"slices"
	"sync"

	"soundmetal/source"
)

// touch.csv: one row for each rule.
//
//	class     refuse, escalate or condition
//	scope     what stands against it: part, machine, site, request or papers
//	unlock    who must approve, or what has to change
//	approver, subject  words of an approval that lifts an escalation: it needs one of
//	          each, and a date or number; @role stands for every word of keywords.csv
//	          with that meaning
//	permit    hot-work: site.permit lifts it too
//	customer  the sentence to the customer: polite, no figure, no blame
//	country, place     whose law the source is; empty: trade practice or an
//	          international text
//
// No text of a row holds a figure. elsewhere.csv: the same rule in other places,
// shown first where the job is there.

//go:embed touch.csv
var touchCSV string

//go:embed elsewhere.csv
var elsewhereCSV string

//go:embed phrases.csv
var phrasesCSV string

// law is one text that a rule stands in.
type law struct {
	country, place string
	ref            source.Ref
}

// rule is one row of touch.csv.
type rule struct {
	id, scope, title, why, unlock, customer, permit string
	class                                           Class
	meanwhile, approvers, subjects                  []string
	laws                                            []law
}

var (
	touchRules = sync.OnceValue(readRules)
	phrases    = sync.OnceValue(readPhrases)
)

func readRules() []rule {
	var all []rule
	for _, r := range source.Table("gate/touch.csv", touchCSV) {
		all = append(all, rule{
			id: r.Text("id"), scope: r.Text("scope"), title: r.Text("title"), why: r.Text("why"),
			unlock: r.Text("unlock"), customer: r.Text("customer"), permit: r.Text("permit"),
			class: classOf(r.Text("class")), meanwhile: r.List("meanwhile"),
			approvers: r.List("approver"), subjects: r.List("subject"),
			laws: []law{{r.Text("country"), r.Text("place"), r.Ref()}},
		})
	}
	for _, r := range source.Table("gate/elsewhere.csv", elsewhereCSV) {
		i := slices.IndexFunc(all, func(one rule) bool { return one.id == r.Text("rule") })
		if i < 0 {
			panic("gate: elsewhere.csv: no rule " + r.Text("rule"))
		}
		all[i].laws = append(all[i].laws, law{r.Text("country"), r.Text("place"), r.Ref()})
	}
	return all
}

func classOf(word string) Class {
	var c Class
	if err := c.UnmarshalText([]byte(word)); err != nil {
		panic("gate: " + err.Error())
	}
	return c
}

func readPhrases() map[string]string {
	all := map[string]string{}
	for _, r := range source.Table("gate/phrases.csv", phrasesCSV) {
		all[r.Text("id")] = r.Text("text")
	}
	return all
}

// phrase gives a standing sentence. An unknown id is a programmer's error.
func phrase(id string) string {
	text, ok := phrases()[id]
	if !ok {
		panic("gate: no phrase " + id)
	}
	return text
}
