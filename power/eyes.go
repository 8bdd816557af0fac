package power

import (
	_ "embed"
	"fmt"

	"soundmetal/cut"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Eyes and ears at the arc and the torch. The tables for the arc and for noise
// belong to the gouging room (29 CFR 1910.133(a)(5), 1910.95, NIOSH); this file
// gives them their general method names and adds the shades for oxygen cutting.

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

// Shade gives the filter shade for a process at its current: least by law, and comfortable. Calc id: shade.
func Shade(arc cut.Arc, i q.Current) (source.Result[cut.Shade], error) {
	r, err := cut.ShadeFor(arc, i)
	if r.Basis.Method != "" {
		r.Basis.Method = "shade"
	}
	return r, err
}

// OxyShade gives the least shade for oxygen cutting by plate thickness; at a limit the darker one. Calc id: shade-oxygen.
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

// Noise gives the time an unprotected ear may be in a level in one day. Calc id: noise.
func Noise(level cut.SoundLevel) (source.Result[cut.NoiseTime], error) {
	r, err := cut.Noise(level)
	if r.Basis.Method != "" {
		r.Basis.Method = "noise"
	}
	return r, err
}
