package sheet

import (
	"fmt"
	"strings"

	"soundmetal/price"
)

// QuoteText prints a quote as the customer reads it. The quote holds no cost and
// no markup.
func QuoteText(q *price.Quote) string {
	var w writer
	w.line(strings.ToUpper(orElse(q.Shop, "quote")))
	w.facts(q.Address, q.Phone)
	title := "ESTIMATE"
	if q.Fixed {
		title = "FIXED PRICE"
	}
	w.heading(title)
	for _, f := range [][2]string{{"number", q.Head.Number}, {"date", q.Head.Date}, {"for", q.Head.Customer}, {"job", q.Head.Job}, {"place", q.Head.Place}} {
		if f[1] != "" {
			w.para(fmt.Sprintf("  %-8s", f[0]), "          ", f[1])
		}
	}
	w.blank()
	w.line(fmt.Sprintf("  %-40s %11s %10s %12s", "", "quantity", "price", "amount"))
	for _, l := range q.Lines {
		w.moneyLine(l)
	}
	w.sum("before tax", q.Subtotal.Number())
	if !q.Tax.IsZero() {
		w.sum(q.TaxName+" "+q.TaxRate+"%", q.Tax.Number())
	}
	w.sum("TOTAL "+string(q.Total.Currency()), q.Total.Number())
	w.blank()
	if q.Fixed {
		w.para("  ", "  ", "A fixed price for the damage described below. What lies beyond it is extra, by the rates below, and only after your yes.")
	} else {
		w.para("  ", "  ", "An estimate: you pay for what is used. In four cases of five it comes to no more than "+q.FourInFive.String()+".")
	}
	w.para("  ", "  ", "Not more than "+q.NotToExceed.String()+" with tax without your written yes.")
	if len(q.UnitRates) > 0 {
		w.heading("IF MORE IS FOUND, BEFORE TAX")
		for _, r := range q.UnitRates {
			w.pair("  ", r.Text, r.Price.String())
		}
	}
	w.bullets("THIS PRICE ASSUMES", q.Assumptions)
	w.bullets("NOT INCLUDED", q.Exclusions)
	w.bullets("CONDITIONS", q.Conditions)
	if q.Validity != "" {
		w.blank()
		w.line("This price holds for " + q.Validity + ".")
	}
	return w.String()
}

// moneyLine writes one line; a long text goes on below itself.
func (w *writer) moneyLine(l price.PriceLine) {
	quantity := strings.TrimSpace(l.Quantity + " " + l.Unit)
	amount := l.Amount.Number()
	if l.Open {
		amount = "open"
	}
	text := wrap(l.Text, 40)
	w.line(fmt.Sprintf("  %-40s %11s %10s %12s", text[0], quantity, l.Price, amount))
	for _, t := range text[1:] {
		w.line("    " + t)
	}
}

func (w *writer) sum(label, amount string) {
	w.line(fmt.Sprintf("  %-40s %11s %10s %12s", label, "", "", amount))
}

func (w *writer) bullets(title string, all []string) {
	if len(all) == 0 {
		return
	}
	w.heading(title)
	for _, t := range all {
		w.para("  - ", "    ", t)
	}
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
