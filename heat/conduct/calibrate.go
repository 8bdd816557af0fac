package conduct

// Calibration by the welder's own readings: the efficiency of his torch, and the
// loss factor where a reading can tell the two apart.
//
// Bounded Gauss-Newton on the logarithms of the two factors, slopes by running
// the case again with each a little larger. One reading fits the efficiency
// only. Two and more fit the loss too where they respond to it differently.

import (
	"context"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Reading is what the welder measured.
type Reading struct {
	At   Point
	Time q.Time // from the start of the case
	T    q.Temperature
}

// Calibration is what the readings say.
type Calibration struct {
	Efficiency q.Ratio // of the first torch; the others change in proportion
	Scale      q.Ratio // new efficiency over old
	LossFactor q.Ratio
	Fitted     []string   // "efficiency", "loss factor"
	AtBound    []string   // fitted but stopped by its bounds: doubt the reading or the case
	Before     q.TempDiff // root mean square misfit as assumed
	After      q.TempDiff // and as fitted
	Runs       int
}

// Apply gives the case with the calibrated figures.
func (k Calibration) Apply(c Case) Case { return scaled(c, float64(k.Scale), float64(k.LossFactor)) }

// scaled copies a case with other efficiencies and loss.
func scaled(c Case, torch, loss float64) Case {
	events := make([]Event, len(c.Events))
	for i, e := range c.Events {
		switch e := e.(type) {
		case Torch:
			e.Efficiency *= q.Ratio(torch)
			events[i] = e
		case Bead:
			if e.Hold != nil && e.Hold.Reheat != nil {
				h, t := *e.Hold, *e.Hold.Reheat
				t.Efficiency *= q.Ratio(torch)
				h.Reheat = &t
				e.Hold = &h
			}
			events[i] = e
		case Weather:
			e.Env.LossFactor = q.Ratio(loss)
			events[i] = e
		default:
			events[i] = e
		}
	}
	c.Events = events
	c.Env.LossFactor = q.Ratio(loss)
	return c
}

// RunUntil computes a case up to a time and leaves out what comes after.
func RunUntil(ctx context.Context, c Case, end q.Time, o Options) (History, error) {
	r, err := newRunner(ctx, &c, o)
	if err != nil {
		return History{}, err
	}
	r.stop = float64(end)
	return r.all()
}

// Calibrate fits the torch efficiency and the loss factor of a case to readings.
func Calibrate(ctx context.Context, c Case, readings []Reading, o Options) (source.Result[Calibration], error) {
	var none source.Result[Calibration]
	first := q.Ratio(0)
	for _, e := range c.Events {
		if t, ok := e.(Torch); ok {
			first = t.Efficiency
			break
		}
	}
	if first == 0 {
		return none, fmt.Errorf("a calibration needs a torch in the case")
	}
	if len(readings) == 0 {
		return none, fmt.Errorf("a calibration needs at least one reading")
	}
	end := q.Time(0)
	probes := append([]Probe(nil), c.Probes...)
	for i, r := range readings {
		if !(r.Time > 0) {
			return none, fmt.Errorf("reading %d: a time above zero from the start is accepted", i+1)
		}
		end = max(end, r.Time)
		probes = append(probes, Probe{fmt.Sprintf("reading %d", i+1), r.At})
	}
	c.Probes = probes
	eta, loss := flames[anyFlame], figure("loss-factor")
	low := [2]float64{math.Log(float64(eta.Range.Low / first)), math.Log(loss.Low)}
	high := [2]float64{math.Log(float64(eta.Range.High / first)), math.Log(loss.High)}
	k := Calibration{Fitted: []string{"efficiency"}}
	model := func(x [2]float64) ([]float64, error) {
		k.Runs++
		h, err := RunUntil(ctx, scaled(c, math.Exp(x[0]), math.Exp(x[1])), end, o)
		if err != nil {
			return nil, err
		}
		out := make([]float64, len(readings))
		for i, r := range readings {
			t, err := h.Temperature(fmt.Sprintf("reading %d", i+1), r.Time)
			if err != nil {
				return nil, fmt.Errorf("reading %d: %w", i+1, err)
			}
			out[i] = float64(t - r.T)
		}
		return out, nil
	}
	rms := func(v []float64) float64 {
		s := 0.0
		for _, x := range v {
			s += x * x
		}
		return math.Sqrt(s / float64(len(v)))
	}
	x := [2]float64{0, math.Log(c.Env.lossFactor())}
	for i := range 2 {
		x[i] = min(max(x[i], low[i]), high[i])
	}
	miss, err := model(x)
	if err != nil {
		return none, err
	}
	k.Before = q.TempDiff(rms(miss))
	both := false
	const rounds, bump = 7, 0.05
	for round := range rounds {
		var slope [2][]float64
		for p := range 2 {
			if p == 1 && len(readings) < 2 {
				break
			}
			y := x
			y[p] += bump
			if slope[p], err = model(y); err != nil {
				return none, err
			}
			for i := range slope[p] {
				slope[p][i] = (slope[p][i] - miss[i]) / bump
			}
		}
		step, two := gaussNewton(slope, miss)
		if round == 0 && two {
			both = true
		}
		if !both {
			step = [2]float64{gaussOne(slope[0], miss), 0}
		}
		moved := 0.0
		best, bestMiss := x, miss
		for cut := 1.0; cut > 0.1; cut /= 2 { // no step that makes it worse
			y := x
			for i := range 2 {
				y[i] = min(max(x[i]+cut*step[i], low[i]), high[i])
			}
			m, err := model(y)
			if err != nil {
				return none, err
			}
			if rms(m) <= rms(bestMiss) {
				best, bestMiss = y, m
				break
			}
		}
		for i := range 2 {
			moved = max(moved, math.Abs(best[i]-x[i]))
		}
		x, miss = best, bestMiss
		if moved < 2e-3 || rms(miss) < 0.05 {
			break
		}
	}
	k.Scale, k.LossFactor = q.Ratio(math.Exp(x[0])), q.Ratio(math.Exp(x[1]))
	k.Efficiency, k.After = k.Scale*first, q.TempDiff(rms(miss))
	if both {
		k.Fitted = append(k.Fitted, "loss factor")
	}
	for i, name := range k.Fitted {
		if x[i] <= low[i]+1e-9 || x[i] >= high[i]-1e-9 {
			k.AtBound = append(k.AtBound, name)
		}
	}
	b := simulated("heat-calibrate", "Torch and loss from your readings")
	b.Also = append(b.Also, eta.Ref, loss.Ref)
	for i, r := range readings {
		b.Inputs = append(b.Inputs, source.Input{Name: fmt.Sprintf("reading %d", i+1),
			Text: fmt.Sprintf("%.0f °C after %.1f min at %v", r.T.C(), r.Time.Minutes(), r.At), From: "measured"})
	}
	b.Steps = []source.Step{
		{Name: "misfit as assumed", Value: float64(k.Before), Unit: "K"},
		{Name: "torch efficiency", With: fmt.Sprintf("%.3f × %.3f", float64(first), float64(k.Scale)), Value: float64(k.Efficiency), Unit: "1"},
		{Name: "loss factor", Value: float64(k.LossFactor), Unit: "1"},
		{Name: "misfit as fitted", Value: float64(k.After), Unit: "K"},
	}
	if !both {
		b.Notes = append(b.Notes, "the efficiency was fitted, the loss left as it was: a second reading while the part cools would tell it")
	}
	for _, n := range k.AtBound {
		b.Notes = append(b.Notes, n+" stopped at its bound: check the reading, the place and the flame")
	}
	b.Why = "your torch, your wind and your part are never those of the table"
	b.Skip = "the times stay guesses within a factor of two"
	return source.Result[Calibration]{Value: k, Basis: b}, nil
}

// gaussOne is the step of one factor.
func gaussOne(slope, miss []float64) float64 {
	a, b := 0.0, 0.0
	for i := range slope {
		a += slope[i] * slope[i]
		b += slope[i] * miss[i]
	}
	if a == 0 {
		return 0
	}
	return min(max(-b/a, -1), 1)
}

// gaussNewton is the step of both; two is false where the readings cannot tell
// them apart.
func gaussNewton(slope [2][]float64, miss []float64) (step [2]float64, two bool) {
	if slope[1] == nil {
		return step, false
	}
	var a, b, d, u, v float64
	for i := range miss {
		a += slope[0][i] * slope[0][i]
		b += slope[0][i] * slope[1][i]
		d += slope[1][i] * slope[1][i]
		u -= slope[0][i] * miss[i]
		v -= slope[1][i] * miss[i]
	}
	det := a*d - b*b
	// sine of the angle between the two slopes, and a loss that moves a reading
	// by at least 5 K when it doubles
	const apart, felt = 0.15, 7.0
	if det <= apart*apart*a*d || math.Sqrt(d) < felt {
		return step, false
	}
	step = [2]float64{(u*d - v*b) / det, (a*v - b*u) / det}
	for i := range step {
		step[i] = min(max(step[i], -1), 1)
	}
	return step, true
}
