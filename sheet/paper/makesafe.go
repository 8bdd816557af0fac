package paper

import (
	"soundmetal/gate"
	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

// MakeSafe is the hot-work and make-safe sheet: may I touch it, what to do before
// the arc, the permit and the fire watch.
func MakeSafe(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	f := newFlow(o, 1, o.Words.T("safe.title")+" · "+font.Isolate(s.Plan.Job), s.Plan.Job)
	f.titleBlock(f.t("safe.title"), s.Plan.Job, s.about()...)
	f.heading(f.t("safe.touch"))
	asked := map[string]bool{}
	ruled := map[string]bool{}
	for _, it := range items {
		f.para(font.Isolate(it.Name())+": "+f.t("verdict."+it.Plan.Touch.Class.String()), style{bold: true, after: 0.8})
		for _, n := range it.Plan.Touch.Findings {
			key := n.RuleID + join("|", n.Because...)
			if ruled[key] {
				continue // said for the place before
			}
			ruled[key] = true
			f.finding(n)
			if n.Class == gate.Condition {
				f.tick(f.t("safe.met"), false)
			}
		}
		if t := it.Plan.Touch.CustomerText; t != "" && !it.Plan.Planned {
			f.para(f.t("verdict.customer")+": "+t, style{after: 1.5})
		}
		for _, q := range it.Plan.Touch.Ask {
			if !asked[q.Text] {
				asked[q.Text] = true
				f.question(f.lead(q.Text))
			}
		}
	}
	if s.Plan.MakeSafe == nil {
		return f.finish(s.caution()), nil
	}
	f.heading(f.t("safe.before"))
	for _, l := range s.Plan.MakeSafe.Lines {
		f.safeLine(l)
	}
	f.clampDrawings(items)
	f.keep(func() {
		f.heading(f.t("safe.hot-work"))
		f.blanks(2, f.t("safe.permit"), f.t("safe.given-by"), f.t("safe.from"), f.t("safe.until"), f.t("safe.watch"), f.t("safe.extinguisher"), f.t("safe.last-spark"), f.t("safe.watch-until"))
	})
	f.keep(func() {
		f.heading(f.t("safe.card"))
		f.blanks(1, f.t("safe.place"))
		f.blanks(2, f.t("safe.coordinates"), f.t("safe.emergency"), f.t("safe.call"), f.t("safe.tanks"))
		f.blanks(1, f.t("safe.me"))
	})
	f.blanks(2, f.t("repair.signed"), f.t("safe.when"))
	return f.finish(s.caution()), nil
}

// clampDrawings show where to clamp, one drawing for places with the same arc.
func (f *flow) clampDrawings(items []view.Item) {
	seen := map[string]bool{}
	for _, it := range items {
		s, ok := it.Current()
		if !ok || seen[s.Arc] {
			continue
		}
		seen[s.Arc] = true
		d := sketch.DrawPath(s, sketch.Frame{Width: f.w, High: 80, Size: f.size(3.4), Words: f.Words})
		f.keep(func() {
			f.heading(f.t("safe.clamp") + ": " + font.Isolate(it.Name()))
			f.para(f.lead(it.Plan.Current.Say), style{bold: true})
			f.drawing(d)
			for _, n := range it.Plan.Current.Notes {
				f.para(f.lead(n), style{size: smallSize})
			}
		})
	}
}

// question is an open question with room for the answer.
func (f *flow) question(text string) {
	f.para("? "+text, style{})
	f.lines(1)
}

func (f *flow) safeLine(l plan.Line) {
	text := f.lead(l.Text)
	switch l.Kind {
	case plan.Hold:
		f.tick(text, true)
	case plan.Caution:
		f.caution(text)
	case plan.Number:
		f.rows([]figure{{l.Figure.Label, f.lead(l.Figure.Text)}}, 0.42)
	case plan.Note:
		f.para(text, style{indent: 6.4, after: 0.6})
	default:
		f.tick(text, false)
	}
}
