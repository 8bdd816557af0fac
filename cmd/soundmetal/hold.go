package main

import (
	"errors"
	"time"

	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/quantity"
	"soundmetal/sheet"
)

type holdCmd struct {
	Job   string  `arg:"" help:"Job file; - reads standard input."`
	Shop  string  `help:"Shop file; without it, shop.yaml beside the job file is used if there is one." placeholder:"FILE"`
	Until string  `help:"Until when he wants to run it with the crack in: fri 18:00, tomorrow 12:00, 2026-05-08 18:00." placeholder:"WHEN" xor:"need"`
	Hours float64 `help:"Hours of work he wants with the crack in." placeholder:"N" xor:"need"`
	Units string  `help:"System that leads: us or si. Both are always shown." placeholder:"us|si"`
	JSON  bool    `name:"json" help:"Print the answer as JSON."`
	Why   string  `help:"Show how one figure came about, as 1.until.life." placeholder:"FIELD"`
}

// Validate is called when the flags are read.
func (c *holdCmd) Validate() error {
	if c.Hours < 0 {
		return errors.New("--hours must be more than nothing")
	}
	return validUnits(c.Units)
}

func (c *holdCmd) Run(to *console) error {
	j, shop, err := load(c.Job, c.Shop)
	if err != nil {
		return err
	}
	now := time.Now()
	if err := c.wish(&j, now); err != nil {
		return errBadInput{err}
	}
	dated(&j, now)
	r, err := plan.WillHold(j, shop, system(c.Units, j))
	if err != nil {
		return err
	}
	return to.show(r, c.Why, false, c.JSON, func() string { return sheet.HoldText(r) })
}

// wish puts the hours asked for into the job; flags go before the job file.
func (c *holdCmd) wish(j *job.Job, now time.Time) error {
	switch {
	case c.Hours > 0:
		j.Wanted.UntilHours = quantity.Known(quantity.Time(c.Hours) * quantity.Hour)
	case c.Until != "":
		end, err := plan.ReadUntil(c.Until, now)
		if err != nil {
			return err
		}
		j.Wanted.UntilHours = quantity.Known(plan.WorkHours(now, end, j.Machine.HoursPerWeek))
	}
	return nil
}

// dated gives a job without a day that of the clock.
func dated(j *job.Job, now time.Time) {
	if j.Made == "" {
		j.Made = job.DayOf(now)
	}
}
