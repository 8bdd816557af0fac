package cut

// Pilot holes that keep a crack from running while it is gouged.
//
// Method: a table rule. A hole of 6 to 10 mm at or just past each tip of a
// through crack, before the heat comes; a vehicle-frame manual drills 6.35 mm
// 12 mm beyond. The holes lie inside the 50 mm of sound metal that is taken
// out anyway, so nothing of them stays.
// This is not a fatigue-arrest hole (25 mm and more, left open), which belongs
// to the strength room.
// Validity: through cracks in plate-like parts. Source: frame-manual; common practice.

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// StopHoles are pilot holes drilled before gouging.
type StopHoles struct {
	Count    int            `json:"count"`
	Diameter q.Of[q.Length] `json:"diameter"`
	Ahead    q.Of[q.Length] `json:"ahead"`     // centre of the hole beyond the visible tip
	FindTips bool           `json:"find_tips"` // a tip is hidden: find it before drilling
	Text     string         `json:"text"`
}

// PilotHoles says whether and where to drill before gouging.
func PilotHoles(through job.Answer, ends job.Ends) (source.Result[StopHoles], error) {
	d, a := figure("pilot-hole"), figure("pilot-ahead")
	v := StopHoles{Count: 2, Diameter: span[q.Length](d), Ahead: span[q.Length](a)}
	switch ends {
	case "both":
	case "at-edge":
		v.Count = 1
	case "one":
		v.FindTips = true
	case "none", "":
		v.FindTips = true
	default:
		return source.Result[StopHoles]{}, fmt.Errorf("no such crack ends %q: say both, one, none or at-edge", ends)
	}
	b := source.Basis{
		Method: "gouge-stop-hole", Title: "Holes at the crack tips before gouging", Formula: "6 to 10 mm at or just past each tip",
		Inputs: []source.Input{{Name: "through crack", Text: or(string(through), "not known")}, {Name: "visible ends", Text: or(string(ends), "not known")}},
		Ref:    d.Ref, Also: []source.Ref{a.Ref, source.At("practice", "6 to 10 mm; at or just past the tip", source.Practice)},
		Notes: []string{
			"a hold while gouging, not a repair: the holes are gouged out with the crack",
			"do not fill-weld a hole and leave it; do not drill a flange or a heat-treated rail whose maker forbids it",
			"before drilling into a hollow: what was in it, and is it vented?",
		},
		Why:  "Heat opens the crack and drives the tip ahead of the groove.",
		Skip: "The crack runs out under the heat, beyond where you looked.",
	}
	if through == job.No {
		v = StopHoles{Text: "not a through crack: no hole; start the gouge beyond the tip and work over it"}
		b.Steps = append(b.Steps, source.Step{Name: "holes", Text: v.Text})
		return source.Result[StopHoles]{Value: v, Basis: b}, nil
	}
	v.Text = fmt.Sprintf("%d × %.2g to %.2g mm, centre up to %.0f mm past the tip", v.Count, d.Low*1e3, d.High*1e3, a.High*1e3)
	if v.FindTips {
		v.Text += "; find the hidden tip first (dye or magnetic test)"
	}
	b.Steps = append(b.Steps, source.Step{Name: "holes", Value: float64(v.Count), Text: v.Text})
	return source.Result[StopHoles]{Value: v, Basis: b}, nil
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
