package plan

import (
	"fmt"

	"soundmetal/cut"
	"soundmetal/power"
)

// The short outcome of the rig check in the plan; the whole of it is Rig.

// rigLine says whether the kit on the truck runs a rod or a carbon. Without a
// shop file there is nothing to say.
func (w *work) rigLine(s *Section, f figures, label string, use power.Use, reduced bool) {
	if w.shop == nil {
		return
	}
	r := &rigWork{j: w.j, shop: w.shop, sys: w.sys, planned: []*work{w}}
	in := power.RigIn{Sources: r.sources(), Leads: w.shop.Leads, Air: w.shop.Air, Units: w.sys, Uses: []power.Use{use}}
	report, err := power.Rig(in)
	if err != nil {
		s.add(Caution, capital("the power source in the shop file: "+w.reason(err)), nil)
		return
	}
	u := askedUse{RigUse: RigUse{Name: use.Name, Kind: string(use.Kind), Amps: use.Amps, Duty: use.Duty}}
	u.answer(report.Value.Uses[0], report.Basis)
	fig := Figure{ID: f.id("rig"), Label: label, Unit: "A", Basis: u.basis}
	u.numbers(&fig)
	on := ""
	if u.Source != noPlate {
		on = u.Source + " "
	}
	reasons := u.reasons()
	switch {
	case u.State == power.Fits:
		fig.Text = fmt.Sprintf("fits: %sholds %s at %s", on, u.Held.Text(w.sys), percent(u.Duty))
	case reduced && u.State == power.Short && u.Held != nil && *u.Held < u.Amps.Low:
		fig.Text = fmt.Sprintf("on reduced current only: %sholds %s at %s", on, u.Held.Text(w.sys), percent(u.Duty))
	case u.State == power.Short:
		fig.Text = "does NOT run: " + on + "as below"
	default:
		fig.Text = stateWords[u.State]
	}
	s.figure(fig)
	for _, reason := range reasons {
		s.add(reason.kind, reason.text, &u.basis)
	}
	if u.State == power.Short {
		s.add(Note, "`soundmetal rig` says what does run and what to borrow.", nil)
	}
}

// rodRig is the line for one size of rod.
func (w *work) rodRig(s *Section, f figures, use string, r *rodRun) {
	if u, err := power.WeldUse(r.stick.Class, r.stick.Core, w.it.Position); err == nil {
		u.Name = rodName(r, w.sys)
		w.rigLine(s, f, use+": this rig", u, false)
	}
}

// carbonRig is the line for the carbon chosen.
func (w *work) carbonRig(s *Section, f figures, g cut.Choice) {
	if u, err := power.GougeUse(g.Carbon); err == nil {
		u.Name = g.Carbon.Text(w.sys) + " carbon"
		w.rigLine(s, f, "this rig", u, g.Reduced)
	}
}

// bottleLine says whether the bottles feed the torch of the first heat.
func (w *work) bottleLine(s *Section, f figures) {
	if w.shop == nil || len(w.shop.Torches) == 0 || !w.shop.Torches[0].Power.Known {
		return
	}
	t := w.shop.Torches[0]
	gas, _ := fuelGas(t.Kind)
	r := &rigWork{j: w.j, shop: w.shop, sys: w.sys, planned: []*work{w}}
	d := r.bottleDraw(gas)
	if !d.any || d.err != "" {
		return
	}
	r.drawLine(s, f, "bottles for that torch", d, t.Power.V)
}
