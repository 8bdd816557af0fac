package plan

import (
	"fmt"
	"math"

	"soundmetal/gate"
	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/joint"
	"soundmetal/power"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// From the plan to the price room: every quantity is that of the damage as it is
// seen; what may be hidden is drawn by the price room.

// hasWeld says whether a weld is planned that may be laid: one with beads and a
// window of heat.
func (w *work) hasWeld() bool { return len(w.fill.Value.Beads) > 0 && w.held.open() }

// weldable are the places with a weld.
func weldable(planned []*work) []*work {
	all, _ := split(planned, (*work).hasWeld)
	return all
}

// order is a call-out as the price room takes it.
type order struct {
	call   price.Call
	places []*work // of the call's items, in their order; none: there is nothing to price
	shop   job.Shop
	truck  bool // whether a shop file says what is on the truck
	items  int  // of the job
	sys    q.System
	seed   uint64
}

// orderOf makes the call to all places with a weld.
func orderOf(j job.Job, shop *job.Shop, sys q.System, planned []*work) *order {
	o := &order{places: weldable(planned), shop: kitOf(shop, sys), truck: shop != nil, items: len(j.Items), sys: sys}
	if len(o.places) == 0 {
		return o
	}
	c := &o.call
	c.Trip, c.Gas, c.Engine = price.TripOf(j.Site), o.places[0].fuelGas(), engineOf(o.places)
	c.Trip.Watch = price.Exactly(gate.FireWatch(q.Maybe[q.Time]{}).Value)
	for _, w := range o.places {
		c.Items = append(c.Items, w.priced())
	}
	return o
}

// kitOf is the shop, or one of which nothing is known.
func kitOf(shop *job.Shop, sys q.System) job.Shop {
	if shop != nil {
		return *shop
	}
	if sys == q.US {
		return job.Shop{Units: job.US}
	}
	return job.Shop{Units: job.SI}
}

// seen is the length of the weld of what can be seen.
func (w *work) seen() q.Length { return w.removed().Low }

// priced is the work at one place.
func (w *work) priced() price.Work {
	e := w.dig.Value
	crack := w.it.Crack.Length.Or(perLength)
	p := price.Work{Name: w.name(), Crack: price.Exactly(min(crack, w.seen())), Remove: price.Exactly(w.seen()), Sides: max(1, len(w.gouges)),
		Beads: price.Exactly(float64(len(w.fill.Value.Beads))), Layers: price.Exactly(float64(len(w.fill.Value.Layers))), Cap: price.Exactly(e.Surface.Low),
		Position: w.it.Position, Access: w.it.Access, Hidden: price.HiddenOf(w.it, w.steelUnknown()), Bases: map[string]source.Basis{}}
	if e.Groove.Backing == joint.SteelBacking {
		p.Backing = price.Exactly(e.Surface.Low)
		p.Bases["fit"] = w.dig.Basis
	}
	w.pricedGouge(&p)
	w.pricedHeat(&p)
	w.pricedWeld(&p)
	if t, ok := w.holdTime(); ok {
		p.Hold = t.Value
		p.Bases["test"] = t.Basis
	}
	method := price.PT
	if kit := kitOf(w.shop, w.sys).Tests; w.magnetic() && (kit.MT == job.Yes || kit.MT == job.Unknown && kit.PT == job.No) {
		method = price.MT
	}
	const last = 1
	p.Tests = []price.Test{{Method: method, Count: 1 + p.Sides + last}} // the ends, the proof of each side, the final test
	return p
}

// pricedGouge adds carbon and grinder. The plan is for the middle of the lengths
// that it may come to; it is scaled to the one that is seen.
func (w *work) pricedGouge(p *price.Work) {
	seen := float64(w.seen() / w.removed().Mid())
	sides, err := w.dig.Value.Gouges()
	if err != nil {
		return
	}
	ground := false
	for i, g := range w.gouges {
		v := g.Value
		if !v.Found {
			if metal, err := joint.Mass(q.Volume(float64(sides[i].Area) * float64(w.seen()))); err == nil {
				w.grindOut(p, metal.Value)
				ground = true
			}
			continue
		}
		plan := v.Plan.Value
		p.Passes = sum(p.Passes, scaled(price.Like(plan.Length), seen))
		p.Gouge = sum(p.Gouge, scaled(price.Like(v.Time.Value.Elapsed), seen))
		p.GougeArc = sum(p.GougeArc, scaled(price.Like(v.Time.Value.Arc), seen))
		p.Ground = sum(p.Ground, scaled(price.Exactly(plan.Ground), seen))
		p.Carbons = append(p.Carbons, price.CarbonNeed{Size: v.Carbon, Count: scaled(price.Like(v.Carbons.Value), seen)})
		p.Bases["gouge"] = both(p.Bases["gouge"], v.Time.Basis)
	}
	if ground { // his own time for a carbon says nothing of a grinder
		p.Passes = price.Range[q.Length]{}
	}
}

// grindOut is a side that no carbon at hand fits: a grinder takes its metal out.
func (w *work) grindOut(p *price.Work, metal q.Mass) {
	r := rateOf("grind-out")
	time := func(perHour float64) q.Time { return q.Time(float64(metal)/perHour) * q.Hour }
	t := price.Between(time(r.High), time(r.Likely), time(r.Low))
	p.Gouge, p.Ground = sum(p.Gouge, t), sum(p.Ground, price.Exactly(metal))
	p.Bases["gouge"] = both(p.Bases["gouge"], source.Basis{Method: "grind-out", Title: "Taking metal out with a grinder", Formula: "metal / rate", Ref: r.Ref,
		Steps: []source.Step{{Name: "metal", Value: float64(metal), Unit: "kg"}, {Name: "grinder", With: fmt.Sprintf("%.3g kg / %.2g kg/h", float64(metal), r.Likely), Value: t.Likely.Minutes(), Unit: "min"}},
		Notes: []string{"no carbon on the truck fits this side with this rig and air"}})
}

// pricedHeat adds torch, soak, post-heat and cooling. Gouged warm and proven
// cold, a part is heated twice.
func (w *work) pricedHeat(p *price.Work) {
	p.Reheat = job.No
	if t, ok := w.torchTime(); ok {
		heats := w.firstHeats()
		p.Preheat = scaled(price.Between(t.Value.Low, usualTime(t.Value), t.Value.High), heats)
		b := t.Basis
		if heats > 1 {
			b.Notes = append(append([]string(nil), b.Notes...), "twice: before gouging, and again before welding, since the proof is made on cold metal")
		}
		p.Bases["preheat"] = b
		if s, err := heat.Soak(w.t); err == nil {
			p.Soak = price.Exactly(s.Value * q.Time(heats))
			p.Bases["soak"] = s.Basis
		}
		p.Reheat = job.Yes
		p.TorchGas, p.Oxygen = w.torchGas()
		cool := minutes(rateOf("cool"))
		p.Cool = price.Between(cool.low, cool.likely, cool.high)
	}
	if r, ok := w.postHeat(); ok {
		p.PostHeat = price.Exactly(r.Value.Time)
		p.Bases["post-heat"] = r.Basis
		if p.TorchGas.None() {
			p.TorchGas, p.Oxygen = w.torchGas()
		}
	}
}

// usualTorch is planned with where the shop names none.
const usualTorch job.TorchKind = "oxy-propane"

// firstHeats is how often the part is brought to heat.
func (w *work) firstHeats() float64 {
	if w.gougesWarm() {
		return 2
	}
	return 1
}

// usualTime is the middle of a torch time. Its ends are apart by factors, so the middle is one too.
func usualTime(t q.Of[q.Time]) q.Time { return q.Time(math.Sqrt(float64(t.Low) * float64(t.High))) }

// torch is the kind of torch on the truck, and its power: the usual one of the
// kind where the shop does not say.
func (w *work) torch() (kind job.TorchKind, gross q.Of[q.Power]) {
	kind = usualTorch
	own := q.Maybe[q.Power]{}
	if w.shop != nil && len(w.shop.Torches) > 0 && w.shop.Torches[0].Kind != "" {
		kind, own = w.shop.Torches[0].Kind, w.shop.Torches[0].Power
	}
	if own.Known {
		return kind, q.At(own.V)
	}
	r, err := heat.UsualTorch(kind)
	if err != nil {
		return kind, gross
	}
	return kind, r.Value.Power
}

func (w *work) fuelGas() job.Gas {
	kind, _ := w.torch()
	gas, _ := fuelGas(kind)
	return gas
}

// torchGas is what the torch burns, as range.
func (w *work) torchGas() (fuel price.Range[q.MassRate], oxygen price.Range[q.Flow]) {
	kind, gross := w.torch()
	gas, oxy := fuelGas(kind)
	low, err1 := power.GasFor(gas, gross.Low, oxy)
	high, err2 := power.GasFor(gas, gross.High, oxy)
	if err1 != nil || err2 != nil {
		return fuel, oxygen
	}
	a, b := low.Value, high.Value
	return price.Spanning(q.Of[q.MassRate]{Low: a.Mass, High: b.Mass}), price.Spanning(q.Of[q.Flow]{Low: a.Oxygen.Low, High: b.Oxygen.High})
}

// pricedWeld adds weld metal and rods, the root by its own size.
func (w *work) pricedWeld(p *price.Work) {
	low, err := joint.Mass(q.Volume(float64(w.fill.Value.Total) * float64(w.seen())))
	if err != nil {
		return
	}
	extra := rateOf("root-force")
	mass := q.Of[q.Mass]{Low: low.Value, High: q.Mass(float64(low.Value) * extra.High)}
	p.WeldMass = price.Between(mass.Low, q.Mass(float64(low.Value)*extra.Likely), mass.High)
	r, err := w.rodsFor(mass)
	if err != nil {
		return
	}
	p.Bases["weld"] = r.Basis
	root := w.rootShare()
	add := func(run *rodRun, part float64) {
		if part > 0 {
			count := scaled(price.RodsOf(r.Value), part*float64(w.rod.fill.deposit.Value.Likely)/float64(run.deposit.Value.Likely))
			p.Rods = append(p.Rods, price.RodNeed{Class: run.stick.Class.String(), Core: run.stick.Core, Count: count, Mass: run.deposit.Value.Mass.Mid(), Arc: price.Spanning(run.arcTime())})
		}
	}
	add(&w.rod.root, root)
	add(&w.rod.fill, 1-root)
}

// rootShare is the part of the weld metal that the root's own size of rod lays;
// 0 where all beads take one size.
func (w *work) rootShare() float64 {
	if w.rod.root.stick.Core == w.rod.fill.stick.Core {
		return 0
	}
	root, all := 0.0, 0.0
	for _, bead := range w.fill.Value.Beads {
		all += float64(bead.Area)
		if bead.Kind == joint.RootBead || bead.Kind == joint.BackBead {
			root += float64(bead.Area)
		}
	}
	return root / all
}

// arcTime is the arc time of one rod: by the deposition table, else its heat
// over the usual volts and the amps.
func (r *rodRun) arcTime() q.Of[q.Time] {
	if t := r.deposit.Value.ArcTime; t.Known {
		return t.V
	}
	v, amps := rateOf("arc-volts"), float64(r.amps.Value.Typical.Mid())
	return q.Of[q.Time]{Low: q.Time(r.joules / (v.High * amps)), High: q.Time(r.joules / (v.Low * amps))}
}

// volts are the planning volts of the fill rod.
func (w *work) volts() q.Voltage {
	run := &w.rod.fill
	if u, err := power.WeldUse(w.rod.class, run.stick.Core, w.it.Position); err == nil {
		return u.Plan
	}
	return power.ConventionalVolts(run.amps.Value.Typical.Mid())
}

// steelUnknown says that no group of steels is as good as sure.
func (w *work) steelUnknown() bool {
	share, most := map[string]float64{}, 0.0
	for _, c := range w.assess.Candidates {
		group := string(c.Family().Group)
		share[group] += float64(c.Weight)
		most = max(most, share[group])
	}
	return most < rateOf("known-steel").Likely
}

// engineOf is what the engine burns: that of the source with most current, at
// the heaviest rod and carbon of the call.
func engineOf(places []*work) price.Engine {
	shop := places[0].shop
	if shop == nil {
		return price.Engine{}
	}
	var fuel job.Fuel
	most := q.Current(-1)
	for _, s := range shop.Power {
		i := q.Current(0)
		if r, err := power.Continuous(s, q.Ratio(rateOf("gouge-duty").Likely)); err == nil {
			i = r.Value
		}
		if i > most {
			fuel, most = s.Fuel, i
		}
	}
	var weld, gouge q.Current
	var weldVolts, gougeVolts q.Voltage
	for _, w := range places {
		if i := w.rod.fill.amps.Value.Typical.Mid(); i > weld {
			weld, weldVolts = i, w.volts()
		}
		for _, g := range w.gouges {
			if i := g.Value.Set.Mid(); g.Value.Found && i > gouge {
				gouge, gougeVolts = i, g.Value.ArcVolts.Mid()
			}
		}
	}
	e, err := price.EngineOf(fuel, weldVolts, weld, gougeVolts, gouge)
	if err != nil {
		return price.Engine{}
	}
	return e
}

func sum[T ~float64](a, b price.Range[T]) price.Range[T] {
	return price.Between(a.Low+b.Low, a.Likely+b.Likely, a.High+b.High)
}

func scaled[T ~float64](r price.Range[T], by float64) price.Range[T] {
	return price.Between(r.Low*T(by), r.Likely*T(by), r.High*T(by))
}

// both joins the working of two sides; their source is that of the first.
func both(a, b source.Basis) source.Basis {
	if a.Method == "" {
		return b
	}
	a.Inputs, a.Steps = append(append([]source.Input(nil), a.Inputs...), b.Inputs...), append(append([]source.Step(nil), a.Steps...), b.Steps...)
	return a
}
