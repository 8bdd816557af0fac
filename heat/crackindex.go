// Cracking index and critical cooling time to 100 °C.
//
//	CI = CEN + 0.15·log10(H) + 0.30·log10(0.017·Kt·σw)
//	t100cr = exp(67.6·CI³ − 182.0·CI² + 163.8·CI − 41.0)
//
// CEN %; H hydrogen by the glycerine method, ml/100 g; Kt notch factor at the
// root or toe; σw stress across the weld in kgf/mm²; t100cr s. The joint is
// taken not to crack where its cooling time to 100 °C is at least t100cr: that
// time comes from the conduction model.
// Source: Yurioka et al., Welding Journal 62, 1983, 147s; from memory.

package heat

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const kgfPerMM2 = 9.80665 * q.Megapascal

// CrackIndexInput is what the cracking index takes.
type CrackIndexInput struct {
	CEN      q.Percent
	Hydrogen q.Hydrogen // glycerine method
	Notch    q.Ratio    // Kt
	Stress   q.Stress   // across the weld
}

// CriticalTime100 gives the least cooling time to 100 °C.
func CriticalTime100(in CrackIndexInput) (source.Result[q.Time], error) {
	const id = "critical-time-100"
	var none source.Result[q.Time]
	for _, p := range []struct {
		name string
		v    float64
		unit string
	}{{"CEN", float64(in.CEN), "%"}, {"hydrogen", float64(in.Hydrogen), "ml/100 g"}, {"notch factor", float64(in.Notch), ""}, {"stress", in.Stress.MPa(), "MPa"}} {
		if err := positive(id, p.name, p.v, p.unit); err != nil {
			return none, err
		}
	}
	sigma := float64(in.Stress / kgfPerMM2)
	ci := float64(in.CEN) + 0.15*math.Log10(float64(in.Hydrogen)) + 0.30*math.Log10(0.017*float64(in.Notch)*sigma)
	t := math.Exp(67.6*ci*ci*ci - 182.0*ci*ci + 163.8*ci - 41.0)
	return source.Result[q.Time]{Value: q.Time(t), Basis: source.Basis{
		Method: id, Title: "Least cooling time to 100 °C",
		Formula: "CI = CEN + 0.15·log10(H) + 0.30·log10(0.017·Kt·σw); t = exp(67.6·CI³ − 182.0·CI² + 163.8·CI − 41.0)",
		Inputs: []source.Input{input("CEN", percent(in.CEN)), input("hydrogen (glycerine)", hydrogenText(in.Hydrogen)), input("notch factor Kt", fmt.Sprintf("%.3g", float64(in.Notch))),
			input("stress across the weld", fmt.Sprintf("%.4g MPa (%.3g kgf/mm²)", in.Stress.MPa(), sigma))},
		Steps: []source.Step{{Name: "cracking index CI", Value: ci, Unit: "%"}, {Name: "least time to 100 °C", Value: t, Unit: "s"}},
		Ref:   source.At("yurioka-1983", "cracking index", source.Memory),
		Notes: []string{"a cross check, from memory: shown beside the other methods, decides nothing"},
		Why:   "It asks how long the joint must stay warm, not how hot it must be.", Skip: skipCrackBesideWeld,
	}}, nil
}
