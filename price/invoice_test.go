package price

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// handInvoice is one of testdata/invoices: prices, what was used, and the bill
// as worked by hand in the file's comments.
type handInvoice struct {
	shop                 job.Shop
	used                 Used
	lines                []string // id | quantity | price | amount
	open                 []string // id | message
	subtotal, tax, total string
}

func readHand(t *testing.T, path string) handInvoice {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var h handInvoice
	for n, line := range strings.Split(string(data), "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		key, value, ok := strings.Cut(line, ": ")
		if !ok {
			t.Fatalf("%s:%d: no key: %s", path, n+1, line)
		}
		switch key {
		case "units":
			h.shop.Units = job.Units(value)
		case "line":
			h.lines = append(h.lines, value)
		case "open":
			h.open = append(h.open, value)
		case "subtotal":
			h.subtotal = value
		case "tax":
			if h.subtotal == "" { // before the result it is the rate
				h.shop.Prices.Tax = value
			} else {
				h.tax = value
			}
		case "total":
			h.total = value
		default:
			if what, found := strings.CutPrefix(key, "use "); found {
				h.use(t, what, strings.Split(value, ", "))
				continue
			}
			setPrice(t, &h.shop.Prices, key, value)
		}
	}
	return h
}

// setPrice sets the price with that key of the shop file.
func setPrice(t *testing.T, p *job.Prices, key, value string) {
	t.Helper()
	v := reflect.ValueOf(p).Elem()
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("yaml") == key {
			v.Field(i).SetString(value)
			return
		}
	}
	t.Fatalf("no price %q in the shop file", key)
}

func read[T ~float64](t *testing.T, text string) T {
	t.Helper()
	v, err := q.Read[T](text, q.ReadAs{})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func (h *handInvoice) use(t *testing.T, what string, v []string) {
	t.Helper()
	number := func(s string) float64 {
		f, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	switch what {
	case "labour":
		h.used.Labour = read[q.Time](t, v[0])
	case "standby":
		h.used.Standby = read[q.Time](t, v[0])
	case "drive":
		h.used.Drives = append(h.used.Drives, Drive{Distance: q.Known(read[q.Length](t, v[0])), Time: q.Known(read[q.Time](t, v[1]))})
	case "rod":
		h.used.Rods = append(h.used.Rods, RodUsed{v[0], read[q.Length](t, v[1]), read[q.Mass](t, v[2])})
	case "carbon":
		h.used.Carbons = append(h.used.Carbons, CarbonUsed{read[q.Length](t, v[0]), number(v[1])})
	case "gas":
		h.used.Gas = read[q.Mass](t, v[0])
	case "discs":
		h.used.Discs = number(v[0])
	case "fuel":
		h.used.Fuel = read[q.Volume](t, v[0])
	case "pt", "mt", "ut":
		h.used.Tests = append(h.used.Tests, TestUsed{TestMethod(what), number(v[0])})
	default:
		t.Fatalf("nothing is called %q", what)
	}
}

// Source: arithmetic by hand, in the comments of each file.
func TestInvoicesByHand(t *testing.T) {
	paths, _ := filepath.Glob("testdata/invoices/*.txt")
	if len(paths) < 3 {
		t.Fatalf("%d invoices in testdata, want 3 or more", len(paths))
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) {
			h := readHand(t, path)
			got, err := MakeInvoice(h.used, h.shop, Terms{}, Head{}, Amount{})
			if err != nil {
				t.Fatal(err)
			}
			var lines, open []string
			for _, l := range got.Bill.Lines {
				if l.Missing != "" {
					open = append(open, l.ID+" | "+l.Missing)
					continue
				}
				lines = append(lines, fmt.Sprintf("%s | %s | %s | %s", l.ID, l.Quantity, l.Price, l.Amount.Number()))
			}
			if g, w := strings.Join(lines, "\n"), strings.Join(h.lines, "\n"); g != w {
				t.Errorf("lines\n%s\nwant\n%s", g, w)
			}
			if g, w := strings.Join(open, "\n"), strings.Join(h.open, "\n"); g != w {
				t.Errorf("not priced\n%s\nwant\n%s", g, w)
			}
			s := got.Invoice.Sheet
			for _, c := range []struct{ what, got, want string }{{"subtotal", s.Subtotal.Number(), h.subtotal}, {"tax", s.Tax.Number(), h.tax}, {"total", s.Total.Number(), h.total}} {
				if c.got != c.want {
					t.Errorf("%s: got %s, want %s", c.what, c.got, c.want)
				}
			}
		})
	}
}

// A line that the local rule takes no tax on: 7.25 % of 1422.97 - 718.75 =
// 704.22 is 51.05595 (by hand).
func TestUntaxedLabour(t *testing.T) {
	h := readHand(t, "testdata/invoices/us-packets.txt")
	b, err := MakeBill(h.used, h.shop, Terms{Untaxed: []Kind{Labour}})
	if err != nil {
		t.Fatal(err)
	}
	if b.Taxable.Number() != "704.22" || b.Tax.Number() != "51.06" || b.Total.Number() != "1474.03" {
		t.Errorf("taxable %s, tax %s, total %s; want 704.22, 51.06, 1474.03", b.Taxable, b.Tax, b.Total)
	}
}

