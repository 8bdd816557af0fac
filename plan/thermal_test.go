package plan_test

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// warmed asks for the heat of a job at the coarse level.
func warmed(t testing.TB, j job.Job, shop *job.Shop) plan.ThermalItem {
	t.Helper()
	a, err := plan.Thermal(context.Background(), j, shop, q.SI, plan.ThermalAsk{Level: conduct.Coarse})
	if err != nil {
		t.Fatal(err)
	}
	return a.Items[0]
}

// figureOf gives the middle of a figure of the item, its ends and whether it is there.
func figureOf(it plan.ThermalItem, id string) (low, high float64, ok bool) {
	a := plan.ThermalAnswer{Items: []plan.ThermalItem{it}}
	f, err := a.Find(id)
	switch {
	case err != nil:
		return 0, 0, false
	case f.Value != nil:
		return *f.Value, *f.Value, true
	}
	return *f.Low, *f.High, true
}

func must(t testing.TB, it plan.ThermalItem, id string) (low, high float64) {
	t.Helper()
	low, high, ok := figureOf(it, id)
	if !ok {
		t.Fatalf("no figure %s", id)
	}
	return low, high
}

// A plate of structural steel that has to be warmed. The demo's torch of 40 kW.
var kit = &job.Shop{Torches: []job.Torch{{Kind: "oxy-propane", Power: q.Known(40 * q.Kilowatt)}},
	Bottles: []job.Bottle{{Gas: "propane", Size: q.Known(45 * q.Kilogram), Left: q.Known[q.Ratio](0.6)}}}

// mildDay is the weather of warmTurner.
const mildDay = "air: 12 C, steel: 12 C, wind: 5 km/h"

// warmTurner is the invented compost turner, thicker, with a short crack.
func warmTurner(t testing.TB, weather string) job.Job {
	return turned(t, "thickness: 20 mm", "thickness: 30 mm", "length: 40 mm", "length: 20 mm", "air: 12 C, steel: 12 C", weather)
}

// A night at −12 °C with 20 mph of wind: longer under the torch, shorter above the
// floor, colder sooner, more gas. By how much: the torch has (floor + 12)/(floor −
// 12) times the rise to make, and the film h = 4 + 4v goes from 10 to 40 W/m²K
// (ISO 6946), which a flame of ten times the loss feels by some percent more.
func TestColdWindyNight(t *testing.T) {
	mild := warmed(t, warmTurner(t, mildDay), kit)
	few := *kit
	few.Bottles = []job.Bottle{{Gas: "propane", Size: q.Known(9 * q.Kilogram), Left: q.Known[q.Ratio](0.4)}}
	night := warmed(t, warmTurner(t, "air: -12 C, steel: -12 C, wind: 20 mph"), &few)
	reachMild, _ := must(t, mild, "warm.reach")
	reachNight, _ := must(t, night, "warm.reach")
	floor := float64(mild.Chart.Floor)
	if float64(night.Chart.Floor) < floor {
		t.Fatalf("the night asks for %v, the mild day for %v", night.Chart.Floor, floor)
	}
	rise := (float64(night.Chart.Floor) + 12) / (floor - 12)
	ratio := reachNight / reachMild
	t.Logf("floor %.0f °C: %.0f s mild, %.0f s on the night, %.2f times; the rise alone %.2f", floor, reachMild, reachNight, ratio, rise)
	if ratio < 0.98*rise || ratio > 1.8*rise {
		t.Errorf("torch %.2f times as long, want %.2f (the rise alone) to %.2f", ratio, rise, 1.8*rise)
	}
	for _, r := range []struct {
		id        string
		low, high float64 // night over mild
	}{{"warm.gas", 1.1, 3}, {"warm.stands", 0.1, 0.9}, {"cool.bare", 0.15, 0.9}} {
		_, a := must(t, mild, r.id)
		_, b := must(t, night, r.id)
		t.Logf("%s: mild %.4g, night %.4g", r.id, a, b)
		if b/a < r.low || b/a > r.high {
			t.Errorf("%s: %.2f times on the night, want %.2f to %.2f", r.id, b/a, r.low, r.high)
		}
	}
	// No less torch than the heat of the band, by the heat content of EN 1993-1-2
	// (0.5 kJ/kgK in the mean from 20 to 200 °C), at the efficiency of the strongest
	// flame; no more than
	// eight times that: the spot of a short crack warms the plate round it too.
	low, high := must(t, mild, "warm.torch")
	const band, thick, long = 0.075, 0.030, 0.020
	mass := (long + 2*band) * 2 * band * thick * 7850
	least := mass * 500 * (floor - 12) / (40e3 * 0.40)
	if low < least || high > 8*least {
		t.Errorf("torch %.0f to %.0f s, want within %.0f and %.0f s", low, high, least, 8*least)
	}
	covered, _ := must(t, mild, "cool.covered")
	if bare, _ := must(t, mild, "cool.bare"); covered < bare {
		t.Errorf("the blanket shortens the cooling: %.0f s, bare %.0f s", covered, bare)
	}
	// A bottle that cannot give the draw at −12 °C says how many are needed.
	a := plan.ThermalAnswer{Items: []plan.ThermalItem{night}}
	if f, err := a.Find("warm.bottles"); err != nil || !strings.Contains(f.Text, "NOT enough: needs ") {
		t.Errorf("a small bottle at −12 °C: %q, %v", f.Text, err)
	}
}

