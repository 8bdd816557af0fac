package material

// Carbon equivalents: one number for how readily a steel hardens beside a weld.
//
//	CE(IIW) = C + Mn/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15                 IIW Doc. IX-535-67, EN 1011-2 C.2
//	CE(AWS) = C + (Mn+Si)/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15            AWS D1.1 annex, hardness control only
//	CET     = C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40                 EN 1011-2 C.3
//	Pcm     = C + Si/30 + (Mn+Cu+Cr)/20 + Ni/60 + Mo/15 + V/10 + 5B   Ito and Bessyo 1968
//	CEN     = C + A(C)·[Si/24 + Mn/6 + Cu/15 + Ni/20 + (Cr+Mo+Nb+V)/5 + 5B]
//	A(C)    = 0.75 + 0.25·tanh[20·(C - 0.12)]                     Yurioka 1990
//
// All in % by mass. The element limits within which each was fitted are in
// limits.csv. An equivalent is arithmetic and is given for any composition:
// outside the limits the value says InRange false and names what is outside;
// the preheat method that uses it then refuses.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Equivalent is a carbon equivalent and whether its formula was meant for the steel.
type Equivalent struct {
	CE      q.Percent `json:"ce"`
	InRange bool      `json:"in_range"`          // every element and the value itself lie within limits.csv
	Outside []Outside `json:"outside,omitempty"` // what does not
}

// Outside is an element (or the equivalent itself, named CE) beyond a formula's limits.
type Outside struct {
	Element string    `json:"element"`
	Value   q.Percent `json:"value"`
	Low     q.Percent `json:"low"`
	High    q.Percent `json:"high"`
}

// String says it in words.
func (o Outside) String() string {
	return fmt.Sprintf("%s %s %% is outside %s to %s %%", o.Element, num(float64(o.Value)), num(float64(o.Low)), num(float64(o.High)))
}

// A term is one summand: element divided by a number.
type term struct {
	element int
	by      float64
}

// A formula is one carbon equivalent.
type formula struct {
	id, title, text string
	terms           []term
	bainite         bool // the terms after C are multiplied by A(C)
	ref             source.Ref
	also            []source.Ref
	notes           []string
	limits          []limit
}

type limit struct {
	element   string
	low, high float64
	ref       source.Ref
}

var (
	ceIIW = newFormula(formula{id: "ce-iiw", title: "Carbon equivalent CE(IIW)",
		text: "C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15",
		ref:  source.At("iiw-ix-535", "", source.Read), also: []source.Ref{source.At("en1011-2", "C.2", source.Read)},
	}, "C", 1, "Mn", 6, "Cr", 5, "Mo", 5, "V", 5, "Ni", 15, "Cu", 15)
	ceAWS = newFormula(formula{id: "ce-aws", title: "Carbon equivalent CE(AWS)",
		text:  "C + (Mn + Si)/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15",
		ref:   source.At("aws-d1.1", "annex, hardness control", source.Read),
		notes: []string{"only for the hardness-control method of AWS D1.1"},
	}, "C", 1, "Mn", 6, "Si", 6, "Cr", 5, "Mo", 5, "V", 5, "Ni", 15, "Cu", 15)
	cet = newFormula(formula{id: "cet", title: "Carbon equivalent CET",
		text: "C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40",
		ref:  source.At("en1011-2", "C.3", source.Read),
	}, "C", 1, "Mn", 10, "Mo", 10, "Cr", 20, "Cu", 20, "Ni", 40)
	pcm = newFormula(formula{id: "pcm", title: "Cracking parameter Pcm",
		text: "C + Si/30 + (Mn + Cu + Cr)/20 + Ni/60 + Mo/15 + V/10 + 5 B",
		ref:  source.At("ito-bessyo", "", source.Read),
	}, "C", 1, "Si", 30, "Mn", 20, "Cu", 20, "Cr", 20, "Ni", 60, "Mo", 15, "V", 10, "B", 0.2)
	cen = newFormula(formula{id: "cen", title: "Carbon equivalent CEN", bainite: true,
		text:  "C + A(C) × [Si/24 + Mn/6 + Cu/15 + Ni/20 + (Cr + Mo + Nb + V)/5 + 5 B], A(C) = 0.75 + 0.25 tanh[20 (C - 0.12)]",
		ref:   source.At("yurioka-cen", "", source.Read),
		notes: []string{"the Cu, Ni and B terms and the limit C 0.30 % are from memory: check a licensed copy"},
	}, "C", 1, "Si", 24, "Mn", 6, "Cu", 15, "Ni", 20, "Cr", 5, "Mo", 5, "Nb", 5, "V", 5, "B", 0.2)
)

var limitsByMethod = readLimits()

func readLimits() map[string][]limit {
	all := map[string][]limit{}
	for _, r := range source.Table("limits.csv", limitsCSV) {
		m := r.Text("method")
		all[m] = append(all[m], limit{r.Text("element"), r.Num("low"), r.Num("high"), r.Ref()})
	}
	return all
}

