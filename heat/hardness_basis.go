package heat

import (
	"fmt"

	"soundmetal/source"
)

func yuriokaSteps(y *yurioka, t float64) []source.Step {
	return []source.Step{
		{Name: "equivalents CEI, CEII, CEIII", With: fmt.Sprintf("%.4f, %.4f, %.4f", y.cei, y.ceii, y.ceiii), Value: y.cei, Unit: "%"},
		{Name: "all martensite HM", Formula: "884·C·(1 − .3·C²) + 294", Value: y.hm, Unit: "HV10"},
		{Name: "all bainite HB", Formula: "145 + 130·tanh(2.65·CEII − .69)", Value: y.hb, Unit: "HV10"},
		{Name: "time for all martensite tM", Formula: "exp(10.6·CEI − 4.8)", Value: y.tm, Unit: "s"},
		{Name: "time for all bainite tB", Formula: "exp(6.2·CEIII + .74)", Value: y.tb, Unit: "s"},
		{Name: "position X", Formula: "4·log(t/tM)/log(tB/tM) − 2", With: fmt.Sprintf("t = %.3g s", t), Value: y.x},
		{Name: "Yurioka", Formula: "(HM + HB)/2 − (HM − HB)·atan(X)/2.2, held to HB..HM", With: fmt.Sprintf("raw %.1f", y.raw), Value: y.hv, Unit: "HV10"},
	}
}

func durenStep(raw, bainite, martensite, hv float64) source.Step {
	return source.Step{Name: "Düren", Formula: "2019·[C·(1 − .5·log t) + .3·r] + 66·(1 − .8·log t), held to its bounds",
		With: fmt.Sprintf("raw %.1f, bounds %.0f to %.0f", raw, bainite, martensite), Value: hv, Unit: "HV10"}
}

func hardnessBasis(in *HardnessInput, n float64, v Hardness, steps []source.Step, notes []string) source.Basis {
	s := &in.Steel
	return source.Basis{
		Method: idHardness, Title: "Hardness beside the weld",
		Formula: "Yurioka 1987, with Düren and BL70S as a band",
		Inputs: []source.Input{
			input("composition", fmt.Sprintf("C %.3g Si %.3g Mn %.3g Cr %.3g Mo %.3g V %.3g Ni %.3g Cu %.3g Nb %.3g B %.4g %%", s.C, s.Si, s.Mn, s.Cr, s.Mo, s.V, s.Ni, s.Cu, s.Nb, s.B)),
			input("nitrogen", fmt.Sprintf("%.3g %%", n)), input("cooling time t8/5", fmt.Sprintf("%.3g s", float64(in.Cooling)))},
		Steps: append(steps, source.Step{Name: "band", Text: fmt.Sprintf("%.0f to %.0f HV10", float64(v.Low), float64(v.High)), Value: float64(v.HV), Unit: "HV10"}),
		Ref:   source.At("yurioka-1987", "hardness formula", source.Memory),
		Also:  []source.Ref{source.At("duren", "hardness formula", source.Memory), source.At("suzuki-bl70", "BL70S", source.Memory)},
		Notes: append(notes, "hardest spot beside a single run; a following run tempers it",
			"the models differ by 40 to 60 HV on mild steel: read the band, not the figure"),
		Why:  "Above about 350 HV the steel beside the weld can crack from hydrogen.",
		Skip: "The choice of preheat is never checked against what it does to the steel.",
	}
}
