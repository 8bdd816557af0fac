// Highest heat input for quenched and tempered plate A514/A517, by thickness
// and preheat or interpass temperature (qt_heat_input.csv, kJ/in of arc energy,
// no thermal efficiency).
//
// Linear between the figures of the table. "any" sets no limit; beside a figure
// it counts as what the next hotter column or the next thinner row allows, which
// the plate certainly takes. Colder than 70 °F is read at 70 °F, thicker than
// the last row at the last row: both keep the limit low.
// Source: published US tables, from memory.

package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idQT           = "qt-heat-input"
	metricRounding = 1.5 // °F; the 400 °F of these steels is 205 °C (401 °F) in metric editions
)

// QTType is the kind of A514 plate: F for the richer grades, B for the leaner.
type QTType string

const (
	QTTypeF QTType = "F"
	QTTypeB QTType = "B"
)

type qtRow struct {
	in     float64
	kjInch [5]float64
	any    [5]bool // the cell reads "any"; kjInch is what it counts for beside a figure
	ref    source.Ref
}

var (
	qtFahrenheit = [5]float64{70, 150, 200, 300, 400}
	qtTable      = loadQT()
)

func loadQT() map[QTType][]qtRow {
	all := map[QTType][]qtRow{}
	for _, r := range load("qt_heat_input.csv") {
		row := qtRow{in: r.Num("thickness_in"), ref: r.Ref()}
		for i, f := range qtFahrenheit {
			name := fmt.Sprintf("f%.0f", f)
			if row.any[i] = r.Text(name) == "any"; !row.any[i] {
				row.kjInch[i] = r.Num(name)
			}
		}
		k := QTType(r.Text("type"))
		for i := len(row.any) - 1; i >= 0; i-- {
			if !row.any[i] {
				continue
			}
			if i+1 < len(row.any) {
				row.kjInch[i] = row.kjInch[i+1]
			}
			if n := len(all[k]); n > 0 {
				row.kjInch[i] = max(row.kjInch[i], all[k][n-1].kjInch[i])
			}
		}
		all[k] = append(all[k], row)
	}
	return all
}

// MaximumHeatInput gives the highest arc energy (without thermal efficiency)
// for A514/A517 plate; unknown where the table sets no limit.
func MaximumHeatInput(kind QTType, thickness q.Length, interpass q.Temperature) (source.Result[q.Maybe[q.HeatInput]], error) {
	var none source.Result[q.Maybe[q.HeatInput]]
	rows := qtTable[kind]
	if rows == nil {
		return none, fmt.Errorf("%s: type %q is not in the table; give F or B (B is the leaner and the more cautious)", idQT, string(kind))
	}
	if err := positive(idQT, "thickness", thickness.MM(), "mm"); err != nil {
		return none, err
	}
	t, f := thickness.Inches(), interpass.F()
	first, last := rows[0].in, rows[len(rows)-1].in
	if t < first-slack*40 {
		return none, &source.OutOfRange{Method: idQT, Quantity: "thickness", Value: t, Low: first, High: last, Unit: "in", Instead: "use the cooling time of 20 s at most"}
	}
	notes := []string{"from memory: check it against the steelmaker's data", "arc energy as the American codes count it: volts × amps / speed, no thermal efficiency", "linear between the figures of the table"}
	if !(f <= qtFahrenheit[4]+metricRounding) {
		return none, &source.OutOfRange{Method: idQT, Quantity: "interpass temperature", Value: f, Low: qtFahrenheit[0], High: qtFahrenheit[4], Unit: "°F", Instead: "let the steel cool: above 400 °F it loses its strength"}
	}
	if f < qtFahrenheit[0] {
		notes = append(notes, "colder than 70 °F: read at 70 °F")
		f = qtFahrenheit[0]
	}
	f = min(f, qtFahrenheit[4])
	if t > last {
		notes = append(notes, "thicker than the last row: read at the last row")
		t = last
	}
	t = max(t, first)
	i := 0
	for i < len(rows)-2 && t > rows[i+1].in {
		i++
	}
	a, b := &rows[i], &rows[i+1]
	j := 0
	for j < len(qtFahrenheit)-2 && f > qtFahrenheit[j+1] {
		j++
	}
	down, across := (t-a.in)/(b.in-a.in), (f-qtFahrenheit[j])/(qtFahrenheit[j+1]-qtFahrenheit[j])
	kj, limited := 0.0, false
	for _, c := range [4]struct {
		row    *qtRow
		col    int
		weight float64
	}{{a, j, (1 - down) * (1 - across)}, {a, j + 1, (1 - down) * across}, {b, j, down * (1 - across)}, {b, j + 1, down * across}} {
		kj += c.weight * c.row.kjInch[c.col]
		limited = limited || c.weight > slack && !c.row.any[c.col]
	}
	var v q.Maybe[q.HeatInput]
	step := source.Step{Name: "highest heat input", Unit: "kJ/in", Text: "no limit in the table"}
	if limited {
		v = q.Known(q.HeatInput(kj) * q.KilojoulePerInch)
		step.Value, step.Text = kj, kilojoules(v.V)
	}
	return source.Result[q.Maybe[q.HeatInput]]{Value: v, Basis: source.Basis{
		Method: idQT, Title: "Highest heat input for quenched and tempered plate",
		Inputs: []source.Input{input("type", "A514/A517 grade "+string(kind)+" type"), input("thickness", millimetres(thickness)), input("preheat or interpass", degrees(interpass))},
		Steps: []source.Step{
			{Name: fmt.Sprintf("row %.4g in", a.in), Formula: fmt.Sprintf("%.0f °F, %.0f °F", qtFahrenheit[j], qtFahrenheit[j+1]), Text: a.cell(j) + ", " + a.cell(j+1)},
			{Name: fmt.Sprintf("row %.4g in", b.in), Formula: fmt.Sprintf("%.0f °F, %.0f °F", qtFahrenheit[j], qtFahrenheit[j+1]), Text: b.cell(j) + ", " + b.cell(j+1)},
			step},
		Ref: a.ref, Notes: notes,
		Why:  "This plate got its strength by quenching; too much heat takes it away.",
		Skip: "A soft band runs along the weld and the part breaks beside it.",
	}}, nil
}

func (r *qtRow) cell(i int) string {
	if r.any[i] {
		return "any"
	}
	return fmt.Sprintf("%.4g kJ/in", r.kjInch[i])
}
