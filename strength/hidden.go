package strength

// Method:   hours of a crack that stays in under a plate
// Formula:  as friday.go, with stress range and highest stress times the plate's relief
// Validity: as friday.go; only as a logged temporary
// Source:   derived; the relief from the section with the plate
//
// The plate lowers the nominal stress, but the tip keeps its stress intensity,
// and nobody sees it any more.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// HiddenAnswer is the answer to "just plate over it".
type HiddenAnswer struct {
	Refused   bool         `json:"refused"` // always true as a repair
	Why       []string     `json:"why"`
	Temporary FridayAnswer `json:"temporary"` // what a logged temporary could carry; its verdict counts
	Bare      Life         `json:"bare"`      // of the crack without the plate
	Relief    q.Ratio      `json:"relief"`
}

// HiddenCrack answers whether a plate may go over a crack that is left in: no as
// a repair; as a logged temporary with the hours of the hidden crack.
func HiddenCrack(in FridayInput, relief q.Ratio) (source.Result[HiddenAnswer], error) {
	bare, err := UntilFriday(in)
	if err != nil {
		return source.Result[HiddenAnswer]{}, err
	}
	return hiddenCrack(in, relief, bare.Value)
}

// hiddenCrack is HiddenCrack where the answer without a plate is there already.
func hiddenCrack(in FridayInput, relief q.Ratio, bare FridayAnswer) (source.Result[HiddenAnswer], error) {
	const method = "hidden-crack"
	none := source.Result[HiddenAnswer]{}
	if err := source.InRange(method, "stress with plate over stress without", float64(relief), fig("relief_least"), 1, "", "no plate relieves more than that"); err != nil {
		return none, err
	}
	a := HiddenAnswer{Refused: true, Relief: relief, Why: []string{
		"the tip of the crack keeps pulling: the plate only lowers the stress around it",
		"the crack runs into the plate's welds and from there into the plate",
		"dye and magnetic test are blind under it; water and dirt stay in it",
		"the plate's end starts a second crack",
		"the plate shifts the middle of the section and bends it",
	}}
	w := begin(method, "Plate over a crack that is left in", "as growth and fracture, stress × relief", source.At("users-study", "plate that starts the next crack", source.Practice))
	w.in("stress with plate over stress without", num(float64(relief)), "")
	w.why("A plate over a crack looks like a repair and is a blindfold.", "The crack comes out from under the plate with the part in two.")
	a.Bare = bare.Life
	covered := in
	covered.Load = in.Load.scaled(float64(relief))
	covered.Peak = in.Peak * q.Stress(relief)
	under, err := UntilFriday(covered)
	if err != nil {
		return none, err
	}
	a.Temporary = under.Value
	if a.Temporary.Verdict == LimitedHours {
		a.Temporary.Limits = append([]string{"temporary only: log it, paint the date on the plate, take it off and repair when the hours are up"}, a.Temporary.Limits...)
	}
	if in.Load.Known {
		w.step("growth slows by about", "1/relief³", "", math.Pow(float64(relief), -3), "times")
		w.step("life at 1 % risk, bare", "", "", a.Bare.Risk1.Hours(), "h")
		w.step("life at 1 % risk, under the plate", "", "", a.Temporary.Life.Risk1.Hours(), "h")
	}
	w.say("as a repair", "refused")
	w.say("as a logged temporary", fmt.Sprintf("%s, %s", a.Temporary.Verdict, hoursText(a.Temporary.Hours)))
	return result(w, a), nil
}

// scaled is the load with all ranges times a factor.
func (l Load) scaled(by float64) Load {
	l.Median, l.Range = l.Median*q.Stress(by), q.Of[q.Stress]{Low: l.Range.Low * q.Stress(by), High: l.Range.High * q.Stress(by)}
	models := make([]loadModel, len(l.models))
	for i, m := range l.models {
		m.x += math.Log(by)
		models[i] = m
	}
	l.models = models
	return l
}
