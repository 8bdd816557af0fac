package plan

// What a reading is expected to show, face by face: the band over the reading
// points of that face and over the weak, the likely and the strong flame. The
// logged readings are held against it.

import (
	"math"
	"slices"
	"strings"

	"soundmetal/heat/conduct"
	q "soundmetal/quantity"
)

// ThermalFace is what the reading points of one face show over time.
type ThermalFace struct {
	Far    bool          `json:"far" doc:"the face away from the welder; else his own"`
	From   q.Length      `json:"from" doc:"how near to the groove edge its nearest reading point lies, m"`
	Points []ThermalSpan `json:"points" doc:"time, and the least and the most that a reading point shows"`
}

// ThermalSpan is what may be read at a time.
type ThermalSpan struct {
	At   q.Time        `json:"at" doc:"from the lighting of the torch, s"`
	Low  q.Temperature `json:"low" doc:"coldest point by the coldest of the flames, °C"`
	High q.Temperature `json:"high" doc:"hottest point by the hottest of the flames, °C"`
}

// Expected is what a reading at a time should show; false outside the time that
// was followed.
func (f *ThermalFace) Expected(at q.Time) (q.Of[q.Temperature], bool) {
	n := len(f.Points)
	if n == 0 || at < f.Points[0].At || at > f.Points[n-1].At {
		return q.Of[q.Temperature]{}, false
	}
	i, _ := slices.BinarySearchFunc(f.Points, at, func(p ThermalSpan, at q.Time) int { return int(math.Copysign(1, float64(p.At-at))) })
	b := f.Points[min(i, n-1)]
	if i == 0 {
		return q.Of[q.Temperature]{Low: b.Low, High: b.High}, true
	}
	a := f.Points[i-1]
	part := 0.0
	if b.At > a.At {
		part = float64((at - a.At) / (b.At - a.At))
	}
	between := func(x, y q.Temperature) q.Temperature { return x + q.Temperature(part)*(y-x) }
	return q.Of[q.Temperature]{Low: between(a.Low, b.Low), High: between(a.High, b.High)}, true
}

// Face gives a face of the chart, or nil.
func (c *ThermalChart) Face(far bool) *ThermalFace {
	for i := range c.Faces {
		if c.Faces[i].Far == far {
			return &c.Faces[i]
		}
	}
	return nil
}

// Points of a face: so many until the first bead, and so many from there on. The
// heating is short beside the rest and is what the readings are compared with.
const (
	facesHeating = 60
	facesAfter   = 100
)

// faces makes the bands of both faces.
func (m *thermalModel) faces() []ThermalFace {
	if len(m.full.Times) == 0 || len(m.full.Beads) == 0 {
		return nil
	}
	first := m.full.Beads[0].Start
	end := m.full.Times[len(m.full.Times)-1]
	if k, ok := mark(m.full, "cool"); ok {
		end = k.To
	}
	var grid []q.Time
	steps := func(from, to q.Time, n int) {
		for i := range n {
			grid = append(grid, from+(to-from)*q.Time(i)/q.Time(n))
		}
	}
	if first > 0 {
		steps(0, first, facesHeating)
	}
	steps(first, end, facesAfter)
	grid = append(grid, end)
	var all []ThermalFace
	for _, far := range []bool{true, false} {
		f := ThermalFace{Far: far, From: m.nearest(far)}
		for _, t := range grid {
			f.Points = append(f.Points, ThermalSpan{t, q.Temperature(math.Inf(1)), q.Temperature(math.Inf(-1))})
		}
		m.widen(&f, m.full, end, far)
		for _, which := range []int{weak, strong} {
			switch torch, _ := heated(m.first[which]); {
			case len(m.band[which].Times) > 0:
				m.widen(&f, m.band[which], end, far)
			case len(m.first[which].Times) > 0: // no whole run: its heating at least
				m.widen(&f, m.first[which], min(torch, first), far)
			}
		}
		all = append(all, f)
	}
	return all
}

// widen lets one run widen the band of a face, up to a time. Between two points
// of the grid the run's own extremes count: the flame goes by in less.
func (m *thermalModel) widen(f *ThermalFace, h conduct.History, end q.Time, far bool) {
	see := func(p *ThermalSpan, t q.Temperature) { p.Low, p.High = min(p.Low, t), max(p.High, t) }
	for i, probe := range h.Probes {
		side := 1
		if strings.HasSuffix(probe.Name, " 2") {
			side = 2
		}
		if !m.onFace(probe.Name, side, far) {
			continue
		}
		at, k := 0, 0 // of the grid, of the run
		for ; k < len(h.Times) && h.Times[k] <= end; k++ {
			t := h.Times[k]
			if (m.second != nil && m.onSecond(h, t)) != (side == 2) {
				continue
			}
			for at+1 < len(f.Points) && f.Points[at+1].At <= t {
				at++
			}
			see(&f.Points[at], h.Temps[i][k])
			if at+1 < len(f.Points) {
				see(&f.Points[at+1], h.Temps[i][k])
			}
		}
	}
	// a point that no sample of the run fell beside takes those before and after it
	for i := range f.Points {
		if p := &f.Points[i]; p.Low > p.High && i > 0 {
			p.Low, p.High = f.Points[i-1].Low, f.Points[i-1].High
		}
	}
	for i := len(f.Points) - 2; i >= 0; i-- {
		if p := &f.Points[i]; p.Low > p.High {
			p.Low, p.High = f.Points[i+1].Low, f.Points[i+1].High
		}
	}
}

// onFace says whether a probe is a reading point of that face while that side is
// welded. Points beside the arc tell of the arc.
func (m *thermalModel) onFace(name string, side int, far bool) bool {
	isFar := slices.Contains(m.far[side], name)
	if far {
		return isFar
	}
	return !isFar && (strings.HasPrefix(name, "read") || strings.HasPrefix(name, "band"))
}

// nearest is how near to the groove edge the points of a face come.
func (m *thermalModel) nearest(far bool) q.Length {
	best := q.Length(math.Inf(1))
	for _, p := range m.probes {
		if !strings.HasSuffix(p.Name, " 2") && p.At.X == 0 && m.onFace(p.Name, 1, far) {
			best = min(best, q.Length(math.Abs(float64(p.At.Y)))-m.top[1]/2)
		}
	}
	if math.IsInf(float64(best), 0) {
		return 0
	}
	return q.Length(math.Round(float64(best)*1e6) / 1e6)
}
