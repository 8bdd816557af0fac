package book

import (
	"slices"
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
	if err := d.job.Corrects(line); err != nil {
		return err
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
	if err := checkCorrection(d, line, c.Body, out.Body); err != nil {
		return err
	}
	return d.log(KindCorrected, out)
}

// Corrects says why an entry of the log may not be corrected now; nil: it may.
func (j *Job) Corrects(line *Line) error {
	switch {
	case !bodies[line.Kind].correctable:
		return refuse(CodeState, "entry", "an entry of this kind is not corrected: add what is new")
	case line.Body() == nil:
		return refuse(CodeState, "entry", "this build cannot read the entry: correct it where it was logged")
	case j.Status == JobClosed && line.Kind != KindPhoto && line.Kind != KindNote && line.Kind != KindFollowedUp:
		return refuse(CodeState, "", "this job is closed: open it again first")
	}
	return nil
}

// Correctable lists the kinds of entries that may be corrected.
func Correctable() []Kind {
	var all []Kind
	for k, b := range bodies {
		if b.correctable {
			all = append(all, k)
		}
	}
	slices.Sort(all)
	return all
}

// checkCorrection holds a corrected body to what a new one must keep.
func checkCorrection(d *desk, line *Line, is any, data []byte) error {
	read, err := bodies[line.Kind].read(data)
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
	switch b := read.(type) {
	case Bead:
		if b.Tin != "" && d.job.Tin(b.Tin) == nil {
			return refuse(CodeUnknown, "tin", "this job has no tin %q", clipped(b.Tin))
		}
	case HoldAnswered: // a yes that was none, or was at another time, needs proof as a new one
		was := line.Body().(HoldAnswered)
		if h := d.job.Hold(b.Hold); h != nil && b.Says != SaysNo && (b.Says != was.Says || line.Void || !b.When.Equal(was.When)) {
			if err := (&AnswerHold{Says: b.Says, How: b.How, When: b.When}).proves(d, h); err != nil {
				return err
			}
		}
	}
	if err := checkAny(read); err != nil {
		return err
	}
	if subject(read) != subject(line.Body()) {
		return refuse(CodeField, "body", "a correction is about the same thing as the entry: take it back and log the other")
	}
	return nil
}

// subject is what an entry is about and what no correction changes: other
// entries speak of it.
func subject(body any) string {
	switch b := body.(type) {
	case StepDone:
		return b.Step
	case HoldAnswered:
		return b.Hold
	case TinOpened:
		return b.ID
	case TinPutAway:
		return b.Tin
	case Photo:
		return b.Blob.String()
	case ClockStarted:
		return b.ID + " " + string(b.What)
	case ClockStopped:
		return b.ID
	case CheckedIn:
		return b.ID
	case Cleared:
		return b.Deviation
	case DamageFound:
		return b.Item + " " + b.Change
	case FollowedUp:
		return b.Look
	}
	return ""
}
