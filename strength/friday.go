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
	Draws     int      // 0 is 10 000
	Seed      uint64   // same seed, same answer
	Units     q.System // that leads in the texts
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
	Hours   q.Time      `json:"hours,omitempty"` // it may work, no more than asked for, where hours are limited
	Limits  []string    `json:"limits,omitempty"`
	Life    Life        `json:"life"`
	Broken  q.Ratio     `json:"broken"` // share of the credible cases already over the line
	Rows    []FridayRow `json:"rows,omitempty"`
	Sharpen []Sharper   `json:"sharpen,omitempty"`
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
		return result(w, FridayAnswer{Verdict: NotACase, Reasons: []string{"an end of the crack was not found: find both ends with dye or magnetic test first"}, Limits: idle(),
			Sharpen: []Sharper{{Fact: "both ends of the crack, by dye or magnetic test"}}}), nil
	}
	if !in.Load.Known {
		return result(w, FridayAnswer{Verdict: NotACase, Reasons: []string{"the load is not known: neither the hours the part lasted nor a measured stress range"}, Limits: idle(),
			Sharpen: []Sharper{{Fact: "hours the part or the last repair lasted"}, {Fact: "a measured stress range"}}}), nil
	}
	f, err := newFriday(method, in)
	if err != nil {
		if out, ok := outOfRange(err); ok {
			a := FridayAnswer{Verdict: StopNow, Light: Red, Reasons: []string{out.Error()}, Limits: stopLimits()}
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
