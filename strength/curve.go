package strength

// Method:   fatigue life by S-N curve, and the stress range of a life
// Symbols:  FAT class (95 % survival at 2e6 cycles), Δσ nominal stress range, N cycles, m slope
// Formula:  N = 2e6·(FAT/Δσ)^m to the knee Nk; beyond it N = Nk·(Δσk/Δσ)^m2
// Validity: elastic nominal stress; N ≥ 1e4; FAT 36 to 160; EN: no damage below its cut-off
// Source:   IIW recommendations 3.2; EN 1993-1-9 7.1; BS 7608 (bs7608.csv)

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed curves.csv
var curvesCSV string

//go:embed bs7608.csv
var bs7608CSV string

// curve is one S-N curve by its class at 2e6 cycles.
type curve struct {
	id, title     string
	m, knee, m2   float64 // knee is Inf where there is none
	cutoff        float64 // life beyond which no damage is counted
	ref           source.Ref
	reference     float64
	shortestCycle float64
}

var curves = mustCurves()

func mustCurves() map[string]curve {
	all := map[string]curve{}
	for _, r := range source.Table("curves.csv", curvesCSV) {
		all[r.Text("id")] = curve{r.Text("id"), r.Text("title"), r.Num("slope"), upper(r, "knee"), r.Or("slope_after", 0),
			upper(r, "cut_off"), r.Ref(), fig("sn_reference"), fig("sn_shortest")}
	}
	return all
}

// CurveIDs lists the curves by the word that chooses them.
func CurveIDs() []string {
	var ids []string
	for _, r := range source.Table("curves.csv", curvesCSV) {
		ids = append(ids, r.Text("id"))
	}
	return ids
}

func findCurve(id string) (curve, error) {
	if c, ok := curves[id]; ok {
		return c, nil
	}
	return curve{}, fmt.Errorf("no curve %q; %s are known", id, list(CurveIDs()))
}

// life is the number of cycles; infinite below the cut-off.
func (c curve) life(fat, srange float64) float64 {
	n := c.reference * math.Pow(fat/srange, c.m)
	if n > c.knee {
		n = c.knee * math.Pow(c.atKnee(fat)/srange, c.m2)
	}
	if n > c.cutoff {
		return math.Inf(1)
	}
	return n
}

// atKnee is the range at the knee.
func (c curve) atKnee(fat float64) float64 { return fat * math.Pow(c.reference/c.knee, 1/c.m) }

// stress is the inverse of life, without the cut-off.
func (c curve) stress(fat, n float64) float64 {
	if n > c.knee {
		return c.atKnee(fat) * math.Pow(c.knee/n, 1/c.m2)
	}
	return fat * math.Pow(c.reference/n, 1/c.m)
}

// LifeInput is what FatigueLife needs.
type LifeInput struct {
	FAT   q.Stress
	Range q.Stress
	Knee  string   // curve: iiw, iiw-constant, none, en, iiw-shear, en-shear; empty is iiw
	Gamma float64  // partial factor on stress; 0 is 1
	Yield q.Stress // for the limit of the nominal range; 0 where unknown
}

// FatigueLife gives the design life of a class at a stress range.
func FatigueLife(in LifeInput) (source.Result[Cycles], error) {
	const method = "fatigue-life"
	none := source.Result[Cycles]{}
	c, err := findCurve(orText(in.Knee, "iiw"))
	if err != nil {
		return none, fmt.Errorf("%s: %w", method, err)
	}
	if in.Gamma == 0 {
		in.Gamma = 1
	}
	fat, ds := in.FAT.MPa(), in.Range.MPa()
	if err := checkFAT(method, fat); err != nil {
		return none, err
	}
	if err := positive(method, "stress range", ds, "partial factor", in.Gamma); err != nil {
		return none, err
	}
	w := begin(method, "Fatigue life by S-N curve", lifeFormula(c), c.ref)
	w.also(figRef("sn_reference"))
	w.in("class", "FAT "+num(fat), "")
	w.stress("stress range", in.Range, "")
	w.in("curve", c.title, "")
	if in.Gamma != 1 {
		w.in("partial factor", num(in.Gamma), "")
	}
	if y := in.Yield.MPa(); y > 0 {
		if err := source.InRange(method, "stress range", ds, 0, fig("nominal_limit")*y, "MPa",
			"the part yields at every cycle: it is a case of strength, not of fatigue"); err != nil {
			return none, err
		}
	} else {
		w.note("yield not given: the range must stay below 1.5 × yield and the highest stress below yield")
	}
	n := c.life(fat/in.Gamma, ds)
	if math.IsInf(n, 1) {
		return none, &source.OutOfRange{Method: method, Quantity: "stress range", Value: ds,
			Low: c.stress(fat/in.Gamma, c.cutoff), High: c.stress(fat/in.Gamma, c.shortestCycle), Unit: "MPa",
			Instead: "below the cut-off no damage is counted, if every range of the history lies below it"}
	}
	if err := source.InRange(method, "life", n, c.shortestCycle, math.MaxFloat64, "cycles",
		"low-cycle fatigue: the curves do not reach there; count it as no life"); err != nil {
		return none, err
	}
	w.curveSteps(c, fat/in.Gamma, ds, n)
	w.step("life, 95 of 100 last longer", "N", "", n, "cycles")
	w.step("median life", "N·10^(2SD)", fmt.Sprintf("%s × 10^(2 × %s)", num(n), num(fig("sn_sd"))), n*math.Pow(10, 2*fig("sn_sd")), "cycles")
	w.note("nominal stress of the uncracked part; mean stress does not count for as-welded joints, and a stronger steel is no cure")
	w.why("Every load cycle uses up a little of the weld's life; the class of the detail says how fast.",
		"The crack comes back and nobody can say when.")
	return result(w, Cycles(n)), nil
}

