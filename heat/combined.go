// Combined thickness that may be welded without preheat (method A).
//
// Combined thickness is the sum of the thicknesses of all heat paths over
// 75 mm from the weld line: two for a butt, three for a T-fillet; half the sum
// for two fillets made opposite each other at once (rule from memory).
// The table (combined.csv) holds for CE(IIW) to .43 or to .49, heat input of
// 1.0 or 2.0 kJ/mm, by hydrogen scale. Between 1 and 2 kJ/mm the row for 1 is
// used. The preheat curves beyond the table exist as graphs only.
// Source: EN 1011-2:2001+A1 Table C.1.

package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const idCombined = "preheat-combined"

// CombinedInput is what the combined thickness table takes.
type CombinedInput struct {
	CE        q.Percent // CE(IIW)
	Hydrogen  q.Hydrogen
	HeatInput q.HeatInput
}

type combinedRow struct {
	scale      string
	overH, toH float64
	ce, q      float64
	max        q.Length
	ref        source.Ref
}

var combinedTable = loadCombined()

func loadCombined() []combinedRow {
	var all []combinedRow
	for _, r := range load("combined.csv") {
		all = append(all, combinedRow{r.Text("scale"), r.Num("over_h"), r.Or("to_h", 1e9), r.Num("ce"), r.Num("q"),
			q.Length(r.Num("max_mm")) * q.Millimetre, r.Ref()})
	}
	return all
}

// NoPreheatThickness gives the greatest combined thickness that may be welded
// without preheat.
func NoPreheatThickness(in CombinedInput) (source.Result[q.Length], error) {
	var none source.Result[q.Length]
	ce, h, kj := float64(in.CE), float64(in.Hydrogen), in.HeatInput.KJPerMM()
	if err := positive(idCombined, "hydrogen", h, "ml/100 g"); err != nil {
		return none, err
	}
	const graph = "the standard has graphs beyond the table: use preheat-cet"
	if err := source.InRange(idCombined, "CE(IIW)", ce, 0.01, 0.49, "%", graph); err != nil {
		return none, err
	}
	if err := source.InRange(idCombined, "heat input", kj, 1, 1e3, "kJ/mm", graph); err != nil {
		return none, err
	}
	var best *combinedRow
	for i := range combinedTable {
		r := &combinedTable[i]
		if h <= r.overH || h > r.toH || ce > r.ce || kj < r.q {
			continue
		}
		if best == nil || r.max > best.max {
			best = r // the leaner column and the hotter row allow more
		}
	}
	return source.Result[q.Length]{Value: best.max, Basis: source.Basis{
		Method: idCombined, Title: "Greatest combined thickness without preheat",
		Inputs: []source.Input{input("CE(IIW)", percent(in.CE)), input("hydrogen", hydrogenText(in.Hydrogen)), input("heat input", kilojoules(in.HeatInput))},
		Steps: []source.Step{
			{Name: "hydrogen scale", With: hydrogenText(in.Hydrogen), Text: "scale " + best.scale},
			{Name: "table column", Text: fmt.Sprintf("CE to %.2f, %.1f kJ/mm", best.ce, best.q)},
			{Name: "greatest combined thickness", Value: best.max.MM(), Unit: "mm", Text: millimetres(best.max)},
		},
		Ref: best.ref,
		Notes: []string{"combined thickness: sum of the thicknesses of all heat paths over 75 mm from the weld line; a butt has two, a T-fillet three",
			"from memory: sulphur below .008 %, high restraint, more than 50 mm or a root run call for one hydrogen scale more severe",
			"beyond this thickness some preheat is needed; how much is a graph in the standard, so take it from the CET method"},
		Why:  "The more steel around the weld, the faster it is chilled.",
		Skip: skipCrackBesideWeld,
	}}, nil
}
