package view

import (
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/sketch"
)

// HeatChart fills the chart of temperature and time from a simulated item; false
// where it has none.
func HeatChart(it plan.ThermalItem, sys q.System) (sketch.Chart, bool) {
	if it.Chart == nil || len(it.Chart.Series) == 0 {
		return sketch.Chart{}, false
	}
	c := sketch.Chart{Floor: q.Known(it.Chart.Floor), Units: sys}
	if v := it.Chart.Ceiling; v != nil {
		c.Ceiling = q.Known(*v)
	}
	for _, s := range it.Chart.Series {
		line := sketch.Series{Name: s.Name}
		for _, p := range s.Points {
			line.Points = append(line.Points, sketch.ChartPoint{At: p.At, T: p.T})
		}
		c.Series = append(c.Series, line)
	}
	for _, b := range it.Chart.Beads {
		c.Beads = append(c.Beads, sketch.BeadMark{At: b.At, Label: b.Label})
	}
	return c, true
}
