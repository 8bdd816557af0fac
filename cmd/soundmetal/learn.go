package main

import (
	"fmt"
	"os"
	"path/filepath"

	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/price"
	"soundmetal/sheet"
)

type learnCmd struct {
	Actuals string `arg:"" help:"File of finished jobs (docs/price.md); - reads standard input."`
	Shop    string `help:"Shop file; without it, shop.yaml beside the file is used if there is one." placeholder:"FILE"`
	JSON    bool   `name:"json" help:"Print JSON."`
	Units   string `help:"System that leads: us or si." placeholder:"us|si"`
}

// Validate is called when the flags are read.
func (c *learnCmd) Validate() error { return validUnits(c.Units) }

func (c *learnCmd) Run(to *console) error {
	data, err := readFile(c.Actuals)
	if err != nil {
		return err
	}
	all, err := job.ReadActuals(shown(c.Actuals), data)
	if err != nil {
		return err
	}
	shop, err := c.shop()
	if err != nil {
		return err
	}
	sys := system(c.Units, job.Job{Units: all.Units})
	var history []price.Actual
	for _, d := range all.Jobs {
		var planned *plan.Handbook
		if d.File != "" {
			j, _, err := load(c.beside(d.File), c.Shop)
			if err != nil {
				return err
			}
			if h, ok := plan.HandbookOf(j, shop, sys); ok {
				planned = &h
			}
		}
		a, err := plan.ActualOf(d, planned)
		if err != nil {
			return errBadInput{fmt.Errorf("%s: %w", shown(c.Actuals), err)}
		}
		history = append(history, a)
	}
	a, err := plan.Learn(history, shop, sys)
	if err != nil {
		return errBadInput{err}
	}
	if c.JSON {
		return printJSON(to, a)
	}
	fmt.Fprint(to.out, sheet.LearnText(a))
	return nil
}

// beside is a job's file, seen from the file that names it.
func (c *learnCmd) beside(file string) string {
	if filepath.IsAbs(file) || c.Actuals == "-" {
		return file
	}
	return filepath.Join(filepath.Dir(c.Actuals), file)
}

// shop reads the shop file named, or the one beside, or none.
func (c *learnCmd) shop() (*job.Shop, error) {
	file := c.Shop
	if file == "" {
		file = c.beside("shop.yaml")
		if _, err := os.Stat(file); err != nil || c.Actuals == "-" {
			return nil, nil
		}
	}
	data, err := readFile(file)
	if err != nil {
		return nil, err
	}
	s, err := job.ReadShop(shown(file), data)
	return &s, err
}
