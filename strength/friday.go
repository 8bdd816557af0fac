package strength

// Method:   may it run a few hours more: growth to the critical size and the traffic light
// Formula:  rows at low, middle and high residual stress with the lowest toughness: critical size,
//           median cycles, cycles by the +2SD law, N(1 %) = N50·exp(-2.326s), s² = s_A² + m²·s_S²;
//           all together by drawing (montecarlo.go); hours = the less of the 1 % life and a third
//           of the +2SD life
// Light:    red: Kr/f > 0.8 or Lr > 0.8 at the highest load, people under a sole load path, crack
//           into a second plate, or 1 % life below the need; amber: 1 % life below 10 times the
//           need or load reserve below 1.5; green else, never where people or hanging loads are
// Validity: as growth and fracture; nothing the gate refuses or hands on gets a figure
// Source:   BS 7910 (growth, diagram); scatter JCSS; the light is our own judgement
//
// Growth until Friday is almost never the problem: fracture at the unknown
// residual stress, toughness and highest load is. Both are shown.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Light is the traffic light.
type Light string

const (
	Red   Light = "red"
	Amber Light = "amber"
	Green Light = "green"
)

// worse gives the worse of two lights.
func worse(a, b Light) Light {
	if a == Red || b == Red {
		return Red
	}
	if a == Amber || b == Amber {
		return Amber
	}
	return Green
}

// Verdict is the answer to "can I run it until Friday".
type Verdict string

const (
	StopNow      Verdict = "stop now"
	LimitedHours Verdict = "limited hours"
	NotACase     Verdict = "not a case for this tool"
)

// FridayInput is what UntilFriday needs.
type FridayInput struct {
	Withheld    string // why the gate gives no figure; empty where it lets the item pass
	People      bool   // the part lifts or carries people, or they are under its load
	HangsLoad   bool   // a load hangs on it
	SecondPlate bool   // the crack runs into a second plate, round a corner, or into a web
	EndsUnseen  bool   // an end of the crack was not found

	Crack     CrackCase
	Sized     Sizing
	Load      Load
	Peak      q.Stress // highest stress of the gross section; zero: 1.5 × the stress range
	Yield     q.Stress // lowest of the credible steels
	Tensile   q.Stress
	Toughness q.Of[q.StressIntensity]
	Residual  q.Of[q.Stress]
	Marine    bool
	Refit     *Refit // what two readings of the growing crack taught
	Need      q.Time // hours of work wanted
	Lowest    q.Temperature
	Draws     int    // 0 is 10 000
	Seed      uint64 // same seed, same answer
}

// FridayRow is the answer for one residual stress.
type FridayRow struct {
	Residual q.Stress      `json:"residual"`
	Critical q.Length      `json:"critical"` // length at which it breaks
	Cycles   Cycles        `json:"cycles"`   // median to there
	Upper    Cycles        `json:"upper"`    // by the +2SD law
	Risk1    Cycles        `json:"risk_1"`
	State    FractureState `json:"state"` // today
	Light    Light         `json:"light"`
}

// Sharper is a fact that would sharpen the answer.
type Sharper struct {
	Fact  string `json:"fact"`
	Light Light  `json:"light,omitempty"` // if the fact is on the good side; empty where not worked out
	Hours q.Time `json:"hours,omitempty"` // then
}

// FridayAnswer is the whole answer. A case the tool does not take has reasons only.
type FridayAnswer struct {
	Verdict Verdict     `json:"verdict"`
	Light   Light       `json:"light,omitempty"`
	Reasons []string    `json:"reasons"`
	Hours   q.Time      `json:"hours,omitempty"` // it may work at most, where hours are limited
	Limits  []string    `json:"limits,omitempty"`
	Life    Life        `json:"life"`
	Broken  q.Ratio     `json:"broken"` // share of the credible cases already over the line
	Rows    []FridayRow `json:"rows,omitempty"`
	Sharpen []Sharper   `json:"sharpen,omitempty"`
}

