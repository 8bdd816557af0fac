package cut

// Passes for a wanted groove.
//
// Method
//   D   depth to gouge = depth wanted − metal left for the grinder, mm
//   d   carbon, mm;  p depth of a pass;  w = d + 3.2 its width
//   layers       N = ⌈D / p⌉, p planned 0.8·d, range 0.6 to 1.3·d
//   side by side n = 1 + ⌈(W − w) / (pitch·w)⌉ on a layer W wide, W measured
//                half way up the layer between root and top width
//   length of a pass on a layer = full length + what the sloped ends still add
//                at that depth
// Validity: straight-sided or U grooves. Source: derived; pitch is judgement.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Plan is the passes of one groove.
type Plan struct {
	Carbon  q.Length         `json:"carbon"`
	Gouge   q.Length         `json:"gouge"`   // depth to gouge; the rest is ground
	Grind   q.Length         `json:"grind"`   // left for the grinder on every face
	Depth   q.Length         `json:"depth"`   // of one planned pass
	Width   q.Length         `json:"width"`   // of one pass
	Layers  Amount[float64]  `json:"layers"`  // one below the other
	Abreast []int            `json:"abreast"` // planned passes side by side, top layer first
	Passes  Amount[float64]  `json:"passes"`
	Length  Amount[q.Length] `json:"length"`  // of all passes together
	Pass    q.Area           `json:"pass"`    // section of one planned pass
	Removed q.Mass           `json:"removed"` // by the carbon
	Ground  q.Mass           `json:"ground"`  // by the grinder
}

// check refuses an impossible groove.
func (g Groove) check() error {
	for _, l := range []struct {
		what string
		v    q.Length
	}{{"the groove's depth", g.Depth}, {"the groove's top width", g.TopWidth}, {"the groove's root width", g.RootWidth}, {"the groove's length", g.Full}} {
		if err := positive(l.what, l.v); err != nil {
			return err
		}
	}
	if g.RootWidth > g.TopWidth+1e-9 {
		return fmt.Errorf("the root width %.4g mm is more than the top width %.4g mm: the groove would be undercut", g.RootWidth.MM(), g.TopWidth.MM())
	}
	if g.Ramps < 0 || g.Ramps > 2 || g.Ramp < 0 || g.Area < 0 {
		return fmt.Errorf("a groove has 0, 1 or 2 sloped ends of a length that is not negative")
	}
	return nil
}

