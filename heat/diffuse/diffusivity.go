package diffuse

// Diffusivity of hydrogen in ferritic steel.
//
//	D = min(0.12·exp(−7820/RT), 1.4e-3·exp(−3200/RT))   cm²/s, R = 1.987 cal/(mol·K)
//
// Johnson and Hill 1960, as used by Yurioka; the two meet at 249 °C. The slow side
// of the band is a fifth of it. Valid for ferrite, up to 720 °C; tabulated in our
// facts from 20 to 300 °C.

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed diffusivity.csv
var diffusivityCSV string

// gasConstant is R in the unit of the activation energies, cal/(mol·K).
const gasConstant = 1.987

type arrhenius struct {
	d0, q float64
	ref   source.Ref
}

var branches = mustBranches(diffusivityCSV)

func mustBranches(text string) map[string]arrhenius {
	all := map[string]arrhenius{}
	for _, r := range source.Table("diffuse/diffusivity.csv", text) {
		all[r.Text("id")] = arrhenius{r.Num("d0_cm2s"), r.Num("q_cal_mol"), r.Ref()}
	}
	return all
}

var (
	lowBranch, highBranch = branches["low"], branches["high"]
	slowFactor            = branches["slow"].d0
)

// at is the branch's diffusivity at t °C, cm²/s.
func (a arrhenius) at(t float64) float64 {
	return a.d0 * math.Exp(-a.q/(gasConstant*(max(t, -60)+273.15)))
}

// fast is the diffusivity of the fast side at t °C, m²/s.
func fast(t float64) float64 { return min(lowBranch.at(t), highBranch.at(t)) * 1e-4 }

// Fast is the diffusivity of the fast side, without its working.
func Fast(t q.Temperature) q.Diffusivity { return q.Diffusivity(fast(t.C())) }

// Diffusivity gives the band of hydrogen's diffusivity at a temperature.
func Diffusivity(t q.Temperature) (source.Result[q.Of[q.Diffusivity]], error) {
	const id = "hydrogen-diffusivity"
	if err := source.InRange(id, "temperature", t.C(), -40, 720, "°C", "nothing: above, the steel is austenite and holds its hydrogen"); err != nil {
		return source.Result[q.Of[q.Diffusivity]]{}, err
	}
	d := fast(t.C())
	b := source.Basis{
		Method: id, Title: "Diffusivity of hydrogen in ferritic steel",
		Formula: "D = min(0.12·exp(−7820/RT), 1.4e-3·exp(−3200/RT)) cm²/s; slow side D/5",
		Inputs:  []source.Input{{Name: "T", Text: fmt.Sprintf("%.4g °C", t.C())}},
		Steps: []source.Step{
			{Name: "below 249 °C", Formula: "0.12·exp(−7820/RT)", With: fmt.Sprintf("0.12·exp(−7820/(1.987 × %.2f))", t.K()), Value: lowBranch.at(t.C()), Unit: "cm²/s"},
			{Name: "above 249 °C", Formula: "1.4e-3·exp(−3200/RT)", With: fmt.Sprintf("1.4e-3·exp(−3200/(1.987 × %.2f))", t.K()), Value: highBranch.at(t.C()), Unit: "cm²/s"},
			{Name: "fast side", Formula: "the smaller", Value: d, Unit: "m²/s"},
			{Name: "slow side", Formula: "a fifth", Value: d * slowFactor, Unit: "m²/s"},
		},
		Ref:  lowBranch.ref,
		Also: []source.Ref{branches["slow"].ref, source.At("coe-moreton", "measured on Fe-0.73 C: a ninth of the formula at 44 °C, four times at 155 °C", source.Read)},
		Why:  "hydrogen leaves a hundred times faster at 200 °C than at 20 °C: that is what post-heating is for",
		Skip: "a weld that cools in the wind keeps its hydrogen and may crack in the night",
	}
	if t < 20 || t > 300 {
		b.Notes = append(b.Notes, "outside 20 to 300 °C, where the figures were tabulated; same formula")
	}
	return source.Result[q.Of[q.Diffusivity]]{Value: q.Span(q.Diffusivity(d*slowFactor), q.Diffusivity(d)), Basis: b}, nil
}
