package conduct

import (
	"testing"

	q "soundmetal/quantity"
)

// twoSides is a 20 mm plate welded from one side, gouged from the other and
// welded there: z = 0 is the face of the second side.
func twoSides(start q.Temperature) Case {
	const mm = q.Millimetre
	c := Case{Body: Plate(300*mm, 240*mm, 20*mm), Start: start, Env: Environment{Air: start},
		Probes: []Probe{{"far", MM(0, 60, 0)}, {"near", MM(0, 60, 20)}}}
	c.Body.Groove = &Groove{From: -40 * mm, To: 40 * mm, Outline: []Corner2{{-4 * mm, 10 * mm}, {4 * mm, 10 * mm}, {8 * mm, 20 * mm}, {-8 * mm, 20 * mm}}}
	second := Groove{From: -40 * mm, To: 40 * mm, Outline: []Corner2{{-4 * mm, 10 * mm}, {4 * mm, 10 * mm}, {8 * mm, 0}, {-8 * mm, 0}}}
	lay := func(z float64) Bead {
		return Bead{From: MM(-40, 0, z), To: MM(40, 0, z), Speed: 2.5e-3, Power: 3000}
	}
	c.Events = []Event{lay(13), Wait{Until: Until{For: 60}}, lay(18), Wait{Until: Until{For: 600}},
		Gouge{Name: "back-gouge", Groove: second}, Wait{Until: Until{For: 60}},
		lay(7), Wait{Until: Until{For: 60}}, lay(2), Wait{Until: Until{For: 600}}}
	return c
}

// Gouging keeps the balance, less what went with the steel; the beads after it
// fill what was taken, and no bead of the first side does.
func TestGouge(t *testing.T) {
	for _, level := range []Level{Coarse, Working} {
		c := twoSides(60)
		h := mustRun(t, c, Options{Level: level, Section: &SectionOrder{Every: 5}})
		most := 0.1
		if level == Coarse { // short and hot: as much without the gouging
			most = 0.2
		}
		check(t, level.String()+" imbalance, %", 100*float64(h.Ledger.Imbalance()), 0, most)
		if h.Ledger.Removed <= 0 {
			t.Error("no heat went with the steel")
		}
		sec := h.Section
		ny := len(sec.YEdges) - 1
		count := map[int]int{}
		for i, by := range sec.LaidBy {
			z := (sec.ZEdges[i/ny] + sec.ZEdges[i/ny+1]) / 2
			if by < 0 {
				continue
			}
			count[by]++
			if (by < 2) != (z > 10*q.Millimetre) {
				t.Errorf("%s: bead %d fills a cell at %.1f mm", level, by+1, z.MM())
			}
			if int(sec.Laid[i]) < int(h.Beads[by].Start) || sec.Laid[i] > h.Beads[by].End {
				t.Errorf("%s: a cell of bead %d is laid at %.0f s", level, by+1, float64(sec.Laid[i]))
			}
		}
		if len(count) != 4 {
			t.Errorf("%s: %d beads in the section, want 4", level, len(count))
		}
	}
}

// The second side of a part even about its middle cools as the first did, where
// both begin at one temperature: a bead does not know that its groove was solid.
func TestGougedSideIsTheFirst(t *testing.T) {
	c := twoSides(60)
	c.Events[3] = Wait{Until: Until{For: 40 * q.Hour}} // back to the air's 60 °C
	h := mustRun(t, c, Options{})
	for i := range 2 {
		a, errA := h.CoolingTime(i)
		b, errB := h.CoolingTime(i + 2)
		if errA != nil || errB != nil {
			t.Logf("bead %d: %v %v", i+1, errA, errB)
			continue
		}
		check(t, "t8/5 of the second side over the first", float64(b.Value.Mean/a.Value.Mean), 1, 0.1)
	}
}

func TestGougeRefused(t *testing.T) {
	c := twoSides(20)
	c.Events[4] = Gouge{}
	if _, err := Run(t.Context(), c, Options{Level: Coarse}); err == nil {
		t.Error("a groove without corners: accepted")
	}
}
