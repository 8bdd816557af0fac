// Ceiling: the highest interpass temperature by family of steel, and of the
// strongest rods (ceilings.csv). Medium and high carbon steel has the martensite
// start plus 50 °C among its rules. Where several rules hold, the lowest counts.

package heat

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const idCeiling = "ceiling"

// CeilingInput is what the ceiling takes.
type CeilingInput struct {
	Group        Group
	Steel        Steel // only for medium and high carbon steel
	Thickness    q.Length
	StrongFiller bool // low-alloy filler of the highest strength, about 690 MPa yield and more
}

// Ceiling is a highest interpass temperature and where it is read.
type Ceiling struct {
	Maximum q.Temperature `json:"maximum"`
	At      string        `json:"at"`
}

type ceilingRow struct {
	rule    string // rows of one rule are steps of thickness
	reach   reach
	max     float64 // °C; NaN where it hangs on the martensite start
	aboveMs float64
	at      string
	ref     source.Ref
}

var ceilingTable = loadCeilings()

func loadCeilings() map[Group][]ceilingRow {
	all := map[Group][]ceilingRow{}
	for _, r := range load("ceilings.csv") {
		g := Group(r.Text("group"))
		all[g] = append(all[g], ceilingRow{r.Text("rule"), reachOf(r), r.Or("max_c", math.NaN()), r.Or("above_ms_k", 0), r.Text("at"), r.Ref()})
	}
	return all
}

// value is the row's ceiling; ok is false where the martensite start is not known.
func (r *ceilingRow) value(s *Steel) (c float64, ok bool) {
	if !math.IsNaN(r.max) {
		return r.max, true
	}
	if s.Unknown || s.C <= 0 || s.C >= andrewsMaxC {
		return 0, false
	}
	return andrewsMs(s).C() + r.aboveMs, true
}

// eachCeiling calls f for each row that holds, one for each rule.
func eachCeiling(in *CeilingInput, f func(*ceilingRow)) {
	for _, g := range [2]Group{in.Group.orUnlisted(), strongFiller} {
		if g == strongFiller && (!in.StrongFiller || !in.Group.row().equivalents) {
			continue
		}
		rows, done := ceilingTable[g], ""
		for i := range rows {
			if rows[i].rule == done || !rows[i].reach.has(in.Thickness) {
				continue
			}
			done = rows[i].rule
			f(&rows[i])
		}
	}
}

// MaximumInterpass gives the highest interpass temperature; an error where no
// rule gives one.
func MaximumInterpass(in CeilingInput) (source.Result[Ceiling], error) {
	var none source.Result[Ceiling]
	if err := in.Group.valid(); err != nil {
		return none, err
	}
	if err := positive(idCeiling, "thickness", in.Thickness.MM(), "mm"); err != nil {
		return none, err
	}
	var best *ceilingRow
	lowest := math.Inf(1)
	var steps []source.Step
	var also []source.Ref
	eachCeiling(&in, func(r *ceilingRow) {
		c, ok := r.value(&in.Steel)
		if !ok {
			return
		}
		steps = append(steps, source.Step{Name: r.ref.Where, With: r.at, Value: c, Unit: "°C", Text: degrees(q.Temperature(c))})
		also = append(also, r.ref)
		if c < lowest {
			best, lowest = r, c
		}
	})
	if best == nil {
		return none, fmt.Errorf("%s: no ceiling is published for %s of this composition; ask the steelmaker or an engineer", idCeiling, in.Group.Title())
	}
	v := Ceiling{q.Temperature(lowest), best.at}
	inputs := []source.Input{input("steel", in.Group.Title()), input("thickness", millimetres(in.Thickness))}
	if in.StrongFiller {
		inputs = append(inputs, input("filler", "low-alloy filler of the highest strength"))
	}
	steps = append(steps, source.Step{Name: "ceiling", Formula: "the lowest", With: v.At, Value: lowest, Unit: "°C", Text: degrees(v.Maximum)})
	b := source.Basis{
		Method: idCeiling, Title: "Highest interpass temperature", Inputs: inputs, Steps: steps, Ref: best.ref,
		Why:  "Too hot between the runs and the steel or the weld goes soft or brittle.",
		Skip: "The strength that the part was built for is burnt out beside the weld.",
	}
	if len(also) > 1 {
		b.Also = also
	}
	return source.Result[Ceiling]{Value: v, Basis: b}, nil
}
