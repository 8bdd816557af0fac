package filler

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Length of weld per rod for a window of arc energy: the heat input put into
// something that a welder can measure with a tape.
//
// Method: longest run = energy of one rod / lowest arc energy, shortest run =
// energy / highest. The energy of one rod comes two ways: the run-out factor
// (D²·L·F, see runout.go) and volts × amps × seconds of a rod. His own timed rod
// goes first; else the range that both ways allow; where they allow none in
// common, the factor's with a note.

// Stick is one rod as it is used.
type Stick struct {
	Class  Class
	Core   q.Length
	Length q.Maybe[q.Length]  // unknown: 14 in
	Mass   q.Maybe[q.Mass]    // of one rod, weighed
	Amps   q.Maybe[q.Current] // unknown: the usual flat amps
	Volts  q.Maybe[q.Voltage] // at the arc; unknown: the usual
	Burn   q.Maybe[q.Time]    // timed by himself
}

func (s Stick) length() q.Length { return s.Length.Or(UsualRod().Length) }

// Usual is the rod that the tables are made for.
type Usual struct {
	Length     q.Length
	Stub       q.Length // thrown away, for deposit and cost
	RunOutStub q.Length // that the run-out factor counts
}

// UsualRod gives the usual rod.
func UsualRod() Usual {
	mm := func(id string) q.Length { return q.Length(fig(id).Likely) * q.Millimetre }
	return Usual{mm("rod-length"), mm("stub"), mm("run-out-stub")}
}

// RodLength is the length of weld to make with one rod.
type RodLength struct {
	Use      q.Of[q.Length]          // stay between these
	ByFactor q.Maybe[q.Of[q.Length]] // from the run-out factor
	ByBurn   q.Maybe[q.Of[q.Length]] // from volts × amps × seconds
	Own      bool                    // the burn time is his own
}

// LengthPerRod turns a window of arc energy (without k) into the length of weld
// to make with one rod. Method id: length-per-rod.
func LengthPerRod(window q.Of[q.HeatInput], s Stick) (source.Result[RodLength], error) {
	var none source.Result[RodLength]
	if window.Low > window.High {
		return none, fmt.Errorf("no window of heat input: the lowest, %s, is above the highest, %s", heatText(window.Low), heatText(window.High))
	}
	for _, e := range []q.HeatInput{window.Low, window.High} {
		if err := within("run-out", "heat input", e.KJPerMM()); err != nil {
			return none, err
		}
	}
	if s.Class.Process != Rod {
		return none, fmt.Errorf("%s is a wire: weld per rod is for rods; with wire use volts, amps and travel speed", s.Class.ID)
	}
	b := source.Basis{
		Method: "length-per-rod", Title: "Length of weld to make with one rod", Formula: "ROL = energy of one rod / E",
		Inputs: []source.Input{
			{Name: "arc energy window", Text: spanText(window, heatText)},
			{Name: "class", Text: s.Class.String()}, {Name: "core", Text: lengthText(s.Core)}, {Name: "rod length", Text: lengthText(s.length())},
		},
		Ref:  source.At("bs5135", "run-out tables", source.Memory),
		Why:  "The heat window becomes a mark on the plate: this rod must not end before here nor after there.",
		Skip: "Without the mark the heat input is whatever the hand felt like.",
	}
	if !s.Length.Known {
		b.Notes = append(b.Notes, "Rod length not given: taken as 14 in (356 mm).")
	}
	// kJ of one rod → mm of weld
	run := func(kJ float64) q.Of[q.Length] {
		return q.Of[q.Length]{Low: q.Length(kJ/window.High.KJPerMM()) * q.Millimetre, High: q.Length(kJ/window.Low.KJPerMM()) * q.Millimetre}
	}
	var v RodLength
	factorErr := func() error {
		f, err := FactorOf(s.Class)
		if err != nil {
			return err
		}
		consumed := s.length() - UsualRod().RunOutStub
		if err := runOutRange(s.Core, consumed, f.Value); err != nil {
			return err
		}
		kJ := s.Core.MM() * s.Core.MM() * consumed.MM() * f.Value.kJPerMM3()
		v.ByFactor = q.Known(run(kJ))
		b.Steps = append(b.Steps, source.Step{Name: "energy of one rod, run-out factor", Formula: "D² · L · F",
			With: short(s.Core.MM()) + "² × " + short(consumed.MM()) + " × " + short(f.Value.kJPerMM3()), Value: kJ, Unit: "kJ", Text: spanText(v.ByFactor.V, lengthText)})
		b.Also = append(b.Also, fig("run-out-stub").Ref, f.Basis.Ref)
		return nil
	}()
	if err := s.burn(&v, run, &b); err != nil && factorErr != nil {
		return none, factorErr
	}
	v.choose(&b)
	b.Steps = append(b.Steps, source.Step{Name: "weld from one rod", Value: v.Use.Mid().MM(), Unit: "mm", Text: spanText(v.Use, lengthText)})
	return source.Result[RodLength]{Value: v, Basis: b}, nil
}

