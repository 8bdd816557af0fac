package strength

import (
	"fmt"
	"math"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// HoldInput is what Hold needs beside the job: what other rooms found out.
type HoldInput struct {
	Machine  job.Machine
	Item     job.Item
	Withheld string                 // why the gate gives no figure; empty where it lets the item pass
	Yield    q.Stress               // lowest of the credible steels; zero where unknown
	Tensile  q.Stress               // of the same steel
	T27J     q.Maybe[q.Temperature] // temperature of 27 J; unknown is an unknown old plate
	Lowest   q.Maybe[q.Temperature] // lowest temperature it works at
	Need     q.Maybe[q.Time]        // hours wanted before the repair; unknown is three shifts
	Peak     q.Maybe[q.Stress]
	Sized    Sizing
	Look     string // way of looking: eye, dye, magnetic, ultrasonic
	Surface  string
	Start    q.Maybe[time.Time] // day of release, for the calendar
	Costs    map[string]q.Of[q.Time]
	Stock    q.System
	Draws    int
	Seed     uint64

	PlateOver bool   // he asks to plate over the crack without taking it out
	Planned   string // repair that is planned, by its id; empty is the best weld without a plate
}

// Holding is everything this room says of one item; nothing where the gate
// withholds it.
type Holding struct {
	Causes    *source.Result[[]Cause]      `json:"causes,omitempty"`
	Load      *source.Result[Load]         `json:"load,omitempty"`
	Repairs   *source.Result[[]Option]     `json:"repairs,omitempty"`
	Plate     *source.Result[PlateDesign]  `json:"plate,omitempty"`
	Friday    *source.Result[FridayAnswer] `json:"friday,omitempty"`
	Hidden    *source.Result[HiddenAnswer] `json:"hidden,omitempty"` // where he asks to plate over the crack
	Look      *source.Result[LookPlan]     `json:"look,omitempty"`
	Restraint *source.Result[Restrained]   `json:"restraint,omitempty"`
	Assumed   []string                     `json:"assumed,omitempty"` // what was not known and what was taken instead
	Missing   []string                     `json:"missing,omitempty"` // what could not be worked out, and why
}

// Hold answers "will it hold" for one item. A part that cannot be worked out is
// named in Missing and does not stop the others.
func Hold(in HoldInput) (Holding, error) {
	var h Holding
	if in.Withheld != "" {
		h.Missing = []string{in.Withheld}
		return h, nil
	}
	causes := Causes(SeenIn(in.Item))
	h.Causes = &causes
	miss := func(what string, err error) { h.Missing = append(h.Missing, what+": "+err.Error()) }
	if r, err := RestraintOf(in.Item); err != nil {
		miss("restraint", err)
	} else {
		h.Restraint = &r
	}
	load, err := LoadFromCrack(LoadInputOf(in.Machine, in.Item, in.Yield))
	if err != nil {
		return h, err
	}
	h.Load = &load
	if !in.Item.Thickness.Known {
		h.Missing = append(h.Missing, "repairs, hours and looks: the thickness is not known")
		return h, nil
	}
	friday, assumed, fault := in.friday(load.Value)
	h.Assumed = assumed
	repairs := RepairsInput{Load: load.Value, Access: in.Item.Access, Thickness: in.Item.Thickness.V, Width: in.Item.Width, Yield: in.Yield,
		Stock: in.Stock, Relief: ReliefOf(in.Item), Costs: in.Costs}
	if fault == nil {
		repairs.Crack = &friday
		if r, err := UntilFriday(friday); err != nil {
			miss("hours until the repair", err)
		} else {
			h.Friday, repairs.Left = &r, &r.Value
		}
		if in.PlateOver && h.Friday != nil {
			relief := repairs.Relief.Or(q.Ratio(fig("plate_relief")))
			if r, err := hiddenCrack(friday, relief, h.Friday.Value); err != nil {
				miss("plate over the crack", err)
			} else {
				h.Hidden = &r
			}
		}
	} else {
		miss("hours until the repair", fault)
	}
	if top := h.Causes.Value[0]; top.ID == "overload" || top.ID == "cold" || top.ID == "lamellar" || top.ID == "wear" {
		h.Assumed = append(h.Assumed, "the crack is taken as a fatigue crack, though "+top.Title+" is more likely: then the hours it lasted tell nothing of the load")
	}
	options, err := CompareRepairs(repairs)
	if err != nil {
		return h, err
	}
	h.Repairs = &options
	if in.Item.Width.Known {
		weld := mustClass(repairs.under(), IIW, 0).FAT
		if r, err := DesignPlate(PlateInput{CrackRemoved: true, Thickness: in.Item.Thickness.V, Width: in.Item.Width.V, Stock: in.Stock, LowHydrogen: true,
			Crack: in.Item.Crack.Length, Weld: weld, Peak: in.Peak, Yield: in.Yield, Relief: repairs.Relief}); err != nil {
			miss("plate", err)
		} else {
			h.Plate = &r
		}
	}
	if fault == nil {
		if r, err := NextLook(in.look(friday, options.Value)); err != nil {
			miss("next look", err)
		} else {
			h.Look = &r
		}
	}
	return h, nil
}

// strengths gives yield and tensile strength to reckon with.
func (in HoldInput) strengths() (yield, tensile q.Stress, assumed bool) {
	if in.Yield > 0 && in.Tensile > in.Yield {
		return in.Yield, in.Tensile, false
	}
	return mpa(fig("unknown_yield")), mpa(fig("unknown_tensile")), true
}

// friday makes the input of UntilFriday from the job, with what was assumed.
func (in HoldInput) friday(load Load) (FridayInput, []string, error) {
	var assumed []string
	assume := func(format string, args ...any) { assumed = append(assumed, fmt.Sprintf(format, args...)) }
	it, m := in.Item, in.Machine
	yield, tensile, guessed := in.strengths()
	if guessed {
		assume("yield not known: %s taken, the lowest structural plate", yield.Text(in.Stock))
	}
	if !it.Crack.Length.Known || it.Crack.Length.V <= 0 {
		return FridayInput{}, assumed, fmt.Errorf("the crack's length is not known")
	}
	c, err := in.crackCase(assume)
	if err != nil {
		return FridayInput{}, assumed, err
	}
	lowest := in.Lowest.V
	if !in.Lowest.Known {
		lowest = q.Temperature(fig("lowest_service"))
		assume("lowest working temperature not known: %s taken", lowest.Text(in.Stock))
	}
	tough, err := ToughnessRange(lowest, in.T27J, it.Thickness.V)
	if err != nil {
		return FridayInput{}, assumed, err
	}
	if !in.T27J.Known {
		assume("toughness not known: that of an unknown old plate taken, %s to %s", tough.Value.Low.Text(in.Stock), tough.Value.High.Text(in.Stock))
	}
	residual, why, _ := ResidualRange(string(it.Crack.Starts), yield)
	assume("residual stress %s to %s: %s", residual.Low.Text(in.Stock), residual.High.Text(in.Stock), why)
	need := in.Need.V
	if !in.Need.Known {
		need = 3 * q.Time(fig("look_first")) * q.Hour
		assume("hours wanted not given: %s taken", need.Text(in.Stock))
	}
	wet := Causes(SeenIn(it)).Value[0].ID == "corrosion"
	if wet {
		assume("the cause is most likely corrosion: growth by the wet law")
	}
	return FridayInput{Withheld: in.Withheld, Marine: wet, People: m.LiftsPeople == job.Yes, HangsLoad: m.HangsLoad.NotNo() || m.LiftsPeople.NotNo(),
		SecondPlate: it.Crack.Corner == job.Yes, EndsUnseen: it.Crack.Ends == "none", Crack: c, Sized: in.Sized, Load: load, Peak: in.Peak.V,
		Yield: yield, Tensile: tensile, Toughness: tough.Value, Residual: residual, Need: need, Lowest: lowest, Draws: in.Draws, Seed: in.Seed, Units: in.Stock}, assumed, nil
}

// crackCase makes the geometry from what can be seen.
func (in HoldInput) crackCase(assume func(string, ...any)) (CrackCase, error) {
	it := in.Item
	l := it.Crack.Length.V
	c := CrackCase{Geometry: Through, A: l / 2, Width: it.Width.V, Thickness: it.Thickness.V}
	if !it.Width.Known {
		c.Width = q.Length(fig("width_guess")) * l
		assume("width not known: %s taken, three times the crack", c.Width.Text(in.Stock))
	}
	switch {
	case it.Crack.Through == job.No && it.Crack.Depth.Known && it.Crack.Depth.V > 0:
		c.Geometry, c.A, c.C = Surface, it.Crack.Depth.V, l/2
		if s := it.Crack.Starts; s == "weld-toe" || s == "plate-end" {
			c.Geometry, c.Footprint = WeldToe, q.Length(fig("toe_footprint"))*it.Thickness.V
			assume("length of the attachment not known: long against the thickness taken")
		}
		if least := c.C / 5; c.A < least { // flatter than the equations: deepen it, which is cautious
			c.A = least
			assume("the crack is flatter than the formulas cover: depth of %s taken", c.A.Text(in.Stock))
		}
		if float64(c.A/c.Thickness) <= 0.8 && float64(c.C/(c.Width/2)) < 0.5 && float64(c.A/c.C) <= 2 {
			return c, nil
		}
		assume("the crack is too deep or too long for a surface crack: taken as through")
		c = CrackCase{Geometry: Through, A: l / 2, Width: c.Width, Thickness: c.Thickness}
	case it.Crack.Through != job.Yes:
		assume("whether it goes through is not known: taken as through")
	}
	switch {
	case it.Crack.Ends == "at-edge":
		c.Geometry, c.A = Edge, l
	case it.Crack.Starts == "hole":
		c.Geometry, c.A, c.Radius = HoleOne, l, l
		assume("radius of the hole not known: taken as long as the crack")
	}
	return c, nil
}

// ReliefOf gives the stress beside the crack with a plate of three quarters of the
// thickness over that without, where the section is known.
func ReliefOf(it job.Item) q.Maybe[q.Ratio] {
	if !it.Thickness.Known || !it.Width.Known {
		return q.Maybe[q.Ratio]{}
	}
	t, width := it.Thickness.V, it.Width.V
	edge := 2 * (t*q.Length(fig("plate_ratio")) + millis(fig("plate_edge")))
	d := Rect{B: width - edge, H: t * q.Length(fig("plate_ratio")), Y: -t * q.Length(fig("plate_ratio")) / 2}
	if d.B <= 0 {
		return q.Maybe[q.Ratio]{}
	}
	p := Profile{Shape: it.Shape, Width: width, Depth: it.Depth.V, Flange: t, Web: it.Thickness2.Or(t)}
	switch it.Shape {
	case job.Plate, "":
		if over := it.Crack.Length.V + 2*millis(fig("plate_over")); it.Crack.Length.Known && over < d.B {
			d.B = over
		}
		width = min(width, 2*d.B) // in a wide plate a strip of twice the doubler shares its load
		plate, added := float64(t*width), float64(d.B*d.H)
		return q.Known(q.Ratio(plate / (plate + added)))
	case job.Box, job.ISection, job.Channel:
		if !it.Depth.Known {
			return q.Maybe[q.Ratio]{}
		}
	default:
		return q.Maybe[q.Ratio]{}
	}
	bare, err := SectionOf(p, nil, nil)
	if err != nil {
		return q.Maybe[q.Ratio]{}
	}
	plated, err := SectionOf(p, []Rect{d}, nil)
	if err != nil {
		return q.Maybe[q.Ratio]{}
	}
	// stress at the old flange's face per unit moment, with over without
	with := (plated.Value.Y).MM() / plated.Value.Ix.MM4()
	without := (bare.Value.Y).MM() / bare.Value.Ix.MM4()
	return q.Known(q.Ratio(with / without))
}

// look makes the input of NextLook for the repair that is planned, or for the
// best weld that is possible.
func (in HoldInput) look(f FridayInput, options []Option) LookInput {
	l := LookInput{Withheld: in.Withheld, Method: orText(in.Look, "dye"), Surface: in.Surface, AtEdge: f.Crack.Geometry == Edge,
		Width: f.Crack.Width, Thickness: f.Crack.Thickness, Load: f.Load, Peak: f.Peak, Yield: f.Yield, Tensile: f.Tensile,
		Toughness: f.Toughness, Residual: f.Residual, Marine: f.Marine, Start: in.Start, PerWeek: in.Machine.HoursPerWeek}
	as, _, _ := ResidualRange("weld-toe", f.Yield) // after the repair it is a welded joint
	l.Residual = q.Of[q.Stress]{Low: q.Stress(math.Min(float64(as.Low), float64(f.Residual.Low))), High: as.High}
	for _, o := range options { // of the welds without a plate, which is the cautious choice
		if o.ID == in.Planned || in.Planned == "" && o.Possible && !o.Temporary && !o.Plate {
			l.Repair = o.Life
			break
		}
	}
	return l
}
