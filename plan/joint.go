package plan

import (
	"fmt"

	"soundmetal/joint"
	q "soundmetal/quantity"
)

var rootWords = map[joint.Root]string{
	joint.OnBacking:  "on a steel backing bar that stays in",
	joint.BackGouged: "welded from both sides, back-gouged to sound metal",
	joint.OpenRoot:   "open root from one side",
	joint.InMetal:    "groove ends in the part; the crack does not go through",
}

var shapeWords = map[joint.Shape]string{
	joint.SingleV: "V", joint.SingleBevel: "bevel", joint.SingleU: "U", joint.SingleJ: "J", joint.Square: "square", joint.DoubleV: "double V",
}

// jointSection is the groove to make and the weld that fills it.
func (w *work) jointSection() Section {
	s, f := w.section("joint", "Prepare the joint")
	e := w.dig
	g := e.Value.Groove
	s.add(Note, fmt.Sprintf("%s groove, %s.", shapeWords[g.Shape], rootWords[e.Value.Root]), &e.Basis)
	w.grooveLines(&s, f, g)
	if g.SecondSide != nil {
		s.add(Note, "Second side, after back-gouging: "+shapeWords[g.SecondSide.Shape]+" groove.", nil)
		w.grooveLines(&s, figures{f.prefix + ".side2"}, *g.SecondSide)
	}
	s.sayIf(e.Value.Root == joint.OpenRoot, "joint-no-code")
	for _, n := range e.Basis.Notes {
		if noteSection(n) == "joint" {
			s.add(Note, capital(n), &e.Basis)
		}
	}
	if g.Backing == joint.SteelBacking {
		s.figure(one(f, "backing", "backing bar thickness", g.BackingSize, "", w.sys, e.Basis))
	}
	s.figure(one(f, "corner", "corner radius of the excavation", e.Value.Corner, nice(e.Value.Corner, w.sys)+" or more", w.sys, e.Basis))
	v := w.fill.Value
	s.figure(one(f, "area", "groove section, all sides", v.Groove, "", w.sys, w.fill.Basis))
	s.figure(one(f, "cap", "cap section, 2/3 w h", v.Cap, "", w.sys, w.fill.Basis))
	if mass, spread, err := w.weldMass(); err == nil {
		s.figure(between(f, "mass", "weld metal", spread, "", w.sys, mass.Basis))
	}
	return s
}

// grooveLines are the measures of one side.
func (w *work) grooveLines(s *Section, f figures, g joint.Groove) {
	b := w.dig.Basis
	if g.Angle > 0 {
		label := map[joint.Shape]string{joint.SingleV: "included angle", joint.SingleBevel: "bevel angle"}[g.Shape]
		if label == "" {
			label = "each side from vertical"
		}
		s.figure(one(f, "angle", label, g.Angle, "", w.sys, b))
	}
	if g.Radius > 0 {
		s.figure(one(f, "radius", "root radius", g.Radius, g.Radius.Text(w.sys)+" or more", w.sys, b))
	}
	if g.RootOpening > 0 && g.Shape != joint.SingleU {
		s.figure(one(f, "opening", "root opening", g.RootOpening, "", w.sys, b))
	}
	if g.RootFace > 0 {
		s.figure(one(f, "face", "root face", g.RootFace, "", w.sys, b))
	}
	s.figure(one(f, "groove-depth", "groove depth", g.Depth, nice(g.Depth, w.sys), w.sys, b))
	s.figure(one(f, "top-width", "width at the surface", g.TopWidth, nice(g.TopWidth, w.sys), w.sys, b))
}

// beadRows are the beads with rod, amps, run length and temperatures.
func (w *work) beadRows() []Bead {
	window := w.windowRow()
	before := q.Of[q.Temperature]{Low: window.Floor, High: window.Ceiling}
	rows := make([]Bead, 0, len(w.fill.Value.Beads))
	for _, b := range w.fill.Value.Beads {
		r := &w.rod.fill
		if b.Kind == joint.RootBead || b.Kind == joint.BackBead {
			r = &w.rod.root
		}
		row := Bead{Number: b.Number, Layer: b.Layer, Side: b.Side, Kind: string(b.Kind), Rod: rodName(r, w.sys),
			Amps: r.amps.Value.Typical, Run: r.run.Value.Use, Arc: r.window.Mid(), Before: before}
		for _, p := range b.Outline {
			row.Outline = append(row.Outline, [2]float64{float64(p.X), float64(p.Y)})
		}
		rows = append(rows, row)
	}
	return rows
}

func rodName(r *rodRun, sys q.System) string {
	return r.stick.Class.String() + " " + r.stick.Core.In(sys)
}
