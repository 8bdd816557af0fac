package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundmetal/heat"
	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// section begins a section of the item.
func (m *thermalModel) section(id, title string) (Section, figures) { return m.w.section(id, title) }

// modelSection says what was computed.
func (m *thermalModel) modelSection() Section {
	s, f := m.section("model", "What is computed")
	sys := m.w.sys
	text := fmt.Sprintf("A %s of %s, steel at %s, air %s, wind at the work %s.", m.body.Name, nice(m.t, sys), m.start.Text(sys), m.env.Air.Text(sys), m.env.Wind.Text(sys))
	s.add(Note, text, nil)
	eta := m.flame.efficiency
	b := m.flame.basis
	fig := one(f, "flame", "torch", m.flame.power[likely], fmt.Sprintf("%s, %s; %.0f %% into the steel (%.0f to %.0f %%)", m.flame.kind, m.flame.power[likely].Text(sys),
		eta[likely]*100, eta[weak]*100, eta[strong]*100), sys, b)
	s.figure(fig)
	for _, a := range m.assumed {
		s.add(Note, "Taken: "+a+".", nil)
	}
	s.add(Note, "Not in it: the heat of gouging, beads put in by blocks, the cooling of a part held in a clamp or on the ground. Read with crayons. The reading decides, not this.", nil)
	return s
}

// readSection is what the readings changed.
func (m *thermalModel) readSection() Section {
	s, f := m.section("read", "Your readings")
	sys := m.w.sys
	k := m.fit
	for _, r := range m.readings {
		face := "near face"
		if r.Far {
			face = "far face"
		}
		s.add(Note, fmt.Sprintf("%s after %s, %s from the groove, %s.", r.T.Text(sys), r.Time.Text(sys), r.At.Text(sys), face), nil)
	}
	s.figure(count(f, "efficiency", "your flame gives the steel", float64(k.Efficiency), float64(k.Efficiency), fmt.Sprintf("%.0f %% of its heat", k.Efficiency*100), m.fitBasis))
	if len(k.Fitted) > 1 {
		s.figure(count(f, "loss", "the part loses", float64(k.LossFactor), float64(k.LossFactor), fmt.Sprintf("%.2g times the usual", float64(k.LossFactor)), m.fitBasis))
	}
	s.figure(one(f, "misfit", "left between reading and model", k.After, "", sys, m.fitBasis))
	for _, n := range k.AtBound {
		s.add(Caution, capital(n)+" stopped at the end of what can be: doubt the reading, its place, or the torch's power.", &m.fitBasis)
	}
	s.add(Do, "Keep it: torch_efficiency in the shop file makes the next plan start from it.", nil)
	return s
}

// warmSection is the first heat: minutes, gas, how long it stands.
func (m *thermalModel) warmSection() Section {
	s, f := m.section("warm", "Bring it to heat")
	w, sys := m.w, m.w.sys
	if !m.heats {
		s.add(Note, "The steel is at the floor already ("+m.floor.MinimumText(sys)+"): the torch only dries it.", nil)
		return s
	}
	h := m.first[likely]
	if m.cold {
		low, _ := ends(h.Probes, h.Final, m.far[1])
		b := simulatedBasis("heat-reach", "Time until the floor is reached", "")
		s.add(Hold, fmt.Sprintf("This flame does not do it: after %s the coldest far point has %s and wants %s. A bigger torch, two torches, a blanket on the far side or a shelter first; then ask again.",
			m.sweep(1, likely).Until.For.Text(sys), low.Text(sys), m.target.MinimumText(sys)), &b)
		return s
	}
	var t [3]q.Time
	var met [3]bool
	for i := range t {
		t[i], met[i] = heated(m.first[i])
	}
	reach, err := h.Reach(m.floor, m.far[1]...)
	if err == nil {
		reach.Basis.Also = append(reach.Basis.Also, m.points.Ref, m.flame.basis.Ref)
		reach.Basis.Notes = append(reach.Basis.Notes, fmt.Sprintf("the flame burns on to %s so that the heat stands a while", m.target.Text(sys)),
			"low end with the most that this kind of torch gives, high end with the least")
		s.figure(one(f, "reach", "far points at "+m.floor.MinimumText(sys), reach.Value, "after about "+niceWait(reach.Value, sys), sys, reach.Basis))
	}
	span := q.Span(min(t[strong], t[likely]), max(t[weak], t[likely]))
	text := "about " + niceWait(t[likely], sys) + "; " + niceTimes(span, sys)
	if !met[weak] {
		text = "about " + niceWait(t[likely], sys) + "; a weak flame does not bring it in " + t[weak].Text(sys)
	}
	s.figure(between(f, "torch", "torch, round the groove", span, text, sys, reach.Basis))
	if r, err := heat.Soak(m.t); err == nil {
		s.figure(one(f, "soak", "then soak", r.Value, niceWait(r.Value, sys)+" or more, flame away", sys, r.Basis))
	}
	s.add(Do, fmt.Sprintf("Read on the far face %s from the groove on both sides and past its ends: every one must show %s.", nice(max(m.t, 75*q.Millimetre), sys), m.floor.MinimumText(sys)), &m.points)
	if w.it.Access != job.BothSides {
		s.add(Note, "No way to the far face: keep the flame on that long all the same, take it away, wait as the plan says, and read the near face at the same distance.", nil)
	}
	peak := m.peak(h, "flame")
	s.figure(one(f, "under", "hottest under the flame", peak, peak.Text(sys), sys, simulatedBasis("heat-under", "Face under the flame", "", "half-way along the groove, a flame's radius from its edge")))
	if m.ceiling.Known && peak > m.ceiling.V && w.onQT() {
		s.add(Caution, "Quenched steel may be in it: heat in turns, flame away while the heat goes through, so that no place gets hotter than its ceiling for long. It then takes longer.", nil)
	}
	m.fallLine(&s, f)
	m.gasLines(&s, f)
	return s
}

