package main

import (
	"fmt"
	"time"

	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/sheet"
)

type priceCmd struct {
	Job     string `arg:"" help:"Job file; - reads standard input."`
	Shop    string `help:"Shop file with your kit and prices; without it, shop.yaml beside the job file is used if there is one." placeholder:"FILE"`
	JSON    bool   `name:"json" help:"Print JSON (docs/price.md); with --quote what the customer reads."`
	Units   string `help:"System that leads: us or si." placeholder:"us|si"`
	Samples int    `help:"Draws, 100 to 1000000; 2000 if left out." placeholder:"N"`
	Seed    int    `help:"Seed of the draws: the same seed gives the same answer." default:"0" placeholder:"N"`
	Heat    bool   `help:"Simulate the heat first: torch, waits between beads, re-heating and cooling as in the heat command. Takes some seconds."`
	Quote   bool   `help:"Print what the customer reads: no cost and no markup in it."`
	Fixed   bool   `help:"Quote a fixed price (4 in 5) instead of an estimate."`
	Number  string `help:"Number of the quote." placeholder:"TEXT"`
	Date    string `help:"Day on the quote, as 2026-11-25; the job's own, or today, if left out." placeholder:"DAY"`
	Why     string `help:"Show how one figure came about: its name from --figures." placeholder:"FIELD"`
	Figures bool   `help:"List the figures by name."`
}

// Validate is called when the flags are read.
func (c *priceCmd) Validate() error {
	if c.Date != "" {
		if _, err := time.Parse(time.DateOnly, c.Date); err != nil {
			return fmt.Errorf("--date %q is no day; write it as 2026-11-25", c.Date)
		}
	}
	return validUnits(c.Units)
}

func (c *priceCmd) Run(to *console) error {
	j, shop, err := load(c.Job, c.Shop)
	if err != nil {
		return err
	}
	ask := plan.PriceAsk{Samples: c.Samples, Seed: c.Seed, Fixed: c.Fixed, Number: c.Number, Date: c.day(j)}
	if c.Heat {
		if ask.Heat, err = simulate(to, j, shop, system(c.Units, j), plan.ThermalAsk{Quick: true}); err != nil {
			return err
		}
	}
	a, err := plan.Price(j, shop, system(c.Units, j), ask)
	if err != nil {
		return errBadInput{err}
	}
	if c.Quote && c.Why == "" && !c.Figures {
		return c.quote(to, a)
	}
	return to.show(a, c.Why, c.Figures, c.JSON, func() string { return sheet.PriceText(a) })
}

// day is the day on the quote.
func (c *priceCmd) day(j job.Job) string {
	switch {
	case c.Date != "":
		return c.Date
	case j.Made != "":
		return string(j.Made)
	}
	return time.Now().Format(time.DateOnly)
}

// quote prints the customer's text; what he must not see goes to standard error.
func (c *priceCmd) quote(to *console, a *plan.Priced) error {
	if a.Quote == nil || a.Price == nil {
		fmt.Fprintln(to.err, "no quote: nothing of this job is priced; `soundmetal price` without --quote says why")
		return silent{statusNo}
	}
	for _, open := range a.QuoteOpen {
		fmt.Fprintln(to.err, "before it goes out:", open)
	}
	if c.JSON {
		return printJSON(to, a.Quote)
	}
	fmt.Fprint(to.out, sheet.QuoteText(a.Quote))
	return nil
}
