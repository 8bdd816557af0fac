package quantity

import (
	"math"
	"math/big"
	"slices"
	"strings"
)

// ReadAs says how a text is to be read.
type ReadAs struct {
	What string // "thickness", for messages; "" is the name of the kind

	// Bare is the unit of a number without one; "" refuses such a number.
	// OtherBare is a second unit that people leave out ("mm" in a shop that
	// works in inches): where Bare makes a value outside the limits and
	// OtherBare one inside, the error holds both readings.
	Bare, OtherBare string

	// Low and High are plausible limits in SI, ends included. Both 0: none.
	// High 0 with Low above: no upper limit.
	Low, High float64
}

func (as ReadAs) limited() bool { return as.Low != 0 || as.High != 0 }

func (as ReadAs) openAbove() bool { return as.High == 0 && as.Low > 0 }

func (as ReadAs) holds(v float64) bool {
	return v >= as.Low && (v <= as.High || as.openAbove())
}

// Read reads one value as people write it: 3/16", 2'6, 300F, 1h30, 12 mm. It
// also reads what Text, In and Exact print. The error is a *ReadError.
func Read[T ~float64](text string, as ReadAs) (T, error) {
	v, err := ReadKind(KindOf[T](), text, as)
	return T(v), err
}

// ReadKind is Read for a kind known only at run time; the value is in SI.
func ReadKind(kind Kind, text string, as ReadAs) (float64, error) {
	r := reader{kind: kind, lexicon: &lexicons[kind], text: text, as: as}
	v, err := r.read()
	if err != nil {
		return 0, err
	}
	return v, nil
}

// reader reads one text.
type reader struct {
	kind Kind
	*lexicon
	text string
	as   ReadAs
}

func (r *reader) read() (float64, *ReadError) {
	if len(r.text) > maxText {
		return 0, r.fail(BadForm, "too long for one value")
	}
	s := normal(r.text)
	if s == "" {
		return 0, r.fail(NoNumber, "nothing is written")
	}
	if i := strings.LastIndex(s, " ("); i > 0 && strings.HasSuffix(s, ")") {
		return r.withEcho(s[:i], s[i+2:len(s)-1])
	}
	v, unit, err := r.value(s)
	if err != nil {
		return 0, err
	}
	return r.check(v, unit, s)
}

// withEcho reads 1/2 in (12.7 mm), as printed: the two must agree within what
// is printed.
func (r *reader) withEcho(lead, echo string) (float64, *ReadError) {
	inner := *r
	v, unit, err := inner.value(lead)
	if err != nil {
		return 0, err
	}
	inner.as.Bare = ""
	w, other, err := inner.value(echo)
	if err != nil {
		return 0, err
	}
	room := 0.0
	for _, sys := range [...]System{unit.System, other.System} {
		room += max(r.kind.printed(v, sys), r.kind.printed(w, sys)) // one may lie just beyond the edge of a band
	}
	if math.Abs(v-w) > room*(1+1e-9) {
		return 0, r.ask("the two values differ", r.offer(v, unit), r.offer(w, other))
	}
	return r.check(v, unit, lead)
}

// value reads number and unit, with no regard to limits.
func (r *reader) value(s string) (float64, *Unit, *ReadError) {
	f, rest, why := takeNumber(s)
	if why != "" {
		if why == "no number" {
			return 0, nil, r.fail(NoNumber, "it does not begin with a number")
		}
		return 0, nil, r.fail(BadForm, why)
	}
	if err := r.oneValue(rest); err != nil {
		return 0, nil, err
	}
	if f.clock > 0 {
		return r.clock(f, rest)
	}
	rest = r.withoutNoun(rest)
	name := tidyUnit(rest)
	if unit := r.find(name); unit != nil && (name != "" || r.kind == KindNumber) {
		return r.of(f, unit)
	}
	w := r.words[strings.ToLower(name)]
	if name == "" || w != nil && w.means == "bare" {
		return r.bare(f)
	}
	if w != nil {
		return 0, nil, r.doubtful(f, w)
	}
	if v, unit, err, ok := r.compound(f, rest); ok {
		return v, unit, err
	}
	return 0, nil, r.strange(f, rest)
}

// withoutNoun takes off a word that says what is measured: 1/8 in rod, 12 mm plate.
func (r *reader) withoutNoun(rest string) string {
	i := strings.LastIndexByte(rest, ' ')
	if i < 0 {
		return rest
	}
	if w := r.words[strings.ToLower(rest[i+1:])]; w != nil && w.means == "bare" {
		return strings.TrimRight(rest[:i], " ")
	}
	return rest
}

