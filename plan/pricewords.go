package plan

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/source"
)

func things(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprint(n, " ", many)
}

// touchSection names the places that are not in the price, and why.
func (a *Priced) touchSection() Section {
	s := Section{ID: "touch", Title: "Not in the price"}
	for _, it := range a.Items {
		if it.Priced {
			continue
		}
		head := capital(it.Name)
		switch it.Verdict {
		case gate.Refuse:
			s.add(Hold, "NO: do not weld this. "+head+" No price is given for it.", nil)
		case gate.Escalate:
			s.add(Hold, "NOT YET: no arc on this until the approval is in your hand, in writing. "+head+" No price is given for it.", nil)
		default:
			s.add(Note, head+" No price yet.", nil)
		}
		for _, why := range it.Why {
			s.add(Note, why, nil)
		}
		if it.Verdict == gate.Refuse || it.Verdict == gate.Escalate {
			s.add(Note, "What may be done instead, and the text to the customer: `soundmetal plan`.", nil)
		}
	}
	return s
}

// moneyFigure makes a figure of an amount.
func moneyFigure(f figures, name, label string, v price.Amount, text string, b source.Basis) Figure {
	x, _ := v.Decimal().Float64()
	if text == "" {
		text = v.String()
	}
	return Figure{ID: f.id(name), Label: label, Value: &x, Unit: unitOf(v), Text: text, Basis: b}
}

func moneyBand(f figures, name, label string, low, high price.Amount, text string, b source.Basis) Figure {
	x, _ := low.Decimal().Float64()
	y, _ := high.Decimal().Float64()
	return Figure{ID: f.id(name), Label: label, Low: &x, High: &y, Unit: unitOf(low), Text: text, Basis: b}
}

func unitOf(v price.Amount) string {
	if c := v.Currency(); c != "" {
		return string(c)
	}
	return "1"
}

// priceSection is the range of hours and money.
func (a *Priced) priceSection() Section {
	s, f := Section{ID: "price", Title: "Hours and price"}, figures{"price"}
	b := a.Estimate.Basis
	time := func(name, label string, t HoursSpread) {
		if t.P95 > 0 {
			s.figure(between(f, name, label, q.Of[q.Time]{Low: t.P50, High: t.P95}, fmt.Sprintf("%s as seen; enough in half of all cases %s, in 4 of 5 %s, in 19 of 20 %s",
				hourText(t.Planned), hourText(t.P50), hourText(t.P80), hourText(t.P95)), a.Units, b))
		}
	}
	h := a.Hours
	time("labour", "work on site", h.Labour)
	time("standby", "waiting on site", h.Standby)
	time("driving", "driving", h.Driving)
	time("hours", "hours together", h.All)
	if a.Price == nil {
		return s
	}
	money := func(name, label string, m *price.AmountSpread) {
		s.figure(moneyBand(f, name, label, m.P50, m.P95, fmt.Sprintf("%s as seen; enough in half of all cases %s, in 4 of 5 %s, in 19 of 20 %s",
			m.Planned.Number(), m.P50.Number(), m.P80.Number(), m.P95), b))
	}
	money("before-tax", "before tax", a.Subtotal)
	money("total", "with "+a.Bill.TaxName, a.Price)
	s.figure(moneyFigure(f, "cap", "not more without a written yes", *a.NotToExceed, "", b))
	if n := len(a.Missing); n > 0 {
		s.add(Caution, fmt.Sprintf("The money is not whole: %s below.", things(n, "thing is not priced, see", "things are not priced, see")), nil)
	}
	switch second := h.Second; {
	case second >= 1:
		s.add(Note, "A second visit for the final test is always in it.", nil)
	case second > 0:
		s.add(Note, fmt.Sprintf("A second visit for the final test is in %s of all cases.", percent(second)), nil)
	}
	for _, c := range a.Allowance {
		w := source.Basis{Method: "allowance", Title: "The trade's allowance for hidden damage", Ref: c.Class.Ref}
		text := c.Class.Share.Text(a.Units)
		s.add(Note, fmt.Sprintf("Rule of thumb for hidden damage, %s: %s on top (%s).", c.Item, text, c.Class.Text), &w)
	}
	s.add(Note, fmt.Sprintf("The draws put %s on top at 4 in 5.", percent(a.Estimate.Over())), nil)
	return s
}

