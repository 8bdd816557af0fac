package calc

import (
	"soundmetal/cut"
	q "soundmetal/quantity"
)

func gougeMethods() []Method {
	return []Method{
		{ID: "gouge-current", Title: "Current of a gouging carbon, electrode positive",
			Params: []Param{length("D", "diameter of the carbon")},
			run: func(a *args) (Answer, error) {
				r, err := cut.Current(get[q.Length](a, "D"))
				return band(float64(r.Value.Low), float64(r.Value.High), "A", r.Value.Text(q.SI), r.Basis), err
			}},
		{ID: "gouge-groove", Title: "Cross-section of a gouged groove, round bottom",
			Params: []Param{length("w", "width at the surface"), length("p", "depth")},
			run: func(a *args) (Answer, error) {
				r, err := cut.Section(get[q.Length](a, "w"), get[q.Length](a, "p"))
				return value(r.Value.MM2(), "mm²", r.Value.Text(q.SI), r.Basis), err
			}},
	}
}
