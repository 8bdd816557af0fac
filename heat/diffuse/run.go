package diffuse

import (
	"context"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Case is one section through one history.
type Case struct {
	Shape       Shape
	Temperature Temperature
	End         q.Time
}

// History is what is left through time, of one side of the band.
type History struct {
	Times []q.Time
	Peak  []q.Ratio // highest place, of what a bead brings
	Mean  []q.Ratio // of all that was brought so far
	// PeakAt is where the highest place is at the end.
	PeakY, PeakZ q.Length
	Steps        int
}

// Band is both sides: Fast leaves sooner.
type Band struct{ Fast, Slow History }

// EndPeak is the band of the peak left at the end.
func (b Band) EndPeak() q.Of[q.Ratio] { return q.Span(last(b.Fast.Peak), last(b.Slow.Peak)) }

// EndMean is the band of the mean left at the end.
func (b Band) EndMean() q.Of[q.Ratio] { return q.Span(last(b.Fast.Mean), last(b.Slow.Mean)) }

func last(v []q.Ratio) q.Ratio { return v[len(v)-1] }

const (
	// early is D·Δt/h² right after a bead; it may grow by grow a step up to late.
	early, grow, late = 0.5, 1.15, 40.0
	implicit          = 6 // steps after a bead that are fully implicit
)

// run computes one side of the band.
func run(ctx context.Context, c *Case, scale float64) (History, *solver, error) {
	v := newSolver(&c.Shape)
	var h History
	t, hint := 0.0, 0
	if len(c.Temperature.times) > 0 {
		t = min(0, c.Temperature.times[0])
	}
	end := float64(c.End)
	v.lay(t)
	note := func() {
		peak, mean, at := v.left()
		h.Times = append(h.Times, q.Time(t))
		h.Peak, h.Mean = append(h.Peak, q.Ratio(peak)), append(h.Mean, q.Ratio(mean))
		j, k := at%v.ny, at/v.ny
		h.PeakY, h.PeakZ = q.Length((v.s.y[j]+v.s.y[j+1])/2), q.Length((v.s.z[k]+v.s.z[k+1])/2)
	}
	note()
	if err := ctx.Err(); err != nil {
		return h, v, err
	}
	number := early
	for t < end-1e-9*(1+end) {
		// the step: bounded by the diffusion number, the next picture but one, the next bead
		hint = c.Temperature.diffusivities(v.s, t, hint, scale, v.d)
		if v.fresh == 0 {
			number = early
		}
		dt := end - t
		if f := v.fastest(); f > 0 {
			dt = min(dt, number/f)
		}
		dt = min(dt, max(v.next-t, 0))
		// the temperature in the middle of the step stands for it: it goes to the next
		// knot of a history, or over a few pictures of a section
		if hint+1 < len(c.Temperature.times) && c.Temperature.times[hint+1] > t {
			left := c.Temperature.times[hint+1] - t
			if c.Temperature.sec != nil {
				left = max(left, 0.02*t, 1)
			}
			dt = min(dt, left)
		}
		dt = min(dt, end-t)
		if dt <= 0 {
			dt = 1e-6
		}
		c.Temperature.diffusivities(v.s, t+dt/2, hint, scale, v.d)
		v.links()
		theta := 0.5
		if v.fresh < implicit {
			theta = 1
		}
		v.step(dt, theta)
		number = min(number*grow, late)
		t += dt
		h.Steps++
		v.lay(t)
		note()
		if h.Steps%64 == 0 {
			if err := ctx.Err(); err != nil {
				return h, v, err
			}
		}
	}
	return h, v, nil
}

func (c *Case) check() error {
	if c.Shape.Cells() < 1 || len(c.Shape.y) < 2 {
		return fmt.Errorf("the case has no shape")
	}
	if len(c.Temperature.times) == 0 {
		return fmt.Errorf("the case has no temperature")
	}
	if !(c.End > 0) || math.IsInf(float64(c.End), 0) {
		return fmt.Errorf("the case needs an end above zero")
	}
	if c.Temperature.sec == nil {
		return nil
	}
	n := len(c.Temperature.sec.LaidBy)
	for _, p := range c.Shape.parent {
		if p >= n {
			return fmt.Errorf("the temperatures belong to another section than the shape")
		}
	}
	return nil
}

// Run computes both sides of the band.
func Run(ctx context.Context, c Case) (source.Result[Band], error) {
	if err := c.check(); err != nil {
		return source.Result[Band]{}, err
	}
	f, _, err := run(ctx, &c, 1)
	if err != nil {
		return source.Result[Band]{}, err
	}
	s, _, err := run(ctx, &c, slowFactor)
	if err != nil {
		return source.Result[Band]{}, err
	}
	b := Band{f, s}
	basis := fickBasis("hydrogen-left", "Hydrogen left in the weld")
	basis.Inputs = []source.Input{{Name: "time", Text: fmt.Sprintf("%.3g h", c.End.Hours())}, {Name: "cells", Text: fmt.Sprint(c.Shape.Cells())}}
	basis.Steps = []source.Step{
		{Name: "peak left, fast side", Value: float64(b.EndPeak().Low), Unit: "1"},
		{Name: "peak left, slow side", Value: float64(b.EndPeak().High), Unit: "1"},
		{Name: "mean left, fast side", Value: float64(b.EndMean().Low), Unit: "1"},
		{Name: "mean left, slow side", Value: float64(b.EndMean().High), Unit: "1"},
		{Name: "highest place", Text: fmt.Sprintf("y %.1f mm, z %.1f mm", f.PeakY.MM(), f.PeakZ.MM())},
	}
	basis.Why = "the peak decides whether it cracks; it is local and falls long before the whole part is clean"
	basis.Skip = "the test is made before the crack has opened"
	return source.Result[Band]{Value: b, Basis: basis}, nil
}

func fickBasis(id, title string) source.Basis {
	return source.Basis{
		Method: id, Title: title,
		Formula: "∂C/∂t = ∇·(D∇C), C = 0 at surfaces, D by the temperature of each place; slow side D/5",
		Ref:     source.At("crank", "diffusion in two dimensions, finite volumes", source.Derived),
		Also:    []source.Ref{lowBranch.ref, branches["slow"].ref},
		Notes:   []string{"hydrogen held in traps, stress and solubility are left out: the band stands for them", "parts of what a bead brings; multiply by the diffusible hydrogen of the rod"},
	}
}
