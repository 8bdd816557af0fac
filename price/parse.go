package price

import (
	"fmt"

	"github.com/govalues/decimal"

	"soundmetal/job"
)

// readDecimal reads a price or a rate as the shop file has it (job.PlainNumber).
func readDecimal(field, text string) (decimal.Decimal, error) {
	plain, err := job.PlainNumber(text)
	if err != nil {
		return decimal.Decimal{}, fmt.Errorf("%s: %w", field, err)
	}
	return parse(field, plain)
}

func parse(field, plain string) (decimal.Decimal, error) {
	d, err := decimal.Parse(plain)
	if err != nil {
		return d, fmt.Errorf("%s: %w", field, err)
	}
	return d, nil
}

// readPercent reads 20 or 20 %.
func readPercent(field, text string) (decimal.Decimal, error) {
	plain, err := job.PlainPercent(text)
	if err != nil {
		return decimal.Decimal{}, fmt.Errorf("%s: %w", field, err)
	}
	d, err := parse(field, plain)
	if err == nil && d.Cmp(decimal.Hundred) > 0 && field == "prices.tax" {
		return d, fmt.Errorf("%s: %q is more than 100 %%; write the rate in %%, 7.25 for example", field, text)
	}
	return d, err
}
