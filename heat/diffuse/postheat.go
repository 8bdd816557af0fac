package diffuse

// Post-heating at one temperature: only D·t counts, so one walk gives every time.

import (
	"context"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// PostHeat gives the band of the time at a steady temperature, after the case's
// history, until the peak is down to a part of what a bead brings.
func PostHeat(ctx context.Context, c Case, at q.Temperature, peak q.Ratio) (source.Result[q.Of[q.Time]], error) {
	var none source.Result[q.Of[q.Time]]
	const id = "hydrogen-post-heat"
	if err := source.InRange(id, "peak left", float64(peak), 0.001, 0.999, "1", ""); err != nil {
		return none, err
	}
	d, err := Diffusivity(at)
	if err != nil {
		return none, err
	}
	if c.End == 0 && len(c.Temperature.times) == 0 { // no history: from the start
		c.Temperature, _ = Uniform([]q.Time{0}, []q.Temperature{at})
		c.End = 1e-6
	}
	if err := c.check(); err != nil {
		return none, err
	}
	var out [2]float64
	for i, scale := range []float64{1, slowFactor} {
		_, v, err := run(ctx, &c, scale)
		if err != nil {
			return none, err
		}
		// at one temperature everywhere only D·t counts: walk in it
		length, err := v.walk(ctx, float64(peak))
		if err != nil {
			return none, err
		}
		out[i] = length / (float64(d.Value.High) * scale)
	}
	b := fickBasis(id, "Post-heat until the peak of hydrogen is down")
	b.Inputs = []source.Input{{Name: "temperature", Text: fmt.Sprintf("%.0f °C", at.C())}, {Name: "peak left", Text: fmt.Sprintf("%.2g", float64(peak))}}
	b.Steps = []source.Step{
		{Name: "time, fast side", Value: out[0] / 3600, Unit: "h"},
		{Name: "time, slow side", Value: out[1] / 3600, Unit: "h"},
	}
	b.Notes = append(b.Notes, "never above the tempering temperature less 30 K, nor below the preheat before it starts",
		"the rule of one hour an inch grows with the thickness, diffusion with its square: the rule holds because the hydrogen of a weld is local")
	b.Why = "kept warm, the hydrogen leaves in hours; cold, it takes days, and cracks wait for it"
	b.Skip = "a hard zone with hydrogen in it may crack up to two days later"
	return source.Result[q.Of[q.Time]]{Value: q.Span(q.Time(out[0]), q.Time(out[1])), Basis: b}, nil
}

// walk goes on with D = 1 until the peak is down and gives D·t, m².
func (v *solver) walk(ctx context.Context, peak float64) (float64, error) {
	for c := range v.d {
		v.d[c] = 1
		if v.s.steel[c] && !v.here[c] {
			return 0, fmt.Errorf("a bead is laid after the end of the history")
		}
	}
	v.links()
	f := v.fastest()
	old, _, _ := v.left()
	if old <= peak {
		return 0, nil
	}
	s, number := 0.0, early/8
	v.fresh = 0
	for n := 0; ; n++ {
		dt := number / f
		theta := 0.5
		if n < implicit {
			theta = 1
		}
		v.step(dt, theta)
		now, _, _ := v.left()
		if now <= peak {
			// the peak falls like an exponential late: interpolate its logarithm
			return s + dt*math.Log(old/peak)/math.Log(old/now), nil
		}
		s += dt
		// steps no longer than a fiftieth of what went before keep the peak exact
		number = min(number*grow, max(early, 0.02*s*f))
		old = now
		if n%64 == 0 {
			if err := ctx.Err(); err != nil {
				return 0, err
			}
		}
		if n > 200_000 {
			return 0, fmt.Errorf("the peak does not fall: is every surface sealed?")
		}
	}
}
