package cut

// Metal melted by the arc: a cross check of the travel speed.
//
// Method: ṁ = V·I·η/H; travel v = ṁ/(A·ρ)
//   V   arc voltage, V (35 to 56);  I  current, A
//   η   part of the arc power that melts steel, 0.30 by hand to 0.55 mechanised
//   H   1.35 MJ/kg, iron from 20 °C to liquid
//   A   section of the pass, mm²;   ρ  7850 kg/m³
// Validity: arc on; reality within ±40 %. Source: derived, η from memory.

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Melted is what the arc takes out while it burns.
type Melted struct {
	Rate   q.MassRate       `json:"rate"`
	Rates  q.Of[q.MassRate] `json:"rates"` // with the model's spread
	Travel q.Speed          `json:"travel"`
}

// Melt gives the metal removed in arc time and the travel speed on the section.
func Melt(volts q.Voltage, current q.Current, efficiency q.Ratio, section q.Area) (source.Result[Melted], error) {
	var none source.Result[Melted]
	arc, eff, heat, spread := figure("arc-voltage"), figure("efficiency"), figure("melt-heat"), figure("melt-spread")
	if err := source.InRange("gouge-melt", "arc voltage", float64(volts), arc.Low, arc.High, "V", "measure the voltage at the torch while it cuts"); err != nil {
		return none, err
	}
	if err := source.InRange("gouge-melt", "melting efficiency", float64(efficiency), eff.Low, eff.High, "", "0.30 is for gouging by hand"); err != nil {
		return none, err
	}
	sizes := Sizes(DCEP)
	least, _ := nearest(mainTable, DCEP, sizes[0])
	most, _ := nearest(mainTable, DCEP, sizes[len(sizes)-1])
	if err := source.InRange("gouge-melt", "current", float64(current), float64(least.amps.Low), float64(most.amps.High), "A", "no carbon runs on it"); err != nil {
		return none, err
	}
	if !(section > 0) {
		return none, fmt.Errorf("the section of a pass must be more than 0 mm², not %.4g mm²", section.MM2())
	}
	rho := figure("density")
	rate := float64(volts) * float64(current) * float64(efficiency) / heat.Likely // kg/s
	v := Melted{q.MassRate(rate), q.Of[q.MassRate]{Low: q.MassRate(rate * (1 - spread.Likely)), High: q.MassRate(rate * (1 + spread.Likely))},
		q.Speed(rate / (float64(section) * rho.Likely))}
	return source.Result[Melted]{Value: v, Basis: source.Basis{
		Method: "gouge-melt", Title: "Metal melted by the gouging arc", Formula: "ṁ = V·I·η / H; v = ṁ / (A·ρ)",
		Inputs: []source.Input{
			{Name: "arc voltage", Text: fmt.Sprintf("%.0f V", float64(volts))}, {Name: "current", Text: fmt.Sprintf("%.0f A", float64(current))},
			{Name: "efficiency", Text: fmt.Sprintf("%.2f", float64(efficiency))}, {Name: "section", Text: section.Text(q.SI)},
		},
		Steps: []source.Step{
			{Name: "melted", Formula: "V·I·η / H", With: fmt.Sprintf("%.0f × %.0f × %.2f / %.3g J/kg", float64(volts), float64(current), float64(efficiency), heat.Likely), Value: float64(v.Rate / q.KilogramPerHour), Unit: "kg/h"},
			{Name: "travel", Formula: "ṁ / (A·ρ)", With: fmt.Sprintf("%.4g kg/h / (%.4g mm² × %.0f kg/m³)", float64(v.Rate/q.KilogramPerHour), section.MM2(), rho.Likely), Value: v.Travel.MMPerMin(), Unit: "mm/min"},
		},
		Ref:   source.At("derived", "energy balance of the arc", source.Derived),
		Also:  []source.Ref{eff.Ref, arc.Ref},
		Notes: []string{"arc-on figures; reality lies within about ±40 %: a cross check, not a promise"},
		Why:   "If the planned time and the arc's power do not fit together, one of them is wrong.",
		Skip:  "A hopeful gouging time goes into the price.",
	}}, nil
}
