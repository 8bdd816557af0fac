package plan

import (
	"soundmetal/gate"
	"soundmetal/job"
	q "soundmetal/quantity"
)

// HoldReport is the answer to "will it hold" by itself, with every life drawn.
type HoldReport struct {
	Version  int        `json:"version" doc:"version of the plan format"`
	Units    q.System   `json:"units" doc:"system that leads in the texts: us or si"`
	Job      string     `json:"job" doc:"name of the job"`
	Made     job.Day    `json:"made,omitempty" doc:"day the dates count from"`
	Need     q.Time     `json:"need" doc:"hours of work asked for with the crack in, s"`
	NeedFrom string     `json:"need_from" doc:"where those hours come from"`
	Cautions []string   `json:"cautions" doc:"the usual cautions"`
	Items    []HeldItem `json:"items" doc:"one entry for each damaged place, in the order of the job file"`
}

// HeldItem is the answer for one damaged place. A place that is refused or
// handed on has the verdict only.
type HeldItem struct {
	Name     string       `json:"name" doc:"name of the place"`
	Part     string       `json:"part,omitempty" doc:"which part"`
	Touch    gate.Verdict `json:"touch" doc:"may it be touched"`
	Sections []Section    `json:"sections,omitempty" doc:"until, cause, hold, next: as far as they could be answered"`
	Hold     *HoldPlan    `json:"hold,omitempty" doc:"the same as data"`
}

// WillHold answers "will it hold" for every place of a job. Hours that nobody asked
// for are taken as three shifts. A refused place has no figure.
func WillHold(j job.Job, shop *job.Shop, sys q.System) (*HoldReport, error) {
	r := &HoldReport{Version: Version, Units: sys, Made: j.Made, NeedFrom: "asked for", Cautions: cautions}
	if !j.Wanted.UntilHours.Known {
		j.Wanted.UntilHours = q.Known(q.Time(rateOf("hold-need").Likely) * q.Hour)
		r.NeedFrom = "not said: three shifts"
	}
	r.Need = j.Wanted.UntilHours.V
	p, err := Make(j, shop, sys)
	if err != nil {
		return nil, err
	}
	r.Job = p.Job
	for _, it := range p.Items {
		held := HeldItem{Name: it.Name, Part: it.Part, Touch: it.Touch, Hold: it.Hold}
		for _, id := range []string{"until", "cause", "hold", "next"} {
			for _, s := range it.Sections {
				if s.ID == id {
					held.Sections = append(held.Sections, s)
				}
			}
		}
		r.Items = append(r.Items, held)
	}
	return r, nil
}

// Figures gives every figure of the report.
func (r *HoldReport) Figures() []Figure {
	p := Plan{}
	for _, it := range r.Items {
		p.Items = append(p.Items, Item{Sections: it.Sections})
	}
	return p.Figures()
}

// Find gives a figure of the report by its name.
func (r *HoldReport) Find(id string) (Figure, error) { return findFigure(r.Figures(), id) }
