package sheet

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/gate"
	"soundmetal/plan"
	"soundmetal/quantity"
	"soundmetal/source"
)

// marks are set behind a figure whose source is weaker than a published one.
var marks = map[source.Status]string{
	source.Memory:    "[m]",
	source.Practice:  "[p]",
	source.Judgement: "[j]",
}

const legend = "[m] from memory, check a licensed copy  [p] common practice, no source  [j] our judgement"

// PlanText prints the whole plan as a welder reads it, 80 columns wide.
func PlanText(p *plan.Plan) string {
	var w writer
	w.line(strings.ToUpper(p.Job))
	var facts []string
	for _, s := range []string{p.Customer, p.Machine, p.Place} {
		if s != "" {
			facts = append(facts, s)
		}
	}
	if len(facts) > 0 {
		w.para("", "", strings.Join(facts, " · "))
	}
	for _, c := range p.Cautions {
		w.para("! ", "  ", c)
	}
	if len(p.Read) > 0 {
		w.heading("READ FROM THE JOB FILE")
		for _, e := range p.Read {
			w.pair("  ", e.Field, e.Text)
		}
	}
	w.heading("1  MAY I TOUCH IT?")
	common := commonFindings(p.Items)
	if len(common) > 0 {
		w.line("Whole job")
		for _, f := range common {
			w.finding(f)
		}
	}
	for i, it := range p.Items {
		w.touch(i, it, len(p.Items) > 1, common)
	}
	w.questions(p.Items)
	if p.MakeSafe != nil {
		w.section("2", *p.MakeSafe)
	}
	for i, it := range p.Items {
		if !it.Planned {
			continue
		}
		if len(p.Items) > 1 {
			w.blank()
			w.line(strings.Repeat("=", Columns))
			w.para(fmt.Sprintf("ITEM %d  ", i+1), "        ", itemName(it))
		}
		for k, s := range it.Sections {
			w.itemSection(fmt.Sprint(k+3), s, it)
			w.tables(it, s.ID, p)
		}
	}
	if len(p.Narrow) > 0 {
		w.heading("WORTH FINDING OUT")
		for _, n := range p.Narrow {
			w.para("  ? ", "    ", withItem(n.Item, n.Ask, len(p.Items) > 1))
			if n.How != "" {
				w.para("    ", "    ", n.How)
			}
			w.para("    ", "    ", n.Save)
		}
	}
	if p.Bring != nil {
		w.section("", *p.Bring)
	}
	if p.Hours != nil {
		w.section("", *p.Hours)
	}
	w.legend()
	return w.String()
}

// legend explains the marks, where there are any.
func (w *writer) legend() {
	if text := w.String(); strings.Contains(text, "[m]") || strings.Contains(text, "[p]") || strings.Contains(text, "[j]") {
		w.blank()
		w.para("", "", legend)
	}
}

func itemName(it plan.Item) string {
	if it.Name != "" {
		return it.Name
	}
	return it.Part
}

func withItem(item, text string, many bool) string {
	if many && item != "" {
		return item + ": " + text
	}
	return text
}

var verdictWords = map[gate.Class]string{
	gate.Refuse:    "NO. Do not weld this.",
	gate.Escalate:  "NOT YET. No arc until the approval named below is in your hand, in writing.",
	gate.Condition: "YES, with the conditions below.",
	gate.Go:        "YES. Make safe first.",
}

// commonFindings are those that every item of a job with several items meets in
// the same way: they are printed once.
func commonFindings(items []plan.Item) []gate.Finding {
	if len(items) < 2 {
		return nil
	}
	var common []gate.Finding
	for _, f := range items[0].Touch.Findings {
		everywhere := true
		for _, it := range items[1:] {
			everywhere = everywhere && slices.ContainsFunc(it.Touch.Findings, func(o gate.Finding) bool { return same(f, o) })
		}
		if everywhere {
			common = append(common, f)
		}
	}
	return common
}

func same(a, b gate.Finding) bool { return a.RuleID == b.RuleID && slices.Equal(a.Because, b.Because) }

func (w *writer) touch(i int, it plan.Item, many bool, common []gate.Finding) {
	if many {
		w.para(fmt.Sprintf("Item %d  ", i+1), "        ", itemName(it))
	}
	w.para("  >> ", "     ", verdictWords[it.Touch.Class])
	for _, f := range it.Touch.Findings {
		if !slices.ContainsFunc(common, func(o gate.Finding) bool { return same(f, o) }) {
			w.finding(f)
		}
	}
	for _, n := range it.Touch.Notes {
		w.para("    ", "    ", n)
	}
	if it.Touch.CustomerText != "" && !it.Planned {
		w.line("  text to the customer")
		w.para("    ", "    ", "\""+it.Touch.CustomerText+"\"")
	}
}

// finding prints one rule with its reason.
func (w *writer) finding(f gate.Finding) {
	w.para("  - ", "    ", f.Title)
	w.para("    ", "    ", f.Why)
	w.named("because", strings.Join(f.Because, "; "))
	w.named("unlocks", f.Unlock)
	for i, m := range f.Meanwhile {
		name := "meanwhile"
		if i > 0 {
			name = ""
		}
		w.named(name, m)
	}
	w.named("rule", ruleText(f))
}

