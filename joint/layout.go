package joint

// Where every bead lies in the groove.
//
// Method (mm, mm²; a bead of section a from a rod of core diameter c)
//   A layer is a horizontal band, a bead a slice of the band: its sides divide
//   the width between the walls in equal parts, so that the slices have equal
//   sections.
//   widest bead  b_max = 2.5·c  (a wire: its own limit)
//   shape        width over depth at least 1.1, planned 1.25
//   nominal      h = min(3, √(a/1.25), layer limit),  b = min(a/h, b_max)
//   in a layer   n = max(⌈w/b_max⌉, round(w·h/a), 2 where w > 16), w the width
//                of its face; of the root layer the mean width
//   height       of n·a, not above root or layer limit, nor b/1.1
//   The cap is the last band with the reinforcement, a parabola of 2/3·w·h, on
//   top of it; its slices are cut so that they too have equal sections. The
//   bands below are stretched or pressed evenly to fill the groove.
//   Order: from the root up; in a layer the walls first, then towards the
//   middle, so that the last bead does not lie on a toe. Horizontal: from the
//   lower wall up, and on the cap the last but one bead is the upper toe.
// Validity: one side 1 to 200 mm deep, cap up to 5 mm, bead 3 to 400 mm².
// Source: pass limits AWS D1.1:2020 Table 5.1; bead width rod-movement; order
// and layer height common practice.

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Run is the rod or wire of a run and the bead it makes.
type Run struct {
	Core q.Length // core or wire diameter
	Area q.Area   // section of one bead: a rod's deposit over its run-out (bead-area)
}

// Constraints are what the beads must obey.
type Constraints struct {
	Root        Run // zero: as Fill
	Fill        Run
	Feed        Feed // empty: rod
	Position    job.Position
	LowHydrogen bool
	Widest      q.Maybe[q.Ratio] // widest bead over core diameter; unknown: 2.5
	Cap         q.Length         // height of the reinforcement; 0: flush
}

// Kind is what a bead is for.
type Kind string

const (
	RootBead Kind = "root"
	FillBead Kind = "fill"
	CapBead  Kind = "cap"
	BackBead Kind = "back" // first layer of the second side, on the back-gouged root
)

// Bead is one bead in the cross-section.
type Bead struct {
	Number  int      `json:"number"` // order of welding
	Layer   int      `json:"layer"`
	Side    int      `json:"side"` // 1 or 2
	Kind    Kind     `json:"kind"`
	X       q.Length `json:"x"` // centre
	Y       q.Length `json:"y"`
	Outline []Point  `json:"outline"` // closed, last point not repeated
	Area    q.Area   `json:"area"`
	Width   q.Length `json:"width"` // of its face; of a root bead the mean width
	Height  q.Length `json:"height"`
}

// Layer is one layer of beads.
type Layer struct {
	Number int      `json:"number"` // from 1, second side counted on
	Side   int      `json:"side"`
	Kind   Kind     `json:"kind"`
	Bottom q.Length `json:"bottom"` // above the side's own root
	Top    q.Length `json:"top"`    // without the cap
	Width  q.Length `json:"width"`  // at the top
	First  int      `json:"first"`  // number of its first bead
	Last   int      `json:"last"`
	Area   q.Area   `json:"area"`
}

// Layers is the whole weld in cross-section.
type Layers struct {
	Beads   []Bead   `json:"beads"`
	Layers  []Layer  `json:"layers"`
	Groove  q.Area   `json:"groove"` // section of all sides, back-gouge included
	Cap     q.Area   `json:"cap"`
	Back    q.Area   `json:"back"` // part of the second side that is cut out of the first side's weld
	Total   q.Area   `json:"total"`
	Bite    q.Length `json:"bite"`    // depth of the second side into the first
	Widest  q.Length `json:"widest"`  // widest bead
	Tallest q.Length `json:"tallest"` // thickest layer, cap included
}

