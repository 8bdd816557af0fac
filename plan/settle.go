package plan

import (
	"errors"

	"soundmetal/heat"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// settleHeat chooses rod, energy window and temperature window. They depend on
// each other: the floor on the heat input, the energy window on the floor and
// the ceiling. The rod is chosen for the likely steels; then energy and
// temperature are worked out in turns until the same steels are held at the same
// floor.
func (w *work) settleHeat() error {
	var err error
	if w.rod, err = w.chooseRod(w.likely()); err != nil {
		return err
	}
	floor, ceiling, before := q.Temperature(20), q.Temperature(200), q.Temperature(0)
	const turns = 4 // enough: a turn moves the cooling time by the change of the floor only
	for turn := range turns {
		steels := w.likely()
		if w.held.steels != nil {
			steels = nil
			for _, l := range w.held.steels {
				steels = append(steels, l.steelCase)
			}
		}
		limits, bound, err := w.arcWindow(steels, floor, ceiling)
		if err != nil {
			return err
		}
		w.energyLimits = bound
		if err := w.settle(&w.rod.fill, w.fillCores(), limits); err != nil {
			return err
		}
		if err := w.settle(&w.rod.root, w.rootCores(), limits); err != nil {
			return err
		}
		w.preheat = w.preheatInput()
		w.held = w.hold(w.limitsOf(w.preheat))
		if w.held.floor == nil || w.held.floor.failed != nil {
			return errors.New("the steel can be something for which no method gives a heat")
		}
		floor = w.held.floor.floor.Minimum
		if w.held.ceiling != nil {
			ceiling = w.held.ceiling.ceiling
		}
		floor = min(floor, ceiling)
		if turn > 0 && floor == before && w.held.same(steels) {
			break
		}
		before = floor
	}
	w.held.tests, w.held.rest = w.rulings(w.held.steels, w.held.left)
	return nil
}

// preheatInput is what the floors of all steels have in common. The heat input
// is the lowest that the run length allows, which asks for the most preheat.
func (w *work) preheatInput() heat.PreheatInput {
	k := arcEfficiency()
	low := min(w.rod.fill.window.Low, w.rod.root.window.Low)
	return heat.PreheatInput{
		Thickness: w.t, Hydrogen: w.rod.hydrogen, HeatInput: q.HeatInput(float64(low) * float64(k.Value)),
		Restraint: w.restraint(), WeldMetalCET: w.rod.weldCET, StrongFiller: w.rod.strong,
		Base: w.j.Site.Steel, Air: w.j.Site.Air, Damp: w.j.Site.Wet != job.Dry && w.j.Site.Wet != "",
	}
}

func arcEfficiency() source.Result[q.Ratio] {
	k, err := heat.Efficiency("smaw")
	if err != nil {
		panic("plan: " + err.Error())
	}
	return k
}

// window is floor and ceiling as printed: floor rounded up, ceiling down.
func (w *work) windowRow() *Window {
	h := w.held
	row := &Window{Floor: h.floor.floor.Minimum.Minimum(w.sys), Open: h.open(), Arc: w.rod.fill.window,
		Governs: h.floor.family.Name + ", " + h.floor.floor.By}
	if h.ceiling != nil {
		row.Ceiling = h.ceiling.ceiling.Maximum(w.sys)
	}
	return row
}
