package plan

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/cut"
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

var stateWords = map[power.State]string{power.Fits: "fits", power.LowEnd: "fits with limits", power.Unknown: "not known", power.Short: "NO"}

func percent(r q.Ratio) string { return r.Text(q.SI) }

// runs says that the rig runs it, if only at the low end.
func (u *askedUse) runs() bool { return u.State == power.Fits || u.State == power.LowEnd }

// short is the answer on one line.
func (u *askedUse) short() string {
	if u.Unknown != "" {
		return "not known: " + u.Unknown
	}
	wants := "wants " + u.Amps.Text(q.SI) + " at " + percent(u.Duty)
	text := stateWords[u.State]
	if u.Source != noPlate {
		text += " on " + u.Source
	}
	text += ": " + wants
	if u.Held != nil {
		text += ", holds " + u.Held.Text(q.SI)
	}
	return text
}

// reasons are the checks that are not simply passed, one sentence each.
func (u *askedUse) reasons() []reason {
	var all []reason
	var missing []string
	for _, c := range u.Checks {
		if c.State == power.Fits || u.State == power.Short && c.State != power.Short {
			continue // where something is missing the rest does not matter
		}
		if c.Have == notKnown {
			missing = append(missing, c.What)
			continue
		}
		text := c.What + ": wants " + c.Need + ", has " + c.Have
		if c.Say != "" {
			text += "; " + c.Say
		}
		kind := Note
		if c.State == power.Short {
			kind = Caution
		}
		all = append(all, reason{kind, capital(text)})
	}
	if len(missing) > 0 {
		all = append(all, reason{Note, capital("not known: " + strings.Join(missing, ", "))})
	}
	return all
}

// notKnown is how the power room says that nobody gave a figure.
const notKnown = "not known"

type reason struct {
	kind LineKind
	text string
}

// numbers are the current that the source holds or, where its plate is not
// known, the band that is wanted.
func (u *askedUse) numbers(f *Figure) {
	if u.Held != nil {
		held := float64(*u.Held)
		f.Value = &held
		return
	}
	low, high := float64(u.Amps.Low), float64(u.Amps.High)
	f.Low, f.High = &low, &high
}

// lines writes one use into its section.
func (u *askedUse) lines(s *Section, f figures, n int, several bool) {
	text := u.short()
	if !u.OnTruck {
		text += "; not on the truck"
	}
	fig := Figure{ID: f.id(fmt.Sprint(n)), Label: u.Name, Unit: "A", Text: text, Basis: u.basis}
	if u.Unknown != "" {
		s.add(Note, u.Name+" "+text+".", nil)
		return
	}
	u.numbers(&fig)
	s.figure(fig)
	if len(u.For) > 0 {
		s.add(Note, "Wanted: "+strings.Join(u.For, "; ")+".", nil)
	}
	for _, reason := range u.reasons() {
		b := u.basis
		s.add(reason.kind, reason.text, &b)
	}
	if several && len(u.Others) > 0 {
		var others []string
		for _, o := range u.Others {
			others = append(others, o.Source+" "+stateWords[o.State])
		}
		s.add(Note, "The others: "+strings.Join(others, ", ")+".", nil)
	}
}

// rodSection is every rod.
func (r *rigWork) rodSection() Section {
	s := Section{ID: "rods", Title: "Rods on this rig"}
	r.useLines(&s, power.Weld)
	if r.wires {
		s.add(Note, "Wires are not looked at here: they want a feeder and a constant-voltage source.", nil)
	}
	r.findOut(&s, power.Weld)
	return s
}

// findOut says how to learn what is not known, each fact once, under the first
// kind of use that asks for it.
func (r *rigWork) findOut(s *Section, kind power.UseKind) {
	for i := range r.uses {
		u := &r.uses[i]
		if u.Kind != string(kind) || u.State == power.Short {
			continue
		}
		for _, c := range u.Checks {
			if c.Have != notKnown || has(r.found, c.What) || c.What == "voltage" {
				continue
			}
			r.found = append(r.found, c.What)
			say := c.Say
			if c.What == "leads" {
				say = "read the size off the jacket, pace out both leads"
			}
			s.add(Do, "To find out: "+c.What+": "+strings.TrimSuffix(say, ".")+".", nil)
		}
	}
}

func (r *rigWork) useLines(s *Section, kind power.UseKind) {
	f, n := figures{s.ID}, 0
	for i := range r.uses {
		if u := &r.uses[i]; u.Kind == string(kind) {
			n++
			u.lines(s, f, n, len(r.sources()) > 1)
			if kind == power.Gouge {
				r.smallerLines(s, u)
			}
		}
	}
}

// smallerLines says what a carbon that does not run costs with the next smaller one.
func (r *rigWork) smallerLines(s *Section, u *askedUse) {
	if u.State != power.Short {
		return
	}
	if amps, err := cut.Current(u.Size); err == nil {
		for _, n := range amps.Basis.Notes {
			if rest, ok := strings.CutPrefix(n, "published tables disagree: "); ok {
				s.add(Note, capital("published tables disagree, "+rest+". The main table counts here; below it expect slow work and dross"), &amps.Basis)
			}
		}
	}
	i := slices.IndexFunc(r.uses, func(o askedUse) bool { return o.Name == u.Smaller })
	if i >= 0 {
		big, err1 := cut.OnePass(u.Size, q.Maybe[q.Length]{})
		small, err2 := cut.OnePass(r.uses[i].Size, q.Maybe[q.Length]{})
		if err1 == nil && err2 == nil {
			s.add(Do, fmt.Sprintf("Take the %s instead: it runs here; for the same metal about %.1f times the passes and the time.", u.Smaller,
				float64(big.Value.Area/small.Value.Area)), &small.Basis)
		}
	}
	if len(u.Borrow) > 0 {
		s.add(Do, "To run it, borrow "+strings.Join(u.Borrow, "; ")+".", nil)
	}
}
