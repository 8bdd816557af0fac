package strength

// Method:   torsion of a closed box (Bredt) and of the same box cut open along its length
// Formula:  closed: shear flow = T/(2Am); J = 4Am²/Σ(s/t); open: J = Σbt³/3; τ = T·tmax/J
//           s along the wall mid-lines, Am the area inside them
// Validity: thin walls, free warping
// Source:   roark, from memory

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// TorsionState compares a closed box with the same box cut open.
type TorsionState struct {
	Enclosed   q.Area
	JClosed    SecondMoment
	JOpen      SecondMoment
	Flow       LineForce // τ·t in the closed box
	ShearOpen  q.Stress  // in the thickest wall of the box cut open
	SofterTime q.Ratio   // JClosed / JOpen: how many times softer the cut box is
}

// BoxTorsion works out a box under a twisting moment, whole and cut open by a long crack.
func BoxTorsion(p Profile, t q.Moment) (source.Result[TorsionState], error) {
	const method = "torsion"
	if p.Shape != job.Box {
		return source.Result[TorsionState]{}, fmt.Errorf("%s: shape %q is not a closed box", method, p.Shape)
	}
	if err := p.check(true, true); err != nil {
		return source.Result[TorsionState]{}, err
	}
	w := begin(method, "Torsion: closed box against the box cut open", "τt = T/(2Am); J = 4Am²/Σ(s/t); open: J = Σbt³/3",
		source.At("roark", "torsion of thin-walled sections", source.Memory))
	b, h := p.webSpacing().MM(), (p.Depth - p.Flange).MM() // to the mid-lines
	tf, tw := p.Flange.MM(), p.Web.MM()
	am := b * h
	closed := 4 * am * am / (2*b/tf + 2*h/tw)
	open := (2*p.Width.MM()*tf*tf*tf + 2*(p.Depth-2*p.Flange).MM()*tw*tw*tw) / 3
	moment := float64(t) * 1e3 // N·mm
	flow, shear := moment/(2*am), moment*max(tf, tw)/open
	w.in("shape", p.text(), "")
	w.in("twisting moment", fmt.Sprintf("%s kNm", num(float64(t)/1e3)), "")
	w.step("area inside the mid-lines", "Am = b·h", fmt.Sprintf("%s × %s", num(b), num(h)), am, "mm²")
	w.step("closed", "J = 4Am²/Σ(s/t)", "", closed, "mm⁴")
	w.step("shear flow, closed", "τt = T/(2Am)", "", flow, "N/mm")
	w.step("open", "J = Σbt³/3", "", open, "mm⁴")
	w.step("shear stress, open", "τ = T·tmax/J", "", shear, "MPa")
	w.step("softer by", "J closed / J open", "", closed/open, "times")
	w.why("A long crack along one wall turns a stiff box into an open channel that twists hundreds of times more.",
		"The box twists, and its welds and pins take what they were never made for.")
	return result(w, TorsionState{q.Area(am) * q.SquareMillimetre, SecondMoment(closed) * mm4, SecondMoment(open) * mm4,
		LineForce(flow) * perMM, mpa(shear), q.Ratio(closed / open)}), nil
}