// Layout places every bead of the groove, numbered in welding order.
func Layout(g Groove, c Constraints) (source.Result[Layers], error) {
	var none source.Result[Layers]
	if err := g.Check(); err != nil {
		return none, err
	}
	w, err := newWelder(c)
	if err != nil {
		return none, err
	}
	b := source.Basis{
		Method: "bead-layout", Title: "Beads in the groove", Formula: "layers of 3 mm from the root up, slices of equal section, walls first",
		Inputs: []source.Input{{Name: "groove", Text: g.text()},
			{Name: "fill", Text: fmt.Sprintf("%.3g mm, bead of %.3g mm²", c.Fill.Core.MM(), c.Fill.Area.MM2())},
			{Name: "root", Text: fmt.Sprintf("%.3g mm, bead of %.3g mm²", w.root.core, w.root.area)},
			{Name: "position", Text: or(string(c.Position), "not known, counted as the tightest")}, {Name: "cap", Text: length(c.Cap)}},
		Ref:  limitTable["layer "+string(w.feed)].ref,
		Also: []source.Ref{figure("bead-width").Ref, figure("layer").Ref},
		Notes: []string{"drawn as slices; real beads are rounder, and the count moves by a few: the run-out length you measure wins",
			"starts and stops of neighbouring layers are staggered; no bead starts or stops at a groove end or corner"},
		Why:  "Thin, narrow beads temper the one below and let gas and slag out.",
		Skip: "Wide, thick beads leave a brittle edge, slag lines and a cracked middle.",
	}
	v := Layers{Beads: make([]Bead, 0, 64), Layers: make([]Layer, 0, 24), Bite: g.Bite()}
	w.pen.points = make([]Point, 0, 512)
	sides := 0
	for s := &g; s != nil; s = s.SecondSide {
		p, err := s.profile()
		if err != nil {
			return none, err
		}
		if err := source.InRange("bead-layout", "groove depth", p.depth, leastDepth, mostDepth, "mm", "weld it in one pass, or ask a welding engineer"); err != nil {
			return none, err
		}
		sides++
		w.pen.flip, w.pen.shift = sides == 2, g.Bite().MM()
		v.Cap += q.Area(capSection(p.width(p.depth), c.Cap.MM())) * q.SquareMillimetre
		v.Groove += q.Area(p.under(p.depth)) * q.SquareMillimetre
		if sides == 2 && g.Bite() > 0 {
			v.Back = q.Area(p.under(min(v.Bite.MM(), p.depth))) * q.SquareMillimetre
		}
		w.side(&v, &p, sides)
	}
	for i := range v.Beads {
		v.Total += v.Beads[i].Area
		v.Widest = max(v.Widest, v.Beads[i].Width)
		v.Tallest = max(v.Tallest, v.Beads[i].Height)
	}
	w.report(&b, &v, &g)
	return source.Result[Layers]{Value: v, Basis: b}, nil
}

// leastDepth and mostDepth bound the depth of a side the method has been tried on, mm.
const leastDepth, mostDepth = 1, 200

// report writes the working.
func (w *welder) report(b *source.Basis, v *Layers, g *Groove) {
	b.Steps = make([]source.Step, 0, len(v.Layers)+4)
	b.Steps = append(b.Steps,
		source.Step{Name: "nominal bead", Formula: "h = min(3, √(a/1.25)); b = a/h", With: fmt.Sprintf("%.3g mm high, at most %.3g mm wide", w.fill.high, w.fill.widest), Value: w.fill.wide, Unit: "mm"},
		source.Step{Name: "groove and cap", Value: (v.Groove + v.Cap).MM2(), Unit: "mm²"})
	for i := range v.Layers {
		l := &v.Layers[i]
		b.Steps = append(b.Steps, source.Step{Name: "layer", With: string(l.Kind), Value: float64(l.Last - l.First + 1), Unit: "beads"})
	}
	b.Steps = append(b.Steps, source.Step{Name: "all beads", Value: float64(len(v.Beads)), Text: v.Total.Text(q.SI)})
	b.Notes = append(b.Notes, w.notes...)
	if v.Back > 0 {
		b.Notes = append(b.Notes, fmt.Sprintf("back-gouge %.3g mm into the first side's weld before the second side; what is cut out there is filled again and counted twice", v.Bite.MM()))
	}
	if g.SecondSide != nil && g.Bite() < 0 {
		b.Notes = append(b.Notes, fmt.Sprintf("%.3g mm in the middle stay unwelded: a crack built in, not a full-penetration weld", -g.Bite().MM()))
	}
	if c := w.c.Cap.MM(); c > 0 {
		b.Notes = append(b.Notes, "cap counted as 2/3·w·h")
	}
}
