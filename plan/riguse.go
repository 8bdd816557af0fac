package plan

import (
	"slices"

	"soundmetal/filler"
	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Every rod and carbon against the rig: those on the truck, and those that the
// plan wants.

// askedUse is one use with its answer.
type askedUse struct {
	RigUse
	use   power.Use
	fit   power.UseFit
	basis source.Basis
}

// asks collects uses, each once.
type asks struct {
	all []askedUse
}

func (a *asks) add(u power.Use, name, what string, onTruck bool) {
	i := slices.IndexFunc(a.all, func(o askedUse) bool { return o.Name == name && o.Unknown == "" })
	if i < 0 {
		u.Name, u.OnTruck = name, onTruck
		i = len(a.all)
		a.all = append(a.all, askedUse{RigUse: RigUse{Name: name, Kind: string(u.Kind), Size: u.Size, Amps: u.Amps, Duty: u.Duty}, use: u})
	}
	o := &a.all[i]
	if u.Amps.High > o.use.Amps.High { // the position that wants most
		o.use.Amps, o.use.Volts, o.use.Plan, o.use.Refs = u.Amps, u.Volts, u.Plan, u.Refs
		o.Amps = u.Amps
	}
	o.OnTruck = o.OnTruck || onTruck
	o.use.OnTruck = o.OnTruck
	if what != "" && !slices.Contains(o.For, what) {
		o.For = append(o.For, what)
	}
}

func (a *asks) unknown(kind power.UseKind, name string, size q.Length, why string) {
	if !slices.ContainsFunc(a.all, func(o askedUse) bool { return o.Name == name }) {
		a.all = append(a.all, askedUse{RigUse: RigUse{Name: name, Kind: string(kind), Size: size, OnTruck: true, State: power.Unknown, Unknown: why}})
	}
}

// askUses asks the power room about every use.
func (r *rigWork) askUses() error {
	var a asks
	for _, w := range r.planned {
		r.askRods(w, &a)
	}
	for _, w := range r.planned {
		r.askCarbons(w, &a)
	}
	in := power.RigIn{Sources: r.sources(), Leads: r.kit().Leads, Air: r.kit().Air, Units: r.sys}
	var known []int
	for i, u := range a.all {
		if u.Unknown == "" {
			in.Uses, known = append(in.Uses, u.use), append(known, i)
		}
	}
	r.uses = a.all
	if len(known) == 0 {
		return nil
	}
	report, err := power.Rig(in)
	if err != nil {
		return err
	}
	r.two = report.Value.Two
	for k, i := range known {
		r.uses[i].answer(report.Value.Uses[k], report.Basis)
	}
	return nil
}

// askRods adds the plan's own rods and those on the truck, in this item's
// position. Over several items a rod counts where it wants most.
func (r *rigWork) askRods(w *work, a *asks) {
	add := func(c filler.Class, size q.Length, what string, onTruck bool) {
		name := c.String() + " " + size.Text(r.sys)
		u, err := power.WeldUse(c, size, w.it.Position)
		if err != nil {
			a.unknown(power.Weld, name, size, "no amps are known for this size")
			return
		}
		a.add(u, name, what, onTruck)
	}
	if w.rod.root.stick.Core != w.rod.fill.stick.Core {
		add(w.rod.class, w.rod.root.stick.Core, "root of "+w.name(), w.rod.root.onTruck)
	}
	add(w.rod.class, w.rod.fill.stick.Core, "fill of "+w.name(), w.rod.fill.onTruck)
	for _, tin := range r.kit().Rods {
		c, err := filler.Read(tin.Class)
		if err != nil {
			a.unknown(power.Weld, tin.Class+" "+tin.Size.Text(r.sys), tin.Size, "this class is not known here")
			continue
		}
		if c.Process == filler.Rod {
			add(c, tin.Size, "", true)
		} else {
			r.wires = true
		}
	}
}

// askCarbons adds the carbons on the truck, the ones that the plan takes, and
// the one that the groove would take if the rig had no limits.
func (r *rigWork) askCarbons(w *work, a *asks) {
	add := func(size q.Length, what string, onTruck bool) {
		name := size.Text(r.sys) + " carbon"
		u, err := power.GougeUse(size)
		if err != nil {
			a.unknown(power.Gouge, name, size, "this size is in no table of carbons")
			return
		}
		a.add(u, name, what, onTruck)
	}
	onTruck := func(size q.Length) bool { return r.carbonOnTruck(size) }
	for _, g := range w.gouges {
		if g.Value.Found {
			add(g.Value.Carbon, "gouging of "+w.name(), onTruck(g.Value.Carbon))
		}
	}
	if free, ok := w.free(); ok {
		for _, g := range free.gouges {
			if g.Value.Found {
				add(g.Value.Carbon, "", onTruck(g.Value.Carbon))
			}
		}
	}
	for _, c := range r.kit().Carbons {
		add(c.Size, "", true)
	}
}

func (r *rigWork) carbonOnTruck(size q.Length) bool {
	return slices.ContainsFunc(r.kit().Carbons, func(s job.Stock) bool { return sameCarbon(s.Size, size) })
}

// sameCarbon says that two sizes are one carbon: 4.8 mm is sold as 3/16 in.
func sameCarbon(a, b q.Length) bool {
	const apart = 0.3 * q.Millimetre // as in the gouging room
	return a-b <= apart && b-a <= apart
}

// withShop is the item's gouging settled anew with another shop.
func (w *work) withShop(change func(*job.Shop)) (*work, bool) {
	var shop job.Shop
	if w.shop != nil {
		shop = *w.shop
	}
	change(&shop)
	other := *w
	other.shop, other.gouges = &shop, nil
	return &other, other.settleJoint() == nil
}

// free is the item gouged with a rig and a compressor without limits.
func (w *work) free() (*work, bool) {
	return w.withShop(func(s *job.Shop) { s.Power, s.Air = nil, job.Air{} })
}

// answer takes the power room's answer.
func (u *askedUse) answer(f power.UseFit, whole source.Basis) {
	u.fit = f
	u.State, u.Source, u.Checks = f.Best.State, f.Best.Source, f.Best.Checks
	u.Smaller, u.Borrow = f.Smaller, f.Borrow
	if f.Best.Held.Known {
		held := f.Best.Held.V
		u.Held = &held
	}
	for _, o := range f.Others {
		u.Others = append(u.Others, OtherSource{o.Source, o.State})
	}
	b := whole
	b.Title = "Does the rig run " + u.Name + "?"
	b.Steps, b.Also = nil, append([]source.Ref{whole.Ref}, f.Use.Refs...)
	if i := slices.IndexFunc(b.Also, func(r source.Ref) bool { return r.Status.Weak() }); i >= 0 { // marked by its weakest source
		b.Ref = b.Also[i]
	}
	b.Inputs = []source.Input{{Name: "power source", Text: f.Best.Source}, {Name: "wants", Text: f.Use.Amps.Text(q.SI) + " at " + percent(f.Use.Duty)}}
	for _, c := range f.Best.Checks {
		text := stateWords[c.State] + ": wants " + c.Need + ", has " + c.Have
		if c.What == "leads" && c.State == power.Fits {
			text = c.Have
		}
		if c.Say != "" {
			text += "; " + c.Say
		}
		b.Steps = append(b.Steps, source.Step{Name: c.What, Text: text})
	}
	u.basis = b
}
