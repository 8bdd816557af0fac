package calc

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	q "soundmetal/quantity"
)

// args are the parsed values of one call.
type args struct {
	method  string
	numbers map[string]float64 // SI, or the number itself
	words   map[string]string
}

var elements = []string{"C", "Si", "Mn", "Cr", "Mo", "V", "Ni", "Cu", "Nb", "B"}

// parse checks the names and reads the values.
func (m Method) parse(nameValues []string) (*args, error) {
	a := &args{m.ID, map[string]float64{}, map[string]string{}}
	given := map[string]bool{}
	for _, nv := range nameValues {
		name, text, ok := strings.Cut(nv, "=")
		if !ok {
			return nil, m.usage("%q is not of the form name=value", nv)
		}
		p, ok := m.param(name)
		if !ok {
			return nil, m.usage("no value is called %q; did you mean %q? It takes %s", name, closest(name, m.names()), strings.Join(m.names(), ", "))
		}
		if given[p.Name] {
			return nil, m.usage("%s is given twice; keep one", p.Name)
		}
		given[p.Name] = true
		if err := a.read(p, text); err != nil {
			return nil, m.usage("%s", err)
		}
	}
	var missing []string
	for _, p := range m.Params {
		if given[p.Name] || p.Option {
			continue
		}
		if p.Default == "" {
			missing = append(missing, p.Name)
			continue
		}
		if err := a.read(p, p.Default); err != nil {
			panic("calc: default of " + m.ID + " " + p.Name + ": " + err.Error())
		}
	}
	if m.Composition && !given["C"] {
		missing = append(missing, "C")
	}
	if len(missing) > 0 {
		return nil, m.usage("missing %s; `soundmetal calc %s` shows what it takes", strings.Join(missing, ", "), m.ID)
	}
	return a, nil
}

func (m Method) usage(format string, v ...any) error {
	return &UsageError{m.ID + ": " + fmt.Sprintf(format, v...)}
}

func (m Method) names() []string {
	var all []string
	for _, p := range m.allParams() {
		all = append(all, p.Name)
	}
	return all
}

// allParams gives the params with the elements of a composition in front.
func (m Method) allParams() []Param {
	if !m.Composition {
		return m.Params
	}
	all := make([]Param, 0, len(elements)+len(m.Params))
	for _, e := range elements {
		all = append(all, Param{Name: e, Doc: "% by mass of " + e, Kind: q.KindOf[q.Percent](), Unit: "%", Option: e != "C"})
	}
	return append(all, m.Params...)
}

// param finds a param by its exact name, or without regard to case where that is unique.
func (m Method) param(name string) (Param, bool) {
	all := m.allParams()
	for _, p := range all {
		if p.Name == name {
			return p, true
		}
	}
	var found []Param
	for _, p := range all {
		if strings.EqualFold(p.Name, name) {
			found = append(found, p)
		}
	}
	if len(found) == 1 {
		return found[0], true
	}
	return Param{}, false
}

func (a *args) read(p Param, text string) error {
	text = strings.TrimSpace(text)
	switch {
	case p.Words != nil:
		if !slices.Contains(p.Words, strings.ToLower(text)) {
			for _, w := range p.Words { // A, B, C
				if strings.EqualFold(w, text) {
					a.words[p.Name] = w
					return nil
				}
			}
			return fmt.Errorf("%s %q is not one of %s", p.Name, text, strings.Join(p.Words, ", "))
		}
		a.words[p.Name] = strings.ToLower(text)
	case p.Text:
		if text == "" {
			return fmt.Errorf("%s is empty", p.Name)
		}
		a.words[p.Name] = text
	case p.Number:
		f, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil || math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Errorf("%s %q is not a number", p.Name, text)
		}
		a.numbers[p.Name] = f
	default:
		unit := p.Unit
		if p.Kind == q.KindLength && bareFraction(text) {
			unit = "in" // nobody writes a fraction of a millimetre
		}
		if x, err := strconv.ParseFloat(text, 64); err == nil && p.Small != "" && x < p.Below {
			unit = p.Small
		}
		f, err := q.ReadKind(p.Kind, text, q.ReadAs{What: p.Name, Bare: unit})
		if err != nil {
			var bad *q.ReadError
			if errors.As(err, &bad) {
				return bad
			}
			return err
		}
		a.numbers[p.Name] = f
	}
	return nil
}

// bareFraction says that a length is written as a fraction without a unit: 3/16, 1-1/2.
func bareFraction(text string) bool {
	return strings.ContainsAny(text, "/½¼¾⅛⅜⅝⅞") && !strings.ContainsFunc(text, unicode.IsLetter) && !strings.ContainsAny(text, "\"'″′”’")
}

// has says whether a value was given or has a default.
func (a *args) has(name string) bool {
	_, n := a.numbers[name]
	_, w := a.words[name]
	return n || w
}

// num gives a number; get gives it as a quantity.
func (a *args) num(name string) float64 { return a.numbers[name] }

func (a *args) word(name string) string { return a.words[name] }

func get[T ~float64](a *args, name string) T { return T(a.numbers[name]) }
