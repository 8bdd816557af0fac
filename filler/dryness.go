package filler

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// The exposure clock of one tin: sealed, in the oven, opened so many hours ago,
// or wet; and what follows for its use and for the hydrogen to plan with.
//
// Rules: AWS D1.1 5.3.2 / 7.3.2 (read): within the limit it may go back to the
// oven (4 h at 120 °C or more) and out again; past the limit it is baked, once;
// wet is scrap. The hydrogen of a rod past its limit is a judgement: H16 within
// column B, uncontrolled beyond it or where nobody knows.

// DryState is what to do with the rod.
type DryState string

// The states, from best to worst.
const (
	Usable DryState = "use"
	Rebake DryState = "bake"  // not as it is; after one bake it is usable
	Scrap  DryState = "scrap" // not on this job
)

// DryIn is what is known of one tin.
type DryIn struct {
	Rod     job.Rod
	Rebaked bool       // baked again once already
	OnQT    bool       // for quenched and tempered steel (A514, A517)
	Oven    job.Answer // is there a baking oven at hand?
}

// Dry is the answer of the exposure clock.
type Dry struct {
	Class    Class
	State    DryState
	Limit    q.Maybe[q.Time]     // exposure limit, unknown where the class has none
	Left     q.Maybe[q.Time]     // of the limit; zero or less when it is past
	Hydrogen q.Maybe[q.Hydrogen] // plan with this if it is welded as it is
	Baked    q.Maybe[q.Hydrogen] // plan with this after the bake; unknown where baking is no way out
	Say      string              // what to do, one sentence
}

// Dryness runs the exposure clock of one tin. Method id: dryness.
func Dryness(in DryIn) (source.Result[Dry], error) {
	var none source.Result[Dry]
	c, err := Read(in.Rod.Class)
	if err != nil {
		return none, err
	}
	if in.Rod.Opened.Known && in.Rod.Opened.V < 0 {
		return none, fmt.Errorf("opened %s ago: give a time of 0 or more", hoursText(in.Rod.Opened.V))
	}
	d := Dry{Class: c, State: Usable, Hydrogen: c.Level()}
	b := source.Basis{
		Method: "dryness", Title: "Is the rod still dry?",
		Inputs: []source.Input{
			{Name: "class", Text: c.String(), From: "read on the tin"},
			{Name: "condition", Text: orUnknown(string(in.Rod.Condition))},
			{Name: "out of tin or oven", Text: openedText(in.Rod.Opened)},
		},
		Ref:  source.At("aws-d1.1", "storage and exposure of low-hydrogen rods (5.3.2 / 7.3.2)", source.Read),
		Why:  "A low-hydrogen rod is low in hydrogen only while it is dry.",
		Skip: "Damp rod passes a bend test and still cracks the steel beside the weld a day later.",
	}
	if c.Assumed != "" {
		b.Notes = append(b.Notes, "Class: "+c.Assumed+".")
	}
	limit, err := Exposure(c, in.OnQT)
	if err != nil { // no low-hydrogen rod: no clock, and wet is still wet
		if in.Rod.Condition == "wet" {
			d.State, d.Say = Scrap, "Wet rods are scrap."
		} else {
			d.Say = "No exposure clock for this class: keep it dry, as its tin says."
		}
		if c.Coating == Cellulosic {
			b.Notes = append(b.Notes, "A cellulosic rod is never put in an oven: its coating needs its water.")
		}
		if c.Metal != Ferritic {
			b.Notes = append(b.Notes, "Hydrogen stays in a "+string(c.Metal)+" deposit; the hydrogen level of the preheat methods does not apply. Damp rods still give pores.")
		}
		return source.Result[Dry]{Value: d, Basis: b}, nil
	}
	d.Limit = q.Known(limit.Value)
	b.Also = append(b.Also, limit.Basis.Ref)
	b.Steps = append(b.Steps, limit.Basis.Steps...)
	b.Notes = append(b.Notes, limit.Basis.Notes...)
	d.clock(in, &b)
	if d.State == Rebake {
		d.Baked = c.Level()
		if in.Oven == job.No {
			b.Notes = append(b.Notes, "There is no oven on this job: take a fresh tin, or plan with the higher hydrogen.")
		}
		if bake, err := BakeRule(c, in.OnQT); err == nil {
			b.Steps = append(b.Steps, bake.Basis.Steps...)
			b.Also = append(b.Also, bake.Basis.Ref)
		}
	}
	if in.OnQT && c.halved() && in.Rod.Condition == "sealed" {
		b.Notes = append(b.Notes, "For A514/A517 a rod below E90 is baked before use even from a sealed tin (from memory).")
		b.Also = append(b.Also, fig("qt-bake-low").Ref)
	}
	if d.Hydrogen.Known {
		b.Steps = append(b.Steps, source.Step{Name: "hydrogen to plan with", Value: float64(d.Hydrogen.V), Unit: "ml/100 g", Text: LevelName(d.Hydrogen.V)})
	}
	return source.Result[Dry]{Value: d, Basis: b}, nil
}

