package strength

import (
	"fmt"
	"math"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// work collects the basis of a result while it is worked out.
type work struct{ b source.Basis }

// begin opens a basis.
func begin(method, title, formula string, ref source.Ref) *work {
	return &work{source.Basis{Method: method, Title: title, Formula: formula, Ref: ref}}
}

// in notes an input.
func (w *work) in(name, text, from string) {
	w.b.Inputs = append(w.b.Inputs, source.Input{Name: name, Text: text, From: from})
}

// length notes an input that is a length, in both systems.
func (w *work) length(name string, l q.Length, from string) { w.in(name, l.Text(q.SI), from) }

// stress notes an input that is a stress, in both systems.
func (w *work) stress(name string, s q.Stress, from string) { w.in(name, s.Text(q.SI), from) }

// size prints lengths that belong together, in both systems: 300 × 16 mm (11-13/16 × 5/8 in).
func size(joint string, all ...q.Length) string {
	var si, us []string
	for _, l := range all {
		si = append(si, strings.TrimSuffix(l.In(q.SI), " mm"))
		us = append(us, strings.TrimSuffix(l.In(q.US), " in"))
	}
	return strings.Join(si, joint) + " mm (" + strings.Join(us, joint) + " in)"
}

// step notes one line of the working.
func (w *work) step(name, formula, with string, v float64, unit string) {
	if math.IsInf(v, 0) || math.IsNaN(v) { // JSON has neither
		w.say(name, fmt.Sprintf("%s: no limit", formula))
		return
	}
	w.b.Steps = append(w.b.Steps, source.Step{Name: name, Formula: formula, With: with, Value: v, Unit: unit})
}

// say notes a line whose outcome is words.
func (w *work) say(name, text string) {
	w.b.Steps = append(w.b.Steps, source.Step{Name: name, Text: text})
}

// note adds a limit, a doubt or an assumption, once.
func (w *work) note(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	for _, n := range w.b.Notes {
		if n == text {
			return
		}
	}
	w.b.Notes = append(w.b.Notes, text)
}

// also adds further sources.
func (w *work) also(refs ...source.Ref) { w.b.Also = append(w.b.Also, refs...) }

// why closes the basis with the sentence for the apprentice.
func (w *work) why(why, skip string) { w.b.Why, w.b.Skip = why, skip }

// result closes the work with its value.
func result[T any](w *work, v T) source.Result[T] { return source.Result[T]{Value: v, Basis: w.b} }

// num prints a number with four figures, without exponent where it can.
func num(v float64) string {
	switch a := math.Abs(v); {
	case a == 0:
		return "0"
	case a >= 1e6 || a < 1e-3:
		return fmt.Sprintf("%.3e", v)
	case a >= 1000:
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.4g", v)
}

// percent prints a share.
func percent(v float64) string {
	if v >= 0.1 {
		return fmt.Sprintf("%.0f %%", 100*v)
	}
	return fmt.Sprintf("%.2g %%", 100*v)
}

// list joins words as a sentence does.
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// positive refuses a value that must be above zero.
func positive(method string, pairs ...any) error {
	for i := 0; i+1 < len(pairs); i += 2 {
		name, v := pairs[i].(string), pairs[i+1].(float64)
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("%s: %s must be above zero", method, name)
		}
	}
	return nil
}
