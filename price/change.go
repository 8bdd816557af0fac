package price

import (
	"fmt"
	"slices"

	q "soundmetal/quantity"
)

// Change is a change order: what a new estimate differs from the agreed one.
type Change struct {
	Lines       []ChangeLine `json:"lines"` // only those that differ
	Hours       q.Time       `json:"hours"` // more hours as planned; negative: fewer
	Subtotal    Amount       `json:"subtotal"`
	Tax         Amount       `json:"tax"`
	Total       Amount       `json:"total"` // as planned, with tax
	P50         Amount       `json:"p50"`   // of the totals
	P80         Amount       `json:"p80"`
	NotToExceed Amount       `json:"not_to_exceed"` // more on the cap
	NewTotal    Amount       `json:"new_total"`     // P50 of the new estimate
	NewCap      Amount       `json:"new_cap"`
	Missing     []string     `json:"missing,omitempty"`
}

// ChangeLine is one line of the difference.
type ChangeLine struct {
	ID   string `json:"id"`
	Text string `json:"text"`
	Old  Amount `json:"old"`
	New  Amount `json:"new"`
	More Amount `json:"more"` // negative: less
}

// ChangeOrder gives the difference between the agreed estimate and a new one.
// Its lines add up to the difference of the subtotals, to the cent.
func ChangeOrder(agreed, now Estimated) (Change, error) {
	if agreed.Bill.Currency != now.Bill.Currency {
		return Change{}, fmt.Errorf("agreed in %s and now in %s: one job is priced in one currency", agreed.Bill.Currency.name(), now.Bill.Currency.name())
	}
	c := Change{Hours: now.Hours.Planned - agreed.Hours.Planned, NewTotal: now.Price.P50, NewCap: now.NotToExceed, Missing: now.Bill.Missing}
	var err error
	less := func(a, b Amount) Amount {
		v, e := a.Minus(b)
		if e != nil && err == nil {
			err = e
		}
		return v
	}
	find := func(b Bill, id string) (Line, bool) {
		i := slices.IndexFunc(b.Lines, func(l Line) bool { return l.ID == id })
		if i < 0 {
			return Line{Amount: Amount{currency: b.Currency}}, false
		}
		return b.Lines[i], true
	}
	add := func(id, text string, old, new Line) {
		more := less(new.Amount, old.Amount)
		if !more.IsZero() || old.Missing != new.Missing {
			c.Lines = append(c.Lines, ChangeLine{id, text, old.Amount, new.Amount, more})
		}
	}
	for _, l := range now.Bill.Lines {
		old, _ := find(agreed.Bill, l.ID)
		add(l.ID, l.Text, old, l)
	}
	for _, l := range agreed.Bill.Lines {
		if gone, still := find(now.Bill, l.ID); !still {
			add(l.ID, l.Text, l, gone)
		}
	}
	c.Subtotal, c.Tax, c.Total = less(now.Bill.Subtotal, agreed.Bill.Subtotal), less(now.Bill.Tax, agreed.Bill.Tax), less(now.Bill.Total, agreed.Bill.Total)
	c.P50, c.P80, c.NotToExceed = less(now.Price.P50, agreed.Price.P50), less(now.Price.P80, agreed.Price.P80), less(now.NotToExceed, agreed.NotToExceed)
	return c, err
}
