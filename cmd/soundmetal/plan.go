package main

import (
	"fmt"
	"time"

	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/quantity"
	"soundmetal/sheet"
)

type planCmd struct {
	Job     string `arg:"" help:"Job file; - reads standard input."`
	Shop    string `help:"Shop file with your kit and prices; without it, shop.yaml beside the job file is used if there is one." placeholder:"FILE"`
	JSON    bool   `name:"json" help:"Print the plan as JSON (docs/plan-format.md)."`
	Units   string `help:"System that leads: us or si. Both are always shown." placeholder:"us|si"`
	Why     string `help:"Show how one figure came about: its name from --figures." placeholder:"FIELD"`
	Figures bool   `help:"List the figures of the plan by name."`
}

// Validate is called when the flags are read.
func (c *planCmd) Validate() error {
	return validUnits(c.Units)
}

func validUnits(s string) error {
	switch s {
	case "", "us", "si":
		return nil
	}
	return fmt.Errorf("--units %q is not one of us, si", s)
}

func (c *planCmd) Run(to *console) error {
	j, shop, err := load(c.Job, c.Shop)
	if err != nil {
		return err
	}
	dated(&j, time.Now())
	p, err := plan.Make(j, shop, system(c.Units, j))
	if err != nil {
		return err
	}
	return to.show(p, c.Why, c.Figures, c.JSON, func() string { return sheet.PlanText(p) })
}

// system picks the leading unit system: asked for, or the job's own.
func system(asked string, j job.Job) quantity.System {
	if asked == "us" || (asked == "" && j.Units == job.US) {
		return quantity.US
	}
	return quantity.SI
}
