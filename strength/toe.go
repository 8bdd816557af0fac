package strength

// Method:   factor Mk on the stress intensity of a crack at a weld toe
// Symbols:  z = depth/t, L length of the attachment's footprint with its weld toes, t thickness
// Formula:  axial L/t ≤ 2: z ≤ 0.05(L/t)^0.55: 0.51(L/t)^0.27·z^-0.31; else 0.83·z^(-0.15(L/t)^0.46)
//           axial L/t > 2: z ≤ 0.073: 0.615·z^-0.31; else 0.83·z^-0.20
//           bending L/t ≤ 1: z ≤ 0.03(L/t)^0.55: 0.45(L/t)^0.21·z^-0.31; else 0.68·z^(-0.19(L/t)^0.21)
//           bending L/t > 1: z ≤ 0.03: 0.45·z^-0.31; else 0.68·z^-0.19; never below 1
// Validity: toe angle 45°; at the surface tips with a depth of 0.15 mm
// Source:   JCSS fatigue models (form of PD 6493)

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const toeTip = 0.15 // mm: depth at which the factor of the surface tips is read (JCSS)

func mkAxial(z, lt float64) float64 {
	if lt > 2 {
		if z <= 0.073 {
			return math.Max(1, 0.615*math.Pow(z, -0.31))
		}
		return math.Max(1, 0.83*math.Pow(z, -0.20))
	}
	if z <= 0.05*math.Pow(lt, 0.55) {
		return math.Max(1, 0.51*math.Pow(lt, 0.27)*math.Pow(z, -0.31))
	}
	return math.Max(1, 0.83*math.Pow(z, -0.15*math.Pow(lt, 0.46)))
}

func mkBending(z, lt float64) float64 {
	if lt > 1 {
		if z <= 0.03 {
			return math.Max(1, 0.45*math.Pow(z, -0.31))
		}
		return math.Max(1, 0.68*math.Pow(z, -0.19))
	}
	if z <= 0.03*math.Pow(lt, 0.55) {
		return math.Max(1, 0.45*math.Pow(lt, 0.21)*math.Pow(z, -0.31))
	}
	return math.Max(1, 0.68*math.Pow(z, -0.19*math.Pow(lt, 0.21)))
}

// ToeFactor gives Mk at a depth below the surface; bending chooses the factor
// of the bending part of the stress.
func ToeFactor(depth, thickness, footprint q.Length, bending bool) (source.Result[q.Ratio], error) {
	const method = "toe-factor"
	none := source.Result[q.Ratio]{}
	d, t, l := depth.MM(), thickness.MM(), footprint.MM()
	if err := positive(method, "depth", d, "thickness", t, "footprint", l); err != nil {
		return none, err
	}
	if err := source.InRange(method, "depth over thickness", d/t, 0, 1, "", "the crack is through"); err != nil {
		return none, err
	}
	w := begin(method, "Weld toe factor Mk", "Mk from L/t and z = a/t, at least 1", source.At("jcss", "fatigue models (form of PD 6493)", source.Read))
	mk := mkAxial(d/t, l/t)
	if bending {
		mk = mkBending(d/t, l/t)
	}
	w.in("depth, thickness, footprint", size(", ", depth, thickness, footprint), "")
	w.step("z", "a/t", fmt.Sprintf("%s / %s", num(d), num(t)), d/t, "1")
	w.step("Mk", "", "", mk, "1")
	w.note("toe angle of 45°; a smoother toe has less")
	w.why("The toe of a weld bends the stress around itself; a shallow crack there is pulled twice as hard.",
		"A crack at a toe is taken to be as slow as one in plain plate.")
	return result(w, q.Ratio(mk)), nil
}