func TestInvoiceAboveTheAgreedFigure(t *testing.T) {
	h := readHand(t, "testdata/invoices/us-packets.txt")
	agreed := func(text string) Amount {
		var a Amount
		if err := a.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		return a
	}
	over, err := MakeInvoice(h.used, h.shop, Terms{}, Head{}, agreed("1500.00 USD"))
	if err != nil || over.Invoice.Above.String() != "26.14 USD" || len(over.Missing) != 1 || !strings.Contains(over.Missing[0], "26.14 USD above the agreed 1500.00 USD") {
		t.Errorf("above 1500: got %s %q %v, want 26.14 USD and a note", over.Invoice.Above, over.Missing, err)
	}
	within, err := MakeInvoice(h.used, h.shop, Terms{}, Head{}, agreed("1526.14 USD"))
	if err != nil || !within.Invoice.Above.IsZero() || len(within.Missing) != 0 {
		t.Errorf("at the figure itself: got %s %q %v, want nothing above", within.Invoice.Above, within.Missing, err)
	}
	if _, err := MakeInvoice(h.used, h.shop, Terms{}, Head{}, agreed("1600.00 EUR")); err == nil {
		t.Error("agreed in EUR, billed in USD: want a refusal")
	}
}

// Every price that is missing leaves a line that names its field.
func TestMissingPrices(t *testing.T) {
	h := readHand(t, "testdata/invoices/us-packets.txt")
	h.shop.Prices = job.Prices{Currency: "USD"}
	b, err := MakeBill(h.used, h.shop, Terms{})
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(b.Missing, "\n")
	for _, field := range []string{"hour", "call_out", "standby_hour", "travel or prices.travel_hour", "rod", "carbon", "gas", "disc", "fuel", "mt", "tax"} {
		if !strings.Contains(all, "give prices."+field+" in shop.yaml") {
			t.Errorf("nothing says to give prices.%s:\n%s", field, all)
		}
	}
	if !b.Total.IsZero() || b.Complete() {
		t.Errorf("total %s, complete %v; want 0 and not complete", b.Total, b.Complete())
	}
	h = readHand(t, "testdata/invoices/us-packets.txt")
	h.shop.Prices.Currency, h.shop.Units = "", ""
	if b, err = MakeBill(h.used, h.shop, Terms{}); err != nil {
		t.Fatal(err)
	}
	all = strings.Join(b.Missing, "\n")
	if !strings.Contains(all, "prices.currency") || !strings.Contains(all, "give units in shop.yaml") || !b.Total.IsZero() {
		t.Errorf("no currency, no units: total %s\n%s", b.Total, all)
	}
}

func TestBadPricesNameTheirField(t *testing.T) {
	for field, bad := range map[string]func(*job.Prices){
		"prices.rod":        func(p *job.Prices) { p.Rod = "6 20" },
		"prices.currency":   func(p *job.Prices) { p.Currency = "dollars" },
		"prices.tax":        func(p *job.Prices) { p.Tax = "725" },
		"prices.rod_packet": func(p *job.Prices) { p.RodPacket = "0" },
		"prices.markup":     func(p *job.Prices) { p.Markup = "a fifth" },
	} {
		s := demoShop(t)
		bad(&s.Prices)
		if _, err := MakeBill(Used{}, s, Terms{}); err == nil || !strings.HasPrefix(err.Error(), field+":") {
			t.Errorf("%s: got %v, want a message that begins with the field", field, err)
		}
	}
}

func TestUsedThatCannotBe(t *testing.T) {
	s := demoShop(t)
	for name, u := range map[string]Used{
		"negative hours": {Labour: -1}, "negative rods": {Rods: []RodUsed{{"E7018", 0.0032, -1}}}, "a test nobody charges for": {Tests: []TestUsed{{"vt", 1}}},
		"a price by hand that cannot be read": {Extra: []Extra{{Name: "crane", Price: "lots"}}},
	} {
		if _, err := MakeBill(u, s, Terms{}); err == nil {
			t.Errorf("%s: billed", name)
		}
	}
}

// Lines by hand: markup only where it is material.
func TestExtraLines(t *testing.T) {
	b, err := MakeBill(Used{Extra: []Extra{{Name: "steel bar", Price: "40,00", Material: true}, {Name: "crane, half a day", Price: "310.00"}}}, demoShop(t), Terms{})
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Lines) != 2 || b.Lines[0].Amount.Number() != "48.00" || b.Lines[0].Cost.Number() != "40.00" || b.Lines[1].Amount.Number() != "310.00" {
		t.Errorf("got %+v, want 48.00 (cost 40.00) and 310.00", b.Lines)
	}
}
