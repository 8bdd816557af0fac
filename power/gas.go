package power

import (
	_ "embed"
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Heating gas: the heat in the gas, and the gas for a torch.
//
//	gross heat = gas flow · heating value (upper)
//	net heat   = gross heat · share that reaches the steel
//	gas        = gross heat / heating value
//
// Sources: propane property tables (read), torch text (1450 BTU/ft³ read, 1470
// from memory).

//go:embed gases.csv
var gasesCSV string

type gasRow struct {
	hhv     q.Of[float64] // J/kg
	lhv     float64
	density float64 // kg/m³
	oxygen  q.Of[float64]
	ref     source.Ref
}

var (
	gases = mustGases(gasesCSV)
)

func mustGases(text string) map[job.Gas]gasRow {
	all := map[job.Gas]gasRow{}
	for _, r := range source.Table("gases.csv", text) {
		all[job.Gas(r.Text("gas"))] = gasRow{q.Of[float64]{Low: r.Num("hhv_low_mj_kg") * 1e6, High: r.Num("hhv_high_mj_kg") * 1e6}, r.Num("lhv_mj_kg") * 1e6,
			r.Num("kg_m3"), q.Of[float64]{Low: r.Num("oxygen_low"), High: r.Num("oxygen_high")}, r.Ref()}
	}
	return all
}

func gasOf(g job.Gas) (gasRow, error) {
	row, ok := gases[g]
	if !ok {
		return gasRow{}, fmt.Errorf("gas %q does not heat steel here: give propane or acetylene", string(g))
	}
	return row, nil
}

// TorchHeat is the heat of a flame.
type TorchHeat struct {
	Gross q.Of[q.Power] // by the published heating values, upper
	Net   q.Of[q.Power] // the share that reaches the steel
}

// HeatOf gives the heat of a gas flow and the share that reaches the steel.
// Method id: torch-heat (gas flow share).
func HeatOf(g job.Gas, flow q.Flow, share q.Ratio) (source.Result[TorchHeat], error) {
	var none source.Result[TorchHeat]
	row, err := gasOf(g)
	if err != nil {
		return none, err
	}
	if err := within("torch-heat", "gas flow", float64(flow)*3600); err != nil {
		return none, err
	}
	if err := within("torch-heat", "share", float64(share)); err != nil {
		return none, err
	}
	gross := q.Of[q.Power]{Low: q.Power(float64(flow) * row.density * row.hhv.Low), High: q.Power(float64(flow) * row.density * row.hhv.High)}
	v := TorchHeat{gross, q.Of[q.Power]{Low: gross.Low * q.Power(share), High: gross.High * q.Power(share)}}
	return source.Result[TorchHeat]{Value: v, Basis: source.Basis{
		Method: "torch-heat", Title: "Heat of the torch", Formula: "P = gas flow · heating value; net = P · share",
		Inputs: []source.Input{{Name: "gas", Text: string(g)}, {Name: "flow", Text: gasText(flow)}, {Name: "share that reaches the steel", Text: short(float64(share))}},
		Steps: []source.Step{
			{Name: "gross heat", Value: float64(gross.High / q.Kilowatt), Unit: "kW", Text: spanText(gross, powerText)},
			{Name: "into the steel", Value: float64(v.Net.High / q.Kilowatt), Unit: "kW", Text: spanText(v.Net, powerText)},
		},
		Ref:   row.ref,
		Notes: []string{"The share falls as the steel gets hot: twice the gas is not twice as fast."},
		Why:   "Most of the flame heats the yard.",
		Skip:  "The preheat takes three times as long as planned.",
	}}, nil
}

// Flux is heat on a surface, W/m².
type Flux float64

// BTUPerSecondSquareInch is the unit of the textbook exercise.
const BTUPerSecondSquareInch Flux = 1055.05585262 / 645.16e-6

// SpotFlux spreads a part of the net heat over a round spot. Method id: spot-flux.
func SpotFlux(net q.Power, share q.Ratio, diameter q.Length) (source.Result[Flux], error) {
	if err := within("spot-flux", "share", float64(share)); err != nil {
		return source.Result[Flux]{}, err
	}
	if err := within("spot-flux", "spot diameter", diameter.MM()); err != nil {
		return source.Result[Flux]{}, err
	}
	area := math.Pi / 4 * float64(diameter*diameter)
	f := Flux(float64(net) * float64(share) / area)
	return source.Result[Flux]{Value: f, Basis: source.Basis{
		Method: "spot-flux", Title: "Heat on the spot", Formula: "q = P · share / (π/4 · d²)",
		Inputs: []source.Input{{Name: "net heat", Text: powerText(net)}, {Name: "share within the spot", Text: short(float64(share))}, {Name: "diameter", Text: short(diameter.MM()) + " mm"}},
		Steps:  []source.Step{{Name: "flux", Value: float64(f) / 1000, Unit: "kW/m²", Text: short(float64(f/BTUPerSecondSquareInch)) + " BTU/s·in²"}},
		Ref:    source.At("oaw-exercise", "", source.Read),
		Why:    "A small flame is fierce on one spot and nothing beside it.",
		Skip:   "One spot glows while the band is cold.",
	}}, nil
}

// GasUse is the gas a torch takes.
type GasUse struct {
	Mass   q.MassRate
	Gas    q.Flow
	Oxygen q.Of[q.Flow]
}

// GasFor gives the gas for a gross torch power; with oxygen for an oxy-fuel torch.
// Method id: gas-use (gas power).
func GasFor(g job.Gas, gross q.Power, oxy bool) (source.Result[GasUse], error) {
	var none source.Result[GasUse]
	row, err := gasOf(g)
	if err != nil {
		return none, err
	}
	if err := within("gas-use", "power", float64(gross/q.Kilowatt)); err != nil {
		return none, err
	}
	hhv := row.hhv.Mid()
	rate := q.MassRate(float64(gross) / hhv)
	v := GasUse{Mass: rate, Gas: q.Flow(float64(rate) / row.density)}
	b := source.Basis{
		Method: "gas-use", Title: "Gas for the torch", Formula: "gas = P / heating value",
		Inputs: []source.Input{{Name: "gas", Text: string(g)}, {Name: "gross heat", Text: powerText(gross)}},
		Steps: []source.Step{
			{Name: "gas", With: short(float64(gross/q.Kilowatt)) + " kW / " + short(hhv/1e6) + " MJ/kg", Value: float64(rate / q.KilogramPerHour), Unit: "kg/h", Text: rateText(rate)},
			{Name: "as gas", Value: float64(v.Gas) * 3600, Unit: "m³/h", Text: gasText(v.Gas)},
		},
		Ref:   row.ref,
		Notes: []string{"Upper heating value; makers print gross heat so."},
		Why:   "The bottles on the truck decide how hot the part gets.",
		Skip:  "The second bottle is at home.",
	}
	if g == "propane" {
		b.Also = append(b.Also, source.At("orifice-sheet", "131,742 BTU/h is 6.10 lb/h", source.Read))
	}
	if oxy {
		v.Oxygen = q.Of[q.Flow]{Low: v.Gas * q.Flow(row.oxygen.Low), High: v.Gas * q.Flow(row.oxygen.High)}
		b.Steps = append(b.Steps, source.Step{Name: "oxygen", Value: float64(v.Oxygen.Mid()) * 3600, Unit: "m³/h", Text: spanText(v.Oxygen, gasText)})
	}
	return source.Result[GasUse]{Value: v, Basis: b}, nil
}
