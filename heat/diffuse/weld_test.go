package diffuse

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	q "soundmetal/quantity"

	"soundmetal/heat/conduct"
)

// weld is a groove of four beads in a plate, warm or cold, left for half a day.
func weld(t testing.TB, start q.Temperature, blanket bool) conduct.History {
	const mm = q.Millimetre
	body := conduct.Plate(300*mm, 240*mm, 16*mm)
	body.Groove = conduct.Vee(-40*mm, 40*mm, 16*mm, 4*mm, 2*mm, 50*q.Degree)
	c := conduct.Case{Body: body, Start: start, Env: conduct.Environment{Air: 10, Wind: 2}}
	for i, l := range [][2]float64{{0, 4}, {0, 8}, {-3, 13}, {3, 13}} {
		c.Events = append(c.Events,
			conduct.Bead{Name: fmt.Sprint("bead ", i+1), From: conduct.MM(-40, l[0], l[1]), To: conduct.MM(40, l[0], l[1]), Speed: 2.5e-3, Power: 2700},
			conduct.Wait{Until: conduct.Until{For: 60}})
	}
	if blanket {
		c.Events = append(c.Events, conduct.Blanket{Where: []conduct.Region{conduct.Side(conduct.ZHigh), conduct.Side(conduct.ZLow)}})
	}
	c.Events = append(c.Events, conduct.Wait{Until: conduct.Until{For: 12 * q.Hour}})
	h, err := conduct.Run(context.Background(), c, conduct.Options{Level: conduct.Coarse, Section: &conduct.SectionOrder{X: 0, Every: 2}})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func left(t testing.TB, h conduct.History) Band {
	s, err := FromSection(h.Section, q.Millimetre, false)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Run(context.Background(), Case{s, OfSection(h.Section), h.Times[len(h.Times)-1]})
	if err != nil {
		t.Fatal(err)
	}
	return b.Value
}

// Coupled to a simulated weld: preheated and covered keeps less than cold and
// bare, the slow side keeps more than the fast, and nothing exceeds what a bead brings.
func TestWeld(t *testing.T) {
	cold := left(t, weld(t, 10, false))
	warm := left(t, weld(t, 150, false))
	covered := left(t, weld(t, 150, true))
	t.Logf("peak left after 12 h: cold %.3f to %.3f, preheated %.3f to %.3f, and covered %.3f to %.3f",
		cold.EndPeak().Low, cold.EndPeak().High, warm.EndPeak().Low, warm.EndPeak().High, covered.EndPeak().Low, covered.EndPeak().High)
	if !(covered.EndPeak().Low < warm.EndPeak().Low && warm.EndPeak().Low < cold.EndPeak().Low) {
		t.Error("preheat and a blanket do not lower the peak")
	}
	for _, b := range []Band{cold, warm, covered} {
		if b.EndPeak().Low >= b.EndPeak().High || b.EndMean().Low >= b.EndMean().High {
			t.Errorf("the sides of the band do not differ: %+v %+v", b.EndPeak(), b.EndMean())
		}
		for _, h := range []History{b.Fast, b.Slow} {
			for i := range h.Times {
				if h.Peak[i] > 1.0005 || h.Mean[i] > 1.0005 || h.Peak[i] < 0 || h.Mean[i] < 0 {
					t.Fatalf("at %.0f s peak %.4f mean %.4f", float64(h.Times[i]), h.Peak[i], h.Mean[i])
				}
			}
		}
	}
	if cold.Fast.Steps < 20 {
		t.Errorf("only %d steps", cold.Fast.Steps)
	}
}

// Post-heating after the weld: hotter is quicker, and a lower peak takes longer.
func TestPostHeatOfAWeld(t *testing.T) {
	h := weld(t, 100, false)
	s, err := FromSection(h.Section, q.Millimetre, false)
	if err != nil {
		t.Fatal(err)
	}
	end := h.Marks[len(h.Marks)-1].From // before the long wait
	c := Case{s, OfSection(h.Section), end}
	post := func(temp q.Temperature, peak q.Ratio) q.Of[q.Time] {
		p, err := PostHeat(context.Background(), c, temp, peak)
		if err != nil {
			t.Fatal(err)
		}
		return p.Value
	}
	a, b, d := post(200, 0.3), post(250, 0.3), post(250, 0.1)
	t.Logf("to 30 %% at 200 °C %.2f to %.2f h, at 250 °C %.2f to %.2f h; to 10 %% at 250 °C %.2f to %.2f h",
		a.Low.Hours(), a.High.Hours(), b.Low.Hours(), b.High.Hours(), d.Low.Hours(), d.High.Hours())
	if !(b.Low < a.Low && b.High < a.High && d.Low > b.Low) {
		t.Error("hotter is not quicker, or a lower peak not slower")
	}
	// the weld's charge is local: quicker than the evenly charged plate of 16 mm,
	// whose centre falls to 30 % at Fo 0.1465
	even := 0.1465 * 0.016 * 0.016 / 6.445e-9
	if float64(b.Low) > even {
		t.Errorf("%.0f s for a local charge, %.0f s for an even one", float64(b.Low), even)
	}
}

// Hydrogen only leaves: without a new bead the mean never rises, whatever the
// temperatures do, and a warmer history never leaves more.
func TestOnlyLeaves(t *testing.T) {
	p, err := Bar(0.012, 0.02, 0.002)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		times, temps, warmer := []q.Time{0}, []q.Temperature{}, []q.Temperature{}
		for i := range rapid.IntRange(1, 6).Draw(rt, "points") {
			if i > 0 {
				times = append(times, times[i-1]+q.Time(rapid.Float64Range(10, 7200).Draw(rt, "s")))
			}
			v := q.Temperature(rapid.Float64Range(-20, 400).Draw(rt, "°C"))
			temps, warmer = append(temps, v), append(warmer, v+30)
		}
		end := times[len(times)-1] + 3600
		mean := func(v []q.Temperature) []q.Ratio {
			u, err := Uniform(times, v)
			if err != nil {
				rt.Fatal(err)
			}
			b, err := Run(context.Background(), Case{p, u, end})
			if err != nil {
				rt.Fatal(err)
			}
			return b.Value.Fast.Mean
		}
		a := mean(temps)
		for i := 1; i < len(a); i++ {
			if a[i] > a[i-1]+1e-12 {
				rt.Fatalf("mean rises from %v to %v", a[i-1], a[i])
			}
		}
		if w := mean(warmer); w[len(w)-1] > a[len(a)-1]+1e-3 {
			rt.Fatalf("30 K warmer leaves %v instead of %v", w[len(w)-1], a[len(a)-1])
		}
	})
}

func TestWrongCases(t *testing.T) {
	bar, _ := Bar(0.01, 0.01, 0.001)
	u, _ := Uniform([]q.Time{0}, []q.Temperature{100})
	for name, c := range map[string]Case{
		"no shape": {Temperature: u, End: 1}, "no temperature": {Shape: bar, End: 1}, "no end": {Shape: bar, Temperature: u},
	} {
		if _, err := Run(context.Background(), c); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, err := FromSection(nil, 0.001, false); err == nil {
		t.Error("no section: accepted")
	}
	if _, err := Uniform([]q.Time{2, 1}, []q.Temperature{1, 1}); err == nil {
		t.Error("times that fall: accepted")
	}
	if _, err := Bar(1, 1, 1e-5); err == nil {
		t.Error("ten thousand million cells: accepted")
	}
	if _, err := PostHeat(context.Background(), Case{Shape: bar}, 250, 0); err == nil {
		t.Error("down to nothing: accepted")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, Case{bar, u, 1e6}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want cancelled", err)
	}
}
