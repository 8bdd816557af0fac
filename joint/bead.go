package joint

// One rod, one bead.
//
// Method
//   deposit of a rod   m = m_rod·DE·(L − stub)/L
//   arc time           t = m / deposition rate
//   section of a bead  A = m / (ρ·run-out)
//     m_rod  mass of a rod with its coating, g;  DE  part of it that becomes weld
//     L      length of the rod, stub thrown away, mm
//     run-out length of bead that one rod makes, mm: what he can measure
// Validity: 0 < DE < 1, stub < L. Source: fill-handbook (stub rule); derived.

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// RodDeposit gives the weld metal that one rod leaves.
func RodDeposit(rod q.Mass, de q.Ratio, rodLength, stub q.Length) (source.Result[q.Mass], error) {
	var none source.Result[q.Mass]
	if !(rod > 0) {
		return none, fmt.Errorf("a rod's mass must be more than 0 g, not %.4g g", float64(rod/q.Gram))
	}
	if !(de > 0 && de < 1) {
		return none, &source.OutOfRange{Method: "rod-deposit", Quantity: "deposition efficiency", Value: float64(de), Low: 0, High: 1, Instead: "a part between 0 and 1: coated rods 0.6 to 0.76"}
	}
	if err := positive("the rod's length", rodLength); err != nil {
		return none, err
	}
	if stub < 0 || stub >= rodLength {
		return none, fmt.Errorf("a stub of %.4g mm leaves nothing of a rod of %.4g mm", stub.MM(), rodLength.MM())
	}
	burnt := float64((rodLength - stub) / rodLength)
	m := rod * q.Mass(float64(de)*burnt)
	return source.Result[q.Mass]{Value: m, Basis: source.Basis{
		Method: "rod-deposit", Title: "Weld metal from one rod", Formula: "m = m_rod·DE·(L − stub)/L",
		Inputs: []source.Input{{Name: "rod", Text: rod.Text(q.SI)}, {Name: "efficiency", Text: fmt.Sprintf("%.2g", float64(de))},
			{Name: "rod length", Text: length(rodLength)}, {Name: "stub", Text: length(stub)}},
		Steps: []source.Step{
			{Name: "part burnt", Formula: "(L − stub)/L", With: fmt.Sprintf("(%.4g − %.4g)/%.4g", rodLength.MM(), stub.MM(), rodLength.MM()), Value: burnt},
			{Name: "deposit", Formula: "m_rod·DE·part", With: fmt.Sprintf("%.4g g × %.3g × %.3g", float64(rod/q.Gram), float64(de), burnt), Value: float64(m / q.Gram), Unit: "g"},
		},
		Ref:   source.At("fill-handbook", "calculating filler metal consumption: stub", source.Read),
		Notes: []string{"weigh a packet and count the rods: that beats any table"},
		Why:   "A third of a rod is slag, spatter and stub.",
		Skip:  "Rods run out in the last layer.",
	}}, nil
}

// RodTime gives the arc time of one rod.
func RodTime(deposit q.Mass, rate q.MassRate) (source.Result[q.Time], error) {
	if !(deposit > 0) || !(rate > 0) {
		return source.Result[q.Time]{}, fmt.Errorf("deposit and deposition rate must be more than 0, not %.4g g and %.4g kg/h", float64(deposit/q.Gram), float64(rate/q.KilogramPerHour))
	}
	t := q.Time(float64(deposit) / float64(rate))
	return source.Result[q.Time]{Value: t, Basis: source.Basis{
		Method: "rod-time", Title: "Arc time of one rod", Formula: "t = m / rate",
		Inputs: []source.Input{{Name: "deposit", Text: deposit.Text(q.SI)}, {Name: "deposition rate", Text: rate.Text(q.SI)}},
		Steps:  []source.Step{{Name: "time", Formula: "m / rate", With: fmt.Sprintf("%.4g g / %.3g kg/h", float64(deposit/q.Gram), float64(rate/q.KilogramPerHour)), Value: float64(t), Unit: "s"}},
		Ref:    source.At("derived", "deposit over deposition rate", source.Derived),
		Also:   []source.Ref{source.At("steel-connections", "a rod change about every minute", source.Read)},
		Notes:  []string{"time a rod on the job: that beats any table"},
		Why:    "Time and length of one rod give the heat input without a meter.",
		Skip:   "The heat input stays a guess.",
	}}, nil
}

// BeadArea gives the section of a bead from what one rod deposits and how far it runs.
func BeadArea(deposit q.Mass, runOut q.Length) (source.Result[q.Area], error) {
	if !(deposit > 0) {
		return source.Result[q.Area]{}, fmt.Errorf("the deposit must be more than 0 g, not %.4g g", float64(deposit/q.Gram))
	}
	if err := positive("the run-out length", runOut); err != nil {
		return source.Result[q.Area]{}, err
	}
	rho := figure("density")
	a := q.Area(float64(deposit) / (rho.Likely * float64(runOut)))
	return source.Result[q.Area]{Value: a, Basis: source.Basis{
		Method: "bead-area", Title: "Section of a bead", Formula: "A = m / (ρ·L)",
		Inputs: []source.Input{{Name: "deposit", Text: deposit.Text(q.SI)}, {Name: "run-out", Text: length(runOut)}},
		Steps:  []source.Step{{Name: "bead", Formula: "m / (ρ·L)", With: fmt.Sprintf("%.4g g / (%.0f kg/m³ × %.4g mm)", float64(deposit/q.Gram), rho.Likely, runOut.MM()), Value: a.MM2(), Unit: "mm²"}},
		Ref:    source.At("derived", "mass over density and length", source.Derived), Also: []source.Ref{rho.Ref},
		Why:  "Inches of weld from one rod is a thing you can measure with a tape.",
		Skip: "The number of passes is a guess.",
	}}, nil
}
