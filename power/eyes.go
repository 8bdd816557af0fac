package power

import (
	_ "embed"
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Eyes at the torch: shades for oxygen cutting. The arc's shades and the noise
// are in the gouging room.

//go:embed oxy_shade.csv
var oxyShadeCSV string

type oxyShadeRow struct {
	from    q.Length
	to      q.Maybe[q.Length]
	minimum int
	ref     source.Ref
}

var oxyShades = mustOxyShades(oxyShadeCSV)

func mustOxyShades(text string) []oxyShadeRow {
	var all []oxyShadeRow
	for _, r := range source.Table("oxy_shade.csv", text) {
		all = append(all, oxyShadeRow{q.Length(r.Num("from_mm")) * q.Millimetre, source.Maybe(r, "to_mm", q.Millimetre), int(r.Num("minimum")), r.Ref()})
	}
	return all
}

// OxyShade gives the least shade for oxygen cutting by plate thickness; at a limit the darker one. Method id: shade-oxygen.
func OxyShade(thickness q.Length) (source.Result[int], error) {
	if !(thickness > 0) {
		return source.Result[int]{}, fmt.Errorf("thickness %s: give the plate that is cut", lengthText(thickness))
	}
	for k := len(oxyShades) - 1; k >= 0; k-- {
		if s := oxyShades[k]; thickness >= s.from*(1-1e-9) {
			return source.Result[int]{Value: s.minimum, Basis: source.Basis{
				Method: "shade-oxygen", Title: "Filter shade for oxygen cutting", Formula: "table by thickness",
				Inputs: []source.Input{{Name: "plate", Text: short(thickness.MM()) + " mm (" + short(thickness.Inches()) + " in)"}},
				Steps:  []source.Step{{Name: "least shade", Value: float64(s.minimum)}},
				Ref:    s.ref, Why: "Hot slag and the white spot dazzle and burn.", Skip: "Sore eyes tonight.",
			}}, nil
		}
	}
	panic("power: oxy_shade.csv does not begin at 0") // thickness is above nothing
}
