package calc

import (
	"fmt"

	"soundmetal/heat"
	"soundmetal/job"
	q "soundmetal/quantity"
)

func heatMethods() []Method {
	return []Method{
		{ID: "preheat-cet", Title: "Minimum preheat, CET method",
			Params: []Param{percent("CET", "carbon equivalent CET"), length("d", "thickness of the thickest part"),
				hydrogen("HD", "diffusible hydrogen of the rod"), heatInput("Q", "heat input with arc efficiency")},
			run: func(a *args) (Answer, error) {
				r, err := heat.PreheatCET(heat.CETInput{CET: get[q.Percent](a, "CET"), Thickness: get[q.Length](a, "d"),
					Hydrogen: get[q.Hydrogen](a, "HD"), HeatInput: get[q.HeatInput](a, "Q")})
				return celsius(r.Value, r.Basis), err
			}},
		{ID: "preheat-si", Title: "Minimum preheat, hydrogen control by susceptibility index",
			Params: []Param{percent("Pcm", "composition parameter Pcm"), hydrogen("H", "diffusible hydrogen of the rod"),
				length("d", "thickness"), choice("restraint", "restraint", "low", "medium", "high")},
			run: func(a *args) (Answer, error) {
				r, err := heat.PreheatSI(heat.SIInput{Pcm: get[q.Percent](a, "Pcm"), Hydrogen: get[q.Hydrogen](a, "H"),
					Thickness: get[q.Length](a, "d"), Restraint: job.Restraint(a.word("restraint"))})
				return celsius(r.Value.Minimum, r.Basis), err
			}},
		{ID: "preheat-prequalified", Title: "Minimum preheat, prequalified table",
			Params: []Param{choice("category", "category of steel and process", "A", "B", "C", "D", "A514"), length("d", "thickness")},
			run: func(a *args) (Answer, error) {
				r, err := heat.PreheatPrequalified(heat.Category(a.word("category")), get[q.Length](a, "d"))
				return celsius(r.Value.Minimum, r.Basis), err
			}},
		{ID: "preheat-ms", Title: "Minimum preheat of high-carbon steel, shop chart and martensite start", Composition: true,
			Params: []Param{text("steel", "grade or family, where it has a row of its own: 4140, 4340, 1045").optional(), hydrogen("H", "diffusible hydrogen of the rod"),
				choice("restraint", "restraint", "low", "medium", "high").or("high")},
			run: func(a *args) (Answer, error) {
				in := heat.MsInput{Steel: steelOf(a), Hydrogen: get[q.Hydrogen](a, "H"), Restraint: job.Restraint(a.word("restraint"))}
				if a.has("steel") {
					g, err := heat.ParseGroup(a.word("steel"))
					if err != nil {
						return Answer{}, err
					}
					in.Group = g
				}
				r, err := heat.PreheatMs(in)
				return celsius(r.Value.Minimum, r.Basis), err
			}},
		{ID: "preheat-ito", Title: "Preheat by Ito-Bessyo, a cross check",
			Params: []Param{percent("Pcm", "composition parameter Pcm"), hydrogen("H", "hydrogen"), length("d", "thickness"),
				stress("K", "restraint intensity, N/mm per mm").optional(), choice("hydrogen_by", "how H was measured", "iso", "glycerine").or("iso")},
			run: func(a *args) (Answer, error) {
				in := heat.ItoInput{Pcm: get[q.Percent](a, "Pcm"), Hydrogen: get[q.Hydrogen](a, "H"), Thickness: get[q.Length](a, "d"),
					Glycerine: a.word("hydrogen_by") == "glycerine"}
				if a.has("K") {
					in.Restraint = q.Known(get[q.Stress](a, "K"))
				}
				r, err := heat.PreheatItoBessyo(in)
				return celsius(r.Value, r.Basis), err
			}},
		{ID: "preheat-seferian", Title: "Preheat by Seferian, a cross check", Composition: true,
			Params: []Param{length("d", "thickness")},
			run: func(a *args) (Answer, error) {
				r, err := heat.PreheatSeferian(steelOf(a), get[q.Length](a, "d"))
				return celsius(r.Value, r.Basis), err
			}},
		{ID: "cooling-time", Title: "Cooling time t8/5 from 800 to 500 °C",
			Params: []Param{temperature("T0", "preheat or interpass temperature"), heatInput("Q", "heat input with arc efficiency"),
				length("d", "thickness"), number("F2", "shape factor, thin").or("1"), number("F3", "shape factor, thick").or("1")},
			run: func(a *args) (Answer, error) {
				r, err := heat.CoolingTime(heat.CoolingInput{Start: get[q.Temperature](a, "T0"), HeatInput: get[q.HeatInput](a, "Q"),
					Thickness: get[q.Length](a, "d"), F2: get[q.Ratio](a, "F2"), F3: get[q.Ratio](a, "F3")})
				t := float64(r.Value.Time)
				return value(t, "s", fmt.Sprintf("%.2f s", t), r.Basis), err
			}},
		{ID: "haz-hardness", Title: "Hardness beside the weld, a band of models", Composition: true,
			Params: []Param{seconds("t85", "cooling time 800 to 500 °C"), percent("N", "nitrogen").optional()},
			run: func(a *args) (Answer, error) {
				in := heat.HardnessInput{Steel: steelOf(a), Cooling: get[q.Time](a, "t85")}
				if a.has("N") {
					in.N = q.Known(get[q.Percent](a, "N"))
				}
				r, err := heat.HAZHardness(in)
				low, high := float64(r.Value.Low), float64(r.Value.High)
				ans := value(float64(r.Value.HV), "HV", fmt.Sprintf("%.0f HV, models from %.0f to %.0f HV", float64(r.Value.HV), low, high), r.Basis)
				ans.Low, ans.High = &low, &high
				return ans, err
			}},
		{ID: "heat-input", Title: "Heat input from volts, amps and travel speed",
			Params: []Param{voltage("V", "arc voltage"), current("I", "current"), speed("v", "travel speed"), number("k", "arc efficiency").or("0.8")},
			run: func(a *args) (Answer, error) {
				r, err := heat.HeatInput(get[q.Voltage](a, "V"), get[q.Current](a, "I"), get[q.Speed](a, "v"), get[q.Ratio](a, "k"))
				return energy(r.Value.Net, r.Basis), err
			}},
	}
}

// celsius makes an answer of a temperature.
func celsius(t q.Temperature, b basis) Answer {
	return value(t.C(), "°C", fmt.Sprintf("%.0f °C (%.0f °F)", t.C(), t.F()), b)
}

// energy makes an answer of a heat input.
func energy(h q.HeatInput, b basis) Answer {
	return value(h.KJPerMM(), "kJ/mm", fmt.Sprintf("%.3f kJ/mm (%.1f kJ/in)", h.KJPerMM(), h.KJPerInch()), b)
}
