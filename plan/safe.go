package plan

import (
	"slices"

	"soundmetal/cut"
	"soundmetal/gate"
	"soundmetal/job"
	q "soundmetal/quantity"
)

// makeSafe is the union of the steps of all planned items, in the order of the work.
func makeSafe(planned []*work) *Section {
	s := &Section{ID: "safe", Title: "Make safe, before anything else"}
	var steps []gate.Step
	for _, w := range planned {
		for _, step := range gate.MakeSafe(w.j, w.it, w.doing()) {
			if !slices.ContainsFunc(steps, func(o gate.Step) bool { return o.ID == step.ID && o.SI == step.SI }) {
				steps = append(steps, step)
			}
		}
	}
	slices.SortStableFunc(steps, func(a, b gate.Step) int { return a.Order - b.Order })
	for _, step := range steps {
		kind := Do
		if step.Hold {
			kind = Hold
		}
		b := step.Basis
		s.add(kind, step.Heading(planned[0].sys)+". "+step.Text(planned[0].sys), &b)
		if step.ID == "work-lead" {
			for _, w := range planned {
				w.clampLine(s)
			}
		}
	}
	var findings []gate.Finding
	for _, w := range planned {
		for _, f := range gate.Weather(w.j.Site, gate.Rod, w.j.Site.Steel, w.sys) {
			if !slices.ContainsFunc(findings, func(o gate.Finding) bool { return o.RuleID == f.RuleID }) {
				findings = append(findings, f)
			}
		}
	}
	for _, f := range findings {
		b := f.Basis()
		s.add(Caution, f.Title+". "+f.Why, &b)
	}
	return s
}

// doing is what the arc will be like, for eyes, ears and air.
func (w *work) doing() gate.Work {
	work := gate.Work{Process: gate.Rod, Gouge: job.Yes, Torch: job.Yes}
	if !w.thickness.Known || len(w.steels) == 0 {
		return work
	}
	if a := w.rod.fill.amps.Value.Used; a.High > 0 {
		work.Current = q.Known(a.High)
		if r, err := cut.ShadeFor(cut.RodArc, a.High); err == nil {
			work.Shade = r.Value.Minimum
		}
	}
	for _, g := range w.gouges {
		if !g.Value.Found {
			continue
		}
		work.GougeCurrent = q.Known(max(work.GougeCurrent.Or(0), g.Value.Set.High))
		work.Shade = max(work.Shade, g.Value.Shade.Value.Minimum)
		work.BareEars = q.Known(g.Value.Noise.Value.NIOSH)
	}
	return work
}
