// Where and when to read the preheat.
//
//	ISO 13916: A = 4·t from the groove edge, at most 50 mm, for t ≤ 50 mm;
//	           above 50 mm the temperature must reach 75 mm in every direction
//	AWS D1.1:  at least the thickness and at least 75 mm in all directions
//	wait 2 min for each 25 mm after the heat is taken away (from memory)
//
// Source: ISO 13916:2017 4.1 (adoption text), AWS D1.1 preheat clause.

package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	isoFactor     = 4.0
	isoFarthest   = 50 * q.Millimetre
	isoThick      = 50 * q.Millimetre
	isoThickReach = 75 * q.Millimetre
	d11Least      = 75 * q.Millimetre
	waitPer25     = 2 * q.Minute
)

// MeasureDistance gives the distance from the groove edge at which the preheat
// is read, by ISO 13916.
func MeasureDistance(thickness q.Length) (source.Result[q.Length], error) {
	const id = "measure-distance"
	if err := positive(id, "thickness", thickness.MM(), "mm"); err != nil {
		return source.Result[q.Length]{}, err
	}
	a, formula, with := isoThickReach, "over 50 mm: 75 mm in every direction", ""
	if thickness <= isoThick+slack {
		a = min(isoFactor*thickness, isoFarthest)
		formula, with = "4·t, at most 50 mm", fmt.Sprintf("4 × %.4g", thickness.MM())
	}
	d11 := max(thickness, d11Least)
	return source.Result[q.Length]{Value: a, Basis: source.Basis{
		Method: id, Title: "Where to read the preheat", Formula: formula,
		Inputs: []source.Input{input("thickness t", millimetres(thickness))},
		Steps: []source.Step{
			{Name: "distance from the groove edge (ISO 13916)", Formula: formula, With: with, Value: a.MM(), Unit: "mm", Text: millimetres(a)},
			{Name: "distance in all directions (AWS D1.1)", Formula: "larger of thickness and 75 mm", Value: d11.MM(), Unit: "mm", Text: millimetres(d11)},
		},
		Ref: source.At("iso13916", "4.1", source.Read), Also: []source.Ref{source.At("aws-d1.1", "preheat and interpass clause", source.Read)},
		Notes: []string{"on the face turned to the welder; better on the face away from the flame, if it can be reached",
			"not in the joint: a crayon dirties the groove"},
		Why:  "Steel far from the groove must be warm too, or it drinks the heat of the weld.",
		Skip: "The skin at the flame is hot and the joint is cold.",
	}}, nil
}

// ReadingWait gives how long to wait after the heat is taken away before the
// preheat is read on the heated face.
func ReadingWait(thickness q.Length) (source.Result[q.Time], error) {
	const id = "reading-wait"
	if err := positive(id, "thickness", thickness.MM(), "mm"); err != nil {
		return source.Result[q.Time]{}, err
	}
	wait := waitPer25 * q.Time(thickness.MM()/25)
	return source.Result[q.Time]{Value: wait, Basis: source.Basis{
		Method: id, Title: "Wait before reading the preheat", Formula: "2 min for each 25 mm of thickness",
		Inputs: []source.Input{input("thickness", millimetres(thickness))},
		Steps:  []source.Step{{Name: "wait", With: fmt.Sprintf("2 × %.4g/25", thickness.MM()), Value: wait.Minutes(), Unit: "min"}},
		Ref:    source.At("iso13916", "temperature equalisation", source.Memory),
		Notes:  []string{"an older practice waits 1 min for each 25 mm", "soaked when the far face reaches the preheat, or the near face falls less than a tenth in a minute (common practice)"},
		Why:    "Right after the flame only the skin is hot.", Skip: "You read the flame, not the steel.",
	}}, nil
}

// HeatBand gives how far to each side of the groove, and past its ends, the
// steel is heated: the thickness, but at least 75 mm.
func HeatBand(thickness q.Length) (source.Result[q.Length], error) {
	const id = "heat-band"
	if err := positive(id, "thickness", thickness.MM(), "mm"); err != nil {
		return source.Result[q.Length]{}, err
	}
	w := max(thickness, d11Least)
	return source.Result[q.Length]{Value: w, Basis: source.Basis{
		Method: id, Title: "Band to heat on each side of the groove", Formula: "larger of thickness and 75 mm",
		Inputs: []source.Input{input("thickness", millimetres(thickness))},
		Steps:  []source.Step{{Name: "to each side", Value: w.MM(), Unit: "mm", Text: millimetres(w)}},
		Ref:    source.At("aws-d1.1", "preheat and interpass clause", source.Read),
		Notes:  []string{"the whole thickness must be warm, not only the face"},
		Why:    "The cold steel outside the band sucks the heat out of the joint.", Skip: "The preheat is gone before the first rod is half burnt.",
	}}, nil
}
