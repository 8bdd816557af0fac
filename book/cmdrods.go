package book

import (
	"time"

	"soundmetal/filler"
	q "soundmetal/quantity"
)

// OpenTin logs a tin opened or rods taken out of the oven; how long they may be
// out is taken from the table of the class.
type OpenTin struct {
	Job   string
	Class string
	Size  *Said[q.Length]
	Lot   string
	From  TinFrom
	When  time.Time
}

func (c OpenTin) about() string { return c.Job }

func (c OpenTin) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	if err := optionals(&c.Lot); err != nil {
		return err
	}
	class, err := text("class", "write it as on the tin, E7018-H4R for example", c.Class)
	if err != nil {
		return err
	}
	if c.From == "" {
		c.From = FromSealed
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	t := TinOpened{ID: d.newID("t"), Class: class, Size: c.Size, Lot: c.Lot, From: c.From, When: when}
	known, size, err := filler.ReadRod(class)
	if err != nil {
		return refuse(CodeField, "class", "%v", err)
	}
	t.Class = known.String()
	if t.Size == nil && size.Known {
		t.Size = SI(size.V)
	}
	if r, err := filler.Exposure(known, d.onQT()); err == nil {
		t.Limit, t.Basis = &r.Value, r.Basis.Ref.String()
	} else {
		t.Basis = err.Error()
	}
	if err := t.check(); err != nil {
		return err
	}
	return d.log(KindTin, t)
}

// onQT says that a quenched and tempered steel is among those planned for.
func (d *desk) onQT() bool {
	if p := d.job.Plan(); p != nil {
		for _, it := range p.Limits.Items {
			if it.QT {
				return true
			}
		}
	}
	return false
}

// PutAwayTin ends a tin's time in the air.
type PutAwayTin struct {
	Job  string
	Tin  string
	Into TinTo
	When time.Time
}

func (c PutAwayTin) about() string { return c.Job }

func (c PutAwayTin) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	t, err := d.tin(c.Tin)
	if err != nil {
		return err
	}
	if t.Away != nil {
		return refuse(CodeState, "tin", "these rods are already put away")
	}
	if err := one("into", c.Into, IntoOven, UsedUp, Scrapped); err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindTinAway, TinPutAway{t.Is.ID, c.Into, when})
}

func (d *desk) tin(id string) (*Tin, error) {
	t := d.job.Tin(id)
	if t == nil || t.Void {
		return nil, refuse(CodeUnknown, "tin", "this job has no tin %q: log it when it is opened", clipped(id))
	}
	return t, nil
}
