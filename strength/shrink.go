package strength

// Method:   how much a weld pulls: across, along, bowing, tilting
// Formula:  across a butt: S = 0.18Aw/t + 0.05d (band 0.10Aw/t to 0.20Aw/t + 0.05d, ±30 %)
//           tee with two fillets S = 1.02·leg/t mm; lap 1.52·leg/t mm; along: 0.025(Aw/Ap)L
//           bow: 0.005Aw·d·L²/I, and F·d·L²/(8EI) with F = 0.335αE·q/(cρ)
//           fillet tilt (inches): 0.02·W·w^1.3/t²
// Validity: free to shrink; steel; the published spread is wide and the band is shown
// Source:   Masubuchi, Blodgett, Okerblom's force, all from memory (shrink.csv)
//
// A formula S = 5.08Aw/t + 1.27d seen in public is 0.2 and 0.05 times 25.4, for
// inches in and mm out; with mm in it is 25 times too big.

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed shrink.csv
var shrinkCSV string

var shrinks = source.ReadFigures("strength/shrink.csv", shrinkCSV, nil)

func shrink(id string) float64 { return shrinks.Of(id).Likely }

// Movement is a movement with its published spread.
type Movement struct {
	Likely q.Length       `json:"likely"`
	Band   q.Of[q.Length] `json:"band"`
}

// ButtShrinkage gives the shrinkage across a butt weld.
func ButtShrinkage(weld q.Area, thickness, gap q.Length) (source.Result[Movement], error) {
	const method = "shrink-across"
	none := source.Result[Movement]{}
	a, t, d := weld.MM2(), thickness.MM(), gap.MM()
	if err := positive(method, "weld area", a, "thickness", t); err != nil {
		return none, err
	}
	if d < 0 {
		return none, fmt.Errorf("%s: root opening must not be below zero", method)
	}
	w := begin(method, "Shrinkage across a butt weld", "S = 0.18·Aw/t + 0.05·d", shrinks.Of("butt_area").Ref)
	w.also(shrinks.Of("butt_area_high").Ref, shrinks.Of("butt_area_low").Ref)
	s := shrink("butt_area")*a/t + shrink("butt_gap")*d
	other := shrink("butt_area_high")*a/t + shrink("butt_gap")*d
	quick := shrink("butt_area_low") * a / t
	spread := shrink("butt_spread")
	band := q.Span(millis(math.Min(quick, s*(1-spread))), millis(math.Max(other, s*(1+spread))))
	w.in("weld area", weld.Text(q.SI), "")
	w.length("thickness", thickness, "")
	w.length("root opening", gap, "")
	w.step("shrinkage", "0.18·Aw/t + 0.05·d", fmt.Sprintf("0.18 × %s/%s + 0.05 × %s", num(a), num(t), num(d)), s, "mm")
	w.step("other printing", "0.20·Aw/t + 0.05·d", "", other, "mm")
	w.step("quick rule", "0.10·Aw/t", "", quick, "mm")
	w.note("±30 %% and free to shrink; a restrained joint moves less and keeps the rest as stress")
	w.why("Weld metal shrinks as it cools and pulls the sides together.", "Pins and bores no longer line up, or the next joint has no gap left.")
	return result(w, Movement{millis(s), band}), nil
}

// Joint is the kind of a fillet joint.
type Joint string

const (
	TeeJoint Joint = "tee" // fillets on both sides
	LapJoint Joint = "lap"
)

// FilletShrinkage gives the shrinkage across a tee or lap joint.
func FilletShrinkage(kind Joint, leg, plate q.Length) (source.Result[Movement], error) {
	const method = "shrink-fillet"
	if err := positive(method, "leg", leg.MM(), "plate thickness", plate.MM()); err != nil {
		return source.Result[Movement]{}, err
	}
	if kind != TeeJoint && kind != LapJoint {
		return source.Result[Movement]{}, fmt.Errorf("%s: joint %q; tee or lap would do", method, kind)
	}
	w := begin(method, "Shrinkage across a fillet joint", "S = c·leg/t in mm", shrinks.Of(string(kind)).Ref)
	s := shrink(string(kind)) * leg.MM() / plate.MM()
	w.length("leg", leg, "")
	w.length("plate", plate, "")
	w.step("shrinkage", "c·leg/t", fmt.Sprintf("%s × %s/%s", num(shrink(string(kind))), num(leg.MM()), num(plate.MM())), s, "mm")
	w.why("Fillets pull too, though less than a butt.",
		"Parts that were square before the fillets are not after.")
	spread := q.Length(shrink("butt_spread"))
	return result(w, Movement{millis(s), q.Span(millis(s)*(1-spread), millis(s)*(1+spread))}), nil
}

