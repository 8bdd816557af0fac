package plan

import (
	"slices"
	"strings"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
	"soundmetal/strength"
)

// HoldPlan is what the plan says of cause, load, choice of repair and next look.
// Of a place whose approval lies with others it has the causes only.
type HoldPlan struct {
	Causes    []strength.Cause       `json:"causes" doc:"causes of the crack, the heaviest first; the weights are our own judgement"`
	Load      *strength.Load         `json:"load,omitempty" doc:"load that the crack tells of; absent where no figure is given"`
	Repairs   []Repair               `json:"repairs,omitempty" doc:"ways to repair, the longest life at 5 % risk first; what cannot be done last"`
	Planned   string                 `json:"planned,omitempty" doc:"id of the repair that this plan plans"`
	Plate     *strength.PlateDesign  `json:"plate,omitempty" doc:"reinforcing plate drawn to size, for who wants one"`
	Until     *strength.FridayAnswer `json:"until,omitempty" doc:"may it run with the crack in: only where the job asks for hours"`
	Need      q.Time                 `json:"need,omitempty" doc:"hours asked for, s"`
	Look      *NextLook              `json:"look,omitempty" doc:"when to look again after the repair"`
	Restraint *strength.Restrained   `json:"restraint,omitempty" doc:"how stiffly the joint is held, as the heat of this plan takes it"`
	Across    *strength.Movement     `json:"across,omitempty" doc:"how far the weld pulls the sides together, m"`
	Along     *strength.Movement     `json:"along,omitempty" doc:"how much it shortens the part along the weld, m"`
	Assumed   []string               `json:"assumed,omitempty" doc:"what was not known, and what was taken"`
	Missing   []string               `json:"missing,omitempty" doc:"what could not be worked out, and why"`
}

// Repair is one way to repair.
type Repair struct {
	Option strength.Option `json:"option" doc:"the way, its life and what cracks first"`
	Extra  *q.Of[q.Time]   `json:"extra,omitempty" doc:"hours of work over the weld of this plan, s; absent where it has no work"`
}

// strengthWork is what the strength room found, with its workings.
type strengthWork struct {
	holding strength.Holding
	plan    *HoldPlan
	notOurs string // approval that keeps figures from us
	across  source.Result[strength.Movement]
	along   source.Result[strength.Movement]
	look    string // way of looking
}

// settleHold answers cause, load, repairs, hours and next look. It comes last:
// the costs of a repair follow from the weld.
func (w *work) settleHold(approval string) error {
	w.strong = strengthWork{plan: &HoldPlan{}, notOurs: approval}
	h := w.strong.plan
	causes := strength.Causes(strength.SeenIn(w.it))
	w.strong.holding.Causes = &causes
	h.Causes = causes.Value
	switch {
	case approval != "":
		w.noHours("it is handed on (" + approval + "): the approval covers the repair, not work with the crack in")
		return nil
	case len(w.fill.Value.Beads) == 0:
		w.noHours("this place could not be planned: see what is missing")
		return nil
	}
	in := w.holdInput()
	held, err := strength.Hold(in)
	if err != nil {
		return err
	}
	w.strong.holding = held
	h.Load, h.Planned, h.Missing = &held.Load.Value, in.Planned, held.Missing
	for _, a := range held.Assumed {
		if in.Need.Known || !strings.HasPrefix(a, "hours wanted not given") { // nobody asked
			h.Assumed = append(h.Assumed, a)
		}
	}
	for _, o := range held.Repairs.Value {
		r := Repair{Option: o}
		if o.Cost.Known {
			r.Extra = &q.Of[q.Time]{Low: o.Cost.V.Low, High: o.Cost.V.High}
		}
		h.Repairs = append(h.Repairs, r)
	}
	if held.Plate != nil {
		h.Plate = &held.Plate.Value
	}
	switch {
	case held.Friday == nil:
		w.noHours(held.Missing...)
	case in.Need.Known:
		h.Until, h.Need = &held.Friday.Value, in.Need.V
	}
	if held.Look != nil {
		h.Look = nextLook(held.Look.Value, in)
	}
	h.Restraint = &strength.Restrained{Class: w.restraint()}
	w.pull()
	return nil
}

// noHours answers a wish for hours that cannot be worked out.
func (w *work) noHours(why ...string) {
	if need := w.j.Wanted.UntilHours; need.Known {
		w.strong.plan.Need = need.V
		w.strong.plan.Until = &strength.FridayAnswer{Verdict: strength.NotACase, Reasons: why, Limits: []string{"until that is known it does not work"}}
	}
}

// holdInput is what the strength room needs of this item.
func (w *work) holdInput() strength.HoldInput {
	in := strength.HoldInput{Machine: w.j.Machine, Item: w.it, T27J: w.it.Steel.T27J, Lowest: w.j.Machine.Coldest, Need: w.j.Wanted.UntilHours,
		Peak: w.it.Cause.Peak, Sized: strength.ByEye, Stock: w.sys, Draws: int(rateOf("hold-draws").Likely), Seed: 1, Planned: w.plannedRepair()}
	if in.Need.Known {
		in.Draws = 0 // all of them
	}
	if s := w.it.Crack.Sized; s == "dye" || s == "magnetic" {
		in.Sized = strength.ByDye
	}
	for _, s := range w.steels {
		if y, t := s.family.Yield.Low, s.family.Tensile.Low; y > 0 && t > y && (in.Yield == 0 || y < in.Yield) {
			in.Yield, in.Tensile = y, t
		}
	}
	in.Look, in.Surface = "dye", ""
	if w.shop != nil && w.shop.Tests.MT == job.Yes && w.magnetic() {
		in.Look, in.Surface = "magnetic", "as-welded"
		if w.flush() {
			in.Surface = "ground"
		}
	}
	w.strong.look = in.Look
	if day, ok := w.j.Made.Time(); ok {
		in.Start = q.Known(day)
	}
	in.Costs = w.extraHours()
	return in
}

