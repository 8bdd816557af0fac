package power

import (
	"fmt"

	"soundmetal/cut"
	"soundmetal/filler"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// What a rod and a carbon ask of the rig.

// UseKind is what the current is for.
type UseKind string

// The kinds of use.
const (
	Weld  UseKind = "weld"
	Gouge UseKind = "gouge"
)

// Use is one thing the rig shall run.
type Use struct {
	Name    string                `json:"name"` // "E7018 3.2 mm", "carbon 4.8 mm"
	Kind    UseKind               `json:"kind"`
	Size    q.Length              `json:"size"`
	Amps    q.Of[q.Current]       `json:"amps"`  // band that does the work
	Volts   q.Of[q.Voltage]       `json:"volts"` // at the arc
	Plan    q.Voltage             `json:"plan"`  // at the arc, the figure to plan with
	Duty    q.Ratio               `json:"duty"`  // asked of the source
	Air     q.Maybe[cut.Supplied] `json:"air"`
	OnTruck bool                  `json:"on_truck"`
	Refs    []source.Ref          `json:"sources"`
}

// ConventionalVolts is the load voltage at which rod machines are rated:
// 20 + 0.04·I, 44 V at most (IEC 60974-1, from memory).
func ConventionalVolts(i q.Current) q.Voltage {
	v := fig("load-volts-base").Likely + fig("load-volts-slope").Likely*float64(i)
	return q.Voltage(min(v, fig("load-volts-top").Likely))
}

// WeldUse is what a rod asks: the amps of its size and position, and the arc
// voltage of a usual rod or, without one, the rating voltage at those amps.
func WeldUse(c filler.Class, size q.Length, p job.Position) (Use, error) {
	a, err := filler.AmpsFor(c, size, p)
	if err != nil {
		return Use{}, err
	}
	u := Use{Name: fmt.Sprintf("%s %s mm", c, short(size.MM())), Kind: Weld, Size: size, Amps: a.Value.Typical,
		Duty: q.Ratio(fig("weld-duty").Likely), Refs: []source.Ref{a.Basis.Ref, fig("weld-duty").Ref}}
	burn, err := filler.TypicalBurn(c, size, 14*q.Inch)
	if err == nil {
		u.Volts, u.Plan = q.At(burn.Value.Volts), burn.Value.Volts
		u.Refs = append(u.Refs, burn.Basis.Ref)
	} else {
		u.Volts = q.Of[q.Voltage]{Low: ConventionalVolts(u.Amps.Low), High: ConventionalVolts(u.Amps.High)}
		u.Plan = u.Volts.High
		u.Refs = append(u.Refs, fig("load-volts-base").Ref)
	}
	return u, nil
}

// GougeUse is what a carbon asks: the current band and the air of the gouging
// room, 35 to 56 V at the arc (40 V to plan with), 60 % duty.
func GougeUse(d q.Length) (Use, error) {
	i, err := cut.Current(d)
	if err != nil {
		return Use{}, err
	}
	air, err := cut.Air(d, "")
	if err != nil {
		return Use{}, err
	}
	volts, duty := fig("gouge-volts"), fig("gouge-duty")
	return Use{Name: "carbon " + short(d.MM()) + " mm", Kind: Gouge, Size: d, Amps: i.Value,
		Volts: q.Of[q.Voltage]{Low: q.Voltage(volts.Low), High: q.Voltage(volts.High)}, Plan: q.Voltage(volts.Likely), Duty: q.Ratio(duty.Likely),
		Air: q.Known(air.Value), Refs: []source.Ref{i.Basis.Ref, air.Basis.Ref, volts.Ref, duty.Ref}}, nil
}