// Floor and ceiling are kept before every bead that is not marked otherwise, and
// the beads stand in the order of the plan, each after the one before.
func TestBeadsKeepTheWindow(t *testing.T) {
	for name, j := range map[string]job.Job{"arm": readJob(t, "arm.yaml", demoFile(t, "blade-arm.yaml"))} {
		it := warmed(t, j, kit)
		p, err := plan.Make(j, kit, q.SI)
		if err != nil {
			t.Fatal(err)
		}
		if len(it.Beads) != len(p.Items[0].Beads) || len(it.Beads) == 0 {
			t.Fatalf("%s: %d beads, the plan has %d", name, len(it.Beads), len(p.Items[0].Beads))
		}
		window := p.Items[0].Heat
		last := q.Time(-1)
		for i, b := range it.Beads {
			if b.Number != p.Items[0].Beads[i].Number || b.Side != p.Items[0].Beads[i].Side {
				t.Errorf("%s: bead %d is %+v", name, i+1, b)
			}
			if b.Start <= last {
				t.Errorf("%s: bead %d begins at %v, the one before at %v", name, b.Number, b.Start, last)
			}
			last = b.Start
			const hair = 0.1 // K
			if b.Ready && (b.Coldest < window.Floor-hair || window.Ceiling > 0 && b.Hottest > window.Ceiling+hair) {
				t.Errorf("%s: bead %d is laid at %.1f to %.1f °C, window %.1f to %.1f", name, b.Number, b.Coldest.C(), b.Hottest.C(), window.Floor.C(), window.Ceiling.C())
			}
		}
	}
}

func TestReadHeat(t *testing.T) {
	for text, want := range map[string]plan.HeatReading{
		"8min: 90C at 75mm":       {Time: 8 * q.Minute, T: 90, At: 75 * q.Millimetre},
		"8: 194F at 3in far":      {Time: 8 * q.Minute, T: q.Fahrenheit(194), At: 3 * q.Inch, Far: true},
		"90s: 60 C at 2 in near":  {Time: 90, T: 60, At: 2 * q.Inch},
		"10 min: 100 °C at 75 mm": {Time: 10 * q.Minute, T: 100, At: 75 * q.Millimetre},
	} {
		got, err := plan.ReadHeat(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		near := cmp.Comparer(func(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 })
		if d := cmp.Diff([]float64{float64(want.Time), float64(want.T), float64(want.At)}, []float64{float64(got.Time), float64(got.T), float64(got.At)}, near); d != "" || got.Far != want.Far {
			t.Errorf("%q: %s far %v", text, d, got.Far)
		}
	}
	for _, text := range []string{"", "90C at 75mm", "8min: 90 at 75mm", "8min: 90C", "8min: 90C at far", "-3min: 90C at 75mm", "8min: 9000C at 75mm"} {
		if _, err := plan.ReadHeat(text); err == nil || !strings.Contains(err.Error(), "8min: 90C at 75mm") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// What may not be touched gets no figure, no bead and no chart.
func TestHeatRefused(t *testing.T) {
	a, err := plan.Thermal(context.Background(), readJob(t, "fork.yaml", demoFile(t, "fork.yaml")), demoShop(t), q.US, plan.ThermalAsk{})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Figures()) != 0 || a.Items[0].Chart != nil || len(a.Items[0].Beads) != 0 {
		t.Errorf("a load fork has %d figures", len(a.Figures()))
	}
}

// The answer is the same every time, tells its progress, stops when asked, and
// goes into JSON.
func TestHeatRuns(t *testing.T) {
	j := turned(t)
	told := 0
	ask := plan.ThermalAsk{Level: conduct.Coarse, Progress: func(plan.ThermalProgress) { told++ }}
	var first []byte
	for range 2 {
		a, err := plan.Thermal(context.Background(), j, kit, q.SI, ask)
		if err != nil {
			t.Fatal(err)
		}
		data, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = data
		} else if string(first) != string(data) {
			t.Error("the same question has two answers")
		}
	}
	if told == 0 {
		t.Error("no progress was told")
	}
	ctx, cancel := context.WithCancel(context.Background())
	ask.Progress = func(plan.ThermalProgress) { cancel() }
	if _, err := plan.Thermal(ctx, j, kit, q.SI, ask); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := plan.Thermal(context.Background(), j, kit, q.SI, plan.ThermalAsk{Item: 7}); err == nil {
		t.Error("item 7 of one: accepted")
	}
}
