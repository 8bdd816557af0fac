// Heat input of the arc, from volts, amps and speed, or from the length of bead
// that one rod gives.
//
//	E = V·I/v; Q = k·E
//	from one timed rod:    E = V·I·t/ROL
//	without any meter:     E = D²·L·F/ROL
//
// E in kJ/mm without, Q with the thermal efficiency k (EN 1011-1: SMAW .8; the
// American "heat input" has no k). t burning time of one rod; ROL run-out
// length; D core diameter mm, L consumed length mm; F by the rod's efficiency:
// to 95 % .0368, to 110 % .0408, to 130 % .0472, above .0608 kJ/mm³.
//
// Sources: EN 1011-1; BS 5135 (F from memory).

package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const idHeatInput = "heat-input"

// ArcHeat is the heat input of the arc without and with the thermal efficiency.
type ArcHeat struct {
	Arc q.HeatInput `json:"arc"` // volts × amps / speed
	Net q.HeatInput `json:"net"` // times the thermal efficiency
}

type efficiencyRow struct {
	process string
	k       q.Ratio
	ref     source.Ref
}

var efficiencyTable = loadEfficiency()

func loadEfficiency() []efficiencyRow {
	var all []efficiencyRow
	for _, r := range load("efficiency.csv") {
		all = append(all, efficiencyRow{r.Text("process"), q.Ratio(r.Num("k")), r.Ref()})
	}
	return all
}

// Efficiency gives the thermal efficiency of a process: saw, smaw, gmaw, fcaw,
// gtaw, plasma.
func Efficiency(process string) (source.Result[q.Ratio], error) {
	for _, r := range efficiencyTable {
		if r.process == process {
			return source.Result[q.Ratio]{Value: r.k, Basis: source.Basis{
				Method: "thermal-efficiency", Title: "Thermal efficiency of the arc",
				Inputs: []source.Input{input("process", process)},
				Steps:  []source.Step{{Name: "efficiency k", Value: float64(r.k)}},
				Ref:    r.ref,
				Why:    "Part of the arc's heat goes into the air.", Skip: "Heat inputs from two codes are compared as if they were the same.",
			}}, nil
		}
	}
	return source.Result[q.Ratio]{}, fmt.Errorf("process %q is not in the table; give saw, smaw, gmaw, fcaw, gtaw or plasma", process)
}

// HeatInput gives the heat input from volts, amps and travel speed.
func HeatInput(volts q.Voltage, amps q.Current, speed q.Speed, k q.Ratio) (source.Result[ArcHeat], error) {
	var none source.Result[ArcHeat]
	for _, p := range []struct {
		name string
		v    float64
		unit string
	}{{"voltage", float64(volts), "V"}, {"current", float64(amps), "A"}, {"travel speed", speed.MMPerMin(), "mm/min"}} {
		if err := positive(idHeatInput, p.name, p.v, p.unit); err != nil {
			return none, err
		}
	}
	arc := q.HeatInput(float64(volts) * float64(amps) / float64(speed))
	inputs := []source.Input{input("voltage", fmt.Sprintf("%.3g V", float64(volts))), input("current", fmt.Sprintf("%.4g A", float64(amps))),
		input("travel speed", fmt.Sprintf("%.4g mm/min (%.3g in/min)", speed.MMPerMin(), speed.MMPerMin()/25.4))}
	return arcHeat(arc, k, inputs, source.Step{Name: "arc energy E", Formula: "V·I·60/(1000·v)",
		With: fmt.Sprintf("%.3g × %.4g × 60/(1000 × %.4g)", float64(volts), float64(amps), speed.MMPerMin())},
		source.At("en1011-1", "arc energy and heat input", source.Read))
}

