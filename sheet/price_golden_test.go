package sheet_test

import (
	"testing"

	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet"
)

// Two prices, a quote and a refused job as they are printed; see TestDemoPlans.
func TestDemoPrices(t *testing.T) {
	shop, err := job.ReadShop("shop.yaml", demoFile(t, "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		sys  q.System
	}{{"quarry-screen", q.US}, {"blade-arm", q.SI}, {"fork", q.SI}} {
		t.Run(c.name, func(t *testing.T) {
			j, err := job.Read(c.name+".yaml", demoFile(t, c.name+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			a, err := plan.Price(j, &shop, c.sys, plan.PriceAsk{Number: "26-014", Date: "2026-05-04"})
			if err != nil {
				t.Fatal(err)
			}
			golden(t, "../prices/"+c.name, sheet.PriceText(a))
			if c.name == "quarry-screen" {
				golden(t, "../prices/"+c.name+".quote", sheet.QuoteText(a.Quote))
			}
		})
	}
}
