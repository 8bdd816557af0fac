package web

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

// One damaged place of the repair record.

// place maps what was logged at a place, and the plan's figures beside it.
func (c *recorder) place(pl book.PlaceOf) paper.RecordItem {
	here := func(item string) bool { return item == pl.ID }
	it := paper.RecordItem{Name: capital(pl.Name)}
	if i, ok := c.planned(pl.ID); ok {
		if part, ok := i.Part(); ok {
			it.Drawings = append(it.Drawings, sketch.DrawPart(part, sketch.Frame{Width: c.p.Size.W - 26, High: 40, Size: 3.4, Words: c.p.Words}))
		}
		it.Rows = c.rows(i, pl.ID)
	}
	it.Gouges = c.gouges(here, &it.LeftOut)
	it.Beads = c.beads(here, &it.LeftOut)
	it.PostHeats = c.postHeats(here)
	it.Readings = c.readings(here, &it.LeftOut)
	it.Deviations = c.deviations(here, &it.LeftOut)
	it.Tests = c.tests(here, &it.LeftOut)
	it.Chart = c.chart(pl.ID, &it.LeftOut)
	return it
}

// planned finds the place in the plan; ok is false where it may not be welded or
// is not known there.
func (c *recorder) planned(id string) (view.Item, bool) {
	if c.p.plan == nil {
		return view.Item{}, false
	}
	for i, l := range c.p.version.Limits.Items {
		if l.Item == id && i < len(c.p.plan.items) {
			it := c.p.plan.items[i]
			return it, it.Plan.Planned && it.Plan.Groove != nil
		}
	}
	return view.Item{}, false
}

func (c *recorder) gouges(in func(string) bool, left *[]string) []paper.GougeRow {
	var all []paper.GougeRow
	room := limitRows(left, "sides taken out")
	for _, g := range c.j.Gouges {
		if g.Void || !in(g.Is.Item) || !room() {
			continue
		}
		all = append(all, paper.GougeRow{When: c.when(g.Meta), Side: strconv.Itoa(g.Is.Side), Length: meas(g.Is.Length, c.p.Units), Depth: meas(g.Is.Depth, c.p.Units), Carbons: some(g.Is.Carbons), Note: g.Is.Note})
	}
	return all
}

func (c *recorder) beads(in func(string) bool, left *[]string) []paper.BeadRow {
	var all []paper.BeadRow
	room := limitRows(left, "beads")
	for _, b := range c.j.Beads {
		if b.Void || !in(b.Is.Item) || !room() {
			continue
		}
		row := paper.BeadRow{Bead: strconv.Itoa(b.Is.Number), When: c.when(b.Meta), Rods: some(b.Is.Rods), Length: meas(b.Is.Length, c.p.Units), Amps: meas(b.Is.Amps, c.p.Units), Note: b.Is.Note}
		if run, ok := b.Is.PerRod(); ok {
			row.PerRod = run.Text(c.p.Units)
		}
		all = append(all, row)
	}
	return all
}

func (c *recorder) postHeats(in func(string) bool) []string {
	var all []string
	for _, h := range c.j.PostHeats {
		if h.Void || !in(h.Is.Item) {
			continue
		}
		all = append(all, c.at(h.Is.From)+" to "+c.at(h.Is.To)+", "+span(h.Is.To.Sub(h.Is.From))+prefixed(", ", meas(h.Is.Temp, c.p.Units))+mark(h.Meta, "; "))
	}
	return all
}

// readings are all of them, with whether each lay in the window of its day.
func (c *recorder) readings(in func(string) bool, left *[]string) []paper.Reading {
	var all []paper.Reading
	room := limitRows(left, "readings")
	for i := range c.j.Readings {
		r := &c.j.Readings[i]
		if r.Void || !in(r.Is.Item) || !room() {
			continue
		}
		row := paper.Reading{When: c.when(r.Meta), Where: r.Is.Place, Value: r.Is.Text(c.p.Units), Within: windowWords[c.j.Window(r)]}
		if r.Is.Bead > 0 {
			row.Bead = strconv.Itoa(r.Is.Bead)
		}
		if d := meas(r.Is.Distance, c.p.Units); d != "" {
			row.Where = strings.TrimPrefix(row.Where+", "+d+" from the groove", ", ")
		}
		if r.Is.FarFace {
			row.Where = strings.TrimPrefix(row.Where+", far face", ", ")
		}
		if t := r.Is.Tool; t != "" && t != book.CrayonTool {
			row.Where = strings.TrimPrefix(row.Where+", "+toolWords[t], ", ")
		}
		all = append(all, row)
	}
	return all
}

