package plan

// The runs of the simulation: the first heat three times for its band, the whole
// repair once at the level asked for, and at the coarse level with a weak and a
// strong flame and without a blanket.

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/heat"
	"soundmetal/heat/conduct"
	q "soundmetal/quantity"
)

// run computes one case and tells the progress.
func (m *thermalModel) run(name string, c conduct.Case, o conduct.Options) (conduct.History, error) {
	m.part++
	if m.progress != nil {
		say := ThermalProgress{Item: m.w.name(), Run: name, Part: m.part, Of: m.of}
		m.progress(say)
		o.Progress = func(p conduct.Progress) {
			say.Event, say.Simulated = p.Name, p.Time
			m.progress(say)
		}
	}
	return conduct.Run(m.ctx, c, o)
}

// calibrate fits torch and loss to the readings. The flame burns on while they
// are taken.
func (m *thermalModel) calibrate(all []HeatReading) error {
	var last q.Time
	var readings []conduct.Reading
	for _, r := range all {
		z := m.t
		if r.Far {
			z = 0
		}
		readings = append(readings, conduct.Reading{At: conduct.At(0, m.top[1]/2+r.At, z), Time: r.Time, T: r.T})
		last = max(last, r.Time)
	}
	c := m.caseOf()
	torch := m.sweep(1, likely)
	torch.Until = conduct.Until{For: last}
	c.Events = []conduct.Event{torch}
	k, err := conduct.Calibrate(m.ctx, c, readings, conduct.Options{Level: conduct.Coarse})
	if err != nil {
		return err
	}
	m.fit, m.fitBasis, m.readings = &k.Value, k.Basis, all
	s, eta := rateOf("read-torch"), k.Value.Efficiency
	m.flame.efficiency = [3]q.Ratio{eta * q.Ratio(s.Low), eta, min(eta*q.Ratio(s.High), 1)}
	for i := range m.flame.power {
		m.flame.power[i] = m.flame.power[likely]
	}
	m.env.LossFactor = k.Value.LossFactor
	return nil
}

// heated is how long the torch burnt before the first bead, and whether it was enough.
func heated(h conduct.History) (q.Time, bool) {
	for _, k := range h.Marks {
		if k.Kind == "torch" {
			return k.To - k.From, k.Met
		}
	}
	return 0, false
}

// runAll computes what the sections need.
func (m *thermalModel) runAll() error {
	m.heats = m.start < m.floor
	m.of = 4
	if m.heats {
		m.of += 3
	}
	if m.alone {
		m.of -= 2
	}
	if m.level != conduct.Coarse {
		m.of++
	}
	var err error
	names := [3]string{weak: "weak flame", likely: "likely flame", strong: "strong flame"}
	fine := conduct.Options{Level: m.level}
	if m.heats {
		for _, which := range []int{likely, weak, strong} {
			if m.first[which], err = m.run("first heat, "+names[which], m.firstHeat(which), fine); err != nil {
				return err
			}
			if _, met := heated(m.first[which]); !met && which == likely {
				m.cold = true
				return nil
			}
		}
	}
	full := fine
	const picture = 20 * q.Second // apart at least, for the hydrogen
	full.Section = &conduct.SectionOrder{Every: picture}
	if m.full, err = m.run("whole repair", m.whole(likely, m.covered, m.last), full); err != nil {
		return err
	}
	rough := conduct.Options{Level: conduct.Coarse}
	for _, which := range []int{weak, strong} {
		if m.alone {
			break
		}
		if m.heats {
			if _, met := heated(m.first[which]); !met {
				continue
			}
		}
		if m.band[which], err = m.run("whole repair, "+names[which], m.whole(which, m.covered, 0), rough); err != nil {
			return err
		}
	}
	if m.bare, err = m.run("without a blanket", m.whole(likely, false, 0), rough); err != nil {
		return err
	}
	m.bed = m.full
	if m.level != conduct.Coarse {
		if m.bed, err = m.run("with a blanket", m.whole(likely, m.covered, 0), rough); err != nil {
			return err
		}
	}
	return nil
}

// mark finds an event of a history by its name.
func mark(h conduct.History, name string) (conduct.Mark, bool) {
	for _, k := range h.Marks {
		if k.Name == name {
			return k, true
		}
	}
	return conduct.Mark{}, false
}

