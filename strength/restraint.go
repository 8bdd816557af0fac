package strength

// Method:   how stiffly a joint is held
// Formula:  K = E·t/l, l the distance between what holds the edges; low below 400·t, medium from
//           there, high from 700·t (K in N/mm per mm, t in mm); reaction stress K·S/t, at most yield
// Validity: ranks joints; an insert in a plate is high whatever l is
// Source:   Masubuchi and Watanabe and Satoh, from memory

import (
	_ "embed"
	"fmt"

	"soundmetal/heat"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed sequence.csv
var sequenceCSV string

// RestraintInput is what Restraint needs.
type RestraintInput struct {
	Thickness q.Length
	Between   q.Maybe[q.Length] // distance between the fixed edges on both sides of the joint
	Free      bool              // one side can move
	Insert    bool              // an insert, or a crack whose ends both lie inside the plate
	Shrinkage q.Length          // free shrinkage across the joint; zero where not worked out
	Yield     q.Stress
}

// Restrained is how stiffly a joint is held.
type Restrained struct {
	Intensity q.Stress      `json:"intensity"` // N/mm per mm of weld; zero where the distance is not known
	Class     job.Restraint `json:"class"`
	Reaction  q.Stress      `json:"reaction"` // if rigid, at most yield; zero where shrinkage is not given
}

// Restraint gives the restraint class of a joint from its geometry.
func Restraint(in RestraintInput) (source.Result[Restrained], error) {
	const method = "restraint"
	none := source.Result[Restrained]{}
	t := in.Thickness.MM()
	if err := positive(method, "thickness", t); err != nil {
		return none, err
	}
	w := begin(method, "Restraint of the joint", "K = E·t/l; medium from 400·t, high from 700·t", figRef("restraint_medium"))
	w.length("thickness", in.Thickness, "")
	w.why("A joint that cannot shrink pulls itself apart while it cools; it wants more preheat and a better sequence.",
		"The root cracks before the weld is full.")
	var r Restrained
	if in.Between.Known {
		held, err := heat.RestraintIntensity(in.Thickness, in.Between.V)
		if err != nil {
			return none, err
		}
		r.Intensity = held.Value
		k := held.Value.MPa()
		w.length("between fixed edges", in.Between.V, "")
		w.b.Steps = append(w.b.Steps, held.Basis.Steps...)
		w.step("over thickness", "K/t", "", k/t, "N/mm² per mm")
		if in.Shrinkage > 0 {
			s := k * in.Shrinkage.MM() / t
			w.step("reaction stress if rigid", "K·S/t", fmt.Sprintf("%s × %s/%s", num(k), num(in.Shrinkage.MM()), num(t)), s, "MPa")
			if in.Yield > 0 && s > in.Yield.MPa() {
				s = in.Yield.MPa()
				w.note("above yield: the joint yields and keeps a residual stress of yield size")
			}
			r.Reaction = mpa(s)
		}
	}
	switch k := r.Intensity.MPa() / t; {
	case in.Insert:
		r.Class = job.HighRestraint
		w.note("ends or insert inside a plate: the metal around holds it on all sides, severe whatever the distance")
	case in.Free:
		r.Class = job.LowRestraint
	case !in.Between.Known:
		r.Class = job.MediumRestraint
		w.note("distance between fixed edges not known: taken as a usual structure")
	case k >= fig("restraint_high"):
		r.Class = job.HighRestraint
	case k >= fig("restraint_medium"):
		r.Class = job.MediumRestraint
	default:
		r.Class = job.LowRestraint
	}
	w.say("restraint", string(r.Class))
	return result(w, r), nil
}

// RestraintOf gives the restraint class of a job's item: what the welder says
// counts, then the geometry of the crack.
func RestraintOf(it job.Item) (source.Result[Restrained], error) {
	if it.Restraint != "" {
		w := begin("restraint", "Restraint of the joint", "", source.At("practice", "as the welder says", source.Practice))
		w.in("restraint", string(it.Restraint), "told")
		w.why("A joint that cannot shrink pulls itself apart while it cools.", "The root cracks before the weld is full.")
		return result(w, Restrained{Class: it.Restraint}), nil
	}
	return Restraint(RestraintInput{Thickness: it.Thickness.V, Insert: it.Crack.Ends == "both"})
}

// SequenceAdvice gives the rules for the order of welding that fit an item.
func SequenceAdvice(it job.Item, class job.Restraint) []Rule {
	bore := false
	for _, b := range it.Behind {
		bore = bore || b == "pin-bore"
	}
	holds := map[string]bool{"any": true, "both": it.Access == job.BothSides, "insert": it.Crack.Ends == "both" && class == job.HighRestraint,
		"high": class == job.HighRestraint, "pin-bore": bore}
	var all []Rule
	for _, r := range source.Table("sequence.csv", sequenceCSV) {
		if holds[r.Text("when")] {
			all = append(all, Rule{r.Text("id"), r.Text("text"), r.Ref()})
		}
	}
	return all
}

// BoreWarning says how far a pin bore beside a weld may move, with one system
// leading; ok is false where no bore is near.
func BoreWarning(it job.Item, across Movement, sys q.System) (text string, ok bool) {
	for _, b := range it.Behind {
		if b == "pin-bore" {
			return fmt.Sprintf("a pin bore is near: the weld may pull it %s to %s across; put a bar through both bores, weld a little on each side in turn, and measure the bores before and after",
				across.Band.Low.Text(sys), across.Band.High.Text(sys)), true
		}
	}
	return "", false
}
