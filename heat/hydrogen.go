// Hydrogen left in a plate after some time at one temperature.
//
//	D = min(D_lo, D_hi) in cm²/s, R = 1.987 cal/(mol·K)
//	D_lo = 0.12·exp(−7820/RT); D_hi = 1.4e-3·exp(−3200/RT)   (cross at 249 °C)
//	mean left   = (8/π²) Σ (2n+1)⁻² exp[−(2n+1)²·π²·Fo]
//	centre left = (4/π) Σ (−1)ⁿ (2n+1)⁻¹ exp[−(2n+1)²·π²·Fo],  Fo = D·t/L²
//
// Slab of thickness L, uniform start, both faces free; one face sealed counts
// as a slab of 2L; a bar is the product of two slabs. Traps slow hydrogen down,
// most of all in cold steel: D/5 is worked beside D as the slow end of a band.
//
// Sources: Johnson, Hill 1960 (from memory); Crank, The mathematics of
// diffusion, plane sheet; band after Boellinghaus 1995 (from memory). Taken from
// 0 to 400 °C, the span of the measurements seen.

package heat

import (
	"fmt"
	"math"

	"soundmetal/heat/diffuse"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idHydrogen    = "hydrogen-left"
	diffusionLow  = 0.0   // °C
	diffusionHigh = 400.0 // °C
	trapDivisor   = 5.0
)

func checkDiffusion(method string, t q.Temperature) error {
	instead := "no post-heat is that hot"
	if t.C() < diffusionLow {
		instead = "in frozen steel count on no hydrogen leaving"
	}
	return source.InRange(method, "temperature", t.C(), diffusionLow, diffusionHigh, "°C", instead)
}

// HydrogenInput is what the slab of hydrogen takes.
type HydrogenInput struct {
	Temperature q.Temperature
	Time        q.Time
	Thickness   q.Length
	Width       q.Maybe[q.Length] // second side of a bar
	Sealed      bool              // one face lets nothing out
}

// HydrogenPart is the part of the hydrogen still in the steel.
type HydrogenPart struct {
	Mean       q.Ratio `json:"mean"`
	Centre     q.Ratio `json:"centre"`
	MeanSlow   q.Ratio `json:"mean_slow"` // with D/5, for trapping
	CentreSlow q.Ratio `json:"centre_slow"`
}

