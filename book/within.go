package book

import q "soundmetal/quantity"

// Window says how a reading stands to what the plan asked when it was logged.
type Window string

// Outcomes of a reading.
const (
	NoWindow  Window = ""           // the plan set none
	Inside    Window = "inside"     // it proves that the plan is kept
	TooCold   Window = "too cold"   // before a bead
	StillCold Window = "still cold" // below the floor, but at no bead: nothing is wrong yet
	TooHot    Window = "too hot"
	HotEnough Window = "hot enough"  // by a crayon that says nothing of the upper limit
	CoolSoFar Window = "not too hot" // by a crayon that says nothing of the lower limit
	NotShown  Window = "not shown"   // a crayon that proves nothing
)

// Text is the reading in words: the temperature to the degree, or what the
// crayon did.
func (b *Reading) Text(sys q.System) string { return b.says(sys) }

// Window holds a reading against the plan that was in force when it was logged.
func (j *Job) Window(r *Logged[Reading]) Window {
	l, ok := j.LimitsAt(&r.Meta, r.Is.Item)
	if !ok || l.Floor == nil && l.Ceiling == nil {
		return NoWindow
	}
	cold, hot := keeps, keeps
	if l.Floor != nil {
		cold = r.Is.aboveFloor(*l.Floor)
	}
	if l.Ceiling != nil {
		hot = r.Is.belowCeiling(*l.Ceiling)
	}
	switch {
	case hot == breaks:
		return TooHot
	case cold == breaks && r.Is.Bead > 0:
		return TooCold
	case cold == breaks:
		return StillCold
	case cold == silent && hot == silent:
		return NotShown
	case hot == silent:
		return HotEnough
	case cold == silent:
		return CoolSoFar
	}
	return Inside
}

// LimitsAt are the limits of a place by the plan that was in force when an entry
// was logged.
func (j *Job) LimitsAt(m *Meta, item string) (ItemLimits, bool) {
	at := -1
	for i := range j.Plans {
		p := &j.Plans[i]
		from := &p.Meta
		if p.Change != "" { // it waited for the customer
			c := j.Change(p.Change)
			if c == nil || c.Accepted == nil || c.To != p.ID {
				continue
			}
			from = &c.Accepted.Meta
		}
		if from.clock.Compare(m.clock) <= 0 {
			at = i
		}
	}
	if at < 0 {
		return ItemLimits{}, false
	}
	return j.Plans[at].Limits.of(item)
}