// oneValue refuses a range or a second number.
func (r *reader) oneValue(rest string) *ReadError {
	low := strings.ToLower(rest)
	switch {
	case rest == "":
		return nil
	case strings.HasPrefix(low, "to "), strings.HasPrefix(low, "-") && span(strings.TrimLeft(rest[1:], " "), "0123456789") > 0:
		return r.fail(BadForm, "it looks like a range, and one value is wanted")
	case rest[0] >= '0' && rest[0] <= '9':
		return r.fail(BadForm, "two numbers stand side by side")
	}
	return nil
}

// of gives the value of a number in a unit.
func (r *reader) of(f figure, unit *Unit) (float64, *Unit, *ReadError) {
	if f.or != nil {
		return 0, nil, r.ask("the comma may part the thousands or be a decimal mark",
			r.reading(f.or, unit), r.reading(f.x, unit))
	}
	return unit.of(f), unit, nil
}

// of converts a number as written. One of more digits than a float64 holds is
// converted exactly: only Exact writes those, where no shorter one gives the
// value back. All others are converted as 12 * Millimetre is.
func (u *Unit) of(f figure) float64 {
	if f.long {
		v, _ := new(big.Rat).Mul(new(big.Rat).Sub(f.x, u.exactOffset), u.exact).Float64()
		return v
	}
	return u.SI(f.float())
}

// reading is the text of one reading: 12 mm (15/32 in).
func (r *reader) reading(x *big.Rat, unit *Unit) string {
	f, _ := x.Float64()
	return r.offer(unit.SI(f), unit)
}

// offer prints a value so that it may be given back: at trade precision where
// that loses nothing, with every digit where it does.
func (r *reader) offer(v float64, unit *Unit) string {
	lead := r.lead(v, unit)
	if r.kind.oneSystem() {
		return lead
	}
	return lead + " (" + r.kind.In(v, unit.System.other()) + ")"
}

func (r *reader) lead(v float64, unit *Unit) string {
	lead := r.kind.In(v, unit.System)
	again := reader{kind: r.kind, lexicon: r.lexicon, text: lead}
	if w, _, err := again.value(lead); err == nil && w == v {
		return lead
	}
	return r.kind.Exact(v, unit.Symbol)
}

// bare reads a number without a unit.
func (r *reader) bare(f figure) (float64, *Unit, *ReadError) {
	if r.kind == KindNumber {
		return r.of(f, r.units[0])
	}
	if r.as.Bare == "" {
		return 0, nil, r.fail(NoUnit, "it has no unit")
	}
	unit := r.kind.mustUnit(r.as.Bare)
	if f.fraction && (unit.Symbol == "mm" || unit.Symbol == "cm") {
		inch := r.kind.mustUnit("in")
		return 0, nil, r.ask("a fraction means inches to most, and this job counts in "+unit.Symbol,
			r.reading(f.x, inch), r.reading(f.x, unit))
	}
	return r.of(f, unit)
}

// doubtful refuses a word with the readings it may have.
func (r *reader) doubtful(f figure, w *word) *ReadError {
	if w.means != "ask" {
		return r.fail(OtherKind, w.why)
	}
	var readings []string
	for _, m := range w.readings {
		unit := r.kind.mustUnit(m.unit)
		readings = append(readings, r.offer(unit.SI(f.float()*m.times), unit))
	}
	return r.ask(w.why, readings...)
}

// strange refuses a unit that this kind does not have.
func (r *reader) strange(f figure, rest string) *ReadError {
	other, ok := otherKind(r.kind, tidyUnit(rest))
	if !ok {
		if r.kind == KindNumber {
			return r.fail(UnknownUnit, "only a number is wanted")
		}
		return r.fail(UnknownUnit, quote(rest)+" is not a unit of "+r.kind.String())
	}
	why := strings.TrimSpace(oneLine(r.text)) + " is " + other.a()
	if (r.kind == KindVickers || r.kind == KindBrinell) && (other == KindVickers || other == KindBrinell) {
		why += ", and one scale is not turned into the other here"
	}
	return r.fail(OtherKind, why)
}

// fail makes an error that lists what is accepted.
func (r *reader) fail(fault Fault, why string) *ReadError {
	e := &ReadError{What: r.as.What, Text: r.text, Why: why, Accepted: slices.Clone(r.takes), Fault: fault}
	if e.What == "" {
		e.What = r.kind.String()
	}
	if r.kind == KindNumber {
		e.Accepted = []string{"a plain number"}
	}
	return e
}

// ask makes an error that offers readings.
func (r *reader) ask(why string, readings ...string) *ReadError {
	e := r.fail(Ambiguous, why)
	e.Readings = readings
	return e
}
