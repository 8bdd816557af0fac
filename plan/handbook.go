package plan

import (
	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
)

// Handbook are the figures of one job as the handbook has them, without the
// welder's own factors: what his actual figures are held against.
type Handbook struct {
	Rods  float64 `json:"rods" doc:"rods of the whole job, pieces"`
	Bead  q.Time  `json:"bead" doc:"time for one bead, welding and what goes with it, s"`
	Gouge q.Time  `json:"gouge,omitempty" doc:"time to gouge 100 mm of one pass, s; absent where no carbon is used"`
	Torch q.Time  `json:"torch,omitempty" doc:"torch time from cold to the preheat, all places together, s; absent without preheat"`
}

// HandbookOf gives the handbook's figures of a job; ok is false where no weld is
// planned.
func HandbookOf(j job.Job, shop *job.Shop, sys q.System) (h Handbook, ok bool) {
	plain := kitOf(shop, sys)
	plain.Factors = job.Factors{}
	if shop != nil {
		shop = &plain
	}
	_, planned := begin(j, shop, sys)
	o := orderOf(j, shop, sys, planned)
	steps, err := price.Hours(o.call, o.shop)
	if len(o.places) == 0 || err != nil {
		return h, false
	}
	return o.handbook(steps), true
}

// handbook takes the figures from a call without own factors and its steps.
func (o *order) handbook(steps []price.Step) (h Handbook) {
	var weld q.Time
	for _, s := range steps {
		if s.ID == "weld" {
			weld += s.Time.Likely
		}
	}
	beads := 0.0
	for i, it := range o.call.Items {
		beads += it.Beads.Likely
		for _, r := range it.Rods {
			h.Rods += r.Count.Likely
		}
		if !it.Passes.None() {
			h.Gouge = price.HandbookFigures().GougePer100mm
		}
		if t, ok := o.places[i].torchTime(); ok {
			h.Torch += usualTime(t.Value)
		}
	}
	h.Bead = weld / q.Time(beads)
	return h
}
