package material

import (
	"slices"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Unlisted is the id of the family that stands for a steel outside the list:
// its maxima are the conservative default where no family is known.
const Unlisted = "unlisted"

// Group says which rules of welding a family follows.
type Group string

const (
	Structural  Group = "structural"
	Quenched    Group = "quenched-and-tempered"
	Wear        Group = "wear"
	Bar         Group = "bar" // carbon and alloy bar and forging steel
	Cast        Group = "casting"
	Manganese   Group = "manganese"
	Stainless   Group = "stainless"
	Iron        Group = "iron" // cast iron: listed for the evidence, never welded by this plan
	OtherSteels Group = "unlisted"
)

// Hold is the group for the wait between welding and final inspection.
type Hold string

const (
	HoldOrdinary     Hold = "ordinary"      // the S235 to S420 column of EN 1090-2
	HoldHighStrength Hold = "high-strength" // its S460 and above column
	HoldQuenched     Hold = "quenched"      // that column, and at least 48 h by AWS D1.1 for A514
	HoldAustenitic   Hold = "austenitic"    // no delayed cracking to wait for
	HoldNotWelded    Hold = "not-welded"
)

// Family is one row of the steel list: what a standard, or a class without a standard, allows.
type Family struct {
	ID       string                   `json:"id"`
	Name     string                   `json:"name"`
	Group    Group                    `json:"group"`
	Standard string                   `json:"standard"` // empty where there is no common one
	Yield    q.Of[q.Stress]           `json:"yield"`    // Low: lowest specified minimum; High: upper end met in practice (judgement)
	Tensile  q.Of[q.Stress]           `json:"tensile"`
	Hardness q.Of[q.Brinell]          `json:"hardness"` // band usually met
	CE       q.Maybe[q.Of[q.Percent]] `json:"ce"`       // usual band of CE(IIW); unknown where the formula does not apply
	Magnetic bool                     `json:"magnetic"`
	Category string                   `json:"category"` // preheat category A to D of AWS D1.1 by grade, empty where it has none
	Tempered bool                     `json:"tempered"` // heat-treated: a post-heat above its tempering ruins it
	PostHeat q.Maybe[q.Temperature]   `json:"postheat"` // highest post-heat, where tempering limits it and the limit is known
	Hold     Hold                     `json:"hold"`
	OwnRules bool                     `json:"own_rules"` // must not be welded like ordinary steel: read Notes
	Notes    []string                 `json:"notes"`
	Ref      source.Ref               `json:"source"`
	leavesBy kind                     // weakest kind of evidence that may take it off the list
	cutShare float64                  // part of its martensite hardness that a flame-cut edge reaches at least (judgement); 0: does not harden on a cut
	limits   [elements][]chemistry    // in order of thickness
	caps     []cap_                   // in order of thickness
	ceilings []ceiling                // in order of thickness
}

// chemistry is what a family may hold of one element above a thickness.
type chemistry struct {
	over      q.Length
	low, high float64
	typical   float64
}

// cap_ is the highest CE(IIW) up to a thickness.
type cap_ struct {
	to       q.Length // 0: no upper end
	ce       float64
	standard bool // false: upper end of the usual band, no standard exists
	ref      source.Ref
}

// ceiling is the highest interpass temperature above a thickness.
type ceiling struct {
	over   q.Length
	max    q.Temperature
	reason string
	ref    source.Ref
}

// Families gives the steel list, without the stand-in for unlisted steels.
func Families() []Family {
	all := make([]Family, listed)
	for i := range all {
		all[i], _ = Lookup(families[i].ID)
	}
	return all
}

// Lookup gives a family by its id.
func Lookup(id string) (Family, bool) {
	i, ok := familyIndex[id]
	if !ok {
		return Family{}, false
	}
	f := families[i]
	f.Notes = slices.Clone(f.Notes)
	return f, true
}

func familyIDs() []string {
	ids := make([]string, 0, len(families))
	for _, f := range families {
		ids = append(ids, f.ID)
	}
	return ids
}

// share is the range a family allows of one element.
type share struct{ Low, High float64 }

// limit gives the range of one element at a thickness; where that is unknown,
// the widest over all thicknesses.
func (f *Family) limit(element int, thickness q.Maybe[q.Length]) share {
	rows := f.limits[element]
	s := share{rows[0].low, rows[0].high}
	for _, r := range rows[1:] {
		switch {
		case !thickness.Known:
			s = share{min(s.Low, r.low), max(s.High, r.high)}
		case thickness.V > r.over:
			s = share{r.low, r.high}
		}
	}
	return s
}

// cap gives the CE(IIW) cap at a thickness; the highest where the thickness is
// unknown. ok is false where there is none.
func (f *Family) cap(thickness q.Maybe[q.Length]) (c cap_, ok bool) {
	if len(f.caps) == 0 {
		return cap_{}, false
	}
	if !thickness.Known {
		return f.caps[len(f.caps)-1], true
	}
	for _, c := range f.caps {
		if c.to == 0 || thickness.V <= c.to {
			return c, true
		}
	}
	return cap_{}, false
}

// Limit gives the share of an element that the family allows at a thickness;
// where the thickness is unknown, the widest. ok is false for an unknown element.
func (f Family) Limit(symbol string, thickness q.Maybe[q.Length]) (allowed q.Of[q.Percent], ok bool) {
	i, ok := elementIndex(symbol)
	if !ok {
		return q.Of[q.Percent]{}, false
	}
	s := f.limit(i, thickness)
	return q.Of[q.Percent]{Low: q.Percent(s.Low), High: q.Percent(s.High)}, true
}

// CECap gives the highest CE(IIW) of the family at a thickness, unknown where
// nothing caps it. Where the thickness is unknown it is the highest cap.
func (f Family) CECap(thickness q.Maybe[q.Length]) q.Maybe[q.Percent] {
	c, ok := f.cap(thickness)
	if !ok {
		return q.Maybe[q.Percent]{}
	}
	return q.Known(q.Percent(c.ce))
}

// ceiling gives the interpass ceiling at a thickness, the lowest where it is unknown.
func (f *Family) ceiling(thickness q.Maybe[q.Length]) (c ceiling, ok bool) {
	if len(f.ceilings) == 0 {
		return ceiling{}, false
	}
	c = f.ceilings[0]
	for _, r := range f.ceilings[1:] {
		if thickness.Known && thickness.V > r.over || !thickness.Known && r.max < c.max {
			c = r
		}
	}
	return c, true
}

// MaxInterpass gives the highest interpass temperature at a thickness, the
// lowest where the thickness is unknown. It is unknown for cast iron.
func (f Family) MaxInterpass(thickness q.Maybe[q.Length]) (source.Result[q.Maybe[q.Temperature]], error) {
	b := source.Basis{Method: "max-interpass", Title: "Highest interpass temperature", Formula: "table by steel and thickness",
		Inputs: []source.Input{{Name: "steel", Text: f.Name}},
		Ref:    f.Ref,
		Why:    "Each steel loses something when the next bead goes on metal that is too hot.",
		Skip:   "The part looks sound and has lost strength or toughness where nobody can see it.",
	}
	if thickness.Known {
		b.Inputs = append(b.Inputs, source.Input{Name: "thickness", Text: num(thickness.V.MM()) + " mm"})
	}
	best, ok := f.ceiling(thickness)
	if !ok {
		b.Notes = []string{"no figure: " + f.Name + " is not welded by this plan"}
		return source.Result[q.Maybe[q.Temperature]]{Basis: b}, nil
	}
	b.Ref, b.Notes = best.ref, []string{best.reason}
	b.Steps = []source.Step{{Name: "highest interpass temperature", Value: float64(best.max), Unit: "°C"}}
	return source.Result[q.Maybe[q.Temperature]]{Value: q.Known(best.max), Basis: b}, nil
}
