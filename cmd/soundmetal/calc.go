package main

import (
	"fmt"
	"strings"

	"soundmetal/calc"
	"soundmetal/sheet"
)

type calcCmd struct {
	Method string   `arg:"" optional:"" help:"Method, as listed by calc without a name."`
	Values []string `arg:"" optional:"" help:"Values as name=value, with or without a unit."`
	JSON   bool     `name:"json" help:"Print one JSON object."`
}

func (c *calcCmd) Run(to *console) error {
	if c.Method == "" {
		return c.list(to)
	}
	m, err := calc.Find(c.Method)
	if err != nil {
		return err
	}
	if len(c.Values) == 0 && m.NeedsValues() {
		fmt.Fprint(to.out, sheet.MethodHelp(m))
		return nil
	}
	o, err := calc.Run(c.Method, c.Values)
	if err != nil {
		return err
	}
	if c.JSON {
		data, err := o.JSON()
		if err != nil {
			return err
		}
		fmt.Fprintln(to.out, string(data))
	} else {
		fmt.Fprint(to.out, sheet.Working(o))
	}
	if !o.Applies {
		if !c.JSON {
			fmt.Fprintln(to.err, strings.TrimSpace(o.Limit))
		}
		return silent{statusNo}
	}
	return nil
}

func (c *calcCmd) list(to *console) error {
	if c.JSON {
		data, err := calc.ListJSON()
		if err != nil {
			return err
		}
		fmt.Fprintln(to.out, string(data))
		return nil
	}
	fmt.Fprint(to.out, sheet.MethodList(calc.List()))
	return nil
}
