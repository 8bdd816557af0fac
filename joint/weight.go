package joint

// Caps, fillets, volumes and masses of weld metal.
//
// Method (mm, mm²)
//   cap        2/3·w·h                    a parabola: the tables use it
//   fillet     z1·z2/2                    legs; equal legs: throat a = z/√2
//   volume     A·L + n·A·r·k              n sloped ends of length r; k = 1/2 at
//              constant width, 1/3 where the width narrows with the depth
//   mass       A·ρ for a metre, V·ρ       ρ = 7850 kg/m³
// Validity: all measures positive. Source: fill-handbook; derived.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

func positive(what string, l q.Length) error {
	if l > 0 && finite(l) {
		return nil
	}
	return fmt.Errorf("%s must be more than 0 mm, not %.4g mm", what, l.MM())
}

// CapArea gives the section of a convex cap of width w and height h.
func CapArea(w, h q.Length) (source.Result[q.Area], error) {
	var none source.Result[q.Area]
	if err := positive("the cap's width", w); err != nil {
		return none, err
	}
	if h < 0 || !finite(h) {
		return none, fmt.Errorf("the cap's height must be 0 mm or more, not %.4g mm", h.MM())
	}
	k := figure("cap-factor")
	v := capSection(w.MM(), h.MM())
	return source.Result[q.Area]{Value: q.Area(v) * q.SquareMillimetre, Basis: source.Basis{
		Method: "cap-area", Title: "Section of a cap", Formula: "2/3·w·h",
		Inputs: []source.Input{{Name: "width w", Text: length(w)}, {Name: "height h", Text: length(h)}},
		Steps:  []source.Step{{Name: "cap", Formula: "2/3·w·h", With: fmt.Sprintf("2/3 × %.4g × %.4g", w.MM(), h.MM()), Value: v, Unit: "mm²"}},
		Ref:    k.Ref, Notes: []string{k.Note},
		Why:  "A cap higher than needed is a notch at its toes, and metal you pay for.",
		Skip: "The rods for the last layer are missing.",
	}}, nil
}

// capSection is exactly two thirds; the table's figure is its five digits.
func capSection(w, h float64) float64 { return w * h * 2 / 3 }

// FilletArea gives the section of a flat fillet with legs z1 and z2.
func FilletArea(z1, z2 q.Length) (source.Result[q.Area], error) {
	var none source.Result[q.Area]
	for _, z := range []q.Length{z1, z2} {
		if err := positive("a fillet's leg", z); err != nil {
			return none, err
		}
	}
	v := z1.MM() * z2.MM() / 2
	over := figure("over-weld")
	b := source.Basis{
		Method: "fillet-area", Title: "Section of a fillet", Formula: "z1·z2 / 2",
		Inputs: []source.Input{{Name: "leg z1", Text: length(z1)}, {Name: "leg z2", Text: length(z2)}},
		Steps:  []source.Step{{Name: "fillet", Formula: "z1·z2 / 2", With: fmt.Sprintf("%.4g × %.4g / 2", z1.MM(), z2.MM()), Value: v, Unit: "mm²"}},
		Ref:    source.At("fill-handbook", "weight per foot of weld metal: fillets", source.Read), Also: []source.Ref{over.Ref},
		Notes: []string{fmt.Sprintf("legs run over: × %.2g on the leg is usual, which is × %.3g on the metal", over.Likely, over.Likely*over.Likely)},
		Why:   "The metal grows with the square of the leg.",
		Skip:  "A leg a third too large costs three quarters more rod and heat.",
	}
	if z1 == z2 {
		b.Steps = append(b.Steps, source.Step{Name: "throat a", Formula: "z / √2", With: fmt.Sprintf("%.4g / √2", z1.MM()), Value: z1.MM() / math.Sqrt2, Unit: "mm"})
	}
	return source.Result[q.Area]{Value: q.Area(v) * q.SquareMillimetre, Basis: b}, nil
}

