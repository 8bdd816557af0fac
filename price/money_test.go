package price

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"pgregory.net/rapid"
)

func TestReadPrice(t *testing.T) {
	for _, c := range []struct {
		name, text, want, says string // says: part of the message where it must be refused
	}{
		{"point", "125.00", "125.00", ""},
		{"comma", "1,40", "1.40", ""},
		{"whole", "95", "95", ""},
		{"zero is a price", "0", "0", ""},
		{"three decimals with a point, as fuel is priced", "1.259", "1.259", ""},
		{"comma below one cannot be a thousands mark", "0,585", "0.585", ""},
		{"outer space", " 35.00 ", "35.00", ""},
		{"space between thousands", "1 250.00", "", "write it without: 1250.00"},
		{"narrow space", "1\u202f250,00", "", "write it without: 1250,00"},
		{"apostrophe", "1'250.00", "", "write it without: 1250.00"},
		{"comma and point", "1,250.00", "", "thousands mark"},
		{"two points", "1.250.00", "", "thousands mark"},
		{"comma before three digits", "1,250", "", "may mean 1250 or 1.250"},
		{"currency beside it", "125 USD", "", "space"},
		{"sign of a currency", "$125", "", "prices.currency"},
		{"negative", "-5.00", "", "negative"},
		{"empty", "  ", "", "empty"},
		{"word", "free", "", "not a plain number"},
		{"exponent", "1e3", "", "not a plain number"},
		{"nothing behind the point", "5.", "", "not a plain number"},
		{"nothing before the point", ".50", "", "not a plain number"},
		{"too long", "123456789.00", "", "longer than a price"},
		{"not a number", "NaN", "", "not a plain number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := ReadPrice("prices.hour", c.text, "")
			switch {
			case c.says == "" && err != nil:
				t.Fatalf("%q refused: %v", c.text, err)
			case c.says == "" && p.value.String() != c.want:
				t.Errorf("got %s, want %s", p.value, c.want)
			case c.says != "" && err == nil:
				t.Fatalf("%q read as %s, want a message with %q", c.text, p.value, c.says)
			case c.says != "" && (!strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "prices.hour: ")):
				t.Errorf("message %q, want the field in front and %q in it", err, c.says)
			}
		})
	}
}

// Half to even, to the currency's own decimals. The decimals are those of ISO
// 4217, from memory.
func TestRounding(t *testing.T) {
	for _, c := range []struct {
		name, value string
		currency    Currency
		want        string
	}{
		{"tie to even, down", "0.125", "USD", "0.12 USD"},
		{"tie to even, up", "0.135", "USD", "0.14 USD"},
		{"above the tie", "0.1250001", "USD", "0.13 USD"},
		{"padded", "7", "EUR", "7.00 EUR"},
		{"no decimals, tie to even", "30907.5", "JPY", "30908 JPY"},
		{"no decimals, tie to even, down", "30894.5", "JPY", "30894 JPY"},
		{"three decimals", "1.0005", "KWD", "1.000 KWD"},
		{"without currency", "2.345", "", "2.34"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := NewAmount(decimal.MustParse(c.value), c.currency).String(); got != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
		})
	}
}

func TestReadCurrency(t *testing.T) {
	for text, want := range map[string]Currency{"USD": "USD", " eur ": "EUR", "$": "", "US": "", "DOLLAR": "", "U5D": "", "": ""} {
		got, err := ReadCurrency(text)
		if got != want || (err == nil) != (want != "") {
			t.Errorf("%q: got %q, %v; want %q", text, got, err, want)
		}
	}
}

func TestAmountsOfTwoCurrenciesDoNotAdd(t *testing.T) {
	a, b := NewAmount(decimal.One, "USD"), NewAmount(decimal.One, "EUR")
	if _, err := a.Plus(b); err == nil || !strings.Contains(err.Error(), "one currency") {
		t.Errorf("1 USD + 1 EUR: got %v, want a refusal", err)
	}
	if got, err := a.Plus(Amount{}); err != nil || got.String() != "1.00 USD" {
		t.Errorf("1 USD + nothing: got %s, %v", got, err)
	}
	if got, err := (Amount{}).Minus(a); err != nil || got.String() != "-1.00 USD" {
		t.Errorf("nothing - 1 USD: got %s, %v", got, err)
	}
}

// What is written to JSON is read back the same, and sums commute.
func TestAmountLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom([]Currency{"USD", "JPY", "KWD", ""}).Draw(t, "currency")
		draw := func(name string) Amount {
			d, err := decimal.New(rapid.Int64Range(-1e12, 1e12).Draw(t, name), rapid.IntRange(0, 5).Draw(t, name+" scale"))
			if err != nil {
				t.Fatal(err)
			}
			return NewAmount(d, c)
		}
		a, b := draw("a"), draw("b")
		text, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		var back Amount
		if err := json.Unmarshal(text, &back); err != nil || back.String() != a.String() || back.Cmp(a) != 0 {
			t.Fatalf("%s came back as %s: %v", a, back, err)
		}
		ab, err1 := a.Plus(b)
		ba, err2 := b.Plus(a)
		if err1 != nil || err2 != nil || ab.Cmp(ba) != 0 {
			t.Fatalf("%s + %s: %s and %s, %v %v", a, b, ab, ba, err1, err2)
		}
		if diff, err := ab.Minus(b); err != nil || diff.Cmp(a) != 0 {
			t.Fatalf("(%s + %s) - %s = %s, %v", a, b, b, diff, err)
		}
	})
}

// FuzzReadPrice: what is read is digits with at most one mark, is not negative,
// and prints to the same digits.
func FuzzReadPrice(f *testing.F) {
	for _, s := range []string{"125.00", "1,40", "1 250.00", "1,250", "", "-3", "0", "9e9", "12.", "٣", "1,2,3", "000.000001"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadPrice("prices.x", text, "")
		if err != nil {
			if !strings.HasPrefix(err.Error(), "prices.x: ") {
				t.Errorf("message without its field: %v", err)
			}
			return
		}
		if p.value.IsNeg() {
			t.Errorf("%q read as %s", text, p.value)
		}
		want := strings.Replace(strings.TrimSpace(text), ",", ".", 1)
		if i := strings.IndexByte(want, '.'); i < 0 {
			want = strings.TrimLeft(want, "0")
		} else {
			want = strings.TrimLeft(want[:i], "0") + want[i:]
		}
		if got := strings.TrimPrefix(p.value.String(), "0"); got != want {
			t.Errorf("%q read as %s", text, p.value)
		}
	})
}