// clock decides for a low-hydrogen rod whose limit is known.
func (d *Dry) clock(in DryIn, b *source.Basis) {
	bad := func(h q.Hydrogen, state DryState, say string) {
		d.State, d.Hydrogen, d.Say = state, q.Known(max(h, d.Hydrogen.Or(0))), say
	}
	limit := d.Limit.V
	switch {
	case in.Rod.Condition == "wet":
		bad(Uncontrolled(), Scrap, "Wet rods are scrap: no bake brings them back.")
		return
	case in.Rod.Condition == "sealed":
		d.Left = q.Known(limit)
		d.Say = "Sealed: open it when you need it; from then on it lasts " + hoursText(limit) + "."
		return
	case in.Rod.Condition == "oven":
		d.Left = q.Known(limit)
		d.Say = fmt.Sprintf("In the oven at %s or more: dry; out of it it lasts %s.", tempText(q.Temperature(fig("oven").Likely)), hoursText(limit))
		b.Also = append(b.Also, fig("oven").Ref)
		return
	case in.Rod.Opened.Known:
		d.Left = q.Known(limit - in.Rod.Opened.V)
		b.Steps = append(b.Steps, source.Step{Name: "time left", Formula: "limit − time out",
			With: short(limit.Hours()) + " − " + short(in.Rod.Opened.V.Hours()), Value: d.Left.V.Hours(), Unit: "h"})
		if d.Left.V >= 0 {
			d.Say = fmt.Sprintf("%s left; what is over goes back to the oven for %s h or more.", hoursText(d.Left.V), short(fig("return-to-oven").Likely))
			return
		}
	}
	// Past its limit, or nobody knows for how long it has been out.
	state, say := Rebake, "Bake it once before use."
	if in.Rebaked {
		state, say = Scrap, "It was baked once already: scrap it."
	}
	past := fig("past-exposure-level")
	b.Also = append(b.Also, past.Ref)
	columnB := exposures[d.Class.exposure].b
	if in.Rod.Opened.Known && in.Rod.Opened.V <= columnB && d.Hydrogen.Or(Uncontrolled()) < q.Hydrogen(past.Likely) {
		bad(q.Hydrogen(past.Likely), state, "Out longer than its "+hoursText(limit)+". "+say)
		return
	}
	if in.Rod.Opened.Known {
		say = "Out much longer than its " + hoursText(limit) + ". " + say
	} else {
		say = "Nobody knows how long it has been out. " + say
	}
	bad(Uncontrolled(), state, say)
}

func orUnknown(s string) string {
	if s == "" {
		return "unknown"
	}
	return s
}

func openedText(t q.Maybe[q.Time]) string {
	if !t.Known {
		return "unknown"
	}
	return hoursText(t.V)
}
