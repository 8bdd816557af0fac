package conduct

import (
	"context"
	"testing"
	"time"
)

func TestScratch(t *testing.T) {
	for _, l := range []Level{Coarse, Working, Fine} {
		t0 := time.Now()
		h, err := Run(context.Background(), repair12(), Options{Level: l})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%v %v %+v", l, time.Since(t0), h.Size)
		t.Logf("%+v imb %.3g", h.Ledger, float64(h.Ledger.Imbalance()))
		t.Log(h.Final, h.Marks[0].To)
		for _, b := range h.Beads {
			t.Logf("%s start %.0f wait %.0f before %.1f t85 %.2f mean %.2f n %d peak %.0f", b.Name, b.Start, b.Waited, b.Before, b.Cooling.T85.V, b.Cooling.Mean, b.Cooling.Cells, b.Cooling.Peak)
		}
	}
}