var windowWords = map[book.Window]string{book.NoWindow: "no limit planned", book.Inside: "yes", book.TooCold: "NO: too cold", book.TooHot: "NO: too hot",
	book.StillCold: "below it, at no bead", book.NotShown: "does not show it",
	book.HotEnough: "hot enough; upper limit not shown", book.CoolSoFar: "not too hot; lower limit not shown"}

var toolWords = map[book.Tool]string{book.ContactTool: "contact meter", book.InfraredGun: "infrared"}

// deviations are what left the plan, each with its causes and what was done.
func (c *recorder) deviations(in func(string) bool, left *[]string) []paper.Deviation {
	var all []paper.Deviation
	room := limitRows(left, "deviations")
	for _, d := range c.j.Deviations {
		if !in(d.Item) || !room() {
			continue
		}
		row := paper.Deviation{What: c.at(d.At) + "\n" + capital(d.Text), Why: strings.Join(d.Causes, "; "), Done: "Nothing is written about it."}
		if d.Cleared != nil {
			row.Done = capital(d.Cleared.Done) + ", " + c.at(d.Cleared.At)
		}
		all = append(all, row)
	}
	return all
}

func (c *recorder) tests(in func(string) bool, left *[]string) []paper.Test {
	var all []paper.Test
	room := limitRows(left, "tests")
	for _, i := range c.j.Inspections {
		if i.Void || !in(i.Is.Item) || !room() {
			continue
		}
		all = append(all, paper.Test{Method: capital(word(i.Is.Method)) + ", " + word(i.Is.Stage), When: c.when(i.Meta), By: i.Is.By, Result: word(i.Is.Result) + prefixed(", ", meas(i.Is.Length, c.p.Units)) + prefixed(": ", i.Is.Note)})
	}
	return all
}

// when is the time of an entry, with the mark of its correction below.
func (c *recorder) when(m book.Meta) string { return c.at(m.At) + mark(m, "\n") }

// meas prints a measured value; nothing where it was not said.
func meas[T interface {
	~float64
	Text(q.System) string
}](s *book.Said[T], sys q.System) string {
	if s == nil {
		return ""
	}
	return s.SI.Text(sys)
}

// some prints a count; nothing where there is none.
func some(v float64) string {
	if v == 0 {
		return ""
	}
	return fmt.Sprintf("%.4g", v)
}

// ends are the smallest and the largest of values.
type ends[T cmp.Ordered] struct {
	n         int
	low, high T
}

func (e *ends[T]) add(v T) {
	if e.n == 0 {
		e.low, e.high = v, v
	}
	e.n++
	e.low, e.high = min(e.low, v), max(e.high, v)
}

func (e *ends[T]) text(f func(T) string) string {
	switch {
	case e.n == 0:
		return ""
	case f(e.low) == f(e.high):
		return f(e.low)
	}
	return f(e.low) + " to " + f(e.high)
}

// rows sets the plan's figures beside what was logged.
func (c *recorder) rows(it view.Item, id string) []paper.RecordRow {
	done := c.done(it, id)
	var all []paper.RecordRow
	for _, name := range recordRows {
		fig, ok := it.Figure(name)
		if !ok {
			continue
		}
		says := done[name]
		if says == "" {
			says = "not logged"
		}
		all = append(all, paper.RecordRow{What: fig.Label, Planned: view.Lead(fig.Text, c.p.Units), Done: says})
	}
	return all
}

// recordRows are the figures of a plan that the log can be held against.
var recordRows = []string{"cut.length", "cut.depth", "filler.root.core", "filler.root.amps", "filler.root.run", "filler.fill.core", "filler.fill.amps", "filler.fill.run",
	"heat.preheat", "heat.interpass", "passes.beads", "passes.rods", "after.postheat", "after.hold"}

