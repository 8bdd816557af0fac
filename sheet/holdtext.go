package sheet

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/plan"
	"soundmetal/quantity"
)

// itemSection prints a section of an item; the lives of the repairs stand as a table.
func (w *writer) itemSection(number string, s plan.Section, it plan.Item) {
	rows := map[string]plan.Repair{}
	if it.Hold != nil {
		for _, r := range it.Hold.Repairs {
			rows["repair-"+r.Option.ID] = r
		}
	}
	w.heading(strings.TrimSpace(number + "  " + strings.ToUpper(s.Title)))
	in := false
	for _, l := range s.Lines {
		r, ok := plan.Repair{}, false
		if l.Figure != nil {
			r, ok = rows[lastPart(l.Figure.ID)]
		}
		switch {
		case ok && !in:
			w.repairHead(it.Hold)
			fallthrough
		case ok:
			w.repairRow(r, it.Hold)
		case in:
			w.repairFoot(it.Hold)
			w.planLine(l)
		default:
			w.planLine(l)
		}
		in = ok
	}
	if in {
		w.repairFoot(it.Hold)
	}
}

func lastPart(id string) string { return id[strings.LastIndex(id, ".")+1:] }

const repairForm = "%s%s%-24s%9s%10s%11s  %-13s %s"

func (w *writer) repairHead(h *plan.HoldPlan) {
	w.blank()
	median, risk5, risk1 := "half last", "19 of 20", "99 of 100"
	if !h.Load.Known {
		median, risk5, risk1 = "half last", "19 of 20", ""
	}
	w.line(fmt.Sprintf(repairForm, " ", " ", "repair", median, risk5, risk1, "cracks first", "extra"))
}

func (w *writer) repairRow(r plan.Repair, h *plan.HoldPlan) {
	o := r.Option
	planned, worse, extra := " ", " ", ""
	switch {
	case o.ID == h.Planned:
		planned = "*"
	case !o.Possible:
		planned = "x"
	}
	switch {
	case o.Worse:
		worse = "!"
	case r.Doubtful():
		worse = "?"
	}
	if r.Extra != nil {
		extra = extraText(*r.Extra)
	}
	lives := []string{plan.LifeText(o.Life.Median), plan.LifeText(o.Life.Risk5), plan.LifeText(o.Life.Risk1)}
	if !h.Load.Known {
		lives = []string{fmt.Sprintf("%.2g ×", o.Life.Times), fmt.Sprintf("%.2g ×", o.Life.Times5), ""}
	}
	w.line(fmt.Sprintf(repairForm, planned, worse, r.Short(), lives[0], lives[1], lives[2], r.First(), extra))
}

// repairFoot says what the marks mean, where they stand.
func (w *writer) repairFoot(h *plan.HoldPlan) {
	var marks []string
	if h.Planned != "" {
		marks = append(marks, "* this plan")
	}
	worse, doubt, not := false, false, ""
	for _, r := range h.Repairs {
		worse, doubt = worse || r.Option.Worse, doubt || r.Doubtful() && !r.Option.Worse
		if !r.Option.Possible && r.Option.Governs != "" {
			not = r.Option.WhyNot
		}
	}
	if worse {
		marks = append(marks, "! worse than its weld alone")
	}
	if doubt {
		marks = append(marks, "? if the ends find a place with half the stress")
	}
	if not != "" {
		marks = append(marks, "x "+not)
	}
	if !h.Load.Known {
		marks = append(marks, "× times the life it had")
	} else {
		marks = append(marks, "hours of the same work as before, extra hours of yours")
	}
	w.para("    ", "    ", strings.Join(marks, "; ")+" [m]")
	w.blank()
}

// extraText prints hours over the weld of the plan: +½-1½ h.
func extraText(r quantity.Of[quantity.Time]) string {
	low, high := quarters(r.Low), quarters(r.High)
	switch {
	case r.High <= 0:
		return "-"
	case r.High > 99*quantity.Hour:
		return "> 99 h"
	case low == high:
		return "+" + high + " h"
	}
	return "+" + low + "-" + high + " h"
}

// quarters prints hours to the quarter, from 10 h on to the hour.
func quarters(t quantity.Time) string {
	q := int(t.Hours()*4 + 0.5)
	if q >= 40 {
		return fmt.Sprint((q + 2) / 4)
	}
	whole, rest := q/4, []string{"", "¼", "½", "¾"}[q%4]
	if whole == 0 && rest != "" {
		return rest
	}
	return fmt.Sprint(whole) + rest
}

// HoldText prints the answer to "will it hold" as a welder reads it.
func HoldText(r *plan.HoldReport) string {
	var w writer
	w.line(strings.ToUpper(r.Job) + ": WILL IT HOLD?")
	for _, c := range r.Cautions {
		w.para("! ", "  ", c)
	}
	if slices.ContainsFunc(r.Items, func(it plan.HeldItem) bool { return it.Hold != nil }) {
		w.pair("", "hours wanted with the crack in", plan.LifeText(r.Need)+" of work ("+r.NeedFrom+")")
	}
	for i, it := range r.Items {
		name := it.Name
		if name == "" {
			name = it.Part
		}
		w.blank()
		w.line(strings.Repeat("=", Columns))
		w.para(fmt.Sprintf("ITEM %d  ", i+1), "        ", name)
		if it.Hold == nil {
			w.touch(i, plan.Item{Touch: it.Touch}, false, nil)
			w.para("  ", "  ", "No figure is given for it: neither hours nor a repair.")
			continue
		}
		if len(it.Touch.Findings) > 0 {
			w.para("  >> ", "     ", verdictWords[it.Touch.Class]+" They stand in the plan.")
		}
		for _, s := range it.Sections {
			w.itemSection("", s, plan.Item{Hold: it.Hold})
		}
	}
	if text := w.String(); strings.Contains(text, "[m]") || strings.Contains(text, "[p]") || strings.Contains(text, "[j]") {
		w.blank()
		w.para("", "", legend)
	}
	return w.String()
}
