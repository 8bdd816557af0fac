package conduct

import (
	"context"
	"testing"
)

func TestScratch(t *testing.T) {
	for _, l := range []Level{Coarse, Working} {
		c := repair12()
		r, err := newRunner(context.Background(), &c, Options{Level: l})
		if err != nil {
			t.Fatal(err)
		}
		for i, e := range c.Events {
			a, n := r.s.redone, r.s.steps
			r.do(e)
			if i < 4 || i > 22 {
				t.Logf("%s: redone %d of %d", eventName(e), r.s.redone-a, r.s.steps-n)
			}
		}
		t.Logf("all: redone %d of %d halved %d", r.s.redone, r.s.steps, r.halved)
		for _, b := range r.hist.Beads {
			t.Logf("%s start %.0f wait %.0f before %.1f t85 %.2f mean %.2f n %d peak %.0f", b.Name, b.Start, b.Waited, b.Before, b.Cooling.T85.V, b.Cooling.Mean, b.Cooling.Cells, b.Cooling.Peak)
		}
	}
}
