package strength

// Method:   force and shear flow between a doubler and the part under it
// Formula:  flow = V·Q/I, Q = Ad·|yd - yc|, half of it in each side weld; end force F = σmid·Ad
// Validity: doubler fully welded along both sides, elastic
// Source:   roark, from memory

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// DoublerLoad is what the welds of a doubler carry.
type DoublerLoad struct {
	Flow     LineForce // along both side welds together
	PerWeld  LineForce // along one side weld
	EndForce q.Force   // to be delivered at each end, within the end's weld length
}

// DoublerFlow works out the welds of a doubler on a section. s is the section
// with the doubler, v the shear force, m the bending moment at mid-length.
func DoublerFlow(s Section, doubler Rect, v q.Force, m q.Moment) (source.Result[DoublerLoad], error) {
	const method = "doubler-flow"
	if err := positive(method, "width of the doubler", doubler.B.MM(), "thickness of the doubler", doubler.H.MM()); err != nil {
		return source.Result[DoublerLoad]{}, err
	}
	w := begin(method, "Force between doubler and part", "q = V·Q/I; Q = Ad·|yd-yc|; F = M·|yd-yc|/I·Ad",
		source.At("roark", "shear flow", source.Memory))
	ad := doubler.B.MM() * doubler.H.MM()
	arm := math.Abs((doubler.Y - s.Y).MM())
	flow := float64(v) * ad * arm / s.Ix.MM4()
	mid := float64(m) * 1e3 * arm / s.Ix.MM4()
	w.in("doubler", size(" × ", doubler.B, doubler.H), "")
	w.in("shear force", fmt.Sprintf("%s kN", num(float64(v)/1e3)), "")
	w.in("moment", fmt.Sprintf("%s kNm", num(float64(m)/1e3)), "")
	w.step("first moment", "Q = Ad·|yd-yc|", fmt.Sprintf("%s × %s", num(ad), num(arm)), ad*arm, "mm³")
	w.step("shear flow", "q = V·Q/I", fmt.Sprintf("%s × %s / %s", num(float64(v)), num(ad*arm), num(s.Ix.MM4())), flow, "N/mm")
	w.step("each side weld", "q/2", "", flow/2, "N/mm")
	w.step("stress in the middle of the doubler", "M·|yd-yc|/I", "", mid, "MPa")
	w.step("force at each end", "F = σ·Ad", fmt.Sprintf("%s × %s", num(mid), num(ad)), mid*ad, "N")
	w.why("A plate only helps with the force its end welds can put into it.", "Welds that are too short tear at the plate's end.")
	return result(w, DoublerLoad{LineForce(flow) * perMM, LineForce(flow/2) * perMM, q.Force(mid * ad)}), nil
}
