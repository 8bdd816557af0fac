package calc

import (
	"fmt"

	"soundmetal/filler"
	q "soundmetal/quantity"
)

func fillerMethods() []Method {
	return []Method{
		{ID: "run-out", Title: "Weld length to make with one rod",
			Params: []Param{length("D", "core diameter"), length("L", "length burnt: rod less stub"),
				number("F", "run-out factor in kJ/mm³, by the efficiency of the rod"),
				heatInput("E", "arc energy, without efficiency")},
			run: func(a *args) (Answer, error) {
				r, err := filler.RunOut(get[q.Length](a, "D"), get[q.Length](a, "L"),
					filler.EnergyDensity(a.num("F"))*filler.KilojoulePerCubicMillimetre, get[q.HeatInput](a, "E"))
				return value(r.Value.MM(), "mm", r.Value.Text(q.SI), r.Basis), err
			}},
		{ID: "exposure", Title: "Hours a low-hydrogen rod may lie out of tin or oven",
			Params: []Param{text("class", "class as on the tin"), choice("steel", "for which steel", "ordinary", "qt").or("ordinary")},
			run: func(a *args) (Answer, error) {
				c, err := filler.Read(a.word("class"))
				if err != nil {
					return Answer{}, err
				}
				r, err := filler.Exposure(c, a.word("steel") == "qt")
				if err != nil { // a known rod that is not of the table
					return Answer{}, &notApplicable{fmt.Errorf("exposure: %w", err)}
				}
				return value(r.Value.Hours(), "h", fmt.Sprintf("%.3g h", r.Value.Hours()), r.Basis), nil
			}},
	}
}
