package heat

import (
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// The word of each preheat method on one steel, as plain numbers: what
// FloorValue and MinimumPreheat rest on. A figure outside a method's range is
// brought to the end of the range here, and only here, and the row says so.

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
	chemistry := !in.Steel.Unknown && in.Group.row().equivalents
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
	pcm, usual := in.pcm()
	si := siIndex(float64(pcm), min(max(h, siDry), siWet))
	row, g := siLookup(min(si, siMax), in.Thickness, in.restraint())
	v := verdict{Counts, row.cells[g].c.C(), ""}
	switch {
	case si > siMax:
		v.reason = overSI
	case float64(in.Steel.C) > formulaCarbon && !usual:
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

// pcm is the Pcm for hydrogen control; usual says that it is the usual one.
func (in *PreheatInput) pcm() (pcm q.Percent, usual bool) {
	if in.UsualPcm.Known && in.Category != "" {
		return in.UsualPcm.V, true
	}
	return in.Steel.Pcm, false
}

func judgePrequalified(in *PreheatInput) verdict {
	row := prequalifiedLookup(in.column(), in.Thickness)
	switch {
	case row == nil:
		return verdict{Silent, 0, noCategory}
	case in.Thickness < prequalifiedMin-slack:
		return verdict{AtLimit, row.c, sheetMetal}
	}
	return verdict{Counts, row.c, ""}
}

// column is the column of the prequalified table.
func (in *PreheatInput) column() Category {
	if in.Category == "" && in.Group == A514 {
		return CategoryA514
	}
	return CategoryWith(in.Category, in.Hydrogen)
}

func judgeMs(in *PreheatInput) verdict {
	if !in.Group.row().highCarbon {
		return verdict{Silent, 0, otherPractice}
	}
	if !in.Group.row().equivalents {
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