// Passes plans the passes of one carbon for the groove wanted. An unknown pass
// depth is planned at 0.8·d; a known one (measured on a first pass) is used.
func Passes(g Groove, carbon q.Length, depth q.Maybe[q.Length], s Steel) (source.Result[Plan], error) {
	var none source.Result[Plan]
	if err := g.check(); err != nil {
		return none, err
	}
	one, err := OnePass(carbon, depth)
	if err != nil {
		return none, err
	}
	grind, err := GrindOff(s)
	if err != nil {
		return none, err
	}
	v := Plan{Carbon: carbon, Grind: grind.Value.Likely, Gouge: g.Depth - grind.Value.Likely, Depth: one.Value.Depth, Width: one.Value.Width}
	if v.Gouge <= 0 {
		return none, &source.OutOfRange{Method: "gouge-passes", Quantity: "groove depth", Value: g.Depth.MM(), Low: v.Grind.MM(), High: math.Inf(1), Unit: "mm",
			Instead: "grind it: no deeper than what is ground off a gouge anyway"}
	}
	pitch := figure("pass-pitch")
	likely := g.count(v, v.Depth, pitch.Likely)
	most := g.count(v, one.Value.Depths.Low, pitch.Low)
	least := g.count(v, one.Value.Depths.High, pitch.High)
	if depth.Known {
		most, least = g.count(v, v.Depth, pitch.Low), g.count(v, v.Depth, pitch.High)
	}
	span := func(f func(counted) float64) Amount[float64] {
		return Amount[float64]{f(likely), q.Span(f(least), f(most))}
	}
	v.Abreast = likely.abreast
	v.Layers = span(func(c counted) float64 { return float64(len(c.abreast)) })
	v.Passes = span(func(c counted) float64 { return c.passes })
	l := span(func(c counted) float64 { return c.length })
	v.Length = Amount[q.Length]{q.Length(l.Likely), q.Of[q.Length]{Low: q.Length(l.Range.Low), High: q.Length(l.Range.High)}}
	v.Pass = sectionOf(v.Width, min(v.Depth, v.Gouge/q.Length(v.Layers.Likely)))

	// the wall ground off is taken as a trapezoid of root and top width
	rho := figure("density").Likely
	long := float64(g.Full) + float64(g.Ramps)*float64(g.Ramp)/2
	wall := float64(g.RootWidth) + 2*math.Hypot(float64(g.Depth), float64(g.TopWidth-g.RootWidth)/2)
	all := g.section() * 1e-6 * long * rho
	v.Ground = q.Mass(min(wall*float64(v.Grind)*long*rho, all))
	v.Removed = q.Mass(all) - v.Ground

	b := source.Basis{
		Method: "gouge-passes", Title: "Gouging passes for the groove", Formula: "N = ⌈D / p⌉ layers; n = 1 + ⌈(W − w) / (pitch · w)⌉ side by side",
		Inputs: []source.Input{
			{Name: "groove", Text: fmt.Sprintf("%s deep, %s wide at the top, %s at the root", length(g.Depth), length(g.TopWidth), length(g.RootWidth))},
			{Name: "length at full depth", Text: length(g.Full)}, {Name: "carbon", Text: length(carbon)},
			{Name: "depth of a pass", Text: length(v.Depth), From: one.Basis.Inputs[1].From},
		},
		Steps: []source.Step{
			{Name: "depth to gouge", Formula: "D = depth − grinding", With: fmt.Sprintf("%.4g − %.4g", g.Depth.MM(), v.Grind.MM()), Value: v.Gouge.MM(), Unit: "mm"},
			{Name: "layers", Formula: "⌈D / p⌉", With: fmt.Sprintf("%.4g / %.4g", v.Gouge.MM(), v.Depth.MM()), Value: v.Layers.Likely},
			{Name: "side by side, top layer first", Text: fmt.Sprint(v.Abreast), Value: v.Passes.Likely, Unit: "passes"},
			{Name: "all passes together", Value: float64(v.Length.Likely), Unit: "m", Text: fmt.Sprintf("%.2g to %.2g m", float64(v.Length.Range.Low), float64(v.Length.Range.High))},
			{Name: "removed by the carbon", Value: float64(v.Removed), Unit: "kg"},
			{Name: "removed by the grinder", Value: float64(v.Ground), Unit: "kg"},
		},
		Ref: source.At("derived", "geometry", source.Derived), Also: []source.Ref{one.Basis.Ref, grind.Basis.Ref, pitch.Ref},
		Notes: []string{fmt.Sprintf("published pass depths differ by a factor of two: %.0f to %.0f passes; measure the first pass and enter its depth", v.Passes.Range.Low, v.Passes.Range.High)},
		Why:   "Several shallow passes show the crack after each one.",
		Skip:  "One deep pass hides the crack under thrown metal, and part of it stays in.",
	}
	if one.Value.Warn != "" {
		b.Notes = append(b.Notes, one.Value.Warn)
	}
	return source.Result[Plan]{Value: v, Basis: b}, nil
}

type counted struct {
	abreast        []int
	passes, length float64
}

// count lays passes of depth p into the groove.
func (g Groove) count(v Plan, p q.Length, pitch float64) counted {
	layers := int(math.Ceil(float64(v.Gouge/p) - 1e-9))
	top, root := float64(g.TopWidth-2*v.Grind), float64(g.RootWidth-2*v.Grind)
	w := float64(v.Width)
	c := counted{}
	for i := range layers {
		at := (float64(i) + 0.5) / float64(layers) // part of the depth, from the surface
		n := 1
		if over := top + (root-top)*at - w; over > 1e-9 {
			n += int(math.Ceil(over/(pitch*w) - 1e-9))
		}
		c.abreast = append(c.abreast, n)
		c.passes += float64(n)
		c.length += float64(n) * (float64(g.Full) + float64(g.Ramps)*float64(g.Ramp)*(1-at))
	}
	return c
}
