// Package calc exposes each method of the trade by itself, by name, with named
// values: the list behind `soundmetal calc` and behind every "why?".
//
// A method here parses and labels; the computing is in the room it comes from.
package calc

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Param is one named value of a method.
type Param struct {
	Name    string
	Doc     string
	Kind    q.Kind // kind of quantity; ignored where Number, Words or Text is set
	Unit    string // unit of a plain number
	Small   string // unit of a plain number below Below, where one in Unit could not be meant
	Below   float64
	Number  bool     // a number without unit
	Words   []string // a closed list of words
	Text    bool     // free text
	Default string   // used where the value is left out; "" means it is required unless Optional
	Option  bool     // may be left out without a default
}

// Method is one entry of the list.
type Method struct {
	ID          string
	Title       string
	Params      []Param
	Composition bool     // takes C= Si= Mn= ... in % by mass
	Example     []string // a call that applies, as name=value (examples.go)
	Limits      string   // where the method holds, in words (examples.go)
	run         func(a *args) (Answer, error)
}

// Answer is what a method found. Value is nil where the method does not apply or
// the answer is words only.
type Answer struct {
	Value *float64
	Unit  string
	Low   *float64 // band, where the answer is one; in Unit
	High  *float64
	Text  string // the answer as a welder reads it, both systems where they differ
	Basis source.Basis
}

type basis = source.Basis

// value makes an answer of one number.
func value(v float64, unit, text string, b source.Basis) Answer {
	return Answer{Value: &v, Unit: unit, Text: text, Basis: b}
}

// band makes an answer of a range; Value is the middle.
func band(low, high float64, unit, text string, b source.Basis) Answer {
	mid := (low + high) / 2
	return Answer{Value: &mid, Low: &low, High: &high, Unit: unit, Text: text, Basis: b}
}

// UsageError is a call that cannot be understood: exit status 2.
type UsageError struct{ Text string }

func (e *UsageError) Error() string { return e.Text }

// List gives the methods in the order of the work.
func List() []Method { return slices.Clone(methods) }

// Find gives one method, or an error that names the nearest.
func Find(id string) (Method, error) {
	for _, m := range methods {
		if m.ID == id {
			return m, nil
		}
	}
	var ids []string
	for _, m := range methods {
		ids = append(ids, m.ID)
	}
	return Method{}, &UsageError{fmt.Sprintf("no method %q; the nearest is %q; `soundmetal calc` lists them", id, closest(id, ids))}
}

// Outcome is the JSON form of an answer (see docs/commands.md).
type Outcome struct {
	Method  string         `json:"method"`
	Title   string         `json:"title"`
	Result  *Figure        `json:"result,omitempty"` // absent where the method does not apply
	Formula string         `json:"formula,omitempty"`
	Inputs  []source.Input `json:"inputs,omitempty"`
	Steps   []source.Step  `json:"steps"`
	Source  string         `json:"source"`
	Also    []string       `json:"also,omitempty"`
	Status  source.Status  `json:"status"`
	Applies bool           `json:"applies"`
	Limit   string         `json:"limit,omitempty"` // what put it out of range
	Notes   []string       `json:"notes,omitempty"`
	Why     string         `json:"why"`
	Skip    string         `json:"skip,omitempty"`
}

// Figure is a number with its unit; low and high where it is a band.
type Figure struct {
	Value *float64 `json:"value,omitempty"`
	Unit  string   `json:"unit"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
	Text  string   `json:"text"`
}

// Run parses name=value arguments and runs a method. An *UsageError is a call
// that cannot be understood; a method out of its range is an Outcome that does
// not apply, without error.
func Run(id string, nameValues []string) (Outcome, error) {
	m, err := Find(id)
	if err != nil {
		return Outcome{}, err
	}
	a, err := m.parse(nameValues)
	if err != nil {
		return Outcome{}, err
	}
	answer, err := m.run(a)
	var out *source.OutOfRange
	var none *notApplicable
	switch {
	case errors.As(err, &out), errors.As(err, &none):
		o := outcome(m, m.refusalBasis(answer.Basis))
		o.Applies, o.Limit = false, err.Error()
		return o, nil
	case err != nil:
		return Outcome{}, &UsageError{m.ID + ": " + strings.TrimPrefix(err.Error(), m.ID+": ")}
	}
	o := outcome(m, answer.Basis)
	o.Applies = true
	o.Result = &Figure{answer.Value, answer.Unit, answer.Low, answer.High, answer.Text}
	return o, nil
}

// notApplicable is the answer of a method that says nothing about what was
// asked, and cannot say so as a range.
type notApplicable struct{ err error }

func (e *notApplicable) Error() string { return e.err.Error() }

// refusalBasis gives a refusal the formula, source and reason of the method,
// where the room left them out. They are the same for every call.
func (m Method) refusalBasis(b source.Basis) source.Basis {
	if b.Ref.Key != "" {
		return b
	}
	a, err := m.parse(m.Example)
	if err != nil {
		return b
	}
	example, err := m.run(a)
	if err != nil {
		return b
	}
	e := example.Basis
	return source.Basis{Formula: e.Formula, Ref: e.Ref, Also: e.Also, Why: e.Why, Skip: e.Skip}
}

func outcome(m Method, b source.Basis) Outcome {
	o := Outcome{Method: m.ID, Title: m.Title, Formula: b.Formula, Inputs: b.Inputs, Steps: b.Steps,
		Status: b.Ref.Status, Notes: b.Notes, Why: b.Why, Skip: b.Skip}
	if b.Ref.Key != "" {
		o.Source = b.Ref.String()
	}
	for _, r := range b.Also {
		o.Also = append(o.Also, r.String()+" ["+string(r.Status)+"]")
	}
	if o.Steps == nil {
		o.Steps = []source.Step{}
	}
	return o
}

// JSON gives the outcome as one indented JSON object.
func (o Outcome) JSON() ([]byte, error) { return json.MarshalIndent(o, "", "  ") }

// closest gives the known word that shares most letters pairs with s.
func closest(s string, known []string) string {
	pairs := func(w string) map[string]int {
		m := map[string]int{}
		w = " " + strings.ToLower(w) + " "
		for i := 0; i+1 < len(w); i++ {
			m[w[i:i+2]]++
		}
		return m
	}
	mine := pairs(s)
	best, bestScore := "", -1.0
	for _, k := range known {
		theirs := pairs(k)
		shared, total := 0, 0
		for p := range maps.Keys(theirs) {
			shared += min(mine[p], theirs[p])
			total += theirs[p]
		}
		for _, n := range mine {
			total += n
		}
		if score := 2 * float64(shared) / float64(max(1, total)); score > bestScore {
			best, bestScore = k, score
		}
	}
	return best
}
