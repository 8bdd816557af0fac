package paper

import (
	"strings"

	"soundmetal/price"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/view"
)

// PricedQuote prints a quote with the amounts of the price room. What the
// customer reads comes from price.Quote, which holds no cost and no markup.
func PricedQuote(s Source, p price.Quote, o Options) (draw.Doc, error) {
	o = s.options(o)
	items, err := s.items(o)
	if err != nil {
		return draw.Doc{}, err
	}
	q := Quote{Heads: s.heads(o), Valid: p.Validity, Assumed: each(p.Assumptions, o), Excluded: each(p.Exclusions, o), Terms: each(p.Conditions, o)}
	q.Form = false
	if p.Head.Number != "" {
		q.Number = p.Head.Number
	}
	q.Scope, _ = s.scope(o, items)
	for _, l := range p.Lines {
		line := MoneyLine{What: view.Lead(l.Text, o.Units), Quantity: strings.TrimSpace(l.Quantity + " " + l.Unit), Amount: l.Amount.String()}
		if l.Price != "" {
			line.Quantity += " × " + l.Price
		}
		if l.Open {
			line.Amount = o.Words.T("quote.open")
		}
		q.Lines = append(q.Lines, line)
	}
	q.Sums = []MoneyLine{{What: o.Words.T("money.net"), Amount: p.Subtotal.String()}}
	if !p.Tax.IsZero() {
		q.Sums = append(q.Sums, MoneyLine{What: p.TaxName + " " + p.TaxRate + " %", Amount: p.Tax.String()})
	}
	q.Sums = append(q.Sums, MoneyLine{What: o.Words.T("money.total"), Amount: p.Total.String()})
	q.Kind, q.Range = o.Words.T("quote.estimate"), o.Words.T("quote.four", p.FourInFive.String())+" "
	if p.Fixed {
		q.Kind, q.Range = o.Words.T("quote.fixed"), ""
	}
	q.Range += o.Words.T("quote.cap", p.NotToExceed.String())
	for _, r := range p.UnitRates {
		q.Rates = append(q.Rates, MoneyLine{What: view.Lead(r.Text, o.Units), Amount: r.Price.String()})
	}
	return QuotePaper(q, o)
}
