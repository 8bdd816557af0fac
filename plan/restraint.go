package plan

import (
	"fmt"

	"soundmetal/job"
	"soundmetal/source"
	"soundmetal/strength"
)

// restraint is the job's word, or high where it is unknown: repairs in a whole
// structure hardly shrink freely. Geometry never lowers it; where it says more
// than the welder, restraintLine says so.
func (w *work) restraint() job.Restraint {
	if w.it.Restraint == "" {
		return job.HighRestraint
	}
	return w.it.Restraint
}

// shapeRestraint is what the geometry of the crack says by itself.
func (w *work) shapeRestraint() (source.Result[strength.Restrained], bool) {
	r, err := strength.Restraint(strength.RestraintInput{Thickness: w.wall, Insert: w.it.Crack.Ends == "both"})
	return r, err == nil && r.Value.Class == job.HighRestraint
}

// restraintWhy says where an unknown restraint was taken from.
func (w *work) restraintWhy() string {
	if _, high := w.shapeRestraint(); high {
		return "restraint not told: both ends of the crack lie inside the plate, which holds the weld from all sides, so it is high"
	}
	return "restraint not known: taken as high, as for a repair in a whole structure"
}

// restraintLine warns where the geometry holds more than the welder says.
func (w *work) restraintLine(s *Section) {
	if w.it.Restraint == "" || w.it.Restraint == job.HighRestraint {
		return
	}
	if r, high := w.shapeRestraint(); high {
		s.add(Caution, fmt.Sprintf("You say restraint %s, but both ends of the crack lie inside the plate, which holds the weld from all sides. If in doubt say high and plan again.", w.it.Restraint), &r.Basis)
	}
}
