package plan

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/cut"
	"soundmetal/source"
)

// gougeLines is one side: carbon, amps, air, passes, carbons, time. A second
// side that takes the same carbon repeats only what differs.
func (w *work) gougeLines(s *Section, f figures, side int, r source.Result[cut.Choice]) {
	g := r.Value
	same := false
	if side > 0 {
		first := w.gouges[0].Value
		same = first.Found && g.Found && first.Carbon == g.Carbon && first.Set == g.Set
		text := "Second side: back-gouge to sound metal"
		if same {
			text += ", with the same carbon, amps and air"
		}
		s.add(Note, text+".", nil)
	} else if len(w.gouges) > 1 {
		s.add(Note, "First side", nil)
	}
	if !g.Found {
		s.add(Caution, "No carbon on the truck fits this groove with this rig and air.", &r.Basis)
		for _, n := range g.Need {
			s.add(Do, fmt.Sprintf("%s: have %s, need %s", n.What, n.Have, n.Need), nil)
		}
		s.add(Note, "The other way: a grinder, with time for it.", nil)
		return
	}
	if !same {
		w.carbonLines(s, f, r)
	}
	n := g.Plan.Value.Passes
	s.figure(count(f, "passes", "passes", n.Range.Low, n.Range.High, amount(n.Likely, n.Range), g.Plan.Basis))
	c := g.Carbons.Value
	s.figure(count(f, "carbons", "carbons", c.Range.Low, c.Range.High, amount(c.Likely, c.Range), g.Carbons.Basis))
	t := g.Time.Value.Elapsed
	s.figure(between(f, "time", "time, with stubs and looks", t.Range, "about "+niceWait(t.Likely, w.sys)+", "+niceTimes(t.Range, w.sys), w.sys, g.Time.Basis))
	gr := g.Grind.Value
	s.figure(between(f, "grind", "then grind off", gr.Range, gr.Likely.Text(w.sys)+" or more, to bright metal", w.sys, g.Grind.Basis))
	for _, x := range g.Warn {
		if side == 0 || !slices.Contains(w.gouges[0].Value.Warn, x) {
			s.add(Caution, capital(x), &r.Basis)
		}
	}
}

// carbonLines are the carbon and how it is run.
func (w *work) carbonLines(s *Section, f figures, r source.Result[cut.Choice]) {
	g := r.Value
	s.figure(one(f, "carbon", "carbon", g.Carbon, g.Carbon.Text(w.sys)+", copper-coated, DCEP", w.sys, r.Basis))
	s.figure(between(f, "amps", "amps, published band", g.Amps.Value, "", w.sys, g.Amps.Basis))
	for _, n := range g.Amps.Basis.Notes {
		if strings.HasPrefix(n, "published tables disagree") {
			s.add(Note, capital(n), &g.Amps.Basis)
		}
	}
	if g.Set != g.Amps.Value {
		s.figure(between(f, "set", "amps to set on this rig", g.Set, "", w.sys, r.Basis))
	}
	s.figure(between(f, "pressure", "air pressure at the torch", g.Air.Value.Pressure, "", w.sys, g.Air.Basis))
	s.figure(one(f, "flow", "free air", g.Air.Value.Flow, "", w.sys, g.Air.Basis))
	w.carbonRig(s, f, g)
	s.figure(between(f, "stickout", "stick-out", g.StickOut, niceSpan(g.StickOut, w.sys), w.sys, r.Basis))
	p := g.Pass.Value
	s.figure(one(f, "width", "one pass: width", p.Width, p.Width.Text(w.sys)+"; tables "+p.Widths.Text(w.sys), w.sys, g.Pass.Basis))
	s.figure(between(f, "pass-depth", "one pass: depth, by your hand", p.Depths, "plan "+p.Depth.Text(w.sys)+"; usual "+p.Depths.Text(w.sys), w.sys, g.Pass.Basis))
}
