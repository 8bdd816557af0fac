package paper

import (
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// The sheets below go to the customer. Their structs hold what he may see and
// nothing else: there is no field for cost or margin, so none can be printed.
// Amounts come ready-made as text; this package adds nothing up.

// Party is one side of a paper.
type Party struct{ Name, Address, Phone string }

// MoneyLine is one line with its amount, both as they are printed.
type MoneyLine struct{ What, Quantity, Amount string }

// Heads are what every money paper has on top. Form says that empty fields are
// printed as blanks to be filled by hand; otherwise they are left out.
type Heads struct {
	Number              string
	From, To            Party
	Job, Machine, Place string
	Form                bool
}

// Quote is an offer.
type Quote struct {
	Heads
	Valid    string // until when
	Scope    []string
	Lines    []MoneyLine
	Sums     []MoneyLine // last one: the total
	Kind     string      // estimate or fixed price, in a line; may be empty
	Range    string      // what the total may move between, and why
	Rates    []MoneyLine // if more is found
	Assumed  []string
	Excluded []string
	Terms    []string
}

// Change is a change order: more damage was found, and he says yes or no.
type Change struct {
	Heads
	Quote   string // number of the quote it changes
	Found   string
	Why     string
	Work    []string
	Counts  []CountRow // quantities and hours before and after
	Before  MoneyLine
	Now     MoneyLine
	More    MoneyLine
	Note    string   // what is in the price and what is not
	Answer  *Answer  // what he said; nil: he is asked
	Else    []string // what can be done instead, and what follows from a no
	Photos  []Photo
	NoPhoto []string // photos that are not printed, and why
}

// CountRow is a quantity before and after a change.
type CountRow struct{ What, Before, Now string }

// Invoice is the bill.
type Invoice struct {
	Heads
	Quote  string
	Due    string
	Lines  []MoneyLine
	Sums   []MoneyLine
	PayTo  []string
	Notes  []string
	Record string // number of the repair record that goes with it
}

// QuotePaper prints a quote, set a little smaller where it then fits on two pages.
func QuotePaper(q Quote, o Options) (draw.Doc, error) {
	whole := quoteAt(q, o, 1)
	for _, scale := range []float64{0.94, 0.88} {
		if len(whole.Pages) <= 2 {
			break
		}
		if smaller := quoteAt(q, o, scale); len(smaller.Pages) <= 2 {
			whole = smaller
		}
	}
	return whole, nil
}

func quoteAt(q Quote, o Options, scale float64) draw.Doc {
	f := moneyFlow(o, q.Heads, "quote.title", scale)
	if q.Valid != "" || q.Form {
		f.rows([]figure{{f.t("quote.valid"), q.Valid}}, 0.3)
	}
	f.para(q.Kind, style{bold: true})
	f.list("quote.scope", q.Scope, q.Form, 3)
	f.moneyTable(q.Lines, q.Sums, q.Form)
	f.keep(func() { f.para(q.Range, style{after: 1.5}) })
	if len(q.Rates) > 0 {
		f.heading(f.t("quote.rates"))
		var rows []figure
		for _, r := range q.Rates {
			rows = append(rows, figure{r.What, r.Amount})
		}
		f.rows(rows, 0.7)
	}
	f.list("quote.assumed", q.Assumed, false, 0)
	f.list("quote.excluded", q.Excluded, q.Form, 2)
	f.list("quote.terms", q.Terms, false, 0)
	f.keep(func() {
		f.heading(f.t("quote.accept"))
		f.para(f.t("quote.accept-text"), style{after: 1})
		f.blanks(2, f.t("money.name"), f.t("money.signature-day"))
	})
	return f.finish(f.t("money.caution"))
}

// ChangePaper prints a change order.
func ChangePaper(c Change, o Options) (draw.Doc, error) {
	f := moneyFlow(o, c.Heads, "change.title", 1)
	if c.Quote != "" || c.Form {
		f.rows([]figure{{f.t("change.quote"), c.Quote}}, 0.3)
	}
	f.field("change.found", c.Found, c.Form, 3)
	f.field("change.why", c.Why, c.Form, 2)
	f.list("change.work", c.Work, c.Form, 3)
	table(f, "change.quantities", c.Counts, false, 0, []column{{name: f.t("money.what"), share: 5}, {name: f.t("change.before"), share: 3}, {name: f.t("change.after"), share: 3, bold: true}},
		func(r CountRow) []string { return []string{r.What, r.Before, r.Now} })
	sums := []MoneyLine{{What: f.t("change.before"), Amount: c.Before.Amount}, {What: f.t("change.more"), Amount: c.More.Amount}, {What: f.t("change.now"), Amount: c.Now.Amount}}
	if c.Before.Amount == "" && !c.Form {
		f.para(f.t("change.by-hand"), style{})
	}
	f.sums(sums, c.Form)
	f.para(c.Note, style{size: smallSize + 0.4, after: 1})
	f.list("change.else", c.Else, false, 0)
	if c.Answer != nil {
		f.heading(f.t("change.given"))
		f.answer(*c.Answer)
	} else {
		f.askYes()
	}
	// last: price and answer stay together
	if err := f.photos(c.Photos); err != nil {
		return draw.Doc{}, err
	}
	f.points("record.no-photo", c.NoPhoto)
	return f.finish(f.t("money.caution")), nil
}

// askYes is the room for the customer's answer.
func (f *flow) askYes() {
	f.keep(func() {
		f.heading(f.t("change.answer"))
		f.tick(f.t("change.yes"), false)
		f.tick(f.t("change.no"), false)
		f.blanks(2, f.t("money.name"), f.t("money.signature-day"), f.t("change.how"), f.t("change.words"))
	})
}

// InvoicePaper prints an invoice.
func InvoicePaper(i Invoice, o Options) (draw.Doc, error) {
	f := moneyFlow(o, i.Heads, "invoice.title", 1)
	var rows []figure
	for _, r := range []figure{{f.t("invoice.due"), i.Due}, {f.t("change.quote"), i.Quote}, {f.t("invoice.record"), i.Record}} {
		if r.text != "" || i.Form {
			rows = append(rows, r)
		}
	}
	f.rows(rows, 0.3)
	f.moneyTable(i.Lines, i.Sums, i.Form)
	f.list("invoice.pay", i.PayTo, i.Form, 2)
	f.list("invoice.notes", i.Notes, false, 0)
	return f.finish(f.t("money.caution")), nil
}

// moneyFlow begins a paper with both parties and the job.
func moneyFlow(o Options, h Heads, title string, scale float64) *flow {
	o = o.filled()
	name := o.Words.T(title)
	head := name
	if h.Number != "" {
		head += " " + h.Number
	}
	f := newFlow(o, scale, head+" · "+font.Isolate(h.Job), h.Job)
	f.doc.Author = h.From.Name
	f.titleBlock(h.From.Name, "", h.From.Address, h.From.Phone)
	f.space(1)
	f.columns(34, []float64{1, 1}, func() {
		if h.To != (Party{}) || h.Form {
			f.para(f.t("money.to"), style{size: smallSize})
			f.party(h.To, h.Form)
		}
	}, func() {
		f.para(name, style{size: titleSize, bold: true})
		rows := []figure{{f.t("money.number"), h.Number}, {f.t("money.date"), o.date()}}
		for _, r := range rows {
			if r.text != "" || h.Form {
				f.rows([]figure{r}, 0.3)
				f.space(-1.5)
			}
		}
	})
	f.space(2)
	var rows []figure
	for _, r := range []figure{{f.t("money.job"), h.Job}, {f.t("money.machine"), h.Machine}, {f.t("money.place"), h.Place}} {
		if r.text != "" || h.Form {
			rows = append(rows, r)
		}
	}
	f.rows(rows, 0.3)
	return f
}

func (f *flow) party(p Party, form bool) {
	if p.Name == "" && form {
		f.lines(2)
		return
	}
	f.para(p.Name, style{size: headingSize, bold: true})
	f.para(p.Address, style{})
	f.para(p.Phone, style{})
}

// list is a heading with points under it; an empty one is left out, or has lines
// to write on.
func (f *flow) list(key string, points []string, form bool, blank int) {
	if len(points) == 0 && !form {
		return
	}
	f.heading(f.t(key))
	for _, p := range points {
		size := f.size(bodySize)
		f.need(draw.LineHeight(size))
		f.add(draw.Circle(draw.At(f.x+1.4, f.y+draw.LineHeight(size)*0.55), 0.6, draw.Pen{}, draw.Black))
		f.para(p, style{indent: 4.5, after: 0.8})
	}
	if len(points) == 0 {
		f.lines(blank)
	}
}

func (f *flow) field(key, text string, form bool, blank int) {
	if text == "" && !form {
		return
	}
	f.heading(f.t(key))
	if text == "" {
		f.lines(blank)
		return
	}
	f.para(text, style{after: 1})
}

// moneyTable is the lines with their amounts and the sums under them.
func (f *flow) moneyTable(lines, sums []MoneyLine, form bool) {
	if len(lines) == 0 && len(sums) == 0 && !form {
		return
	}
	amount := f.amountWidth(append(append([]MoneyLine{}, lines...), sums...))
	quantity := 0.0
	for _, l := range lines {
		quantity = max(quantity, min(46, font.Width(l.Quantity, false)*f.size(bodySize)+4))
	}
	if form {
		quantity = max(quantity, 30)
	}
	cols := []column{{name: f.t("money.what"), share: f.w - amount - quantity}, {name: f.t("money.quantity"), share: quantity, right: true}, {name: f.t("money.amount"), share: amount, right: true}}
	if quantity == 0 {
		cols = []column{cols[0], cols[2]}
	}
	var rows [][]string
	for _, l := range lines {
		row := []string{l.What, l.Quantity, l.Amount}
		if quantity == 0 {
			row = []string{l.What, l.Amount}
		}
		rows = append(rows, row)
	}
	f.space(1)
	f.table(cols, rows, bodySize)
	if len(lines) == 0 {
		f.lines(6)
	}
	f.sums(sums, form)
}

// amountWidth is the room for the widest amount, at most a third of the page.
func (f *flow) amountWidth(all []MoneyLine) float64 {
	w := 28.0
	for _, l := range all {
		w = max(w, font.Width(l.Amount, true)*f.size(headingSize)+4)
	}
	return min(w, f.w/3)
}

// sums are flush right; the last one is the total.
func (f *flow) sums(all []MoneyLine, form bool) {
	if len(all) == 0 && form {
		all = []MoneyLine{{What: f.t("money.net")}, {What: f.t("money.tax")}, {What: f.t("money.total")}}
	}
	if len(all) == 0 {
		return
	}
	amount := f.amountWidth(all)
	for i, s := range all {
		last := i == len(all)-1
		size := f.size(bodySize)
		if last {
			size = f.size(headingSize)
		}
		names := wrap(s.What, size, last, f.w*0.6)
		amounts := wrap(s.Amount, size, last, amount)
		h := float64(max(len(names), len(amounts)))*draw.LineHeight(size) + 1.4
		if s.Amount == "" {
			h = max(h, 8)
		}
		f.need(h)
		for k, n := range names {
			f.add(draw.Text{At: draw.At(f.x+f.w-amount-4, f.y+float64(k+1)*draw.LineHeight(size)-size*0.2), S: n, Size: size, Bold: last, Anchor: draw.End})
		}
		for k, a := range amounts {
			f.add(draw.Text{At: draw.At(f.x+f.w-1.2, f.y+float64(k+1)*draw.LineHeight(size)-size*0.2), S: a, Size: size, Bold: last, Anchor: draw.End})
		}
		f.y += h
		if s.Amount == "" {
			f.writingLine(f.x+f.w-amount, f.y-0.6, amount)
		}
	}
	f.add(draw.Line{A: draw.At(f.x+f.w-amount, f.y), B: draw.At(f.x+f.w, f.y), Pen: draw.Normal})
	f.space(2.5)
}