// plannedRepair is the repair of the comparison that this plan plans; empty
// where the weld does not go through.
func (w *work) plannedRepair() string {
	switch w.dig.Value.Root {
	case joint.OnBacking:
		return "backing"
	case joint.OpenRoot:
		return "one-side"
	case joint.BackGouged:
		if w.flush() {
			return "flush"
		}
		return "as-welded"
	}
	return ""
}

// flush says that the plan grinds the cap off.
func (w *work) flush() bool {
	return w.it.Loaded != "compression" && w.dig.Value.Root.Complete()
}

// extraHours are the hours of work of each repair over the weld of this plan.
func (w *work) extraHours() map[string]q.Of[q.Time] {
	sides := q.Time(1)
	if w.dig.Value.Root == joint.BackGouged {
		sides = 2
	}
	long := w.dig.Value.Remove
	per := func(id string, low, high q.Time) span {
		r := minutes(rateOf(id))
		return span{r.low * low, 0, r.high * high}
	}
	along := func(id string, times q.Time) span {
		return per(id, times*q.Time(long.Low/perLength), times*q.Time(long.High/perLength))
	}
	all := map[string]q.Of[q.Time]{}
	set := func(id string, t span) { all[id] = q.Of[q.Time]{Low: t.low, High: t.high} }
	set("as-welded", span{})
	set("one-side", span{})
	set("backing", span{})
	if w.dig.Value.Root != joint.OnBacking {
		set("backing", minutes(rateOf("bar-fit")))
	}
	set("flush", along("flush-grind", sides))
	set("ground-toe", along("toe-grind", 2*sides))
	set("stop-hole", per("tip-hole", 1, 2))
	if d, ok := w.plateDesign(); ok {
		plate := minutes(rateOf("plate-fit")).plus(w.filletHours(d))
		ends := per("toe-grind", q.Time(2*d.Width/perLength), q.Time(2*d.Width/perLength))
		set("plate-square", plate)
		set("plate-tapered", plate)
		set("plate-ground", plate.plus(ends))
		plate.high += w.filletHours(d).high // longer by what the stress asks for
		set("plate-moved", plate)
	}
	return all
}

// plateDesign is the plate that the comparison counts with, for its welds.
func (w *work) plateDesign() (strength.PlateDesign, bool) {
	if !w.it.Width.Known {
		return strength.PlateDesign{}, false
	}
	r, err := strength.DesignPlate(strength.PlateInput{CrackRemoved: true, Thickness: w.wall, Width: w.it.Width.V, Crack: w.it.Crack.Length,
		Stock: w.sys, LowHydrogen: true, Weld: strength.OriginOf("").Mid})
	return r.Value, err == nil
}

// filletHours is the time of the plate's welds: that of the plan's weld, by the
// volume of weld metal.
func (w *work) filletHours(d strength.PlateDesign) span {
	weld := w.timeOf("weld", "reheat")
	metal := float64(w.fill.Value.Total) * float64(w.seen())
	if metal <= 0 {
		return span{}
	}
	around := 2 * (d.Length + d.Width)
	share := q.Time(float64(d.Leg*d.Leg/2*around) / metal)
	return span{weld.Low * share, 0, weld.High * share}
}

// pull is how the weld shrinks; what has no formula is left out.
func (w *work) pull() {
	h := w.strong.plan
	opening := w.dig.Value.Groove.RootOpening
	if r, err := strength.ButtShrinkage(w.fill.Value.Total, w.wall, opening); err == nil {
		w.strong.across, h.Across = r, &r.Value
	}
	if w.it.Width.Known {
		if r, err := strength.LengthShrinkage(w.fill.Value.Total, q.Area(w.wall*w.it.Width.V), w.dig.Value.Remove.High); err == nil {
			w.strong.along, h.Along = r, &r.Value
		}
	}
}

// approvals says which rules hand this part or machine on to somebody else, where
// his approval is in hand; it covers the repair, not the hours.
func approvals(v gate.Verdict) string {
	var titles []string
	for _, f := range v.Findings {
		if f.Approved != "" && (f.Scope == "part" || f.Scope == "machine") { // a permit of the site says nothing of the part
			titles = append(titles, lower(f.Title))
		}
	}
	return strings.Join(titles, "; ")
}

// addHold puts the sections where the work wants them: the cause after the look,
// the choice of repair before the cut, the next look at the end.
func (w *work) addHold(item *Item) {
	item.Hold = w.strong.plan
	after := func(id string, s Section) {
		for i, at := range item.Sections {
			if at.ID == id {
				item.Sections = slices.Insert(item.Sections, i+1, s)
				return
			}
		}
		item.Sections = append(item.Sections, s)
	}
	after("look", w.causeSection())
	if s, ok := w.untilSection(); ok {
		after("cause", s)
	}
	if len(w.fill.Value.Beads) == 0 {
		return
	}
	if s, ok := w.holdSection(); ok {
		after("steel", s)
	}
	if s, ok := w.nextSection(); ok {
		for i := range item.Sections { // it says more than the standing line
			item.Sections[i].Lines = slices.DeleteFunc(item.Sections[i].Lines, func(l Line) bool { return l.Basis != nil && l.Basis.Method == "after-next-look" })
		}
		after("after", s)
	}
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
