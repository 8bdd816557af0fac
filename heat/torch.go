// Time to preheat with a torch, a first cut, and the soak after it.
//
//	t = m·c·ΔT/(η·P)·k
//	m = band × thickness × 7850 kg/m³; soak = t²/α
//
// η part of the torch's gross heat that reaches the steel (conduct/flames.csv); k loss
// to air and to the steel outside: 1.5 closed plate, 2 usual, 3 thick casting or
// wind. c = 0.50 kJ/(kg·K) for 20-250 °C; α = 1.2e-5 m²/s.
// The answer is a range: the best η with the least loss, the worst with the most.
//
// Source: lumped heat balance; torch figures from memory, loss factor practice.

package heat

import (
	"fmt"

	"soundmetal/heat/conduct"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idTorch          = "torch-time"
	specificHeat     = 500.0  // J/(kg·K)
	soakDiffusivity  = 1.2e-5 // m²/s
	lossLeast        = 1.5
	lossUsual        = 2.0
	lossMost         = 3.0
	specificHeatTill = 230 * q.Kelvin
)

// TorchInput is what the torch time takes.
type TorchInput struct {
	Kind       job.TorchKind
	Power      q.Maybe[q.Power] // gross; the usual range of the kind where unknown
	Efficiency q.Maybe[q.Ratio] // his own, learned; the usual range where unknown
	Mass       q.Mass           // steel of the band, see BandMass
	Rise       q.TempDiff
}

// Torch is what is usual of a kind of torch.
type Torch struct {
	Power      q.Of[q.Power] // gross heat
	Efficiency q.Of[q.Ratio] // part of it that reaches the steel
	Usual      q.Ratio       // usual part
}

// UsualTorch gives the usual figures of a kind of torch.
func UsualTorch(kind job.TorchKind) (source.Result[Torch], error) {
	flame, ok := conduct.FlameOf(string(kind))
	if !ok {
		return source.Result[Torch]{}, fmt.Errorf("%s: torch %q is not in the table; give air-propane, oxy-propane or oxy-acetylene", idTorch, string(kind))
	}
	return source.Result[Torch]{Value: Torch{flame.Gross, flame.Range, flame.Efficiency}, Basis: source.Basis{
		Method: "usual-torch", Title: "Usual figures of the torch", Formula: "table", Inputs: []source.Input{input("torch", flame.Text)},
		Steps: []source.Step{
			{Name: "gross power", Text: fmt.Sprintf("%.3g to %.3g kW", float64(flame.Gross.Low/q.Kilowatt), float64(flame.Gross.High/q.Kilowatt))},
			{Name: "part that reaches the steel", Value: float64(flame.Efficiency), Text: fmt.Sprintf("%.2g, %.2g to %.2g", flame.Efficiency, flame.Range.Low, flame.Range.High)},
		},
		Ref: flame.Ref, Why: "It tells how long the heat takes and how much gas it burns.", Skip: "The bottles are empty before the steel is warm.",
	}}, nil
}

// BandMass is the steel of a heated band: length along the groove, past its ends
// too, and the same width to each side (see HeatBand), through the thickness.
func BandMass(length, toEachSide, thickness q.Length) q.Mass {
	return q.Mass(float64(length) * 2 * float64(toEachSide) * float64(thickness) * density)
}

