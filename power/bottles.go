package power

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// What a gas bottle can give.
//
//	LPG        table of a 100 lb bottle by contents and temperature, straight
//	           lines inside the table only; smaller bottles × (V/V0)^0.67 (derived)
//	acetylene  1/10 of the contents in an hour, off and on (CGA G-1); 1/15
//	           without a pause (from memory); the old rule was 1/7

//go:embed lpg.csv
var lpgCSV string

var lpgTable = mustLPG(lpgCSV)

// lpg is the draw of the 100 lb bottle: rows by contents, columns by temperature, both rising.
type lpg struct {
	left  []float64 // part of a full bottle
	tempF []float64
	watts [][]float64
	ref   source.Ref
}

func mustLPG(text string) lpg {
	t := lpg{tempF: []float64{0, 20, 40, 60, 70}}
	rows := source.Table("lpg.csv", text)
	for i := len(rows) - 1; i >= 0; i-- { // the page prints the full bottle first
		r := rows[i]
		t.left = append(t.left, r.Num("left_lb")/100)
		var w []float64
		for _, f := range t.tempF {
			w = append(w, r.Num("f"+short(f))*1000*float64(q.BTUPerHour))
		}
		t.watts = append(t.watts, w)
		t.ref = r.Ref()
	}
	return t
}

// between finds the cell and the share in it; v lies inside the axis.
func between(axis []float64, v float64) (int, float64) {
	k := 0
	for k < len(axis)-2 && v > axis[k+1] {
		k++
	}
	return k, (v - axis[k]) / (axis[k+1] - axis[k])
}

func (t lpg) at(left, tempF float64) float64 {
	i, a := between(t.left, left)
	j, b := between(t.tempF, tempF)
	return (1-a)*((1-b)*t.watts[i][j]+b*t.watts[i][j+1]) + a*((1-b)*t.watts[i+1][j]+b*t.watts[i+1][j+1])
}

// Draw is what bottles can give without freezing or losing their solvent.
type Draw struct {
	Power q.Power // gross heat
	Mass  q.MassRate
	Gas   q.Flow
}

// LPGRate gives the greatest steady draw of propane bottles: liquid temperature,
// contents of one full bottle, part still in it, bottles tied together.
// Method id: lpg-rate (T full left n).
func LPGRate(t q.Temperature, full q.Mass, left q.Ratio, bottles int) (source.Result[Draw], error) {
	var none source.Result[Draw]
	if bottles < 1 {
		return none, fmt.Errorf("%d bottles: give 1 or more", bottles)
	}
	if err := within("lpg-rate", "full bottle", float64(full/q.Pound)); err != nil {
		return none, err
	}
	edge := func(name string, v, low, high float64, unit, instead string) error {
		const slack = 1e-9
		return source.InRange("lpg-rate", name, math.Round(v/slack)*slack, low, high, unit, instead)
	}
	coldest, warmest := q.Fahrenheit(lpgTable.tempF[0]).C(), q.Fahrenheit(lpgTable.tempF[len(lpgTable.tempF)-1]).C()
	if t.F() < lpgTable.tempF[0]-1e-9 || t.F() > lpgTable.tempF[len(lpgTable.tempF)-1]+1e-9 {
		return none, source.InRange("lpg-rate", "bottle temperature", t.C(), coldest, warmest, "°C", "a warmer bottle gives more than the 70 °F (21 °C) column: use that; a colder one gives less than any column")
	}
	if err := edge("part left", float64(left)*100, lpgTable.left[0]*100, 100, "%", "change the bottle"); err != nil {
		return none, err
	}
	f := min(max(t.F(), lpgTable.tempF[0]), lpgTable.tempF[len(lpgTable.tempF)-1]) // rounding of the conversion only
	whole := lpgTable.at(min(float64(left), 1), f)
	size := float64(full / q.Pound / 100)
	scale := 1.0
	exponent := fig("scale-bottle")
	b := source.Basis{
		Method: "lpg-rate", Title: "What the propane bottles can give", Formula: "table of a 100 lb bottle × (V/V0)^0.67",
		Inputs: []source.Input{{Name: "temperature of the bottle", Text: tempText(t)}, {Name: "full bottle", Text: massText(full)}, {Name: "part left", Text: percentText(left)}, {Name: "bottles", Text: fmt.Sprint(bottles)}},
		Steps:  []source.Step{{Name: "100 lb bottle, same part left", Value: whole / 1000, Unit: "kW", Text: powerText(q.Power(whole))}},
		Ref:    lpgTable.ref,
		Notes:  []string{sayings["lpg"][0].Text, "The temperature is that of the liquid: after an hour of heavy draw it is colder than the air."},
		Why:    "The liquid must boil to give gas, and boiling chills it; a cold, low bottle starves the torch.",
		Skip:   "The flame dwindles and the part never gets there.",
	}
	if math.Abs(size-1) > 1e-9 {
		scale = math.Pow(size, exponent.Likely)
		b.Also = append(b.Also, exponent.Ref)
		b.Notes = append(b.Notes, "Scaled from the 100 lb bottle by the wetted wall, (V/V0)^0.67: derived, not printed.")
		b.Steps = append(b.Steps, source.Step{Name: "this size", Formula: "(V/V0)^0.67", With: short(size) + "^" + short(exponent.Likely), Value: scale})
	}
	row := gases["propane"]
	p := q.Power(whole * scale * float64(bottles))
	v := Draw{Power: p, Mass: q.MassRate(float64(p) / row.hhv.Mid())}
	v.Gas = q.Flow(float64(v.Mass) / row.density)
	b.Also = append(b.Also, row.ref)
	b.Steps = append(b.Steps, source.Step{Name: "all bottles", Value: float64(p / q.Kilowatt), Unit: "kW", Text: powerText(p)},
		source.Step{Name: "gas", Value: float64(v.Mass / q.KilogramPerHour), Unit: "kg/h", Text: rateText(v.Mass)})
	return source.Result[Draw]{Value: v, Basis: b}, nil
}

