package heat

import (
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// PreheatInput is one credible steel in one joint with one filler.
type PreheatInput struct {
	Steel     Steel
	Group     Group    // "" where no family is known
	Category  Category // of the prequalified table with low-hydrogen filler; "" where the steel is not in it
	Thickness q.Length // thickest part at the joint
	Hydrogen  q.Hydrogen
	HeatInput q.HeatInput   // with the thermal efficiency
	Restraint job.Restraint // unknown counts as high

	WeldMetalCET q.Maybe[q.Percent]     // of the filler's deposit
	StrongFiller bool                   // low-alloy filler of the highest strength, about 690 MPa yield and more
	Base         q.Maybe[q.Temperature] // steel before heating
	Air          q.Maybe[q.Temperature]
	Damp         bool
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

	in PreheatInput
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

// reasons are the fixed sentences of the rows; the whole working is in Explain.
const (
	noChemistry    = "the chemistry is not known"
	noEquivalents  = "carbon equivalents mean nothing for this steel"
	overCET        = "CET is above .50: the method's value at .50 is kept as a lower bound"
	underCET       = "CET is below .20: evaluated at .20"
	overCarbon     = "carbon is above .32 %: the method's value is kept as a lower bound"
	wetCET         = "hydrogen is above 20 ml/100 g: the value at 20 is kept as a lower bound"
	dryHydrogen    = "hydrogen is below 1 ml/100 g: evaluated at 1"
	smallHeat      = "heat input is below 0.5 kJ/mm: the value at 0.5 is kept as a lower bound"
	bigHeat        = "heat input is above 4 kJ/mm: evaluated at 4"
	overSI         = "the susceptibility index is above 7.0: group G is kept as a lower bound"
	wetSI          = "hydrogen is above 30 ml/100 g: the value at 30 is kept as a lower bound"
	noCategory     = "the steel is not in the prequalified table"
	sheetMetal     = "thinner than 3 mm: the first row is kept"
	noSpecialRule  = "no rule of its own for this family"
	lowCarbon      = "carbon is not above .32 %: the formulas hold"
	overChart      = "carbon is above .80 %: the last row is kept as a lower bound; an engineer's job"
	otherPractice  = "the rule of the family stands in its place"
	notCold        = "the steel is not below 0 °C"
	baseNotKnown   = "the temperature of the steel is not known"
	itoRange       = "hydrogen or thickness is outside the formula's range"
	itoCarbon      = "carbon is outside the .07 to .22 % of the formula"
	seferianNoNeed = "the formula asks for no preheat"
)

type verdict struct {
	role   Role
	c      float64 // °C
	reason string
}

// judge gives the word of each method; no text is made, nothing is allocated.
// FloorValue and MinimumPreheat both rest on it.
func judge(in *PreheatInput) (v [floorMethods]verdict) {
	chemistry := !in.Steel.Unknown && in.Group.usesEquivalents()
	why := noEquivalents
	if in.Steel.Unknown {
		why = noChemistry
	}
	if chemistry {
		v[rowCET] = judgeCET(in)
		v[rowSI] = judgeSI(in)
		v[rowIto] = judgeIto(in)
		v[rowSeferian] = judgeSeferian(in)
	} else {
		for _, i := range [...]int{rowCET, rowSI, rowIto, rowSeferian} {
			v[i] = verdict{Silent, 0, why}
		}
	}
	v[rowPrequalified] = judgePrequalified(in)
	special := in.special()
	if row, c := specialMinimum(&special); row != nil {
		v[rowSpecial] = verdict{Counts, c, ""}
	} else {
		v[rowSpecial] = verdict{Silent, 0, noSpecialRule}
	}
	v[rowMs] = judgeMs(in)
	switch {
	case !in.Base.Known:
		v[rowCold] = verdict{Silent, 0, baseNotKnown}
	case in.Base.V < frozenSteel.limit:
		v[rowCold] = verdict{Counts, frozenSteel.warmTo.C(), ""}
	default:
		v[rowCold] = verdict{Silent, 0, notCold}
	}
	return v
}

// cet is the CET that counts, of steel or weld metal.
func (in *PreheatInput) cet() q.Percent {
	if in.WeldMetalCET.Known {
		return GoverningCET(in.Steel.CET, in.WeldMetalCET.V)
	}
	return in.Steel.CET
}

func (in *PreheatInput) special() SpecialInput {
	s := SpecialInput{Group: in.Group, Thickness: in.Thickness, HeatInput: in.HeatInput, Restraint: in.Restraint,
		Air: in.Air, Damp: in.Damp, StrongFiller: in.StrongFiller}
	if !in.Steel.Unknown {
		s.Carbon = q.Known(in.Steel.C)
	}
	return s
}

// restraint is the one that counts: unknown is high.
func (in *PreheatInput) restraint() job.Restraint {
	if in.Restraint == job.LowRestraint || in.Restraint == job.MediumRestraint {
		return in.Restraint
	}
	return job.HighRestraint
}

func judgeCET(in *PreheatInput) verdict {
	cet, hd, kj := float64(in.cet()), float64(in.Hydrogen), in.HeatInput.KJPerMM()
	v := verdict{Counts, cetAtLimits(cet, in.Thickness.MM(), hd, kj), ""}
	switch {
	case cet > cetHigh:
		v.reason = overCET
	case float64(in.Steel.C) > formulaCarbon:
		v.reason = overCarbon
	case cet < cetLow:
		v.reason = underCET
	case hd > cetWet:
		v.reason = wetCET
	case hd < cetDry:
		v.reason = dryHydrogen
	case kj < cetCold:
		v.reason = smallHeat
	case kj > cetHot:
		v.reason = bigHeat
	}
	if v.reason != "" {
		v.role = AtLimit
	}
	return v
}

func judgeSI(in *PreheatInput) verdict {
	h := float64(in.Hydrogen)
	si := siIndex(float64(in.Steel.Pcm), min(max(h, siDry), siWet))
	row, g := siLookup(min(si, siMax), in.Thickness, in.restraint())
	v := verdict{Counts, row.cells[g].c.C(), ""}
	switch {
	case si > siMax:
		v.reason = overSI
	case float64(in.Steel.C) > formulaCarbon:
		v.reason = overCarbon
	case h > siWet:
		v.reason = wetSI
	case h < siDry:
		v.reason = dryHydrogen
	}
	if v.reason != "" {
		v.role = AtLimit
	}
	return v
}

func judgePrequalified(in *PreheatInput) verdict {
	row := prequalifiedLookup(CategoryWith(in.Category, in.Hydrogen), in.Thickness)
	switch {
	case row == nil:
		return verdict{Silent, 0, noCategory}
	case in.Thickness < prequalifiedMin-slack:
		return verdict{AtLimit, row.c, sheetMetal}
	}
	return verdict{Counts, row.c, ""}
}

func judgeMs(in *PreheatInput) verdict {
	if !in.Group.usesHighCarbonPractice() {
		return verdict{Silent, 0, otherPractice}
	}
	if !in.Group.usesEquivalents() {
		return verdict{Silent, 0, noEquivalents}
	}
	if row := chartFor(in.Group, &in.Steel); row != nil {
		return verdict{Counts, row.minimum(in.Hydrogen, in.Restraint).C(), ""}
	}
	switch {
	case in.Steel.Unknown:
		return verdict{Silent, 0, noChemistry}
	case float64(in.Steel.C) > highCarbonMaxChart:
		s := in.Steel
		s.C = highCarbonMaxChart
		return verdict{AtLimit, chartFor(in.Group, &s).low.C(), overChart}
	}
	return verdict{Silent, 0, lowCarbon}
}

func judgeIto(in *PreheatInput) verdict {
	h, _ := glycerine(float64(in.Hydrogen))
	if c := float64(in.Steel.C); c < pcmMinC || c > pcmMaxC {
		return verdict{Silent, 0, itoCarbon}
	}
	if h < itoDry || h > itoWet {
		return verdict{Silent, 0, itoRange}
	}
	k := in.restraintIntensity().MPa()
	if !(k >= itoSlackest && k <= itoStiffest) {
		return verdict{Silent, 0, itoRange}
	}
	return verdict{Check, 1440*(float64(in.Steel.Pcm)+h/60+k/400_000) - 392, ""}
}

// restraintIntensity is the usual figure for the thickness; high restraint
// counts as severely held.
func (in *PreheatInput) restraintIntensity() q.Stress {
	per := restraintUsual
	if in.restraint() == job.HighRestraint {
		per = restraintSevere
	}
	return q.Stress(per*in.Thickness.MM()) * q.Megapascal
}

func judgeSeferian(in *PreheatInput) verdict {
	s := &in.Steel
	ct := float64(360*s.C+40*(s.Mn+s.Cr)+20*s.Ni+28*s.Mo) / 360 * (1 + 0.005*in.Thickness.MM())
	if ct <= 0.25 {
		return verdict{Check, 0, seferianNoNeed}
	}
	return verdict{Check, 350 * math.Sqrt(ct-0.25), ""}
}

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
	if in.Steel.Unknown || !in.Group.usesEquivalents() {
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
	f := Floor{Minimum: q.Temperature(c), By: floorIDs[by], in: in}
	for i := range v {
		f.Rows[i] = FloorRow{floorIDs[i], v[i].role, q.Temperature(v[i].c), v[i].reason}
	}
	return f, nil
}
