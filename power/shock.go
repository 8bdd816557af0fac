package power

import (
	_ "embed"
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Shock from the open-circuit voltage.
//
// Limits: IEC 60974-1, as a machine manual quotes it (read): in wet, cramped or
// conductive places DC 113 V peak, AC 68 V peak and 48 V rms; in ordinary places
// DC 113 V, AC 113 V peak and 80 V rms. The no-load voltages of two sources on
// one part can add.

//go:embed shock.csv
var shockCSV string

// Place is where the welder stands.
type Place string

// The places.
const (
	WetPlace    Place = "wet" // or cramped, or all metal around
	NormalPlace Place = "normal"
)

// VoltKind is how a voltage is measured.
type VoltKind string

// The kinds of voltage.
const (
	DCPeak VoltKind = "dc-peak"
	ACPeak VoltKind = "ac-peak"
	ACRMS  VoltKind = "ac-rms"
)

type shockRow struct {
	place Place
	kind  VoltKind
	volts q.Voltage
	ref   source.Ref
}

var shocks = mustShocks(shockCSV)

func mustShocks(text string) []shockRow {
	var all []shockRow
	for _, r := range source.Table("shock.csv", text) {
		all = append(all, shockRow{Place(r.Text("place")), VoltKind(r.Text("kind")), q.Voltage(r.Num("volts")), r.Ref()})
	}
	return all
}

// ShockIn is what the shock check takes.
type ShockIn struct {
	Volts q.Maybe[q.Voltage] // open circuit, of one source
	Kind  VoltKind
	Place Place              // empty: taken as wet
	Other q.Maybe[q.Voltage] // a second source on the same part
	Two   job.Answer         // is there a second source on the same part?
}

// Shock is the answer of the shock check.
type Shock struct {
	Limit q.Voltage
	Sum   q.Maybe[q.Voltage] // the most that two hands can find
	Over  bool               // above the limit, or not known
	Warn  []Saying
}

// ShockCheck compares the open-circuit voltage with the limit of the place. Method id: shock.
func ShockCheck(in ShockIn) (source.Result[Shock], error) {
	var none source.Result[Shock]
	place := in.Place
	if place == "" {
		place = WetPlace
	}
	for _, r := range shocks {
		if r.place != place || r.kind != in.Kind {
			continue
		}
		if in.Volts.Known && !(in.Volts.V >= 0 && in.Volts.V <= 500) || in.Other.Known && !(in.Other.V >= 0 && in.Other.V <= 500) {
			return none, fmt.Errorf("open-circuit voltage of %s: read the nameplate (40 to 113 V is usual)", voltText(max(in.Volts.Or(0), in.Other.Or(0))))
		}
		v := Shock{Limit: r.volts, Sum: in.Volts, Over: !in.Volts.Known || in.Volts.V > r.volts, Warn: append([]Saying(nil), sayings["shock"]...)}
		b := source.Basis{
			Method: "shock", Title: "Shock from the open-circuit voltage", Formula: "open-circuit voltage ≤ limit of the place",
			Inputs: []source.Input{{Name: "place", Text: string(place)}, {Name: "kind", Text: string(in.Kind)}},
			Steps:  []source.Step{{Name: "limit", Value: float64(r.volts), Unit: "V"}},
			Ref:    r.ref,
			Why:    "Wet gloves and a wet deck let the no-load voltage through you, and AC holds you to it.",
			Skip:   "It kills, most often in a cramped, sweaty place.",
		}
		if in.Place == "" {
			b.Notes = append(b.Notes, "Place not known: taken as wet or cramped.")
		}
		if in.Other.Known || in.Two == job.Yes {
			if in.Volts.Known && in.Other.Known {
				v.Sum = q.Known(in.Volts.V + in.Other.V)
				v.Over = v.Over || v.Sum.V > r.volts
				b.Steps = append(b.Steps, source.Step{Name: "two sources can add", With: voltText(in.Volts.V) + " + " + voltText(in.Other.V), Value: float64(v.Sum.V), Unit: "V"})
			} else {
				v.Sum, v.Over = q.Maybe[q.Voltage]{}, true
				b.Notes = append(b.Notes, "A second source of unknown voltage: the sum is not known, so it counts as too high.")
			}
		}
		for _, s := range v.Warn {
			b.Notes = append(b.Notes, s.Text)
		}
		return source.Result[Shock]{Value: v, Basis: b}, nil
	}
	return none, fmt.Errorf("no limit for %q in a %q place; accepted: dc-peak, ac-peak, ac-rms in a wet or normal place", in.Kind, place)
}
