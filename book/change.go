package book

import (
	"fmt"
	"slices"

	"github.com/govalues/decimal"

	"soundmetal/plan"
	q "soundmetal/quantity"
)

// Change is a change order: more work than was agreed.
type Change struct {
	Meta
	ChangeProposed
	Number   int // as people count them, from 1
	State    ChangeState
	Accepted *Logged[ChangeAccepted]
	Refused  *Logged[ChangeRefused]
}

// ChangeState says how far a change order is.
type ChangeState string

const (
	ChangeOpen     ChangeState = "open"
	ChangeAgreed   ChangeState = "agreed"
	ChangeDeclined ChangeState = "declined"
)

// Difference is what a new plan needs more or less than an old one.
type Difference struct {
	Quantities []QuantityChange     `json:"quantities,omitempty"`
	Hours      *BeforeAfter[q.Time] `json:"hours,omitempty"` // s
	Price      *PriceChange         `json:"price,omitempty"`
	Text       []string             `json:"text"` // in words, for the customer
}

// QuantityChange is one row of the load list before and after.
type QuantityChange struct {
	What   string  `json:"what"`
	Unit   string  `json:"unit"`
	Before float64 `json:"before"`
	After  float64 `json:"after"`
}

// BeforeAfter is a range before and after.
type BeforeAfter[T ~float64] struct {
	Before q.Of[T] `json:"before"`
	After  q.Of[T] `json:"after"`
}

// PriceChange is a price before and after.
type PriceChange struct {
	Before Money `json:"before"`
	After  Money `json:"after"`
	More   Money `json:"more"`
}

// difference compares two plans by their limits.
func difference(before, after *Limits) Difference {
	d := Difference{Text: []string{}}
	rows := func(l *Limits) map[string]plan.Need {
		m := map[string]plan.Need{}
		for _, n := range l.Load {
			m[n.What] = n
		}
		return m
	}
	was, is := rows(before), rows(after)
	var names []string
	for _, n := range before.Load {
		names = append(names, n.What)
	}
	for _, n := range after.Load {
		if !slices.Contains(names, n.What) {
			names = append(names, n.What)
		}
	}
	for _, name := range names {
		a, b := was[name], is[name]
		unit := b.Unit
		if unit == "" {
			unit = a.Unit
		}
		if a.Likely == b.Likely {
			continue
		}
		d.Quantities = append(d.Quantities, QuantityChange{name, unit, a.Likely, b.Likely})
		d.Text = append(d.Text, fmt.Sprintf("%s: about %s instead of %s %s", name, CountText(b.Likely), CountText(a.Likely), unit))
	}
	if before.Hours != nil && after.Hours != nil && *before.Hours != *after.Hours {
		d.Hours = &BeforeAfter[q.Time]{*before.Hours, *after.Hours}
		d.Text = append(d.Text, fmt.Sprintf("hours: %s instead of %s", HoursText(*after.Hours), HoursText(*before.Hours)))
	}
	if before.Price != nil && after.Price != nil {
		if more, ok := after.Price.minus(before.Price); ok {
			d.Price = &PriceChange{*before.Price, *after.Price, more}
		}
	}
	return d
}

// minus is the difference of two prices, end by end, its ends in order; ok is
// false where they are not of one currency.
func (m *Money) minus(o *Money) (more Money, ok bool) {
	if m.Currency != o.Currency {
		return Money{}, false
	}
	var ends [3]decimal.Decimal
	for i, p := range [][2]string{{m.Low, o.Low}, {m.Likely, o.Likely}, {m.High, o.High}} {
		a, errA := decimal.Parse(p[0])
		b, errB := decimal.Parse(p[1])
		d, errD := a.Sub(b)
		if errA != nil || errB != nil || errD != nil {
			return Money{}, false
		}
		ends[i] = d
	}
	slices.SortFunc(ends[:], decimal.Decimal.Cmp)
	more = Money{Low: ends[0].String(), Likely: ends[1].String(), High: ends[2].String(), Currency: m.Currency, Note: m.Note}
	if a, err := decimal.Parse(m.Cap); err == nil {
		if b, err := decimal.Parse(o.Cap); err == nil {
			if d, err := a.Sub(b); err == nil {
				more.Cap = d.String()
			}
		}
	}
	return more, true
}

// CountText prints a number of pieces or kilograms as the trade does.
func CountText(v float64) string {
	if v >= 10 || v == float64(int(v)) {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.1f", v)
}

// HoursText prints a span of hours to the quarter.
func HoursText(t q.Of[q.Time]) string {
	quarter := func(v q.Time) float64 { return float64(q.RoundTo(v, 15*q.Minute)) / float64(q.Hour) }
	return fmt.Sprintf("%.4g to %.4g h", quarter(t.Low), quarter(t.High))
}
