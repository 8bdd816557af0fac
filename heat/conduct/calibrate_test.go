package conduct

import (
	"context"
	"strings"
	"testing"

	q "soundmetal/quantity"
)

// A made-up truth is found again from its own readings, and one reading alone
// moves the efficiency only.
func TestCalibrate(t *testing.T) {
	truth := plateCase(0.025, 2, 10, 40e3)
	truth.Events[0] = func() Torch {
		e := truth.Events[0].(Torch)
		e.Efficiency = 0.18
		e.Until = Until{For: 8 * q.Minute}
		return e
	}()
	truth.Events[1] = wait(3600)
	truth.Env.LossFactor = 1.6
	h := mustRun(t, truth, Options{Level: Coarse})
	guess := scaled(truth, 0.30/0.18, 1)
	read := func(minutes float64) Reading {
		v, err := h.Temperature("near", q.Time(minutes*60))
		if err != nil {
			t.Fatal(err)
		}
		return Reading{At: MM(0, 75, 25), Time: q.Time(minutes * 60), T: v}
	}
	one, err := Calibrate(context.Background(), guess, []Reading{read(8)}, Options{Level: Coarse})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("one reading: %+v", one.Value)
	if len(one.Value.Fitted) != 1 || one.Value.LossFactor != 1 {
		t.Errorf("one reading fitted %v with loss %v, want the efficiency alone", one.Value.Fitted, one.Value.LossFactor)
	}
	if one.Value.After > 0.5 || one.Value.Before < 20 {
		t.Errorf("misfit %.2f K after, %.2f K before", float64(one.Value.After), float64(one.Value.Before))
	}
	if one.Value.Efficiency > 0.18 || one.Value.Efficiency < 0.14 {
		t.Errorf("efficiency %.3f, want a little below 0.18, since the loss of the case is too small", float64(one.Value.Efficiency))
	}
	three, err := Calibrate(context.Background(), guess, []Reading{read(8), read(25), read(50)}, Options{Level: Coarse})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("three readings: %+v", three.Value)
	check(t, "efficiency from three readings", float64(three.Value.Efficiency), 0.18, 0.004)
	check(t, "loss factor from three readings", float64(three.Value.LossFactor), 1.6, 0.08)
	again := mustRun(t, three.Value.Apply(guess), Options{Level: Coarse})
	check(t, "temperature predicted after the fit", float64(again.Final[0]), float64(h.Final[0]), 1)

	// a reading no torch can make stops at the bound and says so
	r := read(8)
	r.T = 1900
	off, err := Calibrate(context.Background(), guess, []Reading{r}, Options{Level: Coarse})
	if err != nil {
		t.Fatal(err)
	}
	if len(off.Value.AtBound) != 1 || !strings.Contains(strings.Join(off.Basis.Notes, " "), "bound") {
		t.Errorf("a reading of 1900 °C: %+v %v", off.Value, off.Basis.Notes)
	}
	guess.Events = guess.Events[1:]
	if _, err := Calibrate(context.Background(), guess, []Reading{r}, Options{}); err == nil {
		t.Error("a case without a torch was calibrated")
	}
}
