package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"

	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/quantity"
	"soundmetal/sheet"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

type heatCmd struct {
	Job     string   `arg:"" help:"Job file; - reads standard input."`
	Shop    string   `help:"Shop file with your torch and bottles; without it, shop.yaml beside the job file is used if there is one." placeholder:"FILE"`
	Item    int      `help:"Only this place of the job, from 1." placeholder:"N"`
	Level   string   `help:"How finely it is computed: coarse, working or fine; without it, as finely as takes a few seconds." enum:"coarse,working,fine," default:""`
	Read    []string `sep:"none" help:"What you read while the torch burns: '8min: 90C at 75mm', with far behind it for the far face; may be given more than once." placeholder:"READING"`
	SVG     string   `name:"svg" help:"Write temperature and time as a drawing; of several places each gets its number into the name." placeholder:"FILE"`
	JSON    bool     `name:"json" help:"Print the answer as JSON (docs/heat.md)."`
	Units   string   `help:"System that leads: us or si. Both are always shown." enum:"us,si," default:""`
	Why     string   `help:"Show how one figure came about: its name from --figures." placeholder:"FIELD"`
	Figures bool     `help:"List the figures by name."`
}

var levels = map[string]conduct.Level{"coarse": conduct.Coarse, "working": conduct.Working, "fine": conduct.Fine}

func (c *heatCmd) Run(to *console) error {
	j, shop, err := load(c.Job, c.Shop)
	if err != nil {
		return err
	}
	ask := plan.ThermalAsk{Level: levels[c.Level], Quick: c.Level == "", Item: c.Item}
	for _, text := range c.Read {
		r, err := plan.ReadHeat(text)
		if err != nil {
			return errBadInput{err}
		}
		ask.Readings = append(ask.Readings, r)
	}
	a, err := simulate(to, j, shop, system(c.Units, j), ask)
	if err != nil {
		return err
	}
	if c.SVG != "" {
		if err := writeCharts(c.SVG, a, to.err); err != nil {
			return err
		}
	}
	return to.show(a, c.Why, c.Figures, c.JSON, func() string { return sheet.HeatText(a) })
}

// simulate runs the heat of a job and shows how far it is; Ctrl-C stops it.
func simulate(to *console, j job.Job, shop *job.Shop, sys quantity.System, ask plan.ThermalAsk) (*plan.ThermalAnswer, error) {
	bar := newProgress(to.err, to.pause)
	ask.Progress = bar.tell
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	a, err := plan.Thermal(ctx, j, shop, sys, ask)
	bar.done()
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(to.err, programName+": stopped; nothing was written")
		return nil, silent{statusNo}
	case err != nil:
		return nil, errBadInput{err}
	}
	return a, nil
}

// writeCharts draws every place that has a chart.
func writeCharts(path string, a *plan.ThermalAnswer, say io.Writer) error {
	charts := map[string]string{}
	var order []string
	several := 0
	for _, it := range a.Items {
		if it.Chart != nil {
			several++
		}
	}
	for _, it := range a.Items {
		s, ok := view.HeatChart(it, a.Units)
		if !ok {
			continue
		}
		name := path
		if several > 1 {
			ext := filepath.Ext(path)
			name = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(path, ext), it.Number, ext)
		}
		charts[name] = draw.SVG(sketch.DrawChart(s, sketch.Frame{Width: sketch.PageWidth}), "heat")
		order = append(order, name)
	}
	if len(order) == 0 {
		return errBadInput{errors.New("there is nothing to draw: no place of this job was simulated")}
	}
	for _, name := range order {
		if err := os.WriteFile(name, []byte(charts[name]), 0o644); err != nil {
			return errBadInput{fmt.Errorf("cannot write the drawing: %w; name another file", err)}
		}
		fmt.Fprintln(say, "wrote", name)
	}
	return nil
}

// progress tells how far the simulation is: one line that is written over on a
// terminal; elsewhere a line now and then, and none where it is soon done.
type progress struct {
	to       io.Writer
	terminal bool
	pause    time.Duration
	last     time.Time
	shown    bool
}

func newProgress(to io.Writer, pause time.Duration) *progress {
	p := &progress{to: to, pause: pause, last: time.Now()}
	if f, ok := to.(*os.File); ok {
		info, err := f.Stat()
		p.terminal = err == nil && info.Mode()&os.ModeCharDevice != 0
	}
	if p.terminal {
		p.pause = onTerminal
	}
	return p
}

// Pauses between two lines.
const (
	onTerminal = 100 * time.Millisecond
	elsewhere  = 10 * time.Second
)

func (p *progress) tell(s plan.ThermalProgress) {
	if time.Since(p.last) < p.pause {
		return
	}
	p.last = time.Now()
	line := fmt.Sprintf("%s: %d of %d, %s: %s, %.0f min", s.Item, s.Part, s.Of, s.Run, s.Event, s.Simulated.Minutes())
	if !p.terminal {
		fmt.Fprintln(p.to, line)
		return
	}
	if r := []rune(line); len(r) > sheet.Columns-1 {
		line = string(r[:sheet.Columns-1])
	}
	fmt.Fprintf(p.to, "\r\x1b[K%s", line)
	p.shown = true
}

// done clears the line.
func (p *progress) done() {
	if p.shown {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}
