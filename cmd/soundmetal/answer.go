package main

import (
	"encoding/json"
	"fmt"

	"soundmetal/plan"
	"soundmetal/sheet"
)

// answer is what a verb of the plan room gives: its figures can be asked for.
type answer interface {
	Find(id string) (plan.Figure, error)
	Figures() []plan.Figure
}

// show prints an answer as it was asked for: why one figure is what it is, the
// names of the figures, JSON, or the text.
func (to *console) show(a answer, why string, figures, asJSON bool, text func() string) error {
	switch {
	case why != "":
		f, err := a.Find(why)
		if err != nil {
			return errBadInput{err}
		}
		fmt.Fprint(to.out, sheet.Why(f))
	case figures:
		fmt.Fprint(to.out, sheet.Figures(a.Figures()))
	case asJSON:
		return printJSON(to, a)
	default:
		fmt.Fprint(to.out, text())
	}
	return nil
}

func printJSON(to *console, v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	fmt.Fprintln(to.out, string(data))
	return nil
}
