package book

import (
	"time"
)

// Correct corrects an entry of the record, or takes it back. The entry stays in
// the book beside its correction. Body is a value of the entry's own type: a
// Reading for a reading.
type Correct struct {
	Job    string
	Of     Ref
	Void   bool
	Reason string
	Body   any // nil where Void
	When   time.Time
}

func (c Correct) about() string { return c.Job }

func (c Correct) decide(d *desk) error {
	line := d.job.Find(c.Of)
	if line == nil {
		return refuse(CodeUnknown, "entry", "this job has no entry %q", c.Of.String())
	}
	b := bodies[line.Kind]
	if !b.correctable {
		return refuse(CodeState, "entry", "an entry of this kind is not corrected: add what is new")
	}
	if d.job.Status == JobClosed && line.Kind != KindPhoto && line.Kind != KindNote && line.Kind != KindFollowedUp {
		return refuse(CodeState, "", "this job is closed: open it again first")
	}
	reason, err := text("reason", "say why it is corrected", c.Reason)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	out := Corrected{Of: c.Of, Kind: line.Kind, Void: c.Void, Reason: reason, When: when}
	if c.Void {
		return d.log(KindCorrected, out)
	}
	if out.Body, err = encode(c.Body); err != nil {
		return err
	}
	if err := checkCorrection(d, line.Kind, c.Body, out.Body); err != nil {
		return err
	}
	return d.log(KindCorrected, out)
}

// checkCorrection holds a corrected body to what a new one must keep.
func checkCorrection(d *desk, kind Kind, is any, data []byte) error {
	read, err := bodies[kind].read(data)
	if err != nil || is == nil || !sameType(read, is) {
		return refuse(CodeField, "body", "the correction is not of the same kind as the entry")
	}
	for _, t := range timesOf(read) {
		if _, err := d.at("when", t); err != nil {
			return err
		}
	}
	if item := itemOf(read); item != "" {
		if _, ok := d.job.Place(item); !ok {
			return refuse(CodeUnknown, "item", "this job has no place %q", clipped(item))
		}
	}
	return checkAny(read)
}
