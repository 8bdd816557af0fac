package calc

import (
	"fmt"
	"strings"

	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
)

func powerMethods() []Method {
	area := Param{Name: "A_mm2", Doc: "copper section of the cable", Kind: q.KindArea, Unit: "mm²"}
	return []Method{
		{ID: "duty", Title: "Current at another duty cycle, square law",
			Params: []Param{current("I1", "rated current"), {Name: "D1", Doc: "its duty cycle", Kind: q.KindRatio, Unit: "%"}, {Name: "D2", Doc: "duty cycle wanted", Kind: q.KindRatio, Unit: "%"}},
			run: func(a *args) (Answer, error) {
				r, err := power.Duty(get[q.Current](a, "I1"), get[q.Ratio](a, "D1"), get[q.Ratio](a, "D2"))
				return value(float64(r.Value), "A", fmt.Sprintf("%.1f A", float64(r.Value)), r.Basis), err
			}},
		{ID: "lead-drop", Title: "Voltage lost in the welding cable",
			Params: []Param{area, current("I", "current"), {Name: "L", Doc: "length of the loop, electrode and work lead together; a plain number below 1000 is in m, since no loop is shorter than 1 m", Kind: q.KindLength, Unit: "mm", Small: "m", Below: 1000}, temperature("T", "temperature of the cable").or("20")},
			run: func(a *args) (Answer, error) {
				r, err := power.LeadDrop(get[q.Area](a, "A_mm2"), get[q.Current](a, "I"), get[q.Length](a, "L"), get[q.Temperature](a, "T"))
				return value(float64(r.Value), "V", fmt.Sprintf("%.2f V", float64(r.Value)), r.Basis), err
			}},
		{ID: "lpg-rate", Title: "Propane that bottles give, by temperature and contents",
			Params: []Param{temperature("T", "temperature of the bottle"), {Name: "full", Doc: "contents of a full bottle", Kind: q.KindMass, Unit: "kg"}, {Name: "left", Doc: "part still in it", Kind: q.KindRatio, Unit: "%"}, number("bottles", "bottles on one manifold").or("1")},
			run: func(a *args) (Answer, error) {
				r, err := power.LPGRate(get[q.Temperature](a, "T"), get[q.Mass](a, "full"), get[q.Ratio](a, "left"), int(a.num("bottles")))
				return value(float64(r.Value.Power)/1e3, "kW", r.Value.Power.Text(q.SI)+", "+r.Value.Mass.Text(q.SI), r.Basis), err
			}},
		{ID: "fuel-rate", Title: "Engine fuel at a welding load",
			Params: []Param{voltage("V", "load voltage"), current("I", "current"), choice("fuel", "fuel", "diesel", "petrol").or("diesel")},
			run: func(a *args) (Answer, error) {
				r, err := power.EngineFuel(get[q.Voltage](a, "V"), get[q.Current](a, "I"), job.Fuel(a.word("fuel")))
				v := r.Value
				return value(float64(v.Mass/q.KilogramPerHour), "kg/h", v.Mass.Text(q.SI)+", "+v.Likely.Text(q.SI)+" ("+v.Range.Text(q.SI)+")", r.Basis), err
			}},
		{ID: "network", Title: "Where the welding current comes back: resistances between bodies",
			Params: []Param{text("edges", "resistances: a-b:0.5mohm,b-c:1mohm"), text("source", "body under the arc"), text("sink", "body with the clamp"), current("I", "welding current")},
			run: func(a *args) (Answer, error) {
				edges, err := power.ReadEdges(a.word("edges"))
				if err != nil {
					return Answer{}, err
				}
				r, err := power.SolveEdges(edges, a.word("source"), a.word("sink"), get[q.Current](a, "I"))
				var flows []string
				for _, f := range r.Value.Flows {
					flows = append(flows, fmt.Sprintf("%s to %s %.4g A", f.A, f.B, float64(f.Current)))
				}
				return value(float64(r.Value.Resistance)*1e3, "mΩ", fmt.Sprintf("%.4g mΩ, %.4g V across: %s", float64(r.Value.Resistance)*1e3, float64(r.Value.Across), strings.Join(flows, ", ")), r.Basis), err
			}},
	}
}
