package store

import (
	"errors"
	"fmt"
)

// Checker goes along one log and collects every fault. After a fault it goes on
// from the entry as it stands, so that one damaged entry is one fault.
type Checker struct {
	Device string
	Faults []*Fault
	head   Head
}

// Add checks the next entry as it is stored.
func (c *Checker) Add(e *Entry) {
	c.note(e.Check())
	c.note(e.Follows(c.head))
	c.head = e.Head()
}

// End checks that the log ends where it should.
func (c *Checker) End(head Head) {
	switch {
	case c.head.Seq < head.Seq:
		c.Faults = append(c.Faults, &Fault{c.Device, c.head.Seq + 1, Missing,
			fmt.Sprintf("entries %d to %d were stored and are gone", c.head.Seq+1, head.Seq)})
	case c.head.Hash != head.Hash:
		c.Faults = append(c.Faults, &Fault{c.Device, c.head.Seq, Damaged, "it is not the entry that was last stored"})
	}
}

func (c *Checker) note(err error) {
	var f *Fault
	if errors.As(err, &f) {
		c.Faults = append(c.Faults, f)
	}
}
