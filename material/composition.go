package material

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// symbols are the elements of a Composition in the order they are printed.
var symbols = [...]string{"C", "Si", "Mn", "Cr", "Mo", "V", "Ni", "Cu", "Nb", "B"}

const elements = len(symbols)

// Elements lists the symbols of the elements that a Composition holds.
func Elements() []string { return slices.Clone(symbols[:]) }

func elementIndex(symbol string) (int, bool) {
	for i, s := range symbols {
		if strings.EqualFold(s, symbol) {
			return i, true
		}
	}
	return 0, false
}

func mustElement(symbol string) int {
	i, ok := elementIndex(symbol)
	if !ok {
		panic("material: no element " + symbol)
	}
	return i
}

// Composition is a complete chemical composition in % by mass. A zero is a true
// zero: what is not known is an Analysis, see Complete.
type Composition struct {
	C  q.Percent `json:"C"`
	Si q.Percent `json:"Si"`
	Mn q.Percent `json:"Mn"`
	Cr q.Percent `json:"Cr"`
	Mo q.Percent `json:"Mo"`
	V  q.Percent `json:"V"`
	Ni q.Percent `json:"Ni"`
	Cu q.Percent `json:"Cu"`
	Nb q.Percent `json:"Nb"`
	B  q.Percent `json:"B"`
}

// all gives the composition in the order of symbols.
func (c Composition) all() [elements]float64 {
	return [elements]float64{float64(c.C), float64(c.Si), float64(c.Mn), float64(c.Cr), float64(c.Mo),
		float64(c.V), float64(c.Ni), float64(c.Cu), float64(c.Nb), float64(c.B)}
}

func composition(a [elements]float64) Composition {
	p := func(i int) q.Percent { return q.Percent(a[i]) }
	return Composition{p(0), p(1), p(2), p(3), p(4), p(5), p(6), p(7), p(8), p(9)}
}

// Of gives the share of an element by its symbol; ok is false for an element it does not hold.
func (c Composition) Of(symbol string) (share q.Percent, ok bool) {
	i, ok := elementIndex(symbol)
	if !ok {
		return 0, false
	}
	return q.Percent(c.all()[i]), true
}

// Check refuses shares that cannot be.
func (c Composition) Check() error {
	sum := 0.0
	for i, v := range c.all() {
		if !(v >= 0 && v <= 100) { // NaN too
			return fmt.Errorf("%s %g %% is not a share by mass; give 0 to 100 %%", symbols[i], v)
		}
		sum += v
	}
	if sum > 100 {
		return fmt.Errorf("the elements add up to %g %%, more than the whole steel", sum)
	}
	return nil
}

// String prints the elements that are present.
func (c Composition) String() string {
	var parts []string
	for i, v := range c.all() {
		if v != 0 {
			parts = append(parts, symbols[i]+" "+num(v))
		}
	}
	return strings.Join(parts, " ") + " %"
}

// inputs lists the composition for a basis.
func (c Composition) inputs(from string) []source.Input {
	in := make([]source.Input, 0, elements)
	for i, v := range c.all() {
		in = append(in, source.Input{Name: symbols[i], Text: num(v) + " %", From: from})
	}
	return in
}

// Analysis is a composition of which elements may be unknown.
type Analysis struct {
	C  q.Maybe[q.Percent] `json:"C"`
	Si q.Maybe[q.Percent] `json:"Si"`
	Mn q.Maybe[q.Percent] `json:"Mn"`
	Cr q.Maybe[q.Percent] `json:"Cr"`
	Mo q.Maybe[q.Percent] `json:"Mo"`
	V  q.Maybe[q.Percent] `json:"V"`
	Ni q.Maybe[q.Percent] `json:"Ni"`
	Cu q.Maybe[q.Percent] `json:"Cu"`
	Nb q.Maybe[q.Percent] `json:"Nb"`
	B  q.Maybe[q.Percent] `json:"B"`
}

func (a *Analysis) fields() [elements]*q.Maybe[q.Percent] {
	return [elements]*q.Maybe[q.Percent]{&a.C, &a.Si, &a.Mn, &a.Cr, &a.Mo, &a.V, &a.Ni, &a.Cu, &a.Nb, &a.B}
}

