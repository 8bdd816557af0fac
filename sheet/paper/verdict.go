package paper

import (
	"strings"

	"soundmetal/gate"
	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/view"
)

// notPlanned says why there is no figure, what would change that and what may be
// done meanwhile.
func (f *flow) notPlanned(it view.Item) {
	f.heading(f.t("verdict." + it.Plan.Touch.Class.String()))
	for _, n := range it.Plan.Touch.Findings {
		f.finding(n)
	}
	for _, q := range it.Plan.Touch.Ask {
		f.tick(f.lead(q.Text), false)
	}
	if t := it.Plan.Touch.CustomerText; t != "" {
		f.heading(f.t("verdict.customer"))
		f.para(t, style{after: 2})
	}
}

// finding is one rule with its reason.
func (f *flow) finding(n gate.Finding) {
	f.caution(f.lead(n.Title))
	st := style{indent: 6.4, size: smallSize + 0.3}
	f.para(f.lead(n.Why), st)
	if len(n.Because) > 0 {
		f.para(f.t("verdict.because", f.lead(strings.Join(n.Because, "; "))), st)
	}
	if n.Unlock != "" {
		f.para(f.t("verdict.unlock", f.lead(n.Unlock)), st)
	}
	for _, m := range n.Meanwhile {
		f.para(f.t("verdict.meanwhile", f.lead(m)), st)
	}
	rule := n.Source.String() + " [" + string(n.Source.Status) + "]"
	if n.Jurisdiction != "" {
		rule += "; " + f.t("verdict.elsewhere", n.Jurisdiction)
	}
	f.para(rule, style{indent: 6.4, size: smallSize, tone: draw.Dark, after: 1.6})
}

// section gives a section of the place.
func section(it view.Item, id string) (plan.Section, bool) {
	for _, s := range it.Plan.Sections {
		if s.ID == id {
			return s, true
		}
	}
	return plan.Section{}, false
}

// lineID is the id of a standing line.
func lineID(l plan.Line) string {
	if l.Basis == nil {
		return ""
	}
	return l.Basis.Method
}

// holdsOf prints the hold points of a section, but for those named.
func (f *flow) holdsOf(it view.Item, id string, not ...string) {
	s, _ := section(it, id)
	for _, l := range s.Lines {
		if l.Kind != plan.Hold || has(not, lineID(l)) {
			continue
		}
		f.tick(f.lead(l.Text), true)
	}
}

// holdText prints one hold point of a section by its id.
func (f *flow) holdText(it view.Item, id, line string) {
	s, _ := section(it, id)
	for _, l := range s.Lines {
		if l.Kind == plan.Hold && lineID(l) == line {
			f.tick(f.lead(l.Text), true)
		}
	}
}

// cautionsOf prints the cautions of a section, but for those named.
func (f *flow) cautionsOf(it view.Item, id string, not ...string) {
	s, _ := section(it, id)
	var said []string
	for _, l := range s.Lines {
		if l.Kind == plan.Caution && !has(said, l.Text) && !has(not, lineID(l)) { // both sides may say the same
			f.caution(f.lead(l.Text))
			said = append(said, l.Text)
		}
	}
}

func has(all []string, s string) bool {
	for _, a := range all {
		if a == s && s != "" {
			return true
		}
	}
	return false
}