// done says what was logged, by the name of the plan's figure.
func (c *recorder) done(it view.Item, id string) map[string]string {
	sys, out := c.p.Units, map[string]string{}
	length := func(v q.Length) string { return v.Text(sys) }
	var long, deep [3]ends[q.Length] // by side
	for _, g := range c.j.Gouges {
		if g.Void || g.Is.Item != id {
			continue
		}
		side := min(max(g.Is.Side, 0), 2)
		if g.Is.Length != nil {
			long[side].add(g.Is.Length.SI)
		}
		if g.Is.Depth != nil {
			deep[side].add(g.Is.Depth.SI)
		}
	}
	out["cut.length"], out["cut.depth"] = bySide(long, length), bySide(deep, length)
	c.doneBeads(it, id, out)
	var before ends[q.Temperature]
	crayons := 0
	for _, r := range c.j.Readings {
		switch {
		case r.Void || r.Is.Item != id || r.Is.Bead == 0:
		case r.Is.Temp != nil:
			before.add(r.Is.Temp.SI)
		case r.Is.Crayon != nil:
			crayons++
		}
	}
	if before.n > 0 {
		reads := fmt.Sprintf(" of %d readings before a bead", before.n)
		out["heat.preheat"] = "lowest " + degreeText(before.low, sys) + reads
		out["heat.interpass"] = "highest " + degreeText(before.high, sys) + reads
	}
	if crayons > 0 {
		for _, name := range []string{"heat.preheat", "heat.interpass"} {
			out[name] = strings.TrimPrefix(out[name]+fmt.Sprintf("; %d by crayon, see the readings", crayons), "; ")
		}
	}
	out["after.postheat"] = strings.Join(c.postHeats(func(item string) bool { return item == id }), "; ")
	if at := c.finalLook(id); at != "" {
		out["after.hold"] = at
	}
	return out
}

// degreeText prints a temperature to the degree, as the readings are.
func degreeText(t q.Temperature, sys q.System) string {
	r := book.Reading{Temp: book.SI(t)}
	return r.Text(sys)
}

// doneBeads adds beads, rods, amps and weld length of a rod.
func (c *recorder) doneBeads(it view.Item, id string, out map[string]string) {
	kinds := map[int]string{}
	for _, b := range it.Plan.Beads {
		kinds[b.Number] = "fill"
		if b.Kind == "root" {
			kinds[b.Number] = "root"
		}
	}
	var runs [2]ends[q.Length]
	var amps [2]ends[q.Current]
	var tins [2][]string
	beads, rods, uncounted := 0, 0.0, 0
	for _, b := range c.j.Beads {
		if b.Void || b.Is.Item != id {
			continue
		}
		k := 1
		if kinds[b.Is.Number] == "root" {
			k = 0
		}
		beads++
		rods += b.Is.Rods
		if b.Is.Rods == 0 {
			uncounted++
		}
		if run, ok := b.Is.PerRod(); ok {
			runs[k].add(run)
		}
		if b.Is.Amps != nil {
			amps[k].add(b.Is.Amps.SI)
		}
		if t := c.j.Tin(b.Is.Tin); t != nil {
			name := t.Is.Class + prefixed(" ", meas(t.Is.Size, c.p.Units))
			if !slices.Contains(tins[k], name) {
				tins[k] = append(tins[k], name)
			}
		}
	}
	for k, use := range []string{"root", "fill"} {
		out["filler."+use+".run"] = runs[k].text(func(v q.Length) string { return v.Text(c.p.Units) })
		out["filler."+use+".amps"] = amps[k].text(func(v q.Current) string { return v.Text(c.p.Units) })
		out["filler."+use+".core"] = strings.Join(tins[k], "; ")
	}
	if beads > 0 {
		out["passes.beads"] = strconv.Itoa(beads)
		if rods > 0 {
			out["passes.rods"] = some(rods)
			if uncounted > 0 {
				out["passes.rods"] += fmt.Sprintf("; %d beads without a count", uncounted)
			}
		}
	}
}

// bySide prints lengths by side of the groove.
func bySide(sides [3]ends[q.Length], f func(q.Length) string) string {
	var parts []string
	for s := range sides {
		if t := sides[s].text(f); t != "" {
			parts = append(parts, fmt.Sprintf("side %d: %s", s, t))
		}
	}
	if len(parts) == 1 {
		_, only, _ := strings.Cut(parts[0], ": ")
		return only
	}
	return strings.Join(parts, "; ")
}

// finalLook says how long after the last heat the last final look was.
func (c *recorder) finalLook(id string) string {
	var hot, look book.Meta
	for _, b := range c.j.Beads {
		if !b.Void && b.Is.Item == id && b.At.After(hot.At) {
			hot = b.Meta
		}
	}
	for _, h := range c.j.PostHeats {
		if !h.Void && h.Is.Item == id && h.At.After(hot.At) {
			hot = h.Meta
		}
	}
	for _, i := range c.j.Inspections {
		if !i.Void && i.Is.Item == id && i.Is.Stage == book.StageFinal && i.At.After(look.At) {
			look = i.Meta
		}
	}
	if hot.At.IsZero() || look.At.IsZero() {
		return ""
	}
	return "final look " + hourText(q.Time(look.At.Sub(hot.At).Seconds())) + " after the last heat"
}
