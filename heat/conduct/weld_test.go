package conduct

import (
	"context"
	"math"
	"testing"

	q "soundmetal/quantity"
)

// A blanket holds the heat. An evenly warm plate under it on both faces cools as
// a lump with 1/U = 1/3.2 + 1/(h + hr); off again, it cools as if never covered.
func TestBlanket(t *testing.T) {
	bare := Case{Body: HalfPlate(0.5, 0.5, 0.025), Start: 150, Env: Environment{Air: 5, Wind: 3},
		Surfaces: []Surface{{Where: Side(XLow), Insulated: true}, {Where: Side(XHigh), Insulated: true}, {Where: Side(YHigh), Insulated: true}},
		Probes:   []Probe{{"far", At(0, 0.1, 0)}},
		Events:   []Event{Wait{Until: Until{For: 12 * q.Hour, Probes: []string{"far"}, AtMost: q.Known[q.Temperature](100)}}}}
	cover := Blanket{Where: []Region{Side(ZHigh), Side(ZLow)}}
	covered := bare
	covered.Events = []Event{cover, bare.Events[0]}
	off := bare
	off.Events = []Event{cover, Blanket{Off: true}, Weather{Env: bare.Env}, bare.Events[0]}
	time := func(c Case) float64 {
		h := mustRun(t, c, Options{Level: Coarse})
		check(t, "balance, %", 100*float64(h.Ledger.Imbalance()), 0, 0.1)
		m := h.Marks[len(h.Marks)-1]
		return float64(m.To - m.From)
	}
	b, k := time(bare), time(covered)
	t.Logf("150 to 100 °C bare %.0f min, covered %.0f min", b/60, k/60)
	const rcd = 7850 * 500 * 0.025 / 2 // J/m²K for each face at about 125 °C
	lump := func(film float64) float64 { return rcd / film * math.Log((150-5)/(100-5.0)) }
	check(t, "covered, s", k, lump(1/(1/3.2+1/(16+4.5))), 0.06*k)
	check(t, "bare, s", b, lump(16+radiate(0.7*stefanBoltzmann, 125, 5)), 0.06*b)
	check(t, "blanket taken off at once, s", time(off), b, 1)
}

// Sweeping to and fro quickly is the flame spread along its path.
func TestMovingFlameIsTheSpreadFlame(t *testing.T) {
	c := plateCase(0.025, 2, 10, 40e3)
	spread := mustRun(t, c, Options{})
	torch := c.Events[0].(Torch)
	torch.Speed = 40e-3
	c.Events = []Event{torch, c.Events[1]}
	moving := mustRun(t, c, Options{FlameStep: 0.5})
	a, b := float64(spread.Marks[0].To), float64(moving.Marks[0].To)
	check(t, "time to 120 °C on the far face, s", b, a, 0.03*a)
	check(t, "balance of the moving flame, %", 100*float64(moving.Ledger.Imbalance()), 0, 0.1)
}

// The control rule: wait above the ceiling, heat below the floor, and say so.
func TestHold(t *testing.T) {
	const mm = q.Millimetre
	torch := Torch{Face: ZHigh, Path: []Point{MM(-60, 0, 12), MM(60, 0, 12)}, Power: 40e3, Efficiency: 0.25, Radius: 45 * mm, Until: Until{For: 1}}
	hold := &Hold{Probes: []string{"read"}, Floor: q.Known[q.Temperature](100), Ceiling: q.Known[q.Temperature](160), Reheat: &torch}
	bead := Bead{From: MM(-50, 0, 12), To: MM(50, 0, 12), Speed: 2.5e-3, Power: 3000, Hold: hold}
	c := Case{Body: Plate(300*mm, 200*mm, 12*mm), Start: 10, Env: Environment{Air: 10},
		Probes: []Probe{{"read", MM(0, 40, 0)}},
		Events: []Event{bead, bead, bead, wait(1200), bead}}
	h := mustRun(t, c, Options{})
	for i, b := range h.Beads {
		t.Logf("bead %d asked %.0f waited %.0f reheated %.0f start %.0f at %.1f °C", i+1, b.Asked, b.Waited, b.Reheated, b.Start, b.Before[0].C())
		if v := b.Before[0].C(); v < 99.9 || v > 160.1 {
			t.Errorf("bead %d laid at %.1f °C, outside 100 to 160 °C", i+1, v)
		}
		if !b.Ready {
			t.Errorf("bead %d is marked not ready", i+1)
		}
	}
	if h.Beads[0].Reheated == 0 || h.Beads[0].Waited != 0 {
		t.Errorf("bead 1 on cold steel: waited %v reheated %v", h.Beads[0].Waited, h.Beads[0].Reheated)
	}
	if h.Beads[2].Waited == 0 {
		t.Errorf("bead 3 did not wait for the ceiling")
	}
	if h.Beads[3].Reheated == 0 || h.Ledger.Gross == 0 {
		t.Errorf("bead 4 after a pause was not reheated: %+v", h.Beads[3])
	}
	hold.Reheat = nil
	cold := mustRun(t, c, Options{})
	if cold.Beads[0].Ready {
		t.Error("without a torch the first bead cannot be ready, and is not marked")
	}
}

// Beads fill the groove: nothing is left open, and each has its own cells.
func TestBeadsFillTheGroove(t *testing.T) {
	c := repair12()
	r, err := newRunner(context.Background(), &c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	g := c.Body.Groove
	open0 := 0.0
	for cell, st := range r.s.state {
		if st == open {
			i, j, k := r.s.g.ijk(cell)
			open0 += r.s.volume(i, j, k)
		}
	}
	want := float64(g.Area()) * float64(g.To-g.From)
	check(t, "volume of the groove on the grid, m³", open0, want, 0.12*want)
	if _, err := r.all(); err != nil {
		t.Fatal(err)
	}
	for cell, st := range r.s.state {
		if st == open {
			t.Fatalf("cell %d is still open after the last bead", cell)
		}
	}
	for n, f := range r.fills {
		if len(f) == 0 {
			t.Errorf("bead %d fills no cell", n+1)
		}
	}
}