// LengthShrinkage gives the shrinkage along a butt weld.
func LengthShrinkage(weld, part q.Area, length q.Length) (source.Result[Movement], error) {
	const method = "shrink-along"
	if err := positive(method, "weld area", weld.MM2(), "area of the part", part.MM2(), "length", length.MM()); err != nil {
		return source.Result[Movement]{}, err
	}
	w := begin(method, "Shrinkage along a weld", "ΔL = 0.025·(Aw/Ap)·L", shrinks.Of("long").Ref)
	s := shrink("long") * weld.MM2() / part.MM2() * length.MM()
	w.in("weld and part", weld.Text(q.SI)+", "+part.Text(q.SI), "")
	w.length("length", length, "")
	w.step("shrinkage", "0.025·(Aw/Ap)·L", "", s, "mm")
	w.note("seen in practice: about 1 mm in 3 m, up to 1 mm in 1 m")
	w.why("A weld along a part shortens it.",
		"The part comes out too short for its pins.")
	l := length.MM()
	return result(w, Movement{millis(s), q.Span(millis(math.Min(s, l/3000)), millis(math.Max(s, l/1000)))}), nil
}

// BowInput is what Bow needs.
type BowInput struct {
	Weld     q.Area
	Distance q.Length // of the weld's centre from the part's middle
	Length   q.Length
	I        SecondMoment
	Heat     q.HeatInput // heat that enters, per length; zero leaves out the force method
}

// Bow gives the bow of a part from a weld along it, by two methods that lie far apart.
func Bow(in BowInput) (source.Result[Movement], error) {
	const method = "shrink-bow"
	a, d, l, i := in.Weld.MM2(), in.Distance.MM(), in.Length.MM(), in.I.MM4()
	if err := positive(method, "weld area", a, "distance", d, "length", l, "second moment", i); err != nil {
		return source.Result[Movement]{}, err
	}
	w := begin(method, "Bow from a weld along a part", "Δ = 0.005·Aw·d·L²/I; Δ = F·d·L²/(8EI), F = 0.335·α·E·q/(cρ)", shrinks.Of("bow").Ref)
	w.also(shrinks.Of("force").Ref)
	first := shrink("bow") * a * d * l * l / i
	low, high := first, first
	w.in("weld area", in.Weld.Text(q.SI), "")
	w.length("distance from the middle", in.Distance, "")
	w.length("length", in.Length, "")
	w.step("by weld area", "0.005·Aw·d·L²/I", "", first, "mm")
	if in.Heat > 0 {
		heat := in.Heat.KJPerMM() * 1000 // J/mm
		force := shrink("force") * fig("expansion") * fig(elastic) * heat / fig("heat_capacity")
		second := force * d * l * l / (8 * fig(elastic) * i)
		low, high = math.Min(first, second), math.Max(first, second)
		w.step("shrinkage force", "F = 0.335·α·E·q/(cρ)", "", force/1000, "kN")
		w.step("by force", "F·d·L²/(8EI)", "", second, "mm")
		w.note("the two methods lie far apart: the truth is between them more often than not")
	}
	w.why("A weld off the middle pulls the part into a bow.",
		"The part comes out bent and its pins bind.")
	return result(w, Movement{millis(first), q.Span(millis(low), millis(high))}), nil
}

// FilletTilt gives how far the edge of a flange rises from a fillet on it.
func FilletTilt(flange, leg, thickness q.Length) (source.Result[Movement], error) {
	const method = "shrink-tilt"
	if err := positive(method, "flange width", flange.MM(), "leg", leg.MM(), "thickness", thickness.MM()); err != nil {
		return source.Result[Movement]{}, err
	}
	w := begin(method, "Tilt of a flange from a fillet", "Δ = 0.02·W·w^1.3/t² (inches)", shrinks.Of("angular").Ref)
	s := shrink("angular") * flange.Inches() * math.Pow(leg.Inches(), shrink("angular_power")) / math.Pow(thickness.Inches(), 2)
	w.length("flange width", flange, "")
	w.length("leg", leg, "")
	w.length("thickness", thickness, "")
	w.step("tilt", "0.02·W·w^1.3/t²", fmt.Sprintf("0.02 × %s × %s^1.3/%s²", num(flange.Inches()), num(leg.Inches()), num(thickness.Inches())), s*25.4, "mm")
	w.note("a single V of up to 20 mm tilts about 1° in 1 to 3 passes; balance a double V 60 to 40 and backgouge")
	w.why("A weld on one side shrinks more there and tilts the plate.",
		"The flange stands off its neighbour and is pulled down cold, which puts the stress back.")
	m := q.Length(s) * q.Inch
	spread := q.Length(shrink("butt_spread"))
	return result(w, Movement{m, q.Span(m*(1-spread), m*(1+spread))}), nil
}
