package price

import (
	"fmt"
	"strings"

	"github.com/govalues/decimal"
)

const (
	mostDigits   = 7 // before the point of a price
	mostDecimals = 6 // behind it
)

// readDecimal reads a price or a rate as people write it: digits, and at most
// one point or one comma with decimals behind it. What could be read in two ways
// is refused: a comma before exactly three digits may be a thousands mark.
func readDecimal(field, text string) (decimal.Decimal, error) {
	fail := func(says string) (decimal.Decimal, error) {
		return decimal.Decimal{}, fmt.Errorf("%s: %q %s", field, text, says)
	}
	s := strings.TrimSpace(text)
	if s == "" {
		return fail("is empty; write a number such as 125.00")
	}
	if strings.ContainsAny(s, " \t\u00a0\u202f'’_") {
		return fail("has a space or mark between its digits; write it without: " + onlyNumber(s))
	}
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "−") {
		return fail("is negative; a price is zero or more")
	}
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	if points+commas > 1 {
		return fail("has more than one point or comma; write 1250.00 without a thousands mark")
	}
	whole, part, _ := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	if !digits(whole) || !digits(part) || whole == "" || points+commas == 1 && part == "" {
		return fail("is not a plain number; write digits only, 125.00 for example, and the currency in prices.currency")
	}
	if commas == 1 && len(part) == 3 && strings.TrimLeft(whole, "0") != "" {
		return fail("may mean " + whole + part + " or " + whole + "." + part + "; write one of them")
	}
	if len(strings.TrimLeft(whole, "0")) > mostDigits || len(part) > mostDecimals {
		return fail(fmt.Sprintf("is longer than a price: at most %d digits and %d decimals", mostDigits, mostDecimals))
	}
	if part != "" {
		whole += "." + part
	}
	d, err := decimal.Parse(whole)
	if err != nil {
		return fail(err.Error())
	}
	return d, nil
}

func digits(s string) bool { return strings.Trim(s, "0123456789") == "" }

// onlyNumber takes spaces and marks out, for the hint of a message.
func onlyNumber(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '.' || r == ',' {
			return r
		}
		return -1
	}, s)
}

// readPercent reads 20 or 20 %.
func readPercent(field, text string) (decimal.Decimal, error) {
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	d, err := readDecimal(field, s)
	if err != nil {
		return d, err
	}
	if d.Cmp(decimal.Hundred) > 0 && field == "prices.tax" {
		return d, fmt.Errorf("%s: %q is more than 100 %%; write the rate in %%, 7.25 for example", field, text)
	}
	return d, nil
}