// driverSection is what drives the spread.
func (a *Priced) driverSection() Section {
	s, f := Section{ID: "drivers", Title: "What drives the spread"}, figures{"driver"}
	for _, d := range a.Drivers {
		b := source.Basis{Method: "driver", Title: d.Label, Formula: "the call at the 10 % and the 90 % draw of this, all else in the middle", Ref: d.Ref,
			Steps: []source.Step{{Name: "share of the spread", Formula: "squared rank correlation over the sum of all", Value: float64(d.Share), Text: percent(d.Share)}}}
		text := percent(d.Share) + " of the spread"
		if d.Chance > 0 {
			text += ", with a chance of " + percent(d.Chance)
		}
		hours := hourText(d.HoursLow) + " to " + hourText(d.HoursHigh)
		if a.Price == nil {
			s.figure(between(f, d.ID, d.Label, q.Of[q.Time]{Low: min(d.HoursLow, d.HoursHigh), High: max(d.HoursLow, d.HoursHigh)}, hours+"; "+text, a.Units, b))
			continue
		}
		low, high := d.Low, d.High
		if low.Cmp(high) > 0 {
			low, high = high, low
		}
		s.figure(moneyBand(f, d.ID, d.Label, low, high, d.Low.Number()+" to "+d.High.String()+", "+hours+"; "+text, b))
	}
	return s
}

// hoursSection is every step with its time.
func (o *order) hoursSection(steps []price.Step, simulated bool) Section {
	s := Section{ID: "hours", Title: "Hours step by step, as seen"}
	o.hourLines(&s, steps)
	if !simulated && slices.ContainsFunc(steps, func(s price.Step) bool { return s.ID == "reheat" }) {
		s.add(Note, "Re-heating is the usual allowance, and no wait for the ceiling is in it; `--heat` computes both in some seconds.", nil)
	}
	return s
}

// plainID makes a name of an id that has marks in it.
var plainID = strings.NewReplacer(":", "-", " ", "-")

// billSection is every line of the bill, as seen.
func (a *Priced) billSection() Section {
	s, f := Section{ID: "bill", Title: "Lines, as seen"}, figures{"bill"}
	b := a.Bill
	for _, l := range b.Lines {
		name := plainID.Replace(l.ID)
		if l.Missing != "" {
			s.figure(Figure{ID: f.id(name), Label: l.Text, Value: new(float64), Unit: unitOf(l.Amount), Text: l.Missing, Basis: l.Basis})
			continue
		}
		text := l.Amount.String()
		if l.Unit != "" || !l.Quantity.IsOne() {
			text = strings.TrimSpace(l.Quantity.String()+" "+l.Unit) + " × " + l.Price.String() + " = " + text
		}
		s.figure(moneyFigure(f, name, l.Text, l.Amount, text, l.Basis))
	}
	if a.Price == nil {
		return s
	}
	sum := func(formula string) source.Basis {
		return source.Basis{Method: "bill", Title: "Sum of the lines", Formula: formula, Ref: source.At("derived", "lines as printed", source.Derived)}
	}
	s.figure(moneyFigure(f, "subtotal", "before tax", b.Subtotal, "", sum("sum of the lines")))
	if !b.Tax.IsZero() {
		s.figure(moneyFigure(f, "tax", b.TaxName, b.Tax, b.TaxRate.String()+"% of "+b.Taxable.Number()+" = "+b.Tax.String(), sum("rate × taxable lines, rounded once")))
	}
	s.figure(moneyFigure(f, "total", "together", b.Total, "", sum("subtotal + tax")))
	return s
}