func (m *thermalModel) peak(h conduct.History, probe string) q.Temperature {
	best := q.Temperature(math.Inf(-1))
	for i, p := range h.Probes {
		if p.Name == probe {
			best = max(best, slices.Max(h.Temps[i]))
		}
	}
	return best
}

// fallLine is how long the heat stands without the flame.
func (m *thermalModel) fallLine(s *Section, f figures) {
	var low, high q.Time
	var basis source.Basis
	for _, which := range []int{likely, weak, strong} {
		h := m.first[which]
		off, met := heated(h)
		if !met {
			continue
		}
		r, err := h.FallsBelow(m.floor, off, slices.Concat(m.far[1], m.read[1])...)
		if err != nil {
			if which == likely {
				s.add(Note, "Once warm it stays above the floor for hours.", nil)
				return
			}
			continue
		}
		if which == likely {
			low, high, basis = r.Value, r.Value, r.Basis
		}
		low, high = min(low, r.Value), max(high, r.Value)
	}
	if high > 0 {
		s.figure(between(f, "stands", "flame off, above the floor for", q.Span(low, high), niceTimes(q.Span(low, high), m.w.sys)+": have the rod in the holder", m.w.sys, basis))
	}
}

// gasLines are the gas of the first heat and of the whole job, against the bottles.
func (m *thermalModel) gasLines(s *Section, f figures) {
	w, sys := m.w, m.w.sys
	gas, oxy := fuelGas(m.flame.kind)
	p := m.flame.power[likely]
	use, err := power.GasFor(gas, p, oxy)
	if err != nil {
		return
	}
	r := &rigWork{j: w.j, shop: w.shop, sys: sys, planned: []*work{w}}
	d := r.bottleDraw(gas)
	if d.any && d.err == "" && float64(d.power) < float64(p)*(1-1e-9) {
		n := math.Ceil(float64(p/d.one) - 1e-9)
		s.figure(one(f, "bottles", "bottles today", d.power, fmt.Sprintf("NOT enough: needs %.0f bottles tied together, not %.0f (%s: %s)", n, d.count, d.at, d.power.Text(sys)), sys, d.basis))
		s.add(Caution, fmt.Sprintf("The minutes here hold for the torch at %s. With fewer bottles they frost, the flame falls, and it takes longer. Never warm a bottle with the torch.", p.Text(sys)), &d.basis)
	} else if d.any && d.err == "" {
		s.figure(one(f, "bottles", "bottles today", d.power, fmt.Sprintf("enough: %s, %s: %s", bottleCount(d.count), d.at, d.power.Text(sys)), sys, d.basis))
	} else if d.err != "" {
		s.add(Note, "Whether the bottles give that is not known: "+d.err+".", nil)
	} else {
		s.add(Note, "No "+string(gas)+" bottle in the shop file: whether one gives that at this temperature is not known.", nil)
	}
	joules := func(h conduct.History, first bool) float64 {
		sum := 0.0
		for _, k := range h.Marks {
			if sum += float64(k.Gross); first && k.Kind == "torch" {
				break
			}
		}
		return sum
	}
	line := func(name, label string, first bool, from [3]conduct.History) {
		low, high := math.Inf(1), 0.0
		for _, which := range []int{weak, likely, strong} {
			if len(from[which].Marks) == 0 {
				continue
			}
			if _, met := heated(from[which]); !met {
				continue
			}
			e := joules(from[which], first)
			low, high = min(low, e), max(high, e)
		}
		if high == 0 {
			return
		}
		b := source.Basis{Method: "gas-use", Title: "Gas of the torch", Formula: "gross heat burnt / heat of the gas", Ref: use.Basis.Ref, Also: use.Basis.Also,
			Steps: []source.Step{{Name: "gross heat", Text: q.Of[q.Energy]{Low: q.Energy(low), High: q.Energy(high)}.Text(sys)}}}
		m.gasFigure(s, f, name, label, gas, use.Value, p, low, high, b)
	}
	line("gas", string(gas)+", first heat", true, m.first)
	all := m.band
	all[likely] = m.full
	if len(m.full.Marks) > 0 {
		line("gas-all", string(gas)+", all heating", false, all)
	}
}

