package plan

import (
	"fmt"

	"soundmetal/heat"
	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Learned are the welder's own figures from his finished jobs.
type Learned struct {
	Version int             `json:"version" doc:"version of this format"`
	Units   q.System        `json:"units" doc:"system that leads in the texts: us or si"`
	Jobs    int             `json:"jobs" doc:"finished jobs read"`
	Figures []LearnedFigure `json:"figures" doc:"rods, bead, gouge and torch"`
	Factors []Factor        `json:"factors" doc:"lines for factors in shop.yaml"`
	Basis   source.Basis    `json:"basis" doc:"method, working, source and status"`
}

// LearnedFigure is one figure: the handbook's, his own, and what is used.
type LearnedFigure struct {
	ID       string   `json:"id" doc:"rods, bead, gouge or torch"`
	Label    string   `json:"label" doc:"what it is"`
	Jobs     int      `json:"jobs" doc:"jobs counted"`
	Ratio    *q.Ratio `json:"ratio,omitempty" doc:"yours over the handbook's; absent without jobs"`
	Factor   q.Ratio  `json:"factor" doc:"used over the handbook's"`
	Weight   q.Ratio  `json:"weight" doc:"weight of your jobs against the handbook"`
	Handbook string   `json:"handbook" doc:"the handbook's figure"`
	Yours    string   `json:"yours" doc:"your figure"`
	Used     string   `json:"used" doc:"the figure that is used"`
	Next     string   `json:"next" doc:"where the next job will lie, four times in five"`
	LeftOut  []string `json:"left_out,omitempty" doc:"jobs left out as slips of the pen"`
}

// Factor is one line for the shop file.
type Factor struct {
	Key   string `json:"key" doc:"key under factors"`
	Value string `json:"value" doc:"its value"`
}

// ActualOf holds a finished job against what was planned: as the file says, else
// as the handbook has it for the job's own file, which may be nil.
func ActualOf(d job.Done, h *Handbook) (price.Actual, error) {
	a := price.Actual{Name: d.Name}
	if a.Name == "" {
		a.Name = d.File
	}
	if h == nil {
		h = &Handbook{}
	}
	fail := func(what string) error {
		return fmt.Errorf("%s: %s was used, and the plan of the job has none; give what was planned", a.Name, what)
	}
	if used := d.Rods.Used; used.Known {
		a.Rods = price.Pair[float64]{Handbook: d.Rods.Planned.Or(h.Rods), Actual: used.V}
		if a.Rods.Handbook <= 0 {
			return a, fail("rod")
		}
	}
	for _, t := range []struct {
		what string
		done job.Timed
		plan q.Time
		at   *price.Pair[q.Time]
	}{{"time for a bead", d.Bead, h.Bead, &a.Bead}, {"gouging", d.Gouge, h.Gouge, &a.Gouge}, {"the torch", d.Torch, h.Torch, &a.Torch}} {
		if used := t.done.Used; used.Known {
			*t.at = price.Pair[q.Time]{Handbook: t.done.Planned.Or(t.plan), Actual: used.V}
			if t.at.Handbook <= 0 {
				return a, fail(t.what)
			}
		}
	}
	return a, nil
}

// Learn makes his own figures of finished jobs. The shop, which may be nil, says
// which torch he has and what he had learned before.
func Learn(history []price.Actual, shop *job.Shop, sys q.System) (*Learned, error) {
	r, err := price.Learn(history)
	if err != nil {
		return nil, err
	}
	a := &Learned{Version: Version, Units: sys, Jobs: len(history), Figures: []LearnedFigure{}, Factors: []Factor{}, Basis: r.Basis}
	for _, l := range r.Value.All() {
		text := func(v q.Ratio) string { return v.Text(sys) }
		if l.ID == "gouge" {
			text = func(v q.Ratio) string {
				return fmt.Sprintf("%.0f s", float64(price.HandbookFigures().GougePer100mm)*float64(v))
			}
		}
		f := LearnedFigure{ID: l.ID, Label: l.Label, Jobs: l.N, Factor: l.Used, Weight: l.Weight, Handbook: text(1), Yours: "-", Used: text(l.Used),
			Next: text(l.Next.Low) + " to " + text(l.Next.High), LeftOut: l.LeftOut}
		if l.Ratio.Known {
			own := l.Ratio.V
			f.Ratio, f.Yours = &own, text(own)
		}
		a.Figures = append(a.Figures, f)
	}
	a.factors(r.Value, kitOf(shop, sys))
	return a, nil
}

// factors are the lines for the shop file: what was learned, and what was there
// before.
func (a *Learned) factors(f price.Factors, shop job.Shop) {
	kind := usualTorch
	if len(shop.Torches) > 0 && shop.Torches[0].Kind != "" {
		kind = shop.Torches[0].Kind
	}
	var usual q.Ratio
	if r, err := heat.UsualTorch(kind); err == nil {
		usual = r.Value.Usual
	}
	own := f.Shop(shop.Factors, usual)
	ratio := func(key string, v q.Maybe[q.Ratio]) {
		if v.Known {
			a.Factors = append(a.Factors, Factor{key, fmt.Sprintf("%.1f%%", 100*float64(v.V))})
		}
	}
	ratio("rods", own.Rods)
	ratio("operating_factor", own.OperatingFactor)
	if t := own.GougePer100mm; t.Known {
		a.Factors = append(a.Factors, Factor{"gouge_per_100mm", fmt.Sprintf("%.0f s", float64(t.V))})
	}
	ratio("torch_efficiency", own.TorchEfficiency)
}
