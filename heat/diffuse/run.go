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

// solver is the state of one side.
type solver struct {
	s       *Shape
	ny, nz  int
	c       []float64
	inc     []float64
	d       []float64
	gy, gz  []float64 // links to the next cell, D·length/distance
	open    []float64 // link to the open surfaces, in all
	openY   []float64 // and by axis, for the sweeps
	cp      []float64
	here    []bool // laid
	brought float64
	fresh   int // steps since the last cell was laid
	next    float64
}

func newSolver(s *Shape) *solver {
	n := s.Cells()
	v := &solver{s: s, ny: len(s.y) - 1, nz: len(s.z) - 1}
	for _, a := range []*[]float64{&v.c, &v.inc, &v.d, &v.gy, &v.gz, &v.open, &v.openY, &v.cp} {
		*a = make([]float64, n)
	}
	v.here = make([]bool, n)
	return v
}

func (v *solver) dy(j int) float64 { return v.s.y[j+1] - v.s.y[j] }
func (v *solver) dz(k int) float64 { return v.s.z[k+1] - v.s.z[k] }

// lay brings in the cells due at t.
func (v *solver) lay(t float64) {
	v.next = math.Inf(1)
	for c := range v.c {
		if v.here[c] || !v.s.steel[c] {
			continue
		}
		if v.s.laid[c] <= t {
			v.here[c] = true
			v.c[c] = v.s.charge[c]
			v.brought += v.s.charge[c] * v.dy(c%v.ny) * v.dz(c/v.ny)
			if v.s.charge[c] > 0 {
				v.fresh = 0
			}
			continue
		}
		v.next = min(v.next, v.s.laid[c])
	}
}

// links sets the links from the diffusivities, zero concentration at surfaces.
func (v *solver) links() {
	for k := range v.nz {
		for j := range v.ny {
			c := k*v.ny + j
			v.gy[c], v.gz[c], v.open[c], v.openY[c] = 0, 0, 0, 0
			if !v.here[c] {
				continue
			}
			dy, dz := v.dy(j), v.dz(k)
			side := func(there, sealed bool, other int, len, half float64) float64 {
				if there && v.here[other] {
					return 0
				}
				if !there && sealed {
					return 0
				}
				return v.d[c] * len / half
			}
			y := side(j > 0, v.s.sealed[0], c-1, dz, dy/2) + side(j < v.ny-1, v.s.sealed[1], c+1, dz, dy/2)
			z := side(k > 0, v.s.sealed[2], c-v.ny, dy, dz/2) + side(k < v.nz-1, v.s.sealed[3], c+v.ny, dy, dz/2)
			v.openY[c], v.open[c] = y, y+z
			if j < v.ny-1 && v.here[c+1] {
				v.gy[c] = dz / (dy/2/v.d[c] + v.dy(j+1)/2/v.d[c+1])
			}
			if k < v.nz-1 && v.here[c+v.ny] {
				v.gz[c] = dy / (dz/2/v.d[c] + v.dz(k+1)/2/v.d[c+v.ny])
			}
		}
	}
}

// step moves on by dt with θ.
func (v *solver) step(dt, theta float64) {
	ny, nz := v.ny, v.nz
	for k := range nz {
		for j := range ny {
			c := k*ny + j
			r := -v.open[c] * v.c[c]
			if j < ny-1 {
				r += v.gy[c] * (v.c[c+1] - v.c[c])
			}
			if j > 0 {
				r += v.gy[c-1] * (v.c[c-1] - v.c[c])
			}
			if k < nz-1 {
				r += v.gz[c] * (v.c[c+ny] - v.c[c])
			}
			if k > 0 {
				r += v.gz[c-ny] * (v.c[c-ny] - v.c[c])
			}
			v.inc[c] = dt * r
		}
	}
	tdt := theta * dt
	for k := range nz { // along y
		var gp, cp, x float64
		for j := range ny {
			c := k*ny + j
			m := v.dy(j) * v.dz(k)
			g := tdt * v.gy[c]
			den := m + tdt*v.openY[c] + g + gp - gp*cp
			x = (v.inc[c] + gp*x) / den
			cp = g / den
			v.inc[c], v.cp[c] = x, cp
			gp = g
		}
		for j := ny - 2; j >= 0; j-- {
			c := k*ny + j
			v.inc[c] += v.cp[c] * v.inc[c+1]
		}
	}
	for j := range ny { // along z
		var gp, cp, x float64
		for k := range nz {
			c := k*ny + j
			m := v.dy(j) * v.dz(k)
			g := tdt * v.gz[c]
			den := m + tdt*(v.open[c]-v.openY[c]) + g + gp - gp*cp
			x = (m*v.inc[c] + gp*x) / den
			cp = g / den
			v.inc[c], v.cp[c] = x, cp
			gp = g
		}
		for k := nz - 2; k >= 0; k-- {
			c := k*ny + j
			v.inc[c] += v.cp[c] * v.inc[c+ny]
		}
	}
	for c := range v.c {
		v.c[c] += v.inc[c]
	}
	v.fresh++
}

// left reads peak and mean.
func (v *solver) left() (peak, mean float64, at int) {
	sum := 0.0
	for c, x := range v.c {
		if x > peak {
			peak, at = x, c
		}
		sum += x * v.dy(c%v.ny) * v.dz(c/v.ny)
	}
	if v.brought > 0 {
		mean = sum / v.brought
	}
	return peak, mean, at
}

// fastest is the highest diffusivity over the square of the smallest cell.
func (v *solver) fastest() float64 {
	h := math.Inf(1)
	for j := range v.ny {
		h = min(h, v.dy(j))
	}
	for k := range v.nz {
		h = min(h, v.dz(k))
	}
	d := 0.0
	for c, x := range v.d {
		if v.here[c] {
			d = max(d, x)
		}
	}
	return d / (h * h)
}

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