// HeatInputOfTimedRod gives the heat input from one rod burnt and timed on the job.
func HeatInputOfTimedRod(volts q.Voltage, amps q.Current, burn q.Time, runOut q.Length, k q.Ratio) (source.Result[ArcHeat], error) {
	var none source.Result[ArcHeat]
	for _, p := range []struct {
		name string
		v    float64
		unit string
	}{{"voltage", float64(volts), "V"}, {"current", float64(amps), "A"}, {"burning time", float64(burn), "s"}, {"run-out length", runOut.MM(), "mm"}} {
		if err := positive(idHeatInput, p.name, p.v, p.unit); err != nil {
			return none, err
		}
	}
	arc := q.HeatInput(float64(volts) * float64(amps) * float64(burn) / float64(runOut))
	inputs := []source.Input{input("voltage", fmt.Sprintf("%.3g V", float64(volts))), input("current", fmt.Sprintf("%.4g A", float64(amps))),
		input("burning time of one rod", fmt.Sprintf("%.3g s", float64(burn))), input("bead from one rod", millimetres(runOut))}
	return arcHeat(arc, k, inputs, source.Step{Name: "arc energy E", Formula: "V·I·t/(1000·ROL)",
		With: fmt.Sprintf("%.3g × %.4g × %.3g/(1000 × %.4g)", float64(volts), float64(amps), float64(burn), runOut.MM())},
		source.At("derived", "energy of one rod over its bead", source.Derived))
}

// HeatInputByRunOut gives the heat input without any meter, from the bead
// length of one rod; factor is the F of the rod in kJ/mm³.
func HeatInputByRunOut(core, consumed, runOut q.Length, factor, k q.Ratio) (source.Result[ArcHeat], error) {
	var none source.Result[ArcHeat]
	for _, p := range []struct {
		name string
		v    float64
		unit string
	}{{"core diameter", core.MM(), "mm"}, {"consumed length", consumed.MM(), "mm"}, {"run-out length", runOut.MM(), "mm"}} {
		if err := positive(idHeatInput, p.name, p.v, p.unit); err != nil {
			return none, err
		}
	}
	if err := source.InRange(idHeatInput, "rod factor F", float64(factor), 0.0368, 0.0608, "kJ/mm³", "take .0368, .0408, .0472 or .0608 by the rod's efficiency"); err != nil {
		return none, err
	}
	arc := q.HeatInput(core.MM()*core.MM()*consumed.MM()*float64(factor)/runOut.MM()) * q.KilojoulePerMillimetre
	inputs := []source.Input{input("core diameter D", millimetres(core)), input("consumed length L", millimetres(consumed)),
		input("bead from one rod ROL", millimetres(runOut)), input("rod factor F", fmt.Sprintf("%.4f kJ/mm³", float64(factor)))}
	return arcHeat(arc, k, inputs, source.Step{Name: "arc energy E", Formula: "D²·L·F/ROL",
		With: fmt.Sprintf("%.3g² × %.4g × %.4f/%.4g", core.MM(), consumed.MM(), float64(factor), runOut.MM())},
		source.At("bs5135", "run-out length", source.Memory))
}

func arcHeat(arc q.HeatInput, k q.Ratio, inputs []source.Input, first source.Step, ref source.Ref) (source.Result[ArcHeat], error) {
	if err := source.InRange(idHeatInput, "thermal efficiency", float64(k), 0.5, 1, "", "SMAW, GMAW and FCAW have .8"); err != nil {
		return source.Result[ArcHeat]{}, err
	}
	v := ArcHeat{arc, q.HeatInput(float64(k)) * arc}
	first.Value, first.Unit, first.Text = arc.KJPerMM(), "kJ/mm", kilojoules(arc)
	return source.Result[ArcHeat]{Value: v, Basis: source.Basis{
		Method: idHeatInput, Title: "Heat input of the arc", Formula: "E = V·I/v; Q = k·E",
		Inputs: append(inputs, input("thermal efficiency k", fmt.Sprintf("%.2g", float64(k)))),
		Steps: []source.Step{first,
			{Name: "heat input Q", Formula: "k·E", With: fmt.Sprintf("%.2g × %.4g", float64(k), arc.KJPerMM()), Value: v.Net.KJPerMM(), Unit: "kJ/mm", Text: kilojoules(v.Net)}},
		Ref:   ref,
		Notes: []string{"American codes say heat input and mean E; the European preheat and cooling formulas take Q"},
		Why:   "It says how much heat each length of weld puts into the steel.",
		Skip:  "Preheat and cooling time rest on a guess.",
	}}, nil
}