// cooling is how long after the last bead the whole part is below coldEnough.
func (m *thermalModel) cooling(h conduct.History) (q.Time, bool) {
	k, ok := mark(h, "cool")
	if !ok || !k.Met || len(h.Beads) == 0 {
		return 0, false
	}
	return k.To - h.Beads[len(h.Beads)-1].End, true
}

// ends gives the lowest and the highest reading of some probes.
func ends(probes []conduct.Probe, at []q.Temperature, names []string) (low, high q.Temperature) {
	first := true
	for i, p := range probes {
		if !slices.Contains(names, p.Name) {
			continue
		}
		if first {
			low, high, first = at[i], at[i], false
		}
		low, high = min(low, at[i]), max(high, at[i])
	}
	return low, high
}

// beadRecords are the beads of the likely run.
func (m *thermalModel) beadRecords() []ThermalBead {
	shape, shapeErr := heat.ShapeFactors(heat.ButtFill)
	var all []ThermalBead
	for i, b := range m.full.Beads {
		low, high := ends(m.full.Probes, b.Before, m.read[m.sides[i]])
		row := ThermalBead{Number: i + 1, Side: m.sides[i], Start: b.Start, Coldest: low, Hottest: high, Waited: b.Waited, Reheated: b.Reheated, Ready: b.Ready}
		if r, err := m.full.CoolingTime(i); err != nil {
			row.Why = err.Error()
		} else {
			t := r.Value.Mean
			row.T85 = &t
		}
		if shapeErr == nil {
			r, err := heat.CoolingTime(heat.CoolingInput{Start: max((low+high)/2, 0), HeatInput: m.beads[i].HeatInput(), Thickness: m.t, F2: shape.Value.F2.Mid(), F3: shape.Value.F3})
			if err == nil {
				t := r.Value.Time
				row.Formula = &t
			}
		}
		all = append(all, row)
	}
	return all
}

// chart is the lines of the likely run, and the coldest reading point with the
// weak and the strong flame, until the part is cold.
func (m *thermalModel) chart() *ThermalChart {
	c := &ThermalChart{Floor: m.floor}
	if m.ceiling.Known {
		v := m.ceiling.V
		c.Ceiling = &v
	}
	add := func(name string, h conduct.History, hottest bool) {
		if len(h.Times) == 0 {
			return
		}
		end := h.Times[len(h.Times)-1]
		if k, ok := mark(h, "cool"); ok {
			end = k.To
		}
		s := ThermalSeries{Name: name}
		const most = 500 // points a line can show
		gap, next := end/most, q.Time(-1)
		for i, t := range h.Times {
			if t > end {
				break
			}
			if t < next {
				continue
			}
			next = t + gap
			names := m.read[1]
			if m.second != nil && m.onSecond(h, t) {
				names = m.read[2]
			}
			at := make([]q.Temperature, len(h.Probes))
			for p := range h.Probes {
				at[p] = h.Temps[p][i]
			}
			low, _ := ends(h.Probes, at, names)
			if hottest { // beside the bead the arc goes by: a spike that tells nothing
				_, low = ends(h.Probes, at, slices.DeleteFunc(slices.Clone(names), func(n string) bool { return strings.HasPrefix(n, "edge") }))
			}
			s.Points = append(s.Points, ThermalPoint{t, low})
		}
		c.Series = append(c.Series, s)
	}
	add("coldest reading point", m.full, false)
	add("hottest, off the groove", m.full, true)
	add("coldest, weak flame", m.band[weak], false)
	add("coldest, strong flame", m.band[strong], false)
	for i, b := range m.full.Beads {
		c.Beads = append(c.Beads, ThermalMark{b.Start, fmt.Sprint(i + 1)})
	}
	c.Faces = m.faces()
	return c
}

// onSecond says whether the second side is read at a time.
func (m *thermalModel) onSecond(h conduct.History, t q.Time) bool {
	k, ok := mark(h, "back-gouge")
	return ok && t >= k.To
}

// missed are the beads that floor or ceiling could not be kept for.
func missed(all []ThermalBead) string {
	var bad []string
	for _, b := range all {
		if !b.Ready {
			bad = append(bad, fmt.Sprint(b.Number))
		}
	}
	return strings.Join(bad, ", ")
}
