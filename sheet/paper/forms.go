package paper

import (
	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

// The forms below are money papers and the record as far as the plan fills them;
// prices, readings and signatures are blanks to be filled by hand.

// heads takes both parties and the job from the source.
func (s Source) heads(o Options) Heads {
	h := Heads{Number: o.Number, To: Party{s.Job.Customer.Name, s.Job.Customer.Address, s.Job.Customer.Phone},
		Job: s.Plan.Job, Machine: join(", ", s.Plan.Machine, s.Job.Machine.Model), Place: s.Plan.Place, Form: true}
	if s.Shop != nil {
		h.From = Party{s.Shop.Name, s.Shop.Address, s.Shop.Phone}
	}
	return h
}

// scope says in plain words what is done at each place.
func (s Source) scope(o Options, items []view.Item) (do, not []string) {
	for _, it := range items {
		switch {
		case !it.Plan.Planned:
			not = append(not, font.Isolate(it.Name())+": "+o.Words.T("forms.not-planned"))
		case it.Plan.Groove == nil:
			not = append(not, font.Isolate(it.Name())+": "+o.Words.T("forms.not-known"))
		default:
			do = append(do, font.Isolate(it.Name())+": "+o.Words.T("forms.scope", it.Text("cut.length"), it.Text("after.hold")))
		}
	}
	return do, append(not, o.Words.T("forms.hidden"))
}

// QuoteForm is a quote to fill in by hand.
func QuoteForm(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	q := Quote{Heads: s.heads(o), Terms: []string{o.Words.T("forms.change-term"), o.Words.T("forms.record-term")}}
	q.Scope, q.Excluded = s.scope(o, items)
	if s.Shop != nil {
		q.Valid = s.Shop.Prices.Validity
	}
	return QuotePaper(q, o)
}

// ChangeForm is a change order to fill in by hand.
func ChangeForm(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	if _, err := s.items(o); err != nil {
		return draw.Doc{}, err
	}
	return ChangePaper(Change{Heads: s.heads(o), Else: []string{o.Words.T("forms.no-means")}}, o)
}

// InvoiceForm is an invoice to fill in by hand.
func InvoiceForm(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	if _, err := s.items(o); err != nil {
		return draw.Doc{}, err
	}
	return InvoicePaper(Invoice{Heads: s.heads(o)}, o)
}

// recordFigures are the figures of the plan that are held against what was done.
var recordFigures = []string{"cut.length", "cut.depth", "joint.angle", "joint.top-width", "joint.opening", "filler.root.core", "filler.root.run",
	"filler.fill.core", "filler.fill.run", "heat.preheat", "heat.interpass", "heat.band", "passes.beads", "passes.rods", "after.postheat", "after.hold"}

// RecordForm is a repair record to fill in by hand, with the figures as planned.
func RecordForm(s Source, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	r := Record{Heads: s.heads(o), Serial: s.Job.Machine.Serial}
	if h := s.Job.Machine.Hours; h.Known {
		r.Hours = h.V.In(o.Units)
	}
	for _, it := range items {
		if !it.Plan.Planned || it.Plan.Groove == nil {
			continue
		}
		item := RecordItem{Name: it.Name()}
		if p, ok := it.Part(); ok {
			item.Drawings = append(item.Drawings, sketch.DrawPart(p, sketch.Frame{Width: o.Size.W - 2*margin, High: 40, Size: 3.4, Words: o.Words}))
		}
		for _, name := range recordFigures {
			if fig, ok := it.Figure(name); ok {
				item.Rows = append(item.Rows, RecordRow{What: fig.Label, Planned: view.Lead(fig.Text, o.Units)})
			}
		}
		item.NextLook = each(nextLook(it), o)
		item.NotExamined = each(notExamined(it), o)
		r.Items = append(r.Items, item)
	}
	return RecordPaper(r, o)
}

// nextLook are the lines that say when to look again.
func nextLook(it view.Item) []string {
	var all []string
	next, _ := section(it, "next")
	for _, l := range next.Lines {
		if l.Kind == plan.Do {
			all = append(all, l.Text)
		}
	}
	after, _ := section(it, "after")
	for _, l := range after.Lines {
		if lineID(l) == "after-next-look" && len(all) == 0 {
			all = append(all, l.Text)
		}
	}
	return all
}

// notExamined are the lines made for this job that say what is not examined:
// they follow the standing line about it.
func notExamined(it view.Item) []string {
	var all []string
	after, _ := section(it, "after")
	found := false
	for _, l := range after.Lines {
		if found && l.Kind == plan.Note && l.Basis == nil {
			all = append(all, l.Text)
		}
		found = found || lineID(l) == "after-not-examined"
	}
	return all
}

// each puts the figures of texts in the order of the sheet.
func each(texts []string, o Options) []string {
	var all []string
	for _, t := range texts {
		all = append(all, view.Lead(t, o.Units))
	}
	return all
}
