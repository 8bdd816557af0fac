package web

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	dec "github.com/govalues/decimal"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/price"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/view"
)

// The invoice from the book.

// billSamples are the draws behind the plan's quantities: the least there may be,
// since the quantities as planned do not depend on them.
const billSamples = 100

// billed is an invoice with what the shop should look at before it goes out.
type billed struct {
	paper paper.Invoice
	watch []string
}

// invoicePaper prints the invoice.
func (r *request) invoicePaper(p *printing) (draw.Doc, error) {
	b, err := r.bill(p)
	if err != nil {
		return draw.Doc{}, err
	}
	p.Standing = ""
	return paper.InvoicePaper(b.paper, p.Options)
}

// bill makes the invoice. Where a price is missing it is refused with one
// sentence that says where to set it.
func (r *request) bill(p *printing) (billed, error) {
	shop, err := r.reg.Shop()
	if err != nil {
		return billed{}, err
	}
	if !priced(shop) {
		return billed{}, notYet("an invoice needs your prices: give at least the currency and the price of an hour in the shop")
	}
	if len(r.job.Clocks)+standing(r.job.Beads)+standing(r.job.Gouges)+standing(r.job.Inspections) == 0 && r.job.Status == book.JobOpen {
		return billed{}, notYet("nothing of this job is logged yet: the quote says what it will come to")
	}
	var e *price.Estimated
	if p.noFile != nil { // what was not logged would be missing
		return billed{}, noPlanFile()
	}
	if p.plan != nil {
		a, err := plan.Price(p.plan.job, shop, p.plan.plan.Units, plan.PriceAsk{Samples: billSamples})
		if err != nil {
			return billed{}, notYet("%v", err)
		}
		e = a.Estimate
	}
	return invoiceOf(r.job, usedOf(r.job, e, r.now), *shop, r.heads(p), p.Options)
}

// invoiceOf maps what was used and agreed to the paper.
func invoiceOf(j *book.Job, u used, shop job.Shop, h paper.Heads, o paper.Options) (billed, error) {
	agreed, notes := agreedOn(j, shop, o)
	head := price.Head{Customer: h.To.Name, Job: h.Job, Place: h.Place, Number: h.Number, Date: o.Date.Format(time.DateOnly)}
	text, err := price.MakeInvoice(u.Used, shop, price.Terms{}, head, agreed)
	if err != nil {
		return billed{}, notYet("%v: mend it in the shop", err)
	}
	if missing := text.Bill.Missing; len(missing) > 0 {
		return billed{}, notPriced(missing)
	}
	if len(text.Invoice.Lines) == 0 {
		return billed{}, notYet("nothing is logged and nothing may be planned here: there is nothing to bill")
	}
	out := billed{paper: paper.Invoice{Heads: h, Record: j.ID}, watch: u.watch}
	if len(j.Agreed) > 0 {
		out.paper.Quote = j.ID
	}
	out.paper.Lines = invoiceLines(text, u, o)
	i := text.Invoice
	out.paper.Sums = []paper.MoneyLine{{What: o.Words.T("money.net"), Amount: i.Subtotal.String()}}
	if !i.Tax.IsZero() {
		out.paper.Sums = append(out.paper.Sums, paper.MoneyLine{What: i.TaxName + " " + i.TaxRate + " %", Amount: i.Tax.String()})
	}
	out.paper.Sums = append(out.paper.Sums, paper.MoneyLine{What: o.Words.T("money.total"), Amount: i.Total.String()})
	out.paper.Notes = append(notes, u.notes...)
	if !i.Above.IsZero() {
		s := fmt.Sprintf("The total is %s above the agreed %s.", i.Above, agreed)
		out.paper.Notes = append(out.paper.Notes, s)
		out.watch = append(out.watch, s+" Get a yes in writing before the invoice goes out.")
	}
	if j.Status == book.JobOpen {
		out.watch = append(out.watch, "The job is still open: what is logged from now on is not in it.")
	}
	if j.OpenChange() != nil {
		out.watch = append(out.watch, "A change waits for the customer's answer.")
	}
	return out, nil
}

// invoiceLines are the lines of the bill; one that is taken from the plan says so.
func invoiceLines(text price.InvoiceText, u used, o paper.Options) []paper.MoneyLine {
	var all []paper.MoneyLine
	for n, l := range text.Invoice.Lines {
		line := paper.MoneyLine{What: view.Lead(l.Text, o.Units), Quantity: strings.TrimSpace(l.Quantity + " " + l.Unit), Amount: l.Amount.String()}
		if l.Price != "" {
			line.Quantity += " × " + l.Price
		}
		b := text.Bill.Lines[n]
		says := u.planned[b.Kind]
		if b.Kind == price.Travel && u.time && strings.HasSuffix(b.ID, ":time") {
			says = ""
		}
		if says != "" {
			line.What += " (" + says + ")"
		}
		all = append(all, line)
	}
	return all
}

