package paper

import (
	"fmt"
	"strings"

	"soundmetal/job"
	"soundmetal/joint"
	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

// Procedure is the procedure sheet: what a welding procedure specification holds
// by ISO 15609-1 (items from memory, docs/procedure-items.md), filled from the
// plan. What the plan does not know is a blank. Without a record of
// qualification it says on its face that it is not a qualified specification.
func Procedure(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	f := newFlow(o, 1, o.Words.T("procedure.title")+" · "+font.Isolate(s.Plan.Job), s.Plan.Job)
	for i, it := range items {
		if i > 0 {
			f.newPage()
		}
		if err := f.procedureOf(s, it); err != nil {
			return draw.Doc{}, err
		}
	}
	return f.finish(s.caution()), nil
}

func (f *flow) procedureOf(s Source, it view.Item) error {
	f.mark(it.Name())
	f.titleBlock(f.t("procedure.title"), it.Name(), append([]string{s.Plan.Job}, s.about()...)...)
	if f.Qualification != "" {
		f.para(f.t("procedure.qualified", f.Qualification), style{bold: true, after: 1})
	} else {
		f.caution(f.t("procedure.not-qualified"))
	}
	if !it.Plan.Planned || it.Plan.Groove == nil {
		if it.Plan.Planned {
			f.holdsOf(it, "thickness")
			f.cautionsOf(it, "steel")
			return nil
		}
		f.notPlanned(it)
		return nil
	}
	p := procedure{f, s, it}
	for _, group := range []struct {
		title string
		rows  []figure
	}{
		{"procedure.who", p.who()}, {"procedure.metal", p.metal()}, {"procedure.joint", p.joint()},
		{"procedure.filler", p.filler()}, {"procedure.power", p.electric()}, {"procedure.heat", p.heat()},
	} {
		f.heading(f.t(group.title))
		f.rows(group.rows, 0.36)
		if group.title == "procedure.joint" {
			if err := f.procedureDrawings(it); err != nil {
				return err
			}
		}
	}
	f.heading(f.t("procedure.beads"))
	p.beadTable()
	f.heading(f.t("procedure.technique"))
	for _, id := range []string{"cut", "joint", "filler", "heat", "passes", "after"} {
		sec, _ := section(it, id)
		for _, l := range sec.Lines {
			switch l.Kind {
			case plan.Do:
				f.tick(f.lead(l.Text), false)
			case plan.Caution:
				f.caution(f.lead(l.Text))
			case plan.Hold:
				f.tick(f.lead(l.Text), true)
			}
		}
	}
	f.keep(func() {
		f.heading(f.t("procedure.tests"))
		f.rows(p.tests(), 0.36)
		f.blanks(2, f.t("procedure.made-by"), f.t("procedure.accepted-by"))
	})
	return nil
}

func (f *flow) procedureDrawings(it view.Item) error {
	js, _ := it.Joint()
	d, err := sketch.DrawJoint(js, f.frame(f.w, 45))
	if err != nil {
		return err
	}
	f.drawing(d)
	if ws, ok := it.Weld(); ok {
		if d, err = sketch.DrawWeld(ws, f.frame(f.w, 90)); err != nil {
			return err
		}
		f.drawing(d)
	}
	if os, ok := it.Order(); ok {
		f.drawing(sketch.DrawOrder(os, f.frame(f.w, 0)))
	}
	if ps, ok := it.Plate(); ok && it.PlatePlanned() {
		f.drawing(sketch.DrawPlate(ps, f.frame(f.w, 50)))
	}
	return nil
}

// procedure fills the items of one place.
type procedure struct {
	f  *flow
	s  Source
	it view.Item
}

func (p procedure) row(key, text string) figure { return figure{p.f.t(key), p.f.lead(text)} }

// of is a row with a figure of the plan; a blank where the plan has none.
func (p procedure) of(key, name string) figure { return figure{p.f.t(key), p.it.Text(name)} }

func (p procedure) who() []figure {
	shop := ""
	if p.s.Shop != nil {
		shop = join(", ", p.s.Shop.Name, p.s.Shop.Address, p.s.Shop.Phone)
	}
	return []figure{p.row("procedure.shop", shop), p.row("procedure.number", p.f.Number), p.row("procedure.record", p.f.Qualification),
		p.row("procedure.welder", "")}
}

func (p procedure) metal() []figure {
	var held []string
	groups := map[string]int{}
	for _, s := range p.it.Plan.Steels {
		if s.Held {
			held = append(held, s.Name)
			groups[s.Method]++
		}
	}
	steels := strings.Join(held[:min(len(held), 6)], ", ")
	if n := len(held) - 6; n > 0 {
		steels += ", " + p.f.t("procedure.more", n)
	}
	t := p.it.Job.Thickness
	thick := ""
	if t.Known {
		thick = t.V.Text(p.it.Units)
		if t2 := p.it.Job.Thickness2; t2.Known {
			thick += p.f.t("procedure.and", t2.V.Text(p.it.Units))
		}
	}
	rows := []figure{p.row("procedure.part", join(", ", p.it.Plan.Part, word(p.it.Job.Shape))), p.row("procedure.steel", steels),
		p.row("procedure.group", ""), p.row("procedure.thickness", thick)}
	if p.it.Job.Shape == job.Tube && p.it.Job.Width.Known {
		rows = append(rows, p.row("procedure.diameter", p.it.Job.Width.V.Text(p.it.Units)))
	}
	return append(rows, p.row("procedure.restraint", string(p.it.Job.Restraint)))
}

// word gives a choice of the job as a word.
func word[T ~string](v T) string { return string(v) }

func (p procedure) joint() []figure {
	e := p.it.Plan.Groove
	g := e.Groove
	kind := p.f.t("procedure.shape." + string(g.Shape))
	if g.SecondSide != nil {
		kind = p.f.t("procedure.both-sides", kind)
	}
	prepare := p.f.t("procedure.ground")
	if _, ok := p.it.Figure("cut.side1.carbon"); ok {
		prepare = p.f.t("procedure.gouged", p.it.Text("cut.side1.carbon"), p.it.Text("cut.side1.grind"))
	}
	backing := p.f.t("procedure.no-backing")
	if g.Backing == joint.SteelBacking {
		backing = p.f.t("procedure.steel-backing", p.it.Text("joint.backing"))
	}
	gouge := p.f.t("procedure.no-backgouge")
	if g.SecondSide != nil {
		gouge = p.f.t("procedure.backgouge", p.it.Text("joint.side2.groove-depth"))
	}
	return []figure{p.row("procedure.process", p.f.t("procedure.process-111")), p.row("procedure.kind", kind),
		p.row("procedure.position", string(p.it.Job.Position)), p.row("procedure.prepare", prepare),
		p.row("procedure.clean", p.f.t("procedure.clean-text")), p.row("procedure.tack", p.text("filler", "filler-tack")),
		p.row("procedure.length", p.it.Text("cut.length")), p.row("procedure.backing", backing), p.row("procedure.back-gouging", gouge),
		p.row("procedure.mass", p.it.Text("joint.mass"))}
}

// text is the text of a standing line of the plan.
func (p procedure) text(sec, id string) string {
	s, _ := section(p.it, sec)
	for _, l := range s.Lines {
		if lineID(l) == id {
			return l.Text
		}
	}
	return ""
}

func (p procedure) filler() []figure {
	var rods, lengths []string
	for _, use := range []string{"root", "fill"} {
		if t := p.it.Text("filler." + use + ".core"); t != "" {
			rods = append(rods, p.f.t("beads."+use)+" "+t)
			lengths = append(lengths, p.f.t("beads."+use)+" "+p.it.Text("filler."+use+".run"))
		}
	}
	handling := []string{p.text("filler", "filler-dry")}
	return []figure{p.row("procedure.rod", strings.Join(rods, "; ")), p.row("procedure.maker", ""),
		p.row("procedure.handling", join(" ", handling...)), p.of("procedure.exposure", "filler.exposure"),
		p.of("procedure.hydrogen", "filler.hydrogen"), p.row("procedure.gas", p.f.t("procedure.no-gas")),
		p.row("procedure.runout", strings.Join(lengths, "; "))}
}

func (p procedure) electric() []figure {
	var amps, energy []string
	for _, use := range []string{"root", "fill"} {
		if t := p.it.Text("filler." + use + ".amps"); t != "" {
			amps = append(amps, p.f.t("beads."+use)+" "+t)
			energy = append(energy, p.f.t("beads."+use)+" "+p.it.Text("filler."+use+".energy"))
		}
	}
	return []figure{p.row("procedure.current", p.polarity()), p.row("procedure.amps", strings.Join(amps, "; ")),
		p.row("procedure.volts", ""), p.row("procedure.speed", p.f.t("procedure.speed-text")), p.row("procedure.energy", strings.Join(energy, "; "))}
}

func (p procedure) polarity() string { return p.text("filler", "filler-polarity") }

func (p procedure) heat() []figure {
	where := join(", ", p.it.Text("heat.read-at"), p.it.Text("heat.wait"))
	return []figure{p.of("procedure.preheat", "heat.preheat"), p.of("procedure.interpass", "heat.interpass"),
		p.of("procedure.keep", "heat.preheat"), p.of("procedure.band", "heat.band"), p.row("procedure.read", where),
		p.postheat(), p.row("procedure.pwht", p.f.t("procedure.no-pwht")), p.of("procedure.cooling", "after.cooling-rate")}
}

func (p procedure) postheat() figure {
	if t := p.it.Text("after.postheat"); t != "" {
		return p.row("procedure.postheat", t)
	}
	return p.row("procedure.postheat", p.f.t("procedure.none"))
}

func (p procedure) tests() []figure {
	final, _ := section(p.it, "after")
	var test string
	for _, l := range final.Lines {
		if l.Kind == plan.Do && l.Basis == nil {
			test = l.Text // the final test is the one line made for this job
		}
	}
	return []figure{p.of("procedure.hold", "after.hold"), p.row("procedure.final", test), p.row("procedure.look", strings.Join(nextLook(p.it), "; "))}
}

// beadTable lists the beads, neighbours that are run the same way in one row.
func (p procedure) beadTable() {
	cols := []column{{name: p.f.t("procedure.bead"), share: 3, bold: true}, {name: p.f.t("procedure.layer"), share: 2}, {name: p.f.t("procedure.use"), share: 2},
		{name: p.f.t("procedure.side"), share: 2}, {name: p.f.t("repair.rod"), share: 6}, {name: p.f.t("repair.amps"), share: 4}, {name: p.f.t("repair.run"), share: 6}}
	var rows [][]string
	beads := p.it.Plan.Beads
	for i := 0; i < len(beads); {
		a := beads[i]
		k := i
		for k+1 < len(beads) && beads[k+1].Layer == a.Layer && beads[k+1].Kind == a.Kind && beads[k+1].Rod == a.Rod {
			k++
		}
		number := fmt.Sprint(a.Number)
		if k > i {
			number += "–" + fmt.Sprint(beads[k].Number)
		}
		rows = append(rows, []string{number, fmt.Sprint(a.Layer), p.f.t("beads." + a.Kind), fmt.Sprint(a.Side), a.Rod, a.Amps.In(p.it.Units), plan.TapeSpan(a.Run, p.it.Units)})
		i = k + 1
	}
	p.f.table(cols, rows, smallSize+0.3)
}

// join joins what is not empty.
func join(sep string, parts ...string) string {
	var all []string
	for _, s := range parts {
		if s != "" {
			all = append(all, s)
		}
	}
	return strings.Join(all, sep)
}
