package price

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"github.com/govalues/decimal"

	"soundmetal/job"
	"soundmetal/source"
)

//go:embed terms.csv
var termsCSV string

type term struct{ id, kind, when, text string }

var termRows = readTerms()

func readTerms() []term {
	var all []term
	for _, r := range source.Table("price/terms.csv", termsCSV) {
		r.Ref()
		all = append(all, term{r.Text("id"), r.Text("kind"), r.Text("when"), r.Text("text")})
	}
	return all
}

// Head is who a quote or an invoice is for.
type Head struct {
	Customer string `json:"customer"` // who calls
	Job      string `json:"job"`      // name of the job
	Place    string `json:"place"`    // where the work is
	Number   string `json:"number"`   // of the paper
	Date     string `json:"date"`     // as printed; this room has no clock
}

// PriceLine is a line as the customer reads it. It has no place for cost or markup.
type PriceLine struct {
	Text     string `json:"text"`           // what it is for
	Quantity string `json:"quantity"`       // in whole steps
	Unit     string `json:"unit"`           // of the quantity; empty for pieces
	Price    string `json:"price"`          // for one unit
	Amount   Amount `json:"amount"`         // quantity × price
	Open     bool   `json:"open,omitempty"` // not priced yet
}

// Sheet is the part that a quote and an invoice have in common, as the customer
// reads it.
type Sheet struct {
	Shop     string      `json:"shop"`     // name on the paper
	Address  string      `json:"address"`  // of the shop
	Phone    string      `json:"phone"`    // of the shop
	Head     Head        `json:"head"`     // who and what it is for
	Lines    []PriceLine `json:"lines"`    // they add up to the subtotal
	Subtotal Amount      `json:"subtotal"` // before tax
	TaxName  string      `json:"tax_name"` // as the shop has it
	TaxRate  string      `json:"tax_rate"` // in %
	Tax      Amount      `json:"tax"`      // rounded once
	Total    Amount      `json:"total"`    // with tax
}

// QuotedRate is a unit rate as the customer reads it, before tax.
type QuotedRate struct {
	Text  string `json:"text"`  // which further work
	Price Amount `json:"price"` // for that much of it
}

// Quote is what the customer reads.
type Quote struct {
	Sheet
	Fixed       bool         `json:"fixed"`         // a fixed price, or an estimate charged by what is used
	FourInFive  Amount       `json:"four_in_five"`  // P80 with tax
	NotToExceed Amount       `json:"not_to_exceed"` // without a written yes
	UnitRates   []QuotedRate `json:"unit_rates"`    // for more than is seen
	Assumptions []string     `json:"assumptions"`   // what the price rests on
	Exclusions  []string     `json:"exclusions"`    // what is not in it
	Conditions  []string     `json:"conditions"`    // what holds for the work
	Validity    string       `json:"validity"`      // how long it holds
}

// QuoteText is a quote with what the shop has to fill in before it goes out.
type QuoteText struct {
	Quote   Quote    `json:"quote"`
	Missing []string `json:"missing,omitempty"` // for the shop, not for the customer
}

