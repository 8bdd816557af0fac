package main

import (
	"fmt"

	"soundmetal/schema"
)

type schemaCmd struct {
	Name string `arg:"" help:"${enum}." enum:"job,shop,plan,rig,hold,price,actuals,learn"`
}

func (c *schemaCmd) Run(to *console) error {
	data, err := schema.For(c.Name)
	if err != nil {
		return errBadInput{err}
	}
	fmt.Fprintln(to.out, string(data))
	return nil
}
