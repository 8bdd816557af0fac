package web

import (
	"fmt"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/view"
)

// Quote and change order from the book.

// priced says that a shop can price work.
func priced(s *job.Shop) bool {
	return s != nil && strings.TrimSpace(s.Prices.Currency) != "" && strings.TrimSpace(s.Prices.Hour) != ""
}

// quotePaper prints the quote with the same figures as the answer page: the same
// draws, and the shop's prices of the day the plan was made.
func (r *request) quotePaper(p *printing) (draw.Doc, error) {
	s, err := r.source(p)
	if err != nil {
		return draw.Doc{}, err
	}
	if !priced(s.Shop) { // prices were set since
		if now, err := r.reg.Shop(); err == nil && priced(now) {
			s.Shop = now
		}
	}
	if !priced(s.Shop) {
		return paper.QuoteForm(s, p.Options)
	}
	a, err := plan.Price(s.Job, s.Shop, s.Plan.Units, plan.PriceAsk{Samples: priceSamples, Number: p.Number, Date: r.now.Format(time.DateOnly)})
	if err != nil {
		return draw.Doc{}, notYet("%v", err)
	}
	if a.Quote == nil || a.Price == nil { // no place may be priced
		return paper.QuoteForm(s, p.Options)
	}
	return paper.PricedQuote(s, *a.Quote, p.Options)
}

// heads are both parties, the job and the machine, as the book knows them now.
func (r *request) heads(p *printing) paper.Heads {
	f := r.job.Facts.Get
	h := paper.Heads{Number: p.Number, Job: r.job.Name, Place: f("site.where"),
		To:      paper.Party{Name: f("customer.name"), Address: f("customer.address"), Phone: f("customer.phone")},
		Machine: strings.Join(nonEmpty(f("machine.kind"), f("machine.model")), ", ")}
	if c, ok := r.reg.Customer(r.job.Customer); ok {
		for _, x := range []struct {
			at   *string
			name string
		}{{&h.To.Name, "name"}, {&h.To.Address, "address"}, {&h.To.Phone, "phone"}} {
			if *x.at == "" {
				*x.at = c.Get(x.name)
			}
		}
	}
	shop := r.reg.ShopFields()
	h.From = paper.Party{Name: shop["shop"], Address: shop["address"], Phone: shop["phone"]}
	return h
}

// changePaper prints a change order: the one that is asked for, else the open
// one, else the last.
func (r *request) changePaper(p *printing) (draw.Doc, error) {
	c := r.job.OpenChange()
	if id := r.URL.Query().Get("id"); id != "" {
		if c = r.job.Change(id); c == nil {
			return draw.Doc{}, missing("this job has no such change")
		}
	}
	if n := len(r.job.Changes); c == nil && n > 0 {
		c = &r.job.Changes[n-1]
	}
	if c == nil {
		return draw.Doc{}, notYet("no change of this job was proposed: log what was found first")
	}
	doc := changeOf(r.job, c, r.heads(p), p.Options)
	if c.State == book.ChangeOpen {
		doc.Else = []string{p.Words.T("forms.no-means")}
	}
	doc.Photos, doc.NoPhoto = r.prints(photosOf(r.job, c), p.Options)
	p.Standing = ""
	return paper.ChangePaper(doc, p.Options)
}

// changeOf maps a change of the book to its paper.
func changeOf(j *book.Job, c *book.Change, h paper.Heads, o paper.Options) paper.Change {
	sys := j.System()
	h.Number = fmt.Sprintf("%s/%d", j.ID, c.Number)
	out := paper.Change{Heads: h, Found: capital(c.Why)}
	if len(j.Agreed) > 0 {
		out.Quote = j.ID
	}
	d := c.Difference
	own := len(d.Text) - len(d.Quantities) // the rest says in words what the table says in rows
	if d.Hours != nil {
		own--
	}
	for _, t := range d.Text[:max(0, min(own, len(d.Text)))] {
		out.Work = append(out.Work, capital(view.Lead(t, sys)))
	}
	if d.Hours != nil {
		out.Counts = append(out.Counts, paper.CountRow{What: "hours on site and on the road", Before: book.HoursText(d.Hours.Before), Now: book.HoursText(d.Hours.After)})
	}
	for _, n := range d.Quantities {
		unit := prefixed(" ", n.Unit)
		out.Counts = append(out.Counts, paper.CountRow{What: view.Lead(n.What, sys), Before: book.CountText(n.Before) + unit, Now: book.CountText(n.After) + unit})
	}
	if m := d.Price; m != nil {
		out.Before.Amount, out.More.Amount, out.Now.Amount = moneyText(m.Before), moneyText(m.More), moneyText(m.After)
		note, open, _ := strings.Cut(m.After.Note, unpricedMark) // what the shop has not set is the shop's affair
		if out.Note = note; open != "" {
			out.Note += " Not all of it is priced yet."
		}
	}
	switch {
	case c.Accepted != nil:
		y := c.Accepted.Is.Yes
		out.Answer = &paper.Answer{To: fmt.Sprintf("Change %d", c.Number), Says: yesText(y, o), Strokes: strokesOf(y)}
	case c.Refused != nil:
		out.Answer = &paper.Answer{To: fmt.Sprintf("Change %d", c.Number), Says: noText(c.Refused, o)}
	}
	return out
}

// photosOf are the photos that show what was found: those taken in the two hours
// before it was proposed, the last four.
func photosOf(j *book.Job, c *book.Change) []book.Logged[book.Photo] {
	const before, most = 2 * time.Hour, 4
	var all []book.Logged[book.Photo]
	for _, ph := range j.Photos {
		if since := c.At.Sub(ph.At); !ph.Void && since >= 0 && since <= before && (ph.Is.Item == "" || c.Item == "" || ph.Is.Item == c.Item) {
			all = append(all, ph)
		}
	}
	return all[max(0, len(all)-most):]
}

// moneyText is a price as a range.
func moneyText(m book.Money) string {
	s := m.Low + " to " + m.High + " " + m.Currency
	if m.Low == m.High {
		s = m.Low + " " + m.Currency
	}
	return s
}

// yesText says who said yes, how and when.
func yesText(y book.Yes, o paper.Options) string {
	s := fmt.Sprintf("%s said yes, %s, %s.", y.Name, word(y.How), stamp(y.When, o))
	if y.How != book.Signed {
		s += " No signature was drawn: the typed name stands for him."
	}
	return s
}

func noText(n *book.Logged[book.ChangeRefused], o paper.Options) string {
	s := fmt.Sprintf("%s said no, %s", n.Is.Name, stamp(n.At, o))
	return s + prefixed(": ", n.Is.Reason) + ". What was found is not repaired."
}

// strokesOf is the drawn signature.
func strokesOf(y book.Yes) paper.Strokes {
	var all paper.Strokes
	for _, line := range y.Strokes {
		var pts [][2]int
		for _, at := range line {
			pts = append(pts, at)
		}
		all = append(all, pts)
	}
	return all
}

// stamp prints day and time in the order of the paper, in the zone of its date.
func stamp(t time.Time, o paper.Options) string {
	if t.IsZero() {
		return ""
	}
	t = t.In(o.Date.Location())
	if o.Units == q.US {
		return t.Format("Jan 2, 2006, 15:04")
	}
	return t.Format("2006-01-02 15:04")
}
