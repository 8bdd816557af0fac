package calc

import (
	"fmt"

	"soundmetal/heat"
	q "soundmetal/quantity"
)

// waitMethods are about reading heat and about waiting for hydrogen.
func waitMethods() []Method {
	return []Method{
		{ID: "measure-distance", Title: "Where to read the preheat, from the groove edge",
			Params: []Param{length("d", "thickness")},
			run: func(a *args) (Answer, error) {
				r, err := heat.MeasureDistance(get[q.Length](a, "d"))
				return value(r.Value.MM(), "mm", r.Value.Text(q.SI), r.Basis), err
			}},
		{ID: "hold-time", Title: "Wait between the last bead and the final crack test",
			Params: []Param{text("steel", "grade or family: s355, s690, a514, ..."), length("size", "throat, or thickness of a butt weld"),
				heatInput("Q", "heat input with arc efficiency")},
			run: func(a *args) (Answer, error) {
				g, err := heat.ParseGroup(a.word("steel"))
				if err != nil {
					return Answer{}, err
				}
				r, err := heat.HoldTime(heat.HoldInput{Group: g, Size: get[q.Length](a, "size"), HeatInput: get[q.HeatInput](a, "Q")})
				text := fmt.Sprintf("%.0f h", r.Value.Hours())
				if r.Value == 0 {
					text = "0 h: as soon as it is cold"
				}
				return value(r.Value.Hours(), "h", text, r.Basis), err
			}},
		{ID: "hydrogen-left", Title: "Hydrogen left in a slab with both faces free, mean",
			Params: []Param{temperature("T", "temperature"), {Name: "t", Doc: "time", Kind: q.KindTime, Unit: "h"}, length("L", "thickness of the slab")},
			run: func(a *args) (Answer, error) {
				r, err := heat.HydrogenLeft(heat.HydrogenInput{Temperature: get[q.Temperature](a, "T"), Time: get[q.Time](a, "t"), Thickness: get[q.Length](a, "L")})
				v := r.Value
				ans := value(float64(v.Mean), "1", fmt.Sprintf("%.1f %% left on the mean, %.1f %% in the centre; with trapping %.1f %% and %.1f %%",
					100*float64(v.Mean), 100*float64(v.Centre), 100*float64(v.MeanSlow), 100*float64(v.CentreSlow)), r.Basis)
				low, high := float64(v.Mean), float64(v.MeanSlow)
				ans.Low, ans.High = &low, &high
				return ans, err
			}},
	}
}
