package strength

// Method:   damage sum (Miner) and the equivalent stress range of a spectrum
// Formula:  D = Σn/N; Δσeq = [(Σ[Δσ≥Δσk] nΔσ³ + Δσk⁻²·Σ[Δσ<Δσk] nΔσ⁵)/Σn]^⅓
//           Weibull ranges: E[Δσ^m] = k^m·Γ(1 + m/λ)
// Validity: as the S-N curve; order of the loads does not count
// Source:   IIW recommendations 4.3; EN 1993-1-9 annex A; JCSS annex B (Weibull)

import (
	"errors"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Block is one stress range and how often it comes.
type Block struct {
	Range q.Stress
	Count Cycles
}

// DamageSum is what a spectrum uses up.
type DamageSum struct {
	Sum        float64  // of n/N; 1 uses the design life
	Equivalent q.Stress // constant range that does the same harm in the same number of cycles
	Cycles     Cycles
}

// Damage gives the damage sum of a spectrum on a curve of CurveIDs.
func Damage(spectrum []Block, fatClass q.Stress, knee string) (source.Result[DamageSum], error) {
	const method = "damage"
	none := source.Result[DamageSum]{}
	c, err := findCurve(orText(knee, "iiw"))
	if err != nil {
		return none, fmt.Errorf("%s: %w", method, err)
	}
	fat := fatClass.MPa()
	if err := checkFAT(method, fat); err != nil {
		return none, err
	}
	if len(spectrum) == 0 {
		return none, errors.New(method + ": the spectrum is empty")
	}
	w := begin(method, "Damage sum and equivalent range", "D = Σn/N; Δσeq = FAT·(2e6·D/Σn)^(1/m)", c.ref)
	w.in("class", "FAT "+num(fat), "")
	w.in("curve", c.title, "")
	var d DamageSum
	var total float64
	for _, b := range spectrum {
		ds, n := b.Range.MPa(), float64(b.Count)
		if err := positive(method, "stress range", ds, "count", n); err != nil {
			return none, err
		}
		life := c.life(fat, ds)
		total += n
		d.Sum += n / life
		with := fmt.Sprintf("%s / %s", num(n), num(life))
		if math.IsInf(life, 1) {
			with = "below the cut-off: no damage"
		}
		w.step(fmt.Sprintf("%s MPa, %s cycles", num(ds), num(n)), "n/N", with, n/life, "")
	}
	d.Cycles = Cycles(total)
	// the range whose straight line of the first slope gives the same damage
	eq := fat * math.Pow(c.reference*d.Sum/total, 1/c.m)
	d.Equivalent = mpa(eq)
	w.step("damage", "D = Σn/N", "", d.Sum, "")
	w.step("equivalent range", "Δσeq = FAT·(2e6·D/Σn)^(1/m)", fmt.Sprintf("%s × (2e6 × %s / %s)^(1/%s)", num(fat), num(d.Sum), num(total), num(c.m)), eq, "MPa")
	w.note("the equivalent range belongs to the straight line of slope %s: N = 2e6·(FAT/Δσeq)^%s", num(c.m), num(c.m))
	w.note("damage allowed: 0.5 where the ranges vary much, 1.0 where they hardly do (IIW, from memory)")
	w.also(figRef("miner_cov"))
	w.why("Big swings count for much more than small ones: a swing twice as high does eight times the harm.",
		"The many small cycles look dangerous and the few big ones do the breaking.")
	return result(w, d), nil
}

// WeibullEquivalent gives the equivalent range of ranges that follow a Weibull
// distribution of scale and shape, for a slope m without a knee.
func WeibullEquivalent(scale q.Stress, shape, m float64) (source.Result[q.Stress], error) {
	const method = "damage-weibull"
	if err := positive(method, "scale", scale.MPa(), "shape", shape, "slope", m); err != nil {
		return source.Result[q.Stress]{}, err
	}
	w := begin(method, "Equivalent range of Weibull ranges", "Δσeq = k·Γ(1 + m/λ)^(1/m)", source.At("jcss", "annex B", source.Read))
	eq := scale.MPa() * math.Pow(math.Gamma(1+m/shape), 1/m)
	w.stress("scale", scale, "")
	w.in("shape", num(shape), "")
	w.step("equivalent range", "k·Γ(1 + m/λ)^(1/m)", fmt.Sprintf("%s × Γ(%s)^(1/%s)", num(scale.MPa()), num(1+m/shape), num(m)), eq, "MPa")
	w.why("Random loading has a known shape; two numbers of it give the harm it does.",
		"The harm of a rough history is guessed from its mean.")
	return result(w, mpa(eq)), nil
}
