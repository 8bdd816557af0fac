package plan

import (
	"fmt"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
)

// RigAnswer is whether the kit on the truck runs the job, and where the current
// comes back. Its sections read like those of a plan.
type RigAnswer struct {
	Version  int           `json:"version" doc:"version of this format"`
	Units    q.System      `json:"units" doc:"system that leads in the texts: us or si"`
	Job      string        `json:"job" doc:"name of the job"`
	Customer string        `json:"customer,omitempty" doc:"name of the customer"`
	Place    string        `json:"place,omitempty" doc:"where the work is"`
	Machine  string        `json:"machine,omitempty" doc:"what the machine is"`
	Verdict  gate.Class    `json:"verdict" doc:"worst verdict of the items: refuse, escalate, condition or go"`
	Cautions []string      `json:"cautions" doc:"the usual cautions"`
	Sections []Section     `json:"sections" doc:"touch, rods, carbons, leads, air, gas, fuel, shock, two, a section current for each planned item, and clamp"`
	Uses     []RigUse      `json:"uses" doc:"every rod and carbon against the rig, as data"`
	Currents []ItemCurrent `json:"currents" doc:"the current's way home from each planned item whose machine is drawn"`
}

// ItemCurrent is the current's way home from one item.
type ItemCurrent struct {
	Item    string  `json:"item" doc:"name of the place"`
	Current Current `json:"current" doc:"the way home"`
}

// RigUse is one rod or carbon against the rig.
type RigUse struct {
	Name    string          `json:"name" doc:"rod or carbon with its size"`
	Kind    string          `json:"kind" doc:"weld or gouge"`
	Size    q.Length        `json:"size" doc:"diameter, m"`
	OnTruck bool            `json:"on_truck" doc:"whether the shop file lists it"`
	For     []string        `json:"for,omitempty" doc:"what the plan uses it for"`
	State   power.State     `json:"state" doc:"fits, low-end, not-known or no"`
	Source  string          `json:"source" doc:"power source that runs it best"`
	Amps    q.Of[q.Current] `json:"amps" doc:"band that does the work, A"`
	Duty    q.Ratio         `json:"duty" doc:"duty cycle asked of the source"`
	Held    *q.Current      `json:"held,omitempty" doc:"current that the source holds at that duty cycle, A; absent where its plate is not known"`
	Checks  []power.Check   `json:"checks,omitempty" doc:"each thing asked of the rig"`
	Smaller string          `json:"smaller,omitempty" doc:"next smaller carbon that runs"`
	Borrow  []string        `json:"borrow,omitempty" doc:"what to borrow to run it"`
	Others  []OtherSource   `json:"others,omitempty" doc:"the other power sources"`
	Unknown string          `json:"unknown,omitempty" doc:"why nothing can be said: a class or size that the tables do not know"`
}

// OtherSource is how another power source does.
type OtherSource struct {
	Source string      `json:"source" doc:"name of the power source"`
	State  power.State `json:"state" doc:"fits, low-end, not-known or no"`
}

// RigAsk is what a question to the rig may add; the zero RigAsk asks for the usual.
type RigAsk struct {
	Clamps []string // two bodies to compare the clamp on; the best and the worst where empty
	Draws  power.Draws
}

// rigWork is a rig check in the making.
type rigWork struct {
	j       job.Job
	shop    *job.Shop
	sys     q.System
	ask     RigAsk
	planned []*work // that have beads
	uses    []askedUse
	two     []power.Saying
	wires   bool     // the shop has wires too
	found   []string // what the answer has told how to find out
}

// noPlate stands for a rig that nobody described.
const noPlate = "the power source"

// sources are the power sources of the shop, or one of which nothing is known.
func (r *rigWork) sources() []job.Source {
	if r.shop == nil || len(r.shop.Power) == 0 {
		return []job.Source{{Name: noPlate}}
	}
	all := make([]job.Source, len(r.shop.Power))
	for i, s := range r.shop.Power {
		if s.Name == "" {
			s.Name = fmt.Sprintf("power source %d", i+1)
		}
		all[i] = s
	}
	return all
}

// kit is the shop, or an empty one.
func (r *rigWork) kit() job.Shop {
	if r.shop == nil {
		return job.Shop{}
	}
	return *r.shop
}

// Rig answers whether the rig runs the job. The shop may be nil: then it says
// what the job asks of one. The error is for a plate that contradicts itself and
// for bodies that the machine does not have.
func Rig(j job.Job, shop *job.Shop, sys q.System, ask RigAsk) (*RigAnswer, error) {
	p, planned := begin(j, shop, sys)
	a := &RigAnswer{Version: Version, Units: sys, Job: p.Job, Customer: p.Customer, Place: p.Place, Machine: p.Machine, Verdict: p.Verdict,
		Cautions: cautions, Uses: []RigUse{}, Currents: []ItemCurrent{}}
	if s := touchSection(p.Items); len(s.Lines) > 0 {
		a.Sections = append(a.Sections, s)
	}
	r := &rigWork{j: j, shop: shop, sys: sys, ask: ask}
	for _, w := range planned {
		if len(w.fill.Value.Beads) > 0 {
			r.planned = append(r.planned, w)
		}
	}
	if len(r.planned) == 0 {
		return a, nil
	}
	if err := r.askUses(); err != nil {
		return nil, err
	}
	for _, u := range r.uses {
		a.Uses = append(a.Uses, u.RigUse)
	}
	for _, s := range []Section{r.rodSection(), r.carbonSection(), r.leadSection(), r.airSection(), r.gasSection(), r.fuelSection(), r.shockSection(), r.twoSection()} {
		if len(s.Lines) > 0 {
			a.Sections = append(a.Sections, s)
		}
	}
	for _, w := range r.planned {
		s, c, err := r.currentSection(w)
		if err != nil {
			return nil, err
		}
		a.Sections = append(a.Sections, s)
		if c != nil {
			a.Currents = append(a.Currents, ItemCurrent{w.name(), *c})
		}
	}
	a.Sections = append(a.Sections, ruleSection())
	return a, nil
}

// touchSection names the items that get no figures.
func touchSection(items []Item) Section {
	s := Section{ID: "touch", Title: "May I touch it?"}
	for _, it := range items {
		name := it.Name
		if name == "" {
			name = it.Part
		}
		switch {
		case !it.Planned && it.Touch.Class == gate.Refuse:
			s.add(Hold, "NO: do not weld this ("+name+"). No figures are given for it; `soundmetal plan` says why.", nil)
		case !it.Planned:
			s.add(Hold, "NOT YET: no arc on this ("+name+") until the approval is in your hand, in writing. `soundmetal plan` names it.", nil)
		case len(it.Beads) == 0:
			s.add(Note, capital(name)+" No weld is planned yet: `soundmetal plan` says what is missing.", nil)
		}
	}
	return s
}

// Figures gives every figure of the answer.
func (a *RigAnswer) Figures() []Figure {
	var all []Figure
	for _, s := range a.Sections {
		for _, l := range s.Lines {
			if l.Figure != nil {
				all = append(all, *l.Figure)
			}
		}
	}
	return all
}

// Find gives a figure by its name.
func (a *RigAnswer) Find(id string) (Figure, error) { return findFigure(a.Figures(), id) }
