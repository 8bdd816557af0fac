package strength

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
)

// friday is the working state.
type friday struct {
	in         FridayInput
	method     string
	mean, high growthLaw
	crack      CrackCase // with the allowance for sizing
	tableMean  growthTable
	tableHigh  growthTable
	d          *diagram
	spread     float64 // of the growth constant
	hand       float64 // of K by hand
	factor     float64 // on the growth constant, from readings
}

func newFriday(method string, in FridayInput) (*friday, error) {
	f := &friday{in: in, method: method, factor: 1}
	if err := positive(method, "hours wanted", in.Need.Hours(), "toughness", kMM(in.Toughness.Low), "residual stress, upper end plus one", in.Residual.High.MPa()+1,
		"thickness", in.Crack.Thickness.MM(), "width", in.Crack.Width.MM()); err != nil {
		return nil, err
	}
	if err := steelStrength(method, in.Yield.MPa(), in.Tensile.MPa()); err != nil {
		return nil, err
	}
	var err error
	if f.crack, err = in.Crack.allow(in.Sized); err != nil {
		return nil, fmt.Errorf("%s: %w", method, err)
	}
	f.mean, _ = findLaw(LawInput{Law: TwoStageMean, Marine: in.Marine}) // known words
	f.high, _ = findLaw(LawInput{Law: TwoStage2SD, Marine: in.Marine})
	ds := in.Load.Median.MPa()
	if f.tableMean, err = f.crack.follow(method, f.mean, ds); err != nil {
		return nil, err
	}
	if f.tableHigh, err = f.crack.follow(method, f.high, ds); err != nil {
		return nil, err
	}
	f.d = newDiagram(in.Yield.MPa(), in.Tensile.MPa())
	f.spread, f.hand = fig("crack_law_scatter"), fig("stress_k_cov")
	if in.Load.Measured { // the measured scatter holds the stress intensity too
		f.spread, f.hand = f.mean.spread2, 0
	}
	if in.Refit != nil {
		f.factor, f.spread = in.Refit.Factor, float64(in.Refit.Scatter)
		f.hand = 0
	}
	return f, nil
}

func (f *friday) draws() int {
	if f.in.Draws > 0 {
		return f.in.Draws
	}
	return int(fig("draws"))
}

func (f *friday) peak() float64 {
	if f.in.Peak > 0 {
		return f.in.Peak.MPa()
	}
	return f.in.Load.Median.MPa() * fig("peak_over_range")
}

func (f *friday) inputs(w *work) {
	in := f.in
	w.in("crack", f.crack.text(), in.Sized.text())
	w.length("width", in.Crack.Width, "")
	w.length("thickness", in.Crack.Thickness, "")
	w.in("stress range", fmt.Sprintf("%s (%s to %s)", in.Load.Median.Text(q.SI), in.Load.Range.Low.In(q.SI), in.Load.Range.High.In(q.SI)), "")
	w.in("cycles in an hour", num(float64(in.Load.Rate)), "")
	from := ""
	if in.Peak == 0 {
		from = "1.5 × the stress range"
		w.also(figRef("peak_over_range"))
	}
	w.stress("highest stress", mpa(f.peak()), from)
	w.in("residual stress", in.Residual.Low.Text(q.SI)+" to "+in.Residual.High.Text(q.SI), "")
	w.in("toughness", in.Toughness.Low.Text(q.SI)+" to "+in.Toughness.High.Text(q.SI), "")
	w.stress("yield", in.Yield, "lowest of the credible steels")
	w.in("hours wanted", in.Need.Text(q.SI), "")
	w.in("growth law", f.mean.title, "")
}

func (s Sizing) text() string {
	if s == "" {
		return "as measured"
	}
	return fmt.Sprintf("measured by %s, %s added at each end", s, millis(fig("size_"+string(s))).Text(q.SI))
}