// Known counts the elements that are known.
func (a Analysis) Known() int {
	n := 0
	for _, f := range a.fields() {
		if f.Known {
			n++
		}
	}
	return n
}

// String prints the known elements.
func (a Analysis) String() string {
	var parts []string
	for i, f := range a.fields() {
		if f.Known {
			parts = append(parts, symbols[i]+" "+num(float64(f.V)))
		}
	}
	if parts == nil {
		return "nothing known"
	}
	return strings.Join(parts, " ") + " %"
}

// Analysed makes an Analysis in which every element is known.
func Analysed(c Composition) Analysis {
	var a Analysis
	all := c.all()
	for i, f := range a.fields() {
		*f = q.Known(q.Percent(all[i]))
	}
	return a
}

// ReadAnalysis makes an Analysis of shares by symbol in % by mass, as in a job
// file. Symbols it has no use for (P, S, Al, ...) come back in ignored.
func ReadAnalysis(shares map[string]float64) (a Analysis, ignored []string, err error) {
	fields := a.fields()
	for _, symbol := range slices.Sorted(maps.Keys(shares)) {
		v := shares[symbol]
		i, ok := elementIndex(symbol)
		if !ok {
			ignored = append(ignored, symbol)
			continue
		}
		if !(v >= 0 && v <= 100) {
			return Analysis{}, nil, fmt.Errorf("analysis: %s %g %% is not a share by mass; give 0 to 100 %%", symbol, v)
		}
		if fields[i].Known {
			return Analysis{}, nil, fmt.Errorf("analysis: %s is given twice; keep one", symbols[i])
		}
		*fields[i] = q.Known(q.Percent(v))
	}
	return a, ignored, nil
}

// Complete fills the unknown elements of an analysis with the maximum of the
// family at that thickness; family "" (nobody knows it) takes the conservative
// default of family "unlisted". Nothing unknown becomes zero.
func Complete(a Analysis, family string, thickness q.Maybe[q.Length]) (source.Result[Composition], error) {
	if family == "" {
		family = Unlisted
	}
	f, ok := Lookup(family)
	if !ok {
		return source.Result[Composition]{}, fmt.Errorf("no steel family %q; the list is %s", family, list(familyIDs()))
	}
	b := source.Basis{
		Method: "composition", Title: "Composition with the worst case where the analysis is silent",
		Formula: "measured, else the highest share the family may have",
		Ref:     f.Ref,
		Why:     "A laboratory that did not look for an element did not find it absent.",
		Skip:    "Taking a missing element as zero gives a preheat that is too low.",
	}
	if f.ID == Unlisted {
		b.Notes = append(b.Notes, "no family known: the default maxima are our own conservative judgement")
	}
	c := a.complete(&f, thickness)
	if err := c.Check(); err != nil {
		return source.Result[Composition]{}, err
	}
	all := c.all()
	var assumed []string
	for i, m := range a.fields() {
		from := "analysis"
		if !m.Known {
			from = "maximum of " + f.Name
			assumed = append(assumed, symbols[i])
		}
		b.Inputs = append(b.Inputs, source.Input{Name: symbols[i], Text: num(all[i]) + " %", From: from})
	}
	if assumed != nil {
		b.Notes = append(b.Notes, "assumed at the family's maximum: "+list(assumed))
	}
	if a.C.Known {
		b.Notes = append(b.Notes, "a check of the part may differ from the ladle analysis by C 0.02 to 0.04 %")
	}
	b.Steps = []source.Step{{Name: "composition", Text: c.String()}}
	return source.Result[Composition]{Value: c, Basis: b}, nil
}

// complete fills the unknown elements with the family's maximum.
func (a Analysis) complete(f *Family, thickness q.Maybe[q.Length]) Composition {
	var all [elements]float64
	for i, m := range a.fields() {
		if all[i] = float64(m.V); !m.Known {
			all[i] = f.limit(i, thickness).High
		}
	}
	return composition(all)
}
