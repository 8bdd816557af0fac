package cut

// Eyes and ears at the arc.
//
// Shade: a table of least shades by process and current (29 CFR
// 1910.133(a)(5)), the comfort shade from memory, and the ISO/EN scale from
// memory. At a limit the darker row holds.
//
// Noise: time at a steady level L, dB(A):
//   OSHA   T = 8 h / 2^((L − 90)/5)   (1910.95), table ends at 115
//   NIOSH  T = 8 h / 2^((L − 85)/3)
// Validity: 85 to 130 dB(A); below it neither rule limits a shift.

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed shade.csv
var shadeCSV string

// Arc is a process as the shade table names it.
type Arc string

const (
	RodArc   Arc = "smaw"
	WireArc  Arc = "wire"
	GougeArc Arc = "gouging"
)

// Shade is a filter number, not a dimensioned value. Zero: the table has none.
type Shade struct {
	Minimum int `json:"minimum"` // law's least
	Comfort int `json:"comfort"` // usual choice, from memory
	ISO     int `json:"iso"`     // EN 169 scale, from memory
}

type shadeRow struct {
	arc   Arc
	amps  q.Of[q.Current]
	shade Shade
	ref   source.Ref
}

var shades = mustReadShades(shadeCSV)

func mustReadShades(text string) []shadeRow {
	var all []shadeRow
	for _, r := range source.Table("shade.csv", text) {
		all = append(all, shadeRow{Arc(r.Text("process")), q.Of[q.Current]{Low: q.Current(r.Num("amps_low")), High: q.Current(r.Num("amps_high"))},
			Shade{int(r.Num("minimum")), int(r.Num("comfort")), int(r.Num("iso"))}, r.Ref()})
	}
	return all
}

// ShadeFor gives the filter shade for a process at its current.
func ShadeFor(arc Arc, i q.Current) (source.Result[Shade], error) {
	var v Shade
	var refs []source.Ref
	low, high := math.Inf(1), 0.0
	for _, r := range shades {
		if r.arc != arc {
			continue
		}
		if r.shade.Minimum > 0 {
			low, high = min(low, float64(r.amps.Low)), max(high, float64(r.amps.High))
		}
		if !r.amps.Has(i) {
			continue
		}
		// at the limit between two rows the later, darker one is taken
		if r.shade.Minimum > 0 {
			v.Minimum, v.Comfort = r.shade.Minimum, r.shade.Comfort
		} else {
			v.ISO = r.shade.ISO
		}
		refs = append(refs, r.ref)
	}
	if math.IsInf(low, 1) {
		return source.Result[Shade]{}, fmt.Errorf("no shade table for %q: use smaw, wire or gouging", arc)
	}
	if err := source.InRange("gouge-shade", "current", float64(i), low, high, "A", "ask the maker of the filter"); err != nil {
		return source.Result[Shade]{}, err
	}
	b := source.Basis{
		Method: "gouge-shade", Title: "Filter shade", Formula: "table by process and current",
		Inputs: []source.Input{{Name: "process", Text: string(arc)}, {Name: "current", Text: fmt.Sprintf("%.0f A", float64(i))}},
		Steps:  []source.Step{{Name: "least shade", Value: float64(v.Minimum)}, {Name: "comfortable shade (from memory)", Value: float64(v.Comfort)}},
		Ref:    refs[0], Also: append(refs[1:], source.At("ansi-z49.1", "comfort shade", source.Memory)),
		Notes: []string{"start too dark and go lighter until the work is seen, never below the least shade"},
		Why:   "The arc burns the retina without pain.",
		Skip:  "Arc eye the same night; cataract in later years.",
	}
	if v.ISO > 0 {
		b.Steps = append(b.Steps, source.Step{Name: "EN 169 scale (from memory)", Value: float64(v.ISO)})
	}
	return source.Result[Shade]{Value: v, Basis: b}, nil
}

// SoundLevel is a level in dB(A).
type SoundLevel float64

// NoiseTime is how long a bare ear may be in the noise in one day.
type NoiseTime struct {
	OSHA  q.Time `json:"osha"` // zero above the end of the table
	NIOSH q.Time `json:"niosh"`
}

// Noise gives the time an unprotected ear may be in a level.
func Noise(l SoundLevel) (source.Result[NoiseTime], error) {
	oL, oX, nL, nX, h := figure("osha-level"), figure("osha-exchange"), figure("niosh-level"), figure("niosh-exchange"), figure("noise-hours")
	if err := source.InRange("gouge-noise", "level", float64(l), nL.Likely, figure("noise-top").High, "dB(A)", "below it neither rule limits a shift; above it no bare ear at all"); err != nil {
		return source.Result[NoiseTime]{}, err
	}
	v := NoiseTime{NIOSH: q.Time(h.Likely / math.Pow(2, (float64(l)-nL.Likely)/nX.Likely))}
	b := source.Basis{
		Method: "gouge-noise", Title: "Time in noise without protection", Formula: "T = 8 h / 2^((L − L8) / exchange)",
		Inputs: []source.Input{{Name: "level", Text: fmt.Sprintf("%.0f dB(A)", float64(l))}},
		Ref:    oL.Ref, Also: []source.Ref{nL.Ref},
		Notes: []string{"times for the bare ear; wear plugs under muffs for any gouging"},
		Why:   "Five minutes of gouging can be a whole day's dose.",
		Skip:  "Hearing that does not come back.",
	}
	if float64(l) <= oL.High {
		v.OSHA = q.Time(h.Likely / math.Pow(2, (float64(l)-oL.Likely)/oX.Likely))
		b.Steps = append(b.Steps, source.Step{Name: "OSHA", Formula: "8 h / 2^((L − 90)/5)", With: fmt.Sprintf("8 / 2^((%.0f − %.0f)/%.0f)", float64(l), oL.Likely, oX.Likely), Value: v.OSHA.Minutes(), Unit: "min"})
	} else {
		b.Steps = append(b.Steps, source.Step{Name: "OSHA", Text: "table ends at 115 dB(A): no bare ear", Unit: "min"})
	}
	b.Steps = append(b.Steps, source.Step{Name: "NIOSH", Formula: "8 h / 2^((L − 85)/3)", With: fmt.Sprintf("8 / 2^((%.0f − %.0f)/%.0f)", float64(l), nL.Likely, nX.Likely), Value: v.NIOSH.Minutes(), Unit: "min"})
	return source.Result[NoiseTime]{Value: v, Basis: b}, nil
}
