package filler

import (
	_ "embed"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Run-out length: the millimetres of weld that one rod makes, and the arc energy
// that follows from it, with no meter at all.
//
// Method: E = D²·L·F / ROL (BS 5135 and EN 1011 run-out tables; from memory)
//
//	D    core diameter, mm
//	L    length of rod consumed = rod length − 40 mm stub, mm
//	F    kJ/mm³, by the rod's efficiency (runout_factors.csv)
//	ROL  run-out length, mm of weld
//	E    arc energy, kJ/mm, without the process efficiency k
//
// Validity: covered rods; the limits are in limits.csv.

// EnergyDensity is arc energy in a volume of core wire (with D² for the section): J/m³.
type EnergyDensity float64

// KilojoulePerCubicMillimetre is the unit of the run-out factor F.
const KilojoulePerCubicMillimetre EnergyDensity = 1e12

func (f EnergyDensity) kJPerMM3() float64 { return float64(f / KilojoulePerCubicMillimetre) }

//go:embed runout_factors.csv
var factorsCSV string

type factorRow struct {
	over   float64
	to     q.Maybe[float64]
	factor EnergyDensity
	ref    source.Ref
}

var factors = mustFactors(factorsCSV)

func mustFactors(text string) []factorRow {
	var all []factorRow
	for _, r := range source.Table("runout_factors.csv", text) {
		all = append(all, factorRow{r.Num("over_pct"), source.Maybe(r, "to_pct", 1.0),
			EnergyDensity(r.Num("factor_kj_per_mm3")) * KilojoulePerCubicMillimetre, r.Ref()})
	}
	return all
}

// above compares with a grain of slack: 110 % as a ratio is not quite 110 again.
func above(v, edge float64) bool { return v > edge*(1+1e-9) }

// Factor gives the run-out factor of a rod by its efficiency (deposit over core wire). Method id: run-out-factor.
func Factor(efficiency q.Ratio) (source.Result[EnergyDensity], error) {
	pct := float64(efficiency) * 100
	for _, f := range factors {
		if !above(pct, f.over) || f.to.Known && above(pct, f.to.V) {
			continue
		}
		return source.Result[EnergyDensity]{Value: f.factor, Basis: source.Basis{
			Method: "run-out-factor", Title: "Run-out factor by rod efficiency",
			Inputs: []source.Input{{Name: "efficiency", Text: short(pct) + " %"}},
			Steps:  []source.Step{{Name: "factor F", Value: f.factor.kJPerMM3(), Unit: "kJ/mm³"}},
			Ref:    f.ref,
			Notes:  []string{"A rod at the edge of two bands takes the lower band."},
			Why:    "Iron powder in the coating makes more weld from the same core, and takes more heat to melt.",
			Skip:   "With the wrong band the heat input is out by a sixth.",
		}}, nil
	}
	return source.Result[EnergyDensity]{}, source.InRange("run-out-factor", "efficiency", pct, 1, 250, "%", "read the efficiency of the rod from its data sheet")
}

// FactorOf is the run-out factor of a class by its usual efficiency; it errs for wires.
func FactorOf(c Class) (source.Result[EnergyDensity], error) {
	if !c.Efficiency.Known {
		return source.Result[EnergyDensity]{}, source.InRange("run-out-factor", "efficiency of "+c.ID, 0, 1, 250, "%",
			"the run-out method is for covered rods; with wire use volts, amps and travel speed")
	}
	return Factor(c.Efficiency.V)
}

const runOutFormula = "E = D² · L · F / ROL"

func runOutBasis(title string) source.Basis {
	return source.Basis{
		Method: "run-out", Title: title, Formula: runOutFormula,
		Ref:   source.At("bs5135", "run-out tables", source.Memory),
		Notes: []string{"Arc energy without the process efficiency k; multiply by k = 0.8 for the heat input Q of the cooling formulas."},
		Why:   "You cannot read arc volts or travel speed under the hood, but you can lay a tape along the bead of one rod.",
		Skip:  "Too short a run overheats quenched plate; too long a run leaves a hard, cold bead.",
	}
}

func runOutInputs(d, l q.Length, f EnergyDensity) []source.Input {
	return []source.Input{
		{Name: "core diameter D", Text: lengthText(d)},
		{Name: "consumed length L", Text: lengthText(l)},
		{Name: "factor F", Text: short(f.kJPerMM3()) + " kJ/mm³"},
	}
}

func runOutRange(d, l q.Length, f EnergyDensity) error {
	if err := within("run-out", "core diameter", d.MM()); err != nil {
		return err
	}
	if err := within("run-out", "consumed length", l.MM()); err != nil {
		return err
	}
	return within("run-out", "factor", f.kJPerMM3())
}

// RunOut gives the millimetres of weld from one rod at the arc energy e.
// d core, l consumed length, f factor. Method id: run-out (D L F E).
func RunOut(d, l q.Length, f EnergyDensity, e q.HeatInput) (source.Result[q.Length], error) {
	if err := runOutRange(d, l, f); err != nil {
		return source.Result[q.Length]{}, err
	}
	if err := within("run-out", "heat input", e.KJPerMM()); err != nil {
		return source.Result[q.Length]{}, err
	}
	// mm and kJ/mm inside
	mm := d.MM() * d.MM() * l.MM() * f.kJPerMM3() / e.KJPerMM()
	b := runOutBasis("Length of weld from one rod")
	b.Inputs = append(runOutInputs(d, l, f), source.Input{Name: "arc energy E", Text: heatText(e)})
	b.Steps = []source.Step{
		{Name: "energy of one rod", Formula: "D² · L · F", With: short(d.MM()) + "² × " + short(l.MM()) + " × " + short(f.kJPerMM3()), Value: mm * e.KJPerMM(), Unit: "kJ"},
		{Name: "run-out length", Formula: "ROL = D² · L · F / E", With: short(mm*e.KJPerMM()) + " / " + short(e.KJPerMM()), Value: mm, Unit: "mm", Text: lengthText(q.Length(mm) * q.Millimetre)},
	}
	return source.Result[q.Length]{Value: q.Length(mm) * q.Millimetre, Basis: b}, nil
}

// RunOutHeat gives the arc energy from the measured length of weld of one rod.
// Method id: run-out-heat (D L F ROL).
func RunOutHeat(d, l q.Length, f EnergyDensity, rol q.Length) (source.Result[q.HeatInput], error) {
	if err := runOutRange(d, l, f); err != nil {
		return source.Result[q.HeatInput]{}, err
	}
	if err := within("run-out", "run-out length", rol.MM()); err != nil {
		return source.Result[q.HeatInput]{}, err
	}
	rod := d.MM() * d.MM() * l.MM() * f.kJPerMM3() // kJ
	e := q.HeatInput(rod/rol.MM()) * q.KilojoulePerMillimetre
	b := runOutBasis("Arc energy from the length of weld of one rod")
	b.Method = "run-out-heat"
	b.Inputs = append(runOutInputs(d, l, f), source.Input{Name: "run-out length ROL", Text: lengthText(rol), From: "measured"})
	b.Steps = []source.Step{
		{Name: "energy of one rod", Formula: "D² · L · F", With: short(d.MM()) + "² × " + short(l.MM()) + " × " + short(f.kJPerMM3()), Value: rod, Unit: "kJ"},
		{Name: "arc energy", Formula: runOutFormula, With: short(rod) + " / " + short(rol.MM()), Value: e.KJPerMM(), Unit: "kJ/mm", Text: heatText(e)},
	}
	return source.Result[q.HeatInput]{Value: e, Basis: b}, nil
}

// RodHeat gives the arc energy of a rod that was timed: E = V·I·t/(1000·ROL), kJ/mm.
// Method id: rod-heat (V I t ROL).
func RodHeat(v q.Voltage, i q.Current, t q.Time, rol q.Length) (source.Result[q.HeatInput], error) {
	var none source.Result[q.HeatInput]
	for _, c := range []struct {
		name string
		v    float64
	}{{"arc voltage", float64(v)}, {"current", float64(i)}, {"arc time", float64(t)}} {
		if err := within("rod-heat", c.name, c.v); err != nil {
			return none, err
		}
	}
	if err := within("run-out", "run-out length", rol.MM()); err != nil {
		return none, err
	}
	kJ := float64(v) * float64(i) * float64(t) / 1000
	e := q.HeatInput(kJ/rol.MM()) * q.KilojoulePerMillimetre
	return source.Result[q.HeatInput]{Value: e, Basis: source.Basis{
		Method: "rod-heat", Title: "Arc energy from a timed rod", Formula: "E = V · I · t / (1000 · ROL)",
		Inputs: []source.Input{
			{Name: "arc voltage V", Text: short(float64(v)) + " V"}, {Name: "current I", Text: short(float64(i)) + " A"},
			{Name: "arc time t", Text: short(float64(t)) + " s"}, {Name: "run-out length ROL", Text: lengthText(rol)},
		},
		Steps: []source.Step{
			{Name: "energy of one rod", Formula: "V · I · t / 1000", With: short(float64(v)) + " × " + short(float64(i)) + " × " + short(float64(t)) + " / 1000", Value: kJ, Unit: "kJ"},
			{Name: "arc energy", With: short(kJ) + " / " + short(rol.MM()), Value: e.KJPerMM(), Unit: "kJ/mm", Text: heatText(e)},
		},
		Ref:   source.At("en1011-1", "arc energy", source.Read),
		Notes: []string{"Volts at the machine include the leads; arc volts are lower."},
		Why:   "Your own rod, your own hand: the watch and the tape give the heat.",
		Skip:  "A typical figure can be a quarter off.",
	}}, nil
}
