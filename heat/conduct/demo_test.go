package conduct

import (
	"fmt"

	q "soundmetal/quantity"
)

// repair12 is the case of the benchmarks: a crack of 160 mm gouged out of a
// 25 mm plate of 700 × 500 mm, a 60° groove, 20 minutes of flame, twelve beads
// of covered rod under a floor of 110 and a ceiling of 200 °C, and two hours of
// cooling. Invented for this purpose.
func repair12() Case {
	const t = 25 * q.Millimetre
	body := Plate(700*q.Millimetre, 500*q.Millimetre, t)
	body.Groove = Vee(-80*q.Millimetre, 80*q.Millimetre, t, 4*q.Millimetre, 3*q.Millimetre, 50*q.Degree)
	torch := Torch{
		Name: "preheat", Face: ZHigh, Path: []Point{MM(-130, 45, 25), MM(130, 45, 25), MM(130, -45, 25), MM(-130, -45, 25)},
		Power: 12 * q.Kilowatt, Efficiency: 0.2, Radius: 45 * q.Millimetre,
		Until: Until{For: 20 * q.Minute},
	}
	c := Case{
		Body: body, Start: 5, Env: Environment{Air: 5, Wind: 3, Skin: Scaled},
		Probes: []Probe{
			{"far +75", MM(0, 75, 0)}, {"far -75", MM(0, -75, 0)}, {"near +75", MM(0, 75, 25)},
			{"near -75", MM(0, -75, 25)}, {"end +75", MM(155, 0, 0)}, {"end -75", MM(-155, 0, 0)},
			{"root", MM(0, 12, 3)}, {"edge", MM(0, 20, 25)},
		},
		Events: []Event{torch},
	}
	lines := [][2]float64{{0, 4.5}, {0, 8}, {-2.5, 12}, {2.5, 12}, {-3.5, 16}, {3.5, 16}, {-6, 20}, {0, 20}, {6, 20}, {-8, 24}, {0, 24}, {8, 24}}
	for i, l := range lines {
		c.Events = append(c.Events,
			Bead{Name: fmt.Sprintf("bead %d", i+1), From: MM(-80, l[0], l[1]), To: MM(80, l[0], l[1]),
				Speed: 150 * q.MillimetrePerMinute, Power: 24 * 150 * 0.8, PerRod: 110 * q.Millimetre, Change: 25,
				Hold: &Hold{Probes: []string{"edge", "far +75"}, Ceiling: q.Known[q.Temperature](200), Longest: 30 * q.Minute}},
			Wait{Name: "chip", Until: Until{For: 60}})
	}
	c.Events = append(c.Events, Wait{Name: "cool", Until: Until{For: 2 * q.Hour}})
	return c
}