// LineMass gives the mass of a metre of a section of steel.
func LineMass(a q.Area) (source.Result[q.LineMass], error) {
	if !(a > 0) {
		return source.Result[q.LineMass]{}, fmt.Errorf("a section must be more than 0 mm², not %.4g mm²", a.MM2())
	}
	rho := figure("density")
	v := q.LineMass(float64(a) * rho.Likely)
	return source.Result[q.LineMass]{Value: v, Basis: source.Basis{
		Method: "line-mass", Title: "Weld metal for a metre", Formula: "A·ρ",
		Inputs: []source.Input{{Name: "section", Text: a.Text(q.SI)}},
		Steps: []source.Step{
			{Name: "for a metre", Formula: "A·ρ", With: fmt.Sprintf("%.4g mm² × %.0f kg/m³", a.MM2(), rho.Likely), Value: float64(v), Unit: "kg/m"},
			{Name: "for a foot", Value: float64(v / q.PoundPerFoot), Unit: "lb/ft"},
		},
		Ref: rho.Ref,
		Why: "Rods are bought by mass.", Skip: "The tin is empty before the groove is full.",
	}}, nil
}

// Solid is a length of one section with sloped ends.
type Solid struct {
	Section q.Area
	Full    q.Length // at the full section
	Ramp    q.Length // length of one sloped end
	Ramps   int      // 0, 1 or 2
	Narrow  bool     // the ends narrow with their depth (a V); else constant width
}

// Volume gives the volume of a groove or weld with its sloped ends.
func Volume(s Solid) (source.Result[q.Volume], error) {
	var none source.Result[q.Volume]
	if !(s.Section > 0) {
		return none, fmt.Errorf("a section must be more than 0 mm², not %.4g mm²", s.Section.MM2())
	}
	if s.Full < 0 || s.Ramp < 0 || s.Ramps < 0 || s.Ramps > 2 || s.Full+s.Ramp == 0 {
		return none, fmt.Errorf("a groove has a length and 0, 1 or 2 sloped ends, none of them negative")
	}
	k, name := figure("taper-straight"), "1/2"
	if s.Narrow {
		k, name = figure("taper-narrow"), "1/3"
	}
	v := s.volume()
	return source.Result[q.Volume]{Value: v, Basis: source.Basis{
		Method: "weld-volume", Title: "Volume with sloped ends", Formula: "A·L + n·A·r·k",
		Inputs: []source.Input{{Name: "section", Text: s.Section.Text(q.SI)}, {Name: "length at full section", Text: length(s.Full)},
			{Name: "sloped ends", Text: fmt.Sprintf("%d × %s", s.Ramps, length(s.Ramp))}},
		Steps: []source.Step{
			{Name: "full length", Formula: "A·L", With: fmt.Sprintf("%.4g × %.4g", s.Section.MM2(), s.Full.MM()), Value: float64(s.Section) * float64(s.Full) * 1e6, Unit: "cm³"},
			{Name: "sloped ends", Formula: "n·A·r·k", With: fmt.Sprintf("%d × %.4g × %.4g × %s", s.Ramps, s.Section.MM2(), s.Ramp.MM(), name), Value: float64(v)*1e6 - float64(s.Section)*float64(s.Full)*1e6, Unit: "cm³"},
			{Name: "volume", Value: float64(v) * 1e6, Unit: "cm³"},
			{Name: "mass", Formula: "V·ρ", Value: float64(v) * figure("density").Likely, Unit: "kg"},
		},
		Ref: k.Ref, Also: []source.Ref{figure("density").Ref},
		Why: "The sloped ends are metal too.", Skip: "A rod or two short at the end of the day.",
	}}, nil
}

func (s Solid) volume() q.Volume {
	k := figure("taper-straight")
	if s.Narrow {
		k = figure("taper-narrow")
	}
	return q.Volume(float64(s.Section) * (float64(s.Full) + float64(s.Ramps)*float64(s.Ramp)*k.Likely))
}

// Mass gives the mass of a volume of steel.
func Mass(v q.Volume) (source.Result[q.Mass], error) {
	if !(v > 0) {
		return source.Result[q.Mass]{}, fmt.Errorf("a volume must be more than 0 cm³, not %.4g cm³", float64(v)*1e6)
	}
	rho := figure("density")
	m := q.Mass(float64(v) * rho.Likely)
	return source.Result[q.Mass]{Value: m, Basis: source.Basis{
		Method: "weld-mass", Title: "Mass of weld metal", Formula: "V·ρ",
		Inputs: []source.Input{{Name: "volume", Text: v.Text(q.SI)}},
		Steps:  []source.Step{{Name: "mass", Formula: "V·ρ", With: fmt.Sprintf("%.4g cm³ × %.0f kg/m³", float64(v)*1e6, rho.Likely), Value: float64(m), Unit: "kg"}},
		Ref:    rho.Ref,
		Why:    "Rods are bought by mass.", Skip: "The tin is empty before the groove is full.",
	}}, nil
}
