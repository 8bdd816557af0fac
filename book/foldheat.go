package book

import (
	"fmt"
	"math"
	"strconv"
	"time"

	q "soundmetal/quantity"
)

// verdict is what one reading says of a limit.
type verdict int

const (
	silent verdict = iota // it says nothing
	keeps                 // it proves that the limit is kept
	breaks                // it proves that it is not
)

// aboveFloor says what the reading proves of a least heat. A crayon melts at its
// temperature or above.
func (r *Reading) aboveFloor(floor q.Temperature) verdict {
	switch {
	case r.Temp != nil:
		return judged(!q.Under(r.Temp.SI, floor))
	case r.Crayon == nil:
		return silent
	case r.Crayon.Melted && !q.Under(r.Crayon.At.SI, floor):
		return keeps
	case !r.Crayon.Melted && !q.Over(r.Crayon.At.SI, floor):
		return breaks
	}
	return silent
}

// belowCeiling says what the reading proves of a most heat.
func (r *Reading) belowCeiling(ceiling q.Temperature) verdict {
	switch {
	case r.Temp != nil:
		return judged(!q.Over(r.Temp.SI, ceiling))
	case r.Crayon == nil:
		return silent
	case r.Crayon.Melted && !q.Under(r.Crayon.At.SI, ceiling):
		return breaks
	case !r.Crayon.Melted && !q.Over(r.Crayon.At.SI, ceiling):
		return keeps
	}
	return silent
}

func judged(ok bool) verdict {
	if ok {
		return keeps
	}
	return breaks
}

// says is the reading in words.
func (r *Reading) says(sys q.System) string {
	switch {
	case r.Temp != nil:
		return degrees(r.Temp.SI, sys)
	case r.Crayon == nil:
		return "nothing"
	case r.Crayon.Melted:
		return "crayon " + degrees(r.Crayon.At.SI, sys) + " melted"
	}
	return "crayon " + degrees(r.Crayon.At.SI, sys) + " did not melt"
}

// degrees prints a reading to the degree in both systems: the 5 degrees of a
// plan would hide that 158 °C is below 160 °C.
func degrees(t q.Temperature, sys q.System) string {
	lead, unit, echo := t.C(), " °C", fmt.Sprintf("%.0f °F", t.F())
	if sys == q.US {
		lead, unit, echo = t.F(), " °F", fmt.Sprintf("%.0f °C", t.C())
	}
	digits := 0
	if lead != math.Trunc(lead) {
		digits = 1 // 159.6 °C is not 160 °C
	}
	return strconv.FormatFloat(lead, 'f', digits, 64) + unit + " (" + echo + ")"
}

func (f *folding) reading(m *Meta, b Reading) {
	l, ok := f.limits(b.Item)
	if !ok {
		return
	}
	sys := f.j.System()
	cold, hot := silent, silent
	if l.Floor != nil {
		cold = b.aboveFloor(*l.Floor)
	}
	if l.Ceiling != nil {
		hot = b.belowCeiling(*l.Ceiling)
	}
	if b.Bead > 0 && cold == breaks {
		f.deviate("bead-cold", m, b.Item, b.Bead, words{bead: f.beadName(b.Item, b.Bead), value: b.says(sys), limit: l.Floor.MinimumText(sys)})
	}
	if hot == breaks {
		rule := "part-hot"
		if b.Bead > 0 {
			rule = "bead-hot"
		}
		f.deviate(rule, m, b.Item, b.Bead, words{bead: f.beadName(b.Item, b.Bead), value: b.says(sys), limit: l.Ceiling.MaximumText(sys)})
	}
	if d, said := value(b.Distance); said && l.ReadAt != nil && q.Under(d, *l.ReadAt) && !b.FarFace {
		f.deviate("reading-near", m, b.Item, b.Bead, words{value: beside(d, *l.ReadAt, sys), limit: l.ReadAt.Text(sys)})
	}
	at := atBead{b.Item, b.Bead}
	f.readings[at] = append(f.readings[at], len(f.j.Readings)-1)
	if b.Bead == 0 { // not at a bead: it says nothing of one yet
		return
	}
	if cold == keeps {
		f.clear(m, func() string { return "read again: " + b.says(sys) }, "bead-cold", b.Item, b.Bead)
	}
	if hot == keeps {
		f.clear(m, func() string { return "read again: " + b.says(sys) }, "bead-hot", b.Item, b.Bead)
	}
}

// atBead names a bead of a place; bead 0 is none.
type atBead struct {
	item string
	bead int
}

// beadHeat looks for the reading that shows that the bead was begun in the
// window: one for this bead, or one taken shortly before.
func (f *folding) beadHeat(m *Meta, b Bead, l ItemLimits) {
	if l.Floor == nil || float64(*l.Floor) <= figure("cold-room") && l.Ceiling == nil {
		return
	}
	age := time.Duration(figure("reading-age")) * time.Second
	floor, ceiling := silent, silent
	var last *Reading
	look := func(r *Reading) {
		last = r
		if v := r.aboveFloor(*l.Floor); v != silent {
			floor = v
		}
		if l.Ceiling != nil {
			if v := r.belowCeiling(*l.Ceiling); v != silent {
				ceiling = v
			}
		}
	}
	for _, bead := range []int{0, b.Number} { // those of no bead first: the bead's own count for more
		for _, i := range f.readings[atBead{b.Item, bead}] {
			r := &f.j.Readings[i]
			since := b.begun().Sub(r.At)
			if bead != 0 || since >= 0 && since <= age {
				look(&r.Is)
			}
		}
	}
	cold := float64(*l.Floor) <= figure("cold-room")
	if (cold || floor == keeps) && (l.Ceiling == nil || b.Number == 1 || ceiling == keeps) {
		return
	}
	sys := f.j.System()
	w := words{bead: f.beadName(b.Item, b.Number), limit: l.Floor.MinimumText(sys)}
	if last != nil {
		w.value = last.says(sys)
	}
	switch {
	case cold:
	case last == nil:
		f.deviate("bead-unread", m, b.Item, b.Number, w)
		return
	case floor == silent:
		f.deviate("bead-unproven", m, b.Item, b.Number, w)
	case floor == breaks && last.Bead == 0:
		f.deviate("bead-cold", m, b.Item, b.Number, w)
	}
	if last != nil && l.Ceiling != nil && b.Number > 1 {
		w.limit = l.Ceiling.MaximumText(sys)
		switch {
		case ceiling == silent:
			f.deviate("ceiling-unproven", m, b.Item, b.Number, w)
		case ceiling == breaks && last.Bead == 0:
			f.deviate("bead-hot", m, b.Item, b.Number, w)
		}
	}
}