// friday is the working state.
type friday struct {
	in         FridayInput
	method     string
	mean, high growthLaw
	crack      CrackCase // with the allowance for sizing
	tableMean  growthTable
	tableHigh  growthTable
	d          diagram
	spread     float64 // of the growth constant
	hand       float64 // of K by hand
	factor     float64 // on the growth constant, from readings
}

// UntilFriday answers "can I run it until Friday": always the cautious side.
func UntilFriday(in FridayInput) (source.Result[FridayAnswer], error) {
	const method = "until-friday"
	w := begin(method, "May it run a few hours more?", "worst of: Kr/f(Lr) today, cycles to the critical size at 1 % risk against the need",
		source.At("bs7910", "growth and 7.3.3", source.Read))
	w.also(figRef("crack_law_scatter"), figRef("red_kr"))
	w.why("A crack that grows slowly can still break at the next heavy load; both are worked out, on the cautious side.",
		"The part is run on a feeling, and breaks under somebody.")
	if in.Withheld != "" {
		w.note("the gate refuses this item or hands it on: no figure is given")
		return result(w, FridayAnswer{Verdict: NotACase, Reasons: []string{in.Withheld}}), nil
	}
	if in.EndsUnseen {
		return result(w, FridayAnswer{Verdict: NotACase, Reasons: []string{"an end of the crack was not found: find both ends with dye or magnetic test first"},
			Sharpen: []Sharper{{Fact: "both ends of the crack, by dye or magnetic test"}}}), nil
	}
	if !in.Load.Known {
		return result(w, FridayAnswer{Verdict: NotACase, Reasons: []string{"the load is not known: neither the hours the part lasted nor a measured stress range"},
			Sharpen: []Sharper{{Fact: "hours the part or the last repair lasted"}, {Fact: "a measured stress range"}}}), nil
	}
	f, err := newFriday(method, in)
	if err != nil {
		if out, ok := outOfRange(err); ok {
			a := FridayAnswer{Verdict: StopNow, Light: Red, Reasons: []string{out.Error()}}
			w.note("the crack is beyond what the formulas cover, so no hours can be given")
			return result(w, a), nil
		}
		return source.Result[FridayAnswer]{}, err
	}
	f.inputs(w)
	a := f.answer()
	a.Sharpen = f.sharpen(a)
	for _, r := range a.Rows {
		name := "residual " + r.Residual.Text(q.SI) + ": "
		w.step(name+"critical length", "Kr = f(Lr)", "", r.Critical.MM(), "mm")
		w.step(name+"Kr today", "", "", r.State.Kr, "1")
		w.step(name+"Lr today", "", "", r.State.Lr, "1")
		w.step(name+"median cycles", "∫da/(da/dN)", "", float64(r.Cycles), "cycles")
		w.step(name+"cycles, +2SD law", "", "", float64(r.Upper), "cycles")
		w.say(name+"light", string(r.Light))
	}
	w.step("life at 1 % risk, all together", "drawn", fmt.Sprintf("%d lives, seed %d", f.draws(), in.Seed), a.Life.Risk1.Hours(), "h")
	w.step("already over the line", "", "", 100*float64(a.Broken), "% of the cases")
	w.say("answer", string(a.Verdict))
	w.note("an estimate to decide by, not a release; local rules and the owner's engineer come first")
	return result(w, a), nil
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
	w.in("crack", f.crack.text(), map[Sizing]string{"": "as measured", ByEye: "measured by eye, 5 mm added at each end", ByDye: "measured by dye, 2 mm added at each end"}[in.Sized])
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
	ds := f.in.Load.Median.MPa()
	r := FridayRow{Residual: mpa(residual), Critical: millis(at(f.tableMean.a, x)),
		Cycles: Cycles(f.tableMean.cycles(x, ds, f.mean.a1*f.factor, f.mean.a2*f.factor)),
		Upper:  Cycles(f.tableHigh.cycles(xh, ds, f.high.a1*f.factor, f.high.a2*f.factor))}
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
		mean := f.mean
		mean.a1, mean.a2 = mean.a1*f.factor, mean.a2*f.factor
		g := drawing{table: f.tableMean, law: mean, lawSpread: f.spread, kSpread: f.hand, load: m, peak: in.Peak.MPa(),
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
