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
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	t, err := d.job.TinOf(c)
	if err != nil {
		return err
	}
	t.ID, t.When = d.newID("t"), when
	return d.log(KindTin, t)
}

// TinOf reads what stands on a tin: its class and size, and how long its rods may
// be out by the table of the class. ID and time are the caller's.
func (j *Job) TinOf(c OpenTin) (TinOpened, error) {
	if err := optionals(&c.Lot); err != nil {
		return TinOpened{}, err
	}
	class, err := text("class", "write it as on the tin, E7018-H4R for example", c.Class)
	if err != nil {
		return TinOpened{}, err
	}
	if c.From == "" {
		c.From = FromSealed
	}
	known, size, err := filler.ReadRod(class)
	if err != nil {
		return TinOpened{}, refuse(CodeField, "class", "%v", err)
	}
	t := TinOpened{Class: known.String(), Size: c.Size, Lot: c.Lot, From: c.From}
	if t.Size == nil && size.Known {
		t.Size = SI(size.V)
	}
	if r, err := filler.Exposure(known, j.onQT()); err == nil {
		t.Limit, t.Basis = &r.Value, r.Basis.Ref.String()
	} else {
		t.Basis = err.Error()
	}
	return t, t.check()
}

// onQT says that a quenched and tempered steel is among those planned for.
func (j *Job) onQT() bool {
	if p := j.Plan(); p != nil {
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