func bottleCount(n float64) string {
	if n == 1 {
		return "1 bottle"
	}
	return fmt.Sprintf("%.0f bottles", n)
}

// gasFigure prints an amount of gas beside what the truck has.
func (m *thermalModel) gasFigure(s *Section, f figures, name, label string, gas job.Gas, use power.GasUse, p q.Power, low, high float64, b source.Basis) {
	w, sys := m.w, m.w.sys
	if gas == "propane" {
		per := float64(use.Mass) / float64(p)
		need := q.Of[q.Mass]{Low: q.Mass(low * per), High: q.Mass(high * per)}
		text := need.Text(sys)
		have, known := q.Mass(0), false
		if w.shop != nil {
			for _, bottle := range w.shop.Bottles {
				if bottle.Gas == gas && bottle.Size.Known && bottle.Left.Known {
					have, known = have+bottle.Size.V*q.Mass(float64(bottle.Left.V)*bottle.Count.Or(1)), true
				}
			}
		}
		if known {
			text += "; " + lastText(float64(have), float64(need.High), have.Text(sys))
		}
		s.figure(between(f, name, label, need, text, sys, b))
		return
	}
	per := float64(use.Gas) / float64(p)
	need := q.Of[q.Volume]{Low: q.Volume(low * per), High: q.Volume(high * per)}
	s.figure(between(f, name, label, need, gasVolumes(need, sys), sys, b))
}

// beadSection is where to wait, where to re-heat, and how fast the beads cool.
func (m *thermalModel) beadSection(all []ThermalBead) Section {
	s, f := m.section("beads", "Bead by bead")
	sys := m.w.sys
	var waits, reheats int
	var waited, reheated, begin, end q.Time
	for i, b := range all {
		if b.Waited > 0 {
			waits, waited = waits+1, waited+b.Waited
		}
		if b.Reheated > 0 {
			reheats, reheated = reheats+1, reheated+b.Reheated
		}
		if i == 0 {
			begin = b.Start
		}
		end = m.full.Beads[i].End
	}
	note := "by the likely flame; each bead from end to end, the next from the other end"
	if waits > 0 {
		s.figure(one(f, "waits", "waits for the ceiling", waited, strings.Replace(times(waits), " times", "", 1)+niceWait(waited, sys), sys, simulatedBasis("heat-waits", "Waits between beads", "wait while a reading point is above the ceiling", note)))
	} else if m.ceiling.Known {
		s.add(Note, "No wait for the ceiling is expected.", nil)
	}
	if reheats > 0 {
		s.figure(one(f, "reheats", "re-heating", reheated, times(reheats)+niceWait(reheated, sys), sys, simulatedBasis("heat-reheats", "Torch between beads", "torch while a reading point is below the floor", note)))
	} else {
		s.add(Note, "No re-heating between the beads is expected: the arc keeps it warm.", nil)
	}
	s.figure(one(f, "time", "first arc to last", end-begin, niceWait(end-begin, sys), sys, simulatedBasis("heat-time", "From the first arc to the last", "arc + rods + chipping + waits + torch", note)))
	if bad := missed(all); bad != "" {
		s.add(Caution, "Floor and ceiling could not both be kept before bead "+bad+": read, and do not weld outside the window.", nil)
	}
	m.coolingTimes(&s, f, all)
	s.add(Do, "Read before every bead at "+nice(min(4*m.t, 50*q.Millimetre), sys)+" from the groove, beside the last bead, and on the far face "+nice(max(m.t, 75*q.Millimetre), sys)+" from the groove: the table says what to expect.", &m.points)
	return s
}