// burn fills the way by volts × amps × seconds.
func (s Stick) burn(v *RodLength, run func(float64) q.Of[q.Length], b *source.Basis) error {
	usual, err := TypicalBurn(s.Class, s.Core, s.length())
	burn := usual.Value
	if err != nil && !(s.Burn.Known && s.Amps.Known && s.Volts.Known) {
		return err
	}
	own := s.Burn.Known
	if s.Amps.Known && !own {
		// A rod holds so much metal: fewer amps, longer burn, at about the same energy.
		burn.Time *= q.Time(burn.Amps / s.Amps.V)
	}
	burn = Burn{s.Amps.Or(burn.Amps), s.Volts.Or(burn.Volts), s.Burn.Or(burn.Time)}
	for _, c := range []struct {
		name string
		v    float64
	}{{"arc voltage", float64(burn.Volts)}, {"current", float64(burn.Amps)}, {"arc time", float64(burn.Time)}} {
		if err := within("rod-heat", c.name, c.v); err != nil {
			return err
		}
	}
	kJ := float64(burn.Volts) * float64(burn.Amps) * float64(burn.Time) / 1000
	v.ByBurn, v.Own = q.Known(run(kJ)), own
	name := "energy of one rod, usual burn"
	if own {
		name = "energy of one rod, as you timed it"
		b.Also = append(b.Also, source.At("en1011-1", "arc energy", source.Read))
	} else {
		b.Also = append(b.Also, usual.Basis.Ref)
	}
	b.Steps = append(b.Steps, source.Step{Name: name, Formula: "V · I · t / 1000",
		With: short(float64(burn.Volts)) + " × " + short(float64(burn.Amps)) + " × " + short(float64(burn.Time)) + " / 1000", Value: kJ, Unit: "kJ", Text: spanText(v.ByBurn.V, lengthText)})
	return nil
}

// choose settles which range to use.
func (v *RodLength) choose(b *source.Basis) {
	switch {
	case !v.ByBurn.Known:
		v.Use = v.ByFactor.V
		b.Notes = append(b.Notes, "No burn figures for this rod: run-out factor only. Time one rod to be surer.")
	case v.Own || !v.ByFactor.Known:
		v.Use = v.ByBurn.V
	default:
		shared, ok := v.ByFactor.V.Meet(v.ByBurn.V)
		v.Use = shared
		if !ok {
			v.Use = v.ByFactor.V
			b.Notes = append(b.Notes, "The window is too narrow for both ways of counting; the run-out factor is used. Time one rod and use that.")
		}
	}
	if v.ByFactor.Known && v.ByBurn.Known {
		apart := math.Abs(float64(v.ByBurn.V.High/v.ByFactor.V.High) - 1)
		if limit := fig("joule-check-share"); apart > limit.Likely {
			b.Notes = append(b.Notes, fmt.Sprintf("The timed rod and the run-out factor differ by %.0f %%.", 100*apart))
		}
	}
}
