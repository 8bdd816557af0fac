package book

import (
	"time"

	q "soundmetal/quantity"
)

// Tin is a tin of rods, or rods out of the oven, with what was burnt of it.
type Tin struct {
	Logged[TinOpened]
	Away   *Logged[TinPutAway] // nil: still out
	Due    *time.Time          // until when they may be out; nil: no limit by the table
	Rods   float64             // burnt, by the beads
	Length q.Length            // weld length laid with them
}

// PerRod is the weld length of one rod so far; ok is false before the first.
func (t *Tin) PerRod() (run q.Length, ok bool) {
	if t.Rods <= 0 || t.Length <= 0 {
		return 0, false
	}
	return t.Length / q.Length(t.Rods), true
}

// PerRod is the weld length of one rod of the bead.
func (b *Bead) PerRod() (run q.Length, ok bool) {
	l, said := value(b.Length)
	if !said || b.Rods <= 0 {
		return 0, false
	}
	return l / q.Length(b.Rods), true
}

// RodsUsed adds up the rods of the job.
func (j *Job) RodsUsed() float64 {
	sum := 0.0
	for _, b := range j.Beads {
		if !b.Void {
			sum += b.Is.Rods
		}
	}
	return sum
}
