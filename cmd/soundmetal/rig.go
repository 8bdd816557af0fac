package main

import (
	"fmt"
	"os"

	"soundmetal/plan"
	"soundmetal/sheet"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

type rigCmd struct {
	Job     string   `arg:"" help:"Job file; - reads standard input."`
	Shop    string   `help:"Shop file with your kit; without it, shop.yaml beside the job file is used if there is one." placeholder:"FILE"`
	JSON    bool     `name:"json" help:"Print the answer as JSON (docs/rig.md)."`
	Units   string   `help:"System that leads: us or si. Both are always shown." enum:"us,si," default:""`
	Clamp   []string `help:"A part to look at with the clamp on it; may be given twice. Without it, the best place and the worst." placeholder:"PART"`
	SVG     string   `name:"svg" help:"Write the current's way home as a drawing, the places of the clamp below each other." placeholder:"FILE"`
	Why     string   `help:"Show how one figure came about: its name from --figures." placeholder:"FIELD"`
	Figures bool     `help:"List the figures by name."`
}

func (c *rigCmd) Run(to *console) error {
	j, shop, err := load(c.Job, c.Shop)
	if err != nil {
		return err
	}
	a, err := plan.Rig(j, shop, system(c.Units, j), plan.RigAsk{Clamps: c.Clamp})
	if err != nil {
		return errBadInput{err}
	}
	if c.SVG != "" {
		if err := writeWays(c.SVG, a); err != nil {
			return err
		}
		fmt.Fprintln(to.err, "wrote", c.SVG)
	}
	return to.show(a, c.Why, c.Figures, c.JSON, func() string { return sheet.RigText(a) })
}

// writeWays writes the drawing. The file may be there already: it is a drawing
// of the same job.
func writeWays(path string, a *plan.RigAnswer) error {
	d, err := view.Ways(a.Currents, sketch.Frame{Width: sketch.PageWidth})
	if err != nil {
		return errBadInput{err}
	}
	if err := os.WriteFile(path, []byte(draw.SVG(d, "way")), 0o644); err != nil {
		return errBadInput{fmt.Errorf("cannot write the drawing: %w; name another file", err)}
	}
	return nil
}
