package calc

import (
	"fmt"

	"soundmetal/heat"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

func steelMethods() []Method {
	equivalent := func(id, title string, f func(material.Composition) (source.Result[material.Equivalent], error)) Method {
		return Method{ID: id, Title: title, Composition: true, run: func(a *args) (Answer, error) {
			r, err := f(composition(a))
			ce := float64(r.Value.CE)
			return value(ce, "%", fmt.Sprintf("%.4f %%", ce), r.Basis), err
		}}
	}
	return []Method{
		equivalent("ce-iiw", "Carbon equivalent CE(IIW), CEV", material.CEIIW),
		equivalent("ce-aws", "Carbon equivalent of AWS D1.1, hardness control", material.CEAWS),
		equivalent("cet", "Carbon equivalent CET", material.CET),
		equivalent("pcm", "Composition parameter Pcm", material.Pcm),
		equivalent("cen", "Carbon equivalent CEN", material.CEN),
		{ID: "ms", Title: "Temperature at which martensite begins to form", Composition: true, run: func(a *args) (Answer, error) {
			r, err := material.Ms(composition(a))
			return celsius(r.Value, r.Basis), err
		}},
		{ID: "hardness-strength", Title: "Tensile strength from Brinell hardness",
			Params: []Param{{Name: "HB", Doc: "Brinell hardness", Kind: q.KindBrinell, Unit: "HB"}},
			run: func(a *args) (Answer, error) {
				r, err := material.TensileFromBrinell(get[q.Brinell](a, "HB"))
				return value(r.Value.MPa(), "MPa", r.Value.Text(q.SI), r.Basis), err
			}},
	}
}

// composition reads the elements; one left out is taken as absent, since the
// caller of a calculation states the whole composition.
func composition(a *args) material.Composition {
	return material.Composition{
		C: get[q.Percent](a, "C"), Si: get[q.Percent](a, "Si"), Mn: get[q.Percent](a, "Mn"), Cr: get[q.Percent](a, "Cr"),
		Mo: get[q.Percent](a, "Mo"), V: get[q.Percent](a, "V"), Ni: get[q.Percent](a, "Ni"), Cu: get[q.Percent](a, "Cu"),
		Nb: get[q.Percent](a, "Nb"), B: get[q.Percent](a, "B"),
	}
}

// steelOf gives the composition with its equivalents, as the heat room takes it.
func steelOf(a *args) heat.Steel {
	c := composition(a)
	s := heat.Steel{C: c.C, Si: c.Si, Mn: c.Mn, Cr: c.Cr, Mo: c.Mo, V: c.V, Ni: c.Ni, Cu: c.Cu, Nb: c.Nb, B: c.B}
	equivalent := func(f func(material.Composition) (source.Result[material.Equivalent], error)) q.Percent {
		r, _ := f(c) // an impossible composition is refused by the method that uses it
		return r.Value.CE
	}
	s.CE, s.CET, s.Pcm, s.CEN = equivalent(material.CEIIW), equivalent(material.CET), equivalent(material.Pcm), equivalent(material.CEN)
	return s
}
