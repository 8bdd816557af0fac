package plan

import (
	"fmt"
	"slices"

	"soundmetal/filler"
	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// rodPlan is the rod chosen for an item, its sizes and how it is run.
type rodPlan struct {
	choice   source.Result[filler.Choice]
	class    filler.Class
	onTruck  bool
	dry      q.Maybe[filler.Dry]
	reasons  []filler.Reason
	hydrogen q.Hydrogen // planned with
	known    bool       // hydrogen is the rod's own level, not a stand-in
	weldCET  q.Maybe[q.Percent]
	strong   bool
	root     rodRun
	fill     rodRun
}

// rodRun is one size of rod as it is run.
type rodRun struct {
	stick   filler.Stick
	amps    source.Result[filler.Amps]
	burn    source.Result[filler.Burn]
	window  q.Of[q.HeatInput] // arc energy
	run     source.Result[filler.RodLength]
	deposit source.Result[filler.PerRod]
	bead    q.Area
}

// chooseRod ranks the rods for the steels and picks class and sizes.
func (w *work) chooseRod(steels []steelCase) (rodPlan, error) {
	need := filler.Need{Weld: filler.GrooveTension, Position: w.it.Position, Wind: w.j.Site.Wind, Impact: w.it.Cause.Event}
	if w.it.Loaded == "shear" {
		need.Weld = filler.FilletShear
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
	r.class, r.dry, r.reasons = best.Class, best.Dry, best.Reasons
	r.hydrogen, r.known = planHydrogen(best)
	if best.CET.Known {
		r.weldCET = best.CET.V.Typical
	}
	r.strong = r.class.Yield.Known && r.class.Yield.V.MPa() >= rateOf("strong-yield").likely
	r.root.stick, r.fill.stick = w.stick(r.class, w.rootCore()), w.stick(r.class, w.fillCore())
	return r, nil
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

// rootCore and fillCore pick core diameters by wall and position (figures.csv).
func (w *work) rootCore() q.Length {
	r := rateOf("root-core")
	if w.t < q.Length(rateOf("thin-wall").likely)*q.Millimetre {
		return q.Length(r.low) * q.Millimetre
	}
	return q.Length(r.likely) * q.Millimetre
}

func (w *work) fillCore() q.Length {
	switch {
	case w.t < q.Length(rateOf("thin-wall").likely)*q.Millimetre:
		return w.rootCore()
	case w.t < q.Length(rateOf("thick-wall").likely)*q.Millimetre:
		return 3.2 * q.Millimetre
	}
	core := 4.0 * q.Millimetre
	if limits, err := joint.Limits(w.it.Position, joint.Rod, true); err == nil && limits.Value.FillSize < core {
		core = limits.Value.FillSize
	}
	return core
}

// stick finds the size on the truck nearest to the wanted core, not thicker than
// half a millimetre more; without one it is the wanted size itself.
func (w *work) stick(c filler.Class, core q.Length) filler.Stick {
	s := filler.Stick{Class: c, Core: core}
	if w.shop == nil {
		return s
	}
	best := q.Length(-1)
	for _, tin := range w.shop.Rods {
		class, err := filler.Read(tin.Class)
		if err != nil || class.ID != c.ID || tin.Size > core+0.5*q.Millimetre || tin.Size <= best {
			continue
		}
		best = tin.Size
		s = filler.Stick{Class: c, Core: tin.Size, Length: tin.Length, Mass: tin.RodMass, Burn: tin.BurnTime}
	}
	return s
}

// The usual rod and its stub, as in the filler room.
const (
	usualRod = 14 * q.Inch
	stub     = 2 * q.Inch
)

// settle fixes amps, burn, energy window, run length and bead of one size.
func (w *work) settle(r *rodRun, cooling q.Of[q.HeatInput]) error {
	s := &r.stick
	var err error
	if r.amps, err = filler.AmpsFor(s.Class, s.Core, w.it.Position); err != nil {
		return fmt.Errorf("amps for %s: %w", s.Class, err)
	}
	amps := r.amps.Value.Typical.Mid()
	s.Amps = q.Known(amps)
	if r.burn, err = filler.TypicalBurn(s.Class, s.Core, s.Length.Or(usualRod)-stub); err != nil {
		return fmt.Errorf("burn of %s: %w", s.Class, err)
	}
	b := r.burn.Value
	perRod := float64(b.Volts) * float64(b.Amps) * float64(b.Time) // fewer amps melt the same rod in more time
	run := rateOf(w.runID())
	low, high := perRod/(run.high/1000), perRod/(run.low/1000)
	r.window = q.Of[q.HeatInput]{Low: q.HeatInput(low), High: q.HeatInput(high)}
	if both, ok := r.window.Meet(cooling); ok {
		r.window = both
	} else { // the rod cannot be run inside the window at this size: the window stands
		r.window = cooling
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

func (w *work) runID() string {
	if w.it.Position == job.Flat || w.it.Position == job.Horizontal {
		return "run-flat"
	}
	return "run-up"
}

// arcWindow is the arc energy that keeps every held steel inside its cooling
// time window and, for A514, under its table of highest heat input. The low end
// is taken at the floor, where cooling is fastest, the high end at the ceiling.
func (w *work) arcWindow(steels []steelCase, floor, ceiling q.Temperature) (q.Of[q.HeatInput], []source.Basis, error) {
	k, err := heat.Efficiency("smaw")
	if err != nil {
		return q.Of[q.HeatInput]{}, nil, err
	}
	shape, err := heat.ShapeFactors(heat.ButtFill)
	if err != nil {
		return q.Of[q.HeatInput]{}, nil, err
	}
	window := q.Of[q.HeatInput]{Low: 0, High: 4 * q.KilojoulePerMillimetre}
	var bases []source.Basis
	limit := func(low, high q.HeatInput, b source.Basis) {
		if low > window.Low || high < window.High {
			window.Low, window.High = max(window.Low, low), min(window.High, high)
			bases = append(bases, b)
		}
	}
	for _, s := range steels {
		if t85, err := heat.CoolingWindow(s.group); err == nil {
			high, errH := heat.HeatInputForCoolingTime(t85.Value, ceiling, w.t, shape.Value.F2.High, shape.Value.F3)
			low, errL := heat.HeatInputForCoolingTime(t85.Value, floor, w.t, shape.Value.F2.High, shape.Value.F3)
			if errH == nil && errL == nil {
				limit(q.HeatInput(float64(low.Value.Low)/float64(k.Value)), q.HeatInput(float64(high.Value.High)/float64(k.Value)), high.Basis)
			}
		}
		if s.group == heat.Group("a514") {
			kind := heat.QTTypeF
			if s.candidate.ID == "a514-b" {
				kind = heat.QTTypeB
			}
			if most, err := heat.MaximumHeatInput(kind, w.t, ceiling); err == nil && most.Value.Known {
				limit(0, most.Value.V, most.Basis)
			}
		}
	}
	return window, bases, nil
}
