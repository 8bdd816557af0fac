package plan

import (
	"fmt"
	"slices"

	"soundmetal/filler"
	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/joint"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// rodPlan is the rod chosen for an item, its sizes and how it is run.
type rodPlan struct {
	choice   source.Result[filler.Choice]
	class    filler.Class
	onTruck  bool
	dry      map[int]q.Hydrogen // of the tins on the truck that may be used, by index
	reasons  []filler.Reason
	hydrogen q.Hydrogen // planned with
	known    bool       // hydrogen is the rod's own level, not a stand-in
	weldCET  q.Maybe[q.Percent]
	strong   bool
	unlikely []steelCase // steels that had too little weight to choose the rod
	root     rodRun
	fill     rodRun
}

// rodRun is one size of rod as it is run.
type rodRun struct {
	stick   filler.Stick
	amps    source.Result[filler.Amps]
	joules  float64           // of one whole rod
	window  q.Of[q.HeatInput] // arc energy
	run     source.Result[filler.RodLength]
	deposit source.Result[filler.PerRod]
	bead    q.Area
	onTruck bool
	tin     int  // index in the shop's rods, where it is on the truck
	odd     bool // length, mass or burn time in the shop file do not go with the size
	outside bool // no run length of this size stays inside the heat limits
}

// chooseRod ranks the rods for the steels and picks the class. The steels that
// count are those of a welding group with a fair share of the weight: a steel
// that is hardly likely must not put a harder rod into a common joint.
func (w *work) chooseRod(steels []steelCase) (rodPlan, error) {
	need := filler.Need{Weld: filler.GrooveTension, Position: w.it.Position, Wind: w.j.Site.Wind, Impact: w.it.Cause.Event}
	if w.it.Loaded == "shear" {
		need.Weld = filler.FilletShear
	}
	share := map[material.Group]q.Ratio{}
	for _, s := range steels {
		share[s.family.Group] += s.candidate.Weight
	}
	var unlikely []steelCase
	if some, rest := split(steels, func(s steelCase) bool { return float64(share[s.family.Group]) >= rateOf("rod-weight").Likely }); len(some) > 0 {
		steels, unlikely = some, rest
	}
	for _, s := range steels {
		need.Steels = append(need.Steels, filler.Base{Group: filler.Group(s.family.Group), Name: s.family.Name, Yield: q.Known(s.family.Yield.Low)})
	}
	if w.shop != nil {
		need.Rods, need.Oven = w.shop.Rods, w.shop.Oven
	}
	var r rodPlan
	var err error
	if r.choice, err = filler.Candidates(need); err != nil {
		return r, fmt.Errorf("choosing the rod: %w", err)
	}
	best, ok := firstRod(r.choice.Value.Use)
	if r.onTruck = ok; !ok {
		if best, ok = firstRod(r.choice.Value.Want); !ok {
			return r, fmt.Errorf("no covered rod suits %s; ask an engineer", w.name())
		}
	}
	r.class, r.reasons = best.Class, best.Reasons
	r.hydrogen, r.known = planHydrogen(best)
	r.dry = map[int]q.Hydrogen{}
	for _, c := range r.choice.Value.Use {
		r.dry[c.Rod], _ = planHydrogen(c)
	}
	if best.CET.Known {
		r.weldCET = best.CET.V.Typical
	}
	r.strong = r.class.Yield.Known && r.class.Yield.V.MPa() >= rateOf("strong-yield").Likely
	r.unlikely = unlikely
	return r, nil
}

// split parts a list into those that satisfy and the others.
func split[T any](all []T, is func(T) bool) (yes, no []T) {
	for _, v := range all {
		if is(v) {
			yes = append(yes, v)
		} else {
			no = append(no, v)
		}
	}
	return yes, no
}

func firstRod(all []filler.Candidate) (filler.Candidate, bool) {
	i := slices.IndexFunc(all, func(c filler.Candidate) bool { return c.Class.Process == filler.Rod && c.Verdict != filler.No })
	if i < 0 {
		return filler.Candidate{}, false
	}
	return all[i], true
}

// planHydrogen is the hydrogen that the preheat is planned with: the tin's own
// level as it lies there or after its bake. Austenitic rods hold their hydrogen;
// their preheat is planned as for a low-hydrogen rod, which is on the high side.
func planHydrogen(c filler.Candidate) (h q.Hydrogen, known bool) {
	const low = q.Hydrogen(5) // H5: the level of a dry low-hydrogen rod
	if c.Dry.Known {
		d := c.Dry.V
		if d.State == filler.Rebake && d.Baked.Known {
			return d.Baked.V, true
		}
		if d.Hydrogen.Known {
			return d.Hydrogen.V, true
		}
	}
	if l := c.Class.Level(); l.Known {
		return l.V, true
	}
	return low, false
}

// rootCores and fillCores list core diameters by wall and position, the wanted
// one first (figures.csv): a smaller one is taken where the heat limits ask for it.
func (w *work) rootCores() []q.Length {
	r := rateOf("root-core")
	thin := q.Length(r.Low) * q.Millimetre
	if w.wall < q.Length(rateOf("thin-wall").Likely)*q.Millimetre {
		return []q.Length{thin}
	}
	return []q.Length{q.Length(r.Likely) * q.Millimetre, thin}
}

func (w *work) fillCores() []q.Length {
	cores := w.rootCores()
	if w.wall < q.Length(rateOf("thick-wall").Likely)*q.Millimetre {
		return cores
	}
	core := q.Length(rateOf("fill-core").Likely) * q.Millimetre
	if limits, err := joint.Limits(w.it.Position, joint.Rod, true); err == nil && limits.Value.FillSize < core {
		core = limits.Value.FillSize
	}
	return append([]q.Length{core}, cores...)
}

// tin is the id of the class of a tin on the truck, empty where it cannot be read.
func (w *work) tin(i int) string {
	if w.tins == nil {
		w.tins = make([]string, len(w.shop.Rods))
		for k, t := range w.shop.Rods {
			if c, err := filler.Read(t.Class); err == nil {
				w.tins[k] = c.ID
			}
		}
	}
	return w.tins[i]
}

// stick finds the size on the truck nearest to the wanted core, not thicker than
// half a millimetre more and as dry as the plan counts on; without one it is the
// wanted size itself.
func (w *work) stick(c filler.Class, core q.Length) (r rodRun) {
	s := filler.Stick{Class: c, Core: core}
	if w.shop == nil {
		return rodRun{stick: s}
	}
	best := q.Length(-1)
	for i, tin := range w.shop.Rods {
		if h, ok := w.rod.dry[i]; w.tin(i) != c.ID || !ok || h > w.rod.hydrogen || tin.Size > core+0.5*q.Millimetre || tin.Size <= best {
			continue
		}
		if _, err := filler.AmpsFor(c, tin.Size, w.it.Position); err != nil {
			continue // a size that the tables do not know
		}
		best, r.tin = tin.Size, i
		s = filler.Stick{Class: c, Core: tin.Size, Length: tin.Length, Mass: tin.RodMass, Burn: tin.BurnTime}
	}
	r.stick, r.onTruck = s, best > 0
	return r
}

// usualRod is the rod of the filler room's tables.
var usualRod = filler.UsualRod()

// settle fixes size, amps, energy window, run length and bead: of the sizes that
// the tables know, the first that can be run inside the heat limits with room
// for the hand, else the one with most room.
func (w *work) settle(r *rodRun, cores []q.Length, limits q.Of[q.HeatInput]) error {
	enough := rateOf("run-room").Likely
	best := -1.0
	try := func(core q.Length) error {
		one := w.stick(w.rod.class, core)
		if err := w.settleSize(&one, limits); err != nil {
			return err
		}
		room := min(float64(one.window.High/one.window.Low), enough)
		if one.outside {
			room = 0
		}
		if room > best || room == best && one.outside { // outside the limits the smallest rod comes nearest
			*r, best = one, room
		}
		return nil
	}
	var failed error
	for _, core := range cores {
		if err := try(core); err != nil {
			failed = err
		}
		if best == enough {
			return nil
		}
	}
	if best < 0 && failed != nil { // no such size in the tables: the usual one
		return try(q.Length(rateOf("root-core").Likely) * q.Millimetre)
	}
	return nil
}

// rodEnergy is what the arc puts out over one whole rod: by his own timed rod or
// the usual burn of low-hydrogen rods, for other rods by the run-out factor.
func rodEnergy(s filler.Stick) (joules float64, err error) {
	length := s.Length.Or(usualRod.Length)
	if r, err := filler.TypicalBurn(s.Class, s.Core, length); err == nil {
		b := r.Value
		if s.Burn.Known {
			return float64(b.Volts) * float64(s.Amps.Or(b.Amps)) * float64(s.Burn.V), nil
		}
		return float64(b.Volts) * float64(b.Amps) * float64(b.Time), nil // fewer amps melt the same rod in more time
	}
	f, err := filler.FactorOf(s.Class)
	if err != nil {
		return 0, err
	}
	const run = 150 * q.Millimetre // any length: the energy of the rod comes out the same
	e, err := filler.RunOutHeat(s.Core, length-usualRod.RunOutStub, f.Value, run)
	return float64(e.Value) * float64(run), err
}

// believable says whether length, mass and burn time of a rod go with its size.
func believable(s filler.Stick) bool {
	usual := filler.Stick{Class: s.Class, Core: s.Core, Length: s.Length, Amps: s.Amps}
	r, err := filler.RodDeposit(usual)
	if err != nil {
		return false
	}
	slack := rateOf("own-rod").High
	within := func(v, low, high float64) bool { return v >= low/slack && v <= high*slack }
	if m := r.Value.Mass; s.Mass.Known && !within(float64(s.Mass.V), float64(m.Low), float64(m.High)) {
		return false
	}
	t := r.Value.ArcTime
	return !s.Burn.Known || !t.Known || within(float64(s.Burn.V), float64(t.V.Low), float64(t.V.High))
}

func (w *work) settleSize(r *rodRun, limits q.Of[q.HeatInput]) error {
	s := &r.stick
	var err error
	if r.amps, err = filler.AmpsFor(s.Class, s.Core, w.it.Position); err != nil {
		return fmt.Errorf("amps for %s: %w", s.Class, err)
	}
	s.Amps = q.Known(r.amps.Value.Typical.Mid())
	if !believable(*s) { // what the shop file says of the rod cannot be: by the usual one
		r.odd = true
		*s = filler.Stick{Class: s.Class, Core: s.Core, Amps: s.Amps}
	}
	perRod, err := rodEnergy(*s)
	if err != nil {
		return fmt.Errorf("heat of one %s: %w", s.Class, err)
	}
	r.joules = perRod
	run := rateOf(w.runID())
	share := float64((s.Length.Or(usualRod.Length) - usualRod.Stub) / (usualRod.Length - usualRod.Stub)) // the runs are those of a usual rod
	natural := q.Of[q.HeatInput]{Low: q.HeatInput(perRod / (run.High / 1000 * share)), High: q.HeatInput(perRod / (run.Low / 1000 * share))}
	if both, ok := natural.Meet(limits); ok {
		r.window = both
	} else {
		r.outside, r.window = true, q.At(natural.Low)
		if natural.High < limits.Low {
			r.window = q.At(natural.High)
		}
	}
	if r.run, err = filler.LengthPerRod(r.window, *s); err != nil {
		return fmt.Errorf("weld length of one %s: %w", s.Class, err)
	}
	if r.deposit, err = filler.RodDeposit(*s); err != nil {
		return fmt.Errorf("deposit of one %s: %w", s.Class, err)
	}
	bead, err := filler.BeadArea(r.deposit.Value.Likely, r.run.Value.Use.Mid())
	if err != nil {
		return fmt.Errorf("bead of %s: %w", s.Class, err)
	}
	r.bead = bead.Value
	return nil
}

// runID picks the usual run: stringers out of position too where quenched steel
// may be in the set. A position that is not known counts as flat: the longest
// runs ask for the most preheat.
func (w *work) runID() string {
	if w.it.Position != job.Vertical && w.it.Position != job.Overhead || w.onQT() {
		return "run-flat"
	}
	return "run-up"
}

// energyLimit is one limit on the arc energy that narrowed the window.
type energyLimit struct {
	steel string
	arc   q.Of[q.HeatInput]
	basis source.Basis
}

// arcWindow is the arc energy that keeps every held steel inside its cooling
// time window and, for A514, under its table of highest heat input. The low end
// is taken at the floor and the thicker part, where cooling is fastest, the high
// end at the ceiling and the thinner part.
func (w *work) arcWindow(steels []steelCase, floor, ceiling q.Temperature) (q.Of[q.HeatInput], []energyLimit, error) {
	k, err := heat.Efficiency("smaw")
	if err != nil {
		return q.Of[q.HeatInput]{}, nil, err
	}
	shape, err := heat.ShapeFactors(heat.ButtFill)
	if err != nil {
		return q.Of[q.HeatInput]{}, nil, err
	}
	window := q.Of[q.HeatInput]{Low: 0, High: q.HeatInput(rateOf("arc-top").Likely) * q.KilojoulePerMillimetre}
	var bound []energyLimit
	limit := func(s steelCase, low, high q.HeatInput, b source.Basis) {
		if low > window.Low || high < window.High {
			window.Low, window.High = max(window.Low, low), min(window.High, high)
			bound = append(bound, energyLimit{s.family.Name, q.Of[q.HeatInput]{Low: low, High: high}, b})
		}
	}
	for _, s := range steels {
		if t85, err := heat.CoolingWindow(s.group); err == nil {
			high, errH := heat.HeatInputForCoolingTime(t85.Value, ceiling, w.thin, shape.Value.F2.High, shape.Value.F3)
			low, errL := heat.HeatInputForCoolingTime(t85.Value, floor, w.t, shape.Value.F2.High, shape.Value.F3)
			if errH == nil && errL == nil {
				limit(s, q.HeatInput(float64(low.Value.Low)/float64(k.Value)), q.HeatInput(float64(high.Value.High)/float64(k.Value)), high.Basis)
			}
		}
		if s.group == heat.Group("a514") {
			kind := heat.QTTypeF
			if s.candidate.ID == "a514-b" {
				kind = heat.QTTypeB
			}
			if most, err := heat.MaximumHeatInput(kind, w.thin, ceiling); err == nil && most.Value.Known {
				limit(s, 0, most.Value.V, most.Basis)
			}
		}
	}
	return window, bound, nil
}