// StressFromLife gives the stress range at which a class lasts n cycles.
func StressFromLife(fatClass q.Stress, n Cycles, knee string) (source.Result[q.Stress], error) {
	const method = "stress-from-life"
	none := source.Result[q.Stress]{}
	c, err := findCurve(orText(knee, "iiw"))
	if err != nil {
		return none, fmt.Errorf("%s: %w", method, err)
	}
	fat := fatClass.MPa()
	if err := checkFAT(method, fat); err != nil {
		return none, err
	}
	high := c.cutoff
	if math.IsInf(high, 1) {
		high = math.MaxFloat64
	}
	if err := source.InRange(method, "life", float64(n), c.shortestCycle, high, "cycles", "outside the curve"); err != nil {
		return none, err
	}
	w := begin(method, "Stress range of a life", "Δσ = FAT·(2e6/N)^(1/m); beyond the knee Δσ = Δσk·(Nk/N)^(1/m2)", c.ref)
	ds := c.stress(fat, float64(n))
	w.in("class", "FAT "+num(fat), "")
	w.in("life", num(float64(n))+" cycles", "")
	w.in("curve", c.title, "")
	w.curveSteps(c, fat, ds, float64(n))
	w.step("stress range", "Δσ", "", ds, "MPa")
	w.why("Turned round, the curve says how much a detail may be worked to last as long as it must.",
		"A detail is worked harder than it lasts.")
	return result(w, mpa(ds)), nil
}

func lifeFormula(c curve) string {
	s := fmt.Sprintf("N = 2e6·(FAT/Δσ)^%s", num(c.m))
	if !math.IsInf(c.knee, 1) {
		s += fmt.Sprintf(" to N = %s, then N = %s·(Δσk/Δσ)^%s", num(c.knee), num(c.knee), num(c.m2))
	}
	return s
}

// curveSteps notes which part of the curve counts.
func (w *work) curveSteps(c curve, fat, ds, n float64) {
	if math.IsInf(c.knee, 1) {
		return
	}
	k := c.atKnee(fat)
	w.step("range at the knee", "Δσk = FAT·(2e6/Nk)^(1/m)", fmt.Sprintf("%s × (2e6/%s)^(1/%s)", num(fat), num(c.knee), num(c.m)), k, "MPa")
	if n > c.knee {
		w.say("part of the curve", fmt.Sprintf("beyond the knee, slope %s", num(c.m2)))
		return
	}
	w.say("part of the curve", fmt.Sprintf("before the knee, slope %s", num(c.m)))
}

func checkFAT(method string, fat float64) error {
	return source.InRange(method, "FAT", fat, fig("fat_lowest"), fig("fat_highest"), "MPa",
		"take the class of the nearest detail in the catalogue")
}

func orText(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// BSClass is one class of BS 7608.
type BSClass struct {
	Name  string
	Slope float64
	SD    float64 // of log10 N
	Near  q.Stress
	Ref   source.Ref
	logC0 float64 // of the mean line; N·Δσ^m = 10^logC0 in MPa
}

// design gives the constant of the line d standard deviations below the mean.
func (c BSClass) design(d float64) float64 { return math.Pow(10, c.logC0-d*c.SD) }

// BSClassByName gives a class B, C, D, E, F, F2, G or W.
func BSClassByName(name string) (BSClass, error) {
	rows := source.Table("bs7608.csv", bs7608CSV)
	var names []string
	i := slices.IndexFunc(rows, func(r source.Row) bool {
		names = append(names, r.Text("class"))
		return strings.EqualFold(r.Text("class"), name)
	})
	if i < 0 {
		return BSClass{}, fmt.Errorf("no class %q in BS 7608; %s are known", name, list(names))
	}
	r := rows[i]
	return BSClass{r.Text("class"), r.Num("slope"), r.Num("sd"), mpa(r.Or("near_fat", 0)), r.Ref(), r.Num("log_c0")}, nil
}

// BSLife gives the life of a BS 7608 class, d standard deviations below the mean
// (2 is the design line, 0 the median); beyond 1e7 cycles the slope is m + 2.
func BSLife(class string, srange q.Stress, d float64) (source.Result[Cycles], error) {
	const method = "fatigue-life-bs"
	c, err := BSClassByName(class)
	if err != nil {
		return source.Result[Cycles]{}, fmt.Errorf("%s: %w", method, err)
	}
	ds := srange.MPa()
	if err := positive(method, "stress range", ds); err != nil {
		return source.Result[Cycles]{}, err
	}
	knee := fig("bs_knee")
	w := begin(method, "Fatigue life by BS 7608", "N = C0·10^(-d·SD)·Δσ^(-m); beyond 1e7 the slope is m + 2", c.Ref)
	c0 := c.design(d)
	n := c0 * math.Pow(ds, -c.Slope)
	w.in("class", c.Name, "")
	w.stress("stress range", srange, "")
	w.in("standard deviations below the mean", num(d), "")
	w.step("constant", "C0·10^(-d·SD)", fmt.Sprintf("10^(%s - %s × %s)", num(c.logC0), num(d), num(c.SD)), c0, "")
	if n > knee {
		n = knee * math.Pow(math.Pow(c0/knee, 1/c.Slope)/ds, c.Slope+2)
		w.say("part of the curve", "beyond 1e7 cycles, slope m + 2")
	}
	w.step("life", "N", "", n, "cycles")
	w.why("A second set of curves, with its scatter printed, as a check on the class.",
		"One misread class goes unnoticed.")
	return result(w, Cycles(n)), nil
}