// TorchTime gives the time to heat the band as a range.
func TorchTime(in TorchInput) (source.Result[q.Of[q.Time]], error) {
	var none source.Result[q.Of[q.Time]]
	flame, ok := conduct.FlameOf(string(in.Kind))
	if !ok {
		return none, fmt.Errorf("%s: torch %q is not in the table; give air-propane, oxy-propane or oxy-acetylene", idTorch, string(in.Kind))
	}
	if err := positive(idTorch, "mass", float64(in.Mass), "kg"); err != nil {
		return none, err
	}
	if err := positive(idTorch, "temperature rise", float64(in.Rise), "K"); err != nil {
		return none, err
	}
	power, eta, usualEta, usualPower := flame.Gross, flame.Range, flame.Efficiency, flame.Gross.Mid()
	if in.Power.Known {
		if err := positive(idTorch, "torch power", float64(in.Power.V), "W"); err != nil {
			return none, err
		}
		power, usualPower = q.At(in.Power.V), in.Power.V
	}
	if in.Efficiency.Known {
		if err := source.InRange(idTorch, "torch efficiency", float64(in.Efficiency.V), 0.02, 1, "", "usual figures are .15 to .45"); err != nil {
			return none, err
		}
		eta, usualEta = q.At(in.Efficiency.V), in.Efficiency.V
	}
	energy := float64(in.Mass) * specificHeat * float64(in.Rise)
	secs := func(eta q.Ratio, p q.Power, loss float64) q.Time {
		return q.Time(energy / (float64(eta) * float64(p)) * loss)
	}
	v := q.Of[q.Time]{Low: secs(eta.High, power.High, lossLeast), High: secs(eta.Low, power.Low, lossMost)}
	usual := secs(usualEta, usualPower, lossUsual)
	notes := []string{"a first cut: the flame gives less as the steel gets hot, and wind or a heavy part beside it may double the time", "go by the crayon, not by the clock"}
	if in.Rise > specificHeatTill {
		notes = append(notes, "hotter than about 250 °C the steel takes more heat than counted here")
	}
	return source.Result[q.Of[q.Time]]{Value: v, Basis: source.Basis{
		Method: idTorch, Title: "Time to preheat with a torch", Formula: "t = m·c·ΔT/(η·P)·k",
		Inputs: []source.Input{input("torch", flame.Text), input("gross power", fmt.Sprintf("%.3g to %.3g kW", float64(power.Low/q.Kilowatt), float64(power.High/q.Kilowatt))),
			input("part that reaches the steel", fmt.Sprintf("%.2g to %.2g", eta.Low, eta.High)),
			input("steel to heat", fmt.Sprintf("%.3g kg (%.3g lb)", float64(in.Mass), float64(in.Mass/q.Pound))),
			input("temperature rise", fmt.Sprintf("%.0f K (%.0f °F)", float64(in.Rise), float64(in.Rise)*1.8))},
		Steps: []source.Step{
			{Name: "heat in the steel", Formula: "m·c·ΔT", With: fmt.Sprintf("%.4g × 0.50 × %.4g", float64(in.Mass), float64(in.Rise)), Value: energy / 1e6, Unit: "MJ"},
			{Name: "shortest", With: fmt.Sprintf("η %.2g, k %.2g", eta.High, lossLeast), Value: v.Low.Minutes(), Unit: "min"},
			{Name: "usual", With: fmt.Sprintf("η %.2g, k %.2g", usualEta, lossUsual), Value: usual.Minutes(), Unit: "min"},
			{Name: "longest", With: fmt.Sprintf("η %.2g, k %.2g", eta.Low, lossMost), Value: v.High.Minutes(), Unit: "min"},
		},
		Ref: source.At("derived", "lumped heat balance", source.Derived), Also: []source.Ref{flame.Ref},
		Notes: notes, Why: "It tells you whether your torch and your bottles can do it at all.", Skip: "The gas runs out at half heat.",
	}}, nil
}

// Soak gives the time for the heat to even out through the thickness.
func Soak(thickness q.Length) (source.Result[q.Time], error) {
	const id = "soak"
	if err := positive(id, "thickness", thickness.MM(), "mm"); err != nil {
		return source.Result[q.Time]{}, err
	}
	v := q.Time(float64(thickness*thickness) / soakDiffusivity)
	return source.Result[q.Time]{Value: v, Basis: source.Basis{
		Method: id, Title: "Soak through the thickness", Formula: "t = L²/α, Fourier number 1",
		Inputs: []source.Input{input("thickness L", millimetres(thickness))},
		Steps:  []source.Step{{Name: "soak", With: fmt.Sprintf("%.4g²/1.2e-5", float64(thickness)), Value: v.Minutes(), Unit: "min"}},
		Ref:    source.At("carslaw-jaeger", "slab heated on one face, Fourier number 1", source.Derived),
		Notes:  []string{"check the far face with a crayon where you can reach it"},
		Why:    "Heat needs time to walk through: four times as long for twice the thickness.", Skip: "The root run goes onto cold steel.",
	}}, nil
}
