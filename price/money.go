package price

import (
	_ "embed"
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"soundmetal/job"
	"soundmetal/source"
)

// Money is exact decimal arithmetic; a sum never passes through a float64. The
// number of decimals of a currency is that of ISO 4217: two, but for the rows of
// currencies.csv.

//go:embed currencies.csv
var currenciesCSV string

const usualDigits = 2 // of every currency that is not in the table

var minorDigits = readCurrencies()

func readCurrencies() map[string]int {
	all := map[string]int{}
	for _, r := range source.Table("price/currencies.csv", currenciesCSV) {
		r.Ref() // checks source and status
		all[r.Text("code")] = int(r.Num("digits"))
	}
	return all
}

// Currency is a code of three letters: USD, EUR. The empty one is for plain
// reckoning without a currency.
type Currency string

// ReadCurrency reads a currency code.
func ReadCurrency(text string) (Currency, error) {
	code, err := job.CurrencyCode(text)
	return Currency(code), err
}

// Digits is the number of decimals of the currency.
func (c Currency) Digits() int {
	if n, ok := minorDigits[string(c)]; ok {
		return n
	}
	return usualDigits
}

// Amount is a sum of money. The zero value is nothing, in no currency.
type Amount struct {
	value    decimal.Decimal
	currency Currency
}

// Price is a price for one of something: not rounded, since a litre may cost
// 1.259. The zero value is nothing, in no currency.
type Price struct {
	value    decimal.Decimal
	currency Currency
}

// ReadPrice reads a price as the shop file writes it: 125.00 or 1,40. The field
// is named where it cannot be read.
func ReadPrice(field, text string, c Currency) (Price, error) {
	d, err := readDecimal(field, text)
	return Price{d, c}, err
}

// String prints the price with its currency: 1.259 EUR.
func (p Price) String() string {
	n := p.value.Rescale(max(p.value.Scale(), p.currency.Digits())).String()
	if p.currency == "" {
		return n
	}
	return n + " " + string(p.currency)
}

// Times gives the price of n, rounded half to even to the currency's decimals.
func (p Price) Times(n decimal.Decimal) (Amount, error) {
	d, err := p.value.Mul(n)
	if err != nil {
		return Amount{}, fmt.Errorf("%s × %s: %w", p, n, err)
	}
	return NewAmount(d, p.currency), nil
}

// NewAmount makes an amount, rounded half to even to the currency's decimals.
func NewAmount(v decimal.Decimal, c Currency) Amount {
	return Amount{v.Rescale(c.Digits()), c}
}

func (c Currency) name() string {
	if c == "" {
		return "an amount"
	}
	return string(c)
}

// ofFloat makes an amount of a float64; for figures that were drawn, never for
// sums that must be exact.
func ofFloat(v float64, c Currency) (Amount, error) {
	d, err := decimal.NewFromFloat64(v)
	if err != nil {
		return Amount{}, fmt.Errorf("an amount of %.4g cannot be reckoned with: %w", v, err)
	}
	return NewAmount(d, c), nil
}

// Currency is the amount's currency.
func (a Amount) Currency() Currency { return a.currency }

// Decimal is the amount without its currency.
func (a Amount) Decimal() decimal.Decimal { return a.value }

// IsZero says whether it is nothing.
func (a Amount) IsZero() bool { return a.value.IsZero() }

// Cmp compares two amounts of one currency: -1, 0 or 1.
func (a Amount) Cmp(b Amount) int { return a.value.Cmp(b.value) }

// Plus adds two amounts of one currency.
func (a Amount) Plus(b Amount) (Amount, error) { return a.combine(b, decimal.Decimal.Add) }

// Minus takes b from a.
func (a Amount) Minus(b Amount) (Amount, error) { return a.combine(b, decimal.Decimal.Sub) }

func (a Amount) combine(b Amount, f func(d, e decimal.Decimal) (decimal.Decimal, error)) (Amount, error) {
	c := a.currency
	switch {
	case c == b.currency:
	case a.currency == "" && a.IsZero():
		c = b.currency
	case b.currency == "" && b.IsZero():
	default:
		return Amount{}, fmt.Errorf("%s and %s cannot be added: one job is priced in one currency", a, b)
	}
	d, err := f(a.value, b.value)
	if err != nil {
		return Amount{}, fmt.Errorf("%s and %s: %w", a, b, err)
	}
	return NewAmount(d, c), nil
}

// Times multiplies by a plain number and rounds half to even.
func (a Amount) Times(n decimal.Decimal) (Amount, error) {
	d, err := a.value.Mul(n)
	if err != nil {
		return Amount{}, fmt.Errorf("%s × %s: %w", a, n, err)
	}
	return NewAmount(d, a.currency), nil
}

// Number prints the amount without its currency: 1234.50.
func (a Amount) Number() string { return a.value.Rescale(a.currency.Digits()).String() }

// String prints the amount with its currency: 1234.50 USD.
func (a Amount) String() string {
	if a.currency == "" {
		return a.Number()
	}
	return a.Number() + " " + string(a.currency)
}

// MarshalText is String.
func (a Amount) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what String prints.
func (a *Amount) UnmarshalText(text []byte) error {
	number, code, found := strings.Cut(string(text), " ")
	var c Currency
	if found {
		var err error
		if c, err = ReadCurrency(code); err != nil {
			return err
		}
	}
	d, err := decimal.ParseExact(number, c.Digits())
	if err != nil {
		return fmt.Errorf("amount %q: %w", text, err)
	}
	if d.Scale() > c.Digits() {
		return fmt.Errorf("amount %q has more than the %d decimals of %s", text, c.Digits(), c.name())
	}
	*a = NewAmount(d, c)
	return nil
}

func (a Amount) float() float64 {
	f, _ := a.value.Float64()
	return f
}
