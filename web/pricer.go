package web

import (
	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/price"
	q "soundmetal/quantity"
)

// priceSamples are the draws behind a price on a page: enough for figures that
// are rounded, and quick enough for a phone.
const priceSamples = 500

// unpricedMark begins what a note says to the shop and not to the customer.
const unpricedMark = " Not priced yet: "

// Price prices a plan for the book; a host hands it to book.Open. It gives none
// where the shop has no prices.
func Price(j job.Job, shop *job.Shop, p *plan.Plan) (book.Money, bool) {
	if shop == nil || shop.Prices.Currency == "" || shop.Prices.Hour == "" {
		return book.Money{}, false
	}
	sys := q.SI
	if j.Units == job.US {
		sys = q.US
	}
	a, err := plan.Price(j, shop, sys, plan.PriceAsk{Samples: priceSamples})
	if err != nil || a.Price == nil {
		return book.Money{}, false
	}
	m := book.Money{Low: wholeMoney(a.Price.Planned), Likely: wholeMoney(a.Price.P50), High: wholeMoney(a.Price.P80), Currency: string(a.Currency),
		Note: "With tax. The low end is the damage as it is seen; four calls of five like this one stay below the high end."}
	if a.NotToExceed != nil {
		m.Cap = wholeMoney(*a.NotToExceed)
		m.Note += " Not more than " + wholeMoney(*a.NotToExceed) + " without a written yes."
	}
	if len(a.Missing) > 0 {
		lacks, _ := toGive(a.Missing[:1])
		m.Note += unpricedMark + lacks + "."
	}
	return m, true
}

// wholeMoney leaves out the cents: nobody knows a repair to the cent before it is done.
func wholeMoney(a price.Amount) string { return a.Decimal().Round(0).Rescale(0).String() }
