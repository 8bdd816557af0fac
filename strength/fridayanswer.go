package strength

import (
	"errors"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

func outOfRange(err error) (*source.OutOfRange, bool) {
	var out *source.OutOfRange
	ok := errors.As(err, &out)
	return out, ok
}

// answer puts rows and drawn lives together on the cautious side.
func (f *friday) answer() FridayAnswer {
	in := f.in
	a := FridayAnswer{Light: Green}
	hard := func(cond bool, reason string) {
		if cond {
			a.Light = Red
			a.Reasons = append(a.Reasons, reason)
		}
	}
	hard(in.People, "people are on it or under it: no cracked part carries people")
	hard(in.SecondPlate, "the crack runs into a second plate or round a corner: the section is no longer what it was")
	cut := f.crack.cut()
	hard(cut > fig("flange_half"), fmt.Sprintf("the crack has taken %s of the width: the section must be worked out again", percent(cut)))
	hard(!in.Load.Plausible, "the stress range does not fit the steel: more acts on the part than was counted")
	upper, risk1 := math.Inf(1), math.Inf(1) // cycles of the worst row
	for _, r := range f.residuals() {
		row := f.row(r, kMM(in.Toughness.Low), float64(in.Load.Scatter))
		a.Rows = append(a.Rows, row)
		a.Light = worse(a.Light, row.Light)
		upper, risk1 = math.Min(upper, float64(row.Upper)), math.Min(risk1, float64(row.Risk1))
	}
	last := a.Rows[len(a.Rows)-1]
	if u := last.State.Used(); u > 1 {
		a.Reasons = append(a.Reasons, fmt.Sprintf("with a residual stress of %s and the lowest toughness the crack is already over the line of the failure diagram (Kr %s, limit %s)",
			last.Residual.Text(in.Units), num(last.State.Kr), num(last.State.Limit)))
	} else if u > fig("red_kr") {
		a.Reasons = append(a.Reasons, fmt.Sprintf("with a residual stress of %s and the lowest toughness it stands at %s of the limit for fracture; stop is from %s",
			last.Residual.Text(in.Units), percent(u), percent(fig("red_kr"))))
	}
	if last.State.Lr > fig("red_lr") {
		a.Reasons = append(a.Reasons, fmt.Sprintf("what is left of the section stands at %s of its yield at the highest load", percent(last.State.Lr)))
	}
	var broken float64
	a.Life, broken = f.drawLives()
	a.Broken = q.Ratio(broken)
	need := in.Need.Hours()
	drawn := Green
	switch enough := a.Life.Risk1.Hours() / need; {
	case enough < 1:
		drawn = Red
		if broken >= 0.01 {
			a.Reasons = append(a.Reasons, fmt.Sprintf("by these cautious figures the next highest load breaks it in %s of the credible cases", percent(broken)))
		} else {
			a.Reasons = append(a.Reasons, fmt.Sprintf("one in a hundred breaks within %s; %s are wanted", hoursText(a.Life.Risk1), hoursText(in.Need)))
		}
	case enough < fig("amber_cycles"):
		drawn = Amber
		a.Reasons = append(a.Reasons, fmt.Sprintf("one in a hundred breaks within %s, %s times the hours wanted", hoursText(a.Life.Risk1), num(enough)))
	}
	a.Light = worse(a.Light, drawn)
	if a.Light == Amber && last.State.Reserve < fig("amber_reserve") {
		a.Reasons = append(a.Reasons, fmt.Sprintf("a load %s times the highest one would break it", num(last.State.Reserve)))
	}
	if a.Light == Green && in.HangsLoad {
		a.Light = Amber
		a.Reasons = append(a.Reasons, "a load hangs on it: never green")
	}
	if a.Light == Green {
		a.Reasons = append(a.Reasons, fmt.Sprintf("one in a hundred breaks within %s, more than %s times the hours wanted", hoursText(a.Life.Risk1), num(fig("amber_cycles"))))
	}
	hours := f.allowed(math.Min(a.Life.Risk1.Hours(), risk1/float64(in.Load.Rate)), upper)
	if a.Light != Red && hours < q.Hour {
		a.Light = Red
		a.Reasons = append(a.Reasons, "a third of the hours by the upper growth law is less than one hour")
	}
	if a.Light == Red {
		a.Verdict, a.Limits = StopNow, stopLimits()
		return a
	}
	a.Verdict, a.Hours = LimitedHours, min(hours, in.Need) // what was not asked for is not given
	if hours < in.Need {
		a.Reasons = append(a.Reasons, fmt.Sprintf("%s can be given, less than the %s wanted: look again before going on", hoursText(hours), hoursText(in.Need)))
	}
	a.Limits = f.limits(a)
	return a
}

func stopLimits() []string {
	return []string{"unload it, lower it, block it and tag it out", "repair it before it works again"}
}

// idle is what holds while the answer is not known.
func idle() []string { return []string{"until that is known it does not work"} }

// allowed is the less of the 1 % life and a third of the +2SD life, in whole hours.
func (f *friday) allowed(risk1, upper float64) q.Time {
	h := math.Min(risk1, upper/fig("look_divisor")/float64(f.in.Load.Rate))
	return q.Time(math.Floor(h)) * q.Hour
}

// limits are the words that go with hours.
func (f *friday) limits(a FridayAnswer) []string {
	in := f.in
	limits := []string{
		fmt.Sprintf("at most %s of work, then look again before going on", hoursText(a.Hours)),
		fmt.Sprintf("no load that brings more than %s at the crack: no overload, no shock, lighter work where it can be chosen", mpa(f.peak()).Text(in.Units)),
		fmt.Sprintf("not colder than %s", in.Lowest.Text(in.Units)),
		"mark both tips with a punch and the date; measure at every shift",
	}
	grown := a.Rows[len(a.Rows)-1].Critical - f.crack.A
	limits = append(limits, fmt.Sprintf("stop at once if a tip has moved %s, if the crack forks, or if anything sounds or moves differently", (grown/q.Length(fig("look_divisor"))).Text(in.Units)))
	limits = append(limits, "nobody under it or beside it while it works")
	return limits
}

// hoursText prints hours as a welder counts them, rounded down.
func hoursText(t q.Time) string {
	switch h := t.Hours(); {
	case h < 1:
		return "less than an hour"
	case h < 100:
		return fmt.Sprintf("%.0f h", math.Floor(h))
	default: // two figures
		step := math.Pow(10, math.Floor(math.Log10(h))-1)
		return fmt.Sprintf("%.0f h", math.Floor(h/step)*step)
	}
}

// sharpen lists the facts that would change the answer most, with the answer if
// the fact turned out on the good side.
func (f *friday) sharpen(a FridayAnswer) []Sharper {
	in := f.in
	var all []Sharper
	try := func(fact string, residual, kmat, scatter float64) {
		r := f.row(residual, kmat, scatter)
		s := Sharper{Fact: fact, Light: r.Light}
		if r.Light != Red {
			s.Hours = f.allowed(float64(r.Risk1)/float64(in.Load.Rate), float64(r.Upper))
		}
		all = append(all, s)
	}
	low, high := kMM(in.Toughness.Low), kMM(in.Toughness.High)
	scatter := float64(in.Load.Scatter)
	if in.Residual.High-in.Residual.Low >= q.Megapascal {
		try(fmt.Sprintf("the residual stress at the crack: if it is no more than %s", in.Residual.Low.Text(in.Units)), in.Residual.Low.MPa(), low, scatter)
	}
	if high > low {
		try(fmt.Sprintf("toughness of the steel (Charpy at the lowest service temperature, or its certificate): if it is %s", in.Toughness.High.Text(in.Units)),
			in.Residual.High.MPa(), high, scatter)
	}
	if !in.Load.Measured {
		save, hand := f.spread, f.hand
		f.spread, f.hand = f.mean.spread2, 0
		try("a measured stress range (strain gauge), if it comes out as reckoned", in.Residual.High.MPa(), low, fig("stress_measured"))
		f.spread, f.hand = save, hand
	}
	if in.Peak == 0 {
		all = append(all, Sharper{Fact: "the highest load it sees"})
	}
	if in.Sized != ByDye {
		all = append(all, Sharper{Fact: "both ends of the crack by dye or magnetic test"})
	}
	if in.Refit == nil {
		all = append(all, Sharper{Fact: "how far the marked tips have moved after a counted number of hours"})
	}
	if a.Light == Red && (in.People || in.SecondPlate) {
		return nil // no fact changes these
	}
	return all
}

// Refit is what readings of a growing crack taught.
type Refit struct {
	Factor  float64 // on the growth constant
	Scatter Spread  // of it, from then on
}

// RefitGrowth turns measured growth against predicted growth over the same hours
// into a factor on the growth constant. After two readings the scatter shrinks.
func RefitGrowth(predicted, measured q.Length, readings int) (source.Result[Refit], error) {
	const method = "refit-growth"
	if err := positive(method, "predicted growth", predicted.MM(), "measured growth", measured.MM()); err != nil {
		return source.Result[Refit]{}, err
	}
	if readings < 1 {
		return source.Result[Refit]{}, errors.New(method + ": at least one reading after the first mark is needed")
	}
	w := begin(method, "Growth constant from marked tips", "Anew = A·(measured/predicted)", figRef("refit_scatter"))
	r := Refit{float64(measured / predicted), Spread(fig("crack_law_scatter"))}
	if readings >= 2 {
		r.Scatter = Spread(fig("refit_scatter"))
	}
	w.length("predicted growth", predicted, "")
	w.length("measured growth", measured, "measured")
	w.step("factor", "measured/predicted", "", r.Factor, "1")
	w.step("scatter of ln A", "", "", float64(r.Scatter), "1")
	w.why("A crack that is watched tells its own speed better than any table.",
		"The hours rest on a table where two punch marks would tell.")
	return result(w, r), nil
}
