// Package gate answers the first two questions of a repair: may I touch it, and
// what has to be done before the arc.
//
// Screen holds the job against the rules of touch.csv: a rule refuses,
// escalates (no arc until a named approval is there in writing) or sets a
// condition. A fact that is not known gives a question and stays in force as a
// condition. MakeSafe gives the steps before the arc; there an unknown fact
// counts as dangerous. Weather and InspectionMethods give the limits of weather
// and of crack finding.
//
// Rules, words and texts are data (*.csv); the predicate of each rule is a small
// function of the same id (when.go, ask.go, makesafewhen.go, weather.go).
// A verdict is about the law and the trade as read; local rules and the people
// who answer for the site stand above it.
package gate

import (
	"cmp"
	"slices"
	"strings"

	"soundmetal/job"
	"soundmetal/source"
)

// Verdict says whether one damaged place may be touched.
type Verdict struct {
	Class        Class      `json:"class" doc:"worst of the findings: refuse, escalate, condition or go"`
	Findings     []Finding  `json:"findings" doc:"what stands against it, worst first"`
	Ask          []Question `json:"ask" doc:"facts not known that could change the verdict"`
	Notes        []string   `json:"notes,omitempty" doc:"what to know besides: what a waiver is worth"`
	CustomerText string     `json:"customer_text" doc:"one polite paragraph to send to the customer"`
}

// Finding is one rule that the job meets.
type Finding struct {
	RuleID       string         `json:"rule" doc:"id of the rule"`
	Class        Class          `json:"class" doc:"refuse, escalate or condition"`
	Scope        string         `json:"scope,omitempty" doc:"what stands against it: part, machine, site, request, papers or weather"`
	Title        string         `json:"title" doc:"the rule in a line"`
	Why          string         `json:"why" doc:"the reason"`
	Unlock       string         `json:"unlock,omitempty" doc:"who must approve, or what has to change"`
	Meanwhile    []string       `json:"meanwhile,omitempty" doc:"what may be done until then"`
	Source       source.Ref     `json:"source" doc:"where the rule is from"`
	Jurisdiction string         `json:"jurisdiction,omitempty" doc:"whose rule it is, where it is not of the job's country: check yours"`
	Also         []Elsewhere    `json:"also,omitempty" doc:"the same rule in other texts"`
	Because      []string       `json:"because" doc:"facts of the job that met the rule, in his words"`
	Approved     string         `json:"approved,omitempty" doc:"the approval that turned an escalation into a condition"`
	Figures      []source.Input `json:"figures,omitempty" doc:"limits and readings of a weather rule; a rule of touch has none"`
}

// Elsewhere is the same rule in another text.
type Elsewhere struct {
	Source       source.Ref `json:"source" doc:"where"`
	Jurisdiction string     `json:"jurisdiction,omitempty" doc:"whose rule it is"`
}

// Basis gives the finding's reason in the form that every "why?" has.
func (f Finding) Basis() source.Basis {
	b := source.Basis{Method: "touch." + f.RuleID, Title: f.Title, Ref: f.Source, Why: f.Why, Inputs: f.Figures}
	for _, fact := range f.Because {
		b.Notes = append(b.Notes, "because "+fact)
	}
	if f.Jurisdiction != "" {
		b.Notes = append(b.Notes, "rule shown is "+f.Jurisdiction+"; check yours")
	}
	for _, a := range f.Also {
		b.Also = append(b.Also, a.Source)
	}
	return b
}

// Screen says whether the item of the job may be touched. Nothing but the facts
// counts: neither hurry nor money nor a waiver changes the class, and an
// approval lifts the escalation it names, never a refusal.
func Screen(j job.Job, it job.Item) Verdict {
	f := newFacts(j, it)
	f.asks = f.questions()
	v := Verdict{Class: Go, Findings: []Finding{}, Ask: f.asks}
	for _, r := range touchRules() {
		if because := touchWhen[r.id](f); because != nil {
			v.Findings = append(v.Findings, r.finding(f, because))
		}
	}
	slices.SortStableFunc(v.Findings, func(a, b Finding) int {
		if a.RuleID == "fire-ban" || b.RuleID == "fire-ban" { // it stands above the whole site
			return cmp.Compare(later(a.RuleID != "fire-ban"), later(b.RuleID != "fire-ban"))
		}
		return cmp.Or(cmp.Compare(a.Class, b.Class), cmp.Compare(later(a.Jurisdiction != ""), later(b.Jurisdiction != "")))
	})
	for _, one := range v.Findings {
		v.Class = Worst(v.Class, one.Class)
	}
	if f.wanted.Waiver == job.Yes {
		v.Notes = append(v.Notes, phrase("waiver-note"))
	}
	v.CustomerText = f.customerText(v)
	return v
}

// later is a sort key: what is true comes after what is not.
func later(b bool) int {
	if b {
		return 1
	}
	return 0
}

// finding fills a rule with the facts of the job.
func (r rule) finding(f *facts, because []string) Finding {
	one := Finding{
		RuleID: r.id, Class: r.class, Scope: r.scope, Title: r.title, Why: r.why, Unlock: r.unlock,
		Meanwhile: slices.Clone(r.meanwhile), Because: because,
	}
	one.Source, one.Jurisdiction, one.Also = r.law(f.site.Country)
	if approval := f.approvalFor(r); approval != "" {
		one.Class, one.Approved, one.Meanwhile = Condition, approval, []string{phrase("approved")}
	}
	return one
}

// law gives the text of the rule in the job's country first; place is empty
// where the text is of that country or of no country.
func (r rule) law(country string) (first source.Ref, place string, also []Elsewhere) {
	country = strings.ToUpper(strings.TrimSpace(country))
	if country == "UK" {
		country = "GB"
	}
	var home, abroad []Elsewhere
	for _, l := range r.laws {
		if l.country != "" && l.country == country {
			home = append(home, Elsewhere{l.ref, ""})
		} else {
			abroad = append(abroad, Elsewhere{l.ref, l.place})
		}
	}
	all := append(home, abroad...)
	if len(all) > 1 {
		also = all[1:]
	}
	return all[0].Source, all[0].Jurisdiction, also
}
