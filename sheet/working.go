package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"soundmetal/calc"
	"soundmetal/plan"
	"soundmetal/source"
)

// Working prints the answer of one method with its working.
func Working(o calc.Outcome) string {
	var w writer
	w.line(o.Title)
	if o.Applies {
		w.para("  ", "  ", "= "+o.Result.Text)
	} else {
		w.para("  ", "  ", "does not apply: "+o.Limit)
	}
	w.basis(source.Basis{Formula: o.Formula, Inputs: o.Inputs, Steps: o.Steps, Notes: o.Notes, Why: o.Why, Skip: o.Skip})
	if o.Source != "" {
		w.para("  source   ", "           ", o.Source+" ["+string(o.Status)+"]")
	}
	for _, a := range o.Also {
		w.para("  also     ", "           ", a)
	}
	return w.String()
}

// Why prints how a figure of a plan came about.
func Why(f plan.Figure) string {
	var w writer
	w.line(f.Label)
	w.para("  ", "  ", "= "+f.Text)
	w.whole(f.Basis)
	return w.String()
}

// whole writes a basis with its title and sources.
func (w *writer) whole(b source.Basis) {
	if b.Title != "" {
		w.para("  method   ", "           ", b.Title)
	}
	w.basis(b)
	if b.Ref.Key != "" {
		w.para("  source   ", "           ", b.Ref.String()+" ["+string(b.Ref.Status)+"]")
	}
	for _, a := range b.Also {
		w.para("  also     ", "           ", a.String()+" ["+string(a.Status)+"]")
	}
}

func (w *writer) basis(b source.Basis) {
	if b.Formula != "" {
		w.para("  formula  ", "           ", b.Formula)
	}
	for i, in := range b.Inputs {
		head := "           "
		if i == 0 {
			head = "  with     "
		}
		text := in.Name + " = " + in.Text
		if in.From != "" {
			text += " (" + in.From + ")"
		}
		w.para(head, "             ", text)
	}
	for i, s := range b.Steps {
		head := "           "
		if i == 0 {
			head = "  working  "
		}
		w.para(head, "             ", stepText(s))
	}
	for i, n := range b.Notes {
		head := "           "
		if i == 0 {
			head = "  note     "
		}
		w.para(head, "           ", n)
	}
	if b.Why != "" {
		w.para("  why      ", "           ", b.Why)
	}
	if b.Skip != "" {
		w.para("  if not   ", "           ", b.Skip)
	}
}

// stepText prints one line of working.
func stepText(s source.Step) string {
	var parts []string
	for _, p := range []string{s.Formula, s.With} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	switch {
	case s.Text != "":
		parts = append(parts, s.Text)
	default:
		v := number(s.Value)
		if s.Unit != "" {
			v += " " + s.Unit
		}
		parts = append(parts, v)
	}
	return s.Name + ": " + strings.Join(parts, " = ")
}

// number prints a number of the working with four significant figures.
func number(v float64) string {
	a := math.Abs(v)
	switch {
	case v == 0:
		return "0"
	case a >= 1e7 || a < 1e-4:
		return strconv.FormatFloat(v, 'e', 3, 64)
	case a >= 1000:
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	}
	digits := 3 - int(math.Floor(math.Log10(a)))
	s := strconv.FormatFloat(v, 'f', max(0, digits), 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// FigureList prints the names of a plan's figures for --why.
func FigureList(p *plan.Plan) string { return Figures(p.Figures()) }

// Figures prints the names of figures with their texts.
func Figures(all []plan.Figure) string {
	var w writer
	for _, f := range all {
		w.pair("", f.ID, f.Text)
	}
	if w.b.Len() == 0 {
		w.line("no figures: no item of this job may be touched")
	}
	return w.String()
}

// MethodList prints the methods with one line each.
func MethodList(all []calc.Method) string {
	var w writer
	w.line("Methods. Call: soundmetal calc METHOD name=value ...")
	w.blank()
	for _, m := range all {
		w.pair("", m.ID, m.Title)
		var names []string
		for _, p := range m.AllParams() {
			names = append(names, paramSign(p))
		}
		w.para("      ", "      ", strings.Join(names, " "))
	}
	w.blank()
	w.para("", "", "A plain number is in the unit shown by `soundmetal calc METHOD`; with a unit it is converted: d=2in, T0=300F. Lengths and temperatures also as people write them: d=1-1/2\".")
	return w.String()
}

func paramSign(p calc.Param) string {
	s := p.Name + "="
	switch {
	case p.Option:
		return "[" + s + "]"
	case p.Default != "":
		return "[" + s + p.Default + "]"
	}
	return s
}

// MethodHelp prints what one method takes.
func MethodHelp(m calc.Method) string {
	var w writer
	w.line(m.ID + ": " + m.Title)
	w.blank()
	for _, p := range m.AllParams() {
		text := p.Doc
		if p.Words != nil {
			text += ": " + strings.Join(p.Words, ", ")
		}
		if p.Unit != "" {
			text += fmt.Sprintf("; a plain number is in %s", p.Unit)
		}
		switch {
		case p.Default != "":
			text += "; " + p.Default + " if left out"
		case p.Option:
			text += "; may be left out"
		}
		w.pair("  ", p.Name, text)
	}
	return w.String()
}
