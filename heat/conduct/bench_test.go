package conduct

import (
	"context"
	"testing"
)

func benchmarkRepair(b *testing.B, o Options) {
	var h History
	var err error
	b.ReportAllocs()
	for b.Loop() {
		if h, err = Run(context.Background(), repair12(), o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(h.Size.Updates*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mupdates/s")
	b.ReportMetric(float64(h.Size.Cells), "cells")
	b.ReportMetric(float64(h.Size.Steps), "steps")
	b.ReportMetric(float64(h.Size.Bytes)/1e6, "MB")
}

// BenchmarkRepair12Bead is the whole history at the working level.
func BenchmarkRepair12Bead(b *testing.B) { benchmarkRepair(b, Options{}) }

// BenchmarkCoarse is the same history at the level for answers while typing.
func BenchmarkCoarse(b *testing.B) { benchmarkRepair(b, Options{Level: Coarse}) }