// rateSection is what further work costs.
func (a *Priced) rateSection() Section {
	s, f := Section{ID: "rates", Title: "If more is found: unit rates before tax"}, figures{"rate"}
	for i, r := range a.Estimate.UnitRates {
		label := r.Text
		if r.Item != "" && len(a.Items) > 1 {
			label += ": " + r.Item
		}
		text := ""
		if r.Price.Currency() != "" {
			text = r.Price.String()
			if r.Low.Cmp(r.High) != 0 {
				text += ", " + r.Low.Number() + " to " + r.High.Number()
			}
		}
		if r.Hours.High > 0 && r.Hours.Low != r.Hours.High {
			text = strings.TrimPrefix(text+"; "+stepText(r.Hours), "; ")
		}
		s.figure(moneyBand(f, fmt.Sprint(i+1), label, r.Low, r.High, text, r.Basis))
	}
	return s
}

// loadSection is what to load.
func (a *Priced) loadSection(o *order) Section {
	s := Section{ID: "load", Title: "Load list: enough in 4 of 5 cases"}
	a.Load = o.loadOf(&s, a.Estimate.Quantities)
	return s
}

// missingSection is what is not priced, and what was taken where a fact is not known.
func (a *Priced) missingSection(planned []*work) Section {
	s := Section{ID: "missing", Title: "Not priced yet"}
	if a.Currency == "" {
		a.Missing = []string{"no money: give prices.currency and your prices in shop.yaml; docs/price.md lists them"}
	}
	for _, text := range a.Missing {
		s.add(Do, capital(text), nil)
	}
	for _, w := range weldable(planned) {
		if !w.it.Crack.Length.Known {
			s.add(Caution, "The crack's length is not known: "+w.name()+" is priced for a crack of "+perLength.Text(a.Units)+". The unit rate says what more of it costs.", nil)
		}
		if w.shop == nil || len(w.shop.Torches) == 0 && w.heats() {
			s.add(Note, capital("no torch in the shop file: "+w.name()+" is reckoned with a usual "+string(usualTorch)+" torch"), nil)
		}
	}
	return s
}

// quoteSection is the quote's text as the customer will read it.
func (a *Priced) quoteSection() Section {
	s := Section{ID: "quote", Title: "Text of the quote"}
	for _, l := range []struct {
		head string
		all  []string
	}{{"Assumed", a.Quote.Assumptions}, {"Not included", a.Quote.Exclusions}, {"Condition", a.Quote.Conditions}} {
		for _, text := range l.all {
			s.add(Note, l.head+": "+text, nil)
		}
	}
	if a.Quote.Validity != "" {
		s.add(Note, "Holds for "+a.Quote.Validity+".", nil)
	}
	return s
}

// learnSection is what to hold the job's actual figures against.
func (a *Priced) learnSection(o *order) Section {
	s := Section{ID: "learn", Title: "To learn by: the handbook's figures for this job"}
	var h Handbook
	if w := o.places[0]; o.shop.Factors == (job.Factors{}) {
		h = o.handbook(a.Estimate.Steps)
	} else {
		h, _ = HandbookOf(w.j, w.shop, a.Units) // planned again without his own figures
	}
	a.Handbook = &h
	f := figures{"learn"}
	b := func(title, formula string) source.Basis {
		return source.Basis{Method: "handbook", Title: title, Formula: formula, Ref: source.At("derived", "plan without own factors", source.Derived),
			Why: "What you write down after the job is held against this.", Skip: "The next quote has the same mistake in it."}
	}
	s.figure(count(f, "rods", "rods", h.Rods, h.Rods, fmt.Sprintf("%.0f", h.Rods), b("Rods of the job", "sum over all places")))
	s.figure(one(f, "bead", "time for one bead", h.Bead, fmt.Sprintf("%.1f min", h.Bead.Minutes()), a.Units, b("Time for one bead", "welding time / beads")))
	if h.Gouge > 0 {
		s.figure(one(f, "gouge", "gouging, 100 mm of one pass", h.Gouge, fmt.Sprintf("%.0f s", float64(h.Gouge)), a.Units, b("Time to gouge 100 mm", "length / speed / operating factor")))
	}
	if h.Torch > 0 {
		s.figure(one(f, "torch", "torch, cold to preheat", h.Torch, fmt.Sprintf("%.0f min", h.Torch.Minutes()), a.Units, b("Torch time", "all places, once each")))
	}
	s.add(Note, "Write down what it took, and `soundmetal learn` makes it your own figure (docs/price.md).", nil)
	return s
}
