package conduct

// Where to read: ISO 13916:2017 4.1 on the face towards the welder, A = 4·t but at
// most 50 mm from the groove edge for t ≤ 50 mm, 75 mm for thicker; AWS D1.1: the
// floor must stand over the larger of the thickness and 75 mm in every direction
// from the point of welding; the far face tells that the heat went through.

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	isoLimit = 50 * q.Millimetre
	isoThick = 75 * q.Millimetre
	d11Least = 75 * q.Millimetre
)

// ReadingPoints gives probes for a weld along x from from to to in a plate of
// thickness t (z from 0 to t), groove edges at y = ±edge: "read" on the welder's
// face at the distance of ISO 13916, "band" on both faces at the distance of
// AWS D1.1, beside the middle and beyond both ends. half leaves out y < 0.
func ReadingPoints(from, to, edge, t q.Length, half bool) (source.Result[[]Probe], error) {
	const id = "reading-points"
	if err := source.InRange(id, "thickness", t.MM(), 1, 500, "mm", ""); err != nil {
		return source.Result[[]Probe]{}, err
	}
	if !(to > from) || edge < 0 {
		return source.Result[[]Probe]{}, fmt.Errorf("a weld needs an end beyond its start and a groove edge at or above zero")
	}
	a := min(4*t, isoLimit)
	if t > isoLimit {
		a = isoThick
	}
	band := max(t, d11Least)
	mid := (from + to) / 2
	var p []Probe
	sides := []struct {
		name string
		s    q.Length
	}{{"right", 1}, {"left", -1}}
	if half {
		sides = sides[:1]
	}
	for _, s := range sides {
		p = append(p,
			Probe{"read " + s.name, At(mid, s.s*(edge+a), t)},
			Probe{"band near " + s.name, At(mid, s.s*(edge+band), t)},
			Probe{"band far " + s.name, At(mid, s.s*(edge+band), 0)})
	}
	p = append(p, Probe{"band far start", At(from-band, 0, 0)}, Probe{"band far end", At(to+band, 0, 0)})
	return source.Result[[]Probe]{Value: p, Basis: source.Basis{
		Method: id, Title: "Where to read the temperature",
		Formula: "A = min(4t, 50 mm) for t ≤ 50 mm, else 75 mm; band = max(t, 75 mm)",
		Inputs:  []source.Input{{Name: "t", Text: fmt.Sprintf("%.4g mm", t.MM())}},
		Steps: []source.Step{
			{Name: "A from the groove edge", With: fmt.Sprintf("min(4 × %.4g, 50)", t.MM()), Value: a.MM(), Unit: "mm"},
			{Name: "band", With: fmt.Sprintf("max(%.4g, 75)", t.MM()), Value: band.MM(), Unit: "mm"},
		},
		Ref:  source.At("iso13916", "4.1", source.Read),
		Also: []source.Ref{source.At("aws-d1.1", "preheat measured for max(thickness, 3 in) in all directions", source.Read)},
		Why:  "a reading taken where the flame just was tells of the flame, not of the steel",
		Skip: "the weld is laid over a hot skin on a cold plate",
	}}, nil
}
