package book

import (
	"time"

	q "soundmetal/quantity"
)

// LogReading logs a reading of heat. It is never held up: heat may be read at
// any time. Bead is the bead that is about to be begun; 0 is no bead.
type LogReading struct {
	Job string
	Reading
}

func (c LogReading) about() string { return c.Job }

func (c LogReading) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	if err := d.placed(&c.Item, &c.When); err != nil {
		return err
	}
	if err := c.Reading.check(); err != nil {
		return err
	}
	return d.log(KindReading, c.Reading)
}

// LogGouge logs a side gouged and ground.
type LogGouge struct {
	Job string
	GougeDone
}

func (c LogGouge) about() string { return c.Job }

func (c LogGouge) decide(d *desk) error {
	p, err := d.weldable(c.Item, "cut")
	if err != nil {
		return err
	}
	c.Item = p.ID
	if c.Side == 0 {
		c.Side = 1
	}
	if c.When, err = d.at("when", c.When); err != nil {
		return err
	}
	if err := c.GougeDone.check(); err != nil {
		return err
	}
	return d.log(KindGouge, c.GougeDone)
}

// BeadDone logs a bead. Number 0 is the next one. Temp is the reading just
// before it, where it was not logged by itself.
type BeadDone struct {
	Job  string
	Temp *Said[q.Temperature]
	Tool Tool
	Bead
}

func (c BeadDone) about() string { return c.Job }

func (c BeadDone) decide(d *desk) error {
	p, err := d.weldable(c.Item, "passes")
	if err != nil {
		return err
	}
	c.Item = p.ID
	if c.Number == 0 {
		c.Number = p.NextBead
	}
	if c.Tin != "" {
		if _, err := d.tin(c.Tin); err != nil {
			return err
		}
	}
	if c.Ended, err = d.at("ended", c.Ended); err != nil {
		return err
	}
	if c.Begun != nil {
		begun, err := d.at("begun", *c.Begun)
		if err != nil {
			return err
		}
		c.Begun = &begun
	}
	if err := c.Bead.check(); err != nil {
		return err
	}
	if c.Temp != nil {
		r := Reading{Item: c.Item, Bead: c.Number, Temp: c.Temp, Tool: c.Tool, When: c.Bead.begun()}
		if err := r.check(); err != nil {
			return err
		}
		if err := d.log(KindReading, r); err != nil {
			return err
		}
	}
	return d.log(KindBead, c.Bead)
}

// LogPostHeat logs heat held after the last bead.
type LogPostHeat struct {
	Job string
	PostHeat
}

func (c LogPostHeat) about() string { return c.Job }

func (c LogPostHeat) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	if !p.Welded {
		return refuse(CodeState, "", "no bead is laid at %s yet: heat before the weld is a reading", p.Name)
	}
	c.Item = p.ID
	if c.From, err = d.at("from", c.From); err != nil {
		return err
	}
	if c.To, err = d.at("to", c.To); err != nil {
		return err
	}
	if err := c.PostHeat.check(); err != nil {
		return err
	}
	return d.log(KindPostHeat, c.PostHeat)
}

// Inspect logs a look for cracks. A later one may be logged on a closed job.
type Inspect struct {
	Job string
	Inspection
}

func (c Inspect) about() string { return c.Job }

func (c Inspect) decide(d *desk) error {
	if c.Stage != StageLater {
		if err := d.isOpen(); err != nil {
			return err
		}
	}
	if err := d.placed(&c.Item, &c.When); err != nil {
		return err
	}
	if err := c.Inspection.check(); err != nil {
		return err
	}
	return d.log(KindInspection, c.Inspection)
}

// AddNote logs a line of text.
type AddNote struct {
	Job  string
	Text string
	Item string
	When time.Time
}

func (c AddNote) about() string { return c.Job }

func (c AddNote) decide(d *desk) error {
	words, err := text("text", "write the note", c.Text)
	if err != nil {
		return err
	}
	if c.Item != "" {
		if _, err := d.item(c.Item); err != nil {
			return err
		}
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindNote, Note{words, c.Item, when})
}

// ClearDeviation says what was done about a deviation.
type ClearDeviation struct {
	Job       string
	Deviation string
	Done      string
	When      time.Time
}

func (c ClearDeviation) about() string { return c.Job }

func (c ClearDeviation) decide(d *desk) error {
	done, err := text("done", "say what was done about it", c.Done)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	for _, v := range d.job.Deviations {
		switch {
		case v.ID != c.Deviation:
		case v.Cleared != nil:
			return refuse(CodeState, "deviation", "something was already done about this: %s", v.Cleared.Done)
		default:
			return d.log(KindCleared, Cleared{v.ID, done, when})
		}
	}
	return refuse(CodeUnknown, "deviation", "this job has no deviation %q", clipped(c.Deviation))
}
