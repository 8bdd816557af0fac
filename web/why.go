package web

import (
	"strconv"
	"strings"

	"soundmetal/book"
	"soundmetal/plan"
	"soundmetal/sheet/view"
	"soundmetal/source"
)

// whyView is the working behind one figure or line.
type whyView struct {
	Title string
	Text  string
	Basis source.Basis
	Try   string // address where the method can be tried by itself
	Back  string
	Also  []string // causes and cures of a deviation
	Cures []string
}

// why answers for one number: a figure by its name, a line by its place, a hold
// point, a deviation, or a finding of the first question.
func (r *request) why() error {
	kind, id, _ := strings.Cut(r.URL.Query().Get("why"), ".")
	v := whyView{Back: "/jobs/" + r.job.ID}
	switch kind {
	case "d":
		for _, d := range r.job.Deviations {
			if d.ID == id {
				v.Title, v.Text, v.Basis, v.Also, v.Cures = d.Title, d.Text, d.Basis, d.Causes, d.Cures
				return r.render("why", "Why?", v)
			}
		}
		return missing("this job has no such deviation")
	case "h":
		h := r.job.Hold(id)
		if h == nil {
			return missing("the plan in force has no such hold point")
		}
		v.Title, v.Text, v.Basis = "Hold point", h.Text, source.Basis{Why: h.Why, Skip: h.Skip}
		return r.render("why", "Why?", v)
	}
	p, err := r.planOf(r.PathValue("plan"))
	if err != nil {
		return err
	}
	if p == nil {
		return missing("there is no plan yet")
	}
	sys := r.system()
	if plan := r.PathValue("plan"); plan != "" {
		v.Back = "/jobs/" + r.job.ID + "/plans/" + plan
	}
	switch kind {
	case "f":
		f, err := p.plan.Find(id)
		if err != nil {
			return missing("this plan has no such figure")
		}
		v.Title, v.Text, v.Basis = strings.TrimSpace(f.Label), view.Lead(f.Text, sys), f.Basis
		if knownMethod(f.Basis.Method) {
			v.Try = "/explain/" + f.Basis.Method
		}
	case "l":
		line := lineAt(p.plan, id)
		if line == nil || line.Basis == nil {
			return missing("this plan has no such line")
		}
		v.Title, v.Text, v.Basis = line.Basis.Title, view.Lead(line.Text, sys), *line.Basis
		if knownMethod(line.Basis.Method) {
			v.Try = "/explain/" + line.Basis.Method
		}
	default:
		return missing("say which number")
	}
	if v.Title == v.Text {
		v.Title = ""
	}
	return r.render("why", "Why?", v)
}

// lineAt finds a line by place, section and number: 1.heat.3.
func lineAt(p *plan.Plan, at string) *plan.Line {
	parts := strings.Split(at, ".")
	if len(parts) != 3 {
		return nil
	}
	item, errA := strconv.Atoi(parts[0])
	n, errB := strconv.Atoi(parts[2])
	if errA != nil || errB != nil || n < 0 {
		return nil
	}
	in := func(s *plan.Section) *plan.Line {
		if s == nil || s.ID != parts[1] || n >= len(s.Lines) {
			return nil
		}
		return &s.Lines[n]
	}
	if item == 0 {
		for _, s := range []*plan.Section{p.MakeSafe, p.Bring, p.Hours} {
			if l := in(s); l != nil {
				return l
			}
		}
		return nil
	}
	if item < 0 || item > len(p.Items) {
		return nil
	}
	for i := range p.Items[item-1].Sections {
		if l := in(&p.Items[item-1].Sections[i]); l != nil {
			return l
		}
	}
	return nil
}

// logView is a page of the record, entry by entry.
type logView struct {
	Lines      []logLine
	Next, Prev string
	All        int
	Doubts     []book.Doubt
}

type logLine struct {
	book.Line
	Form string // of its correction; "": it is not corrected
	Back string // where it is taken back
}

const logPage = 50

// log shows every entry, the newest first.
func (r *request) log() error {
	all := len(r.job.Log)
	from, _ := strconv.Atoi(r.URL.Query().Get("from"))
	from = max(0, from)
	v := logView{All: all, Doubts: r.job.Doubts}
	for i := all - 1 - from; i >= 0 && len(v.Lines) < logPage; i-- {
		l := logLine{Line: r.job.Log[i]}
		if r.job.Corrects(&l.Line) == nil {
			l.Form = r.path("correct") + "?of=" + l.Ref.String()
			if l.Kind != book.KindDamage { // the customer's no takes that back
				l.Back = r.path("void") + "?of=" + l.Ref.String()
			}
		}
		v.Lines = append(v.Lines, l)
	}
	if from+len(v.Lines) < all {
		v.Next = r.path("log") + "?from=" + strconv.Itoa(from+logPage)
	}
	if from > 0 {
		v.Prev = r.path("log") + "?from=" + strconv.Itoa(max(0, from-logPage))
	}
	return r.render("log", "Everything logged", v)
}
