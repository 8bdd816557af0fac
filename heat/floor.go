package heat

import (
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// PreheatInput is one credible steel in one joint with one filler.
type PreheatInput struct {
	Steel Steel `json:"steel"`
	Group Group `json:"group"` // "" where no family is known
	// Category of the grade in the prequalified table, see CategoryWith; "" where
	// it is not in it. The rows for A514 follow from the group.
	Category  Category      `json:"category"`
	Thickness q.Length      `json:"thickness"` // thickest part at the joint
	Hydrogen  q.Hydrogen    `json:"hydrogen"`
	HeatInput q.HeatInput   `json:"heat_input"` // with the thermal efficiency
	Restraint job.Restraint `json:"restraint"`  // unknown counts as high

	WeldMetalCET q.Maybe[q.Percent] `json:"weld_metal_cet"` // of the filler's deposit
	// UsualPcm is the Pcm of a usual composition of the grade. It stands in for
	// Steel.Pcm in hydrogen control where the grade is in the prequalified table
	// and was not analysed: the code gives the table for the grade and hydrogen
	// control as the other way for a known composition, so its value on the worst
	// composition is neither. The CET method still judges the worst.
	UsualPcm     q.Maybe[q.Percent]     `json:"usual_pcm"`
	StrongFiller bool                   `json:"strong_filler"` // low-alloy filler of the highest strength, about 690 MPa yield and more
	Base         q.Maybe[q.Temperature] `json:"base"`          // steel before heating
	Air          q.Maybe[q.Temperature] `json:"air"`
	Damp         bool                   `json:"damp"`
}

// Role says what a row of the floor counts for.
type Role string

const (
	// Counts: the method applies; the floor is at least its value.
	Counts Role = "counts"
	// AtLimit: a figure is outside the method's range. The value is the method's
	// own at the end of its range; the floor is at least that, so that a steel
	// just outside a range never gets less than one just inside.
	AtLimit Role = "at-limit"
	// Check: a cross check, shown but never deciding.
	Check Role = "check"
	// Silent: the method says nothing here; Reason tells why.
	Silent Role = "silent"
)

// FloorRow is one method's word on the minimum preheat.
type FloorRow struct {
	Method string        `json:"method"`
	Role   Role          `json:"role"`
	Value  q.Temperature `json:"value"` // meaningless where the role is silent
	Reason string        `json:"reason,omitempty"`
}

// Floor is the minimum preheat and interpass temperature of one steel.
type Floor struct {
	Minimum q.Temperature          `json:"minimum"`
	By      string                 `json:"by"` // method that governs
	Rows    [floorMethods]FloorRow `json:"rows"`
	In      PreheatInput           `json:"in"` // what it was worked from; Result and Explain work from it again
}

const floorMethods = 8

// methods of the floor, in the order of the rows. Of equal values the first governs.
const (
	rowCET = iota
	rowSI
	rowPrequalified
	rowSpecial
	rowMs
	rowCold
	rowIto
	rowSeferian
)

var floorIDs = [floorMethods]string{idCET, idSI, idPrequalified, idSpecial, idMs, idCold, idIto, idSeferian}

// check refuses figures that make no sense.
func (in *PreheatInput) check() error {
	if err := in.Group.valid(); err != nil {
		return err
	}
	if _, ok := prequalifiedTable[in.Category]; !ok && in.Category != "" {
		return fmt.Errorf("%s: category %q is not in the table; give A, B, C, D, A514 or leave it out", idFloor, string(in.Category))
	}
	if err := positive(idFloor, "thickness", in.Thickness.MM(), "mm"); err != nil {
		return err
	}
	if err := positive(idFloor, "hydrogen", float64(in.Hydrogen), "ml/100 g"); err != nil {
		return err
	}
	if err := positive(idFloor, "heat input", in.HeatInput.KJPerMM(), "kJ/mm"); err != nil {
		return err
	}
	if in.Steel.Unknown || !in.Group.row().equivalents {
		return nil
	}
	for _, p := range [...]struct {
		name string
		v    q.Percent
	}{{"carbon", in.Steel.C}, {"CET", in.Steel.CET}, {"Pcm", in.Steel.Pcm}} {
		if err := positive(idFloor, p.name, float64(p.v), "%"); err != nil {
			return fmt.Errorf("%w, or say that the chemistry is unknown", err)
		}
	}
	return nil
}

const idFloor = "preheat-floor"

// floorOf picks the highest of the rows that count; ok is false where none does.
func floorOf(v *[floorMethods]verdict) (c float64, by int, ok bool) {
	for i := range v {
		if v[i].role != Counts && v[i].role != AtLimit {
			continue
		}
		if !ok || v[i].c > c {
			c, by, ok = v[i].c, i, true
		}
	}
	return c, by, ok
}

// FloorValue is the minimum preheat of MinimumPreheat without rows or working.
// It is +Inf where MinimumPreheat gives an error, so that no ceiling ever lies
// above it.
func FloorValue(in PreheatInput) q.Temperature {
	if in.check() != nil {
		return q.Temperature(math.Inf(1))
	}
	v := judge(&in)
	c, _, ok := floorOf(&v)
	if !ok {
		return q.Temperature(math.Inf(1))
	}
	return q.Temperature(c)
}

// MinimumPreheat runs every method for one steel and takes the highest of those
// that count: the CET method, hydrogen control, the prequalified table, the
// rules of the families and of strong fillers, the practice for steel above
// .32 % carbon, and the rule for frozen steel.
//
// Why the highest: each method guards against one way to crack and none knows
// the others' reasons. A figure from memory may raise the floor and can never
// lower it, since nothing lowers it.
//
// The floor never falls when thickness, carbon, hydrogen or restraint rise.
// Inside a method that follows from its formula or table. Where a figure leaves
// a method's range the method itself refuses, and the floor keeps the method's
// value at the end of its range (Role AtLimit) as a lower bound: at CET .50, at
// SI 7.0, and so on. Below a range it is evaluated at the low end, which is on
// the warm side.
//
// Ito-Bessyo and Seferian are cross checks: shown, never governing. For every
// steel of known chemistry the CET method gives a value or a bound, and where
// the chemistry is unknown the cross checks know nothing either, so there is no
// case in which only they speak.
//
// It is an error if nothing at all speaks of the steel: then it must be
// identified before it is welded.
func MinimumPreheat(in PreheatInput) (Floor, error) {
	if err := in.check(); err != nil {
		return Floor{}, err
	}
	v := judge(&in)
	c, by, ok := floorOf(&v)
	if !ok {
		return Floor{}, fmt.Errorf("%s: nothing is known that gives a preheat for %s; find out the family, the grade or the chemistry", idFloor, in.Group.Title())
	}
	f := Floor{Minimum: q.Temperature(c), By: floorIDs[by], In: in}
	for i := range v {
		f.Rows[i] = FloorRow{floorIDs[i], v[i].role, q.Temperature(v[i].c), v[i].reason}
	}
	return f, nil
}
