package conduct

import (
	"context"
	"fmt"
	"testing"

	q "soundmetal/quantity"
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

// BenchmarkFine is the same history at the finest level; its time in wasm against
// that of the machine is in docs/offline.md.
func BenchmarkFine(b *testing.B) { benchmarkRepair(b, Options{Level: Fine}) }

// BenchmarkStep is one step on a plate as its grid doubles: cell updates a second,
// and the memory it moves as part of what BenchmarkMemory moves. A step reads and
// writes a cell's arrays streamed times.
func BenchmarkStep(b *testing.B) {
	// float64 read or written by cell and step: residual 5 + 1 (Θ of the planes
	// comes from cache), sweeps x 5, y 8, z 8, update 7
	const streamed = 6 + 5 + 8 + 8 + 7
	for _, n := range []int{1, 2, 4, 8, 16, 32, 64, 128} {
		b.Run(fmt.Sprintf("%dk", 8*n), func(b *testing.B) {
			nx, ny, nz := 40, 25, 8
			for m := n; m > 1; m /= 2 {
				switch {
				case nx <= ny:
					nx *= 2
				case ny <= 4*nz:
					ny *= 2
				default:
					nz *= 2
				}
			}
			c := Case{Body: Plate(q.Length(nx)*0.003, q.Length(ny)*0.003, q.Length(nz)*0.003), Start: 20, Env: Environment{Air: 5, Wind: 3}}
			r, err := newRunner(context.Background(), &c, Options{Along: 0.003, Across: 0.003, Through: 0.003, Growth: -1, Least: 1, MaxCells: 4_000_000})
			if err != nil {
				b.Fatal(err)
			}
			hot, err := r.s.home([3]float64{})
			if err != nil {
				b.Fatal(err)
			}
			into := []heat{{int32(hot), 1}}
			t := 0.0
			for b.Loop() {
				r.s.step(t, 0.5, 0.5, into, 100)
				t += 0.5
			}
			cells := float64(r.s.g.cells())
			rate := cells * float64(b.N) / b.Elapsed().Seconds()
			b.ReportMetric(rate/1e6, "Mupdates/s")
			b.ReportMetric(rate*streamed*8/1e9, "GB/s")
			b.ReportMetric(cells, "cells")
		})
	}
}

// BenchmarkMemory is what this machine's memory gives one core: a[i] = b[i] + s·c[i]
// on arrays in cache and beyond it.
func BenchmarkMemory(b *testing.B) {
	for _, kb := range []int{64, 512, 4096, 65536} {
		b.Run(fmt.Sprintf("%dkB", kb), func(b *testing.B) {
			n := kb * 1024 / 24
			x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
			for i := range x {
				y[i], z[i] = float64(i), 1
			}
			for b.Loop() {
				y, z := y[:len(x)], z[:len(x)]
				for i := range x {
					x[i] = y[i] + 0.5*z[i]
				}
			}
			b.ReportMetric(float64(24*n)*float64(b.N)/b.Elapsed().Seconds()/1e9, "GB/s")
		})
	}
}
