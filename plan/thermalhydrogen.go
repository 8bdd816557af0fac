package plan

// Hydrogen in the section half-way along the groove, through the simulated
// history: after cooling, after a post-heat, when it is tested.

import (
	"fmt"
	"math"
	"slices"

	"soundmetal/heat/conduct"
	"soundmetal/heat/diffuse"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// hydrogenSection is what is left of what a bead brings.
func (m *thermalModel) hydrogenSection() (Section, error) {
	s, f := m.section("hydrogen", "Hydrogen")
	w, sys := m.w, m.w.sys
	if w.austenitic() {
		s.add(Note, "This rod keeps its hydrogen in itself: the model is that of ferritic weld metal and says nothing here.", nil)
		return s, nil
	}
	sec := m.full.Section
	const cell = q.Millimetre
	shape, err := diffuse.FromSection(sec, cell, false)
	if err != nil {
		return s, err
	}
	run := func(sec *conduct.Section, end q.Time) (diffuse.Band, source.Basis, error) {
		r, err := diffuse.Run(m.ctx, diffuse.Case{Shape: shape, Temperature: diffuse.OfSection(sec), End: end})
		return r.Value, r.Basis, err
	}
	end := m.full.Times[len(m.full.Times)-1]
	last := m.full.Beads[len(m.full.Beads)-1].End
	band, basis, err := run(sec, end)
	if err != nil {
		return s, err
	}
	basis.Notes = append(basis.Notes, "section half-way along the groove", "slow side: a fifth of the diffusivity")
	if k, ok := mark(m.full, "cool"); ok && k.Met {
		at := q.Span(peakAt(band.Fast, k.To), peakAt(band.Slow, k.To))
		s.figure(between(f, "cooled", "highest place, when at "+q.Temperature(coldEnough).Text(sys), at, m.leftText(at), sys, basis))
	}
	if m.last > 0 {
		at := band.EndPeak()
		s.figure(between(f, "tested", "when it is tested, "+m.last.Text(sys)+" later", at, m.leftText(at), sys, basis))
	}
	if err := m.postLines(&s, f, shape, sec, last); err != nil {
		return s, err
	}
	if h, ok := w.holdTime(); ok {
		text := h.Value.Text(sys) + " after the last bead"
		if h.Value == 0 {
			text = "as soon as it is cold"
		}
		s.figure(one(f, "delay", "final crack test not before", h.Value, text+", by rule", sys, h.Basis))
		s.add(Note, "The delay is the rule's, not the model's: a crack may open long after most of the hydrogen has gone to where it does harm.", nil)
	}
	return s, nil
}

// leftText is a part of what a bead brings, and the amount where the rod's is known.
func (m *thermalModel) leftText(r q.Of[q.Ratio]) string {
	text := fmt.Sprintf("%.0f to %.0f %% of a fresh bead's", math.Floor(float64(r.Low)*100), math.Ceil(float64(r.High)*100))
	if h := m.w.rod.hydrogen; m.w.rod.known && h > 0 {
		text += fmt.Sprintf(", at most %s", (h * q.Hydrogen(r.High)).Text(m.w.sys))
	}
	return text
}

// peakAt is the highest place of a history at a time.
func peakAt(h diffuse.History, t q.Time) q.Ratio {
	i, _ := slices.BinarySearch(h.Times, t)
	if i == 0 {
		return h.Peak[0]
	}
	if i >= len(h.Times) {
		return h.Peak[len(h.Peak)-1]
	}
	part := q.Ratio((t - h.Times[i-1]) / (h.Times[i] - h.Times[i-1]))
	return h.Peak[i-1] + part*(h.Peak[i]-h.Peak[i-1])
}

// postLines are what a post-heat leaves, how long it would take, and the rule.
func (m *thermalModel) postLines(s *Section, f figures, shape diffuse.Shape, sec *conduct.Section, last q.Time) error {
	w, sys := m.w, m.w.sys
	rule := rateOf("post-inch")
	var at q.Temperature
	hours := max(q.Time(rule.Likely*float64(m.t/q.Inch))*q.Hour, q.Hour)
	wanted := false
	if r, ok := w.postHeat(); ok {
		at, hours, wanted = r.Value.Temperature.Mid(), r.Value.Time, true
	} else {
		const usual = 250 // °C: in the middle of what practice names
		at = usual
		if m.ceiling.Known {
			at = min(at, m.ceiling.V)
		}
	}
	if !wanted {
		s.add(Note, "This plan asks for no post-heat. If you want one, at the highest heat that the steel bears between beads:", nil)
	}
	left, err := diffuse.Run(m.ctx, diffuse.Case{Shape: shape, Temperature: diffuse.OfSection(warmed(sec, last, at, hours)), End: last + hours})
	if err != nil {
		return err
	}
	peak := left.Value.EndPeak()
	ruleBasis := source.Basis{Method: "postheat", Title: "Post-heat by the rule of the shop", Formula: "hours = thickness in inches, one at least", Ref: rule.Ref}
	s.figure(one(f, "rule", "rule: at "+at.Text(sys), hours, hours.Text(sys)+" (an hour an inch)", sys, ruleBasis))
	s.figure(between(f, "posted", "  it leaves", peak, m.leftText(peak), sys, left.Basis))
	goal := rateOf("hydrogen-left").Likely
	r, err := diffuse.PostHeat(m.ctx, diffuse.Case{Shape: shape, Temperature: diffuse.OfSection(sec), End: last}, at, q.Ratio(goal))
	if err != nil {
		return err
	}
	text := niceTimes(r.Value, sys)
	switch {
	case r.Value.High == 0:
		text = "none: it is so far down when the last bead is laid"
	case r.Value.Low == 0:
		text = "up to " + niceWait(r.Value.High, sys)
	}
	s.figure(between(f, "post", fmt.Sprintf("  by diffusion, to %.0f %%", goal*100), r.Value, text, sys, r.Basis))
	s.add(Note, "Why they differ: the rule grows with the thickness, diffusion with its square. The hydrogen of a weld sits in the last beads, some millimetres deep, and only its highest place has to come down; a part charged all through would take far longer than the rule.", nil)
	return nil
}

// warmed is the section's history until a time, and then one temperature.
func warmed(sec *conduct.Section, until q.Time, at q.Temperature, hours q.Time) *conduct.Section {
	out := *sec
	n, _ := slices.BinarySearch(sec.Times, until)
	n = max(n, 1)
	out.Times, out.Temps = slices.Clone(sec.Times[:n]), slices.Clone(sec.Temps[:n])
	flat := make([]float32, len(sec.LaidBy))
	for i := range flat {
		flat[i] = float32(at)
	}
	const soon = q.Minute
	out.Times = append(out.Times, max(until, out.Times[n-1])+soon, until+hours+soon)
	out.Temps = append(out.Temps, flat, flat)
	return &out
}