// times is how often something is done, before how long it takes together.
func times(n int) string {
	if n == 1 {
		return "once, "
	}
	return fmt.Sprintf("%d times, together ", n)
}

// coolingTimes are t8/5 over the beads and the hardness that comes of it.
func (m *thermalModel) coolingTimes(s *Section, f figures, all []ThermalBead) {
	sys := m.w.sys
	low, high, flow, fhigh := q.Time(math.Inf(1)), q.Time(0), q.Time(math.Inf(1)), q.Time(0)
	n, first := 0, -1
	for i, b := range all {
		if b.T85 != nil {
			low, high, n = min(low, *b.T85), max(high, *b.T85), n+1
			if first < 0 || *b.T85 < *all[first].T85 {
				first = i
			}
		}
		if b.Formula != nil {
			flow, fhigh = min(flow, *b.Formula), max(fhigh, *b.Formula)
		}
	}
	if n == 0 {
		s.add(Note, "No bead has a cooling time at this level: use the closed form of the plan, or --level working.", nil)
		return
	}
	r, err := m.full.CoolingTime(first)
	if err != nil {
		return
	}
	seconds := func(a, b q.Time) string {
		if math.Round(float64(a)*10) == math.Round(float64(b)*10) {
			return fmt.Sprintf("%.1f s", float64(a))
		}
		return fmt.Sprintf("%.1f to %.1f s", float64(a), float64(b))
	}
	spread := "good to a fifth"
	if m.level == conduct.Coarse {
		spread = "good to a third"
	}
	text := seconds(low, high) + ", " + spread
	if fhigh > 0 {
		text += "; closed form " + seconds(flow, fhigh)
	}
	if f := all[first].Formula; f != nil && float64(*all[first].T85) < 0.7*float64(*f) {
		defer s.add(Note, fmt.Sprintf("Bead %d cools faster than the closed form says: the form knows a plate of one heat, and this bead has steel on three sides and colder steel beyond the band.", all[first].Number), nil)
	}
	r.Basis.Notes = append(r.Basis.Notes, "shortest and longest mean of a bead that heats base metal; the shortest is shown in full")
	s.figure(between(f, "t85", "cooling time t8/5", q.Of[q.Time]{Low: low, High: high}, text, sys, r.Basis))
	var worst source.Result[heat.Hardness]
	for _, l := range m.w.held.steels {
		if l.steel.Unknown || l.family.Group == "manganese" || l.family.Group == "stainless" {
			continue
		}
		if v, err := heat.HAZHardness(heat.HardnessInput{Steel: l.steel, Cooling: low}); err == nil && v.Value.HV > worst.Value.HV {
			worst = v
		}
	}
	if v := worst.Value; v.HV > 0 {
		s.figure(between(f, "hardness", "hardness beside the weld", q.Of[q.Vickers]{Low: v.Low, High: v.High},
			fmt.Sprintf("about %.0f HV at the shortest, models %.0f to %.0f", float64(v.HV), float64(v.Low), float64(v.High)), sys, worst.Basis))
	}
}

// coolSection is the cooling with and without a blanket.
func (m *thermalModel) coolSection() Section {
	s, f := m.section("cool", "Let it cool")
	sys := m.w.sys
	level := q.Temperature(coldEnough).Text(sys)
	label := "below " + level
	if t, ok := m.cooling(m.full); ok {
		how := "without a blanket"
		if m.covered {
			how = "under a blanket"
		}
		b := simulatedBasis("heat-cools", "Cooling after the last bead", "", "every reading point on both faces")
		b.Also = append(b.Also, source.At("practice", "blanket of 25 mm ceramic fibre", source.Memory))
		s.figure(one(f, "covered", label+", "+how, t, niceWait(t, sys), sys, b))
	} else {
		s.add(Note, "It is not below "+level+" after two days.", nil)
	}
	with, ok1 := m.cooling(m.bed)
	without, ok2 := m.cooling(m.bare)
	if m.covered && ok1 && ok2 {
		b := simulatedBasis("heat-cools", "Cooling without a blanket", "", "both at one level; blanket on the faces you can reach")
		s.figure(one(f, "bare", label+", bare", without, fmt.Sprintf("%s: the blanket makes it %.2g times as long", niceWait(without, sys), float64(with/without)), sys, b))
	}
	s.add(Note, "Not over the floor the whole time? Then the hydrogen below counts from a colder weld than this one.", nil)
	return s
}
