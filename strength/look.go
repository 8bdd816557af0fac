package strength

// Method:   when to look again, and how often
// Formula:  interval = (cycles from the findable to the critical size by the +2SD law)/3/r, and not
//           more than the life at 1 % risk; where that is less than 50 h nobody looks often
//           enough: a third of the 1 % life, and said so; first looks after a repair: one shift (not before 48 h),
//           50 h, 250 h
// Validity: the findable crack is taken as a through crack (or edge crack), which grows faster
//           than the shallow one it usually is
// Source:   growth BS 7910; findable sizes and the division by three our own judgement; first
//           looks common practice
//
// The calendar is worked out from a date that is passed in: the room has no clock.

import (
	_ "embed"
	"fmt"
	"math"
	"time"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed detect.csv
var detectCSV string

var detectRows = source.Table("detect.csv", detectCSV)

// Findable gives the smallest crack a way of looking finds: method eye (surface
// painted or bare), dye, magnetic (as-welded or ground), ultrasonic.
func Findable(method, surface string) (length q.Length, text string, ref source.Ref, err error) {
	for _, r := range detectRows {
		if r.Text("method") != method || r.Text("surface") != "" && r.Text("surface") != surface {
			continue
		}
		l := r.Num("size_mm")
		if r.Text("measure") == "depth" {
			l *= fig("depth_to_length")
		}
		return millis(l), r.Text("text"), r.Ref(), nil
	}
	return 0, "", source.Ref{}, fmt.Errorf("next-look: no way of looking %q on a surface %q; eye (painted, bare), dye, magnetic (as-welded, ground) or ultrasonic would do", method, surface)
}

// LookInput is what NextLook needs.
type LookInput struct {
	Withheld  string
	Method    string // eye, dye, magnetic, ultrasonic
	Surface   string // painted, bare, as-welded, ground
	AtEdge    bool   // a crack would start at an edge
	Width     q.Length
	Thickness q.Length
	Load      Load
	Peak      q.Stress // zero: 1.5 × the stress range
	Yield     q.Stress
	Tensile   q.Stress
	Toughness q.Of[q.StressIntensity]
	Residual  q.Of[q.Stress]
	Marine    bool
	Repair    Life // of the repair; its 1 % life bounds the interval
	Start     q.Maybe[time.Time]
	PerWeek   q.Maybe[q.Time] // hours of work in a week
}

// Look is one time to look.
type Look struct {
	After q.Time             `json:"after"` // hours of work after the repair
	Date  q.Maybe[time.Time] `json:"-"`     // latest day, from the hours per week
	Text  string             `json:"text"`
}

// LookPlan is when to look.
type LookPlan struct {
	Findable q.Length     `json:"findable"`
	Critical q.Length     `json:"critical"` // crack length at breaking, worst case; half length of a through crack
	Interval q.Of[q.Time] `json:"interval"` // hours of work between looks: keep the low end
	Blind    bool         `json:"blind"`    // in the worst case a crack goes from findable to breaking faster than anybody looks
	Looks    []Look       `json:"looks"`    // the first ones, then the first of the regular ones
}

// NextLook says when to look again after a repair.
func NextLook(in LookInput) (source.Result[LookPlan], error) {
	const method = "next-look"
	none := source.Result[LookPlan]{}
	w := begin(method, "When to look again", "(cycles from findable to critical, +2SD law)/3, at most the 1 % life", figRef("look_divisor"))
	w.why("A repair is looked at often enough that a new crack is found while it is still short.", "The next crack is found by the part breaking.")
	if in.Withheld != "" {
		w.note("the gate refuses this item or hands it on: no figure is given")
		return result(w, LookPlan{}), nil
	}
	length, how, ref, err := Findable(in.Method, in.Surface)
	if err != nil {
		return none, err
	}
	w.also(ref, source.At("bs7910", "growth and 7.3.3", source.Read), figRef("look_first"))
	w.length("crack that "+how+" finds", length, "")
	p := LookPlan{Findable: length}
	if in.Load.Known {
		if err := in.interval(w, &p); err != nil {
			return none, err
		}
	} else {
		w.note("the load is not known: only the first looks can be named; measure or log the hours to name the rest")
	}
	in.schedule(&p)
	for _, l := range p.Looks {
		text := l.Text
		if l.Date.Known {
			text += ", by " + l.Date.V.Format("2006-01-02")
		}
		w.step(text, "hours of work after the repair", "", l.After.Hours(), "h")
	}
	w.note("findable sizes and the division by three are our own judgement")
	return result(w, p), nil
}

// interval works out the hours between looks, worst and best case.
func (in LookInput) interval(w *work, p *LookPlan) error {
	const method = "next-look"
	c := CrackCase{Geometry: Through, A: p.Findable / 2, Width: in.Width, Thickness: in.Thickness}
	if in.AtEdge {
		c.Geometry, c.A = Edge, p.Findable
	}
	f, err := newFriday(method, FridayInput{Crack: c, Load: in.Load, Peak: in.Peak, Yield: in.Yield, Tensile: in.Tensile, Toughness: in.Toughness,
		Residual: in.Residual, Marine: in.Marine, Need: q.Hour})
	if err != nil {
		return err
	}
	scatter := float64(in.Load.Scatter)
	worst := f.row(in.Residual.High.MPa(), kMM(in.Toughness.Low), scatter)
	best := f.row(in.Residual.Low.MPa(), kMM(in.Toughness.Low), scatter)
	divisor, rate := fig("look_divisor"), float64(in.Load.Rate)
	low, high := float64(worst.Upper)/divisor/rate, float64(best.Cycles)/divisor/rate
	p.Critical = worst.Critical
	w.step("critical length, worst case", "Kr = f(Lr)", "residual "+in.Residual.High.Text(q.SI), worst.Critical.MM(), "mm")
	w.step("critical length, best case", "Kr = f(Lr)", "residual "+in.Residual.Low.Text(q.SI), best.Critical.MM(), "mm")
	w.step("interval from growth, worst case", "N(+2SD)/3/r", fmt.Sprintf("%s/3/%s", num(float64(worst.Upper)), num(rate)), low, "h")
	w.step("interval from growth, best case", "N(mean)/3/r", fmt.Sprintf("%s/3/%s", num(float64(best.Cycles)), num(rate)), high, "h")
	risk1 := in.Repair.Risk1.Hours()
	if low < fig("look_shortest") {
		p.Blind = true
		w.note("in the worst case (residual stress %s, lowest toughness) a crack goes from findable to breaking in %s of work: looking alone does not protect. Keep to the 1 %% life, look with a finer test, or choose a better repair",
			in.Residual.High.Text(q.SI), hoursText(q.Time(low*divisor)*q.Hour))
		low = risk1 / divisor
	}
	if risk1 > 0 {
		w.step("life of the repair at 1 % risk", "", "", risk1, "h")
		low, high = math.Min(low, risk1), math.Min(math.Max(high, low), risk1)
	} else {
		w.note("the life of the repair is not known: the interval rests on growth alone")
	}
	p.Interval = q.Span(q.Time(low)*q.Hour, q.Time(high)*q.Hour)
	return nil
}

// schedule lists the first looks and the first regular one.
func (in LookInput) schedule(p *LookPlan) {
	regular := p.Interval.Low
	add := func(after q.Time, text string, leastDays int) {
		l := Look{After: after, Text: text}
		if in.Start.Known && in.PerWeek.Known && in.PerWeek.V > 0 {
			days := int(math.Floor(7 * float64(after/in.PerWeek.V)))
			l.Date = q.Known(in.Start.V.AddDate(0, 0, max(days, leastDays)))
		}
		p.Looks = append(p.Looks, l)
	}
	delay := int(math.Ceil(fig("look_delay") / 24))
	add(q.Time(fig("look_first"))*q.Hour, fmt.Sprintf("after one shift; for cold cracks not before %s h from welding", num(fig("look_delay"))), delay)
	for _, key := range []string{"look_second", "look_third"} {
		at := q.Time(fig(key)) * q.Hour
		if regular == 0 || at < regular {
			add(at, fmt.Sprintf("after %s h of work", num(fig(key))), 0)
		}
	}
	if regular > 0 {
		h := regular.Hours()
		step := math.Pow(10, math.Max(0, math.Floor(math.Log10(math.Max(h, 1)))-1)) // two figures, down
		at := math.Max(math.Floor(h/step)*step, 1)
		add(q.Time(at)*q.Hour, fmt.Sprintf("then every %s h of work", num(at)), 0)
	}
}