// named prints a text behind its name in a fixed column; an empty text not at all.
func (w *writer) named(name, text string) {
	if text != "" {
		w.para(fmt.Sprintf("    %-10s", name), "              ", text)
	}
}

// questions prints what is open over all items, each question once.
func (w *writer) questions(items []plan.Item) {
	seen := map[string]bool{}
	for _, it := range items {
		for _, a := range it.Touch.Ask {
			if !seen[a.Text] {
				seen[a.Text] = true
				w.para("  ? ", "    ", a.Text)
			}
		}
	}
}

func ruleText(f gate.Finding) string {
	s := f.Source.String() + " [" + string(f.Source.Status) + "]"
	if f.Jurisdiction != "" {
		s += "; rule shown is " + f.Jurisdiction + ", check yours"
	}
	return s
}

func (w *writer) section(number string, s plan.Section) {
	title := strings.ToUpper(s.Title)
	if number != "" {
		title = number + "  " + title
	}
	w.heading(title)
	for _, l := range s.Lines {
		w.planLine(l)
	}
}

func (w *writer) planLine(l plan.Line) {
	switch l.Kind {
	case plan.Number:
		w.pair("  ", l.Figure.Label, l.Figure.Text+mark(l.Figure.Basis.Ref.Status))
	case plan.Do:
		w.para("  [ ] ", "      ", l.Text+lineMark(l))
	case plan.Hold:
		w.para("  HOLD [ ] ", "           ", l.Text+lineMark(l))
	case plan.Caution:
		w.para("  !   ", "      ", l.Text+lineMark(l))
	default:
		w.para("      ", "      ", l.Text+lineMark(l))
	}
}

func lineMark(l plan.Line) string {
	if l.Basis == nil {
		return ""
	}
	return mark(l.Basis.Ref.Status)
}

func mark(s source.Status) string {
	if m := marks[s]; m != "" {
		return " " + m
	}
	return ""
}

// tables writes the data of an item that reads best as rows.
func (w *writer) tables(it plan.Item, section string, p *plan.Plan) {
	switch section {
	case "steel":
		w.steels(it, p)
	case "passes":
		w.beads(it, p)
	case "heat":
		if len(it.Beads) > 0 {
			w.para("      ", "      ", "Minutes of torch, waits between beads, cooling and hydrogen, simulated: `soundmetal heat`.")
		}
	}
}

func (w *writer) steels(it plan.Item, p *plan.Plan) {
	if len(it.Steels) == 0 {
		return
	}
	w.blank()
	w.line("  steel (* the plan holds for it)          weight  at least       at most")
	for _, s := range it.Steels {
		floor, ceiling := "no figure", "no figure"
		if s.Floor != nil {
			floor = slash(s.Floor.MinimumText(p.Units))
		}
		if s.Ceiling != nil {
			ceiling = slash(s.Ceiling.MaximumText(p.Units))
		}
		name := []rune(s.Name)
		if len(name) > 40 {
			name = append(name[:39], '…')
		}
		star := " "
		if s.Held {
			star = "*"
		}
		w.line(fmt.Sprintf("%s %-40s %6s  %-14s %s", star, string(name), weightText(s.Weight), floor, ceiling))
	}
}

// slash shortens 285 °F (145 °C) for a table: 285 °F/145 °C.
func slash(s string) string { return strings.NewReplacer(" (", "/", ")", "").Replace(s) }

func (w *writer) beads(it plan.Item, p *plan.Plan) {
	if len(it.Beads) == 0 {
		return
	}
	w.blank()
	energy := "kJ/mm"
	if p.Units == quantity.US {
		energy = "kJ/in"
	}
	w.line("  bead   layer kind side rod               amps     weld per rod      arc " + energy)
	for _, g := range groupBeads(it.Beads) {
		w.line(beadRow(g, p.Units))
	}
}

// beadGroup is a run of beads that are run the same way.
type beadGroup struct {
	first, last plan.Bead
}

// groupBeads joins neighbouring beads of one kind and rod.
func groupBeads(all []plan.Bead) []beadGroup {
	var groups []beadGroup
	for _, b := range all {
		if n := len(groups); n > 0 {
			g := &groups[n-1]
			if g.last.Kind == b.Kind && g.last.Side == b.Side && g.last.Rod == b.Rod && g.last.Layer == b.Layer {
				g.last = b
				continue
			}
		}
		groups = append(groups, beadGroup{first: b, last: b})
	}
	return groups
}

// beadRow prints one group on one line.
func beadRow(g beadGroup, sys quantity.System) string {
	number := fmt.Sprint(g.first.Number)
	if g.last.Number != g.first.Number {
		number += "-" + fmt.Sprint(g.last.Number)
	}
	b := g.first
	arc := fmt.Sprintf("%.2f", b.Arc.KJPerMM())
	if sys == quantity.US {
		arc = fmt.Sprintf("%.0f", b.Arc.KJPerInch())
	}
	amps := strings.NewReplacer(" to ", "-", " A", "").Replace(b.Amps.In(sys))
	return fmt.Sprintf("  %-6s %-5d %-4s %-4d %-17s %-8s %-17s %s", number, b.Layer, b.Kind, b.Side, b.Rod, amps, plan.TapeSpan(b.Run, sys), arc)
}

func weightText(w float64) string {
	if w < 0.005 {
		return "< 1 %"
	}
	return fmt.Sprintf("%.0f %%", w*100)
}
