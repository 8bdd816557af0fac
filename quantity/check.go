package quantity

import (
	"math"
	"strings"
)

// check refuses what cannot be or is not plausible.
func (r *reader) check(v float64, unit *Unit, s string) (float64, *ReadError) {
	k := &kinds[r.kind]
	switch {
	case math.IsInf(v, 0) || math.IsNaN(v):
		return 0, r.impossible("the number is too large", "")
	case !k.signed && v < 0:
		return 0, r.impossible(r.kind.a()+" cannot be negative", "0 or more")
	case k.low != 0 && v < k.low:
		zero := r.kind.Exact(k.low, unit.Symbol)
		return 0, r.impossible("it is below absolute zero", zero+" or more")
	case v == 0:
		v = 0 // no negative zero
	}
	if !r.as.limited() || r.as.holds(v) {
		return v, nil
	}
	limits := r.limits(unit.System)
	e := r.fail(Implausible, r.lead(v, unit)+" is not plausible")
	e.Accepted = []string{limits}
	if w, other, ok := r.otherBare(s); ok {
		e.Why = r.lead(v, unit) + " is outside " + limits
		e.Readings = []string{r.offer(v, unit), r.offer(w, other)}
	}
	return 0, e
}

// impossible makes an error that says what can be, or is plausible.
func (r *reader) impossible(why, instead string) *ReadError {
	e := r.fail(Impossible, why)
	switch {
	case r.as.limited():
		e.Accepted = []string{r.limits(SI)}
	case instead != "":
		e.Accepted = []string{instead}
	}
	return e
}

// limits prints the plausible range.
func (r *reader) limits(sys System) string {
	if r.as.openAbove() {
		return r.kind.Text(r.as.Low, sys) + " or more"
	}
	return r.kind.spanText(r.as.Low, r.as.High, sys)
}

// otherBare reads a bare number in the other unit that people leave out.
func (r *reader) otherBare(s string) (float64, *Unit, bool) {
	if r.as.Bare == "" || r.as.OtherBare == "" {
		return 0, nil, false
	}
	f, rest, why := takeNumber(s)
	if w := r.words[strings.ToLower(tidyUnit(rest))]; why != "" || rest != "" && (w == nil || w.means != "bare") {
		return 0, nil, false
	}
	unit := r.kind.mustUnit(r.as.OtherBare)
	v := unit.of(f)
	return v, unit, r.as.holds(v)
}
