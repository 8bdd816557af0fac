package paper

import (
	"fmt"
	"strings"

	"soundmetal/gate"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

// Repair is the sheet for the truck: two pages for each place, with the figures
// that are needed at the work, and room to write.
func Repair(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	var whole draw.Doc
	var last *flow
	for _, it := range items {
		// the text is set smaller until the place fits on its pages
		var f *flow
		for _, scale := range []float64{1, 0.94, 0.88, 0.82, 0.77} {
			f = newFlow(o, scale, o.Words.T("repair.title")+" · "+font.Isolate(s.Plan.Job), s.Plan.Job)
			if err := f.repairOf(s, it); err != nil {
				return draw.Doc{}, err
			}
			if len(f.doc.Pages) <= 2 {
				break
			}
		}
		if last == nil {
			whole = f.doc
		} else {
			for _, m := range f.doc.Marks {
				m.Page += len(whole.Pages)
				whole.Marks = append(whole.Marks, m)
			}
			whole.Pages = append(whole.Pages, f.doc.Pages...)
		}
		last = f
	}
	last.doc = whole
	return last.finish(s.caution()), nil
}

// options lets the plan's system lead.
func (s Source) options(o Options) Options {
	o.Units = s.Plan.Units
	if o.Size.W == 0 {
		o.Size = SizeFor(s.Job.Site.Country, o.Units)
	}
	return o.filled()
}

// items are the places that the sheet is for.
func (s Source) items(o Options) ([]view.Item, error) {
	all, err := view.Items(s.Plan, s.Job)
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("the job has no damaged place: there is nothing to print")
	}
	if o.Item == 0 {
		return all, nil
	}
	if o.Item < 0 || o.Item > len(all) {
		return nil, fmt.Errorf("the job has no place %d; it has %d", o.Item, len(all))
	}
	return all[o.Item-1 : o.Item], nil
}

func (s Source) caution() string { return strings.Join(s.Plan.Cautions, " ") }

// about names the customer, the machine and where it is.
func (s Source) about() []string {
	return []string{s.Plan.Customer, s.Plan.Machine, s.Plan.Place}
}

// lead puts a text's figures in the order of the sheet.
func (f *flow) lead(text string) string { return view.Lead(text, f.Units) }

func (f *flow) repairOf(s Source, it view.Item) error {
	f.mark(it.Name())
	f.titleBlock(f.t("repair.title"), it.Name(), append([]string{s.Plan.Job}, s.about()...)...)
	if !it.Plan.Planned {
		f.notPlanned(it)
		return nil
	}
	f.tick(f.t("repair.makesafe"), false)
	if it.Plan.Touch.Class == gate.Condition {
		f.tick(f.t("repair.conditions"), false)
	}
	f.holdsOf(it, "thickness")
	f.cautionsOf(it, "steel")
	if it.Plan.Groove == nil {
		return nil
	}
	f.holdsOf(it, "heat", "heat-hold")
	f.cautionsOf(it, "heat", "heat-ir") // how to read is on the procedure sheet
	f.bigFigures(f.keyFigures(it), 3)

	if err := f.cutDrawings(it); err != nil {
		return err
	}
	f.cautionsOf(it, "cut")
	f.holdText(it, "cut", "cut-proof")
	f.blanks(3, f.t("repair.found-length"), f.t("repair.found-depth"), f.t("repair.photo"))

	f.newPage()
	f.heading(f.t("repair.weld") + ": " + font.Isolate(it.Name()))
	f.holdText(it, "heat", "heat-hold")
	f.cautionsOf(it, "joint")
	f.cautionsOf(it, "filler")
	if s, ok := it.Weld(); ok {
		high := 66.0
		switch n := len(s.Beads); {
		case n > 45:
			high = 73
		case n > 30:
			high = 88 // a thick groove: the numbers must stay readable
		}
		d, err := sketch.DrawWeld(s, f.frame(f.w, high))
		if err != nil {
			return err
		}
		f.drawing(d)
	}
	f.rodRows(it)
	if s, ok := it.Order(); ok {
		s.Most = 3
		f.drawing(sketch.DrawOrder(s, f.frame(f.w, 0)))
	}
	f.beadLog(it)
	f.afterRows(it)
	return nil
}

