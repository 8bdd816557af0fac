package strength

// Method:   what thickness and toe treatment do to a fatigue class; partial factors
// Formula:  f = (25/t)^n for t > 25 mm; treated class = FAT·factor, capped
// Validity: toe treatments only where the toe governs, start class ≤ 90
// Source:   IIW recommendations 3.5, from memory; EN 1993-1-9 tables 3.1 and 8.3

import (
	_ "embed"
	"fmt"
	"math"
	"slices"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed thickness.csv
var thicknessCSV string

//go:embed improvements.csv
var improvementsCSV string

//go:embed gamma.csv
var gammaCSV string

var thicknessRows = source.Table("thickness.csv", thicknessCSV)

func mustThickness(kind string) source.Row {
	i := slices.IndexFunc(thicknessRows, func(r source.Row) bool { return r.Text("kind") == kind })
	if i < 0 {
		panic("strength: thickness.csv has no kind " + kind)
	}
	return thicknessRows[i]
}

// ThicknessFactor gives the factor on the class of a plate thicker than 25 mm;
// kind is attachment, toe-ground, butt, flush or none.
func ThicknessFactor(t q.Length, kind string) (source.Result[q.Ratio], error) {
	const method = "thickness-factor"
	i := slices.IndexFunc(thicknessRows, func(r source.Row) bool { return r.Text("kind") == kind })
	if i < 0 {
		return source.Result[q.Ratio]{}, fmt.Errorf("%s: no kind %q; attachment, toe-ground, butt, flush or none would do", method, kind)
	}
	if err := positive(method, "thickness", t.MM()); err != nil {
		return source.Result[q.Ratio]{}, err
	}
	r := thicknessRows[i]
	w := begin(method, "Thickness factor on the fatigue class", "f = (25/t)^n for t above 25 mm", r.Ref())
	f := thicknessFactor(t.MM(), kind)
	w.length("thickness", t, "")
	w.in("detail", r.Text("text"), "")
	w.step("factor", "f = (25/t)^n", fmt.Sprintf("(25/%s)^%s", num(t.MM()), num(r.Num("exponent"))), f, "1")
	w.why("A thick plate has a weld toe that bites deeper into the stress.", "The class is taken too high.")
	return result(w, q.Ratio(f)), nil
}

func thicknessFactor(t float64, kind string) float64 {
	ref := fig("thickness_reference")
	if t <= ref {
		return 1
	}
	return math.Pow(ref/t, mustThickness(kind).Num("exponent"))
}

// ImproveInput is what Improve needs.
type ImproveInput struct {
	Detail    string
	FAT       q.Stress
	Treatment string // grind, tig, peen, hfmi
	Yield     q.Stress
}

// classLadder gives the classes of the catalogue in order, for treatments that are
// worth a number of classes.
func classLadder() []float64 {
	var all []float64
	for _, d := range details {
		for _, c := range d.Classes {
			all = append(all, c.FAT.MPa())
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// Improve gives the class after a treatment of the toe. A root is not helped.
func Improve(in ImproveInput) (source.Result[q.Stress], error) {
	const method = "toe-treatment"
	none := source.Result[q.Stress]{}
	d, ok := DetailByID(in.Detail)
	if !ok {
		return none, fmt.Errorf("%s: no detail %q in the catalogue", method, in.Detail)
	}
	if !d.Grindable {
		return none, fmt.Errorf("%s: %s: it cracks from the %s, and a treated toe does not help that", method, d.Text, d.Place)
	}
	var known bool
	for _, r := range source.Table("improvements.csv", improvementsCSV) {
		if r.Text("id") != in.Treatment {
			continue
		}
		known = true
		if y := in.Yield.MPa(); y < r.Or("yield_from", 0) || y >= upper(r, "yield_to") {
			continue
		}
		fat := in.FAT.MPa()
		if err := source.InRange(method, "class before", fat, r.Or("start_min", fig("fat_lowest")), r.Num("start_max"), "MPa",
			"no credit is published outside"); err != nil {
			return none, err
		}
		w := begin(method, "Class after treating the toe", "FAT × factor, not above the cap", r.Ref())
		w.in("class before", "FAT "+num(fat), "")
		w.in("treatment", r.Text("text"), "")
		var after float64
		if steps := int(r.Or("classes", 0)); steps > 0 {
			ladder := classLadder()
			i := slices.Index(ladder, fat)
			if i < 0 {
				return none, fmt.Errorf("%s: FAT %s is no class of the catalogue", method, num(fat))
			}
			after = ladder[min(i+steps, len(ladder)-1)]
			w.step("class after", fmt.Sprintf("%d classes up", steps), "", after, "MPa")
		} else {
			after = max(fat, min(fat*r.Num("factor"), upper(r, "cap")))
			w.step("class after", "FAT × factor, at most the cap", fmt.Sprintf("%s × %s, cap %s", num(fat), num(r.Num("factor")), num(upper(r, "cap"))), after, "MPa")
		}
		w.note("%s", r.Text("condition"))
		w.why("The toe is where the crack starts; a smooth toe starts it later.", "The next crack comes from the toe.")
		return result(w, mpa(after)), nil
	}
	if known {
		return none, fmt.Errorf("%s: %s is not published for a yield of %s MPa", method, in.Treatment, num(in.Yield.MPa()))
	}
	return none, fmt.Errorf("%s: no treatment %q; grind, tig, peen or hfmi would do", method, in.Treatment)
}

// PartialFactor gives the partial factor on stress: strategy damage-tolerant or
// safe-life; consequence low, middle (IIW only) or high.
func PartialFactor(s System, strategy, consequence string) (float64, source.Ref, error) {
	for _, r := range source.Table("gamma.csv", gammaCSV) {
		if r.Text("system") == string(s) && r.Text("strategy") == strategy && r.Text("consequence") == consequence {
			return r.Num("factor"), r.Ref(), nil
		}
	}
	return 0, source.Ref{}, fmt.Errorf("partial-factor: no row for %s, %s, %s", s, strategy, consequence)
}