// HydrogenLeft gives the part of an even charge of hydrogen that is still in
// the steel.
func HydrogenLeft(in HydrogenInput) (source.Result[HydrogenPart], error) {
	var none source.Result[HydrogenPart]
	if err := checkDiffusion(idHydrogen, in.Temperature); err != nil {
		return none, err
	}
	if !(in.Time >= 0) || math.IsInf(float64(in.Time), 1) {
		return none, fmt.Errorf("%s: a time of %.3g h makes no sense; give 0 or more", idHydrogen, in.Time.Hours())
	}
	if err := positive(idHydrogen, "thickness", in.Thickness.MM(), "mm"); err != nil {
		return none, err
	}
	inputs := []source.Input{input("temperature", degrees(in.Temperature)), input("time", hours(in.Time)), input("thickness L", millimetres(in.Thickness))}
	sides := []q.Length{in.Thickness}
	if in.Sealed {
		sides[0] *= 2
		inputs = append(inputs, input("faces", "one sealed: counted as twice the thickness"))
	}
	if in.Width.Known {
		if err := positive(idHydrogen, "width", in.Width.V.MM(), "mm"); err != nil {
			return none, err
		}
		sides = append(sides, in.Width.V)
		inputs = append(inputs, input("width", millimetres(in.Width.V)))
	}
	d := float64(diffuse.Fast(in.Temperature))
	part := func(d float64) (mean, centre float64) {
		mean, centre = 1, 1
		for _, l := range sides {
			fo := d * float64(in.Time) / float64(l*l)
			mean, centre = mean*diffuse.SlabMean(fo), centre*diffuse.SlabCentre(fo)
		}
		return mean, centre
	}
	mean, centre := part(d)
	slowMean, slowCentre := part(d / trapDivisor)
	fo := d * float64(in.Time) / float64(sides[0]*sides[0])
	return source.Result[HydrogenPart]{Value: HydrogenPart{q.Ratio(mean), q.Ratio(centre), q.Ratio(slowMean), q.Ratio(slowCentre)}, Basis: source.Basis{
		Method: idHydrogen, Title: "Hydrogen left in the steel", Formula: "slab with free faces; Fo = D·t/L²; mean = (8/π²) Σ (2n+1)⁻² exp[−(2n+1)²·π²·Fo]",
		Inputs: inputs,
		Steps: []source.Step{
			{Name: "diffusion coefficient D", Formula: "smaller of 0.12·exp(−7820/RT) and 1.4e-3·exp(−3200/RT) cm²/s", Value: d, Unit: "m²/s"},
			{Name: "Fourier number Fo", Formula: "D·t/L²", With: fmt.Sprintf("%.4g × %.4g/%.4g²", d, float64(in.Time), float64(sides[0])), Value: fo},
			{Name: "mean left", Value: mean * 100, Unit: "%"},
			{Name: "left in the middle", Value: centre * 100, Unit: "%"},
			{Name: "mean left with traps", Formula: "D/5", Value: slowMean * 100, Unit: "%"},
			{Name: "left in the middle with traps", Formula: "D/5", Value: slowCentre * 100, Unit: "%"},
		},
		Ref:  source.At("johnson-hill", "diffusion coefficient", source.Memory),
		Also: []source.Ref{source.At("crank", "plane sheet", source.Read), source.At("boellinghaus", "scatter band", source.Memory)},
		Notes: []string{"for a section that is charged evenly; the hydrogen of a weld sits in and beside the bead, a few millimetres, and spreads first",
			"time grows with the square of the thickness, while the site rules (hours for each inch) grow with the thickness only"},
		Why:  "What hydrogen is left decides whether a late crack can still come.",
		Skip: "The part goes back to work while the hydrogen is still in it.",
	}}, nil
}

// TimeToLeave gives the time after which only the given part of the hydrogen is
// left on the mean of a slab with free faces.
func TimeToLeave(left q.Ratio, t q.Temperature, thickness q.Length) (source.Result[q.Time], error) {
	const id = "hydrogen-time"
	var none source.Result[q.Time]
	if err := checkDiffusion(id, t); err != nil {
		return none, err
	}
	if err := positive(id, "thickness", thickness.MM(), "mm"); err != nil {
		return none, err
	}
	if err := source.InRange(id, "part left", float64(left), 0.001, 0.999, "", "give a part between the two"); err != nil {
		return none, err
	}
	d, fo := float64(diffuse.Fast(t)), diffuse.FourierFor(diffuse.SlabMean, float64(left))
	v := q.Time(fo * float64(thickness*thickness) / d)
	return source.Result[q.Time]{Value: v, Basis: source.Basis{
		Method: id, Title: "Time for the hydrogen to leave", Formula: "t = Fo·L²/D",
		Inputs: []source.Input{input("part left", fmt.Sprintf("%.3g %%", float64(left)*100)), input("temperature", degrees(t)), input("thickness L", millimetres(thickness))},
		Steps: []source.Step{
			{Name: "diffusion coefficient D", Value: d, Unit: "m²/s"},
			{Name: "Fourier number for this part", Value: fo},
			{Name: "time", With: fmt.Sprintf("%.4g × %.4g²/%.4g", fo, float64(thickness), d), Value: v.Hours(), Unit: "h"},
			{Name: "time with traps", Formula: "D/5", Value: v.Hours() * trapDivisor, Unit: "h"},
		},
		Ref:   source.At("johnson-hill", "diffusion coefficient", source.Memory),
		Also:  []source.Ref{source.At("crank", "plane sheet", source.Read)},
		Notes: []string{"for a section that is charged evenly; weld hydrogen is local, and only its peak must come down"},
		Why:   "Thicker steel needs four times the hours for twice the thickness.", Skip: "The post-heat is over before the middle has noticed it.",
	}}, nil
}
