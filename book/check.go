package book

import (
	"time"

	"soundmetal/store"
)

// checked is a body that knows what it may hold: commands and corrections both
// pass through it.
type checked interface{ check() error }

func (b *Reading) check() error {
	if err := optionals(&b.Place); err != nil {
		return err
	}
	switch {
	case b.Temp == nil && b.Crayon == nil:
		return refuse(CodeField, "temp", "give a temperature, or a crayon and whether it melted")
	case b.Temp != nil && b.Crayon != nil:
		return refuse(CodeField, "temp", "give a temperature or a crayon, not both: log two readings")
	}
	if b.Crayon != nil {
		b.Tool = CrayonTool
		if err := checkTemp("crayon", &b.Crayon.At); err != nil {
			return err
		}
	}
	if b.Tool != "" {
		if err := one("tool", b.Tool, ContactTool, InfraredGun, CrayonTool); err != nil {
			return err
		}
	}
	if err := checkTemp("temp", b.Temp); err != nil {
		return err
	}
	if err := checkLength("distance", b.Distance); err != nil {
		return err
	}
	return checkCount("bead", float64(b.Bead), maxBeads)
}

const (
	maxBeads = 9999
	maxRods  = 500 // burnt for one bead
)

func (b *TinOpened) check() error {
	if err := one("from", b.From, FromSealed, FromOven, FromBake); err != nil {
		return err
	}
	return checkLength("size", b.Size)
}

func (b *TinPutAway) check() error { return one("into", b.Into, IntoOven, UsedUp, Scrapped) }

func (b *GougeDone) check() error {
	if err := optionals(&b.Note); err != nil {
		return err
	}
	if b.Side != 1 && b.Side != 2 {
		return refuse(CodeField, "side", "side %d: a groove has side 1 and, where it is welded from both, side 2", b.Side)
	}
	if err := checkLength("length", b.Length); err != nil {
		return err
	}
	if err := checkLength("depth", b.Depth); err != nil {
		return err
	}
	return checkCount("carbons", b.Carbons, maxRods)
}

func (b *Bead) check() error {
	if err := optionals(&b.Note); err != nil {
		return err
	}
	if b.Number < 1 || b.Number > maxBeads {
		return refuse(CodeField, "number", "bead %d: beads are numbered from 1 to %d", b.Number, maxBeads)
	}
	if b.Begun != nil && b.Begun.After(b.Ended) {
		return refuse(CodeField, "begun", "the bead was begun after it ended; correct one of the times")
	}
	if err := checkCount("rods", b.Rods, maxRods); err != nil {
		return err
	}
	if err := checkLength("length", b.Length); err != nil {
		return err
	}
	return checkAmps("amps", b.Amps)
}

func (b *PostHeat) check() error {
	if b.From.After(b.To) {
		return refuse(CodeField, "from", "it began after it ended; correct one of the times")
	}
	return checkTemp("temp", b.Temp)
}

func (b *Inspection) check() error {
	if err := optionals(&b.Note, &b.By); err != nil {
		return err
	}
	if err := one("stage", b.Stage, StageFind, StageGone, StageFinal, StageLater); err != nil {
		return err
	}
	if err := one("method", b.Method, MethodPT, MethodMT, MethodUT, MethodEye); err != nil {
		return err
	}
	if err := one("result", b.Result, Clear, Found, Doubtful); err != nil {
		return err
	}
	return checkLength("length", b.Length)
}

func (b *Note) check() error {
	_, err := text("text", "write the note", b.Text)
	return err
}

func (b *Photo) check() error {
	if b.Blob == (store.Hash{}) {
		return refuse(CodeField, "photo", "the photo is missing")
	}
	return optionals(&b.Caption, &b.About)
}

func (b *HoldAnswered) check() error {
	if err := one("answer", b.Says, SaysYes, SaysNo, SaysNotHere); err != nil {
		return err
	}
	return optionals(&b.How, &b.Note, &b.By)
}

func (b *StepDone) check() error    { return optionals(&b.Note) }
func (b *DamageFound) check() error { return optionals(&b.Text) }
func (b *Cleared) check() error     { return optionals(&b.Done) }
func (b *CheckedIn) check() error   { return nil }

func (b *ClockStarted) check() error {
	if _, ok := byHand[b.What]; !ok || b.For < 0 {
		return refuse(CodeField, "clock", "this is no clock that is started by hand")
	}
	return optionals(&b.Label, &b.Call)
}

func (b *ClockStopped) check() error { return optionals(&b.Note) }

func (b *FollowedUp) check() error {
	if err := one("result", b.Result, ItHeld, ItCracked, NotLookedAt); err != nil {
		return err
	}
	return optionals(&b.Note)
}

// timesOf are the times that a corrected body may say.
func timesOf(body any) []time.Time {
	t, ok := body.(timed)
	if !ok {
		return nil
	}
	all := []time.Time{t.when()}
	switch b := body.(type) {
	case Bead:
		if b.Begun != nil {
			all = append(all, *b.Begun)
		}
	case PostHeat:
		all = append(all, b.From)
	}
	return all
}
