package web

import (
	"errors"
	"net/url"
	"slices"
	"strings"

	"soundmetal/book"
	"soundmetal/job"
)

// Forms. Every form of the pages is a list of fields shown by one template
// (templates/form.html), so that all of them look, check and keep what was typed
// in the same way.

// Form is a form as it is shown.
type Form struct {
	Title, Icon string
	Lead        string   // a sentence on top
	Warn        []string // cautions on top
	Fields      []Field
	Submit      string // the words on the button
	Action      string // "": the page's own address
	Back        string // where "leave it" leads
	Err         string // of the whole form
	Multipart   bool
	Facts       []string // what is known already, to re-enter the work
}

// Kinds of field.
const (
	kindText    = "text"    // one line
	kindMeasure = "measure" // one line, a value with its unit, may be unknown
	kindChips   = "chips"   // one of a few words
	kindTicks   = "ticks"   // any of a few words
	kindArea    = "area"    // lines
	kindHidden  = "hidden"
	kindPhoto   = "photo"
	kindFile    = "file"
	kindSign    = "sign" // a drawn signature
	kindDay     = "day"
	kindHead    = "head" // a heading between fields
)

// Field is one field of a form.
type Field struct {
	Name, Label, Hint string
	Kind              string
	Choices           []Choice
	Usual             []string // values often typed, offered as chips
	Value             string
	Ticked            []string // of ticks
	Err               string
	Must              bool // it cannot be left out
	Mode              string
	Fixed             bool // what was sent never takes its place
}

// Choice is one word of a closed list.
type Choice struct{ Value, Text, Icon string }

// Has says whether a tick is set.
func (f Field) Has(v string) bool { return slices.Contains(f.Ticked, v) }

// ticked sets ticks from a fact, which is a list with commas.
func (f Field) ticked(fact string) Field {
	f.Ticked = strings.FieldsFunc(fact, func(c rune) bool { return c == ',' || c == ' ' || c == '[' || c == ']' })
	return f
}

// ID is the field's id on the page.
func (f Field) ID() string {
	return "f-" + strings.NewReplacer(".", "-", "[", "-", "]", "").Replace(f.Name)
}

func measure(name, label string, usual ...string) Field {
	return Field{Name: name, Label: label, Kind: kindMeasure, Usual: usual}
}

func text(name, label string) Field { return Field{Name: name, Label: label, Kind: kindText} }

func area(name, label string) Field { return Field{Name: name, Label: label, Kind: kindArea} }

func hidden(name, value string) Field { return Field{Name: name, Kind: kindHidden, Value: value} }

func chips(name, label string, choices ...Choice) Field {
	return Field{Name: name, Label: label, Kind: kindChips, Choices: choices}
}

func (f Field) must() Field            { f.Must = true; return f }
func (f Field) hint(s string) Field    { f.Hint = s; return f }
func (f Field) is(v string) Field      { f.Value = v; return f }
func (f Field) fixed() Field           { f.Fixed = true; return f }
func (f Field) mode(m string) Field    { f.Mode = m; return f }
func heading(label, hint string) Field { return Field{Label: label, Hint: hint, Kind: kindHead} }

var dontKnow = Choice{"unknown", "Don't know", "ask"}

var yesNo = []Choice{{"yes", "Yes", "done"}, {"no", "No", "no"}, dontKnow}

// ago asks when it happened: he has no hands to type a date, and a service
// worker and an office may live in different time zones.
func ago(label string) Field {
	return Field{Name: "ago", Label: label, Kind: kindMeasure, Usual: []string{"now", "5 min", "15 min", "30 min", "1 h"},
		Hint: "Leave it empty for now; or how long ago: 20 min, 2 h."}
}

// fill puts what was typed into the fields.
func (f *Form) fill(v url.Values) {
	for i := range f.Fields {
		fd := &f.Fields[i]
		if fd.Name == "" || fd.Kind == kindPhoto || fd.Kind == kindFile || fd.Fixed {
			continue
		}
		if vs, ok := v[fd.Name]; ok && fd.Kind == kindTicks {
			fd.Ticked = vs
		} else if ok {
			fd.Value = strings.Join(vs, ", ")
		}
	}
}

// refuse puts a refusal beside its field; what names no field of the form stands
// on top.
func (f *Form) refuse(no *book.Refusal) {
	want := no.Field
	at := -1
	for i, fd := range f.Fields {
		bare := strings.TrimPrefix(strings.TrimPrefix(fd.Name, "j."), "i.")
		if fd.Name == "" || fd.Kind == kindHidden || want == "" {
			continue
		}
		if fd.Name == want || bare == want || strings.HasSuffix(want, "."+bare) || strings.HasPrefix(want, bare+"[") {
			at = i
			break
		}
	}
	if at < 0 {
		f.Err = capital(no.Text) + "."
		return
	}
	f.Fields[at].Err = capital(no.Text) + "."
	f.Err = "One field has to be put right: " + f.Fields[at].Label
}

// values are the fields of a posted form.
type values struct {
	url.Values
	units job.Units
	r     *request
}

func (v values) text(name string) string { return strings.TrimSpace(v.Get(name)) }

// lines gives a text area, or several fields of one name, line by line.
func (v values) lines(name string) []string {
	var all []string
	for _, s := range v.Values[name] {
		for line := range strings.Lines(s) {
			if line = strings.TrimSpace(line); line != "" {
				all = append(all, line)
			}
		}
	}
	return all
}

// said reads a measured value; the first error is kept in err.
func said[T ~float64](v values, name, what string, err *error) *book.Said[T] {
	if *err != nil {
		return nil
	}
	s, e := book.Say[T](what, v.text(name), v.units)
	var no *book.Refusal
	if errors.As(e, &no) {
		no.Field = name
	}
	*err = e
	return s
}

// wrong is a refusal made here, for what only a form can get wrong.
func wrong(field, text string) error {
	return &book.Refusal{Code: book.CodeField, Field: field, Text: text}
}