// MakeQuote makes the quote of an estimate. The lines are the damage as seen;
// one further line carries what may be hidden, so that the total is the P50, or
// for a fixed price the P80. Total and lines agree to the cent.
func MakeQuote(e Estimated, shop job.Shop, h Head, fixed bool) (QuoteText, error) {
	p, err := readPrices(shop)
	if err != nil {
		return QuoteText{}, err
	}
	level := e.Subtotal.P50
	if fixed {
		level = e.Subtotal.P80
	}
	bill := e.Bill
	bill.Lines = slices.Clone(bill.Lines)
	if level.Cmp(bill.Subtotal) > 0 {
		more, err := level.Minus(bill.Subtotal)
		if err != nil {
			return QuoteText{}, err
		}
		bill.Lines = append(bill.Lines, Line{ID: "allowance", Kind: Allowance, Amount: more, Quantity: decimal.One, Price: more.value,
			Text: "allowance for damage and delay that cannot be seen yet" + map[bool]string{false: "; charged only as far as it arises"}[fixed]})
		b := biller{p: &p, bill: Bill{Currency: bill.Currency, TaxName: bill.TaxName, TaxRate: bill.TaxRate, Lines: bill.Lines}}
		missing := bill.Missing
		if bill, err = b.finish(); err != nil {
			return QuoteText{}, err
		}
		bill.Missing = missing
	}
	text := QuoteText{Missing: bill.Missing, Quote: Quote{Sheet: sheet(bill, shop, h), Fixed: fixed, FourInFive: e.Price.P80, NotToExceed: e.NotToExceed, Validity: strings.TrimSpace(shop.Prices.Validity)}}
	if text.Quote.Validity == "" {
		text.Missing = append(text.Missing, "validity: give prices.validity in shop.yaml, 14 days for example")
	}
	for _, r := range e.UnitRates {
		t := r.Text
		if r.Item != "" {
			t += ": " + r.Item
		}
		text.Quote.UnitRates = append(text.Quote.UnitRates, QuotedRate{t, r.Price})
	}
	facts := e.facts()
	for _, t := range termRows {
		holds, known := facts[t.when]
		if !known {
			panic("price: terms.csv: no fact " + t.when)
		}
		if !holds {
			continue
		}
		switch t.kind {
		case "assumption":
			text.Quote.Assumptions = append(text.Quote.Assumptions, t.text)
		case "exclusion":
			text.Quote.Exclusions = append(text.Quote.Exclusions, t.text)
		case "condition":
			text.Quote.Conditions = append(text.Quote.Conditions, t.text)
		default:
			panic("price: terms.csv: no kind " + t.kind)
		}
	}
	for i, it := range e.Call.Items {
		if it.Crack.Likely > 0 {
			text.Quote.Assumptions = append(text.Quote.Assumptions, fmt.Sprintf("%s: a crack of %s, taken out with sound metal beyond its ends.", it.name(i), it.Crack.Likely.Text(p.sys)))
		}
	}
	return text, nil
}

// second says whether the plan has a second visit for the final test.
func (e *Estimated) second() bool {
	return slices.ContainsFunc(e.Used.Drives, func(d Drive) bool { return d.Why == secondVisit })
}

// facts says which terms apply.
func (e *Estimated) facts() map[string]bool {
	any := func(f func(Work) bool) bool { return slices.ContainsFunc(e.Call.Items, f) }
	step := func(id string) bool {
		return slices.ContainsFunc(e.Steps, func(s Step) bool { return s.ID == id && s.Time.Likely > 0 })
	}
	return map[string]bool{
		"always":         true,
		"ends-hidden":    any(func(w Work) bool { return w.Hidden.Ends != "both" && w.Hidden.Ends != "at-edge" }),
		"steel-unknown":  any(func(w Work) bool { return w.Hidden.SteelUnknown }),
		"plate-over":     any(func(w Work) bool { return w.Hidden.PlateOver == job.Yes }),
		"repaired":       any(func(w Work) bool { return w.Hidden.Repaired == job.Yes }),
		"mirror-unknown": any(func(w Work) bool { return w.Hidden.Mirror == job.Unknown }),
		"own-rules":      ownRules(e.Call.Trip.Rules),
		"second-visit":   e.second(),
		"hold-on-site":   step("hold"),
		"many-days":      slices.ContainsFunc(e.Used.Drives, func(d Drive) bool { return d.Why == nextDay }),
	}
}

// sheet is a bill as the customer reads it.
func sheet(b Bill, shop job.Shop, h Head) Sheet {
	s := Sheet{Shop: shop.Name, Address: shop.Address, Phone: shop.Phone, Head: h, Subtotal: b.Subtotal, TaxName: b.TaxName, TaxRate: b.TaxRate.String(), Tax: b.Tax, Total: b.Total}
	for _, l := range b.Lines {
		p := PriceLine{Text: l.Text, Unit: l.Unit, Amount: l.Amount, Open: l.Missing != ""}
		if !l.Quantity.IsZero() {
			p.Quantity = l.Quantity.String()
		}
		if !p.Open {
			p.Price = l.Price.Rescale(max(l.Price.Scale(), b.Currency.Digits())).String()
		}
		s.Lines = append(s.Lines, p)
	}
	return s
}
