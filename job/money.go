package job

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// The longest number that a price can be.
const (
	mostDigits   = 7 // before the point
	mostDecimals = 6 // behind it
)

// PlainNumber reads a price or a rate as people write it: digits, and at most
// one point or one comma with decimals behind it. What could be read in two ways
// is refused: a comma before exactly three digits may be a thousands mark. The
// answer has a point and no mark; the error is a sentence without its field.
func PlainNumber(text string) (string, error) {
	fail := func(says string) (string, error) { return "", fmt.Errorf("%q %s", text, says) }
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
	return whole, nil
}

// PlainPercent reads 20 or 20 %.
func PlainPercent(text string) (string, error) {
	return PlainNumber(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")))
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

// CurrencyCode reads a code of three letters.
func CurrencyCode(text string) (string, error) {
	code := strings.ToUpper(strings.TrimSpace(text))
	if len(code) == 3 && strings.Trim(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
		return code, nil
	}
	return "", fmt.Errorf("currency %q is not a code of three letters; write USD, EUR, CAD or the like", text)
}

// checkPrices finds prices that cannot be read, at their place in the file.
func (r *reader) checkPrices(p Prices) error {
	if strings.TrimSpace(p.Currency) != "" {
		if _, err := CurrencyCode(p.Currency); err != nil {
			return r.fault("prices.currency", err.Error())
		}
	}
	for _, f := range []struct {
		key, text string
		read      func(string) (string, error)
	}{
		{"hour", p.Hour, PlainNumber}, {"travel", p.Travel, PlainNumber}, {"travel_hour", p.TravelHour, PlainNumber}, {"call_out", p.CallOut, PlainNumber},
		{"minimum_hours", p.Minimum, PlainNumber}, {"standby_hour", p.Standby, PlainNumber}, {"rod", p.Rod, PlainNumber},
		{"rod_packet", p.RodPacket, func(s string) (string, error) {
			n, err := PlainNumber(s)
			if err == nil && strings.Trim(n, "0.") == "" {
				err = errors.New("a packet of zero holds no rods; give its mass, or leave it out")
			}
			return n, err
		}},
		{"carbon", p.Carbon, PlainNumber}, {"gas", p.Gas, PlainNumber}, {"oxygen", p.Oxygen, PlainNumber}, {"backing", p.Backing, PlainNumber},
		{"disc", p.Disc, PlainNumber}, {"fuel", p.Fuel, PlainNumber}, {"pt", p.PT, PlainNumber}, {"mt", p.MT, PlainNumber}, {"ut", p.UT, PlainNumber},
		{"waste", p.Waste, PlainNumber}, {"markup", p.Markup, PlainPercent},
		{"tax", p.Tax, func(s string) (string, error) {
			n, err := PlainPercent(s)
			if share, _ := strconv.ParseFloat(n, 64); err == nil && share > 100 {
				err = fmt.Errorf("%q is more than 100 %%; write the rate in %%, 7.25 for example", s)
			}
			return n, err
		}},
	} {
		if strings.TrimSpace(f.text) == "" {
			continue
		}
		if _, err := f.read(f.text); err != nil {
			return r.fault("prices."+f.key, err.Error())
		}
	}
	return nil
}
