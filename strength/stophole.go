package strength

// Method:   holes at the tips of a through crack, to hold it for a while
// Symbols:  ΔK in MPa√m of the crack with its holes, ρ hole radius in m, σy yield in MPa
// Formula:  no new crack if ΔK/√ρ < 10.5·√σy (4·√σy in ksi and inches); hence
//           ρ ≥ (ΔK/(10.5·√σy))². The crack counts with its holes: 2a = tip to tip + 2ρ
// Validity: through cracks under even in-plane stress; not for surface cracks, not where the
//           crack is driven by out-of-plane bending at a stiff gap
// Source:   Fisher, NCHRP 336 family (bridge tests), from memory; field rules common practice.
//           The laboratory rule 26.3·√σy is shown and not used: unconservative for drilled holes

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// StopHoleInput is what StopHole needs.
type StopHoleInput struct {
	Range    q.Stress // of the gross section
	Length   q.Length // visible crack, tip to tip; from the edge to the tip where Edge is set
	Edge     bool     // the crack starts at an edge: one hole
	Width    q.Length // of the plate; zero is wide
	Yield    q.Stress
	Includes bool // Length already includes the holes, as in the rule's own tables
}

// StopHoleSize is the hole that would hold.
type StopHoleSize struct {
	Needed     q.Length // radius by the rule
	Diameter   q.Length // to drill: at least 25 mm
	Laboratory q.Length // radius by the laboratory rule: do not use
	Intensity  q.StressIntensity
	Net        q.Ratio // net stress over gross stress
}

// StopHole gives the hole that holds a crack for a while.
func StopHole(in StopHoleInput) (source.Result[StopHoleSize], error) {
	const method = "stop-hole"
	none := source.Result[StopHoleSize]{}
	ds, l, sy := in.Range.MPa(), in.Length.MM(), in.Yield.MPa()
	if err := positive(method, "stress range", ds, "crack length", l, "yield", sy); err != nil {
		return none, err
	}
	width := in.Width.MM()
	if width <= 0 {
		width = 1e6 * l // wide against the crack
	}
	w := begin(method, "Hole that holds a crack's tip", "ρ ≥ (ΔK/(10.5·√σy))²", figRef("hole_rule"))
	w.also(figRef("hole_laboratory"), figRef("hole_least"))
	w.stress("stress range", in.Range, "")
	w.length("crack", in.Length, "")
	if in.Width > 0 {
		w.length("width", in.Width, "")
	}
	w.stress("yield", in.Yield, "")
	geometry, share := Through, 0.5
	if in.Edge {
		geometry, share = Edge, 1
	}
	c, err := plainCrack(method, geometry, width, 0)
	if err != nil {
		return none, err
	}
	k := func(rho float64) float64 {
		a := share * l
		if !in.Includes {
			if in.Edge {
				rho *= 2 // the far side of the hole
			}
			a += rho
		}
		return ds * c.k(math.Min(a, c.most)) / rootMM
	}
	radius := func(kk, rule float64) float64 { return 1000 * math.Pow(kk/(rule*math.Sqrt(sy)), 2) }
	rule := fig("hole_rule")
	most := fig("hole_radius_most")
	rho := radius(k(0), rule)
	if !in.Includes {
		g := func(r float64) float64 { return r - radius(k(r), rule) }
		high := 20 * most
		rho = high // it grows with the crack it makes and never holds
		if g(high) >= 0 {
			rho, _ = brent(g, 0, high, 1e-9) // g(0) is below zero: the ends differ in sign
		}
	}
	// the hole needed is checked before the geometry, since it is what bounds the case
	if err := source.InRange(method, "hole radius needed", rho, 0, most, "mm",
		"no hole holds it: take the load off or repair it"); err != nil {
		return none, err
	}
	if a := share*l + rho; a > c.most {
		return none, &source.OutOfRange{Method: method, Quantity: "crack with its holes over width", Value: a / width / share, Low: 0, High: c.most / width / share,
			Instead: "hardly anything is left: stop"}
	}
	drill := math.Max(math.Ceil(2*rho), fig("hole_least"))
	cut := l + drill
	if in.Includes {
		cut = l
	}
	s := StopHoleSize{millis(rho), millis(drill), millis(radius(k(0), fig("hole_laboratory"))), q.StressIntensity(k(rho)) * q.MPaRootMetre, q.Ratio(1 / (1 - cut/width))}
	if !(s.Net > 0) {
		return none, fmt.Errorf("%s: crack and holes cut the whole width", method)
	}
	w.step("ΔK with the holes", "Y·Δσ·√(πa)", "", k(rho), "MPa√m")
	w.step("radius needed", "ρ = (ΔK/(10.5·√σy))²", fmt.Sprintf("(%s/(10.5·√%s))²", num(k(rho)), num(sy)), rho, "mm")
	w.step("radius by the laboratory rule (not used)", "ρ = (ΔK/(26.3·√σy))²", "", s.Laboratory.MM(), "mm")
	w.step("drill", "2ρ, at least 25 mm", "", drill, "mm")
	w.step("net stress over gross", "1/(1 - cut/W)", "", float64(s.Net), "1")
	w.note("better %s; the tip must lie inside the hole: centre no further than ρ beyond the visible tip; dye or magnetic test in the bore", millis(fig("hole_wanted")).Text(q.SI))
	w.note("ream, polish, chamfer both sides 1 mm; a tightened high-strength bolt in it helps")
	w.note("a hold and not a repair: look again; never fill the hole with weld; no use on a surface crack or where a stiff gap bends the plate")
	w.why("A round hole spreads the pull that the sharp tip gathers.", "The crack starts again from the hole and nobody looks.")
	return result(w, s), nil
}
