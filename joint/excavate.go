package joint

// How far the crack is taken out.
//
// Method (mm)
//   L       crack seen;  h hidden ends;  e ends that run out at an edge or hole
//   remove  L + (2 − e)·50, at full depth; a hidden end may add up to
//           max(0.25·L, 25) each                            (judgement)
//   ramps   beyond that, 1 in 3 to 1 in 4, at every end that stops in the metal
//   limit   the width of the part; where it is reached the groove runs out over
//           the edge
// The 50 mm of sound metal is read literally: it is taken out to full depth and
// the ramp lies beyond it.
// Validity: one straight crack of known length in a part of known thickness.
// Source: AWS D1.1:2015 5.25.1.4 (2020: 7.25.1.4); ramps are common practice.

import (
	"fmt"

	"soundmetal/cut"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Damage is the crack and the part around it.
type Damage struct {
	Length    q.Maybe[q.Length] // that can be seen
	Depth     q.Maybe[q.Length] // where it does not go through
	Through   job.Answer
	Ends      job.Ends
	Starts    job.Start
	Corner    job.Answer // runs round a corner or into a second plate
	Branched  job.Answer
	Thickness q.Maybe[q.Length]
	Width     q.Maybe[q.Length] // of the part, along the crack
	Shape     job.Shape
	Access    job.Access // unknown counts as one side
	Position  job.Position
	Process   Process
	Carbon    q.Maybe[q.Length] // of the carbon to be used; unknown: 6 mm root radius
	Steel     cut.Steel
	Backing   job.Answer // can a steel backing be fitted behind?
}

// Excavation is what is taken out and the groove that is left.
type Excavation struct {
	Remove  q.Of[q.Length] `json:"remove"`  // length at full depth
	Ramp    q.Length       `json:"ramp"`    // length of one sloped end of the first side
	Ramps   int            `json:"ramps"`   // ends that stop in the metal
	Slope   q.Ratio        `json:"slope"`   // length of a ramp over its depth
	Surface q.Of[q.Length] `json:"surface"` // length at the surface
	Edges   int            `json:"edges"`   // ends that run out over an edge or into a hole
	Depth   q.Length       `json:"depth"`   // of the first side
	Through bool           `json:"through"`
	Severed bool           `json:"severed"` // the groove takes the whole width: the part is cut in two
	Groove  Groove         `json:"groove"`
	Root    Root           `json:"root"`
	Section q.Area         `json:"section"` // of all sides, without cap
	Volume  q.Of[q.Volume] `json:"volume"`
	Mass    q.Of[q.Mass]   `json:"mass"`
	Corner  q.Length       `json:"corner_radius"` // least radius in the corners of the excavation
}

// ends counts hidden ends and ends at an edge.
func (d Damage) ends() (hidden, edges int, err error) {
	switch d.Ends {
	case "both":
	case "one":
		hidden = 1
	case "none", "":
		hidden = 2
	case "at-edge":
		edges = 1
	default:
		return 0, 0, fmt.Errorf("no such crack ends %q: say both, one, none or at-edge", d.Ends)
	}
	if (d.Starts == "edge" || d.Starts == "hole") && edges == 0 {
		edges = 1
		hidden = min(hidden, 1) // the end at the edge is not hidden
	}
	return hidden, edges, nil
}

// Excavate plans how far a crack is taken out and the groove that is left.
func Excavate(d Damage) (source.Result[Excavation], error) {
	var none source.Result[Excavation]
	if !d.Length.Known {
		return none, fmt.Errorf("the crack's length is not known: measure what can be seen")
	}
	if !d.Thickness.Known {
		return none, fmt.Errorf("the thickness is not known: measure it at an edge, or drill and hook a wire")
	}
	if err := positive("the crack's length", d.Length.V); err != nil {
		return none, err
	}
	if err := positive("the thickness", d.Thickness.V); err != nil {
		return none, err
	}
	if d.Depth.Known {
		if err := positive("the crack's depth", d.Depth.V); err != nil {
			return none, err
		}
		if d.Depth.V > d.Thickness.V {
			return none, &source.OutOfRange{Method: "excavation", Quantity: "crack depth", Value: d.Depth.V.MM(), High: d.Thickness.V.MM(), Unit: "mm", Instead: "a crack is not deeper than the part is thick"}
		}
	}
	hidden, edges, err := d.ends()
	if err != nil {
		return none, err
	}
	s, err := d.shapeOf(d.Thickness.V)
	if err != nil {
		return none, err
	}
	ext, share, least := figure("extension"), figure("hidden-end"), figure("hidden-end-least")
	slope := figure("ramp")
	v := Excavation{Groove: s.groove, Root: s.root, Depth: s.groove.Depth, Through: s.root != InMetal, Edges: edges, Ramps: 2 - edges,
		Slope: q.Ratio(slope.Likely), Corner: figure("corner-radius").length()}
	sure := d.Length.V + q.Length(2-edges)*ext.length()
	more := q.Length(hidden) * max(q.Length(share.High)*d.Length.V, least.length())
	v.Remove = q.Of[q.Length]{Low: sure, High: sure + more}

	b := source.Basis{
		Method: "excavation", Title: "Taking the crack out", Formula: "remove = crack + 50 mm at each end, at full depth; ramps beyond",
		Inputs: []source.Input{
			{Name: "crack seen", Text: length(d.Length.V)}, {Name: "ends", Text: or(string(d.Ends), "not known, counted as hidden")},
			{Name: "thickness", Text: length(d.Thickness.V)}, {Name: "access", Text: or(string(d.Access), "not known, counted as one side")},
		},
		Ref:   ext.Ref,
		Also:  append(s.refs, slope.Ref),
		Notes: s.notes,
		Why:   "A crack left in at its tip or its bottom starts again on the first day.",
		Skip:  "The most common reason why the same place cracks again.",
	}
	b.Steps = append(b.Steps, source.Step{Name: "sound metal beyond the ends", Formula: "L + n·50", With: fmt.Sprintf("%.4g + %d × %.0f", d.Length.V.MM(), 2-edges, ext.mm()), Value: sure.MM(), Unit: "mm"})
	if more > 0 {
		b.Steps = append(b.Steps, source.Step{Name: "hidden ends may add", Formula: "h·max(0.25·L, 25)", With: fmt.Sprintf("%d × max(%.2g × %.4g, %.0f)", hidden, share.High, d.Length.V.MM(), least.mm()), Value: more.MM(), Unit: "mm"})
		b.Also = append(b.Also, share.Ref)
		b.Notes = append(b.Notes, "an end is hidden: find it with dye or magnetic powder before gouging; the length is a range until then")
	}
	v.ramps(d, &b)
	if err := v.weigh(&b); err != nil {
		return none, err
	}
	v.remarks(d, &b)
	return source.Result[Excavation]{Value: v, Basis: b}, nil
}

// ramps cuts the lengths at the part's width and lays the sloped ends.
func (v *Excavation) ramps(d Damage, b *source.Basis) {
	v.Ramp = q.Length(v.Slope) * v.Depth
	if w := d.Width; w.Known {
		b.Inputs = append(b.Inputs, source.Input{Name: "width of the part", Text: length(w.V)})
		if v.Remove.High >= w.V {
			v.Remove.High, v.Remove.Low = w.V, min(v.Remove.Low, w.V)
			if v.Remove.Low == w.V {
				v.Severed, v.Edges, v.Ramps = true, 2, 0
				b.Notes = append(b.Notes, "the groove takes the whole width: the part is cut in two; hold it in line before you cut")
			} else {
				b.Notes = append(b.Notes, "if the hidden end runs as far as it may, the groove takes the whole width of the part")
			}
		}
		if room := w.V - v.Remove.High; v.Ramps > 0 && room < q.Length(v.Ramps)*v.Ramp {
			v.Ramp = max(room, 0) / q.Length(v.Ramps)
			v.Slope = q.Ratio(v.Ramp / v.Depth)
			if v.Slope < 1 {
				b.Notes = append(b.Notes, "no room for a ramp of 45° or flatter before the edge: run the groove out over the edge")
			}
		}
	}
	if v.Ramps == 0 {
		v.Ramp = 0
	}
	add := q.Length(v.Ramps) * v.Ramp
	v.Surface = q.Of[q.Length]{Low: v.Remove.Low + add, High: v.Remove.High + add}
	b.Steps = append(b.Steps,
		source.Step{Name: "remove, full depth", Value: v.Remove.High.MM(), Unit: "mm", Text: lengths(v.Remove)},
		source.Step{Name: "depth of the first side", Value: v.Depth.MM(), Unit: "mm"},
		source.Step{Name: "ramp", Formula: "slope × depth", With: fmt.Sprintf("%.3g × %.4g", float64(v.Slope), v.Depth.MM()), Value: v.Ramp.MM(), Unit: "mm", Text: fmt.Sprintf("%d sloped ends", v.Ramps)},
		source.Step{Name: "length at the surface", Value: v.Surface.High.MM(), Unit: "mm", Text: lengths(v.Surface)},
	)
}

// weigh adds up section, volume and mass of all sides.
func (v *Excavation) weigh(b *source.Basis) error {
	for g := &v.Groove; g != nil; g = g.SecondSide {
		a, err := g.Section()
		if err != nil {
			return err
		}
		v.Section += a
		s := Solid{Section: a, Ramp: q.Length(v.Slope) * g.Depth, Ramps: v.Ramps, Narrow: g.Shape == SingleV}
		if v.Ramps == 0 {
			s.Ramp = 0
		}
		s.Full = v.Remove.Low
		v.Volume.Low += s.volume()
		s.Full = v.Remove.High
		v.Volume.High += s.volume()
	}
	rho := figure("density").Likely
	v.Mass = q.Of[q.Mass]{Low: q.Mass(float64(v.Volume.Low) * rho), High: q.Mass(float64(v.Volume.High) * rho)}
	b.Steps = append(b.Steps,
		source.Step{Name: "groove", Text: v.Groove.text() + ", " + string(v.Root)},
		source.Step{Name: "section of all sides", Value: v.Section.MM2(), Unit: "mm²"},
		source.Step{Name: "metal removed", Value: float64(v.Mass.High), Unit: "kg", Text: fmt.Sprintf("%.3g to %.3g kg", float64(v.Mass.Low), float64(v.Mass.High))},
	)
	return nil
}

// remarks adds what holds for every crack.
func (v *Excavation) remarks(d Damage, b *source.Basis) {
	say := func(s string) { b.Notes = append(b.Notes, s) }
	say("prove it gone: dye or magnetic test of the ground groove, then about 1 mm more wherever anything shows, and again")
	say(fmt.Sprintf("corners of the excavation with a radius of %.0f mm or more; no undercut side", v.Corner.MM()))
	if v.Edges > 0 {
		say("at the edge or hole: a run-off tab, no start or stop on the edge itself, tab cut off and ground after")
	}
	if w := v.Groove.TopWidth; float64(w) < figure("top-width").Low*float64(v.Depth) {
		say(fmt.Sprintf("the groove is %.3g mm wide at the top for %.3g mm of depth: hard to reach the root; open the sides", w.MM(), v.Depth.MM()))
	}
	if d.Corner == job.Yes {
		say("it runs round a corner or into a second plate: each plate is a groove of its own, and no bead stops at the corner")
	}
	if d.Branched == job.Yes {
		say("it forks: every branch is taken out, and the length here is the longest branch only")
	}
	if d.Shape == job.Casting || d.Shape == job.Solid {
		say("a casting or solid part: the depth is only known when the groove is clean")
	}
}

// text names the groove in words.
func (g Groove) text() string {
	s := string(g.Shape)
	if g.Shape != Square {
		s += " " + degrees(g.Angle)
	}
	if g.Radius > 0 {
		s += fmt.Sprintf(" radius %.3g mm", g.Radius.MM())
	}
	if g.RootOpening > 0 {
		s += fmt.Sprintf(", root opening %.3g mm", g.RootOpening.MM())
	}
	if g.RootFace > 0 {
		s += fmt.Sprintf(", root face %.3g mm", g.RootFace.MM())
	}
	s += fmt.Sprintf(", %.3g mm deep", g.Depth.MM())
	if g.Backing != NoBacking {
		s += fmt.Sprintf(", %s backing %.3g mm", g.Backing, g.BackingSize.MM())
	}
	if g.SecondSide != nil {
		s += "; second side " + g.SecondSide.text()
	}
	return s
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// Gouges gives the grooves that a carbon has to dig, first side first. In a V
// the carbon cannot reach the sharp root: it digs a bottom as wide as its own
// radius allows and the rest is ground.
func (e Excavation) Gouges() ([]cut.Groove, error) {
	var all []cut.Groove
	least := figure("gouge-radius").length()
	for g := &e.Groove; g != nil; g = g.SecondSide {
		p, err := g.profile()
		if err != nil {
			return nil, err
		}
		top := q.Length(p.width(p.depth)) * q.Millimetre
		root := 2*g.Radius + g.RootOpening
		if g.Radius == 0 {
			root = max(2*least, q.Length(p.width(min(least.MM(), p.depth)))*q.Millimetre)
		}
		c := cut.Groove{Depth: g.Depth, TopWidth: top, RootWidth: min(root, top), Area: q.Area(p.under(p.depth)) * q.SquareMillimetre,
			Full: e.Remove.Mid(), Ramps: e.Ramps}
		if e.Ramps > 0 {
			c.Ramp = q.Length(e.Slope) * g.Depth
		}
		all = append(all, c)
	}
	return all, nil
}