// DrawKind is how acetylene is drawn.
type DrawKind string

// The ways to draw acetylene.
const (
	Intermittent DrawKind = "intermittent" // off and on
	Steady       DrawKind = "continuous"
	OldRule      DrawKind = "old" // one seventh: shown for comparison only
)

// AcetyleneRate gives the greatest draw of acetylene bottles by their contents.
// Method id: acetylene-rate (contents n kind).
func AcetyleneRate(contents q.Volume, bottles int, kind DrawKind) (source.Result[Draw], error) {
	var none source.Result[Draw]
	if bottles < 1 {
		return none, fmt.Errorf("%d bottles: give 1 or more", bottles)
	}
	if kind != Intermittent && kind != Steady && kind != OldRule {
		return none, fmt.Errorf("draw %q is not known; accepted: %s, %s, %s", kind, Intermittent, Steady, OldRule)
	}
	if err := within("acetylene-rate", "contents", float64(contents)); err != nil {
		return none, err
	}
	share, row := fig("acetylene-"+string(kind)), gases["acetylene"]
	flow := q.Flow(float64(contents) * share.Likely / 3600 * float64(bottles))
	v := Draw{Gas: flow, Mass: q.MassRate(float64(flow) * row.density)}
	v.Power = q.Power(float64(v.Mass) * row.hhv.Mid())
	b := source.Basis{
		Method: "acetylene-rate", Title: "What the acetylene bottles can give", Formula: "flow = contents · share in an hour",
		Inputs: []source.Input{{Name: "gas in one bottle", Text: short(float64(contents)) + " m³ (" + short(float64(contents)/0.028316846592) + " ft³)"}, {Name: "bottles", Text: fmt.Sprint(bottles)}, {Name: "draw", Text: string(kind)}},
		Steps: []source.Step{
			{Name: "flow", With: short(float64(contents)) + " × " + short(share.Likely) + " × " + fmt.Sprint(bottles), Value: float64(flow) * 3600, Unit: "m³/h", Text: gasText(flow)},
			{Name: "gross heat", Value: float64(v.Power / q.Kilowatt), Unit: "kW", Text: powerText(v.Power)},
		},
		Ref: share.Ref, Also: []source.Ref{row.ref, fig("acetylene-pressure").Ref},
		Notes: []string{sayings["acetylene"][0].Text, "Count the gas that is left, not what the bottle held when full."},
		Why:   "The gas is dissolved in acetone; drawn too fast the acetone comes along.",
		Skip:  "Acetone spits from the torch, the flame dies or burns back.",
	}
	if kind == OldRule {
		b.Notes = append(b.Notes, "One seventh is the old rule; plan with one tenth.")
	}
	return source.Result[Draw]{Value: v, Basis: b}, nil
}

// AcetyleneBottles gives the bottles to tie together for a flow of acetylene.
// Method id: acetylene-bottles.
func AcetyleneBottles(flow q.Flow, contents q.Volume, kind DrawKind) (source.Result[int], error) {
	one, err := AcetyleneRate(contents, 1, kind)
	if err != nil {
		return source.Result[int]{}, err
	}
	if err := within("torch-heat", "gas flow", float64(flow)*3600); err != nil {
		return source.Result[int]{}, err
	}
	n := int(math.Ceil(float64(flow/one.Value.Gas) - 1e-9))
	b := one.Basis
	b.Method, b.Title, b.Formula = "acetylene-bottles", "Acetylene bottles for the torch", "bottles = flow of the torch / flow of one bottle"
	b.Inputs = append([]source.Input{{Name: "torch", Text: gasText(flow)}}, b.Inputs...)
	b.Steps = append(b.Steps, source.Step{Name: "bottles", With: gasText(flow) + " / " + gasText(one.Value.Gas), Value: float64(n)})
	return source.Result[int]{Value: n, Basis: b}, nil
}
