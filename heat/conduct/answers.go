package conduct

// What the welder asks of a history: how long to heat, how long it holds, when
// it is cold. All are read from the kept temperatures, straight in between.

import (
	"fmt"
	"math"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// simulated is the basis that every answer of this package shares.
func simulated(id, title string) source.Basis {
	return source.Basis{
		Method:  id,
		Title:   title,
		Formula: "V·dH/dt = Σ(A/d)·ΔΘ + Q − A·[h·(Ts−Ta) + εσ·(Ts⁴−Ta⁴)], Θ = ∫k dT",
		Ref:     source.At("douglas-gunn", "alternating directions, increment form", source.Memory),
		Also: []source.Ref{
			source.At("en1993-1-2", "3.4.1: k, c", source.Read),
			source.At("iso6946", "h = 4 + 4v", source.Memory),
			source.At("pham", "correction of the slope of the enthalpy", source.Memory),
		},
	}
}

// probe finds a probe's number.
func (h *History) probe(name string) (int, error) {
	for i, p := range h.Probes {
		if p.Name == name {
			return i, nil
		}
	}
	return 0, fmt.Errorf("no probe %q in the history", name)
}

// Temperature gives the temperature at a probe and time.
func (h *History) Temperature(probe string, t q.Time) (q.Temperature, error) {
	p, err := h.probe(probe)
	if err != nil {
		return 0, err
	}
	last := len(h.Times) - 1
	const hair = 1e-9 // of rounding in the sum of the steps
	if t > h.Times[last] && t <= h.Times[last]*(1+hair)+hair {
		t = h.Times[last]
	}
	if t < h.Times[0] || t > h.Times[last] {
		return 0, fmt.Errorf("%.4g min lies outside the %.4g min computed", t.Minutes(), h.Times[last].Minutes())
	}
	i := 1
	for i < last && h.Times[i] < t {
		i++
	}
	if last == 0 {
		return h.Temps[p][0], nil
	}
	a, b := h.Times[i-1], h.Times[i]
	f := 0.0
	if b > a {
		f = float64((t - a) / (b - a))
	}
	return h.Temps[p][i-1] + q.Temperature(f)*(h.Temps[p][i]-h.Temps[p][i-1]), nil
}

// cross finds when the lowest (or highest) of some probes first goes through a
// level after a time: up says from below.
func (h *History) cross(level q.Temperature, since q.Time, up, lowest bool, probes []string) (when q.Time, which string, ok bool, err error) {
	var ids []int
	for _, n := range probes {
		p, err := h.probe(n)
		if err != nil {
			return 0, "", false, err
		}
		ids = append(ids, p)
	}
	if len(ids) == 0 {
		return 0, "", false, fmt.Errorf("name at least one probe")
	}
	pick := func(i int) (float64, int) {
		v, at := math.Inf(1), 0
		if !lowest {
			v = math.Inf(-1)
		}
		for _, p := range ids {
			t := float64(h.Temps[p][i])
			if lowest && t < v || !lowest && t > v {
				v, at = t, p
			}
		}
		return v, at
	}
	var old float64
	begun := false
	for i, t := range h.Times {
		if t < since {
			continue
		}
		v, at := pick(i)
		hit := v >= float64(level)
		if !up {
			hit = v < float64(level)
		}
		if hit {
			if !begun {
				return t, h.Probes[at].Name, true, nil
			}
			f := (float64(level) - old) / (v - old)
			return h.Times[i-1] + q.Time(f)*(t-h.Times[i-1]), h.Probes[at].Name, true, nil
		}
		old, begun = v, true
	}
	return 0, "", false, nil
}

func (h *History) extreme(lowest bool, probes []string) float64 {
	best := math.Inf(-1)
	for i := range h.Times {
		v := math.Inf(1)
		if !lowest {
			v = math.Inf(-1)
		}
		for _, n := range probes {
			p, _ := h.probe(n)
			t := float64(h.Temps[p][i])
			if lowest {
				v = min(v, t)
			} else {
				v = max(v, t)
			}
		}
		best = max(best, v)
	}
	return best
}

// Reach gives the time, from the start, until every named probe has reached a
// temperature: the minutes of torch.
func (h *History) Reach(floor q.Temperature, probes ...string) (source.Result[q.Time], error) {
	when, last, ok, err := h.cross(floor, 0, true, true, probes)
	if err != nil {
		return source.Result[q.Time]{}, err
	}
	if !ok {
		return source.Result[q.Time]{}, fmt.Errorf("%.0f °C is not reached at every one of %s; the coldest of them comes to %.0f °C: more heat, more time, shelter or a blanket is needed",
			floor.C(), strings.Join(probes, ", "), h.extreme(true, probes))
	}
	b := simulated("heat-reach", "Time until the floor is reached at the reading points")
	b.Inputs = []source.Input{{Name: "floor", Text: fmt.Sprintf("%.0f °C", floor.C())}, {Name: "reading points", Text: strings.Join(probes, ", ")}}
	b.Steps = []source.Step{
		{Name: "last point to reach it", Text: last},
		{Name: "time", Value: when.Minutes(), Unit: "min"},
	}
	b.Notes = h.notes()
	b.Why = "the flamed face is hot long before the metal behind it: only the far points tell that the heat went through"
	b.Skip = "the first pass is laid over cold metal, cools too fast, turns hard and cracks"
	return source.Result[q.Time]{Value: when, Basis: b}, nil
}

// FallsBelow gives how long after since the first of the named probes is below
// a temperature.
func (h *History) FallsBelow(floor q.Temperature, since q.Time, probes ...string) (source.Result[q.Time], error) {
	when, first, ok, err := h.cross(floor, since, false, true, probes)
	if err != nil {
		return source.Result[q.Time]{}, err
	}
	if !ok {
		return source.Result[q.Time]{}, fmt.Errorf("none of %s falls below %.0f °C in the %.0f min computed", strings.Join(probes, ", "), floor.C(), h.Times[len(h.Times)-1].Minutes())
	}
	b := simulated("heat-holds", "Time until the part is below the floor")
	b.Inputs = []source.Input{
		{Name: "floor", Text: fmt.Sprintf("%.0f °C", floor.C())},
		{Name: "counted from", Text: fmt.Sprintf("%.1f min", since.Minutes())},
		{Name: "reading points", Text: strings.Join(probes, ", ")},
	}
	b.Steps = []source.Step{{Name: "first point to fall", Text: first}, {Name: "time", Value: (when - since).Minutes(), Unit: "min"}}
	b.Notes = h.notes()
	b.Why = "this is the time you have to start welding, or between beads, before the torch must come back"
	b.Skip = "beads go onto metal that looks hot and is not"
	return source.Result[q.Time]{Value: when - since, Basis: b}, nil
}

// CoolsTo gives how long after since every named probe is below a temperature.
func (h *History) CoolsTo(level q.Temperature, since q.Time, probes ...string) (source.Result[q.Time], error) {
	when, last, ok, err := h.cross(level, since, false, false, probes)
	if err != nil {
		return source.Result[q.Time]{}, err
	}
	if !ok {
		return source.Result[q.Time]{}, fmt.Errorf("not every one of %s is below %.0f °C in the %.0f min computed", strings.Join(probes, ", "), level.C(), h.Times[len(h.Times)-1].Minutes())
	}
	b := simulated("heat-cools", "Time until the part has cooled")
	b.Inputs = []source.Input{{Name: "down to", Text: fmt.Sprintf("%.0f °C", level.C())}, {Name: "counted from", Text: fmt.Sprintf("%.1f min", since.Minutes())}}
	b.Steps = []source.Step{{Name: "last point to cool", Text: last}, {Name: "time", Value: (when - since).Minutes(), Unit: "min"}}
	b.Notes = h.notes()
	b.Why = "hydrogen leaves while the metal is warm, and the waiting time for testing counts from the end of the weld"
	b.Skip = "a crack that opens overnight is missed by a test made too early"
	return source.Result[q.Time]{Value: when - since, Basis: b}, nil
}

// CoolingTime gives t8/5 of a bead, counted from 0, in its heat-affected zone.
func (h *History) CoolingTime(bead int) (source.Result[Cooling], error) {
	if bead < 0 || bead >= len(h.Beads) {
		return source.Result[Cooling]{}, fmt.Errorf("no bead %d in the history, it has %d", bead+1, len(h.Beads))
	}
	r := h.Beads[bead]
	if !r.Cooling.T85.Known {
		return source.Result[Cooling]{}, fmt.Errorf("%s heats no base metal above 800 °C: it lies on the beads before it (hottest base metal %.0f °C)", r.Name, r.Cooling.Peak.C())
	}
	b := simulated("heat-t85", "Cooling time from 800 to 500 °C in the heat-affected zone")
	b.Inputs = []source.Input{{Name: "bead", Text: r.Name}}
	for i, p := range h.Probes {
		b.Inputs = append(b.Inputs, source.Input{Name: "before it at " + p.Name, Text: fmt.Sprintf("%.0f °C", r.Before[i].C()), From: "simulation"})
	}
	c := r.Cooling
	b.Steps = []source.Step{
		{Name: "cells of the zone", Formula: "peak 900 to 1450 °C, half-way along", Value: float64(c.Cells), Unit: "1"},
		{Name: "shortest", Value: float64(c.T85.V.Low), Unit: "s"},
		{Name: "longest", Value: float64(c.T85.V.High), Unit: "s"},
		{Name: "mean", Value: float64(c.Mean), Unit: "s"},
	}
	b.Notes = h.notes()
	if c.Cells == 0 {
		b.Notes = append(b.Notes, "the grid is too coarse for the zone: the hottest cell of base metal stands for it")
	}
	if h.Size.Level == Coarse {
		b.Notes = append(b.Notes, "coarse grid: t8/5 is good to a third only")
	}
	b.Why = "how fast the zone falls from 800 to 500 °C decides how hard it becomes"
	b.Skip = "too fast is hard and cracks, too slow is coarse and weak in quenched steel"
	return source.Result[Cooling]{Value: c, Basis: b}, nil
}

func (h *History) notes() []string {
	n := []string{
		fmt.Sprintf("%d × %d × %d cells, %d steps, %s level; energy balance open by %.3f %%",
			h.Size.NX, h.Size.NY, h.Size.NZ, h.Size.Steps, h.Size.Level, math.Abs(float64(h.Ledger.Imbalance()))*100),
		"torch efficiency, wind and surface are assumed unless calibrated by a reading: measure before you weld",
	}
	return append(n, h.Notes...)
}
