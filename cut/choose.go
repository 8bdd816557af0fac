package cut

// The carbon for a groove.
//
// Method: of the carbons on the truck, the largest whose pass, with the metal
// left for the grinder, fits the root of the groove and is not deeper than the
// groove, and which rig and compressor carry. "Carry" is the low end of the
// main current table; where no carbon reaches it, the lowest published current
// counts and the choice is marked reduced. A figure nobody gave is "not known":
// it does not rule a carbon out, and is listed as a thing to find out.
// Source: the tables of gouge-current, gouge-pass and gouge-air.

import (
	"errors"
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Rig is what the power source can hold while gouging.
type Rig struct {
	Current q.Maybe[q.Current] `json:"current"` // that it holds at 60 % duty or more
	OCV     q.Maybe[q.Voltage] `json:"ocv"`
	Output  job.Output         `json:"output"`
}

// Wanted is one groove to gouge and what there is to do it with.
type Wanted struct {
	Groove   Groove
	Carbons  []job.Stock // none: every hand size is considered, and must be loaded
	Rig      Rig
	Air      job.Air
	Torch    Torch // empty: the smallest that takes the carbon
	Steel    Steel
	Depth    q.Maybe[q.Length] // measured depth of one pass
	Length   q.Maybe[q.Length] // length of a carbon
	Own      q.Maybe[q.Time]   // own time for 100 mm of one pass, all in
	Hollow   bool              // a closed space behind the plate
	Position job.Position
}

// Verdict of one check.
type Verdict string

const (
	Enough   Verdict = "enough"
	Short    Verdict = "short"
	NotKnown Verdict = "not known"
)

// Check compares what is there with what a carbon wants.
type Check struct {
	What    string  `json:"what"` // "current", "air flow", "air pressure", "root width", "depth", "hand"
	Have    string  `json:"have"`
	Need    string  `json:"need"`
	Verdict Verdict `json:"verdict"`
}

// Candidate is one carbon and why it was taken or not.
type Candidate struct {
	Carbon  q.Length         `json:"carbon"`
	Count   q.Maybe[float64] `json:"count"`
	Fits    bool             `json:"fits"`
	Reduced bool             `json:"reduced"` // fits only by the lowest published current
	Checks  []Check          `json:"checks"`
}

// Choice is the carbon and everything that follows from it.
type Choice struct {
	Found      bool                            `json:"found"`
	Carbon     q.Length                        `json:"carbon"`
	Reduced    bool                            `json:"reduced"`
	Set        q.Of[q.Current]                 `json:"set"` // published band, cut at what the rig holds
	Amps       source.Result[q.Of[q.Current]]  `json:"amps"`
	Pass       source.Result[Pass]             `json:"pass"`
	Plan       source.Result[Plan]             `json:"plan"`
	Carbons    source.Result[Amount[float64]]  `json:"carbons"`
	Time       source.Result[Duration]         `json:"time"`
	Melt       source.Result[Melted]           `json:"melt"`
	Air        source.Result[Supplied]         `json:"air"`
	FreeAir    Amount[q.Volume]                `json:"free_air"`
	Grind      source.Result[Amount[q.Length]] `json:"grind"`
	Shade      source.Result[Shade]            `json:"shade"`
	Noise      source.Result[NoiseTime]        `json:"noise"` // at the middle published level
	ArcVolts   q.Of[q.Voltage]                 `json:"arc_volts"`
	OCV        q.Voltage                       `json:"ocv"`
	Duty       q.Of[q.Ratio]                   `json:"duty"`  // the source should have at the set current
	Clear      q.Length                        `json:"clear"` // nothing that burns within
	Polarity   Supply                          `json:"polarity"`
	StickOut   q.Of[q.Length]                  `json:"stick_out"`
	Angle      q.Of[q.Angle]                   `json:"angle"`
	Technique  []Rule                          `json:"technique"`
	Candidates []Candidate                     `json:"candidates"`     // smallest first
	Need       []Check                         `json:"need,omitempty"` // what is missing for the nearest miss, where none was found
	Warn       []string                        `json:"warn,omitempty"`
}

// Choose picks the carbon for the groove wanted, or says what is missing.
func Choose(in Wanted) (source.Result[Choice], error) {
	var none source.Result[Choice]
	if err := in.Groove.check(); err != nil {
		return none, err
	}
	grind, err := GrindOff(in.Steel)
	if err != nil {
		return none, err
	}
	stock, err := in.stock()
	if err != nil {
		return none, err
	}
	v := Choice{Grind: grind, Polarity: DCEP, Technique: Technique(),
		ArcVolts: span[q.Voltage](figure("arc-voltage")), OCV: q.Voltage(figure("open-voltage").Likely),
		Duty: span[q.Ratio](figure("duty")), Clear: q.Length(figure("spark-throw").Likely),
		StickOut: span[q.Length](figure("stick-out")), Angle: span[q.Angle](figure("angle"))}
	b := source.Basis{
		Method: "gouge-choose", Title: "Carbon for the groove", Formula: "the largest carbon that the groove's root, the rig and the air allow",
		Inputs: []source.Input{
			{Name: "groove", Text: fmt.Sprintf("%s deep, %s wide at the root", length(in.Groove.Depth), length(in.Groove.RootWidth))},
			{Name: "rig holds", Text: maybe(in.Rig.Current, func(i q.Current) string { return fmt.Sprintf("%.0f A", float64(i)) })},
			{Name: "air", Text: maybe(in.Air.Flow, flow) + " at " + maybe(in.Air.Pressure, pressure)},
		},
		Ref:  source.At("gouge-data", "", source.Read),
		Also: []source.Ref{source.At("aws-c5.3", "", source.Memory)},
		Why:  "A carbon too big for the rig or the air leaves dross and carbon in the groove; one too small takes all day.",
		Skip: "You find out on site that the compressor stalls.",
	}
	best := -1
	for _, s := range stock {
		c, err := in.try(s, grind.Value.Likely)
		if err != nil {
			return none, err
		}
		v.Candidates = append(v.Candidates, c)
		if c.Fits && (best < 0 || !c.Reduced || v.Candidates[best].Reduced) {
			best = len(v.Candidates) - 1
		}
		b.Steps = append(b.Steps, source.Step{Name: "carbon", Value: c.Carbon.MM(), Unit: "mm", Text: c.text()})
	}
	if best < 0 {
		v.Need = nearestMiss(v.Candidates)
		b.Notes = append(b.Notes, "no carbon at hand fits; the list says what is missing for the nearest miss. A grinder is the other way.")
		return source.Result[Choice]{Value: v, Basis: b}, nil
	}
	if err := v.fill(in, v.Candidates[best]); err != nil {
		return none, err
	}
	v.warn(in, v.Candidates[best])
	b.Notes = append(b.Notes, v.Warn...)
	return source.Result[Choice]{Value: v, Basis: b}, nil
}

// stock lists the carbons to consider, smallest first, each size of the table once.
func (in Wanted) stock() ([]job.Stock, error) {
	if len(in.Carbons) == 0 {
		var all []job.Stock
		for _, d := range Sizes(DCEP) {
			all = append(all, job.Stock{Size: d})
		}
		return all, nil
	}
	for _, s := range in.Carbons {
		if _, err := carbonOf("gouge-choose", DCEP, s.Size); err != nil {
			return nil, err
		}
	}
	var all []job.Stock
	for _, d := range Sizes(DCEP) {
		for _, s := range in.Carbons {
			if math.Abs(float64(s.Size-d)) <= figure("size-tolerance").High+1e-9 {
				all = append(all, s)
				break
			}
		}
	}
	return all, nil
}

// try checks one carbon against groove, rig and air.
func (in Wanted) try(s job.Stock, grind q.Length) (Candidate, error) {
	c := Candidate{Carbon: s.Size, Count: s.Count, Fits: true}
	band, err := Current(s.Size)
	if err != nil {
		return c, err
	}
	add := func(what, have, need string, v Verdict) {
		c.Checks = append(c.Checks, Check{what, have, need, v})
		c.Fits = c.Fits && v != Short
	}
	// the least root width that a pass of this carbon and the grinder leave
	root := passWidth(s.Size) + 2*grind
	add("root width", length(in.Groove.RootWidth), length(root), atLeast(in.Groove.RootWidth, root))
	least := q.Length(figure("depth-ratio").Low) * s.Size
	add("depth", length(in.Groove.Depth), length(least+grind), atLeast(in.Groove.Depth, least+grind))

	need := amps(band.Value)
	switch i := in.Rig.Current; {
	case !i.Known:
		add("current", "not known", need, NotKnown)
	case i.V >= band.Value.Low:
		add("current", fmt.Sprintf("%.0f A", float64(i.V)), need, Enough)
	case i.V >= leastAmps(s.Size):
		c.Reduced = true
		add("current", fmt.Sprintf("%.0f A", float64(i.V)), fmt.Sprintf("%.0f A by the lowest table (%s by the main one)", float64(leastAmps(s.Size)), need), Enough)
	default:
		add("current", fmt.Sprintf("%.0f A", float64(i.V)), fmt.Sprintf("%.0f A", float64(leastAmps(s.Size))), Short)
	}

	air, err := Air(s.Size, in.Torch)
	var tooBig *source.OutOfRange
	if errors.As(err, &tooBig) {
		add("torch", string(in.Torch), fmt.Sprintf("a torch for %s", length(s.Size)), Short)
		return c, nil
	} else if err != nil {
		return c, err
	}
	a := air.Value
	add("air flow", maybe(in.Air.Flow, flow), flow(a.Flow), known(in.Air.Flow, a.Flow))
	add("air pressure", maybe(in.Air.Pressure, pressure), pressures(a.Pressure), known(in.Air.Pressure, a.Pressure.Low))
	if !a.ByHand {
		add("hand", "hand torch", "a machine carriage", Short)
	}
	return c, nil
}

func atLeast[T ~float64](have, need T) Verdict {
	// one part in a thousand: a rounded figure is not a miss
	if float64(have) >= float64(need)*0.999 {
		return Enough
	}
	return Short
}

func known[T ~float64](have q.Maybe[T], need T) Verdict {
	if !have.Known {
		return NotKnown
	}
	return atLeast(have.V, need)
}

func maybe[T any](m q.Maybe[T], text func(T) string) string {
	if !m.Known {
		return "not known"
	}
	return text(m.V)
}

func (c Candidate) text() string {
	if c.Fits && c.Reduced {
		return "fits, on reduced current"
	}
	if c.Fits {
		return "fits"
	}
	s := "no:"
	for _, k := range c.Checks {
		if k.Verdict == Short {
			s += fmt.Sprintf(" %s %s, needs %s;", k.What, k.Have, k.Need)
		}
	}
	return s[:len(s)-1]
}

// nearestMiss lists what is short for the carbon with the fewest shortages.
func nearestMiss(all []Candidate) []Check {
	var best []Check
	for _, c := range all {
		var short []Check
		for _, k := range c.Checks {
			if k.Verdict == Short {
				short = append(short, k)
			}
		}
		if best == nil || len(short) < len(best) {
			best = short
		}
	}
	return best
}
