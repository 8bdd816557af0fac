package plan

import (
	"fmt"

	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// heated takes preheat, re-heating, waits and cooling from a simulation of the
// heat, in place of the first estimate and the usual allowances. A place that it
// does not hold stays as it is. It says whether there was any.
func (o *order) heated(a *ThermalAnswer) bool {
	any := false
	for i, w := range o.places {
		for _, it := range a.Items {
			if it.Number == w.index+1 && len(it.Beads) > 0 {
				w.heatedBy(a, it, &o.call.Items[i])
				any = true
			}
		}
	}
	return any
}

func (w *work) heatedBy(a *ThermalAnswer, it ThermalItem, p *price.Work) {
	figure := func(name string) (Figure, bool) {
		f, err := a.Find(fmt.Sprintf("%d.%s", it.Number, name))
		return f, err == nil
	}
	if f, ok := figure("warm.torch"); ok && f.Low != nil && f.High != nil {
		t := q.Of[q.Time]{Low: q.Time(*f.Low), High: q.Time(*f.High)}
		p.Preheat = scaled(price.Between(t.Low, usualTime(t), t.High), w.firstHeats())
		p.Bases["preheat"] = f.Basis
	}
	var waits, reheats q.Time
	for _, b := range it.Beads {
		waits, reheats = waits+b.Waited, reheats+b.Reheated
	}
	site := rateOf("heat-site")
	p.Waits, p.Reheats = w.onSite("waits", "Waits for the ceiling", waits, site, p), w.onSite("reheat", "Re-heating between beads", reheats, site, p)
	if p.Reheats.None() {
		p.Reheat = job.No
	}
	if f, ok := figure("cool.covered"); ok && f.Value != nil {
		p.Cool = w.onSite("cool", "Cooling until it can be looked at", q.Time(*f.Value), rateOf("heat-cool"), p)
	}
}

// onSite is a simulated time with what the site makes of it, and keeps its basis.
func (w *work) onSite(id, title string, t q.Time, r source.Figure, p *price.Work) price.Range[q.Time] {
	p.Bases[id] = source.Basis{Method: "heat-simulated", Title: title, Formula: "simulated time × what the site makes of it", Ref: r.Ref,
		Steps: []source.Step{{Name: "simulated, all beads", Value: t.Minutes(), Unit: "min"}}, Notes: []string{"`soundmetal heat` shows it bead by bead"}}
	return price.Between(t*q.Time(r.Low), t*q.Time(r.Likely), t*q.Time(r.High))
}
