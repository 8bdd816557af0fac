package paper

import (
	"regexp"
	"strings"
	"testing"

	"soundmetal/plan"
	q "soundmetal/quantity"
)

// The priced quote prints the sums of the price room to the cent, and neither
// cost nor markup.
func TestPricedQuote(t *testing.T) {
	for _, name := range demoJobs[:4] {
		for _, fixed := range []bool{false, true} {
			src := demoSource(t, name, q.US)
			a, err := plan.Price(src.Job, src.Shop, q.US, plan.PriceAsk{Number: "2026-041", Date: "2026-11-25", Fixed: fixed})
			if err != nil {
				t.Fatal(err)
			}
			if a.Quote == nil {
				t.Fatalf("%s: no quote", name)
			}
			d, err := PricedQuote(src, *a.Quote, Options{Date: day, Number: "2026-041"})
			if err != nil {
				t.Fatal(err)
			}
			tidy(t, name+" priced quote", d)
			text := all(d)
			for _, want := range []string{a.Quote.Total.String(), a.Quote.Subtotal.String(), a.Quote.Tax.String(), a.Quote.NotToExceed.String(), "2026-041"} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: %q is not on the quote", name, want)
				}
			}
			for _, l := range a.Quote.Lines {
				if !strings.Contains(text, l.Amount.String()) {
					t.Errorf("%s: the amount of %q, %s, is not on the quote", name, l.Text, l.Amount)
				}
			}
			if m := regexp.MustCompile(`(?i)margin|mark-?up|\bcost`).FindString(text); m != "" {
				t.Errorf("%s: the customer reads %q", name, m)
			}
		}
	}
}
