package plan

import (
	"fmt"

	"soundmetal/cut"
	"soundmetal/gate"
	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/joint"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// work is one damaged place while it is planned.
type work struct {
	j     job.Job
	shop  *job.Shop
	it    job.Item
	index int // from 0
	sys   q.System

	thickness q.Maybe[q.Length] // thickest part at the joint; unknown while that of the cracked part is
	t         q.Length          // the same; 0 while unknown
	wall      q.Length          // the cracked part
	thin      q.Length          // the thinner part

	assess material.Assessment
	steels []steelCase // credible and weldable
	iron   bool        // cast iron is credible too
	tests  []material.TestOption

	tins         []string // classes of the tins on the truck, see tin
	rod          rodPlan
	preheat      heat.PreheatInput
	energyLimits []energyLimit // limits of the arc energy that bind
	limits       []limits      // floor and ceiling of each of the steels
	held         holding
	saved        []saving                    // tests worth doing
	stopped      bool                        // a method could not answer: no figures
	gouges       []source.Result[cut.Choice] // each side of the excavation
	dig          source.Result[joint.Excavation]
	fill         source.Result[joint.Layers]
	home         *wayHome // the current's way home; nil where the machine is not drawn
	strong       strengthWork
}

// Make plans a job. The shop may be nil: then nothing is known of the kit. sys
// leads in the texts. The error is for jobs that cannot be planned at all; a
// fact that is missing is said in the plan.
func Make(j job.Job, shop *job.Shop, sys q.System) (*Plan, error) {
	p, planned := begin(j, shop, sys)
	if len(planned) > 0 { // where nothing may be touched not even the job's own measures are repeated
		p.Read = echo(j, p.Items, sys)
		p.MakeSafe = makeSafe(planned)
		o := orderOf(j, shop, sys, planned)
		p.Load, p.Bring = bring(o, planned)
		p.Hours = hours(o)
	}
	return p, nil
}

// begin screens every item and plans those that may be touched.
func begin(j job.Job, shop *job.Shop, sys q.System) (*Plan, []*work) {
	p := &Plan{Version: Version, Units: sys, Job: j.Name, Customer: j.Customer.Name, Place: j.Site.Where,
		Machine: j.Machine.Kind, Verdict: gate.Go, Read: []Echo{}, Cautions: cautions}
	if p.Job == "" {
		p.Job = "repair"
		if j.Machine.Kind != "" {
			p.Job += " of a " + j.Machine.Kind
		}
	}
	var planned []*work
	var narrow [][]Narrowing
	for i, it := range j.Items {
		item := Item{Name: it.Name, Part: it.Part, Touch: gate.Screen(j, it)}
		p.Verdict = gate.Worst(p.Verdict, item.Touch.Class)
		if item.Touch.Class != gate.Refuse && item.Touch.Class != gate.Escalate {
			w := &work{j: j, shop: shop, it: it, index: i, sys: sys}
			if err := w.plan(&item); err != nil {
				w.stop(&item, err)
			}
			if err := w.settleHold(approvals(item.Touch)); err != nil {
				w.strong.plan.Missing = append(w.strong.plan.Missing, err.Error())
			}
			w.addHold(&item)
			narrow = append(narrow, w.narrow())
			planned = append(planned, w)
		}
		p.Items = append(p.Items, item)
	}
	if len(planned) > 0 {
		p.Narrow = firstOf(narrow, 3)
	}
	return p, planned
}

// firstOf takes n entries of several lists: the first of each, then the second.
func firstOf[T any](lists [][]T, n int) []T {
	var all []T
	for i := 0; ; i++ {
		more := false
		for _, l := range lists {
			if i < len(l) {
				all, more = append(all, l[i]), true
			}
		}
		if !more || len(all) >= n {
			return all[:min(n, len(all))]
		}
	}
}

// cautions stand at the head of every plan.
var cautions = []string{
	"This plan advises a trained welder. Local codes, the owner's and the maker's rules and licensed practice come first; where they differ from it, they hold.",
}

func (w *work) name() string {
	switch {
	case w.it.Name != "":
		return w.it.Name
	case w.it.Part != "":
		return w.it.Part
	}
	return fmt.Sprintf("item %d", w.index+1)
}

// section begins a section of the item with its figure names.
func (w *work) section(id, title string) (Section, figures) {
	return Section{ID: id, Title: title}, figures{fmt.Sprintf("%d.%s", w.index+1, id)}
}

// plan fills the technical part of an item.
func (w *work) plan(item *Item) error {
	item.Planned = true
	w.thickness = w.it.Thickness
	w.wall = w.thickness.Or(0)
	w.t, w.thin = w.wall, w.wall
	if t2 := w.it.Thickness2; t2.Known && w.thickness.Known {
		w.t, w.thin = max(w.wall, t2.V), min(w.wall, t2.V)
		w.thickness.V = w.t
	}
	w.identify()

	item.Sections = append(item.Sections, w.lookSection())
	if !w.thickness.Known {
		item.Steels = w.steelRows(nil)
		item.Sections = append(item.Sections, w.steelSection(), w.needThickness())
		return nil
	}
	if len(w.steels) == 0 || float64(w.ironShare()) >= rateOf("iron-share").Likely {
		w.stopped = true
		item.Steels = w.steelRows(nil)
		item.Sections = append(item.Sections, w.ironSection())
		return nil
	}
	if err := w.settleHeat(); err != nil {
		return err
	}
	if err := w.settleJoint(); err != nil {
		return err
	}
	item.Steels = w.steelRows(w.held.steels)
	cutSection, err := w.cutSection()
	if err != nil {
		return err
	}
	item.Sections = append(item.Sections, w.steelSection(), cutSection, w.jointSection(), w.fillerSection(), w.heatSection(), w.passesSection(), w.afterSection())
	item.Groove = &w.dig.Value
	item.Beads = w.beadRows()
	item.Heat = w.windowRow()
	w.settleHome(item)
	return nil
}

// identify weighs the evidence on the steel.
func (w *work) identify() {
	w.assess = material.Weigh(w.it.Steel, material.ContextOf(w.j.Machine, w.it))
	for _, c := range w.assess.Credible {
		if s, ok := ready(c, w.thickness); ok {
			w.steels = append(w.steels, s)
		} else {
			w.iron = true
		}
	}
	var kit job.MeasureKit
	if w.shop != nil {
		kit = w.shop.Measure
	}
	w.tests = material.TestsAbove(w.assess, kit, hardlyEver)
}

// hardlyEver is the chance below which no outcome of a test is looked into: it
// could not be the reason to do the test.
const hardlyEver = q.Ratio(0.05)

// likely gives the steels that stay without the guard, or all where none does.
func (w *work) likely() []steelCase {
	var some []steelCase
	for _, s := range w.steels {
		if !s.candidate.Guarded {
			some = append(some, s)
		}
	}
	if some == nil {
		return w.steels
	}
	return some
}
