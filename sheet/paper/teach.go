package paper

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/view"
	"soundmetal/source"
)

// Teaching is the sheet with the working of every figure of the plan: formula,
// his own figures, the steps, the source, why it matters and what happens if it
// is skipped. Figures that come from one calculation stand together.
func Teaching(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	f := newFlow(o, 1, o.Words.T("teach.title")+" · "+font.Isolate(s.Plan.Job), s.Plan.Job)
	f.told = map[string]bool{}
	f.titleBlock(f.t("teach.title"), s.Plan.Job, s.about()...)
	f.para(f.t("teach.head"), style{after: 1.5})
	f.twinColumns()
	if s.Plan.MakeSafe != nil {
		f.teach(*s.Plan.MakeSafe)
	}
	for _, it := range items {
		if !it.Plan.Planned {
			f.notPlanned(it)
			continue
		}
		if len(items) > 1 {
			f.mark(it.Name())
			f.space(2)
			f.need(30)
			f.para(it.Name(), style{size: titleSize - 1.5, bold: true})
		}
		for _, sec := range it.Plan.Sections {
			f.teach(sec)
		}
	}
	for _, sec := range []*plan.Section{s.Plan.Bring, s.Plan.Hours} {
		if sec != nil {
			f.teach(*sec)
		}
	}
	return f.finish(s.caution()), nil
}

// teach writes a section: figures with their working, and the reasons of what is
// to be done.
func (f *flow) teach(s plan.Section) {
	f.heading(s.Title)
	lines := s.Lines
	for i := 0; i < len(lines); {
		l := lines[i]
		if l.Figure == nil {
			f.reason(l)
			i++
			continue
		}
		// figures of one calculation share its working
		k := i + 1
		for k < len(lines) && lines[k].Figure != nil && reflect.DeepEqual(lines[k].Figure.Basis, l.Figure.Basis) {
			k++
		}
		for _, m := range lines[i:k] {
			f.need(14)
			f.rows([]figure{{f.lead(m.Figure.Label), f.lead(m.Figure.Text)}}, 0.45)
			f.space(-1.5)
		}
		if first := f.shown(l.Figure); first == "" {
			f.working(l.Figure.Basis)
		} else {
			f.para(f.t("teach.again", f.lead(first)), style{size: smallSize, indent: teachIndent})
			b := l.Figure.Basis
			b.Also = nil
			f.notes(b)
			f.because(b)
			f.space(2)
		}
		i = k
	}
}

// reason is a line with why it is done; what was explained before is not
// explained again.
func (f *flow) reason(l plan.Line) {
	text := f.lead(l.Text)
	if f.told[text] {
		return
	}
	f.told[text] = true
	if l.Kind == plan.Caution {
		f.caution(text)
	} else {
		f.need(8)
		f.para(text, style{size: bodySize - 0.3})
	}
	if l.Basis == nil {
		return
	}
	f.because(*l.Basis)
	f.space(1)
}

// shown gives the name of the figure under which the same working stands
// already, or "" where it is new. Notes and source may differ: they are printed
// with each.
func (f *flow) shown(fig *plan.Figure) string {
	a := fig.Basis
	for _, w := range f.workings {
		b := w.Basis
		if a.Method == b.Method && a.Formula == b.Formula && reflect.DeepEqual(a.Inputs, b.Inputs) && reflect.DeepEqual(a.Steps, b.Steps) && len(a.Steps) > 0 {
			return w.Label
		}
	}
	f.workings = append(f.workings, fig)
	return ""
}

const teachIndent = 3.0

func (f *flow) because(b source.Basis) {
	st := style{size: smallSize, indent: teachIndent}
	if b.Why != "" {
		f.para(f.t("teach.why", f.lead(b.Why)), st)
	}
	if b.Skip != "" {
		f.para(f.t("teach.skip", f.lead(b.Skip)), st)
	}
	if b.Ref.Key != "" {
		f.para(f.t("teach.source", b.Ref.String(), string(b.Ref.Status)), style{size: smallSize * 0.95, indent: teachIndent, tone: draw.Dark})
	}
}

// working writes a basis. The steps stand in the units of the formula, as in its
// source; everything else leads in the sheet's system.
func (f *flow) working(b source.Basis) {
	st := style{size: smallSize, indent: teachIndent}
	f.space(0.4)
	if b.Title != "" {
		f.para(f.lead(b.Title), style{size: smallSize, indent: teachIndent, bold: true})
	}
	if b.Formula != "" {
		f.para(view.Turn(b.Formula, f.Units), st)
	}
	var with []string
	for _, in := range b.Inputs {
		text := in.Name + " = " + f.lead(in.Text)
		if in.From != "" {
			text += " (" + f.lead(in.From) + ")"
		}
		with = append(with, text)
	}
	if len(with) > 0 {
		f.para(f.t("teach.with", strings.Join(with, "; ")), st)
	}
	for _, s := range b.Steps {
		f.para(view.Turn(stepText(s), f.Units), style{size: smallSize, indent: teachIndent + 3})
	}
	f.notes(b)
	f.because(b)
	var also []string
	for _, a := range b.Also {
		also = append(also, a.String()+" ["+string(a.Status)+"]")
	}
	if len(also) > 0 {
		f.para(f.t("teach.also", strings.Join(also, "; ")), style{size: smallSize * 0.95, indent: teachIndent, tone: draw.Dark})
	}
	f.space(2)
}

func (f *flow) notes(b source.Basis) {
	if len(b.Notes) > 0 {
		f.para(f.t("teach.note", f.lead(strings.Join(b.Notes, "; "))), style{size: smallSize, indent: teachIndent})
	}
}

// stepText is one line of the working: name: formula = figures = value.
func stepText(s source.Step) string {
	value := s.Text
	if value == "" {
		value = number(s.Value)
		if s.Unit != "" && s.Unit != "1" {
			value += " " + s.Unit
		}
	}
	return s.Name + ": " + join(" = ", s.Formula, s.With, value)
}

// number prints a number of the working with four significant figures.
func number(v float64) string {
	switch a := math.Abs(v); {
	case v == 0:
		return "0"
	case a >= 1e7 || a < 1e-4:
		return strconv.FormatFloat(v, 'e', 3, 64)
	case a >= 1000:
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	default:
		text := strconv.FormatFloat(v, 'f', max(0, 3-int(math.Floor(math.Log10(a)))), 64)
		if strings.Contains(text, ".") {
			text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
		}
		return text
	}
}