// newFormula adds terms, given as element, divisor, ..., and the limits.
func newFormula(f formula, terms ...any) formula {
	for i := 0; i < len(terms); i += 2 {
		by, ok := terms[i+1].(float64)
		if !ok {
			by = float64(terms[i+1].(int))
		}
		f.terms = append(f.terms, term{mustElement(terms[i].(string)), by})
	}
	f.limits = limitsByMethod[f.id]
	return f
}

// bainiteFactor is Yurioka's A(C).
func bainiteFactor(c float64) float64 { return 0.75 + 0.25*math.Tanh(20*(c-0.12)) }

// of computes the equivalent without its working.
func (f *formula) of(c Composition) float64 {
	all := c.all()
	factor := 1.0
	if f.bainite {
		factor = bainiteFactor(all[0])
	}
	sum := all[f.terms[0].element]
	for _, t := range f.terms[1:] {
		sum += factor * all[t.element] / t.by
	}
	return sum
}

// outside lists what lies beyond the limits; value is the equivalent itself.
func (f *formula) outside(c Composition, value float64) (out []Outside, unchecked []string) {
	for _, l := range f.limits {
		v := value
		if l.element != "CE" {
			share, ok := c.Of(l.element)
			if !ok {
				unchecked = append(unchecked, fmt.Sprintf("%s is not part of the composition; its limit %s %% is not checked", l.element, num(l.high)))
				continue
			}
			v = float64(share)
		}
		if !(v >= l.low && v <= l.high) {
			out = append(out, Outside{l.element, q.Percent(v), q.Percent(l.low), q.Percent(l.high)})
		}
	}
	return out, unchecked
}

// result computes the equivalent with its working.
func (f *formula) result(c Composition) (source.Result[Equivalent], error) {
	if err := c.Check(); err != nil {
		return source.Result[Equivalent]{}, err
	}
	all := c.all()
	b := source.Basis{
		Method: f.id, Title: f.title, Formula: f.text, Inputs: c.inputs(""), Ref: f.ref, Also: f.also,
		Why:  "More carbon and alloy make the metal beside the weld harden more; this adds them up as if all were carbon.",
		Skip: "Without it a hardenable steel is welded as cold as mild steel and cracks beside the weld, often a day later.",
	}
	factor := 1.0
	if f.bainite {
		factor = bainiteFactor(all[0])
		b.Steps = append(b.Steps, source.Step{Name: "A(C)", Formula: "0.75 + 0.25 tanh[20 (C - 0.12)]",
			With: fmt.Sprintf("0.75 + 0.25 × tanh[20 × (%s - 0.12)]", num(all[0])), Value: factor})
	}
	for i, t := range f.terms {
		v, by := all[t.element], t.by
		s := source.Step{Name: symbols[t.element] + " term", Value: v / by, Unit: "%"}
		switch {
		case by == 1:
			s.Formula, s.With = symbols[t.element], num(v)
		case by < 1: // B is multiplied by 5
			s.Formula, s.With = num(1/by)+" "+symbols[t.element], num(1/by)+" × "+num(v)
		default:
			s.Formula, s.With = symbols[t.element]+"/"+num(by), num(v)+"/"+num(by)
		}
		if f.bainite && i > 0 {
			s.Formula, s.With, s.Value = "A × "+s.Formula, num(factor)+" × "+s.With, factor*s.Value
		}
		b.Steps = append(b.Steps, s)
	}
	value := f.of(c)
	b.Steps = append(b.Steps, source.Step{Name: f.title, Formula: "sum of the terms", Value: value, Unit: "%"})
	out, unchecked := f.outside(c, value)
	for _, o := range out {
		b.Notes = append(b.Notes, o.String()+" of this formula; the preheat method built on it does not hold")
	}
	b.Notes = append(b.Notes, unchecked...)
	if len(f.limits) > 0 {
		b.Also = append(b.Also[:len(b.Also):len(b.Also)], f.limits[0].ref)
	}
	b.Notes = append(b.Notes, f.notes...)
	return source.Result[Equivalent]{Value: Equivalent{q.Percent(value), len(out) == 0, out}, Basis: b}, nil
}

// CEIIW gives the carbon equivalent of the IIW, called CEV in steel standards.
func CEIIW(c Composition) (source.Result[Equivalent], error) { return ceIIW.result(c) }

// CEAWS gives the carbon equivalent of AWS D1.1's hardness-control method.
func CEAWS(c Composition) (source.Result[Equivalent], error) { return ceAWS.result(c) }

// CET gives the carbon equivalent of EN 1011-2 method B.
func CET(c Composition) (source.Result[Equivalent], error) { return cet.result(c) }

// Pcm gives the cracking parameter of Ito and Bessyo, for low-carbon steels.
func Pcm(c Composition) (source.Result[Equivalent], error) { return pcm.result(c) }

// CEN gives Yurioka's equivalent, which bridges Pcm (low carbon) and CE(IIW).
func CEN(c Composition) (source.Result[Equivalent], error) { return cen.result(c) }
