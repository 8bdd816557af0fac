package cut

// Carbons, time and air that a plan of passes takes.
//
// Method
//   carbon burnt   = total pass length × 100 to 200 mm/m (150)
//   carbons        = ⌈burnt / (length − 50 mm stub)⌉
//   arc time       = total pass length / travel, travel 0.3 to 1.25 m/min (0.5)
//   elapsed        = arc time / operating factor 0.3 to 0.5 (0.4)
//   free air       = flow × arc time
// Where the welder has timed his own gouging (time for 100 mm of one pass, all
// in), that replaces the elapsed time.
// Validity: hand gouging. Source: gouge-cr, derived; operating factor is common
// practice. The producer's page does not say for which size its figures hold.

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// CarbonsFor gives the number of carbons that a length of passes burns. An
// unknown carbon length is 305 mm (12 in).
func CarbonsFor(passes Amount[q.Length], carbon q.Maybe[q.Length]) (source.Result[Amount[float64]], error) {
	var none source.Result[Amount[float64]]
	use, rod, stub := figure("carbon-use"), figure("carbon-length"), figure("stub")
	if err := positive("the length of all passes", passes.Likely); err != nil {
		return none, err
	}
	l, from := q.Length(rod.Likely), "assumed"
	if carbon.Known {
		l, from = carbon.V, "given"
	}
	usable := float64(l) - stub.Likely
	if !(usable > 0) {
		return none, fmt.Errorf("a carbon of %.4g mm leaves nothing to burn above a stub of %.0f mm", l.MM(), stub.Likely*1e3)
	}
	n := func(pass q.Length, use float64) float64 { return math.Ceil(float64(pass)*use/usable - 1e-9) }
	v := Amount[float64]{n(passes.Likely, use.Likely), q.Span(n(passes.Range.Low, use.Low), n(passes.Range.High, use.High))}
	return source.Result[Amount[float64]]{Value: v, Basis: source.Basis{
		Method: "gouge-carbons", Title: "Carbons needed", Formula: "⌈pass length × use / (carbon − stub)⌉",
		Inputs: []source.Input{
			{Name: "all passes together", Text: fmt.Sprintf("%.3g m", float64(passes.Likely))},
			{Name: "carbon length", Text: length(l), From: from},
		},
		Steps: []source.Step{
			{Name: "burnt", Formula: "length × use", With: fmt.Sprintf("%.3g m × %.0f mm/m", float64(passes.Likely), use.Likely*1e3), Value: float64(passes.Likely) * use.Likely * 1e3, Unit: "mm"},
			{Name: "usable of one", Formula: "length − stub", With: fmt.Sprintf("%.0f − %.0f", l.MM(), stub.Likely*1e3), Value: usable * 1e3, Unit: "mm"},
			{Name: "carbons", Value: v.Likely, Text: fmt.Sprintf("%.0f to %.0f", v.Range.Low, v.Range.High)},
		},
		Ref: use.Ref, Also: []source.Ref{stub.Ref, rod.Ref},
		Notes: []string{use.Note},
		Why:   "A groove left half done is a worse crack than the one you came for.",
		Skip:  "An hour's drive for a handful of carbons.",
	}}, nil
}

// Duration is how long the gouging takes.
type Duration struct {
	Arc     Amount[q.Time] `json:"arc"`
	Elapsed Amount[q.Time] `json:"elapsed"` // with stub changes, looks, chipping
}

// TimeFor gives arc time and elapsed time of a length of passes. per100mm is
// the welder's own time for 100 mm of one pass, all in.
func TimeFor(passes Amount[q.Length], per100mm q.Maybe[q.Time]) (source.Result[Duration], error) {
	var none source.Result[Duration]
	if err := positive("the length of all passes", passes.Likely); err != nil {
		return none, err
	}
	if per100mm.Known && !(per100mm.V > 0) {
		return none, fmt.Errorf("your own time for 100 mm must be more than 0 s, not %.4g s", float64(per100mm.V))
	}
	sp, of := figure("speed"), figure("operating-factor")
	t := func(l q.Length, per float64) q.Time { return q.Time(float64(l) / per) }
	v := Duration{Arc: Amount[q.Time]{t(passes.Likely, sp.Likely), q.Span(t(passes.Range.Low, sp.High), t(passes.Range.High, sp.Low))}}
	v.Elapsed = Amount[q.Time]{t(passes.Likely, sp.Likely*of.Likely), q.Span(t(passes.Range.Low, sp.High*of.High), t(passes.Range.High, sp.Low*of.Low))}
	b := source.Basis{
		Method: "gouge-time", Title: "Gouging time", Formula: "arc = length / travel; elapsed = arc / operating factor",
		Inputs: []source.Input{{Name: "all passes together", Text: fmt.Sprintf("%.3g m", float64(passes.Likely))}},
		Steps: []source.Step{
			{Name: "arc time", Formula: "length / travel", With: fmt.Sprintf("%.3g m / %.2g m/min", float64(passes.Likely), sp.Likely*60), Value: v.Arc.Likely.Minutes(), Unit: "min",
				Text: fmt.Sprintf("%.1f to %.1f min", v.Arc.Range.Low.Minutes(), v.Arc.Range.High.Minutes())},
			{Name: "elapsed", Formula: "arc / operating factor", With: fmt.Sprintf("%.3g min / %.2g", v.Arc.Likely.Minutes(), of.Likely), Value: v.Elapsed.Likely.Minutes(), Unit: "min",
				Text: fmt.Sprintf("%.1f to %.1f min", v.Elapsed.Range.Low.Minutes(), v.Elapsed.Range.High.Minutes())},
		},
		Ref: sp.Ref, Also: []source.Ref{of.Ref},
		Notes: []string{"without setting up, grinding and crack tests"},
		Why:   "The time goes into the price, and the noise dose runs with it.",
		Skip:  "A hopeful hour in the quote.",
	}
	if per100mm.Known {
		own := func(l q.Length) q.Time { return q.Time(float64(l)/0.1) * per100mm.V }
		v.Elapsed = Amount[q.Time]{own(passes.Likely), q.Span(own(passes.Range.Low), own(passes.Range.High))}
		b.Steps = append(b.Steps, source.Step{Name: "elapsed, own figure", Formula: "length / 100 mm × own time",
			With: fmt.Sprintf("%.3g m / 0.1 m × %.0f s", float64(passes.Likely), float64(per100mm.V)), Value: v.Elapsed.Likely.Minutes(), Unit: "min"})
		b.Notes = append(b.Notes, "elapsed time is your own figure from earlier jobs")
	}
	return source.Result[Duration]{Value: v, Basis: b}, nil
}
