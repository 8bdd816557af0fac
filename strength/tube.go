package strength

// Method:   round tube with a through-wall crack around part of its girth, on the tension side
// Symbols:  R mean radius, t wall, θ half angle of the crack, M bending moment
// Formula:  A = 2Rt(π-θ); ȳ = -R·sinθ/(π-θ); I = R³t[(π-θ) - ½sin2θ] - Aȳ²
//           σtip = M(R·cosθ - ȳ)/I; ML/Mp = cos(θ/2) - ½sinθ; Mp = 4R²t·σf
// Validity: thin wall (R/t ≥ 5), 0 ≤ θ < π
// Source:   derived section; plastic moment of the BS 7910 annex P family, from memory

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// CrackedTubeState is what a cracked tube is worth.
type CrackedTubeState struct {
	Area    q.Area
	Shift   q.Length // of the centroid, away from the crack
	I       SecondMoment
	Tip     q.Stress // stress at the crack's tips
	Plastic q.Ratio  // plastic moment left over that of the sound tube
}

// CrackedTube works out a tube with a crack of half angle theta in the middle of the tension side.
func CrackedTube(outside, wall q.Length, theta q.Angle, m q.Moment) (source.Result[CrackedTubeState], error) {
	const method = "tube-crack"
	none := source.Result[CrackedTubeState]{}
	if err := positive(method, "outside diameter", outside.MM(), "wall", wall.MM()); err != nil {
		return none, err
	}
	r, t, th := (outside-wall).MM()/2, wall.MM(), float64(theta)
	if err := source.InRange(method, "mean radius over wall", r/t, 5, math.MaxFloat64, "", "use the exact section"); err != nil {
		return none, err
	}
	if err := source.InRange(method, "half angle of the crack", theta.Degrees(), 0, 179, "°", "the tube is cut through"); err != nil {
		return none, err
	}
	w := begin(method, "Tube with a crack around its girth",
		"I = R³t[(π-θ) - ½sin2θ] - Aȳ²; σtip = M(R·cosθ - ȳ)/I; ML/Mp = cos(θ/2) - ½sinθ",
		source.At("bs7910", "annex P family for ML/Mp", source.Memory))
	a := 2 * r * t * (math.Pi - th)
	y := -r * math.Sin(th) / (math.Pi - th)
	i := r*r*r*t*((math.Pi-th)-math.Sin(2*th)/2) - a*y*y
	tip := float64(m) * 1e3 * (r*math.Cos(th) - y) / i
	left := math.Cos(th/2) - math.Sin(th)/2
	w.in("tube", size(" × ", outside, wall), "")
	w.in("half angle of the crack", fmt.Sprintf("%s°", num(theta.Degrees())), "")
	w.in("moment", fmt.Sprintf("%s kNm", num(float64(m)/1e3)), "")
	w.step("mean radius", "R = (D-t)/2", "", r, "mm")
	w.step("area left", "A = 2Rt(π-θ)", fmt.Sprintf("2 × %s × %s × (π-%s)", num(r), num(t), num(th)), a, "mm²")
	w.step("shift of the centroid", "ȳ = -R·sinθ/(π-θ)", "", y, "mm")
	w.step("second moment left", "I = R³t[(π-θ) - ½sin2θ] - Aȳ²", "", i, "mm⁴")
	w.step("stress at the tips", "σtip = M(R·cosθ - ȳ)/I", "", tip, "MPa")
	w.step("plastic moment left", "ML/Mp = cos(θ/2) - ½sinθ", "", left, "1")
	w.note("nominal stress at the tip: the crack itself concentrates it further; see crack growth and fracture")
	w.why("A crack around a tube costs more strength than the metal it takes, because the rest bends off centre.",
		"The tube folds at the crack.")
	return result(w, CrackedTubeState{q.Area(a) * q.SquareMillimetre, millis(y), SecondMoment(i) * mm4, mpa(tip), q.Ratio(left)}), nil
}
