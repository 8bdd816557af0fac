package cut

// Compressed air for gouging, by torch class.
//
// Method: a table look-up; the smallest class whose torch takes the carbon.
// Validity: light ≤ 1/4 in, general ≤ 3/8 in (1/2 in is counted as heavy: the
// table's own bound is "3/8 to 1/2"), heavy ≤ 3/4 in, automatic ≤ 1 in.
// Source: AWS C5.3 from memory; 60 psi, 80 to 100 psi and the 3/8 in hose read
// in gouge-data; 5 to 7 bar, 600 to 850 L/min read in gouge-bw.

import (
	_ "embed"
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed air.csv
var airCSV string

// Torch is the class of a gouging torch.
type Torch string

const (
	LightTorch   Torch = "light"
	GeneralTorch Torch = "general"
	HeavyTorch   Torch = "heavy"
	AutoTorch    Torch = "automatic"
)

// Supplied is the air one torch class wants.
type Supplied struct {
	Class                Torch            `json:"class"`
	Pressure             q.Of[q.Pressure] `json:"pressure"` // at the torch
	Flow                 q.Flow           `json:"flow"`     // free air
	Hose                 q.Length         `json:"hose"`     // least bore
	Intermittent, Steady q.Power          // compressor shaft power
	ByHand               bool             `json:"by_hand"`
}

type airRow struct {
	class                Torch
	carbon               q.Length
	amps                 q.Current
	pressure             q.Of[q.Pressure]
	flow                 q.Flow
	intermittent, steady q.Power
	byHand               bool
	ref                  source.Ref
}

var airTable = mustReadAir(airCSV)

func mustReadAir(text string) []airRow {
	var all []airRow
	for _, r := range source.Table("air.csv", text) {
		all = append(all, airRow{Torch(r.Text("class")), q.Length(r.Num("carbon_max_mm")) * q.Millimetre, q.Current(r.Num("amps_max")),
			q.Of[q.Pressure]{Low: q.Pressure(r.Num("kpa_low")) * q.Kilopascal, High: q.Pressure(r.Num("kpa_high")) * q.Kilopascal},
			q.Flow(r.Num("lpm")) * q.LitrePerMinute, q.Power(r.Num("hp_intermittent")) * q.Horsepower, q.Power(r.Num("hp_continuous")) * q.Horsepower,
			r.Yes("by_hand"), r.Ref()})
	}
	return all
}

// Air gives the air that a carbon wants. An empty class picks the smallest
// torch that takes the carbon; a named class must take it.
func Air(d q.Length, class Torch) (source.Result[Supplied], error) {
	var none source.Result[Supplied]
	if _, err := carbonOf("gouge-air", DCEP, d); err != nil {
		return none, err
	}
	tol := q.Length(figure("size-tolerance").High)
	known := class == ""
	for _, a := range airTable {
		known = known || a.class == class
		if (class != "" && class != a.class) || d > a.carbon+tol {
			continue
		}
		hose := figure("hose")
		v := Supplied{Class: a.class, Pressure: a.pressure, Flow: a.flow, Hose: q.Length(hose.Likely),
			Intermittent: a.intermittent, Steady: a.steady, ByHand: a.byHand}
		return source.Result[Supplied]{Value: v, Basis: source.Basis{
			Method: "gouge-air", Title: "Air for gouging", Formula: "table by torch class",
			Inputs: []source.Input{{Name: "carbon", Text: length(d)}, {Name: "torch", Text: string(a.class)}},
			Steps: []source.Step{
				{Name: "pressure at the torch", Value: float64(a.pressure.High / q.Kilopascal), Unit: "kPa", Text: pressures(a.pressure)},
				{Name: "free air", Value: float64(a.flow / q.LitrePerMinute), Unit: "L/min", Text: flow(a.flow)},
				{Name: "hose bore, at least", Value: hose.Likely * 1e3, Unit: "mm", Text: length(q.Length(hose.Likely))},
			},
			Ref:  a.ref,
			Also: []source.Ref{hose.Ref, source.At("gouge-bw", "5 to 7 bar, 600 to 850 L/min for hand gouging", source.Read)},
			Notes: []string{
				"pressure counts at the torch while it blows, not at the tank",
				"more pressure than that does not take out more metal",
				"air figures by torch class are from memory except 60 and 80 to 100 psi: the torch's own sheet wins",
			},
			Why:  "The air throws the melt out; the arc only melts it.",
			Skip: "With weak air the melt freezes back, rich in carbon, and cracks under the weld.",
		}}, nil
	}
	if !known {
		return none, fmt.Errorf("no torch class %q: use light, general, heavy or automatic", class)
	}
	most := airTable[len(airTable)-1].carbon
	for _, a := range airTable {
		if a.class == class {
			most = a.carbon
		}
	}
	return none, &source.OutOfRange{Method: "gouge-air", Quantity: "carbon diameter", Value: d.MM(), High: most.MM(), Unit: "mm",
		Instead: "use a larger torch or a smaller carbon"}
}

func pressures(p q.Of[q.Pressure]) string { return p.Text(q.SI) }

func pressure(p q.Pressure) string { return p.Text(q.SI) }

func flow(f q.Flow) string { return f.Text(q.SI) }