// keyFigures are the figures that are looked at most.
func (f *flow) keyFigures(it view.Item) []big {
	var all []big
	add := func(name, figure string) {
		text := it.Text(figure)
		if text == "" {
			return
		}
		// what follows after a semicolon or a colon is for the procedure sheet
		text, _, _ = strings.Cut(text, ";")
		text, _, _ = strings.Cut(text, ": ")
		l := view.FirstPair(text)
		if l.Echo != "" {
			l.Echo = "(" + l.Echo + ")"
		} else if lead, rest, ok := strings.Cut(l.Lead, " after "); ok { // 16 h after the last bead
			l.Lead, l.Echo = lead, "after "+rest
		}
		all = append(all, big{f.t(name), l.Lead, l.Echo})
	}
	add("repair.preheat", "heat.preheat")
	add("repair.interpass", "heat.interpass")
	add("repair.readat", "heat.read-at")
	use := "fill"
	for _, part := range []string{"root", "fill"} {
		if _, ok := it.Figure("filler." + part + ".run"); ok {
			use = part
			break
		}
	}
	if use == "root" {
		add("repair.root-run", "filler.root.run")
	}
	add("repair.fill-run", "filler.fill.run")
	if use != "root" {
		add("repair.amps", "filler.fill.amps")
	}
	add("repair.hold", "after.hold")
	return all
}

// frame is the room for a drawing, its figures as large as the text.
func (f *flow) frame(width, high float64) sketch.Frame {
	return sketch.Frame{Width: width, High: high * f.scale, Words: f.Words, Size: f.size(3.4)}
}

// cutDrawings are the part beside the joint, and the groove's end beside the
// figures of the gouging.
func (f *flow) cutDrawings(it view.Item) error {
	shares := []float64{58, 42}
	room := f.w - columnGap
	var part, joint, end *draw.Drawing
	if s, ok := it.Part(); ok {
		part = sketch.DrawPart(s, f.frame(room*0.58, 42))
	}
	if s, ok := it.Joint(); ok {
		d, err := sketch.DrawJoint(s, f.frame(room*0.42, 26))
		if err != nil {
			return err
		}
		joint = d
	}
	f.columns(max(part.H, joint.H), shares, func() { f.drawing(part) }, func() { f.drawing(joint) })
	s, ok := it.End()
	if !ok {
		f.cutFigures(it, true)
		return nil
	}
	end = sketch.DrawEnd(s, f.frame(room*0.5, 24))
	figures := func() { f.cutFigures(it, false) }
	w := f.w
	f.w = room * 0.5
	need := max(end.H, f.measure(figures))
	f.w = w
	f.columns(need, []float64{1, 1}, func() { f.drawing(end) }, figures)
	return nil
}

// cutFigures are the figures of the gouging; the second side's stand behind the
// first's where they differ.
func (f *flow) cutFigures(it view.Item, wide bool) {
	var all []figure
	for _, name := range []string{"carbon", "set", "amps", "pressure", "stickout", "pass-depth", "passes", "carbons", "grind"} {
		if _, ok := it.Figure("cut.side1.set"); ok && name == "amps" {
			continue
		}
		fig, ok := it.Figure("cut.side1." + name)
		if !ok {
			continue
		}
		text := f.lead(fig.Text)
		if second := it.Text("cut.side2." + name); second != "" && second != text {
			text = f.t("repair.sides", text, second)
		}
		all = append(all, figure{fig.Label, text})
	}
	if wide {
		f.figurePairs(all)
	} else {
		f.rows(all, 0.36)
	}
}

// figurePairs sets figures in two columns.
func (f *flow) figurePairs(all []figure) {
	if len(all) == 0 {
		return
	}
	half := (len(all) + 1) / 2
	left := func() { f.rows(all[:half], 0.36) }
	right := func() { f.rows(all[half:], 0.36) }
	w := f.w
	f.w = (w - columnGap) / 2
	need := max(f.measure(left), f.measure(right))
	f.w = w
	f.columns(need, []float64{1, 1}, left, right)
}