func (c CrackCase) text() string {
	switch c.Geometry {
	case Through:
		return fmt.Sprintf("through, %s long", (2 * c.A).Text(q.SI))
	case Surface, WeldToe:
		return fmt.Sprintf("%s, %s deep, %s long", c.Geometry, c.A.Text(q.SI), (2 * c.C).Text(q.SI))
	}
	return fmt.Sprintf("%s, %s long", c.Geometry, c.A.Text(q.SI))
}

// residuals are the rows to show: low, middle, high.
func (f *friday) residuals() []float64 {
	low, high := f.in.Residual.Low.MPa(), f.in.Residual.High.MPa()
	if high-low < 1 {
		return []float64{high}
	}
	return []float64{low, (low + high) / 2, high}
}

// row works out one residual stress with one toughness.
func (f *friday) row(residual, kmat, spreadS float64) FridayRow {
	peak := f.peak()
	x := f.tableMean.breaks(f.d, peak, residual, kmat)
	xh := f.tableHigh.breaks(f.d, peak, residual, kmat)
	ds := math.Log(f.in.Load.Median.MPa())
	r := FridayRow{Residual: mpa(residual), Critical: millis(at(f.tableMean.a, x)),
		Cycles: Cycles(f.tableMean.cycles(x, ds, f.mean.times(f.factor))),
		Upper:  Cycles(f.tableHigh.cycles(xh, ds, f.high.times(f.factor)))}
	if x == 0 {
		r.Critical = f.crack.A // over the line at today's length or before
	}
	const slope = 3 // of the scatter formula; the growth laws run from 2.9 to 5.1
	s := math.Hypot(f.spread, slope*math.Hypot(spreadS, f.hand))
	r.Risk1 = r.Cycles * Cycles(math.Exp(-z99*s))
	t := f.tableMean
	r.State = FractureState{Kr: (peak*t.kf[0] + residual*t.kr[0]) / kmat, Lr: peak * t.ref[0] / f.d.re}
	r.State.Limit = f.d.limit(r.State.Lr)
	over := func(x float64) float64 {
		return (x*peak*t.kf[0]+residual*t.kr[0])/kmat - f.d.limit(x*peak*t.ref[0]/f.d.re)
	}
	if over(0) < 0 {
		r.State.Reserve, _ = brent(over, 0, f.d.most*f.d.re/(peak*t.ref[0]), 1e-9)
	}
	need := f.in.Need.Hours() * float64(f.in.Load.Rate)
	r.Light = light(r.State, float64(r.Risk1)/need)
	return r
}

// light is the traffic light of one state; enough is the life at 1 % risk over the need.
func light(s FractureState, enough float64) Light {
	switch {
	case s.Used() > fig("red_kr"), s.Lr > fig("red_lr"), enough < 1:
		return Red
	case enough < fig("amber_cycles"), s.Reserve < fig("amber_reserve"):
		return Amber
	}
	return Green
}

// drawLives draws the lives with a span of residual stress and toughness.
func (f *friday) drawLives() (Life, float64) {
	in := f.in
	life, broken := Life{Median: math.MaxFloat64, Risk5: math.MaxFloat64, Risk1: math.MaxFloat64}, 0.0
	for _, m := range in.Load.models {
		g := drawing{table: f.tableMean, law: f.mean.times(f.factor), lawSpread: f.spread, kSpread: f.hand, load: m, peak: in.Peak.MPa(),
			residual: [2]float64{in.Residual.Low.MPa(), in.Residual.High.MPa()}, kmat: [2]float64{kMM(in.Toughness.Low), kMM(in.Toughness.High)},
			d: f.d, draws: f.draws(), seed: in.Seed}
		o := g.lives()
		life.Median = min(life.Median, q.Time(o.quantile(0.5))*q.Hour)
		life.Risk5 = min(life.Risk5, q.Time(o.quantile(0.05))*q.Hour)
		life.Risk1 = min(life.Risk1, q.Time(o.quantile(0.01))*q.Hour)
		life.Spread = Spread(o.spread)
		broken = math.Max(broken, o.broken)
	}
	return life, broken
}
