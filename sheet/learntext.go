package sheet

import (
	"fmt"

	"soundmetal/plan"
)

// LearnText prints the welder's own figures beside the handbook's.
func LearnText(a *plan.Learned) string {
	var w writer
	w.line("YOUR OWN FIGURES")
	jobs := fmt.Sprintf("from %d finished jobs", a.Jobs)
	if a.Jobs == 1 {
		jobs = "from 1 finished job"
	}
	w.line(jobs)
	w.blank()
	row := func(label, handbook, yours, used, next, n string) {
		w.line(fmt.Sprintf("  %-36s %8s %8s %8s  %-13s%s", label, handbook, yours, used, next, n))
	}
	row("", "handbook", "yours", "used", "next job, 4", "")
	row("", "", "", "", "times in 5", "")
	for _, f := range a.Figures {
		row(f.Label, f.Handbook, f.Yours, f.Used, f.Next, "")
		weight := f.Weight.Text(a.Units) + " against the handbook"
		text := fmt.Sprintf("%d jobs: they weigh %s", f.Jobs, weight)
		switch f.Jobs {
		case 0:
			text = "no job yet: the handbook holds"
		case 1:
			text = "1 job: it weighs " + weight
		}
		w.para("    ", "    ", text)
		for _, l := range f.LeftOut {
			w.para("    left out: ", "      ", l)
		}
	}
	if len(a.Factors) > 0 {
		w.heading("FOR SHOP.YAML")
		w.line("factors:")
		for _, f := range a.Factors {
			w.line("  " + f.Key + ": " + f.Value)
		}
	}
	w.heading("HOW")
	w.whole(a.Basis)
	return w.String()
}