// notPriced says in one sentence what to fill in and where.
func notPriced(missing []string) error {
	text, own := toGive(missing)
	if own {
		text += "; write 0 where you charge nothing"
	}
	return notYet("%s", "the invoice does not add up yet; still to be given: "+text)
}

// toGive names what a price lacks and where it is given; own says that some of it
// stands in the shop.
func toGive(missing []string) (text string, own bool) {
	var form, file, site []string
	for _, m := range missing {
		_, field, found := strings.Cut(m, "give ")
		if !found {
			field = m
		}
		field, _, _ = strings.Cut(field, " in ")
		to := &form
		label := shopLabel(field)
		switch {
		case field == "site.distance":
			label, to = "the distance, one way", &site
		case strings.HasPrefix(field, "site."):
			to = &site
		case label == field:
			to = &file
		}
		if !slices.Contains(*to, label) {
			*to = append(*to, label)
		}
	}
	var parts []string
	for _, p := range []struct {
		what  []string
		where string
	}{{form, "in the shop"}, {file, "in the shop file"}, {site, "in the facts of the site"}} {
		if len(p.what) > 0 {
			parts = append(parts, strings.Join(p.what, ", ")+" ("+p.where+")")
		}
	}
	return strings.Join(parts, "; "), len(form)+len(file) > 0
}

// shopLabel names a field of the shop as its form does; what is not on the form
// keeps the name that it has in the file.
func shopLabel(field string) string {
	for _, f := range shopFields {
		if f.Name == field && f.Label != "" {
			return strings.ToLower(f.Label[:1]) + f.Label[1:]
		}
	}
	return field
}

// agreedOn is the sum that the invoice may not pass without a new yes, with what
// was agreed in words; no sum where what was agreed names none.
func agreedOn(j *book.Job, shop job.Shop, o paper.Options) (price.Amount, []string) {
	var notes []string
	top, known := dec.Decimal{}, false
	capped := false // the sum is the cap of a plan, so a change brings a cap of its own
	if n := len(j.Agreed); n > 0 {
		a := j.Agreed[n-1]
		notes = append(notes, "Agreed"+prefixed(": ", a.Is.Price)+". "+yesText(a.Is.Yes, o))
		if p := j.PlanOf(a.Is.Plan); p != nil && p.Limits.Price != nil && p.Limits.Price.Cap != "" && a.Is.Price == moneyText(*p.Limits.Price) {
			if d, err := dec.Parse(p.Limits.Price.Cap); err == nil && p.Limits.Price.Currency == shop.Prices.Currency {
				top, known, capped = d, true, true
				notes[0] += " Not more than " + p.Limits.Price.Cap + " " + p.Limits.Price.Currency + " without a further yes."
			}
		} else {
			top, known = topOf(a.Is.Price, shop.Prices.Currency)
		}
	}
	for i := range j.Changes {
		c := &j.Changes[i]
		if c.Accepted == nil {
			continue
		}
		s := fmt.Sprintf("Change %d, %s", c.Number, c.Why)
		m := c.Difference.Price
		if m != nil {
			s += ": " + moneyText(m.More) + " more"
		}
		notes = append(notes, s+". "+yesText(c.Accepted.Is.Yes, o))
		if !known {
			continue
		}
		switch {
		case m == nil || m.After.Currency != shop.Prices.Currency:
			known = false // a yes without a sum: nothing can be held against it
		case capped && m.After.Cap != "":
			d, err := dec.Parse(m.After.Cap)
			top, known = d, err == nil
		default:
			d, err := dec.Parse(m.More.High)
			if err == nil {
				d, err = top.Add(d)
			}
			top, known = d, err == nil
		}
	}
	if !known {
		return price.Amount{}, notes
	}
	return price.NewAmount(top, price.Currency(strings.ToUpper(strings.TrimSpace(shop.Prices.Currency)))), notes
}

var (
	figureForm = regexp.MustCompile(`\d[\d.,]*`)
	plainForm  = regexp.MustCompile(`^\d{1,3}(,\d{3})+(\.\d{1,2})?$|^\d+(\.\d{1,2})?$`)
	codeForm   = regexp.MustCompile(`[A-Z]{3}`)
)

// topOf reads the sum of a price as it was agreed in words: a figure, or the upper
// end of a range. Anything else, by the hour say, has none.
func topOf(text, currency string) (dec.Decimal, bool) {
	var top dec.Decimal
	all := figureForm.FindAllString(text, -1)
	for _, code := range codeForm.FindAllString(text, -1) {
		if code != strings.ToUpper(strings.TrimSpace(currency)) {
			return top, false
		}
	}
	if len(all) == 0 || len(all) > 2 || strings.Contains(text, "hour") || strings.Contains(text, "/") {
		return top, false
	}
	for _, s := range all {
		s = strings.TrimRight(s, ".,")
		d, err := dec.Parse(strings.ReplaceAll(s, ",", ""))
		if !plainForm.MatchString(s) || err != nil {
			return top, false
		}
		if d.Cmp(top) > 0 {
			top = d
		}
	}
	return top, true
}
