package web

import (
	"slices"
	"strings"

	"soundmetal/calc"
)

// Explain mode: one method by itself, change one input and see.

type methodView struct {
	Method  calc.Method
	Fields  []Field
	Outcome *calc.Outcome
	Err     string
	From    string // where "back" leads
	Note    string
	Blank   bool // inputs are shown as text, the answers left to the student
	Inputs  []string
}

func (r *request) explain() error { return r.render("explain", "Explain", calc.List()) }

// methodAt reads the inputs from the address: a page with other figures is
// another address, that can be sent and printed.
func (r *request) methodAt() (methodView, error) {
	m, err := calc.Find(r.PathValue("method"))
	if err != nil {
		return methodView{}, missing("there is no such method")
	}
	v := methodView{Method: m}
	example := map[string]string{}
	for _, nv := range m.Example {
		name, text, _ := strings.Cut(nv, "=")
		example[name] = text
	}
	query := r.URL.Query()
	asked := query.Has("go")
	var call []string
	for _, p := range m.AllParams() {
		f := Field{Name: p.Name, Label: capital(p.Doc), Kind: kindText, Value: p.Default, Must: !p.Option && p.Default == ""}
		if e, ok := example[p.Name]; ok {
			f.Value = e
		}
		if asked {
			f.Value = strings.TrimSpace(query.Get(p.Name))
		}
		if p.Unit != "" {
			f.Hint = "A plain number is in " + p.Unit + "."
		}
		if p.Option {
			f.Hint = strings.TrimSpace(f.Hint + " May be left out.")
		}
		switch {
		case p.Words != nil && len(p.Words) <= 8:
			f.Kind = kindChips
			for _, w := range p.Words {
				f.Choices = append(f.Choices, Choice{w, w, ""})
			}
		case p.Words != nil:
			f.Usual = p.Words
		}
		if f.Value != "" {
			call = append(call, p.Name+"="+f.Value)
			v.Inputs = append(v.Inputs, f.Label+": "+f.Value+prefixed(" ", p.Unit))
		}
		v.Fields = append(v.Fields, f)
	}
	o, err := calc.Run(m.ID, call)
	if err != nil {
		v.Err = capital(strings.TrimPrefix(err.Error(), m.ID+": "))
		for i, f := range v.Fields {
			if strings.HasPrefix(strings.TrimPrefix(err.Error(), m.ID+": "), f.Name+" ") {
				v.Fields[i].Err, v.Err = v.Err, "One value has to be put right: "+f.Label
				break
			}
		}
		return v, nil
	}
	v.Outcome = &o
	return v, nil
}

func (r *request) method() error {
	v, err := r.methodAt()
	if err != nil {
		return err
	}
	name := "method"
	if r.part() {
		name = "method-answer"
	}
	return r.render(name, v.Method.Title, v)
}

// methodSheet is the blank sheet: the inputs given, the working to be filled in.
func (r *request) methodSheet() error {
	v, err := r.methodAt()
	if err != nil {
		return err
	}
	v.Blank = true
	return r.render("blank", v.Method.Title, v)
}

// knownMethod says that a basis names a method that can be tried by itself.
func knownMethod(id string) bool {
	return slices.ContainsFunc(calc.List(), func(m calc.Method) bool { return m.ID == id })
}
