package sheet

import (
	"strings"

	"soundmetal/plan"
)

// RigText prints whether the rig runs the job, 80 columns wide.
func RigText(a *plan.RigAnswer) string {
	var w writer
	w.line(strings.ToUpper(a.Job) + ": THE RIG")
	var facts []string
	for _, s := range []string{a.Customer, a.Machine, a.Place} {
		if s != "" {
			facts = append(facts, s)
		}
	}
	if len(facts) > 0 {
		w.para("", "", strings.Join(facts, " · "))
	}
	for _, c := range a.Cautions {
		w.para("! ", "  ", c)
	}
	for _, s := range a.Sections {
		w.section("", s)
	}
	w.legend()
	return w.String()
}
