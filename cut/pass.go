package cut

// What one pass of a carbon leaves.
//
// Method
//   d   diameter of the carbon, mm;  w width, p depth of one pass, mm
//   w = d + 3.2 (1/8 in)             handbook rule, the planning value
//   w = 1.5·d, p = 0.8·d, I = 40·d   producer's rule
//   p/d from 0.6 to 1.3              span of the only table read
//   p/d > 1.5                        refused: several passes
// The depth follows angle, speed and hand, not the amps: it is an input.
// Validity: listed carbons. Source: aws-c5.3 (from memory), gouge-cr, gouge-bw.

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed passes.csv
var passesCSV string

// passRow is one published pass: width and depth of a carbon at its amps.
type passRow struct {
	d            q.Length
	amps         q.Of[q.Current]
	width, depth q.Of[q.Length]
	ref          source.Ref
}

var passTable = mustReadPasses(passesCSV)

func mustReadPasses(text string) []passRow {
	var all []passRow
	for _, r := range source.Table("passes.csv", text) {
		mm := func(c string) q.Length { return q.Length(r.Num(c)) * q.Millimetre }
		all = append(all, passRow{mm("mm"), q.Of[q.Current]{Low: q.Current(r.Num("amps_low")), High: q.Current(r.Num("amps_high"))},
			q.Of[q.Length]{Low: mm("width_low"), High: mm("width_high")}, q.Of[q.Length]{Low: mm("depth_low"), High: mm("depth_high")}, r.Ref()})
	}
	return all
}

func publishedPass(d q.Length) (passRow, bool) {
	tol := figure("size-tolerance").High
	for _, p := range passTable {
		if math.Abs(float64(p.d-d)) <= tol+1e-9 {
			return p, true
		}
	}
	return passRow{}, false
}

// Pass is what one pass of a carbon leaves.
type Pass struct {
	Width  q.Length       `json:"width"`  // planning width
	Widths q.Of[q.Length] `json:"widths"` // of all rules and tables
	Depth  q.Length       `json:"depth"`
	Depths q.Of[q.Length] `json:"depths"` // usual depth of one pass
	Area   q.Area         `json:"area"`
	Mass   q.LineMass     `json:"mass"` // metal removed
	Warn   string         `json:"warn,omitempty"`
}

// passWidth is the planning width of a pass.
func passWidth(d q.Length) q.Length { return d + q.Length(figure("width-add").Likely) }

// PassWidth is the width that one pass of the carbon leaves (d + 3.2 mm).
func PassWidth(d q.Length) (source.Result[q.Length], error) {
	p, err := OnePass(d, q.Maybe[q.Length]{})
	return source.Result[q.Length]{Value: p.Value.Width, Basis: p.Basis}, err
}

// OnePass gives the groove of one pass. An unknown depth is planned at 0.8·d.
// A depth above 1.5·d in one pass is refused; outside 0.6 to 1.3·d it warns.
func OnePass(d q.Length, depth q.Maybe[q.Length]) (source.Result[Pass], error) {
	var none source.Result[Pass]
	c, err := carbonOf("gouge-pass", DCEP, d)
	if err != nil {
		return none, err
	}
	add, ratio, dr, top := figure("width-add"), figure("width-ratio"), figure("depth-ratio"), figure("depth-single-max")
	p, from := q.Length(dr.Likely)*d, "0.8·d, planned"
	if depth.Known {
		p, from = depth.V, "given"
		if err := positive("the depth of a pass", p); err != nil {
			return none, err
		}
		if err := source.InRange("gouge-pass", "depth of one pass", p.MM(), 0, top.High*d.MM(), "mm",
			"take the depth in several passes or use a larger carbon"); err != nil {
			return none, err
		}
	}
	w := passWidth(d)
	v := Pass{Width: w, Widths: q.Span(w, q.Length(ratio.Likely)*d), Depth: p,
		Depths: q.Of[q.Length]{Low: q.Length(dr.Low) * d, High: q.Length(dr.High) * d}, Area: sectionOf(w, p)}
	v.Mass = q.LineMass(float64(v.Area) * figure("density").Likely)
	b := source.Basis{
		Method: "gouge-pass", Title: "Groove of one pass", Formula: "w = d + 3.2 mm; p = 0.6 to 1.3 × d",
		Inputs: []source.Input{{Name: "carbon", Text: length(d)}, {Name: "depth", Text: length(p), From: from}},
		Steps: []source.Step{
			{Name: "width", Formula: "d + 1/8 in", With: fmt.Sprintf("%.2f + %.3f", d.MM(), add.Likely*1e3), Value: w.MM(), Unit: "mm"},
			{Name: "width, producer's rule", Formula: "1.5·d", With: fmt.Sprintf("%.1f × %.2f", ratio.Likely, d.MM()), Value: ratio.Likely * d.MM(), Unit: "mm"},
			{Name: "depth over diameter", Formula: "p / d", With: fmt.Sprintf("%.2f / %.2f", p.MM(), d.MM()), Value: float64(p / d)},
			{Name: "section", Value: v.Area.MM2(), Unit: "mm²"},
			{Name: "metal removed", Value: float64(v.Mass), Unit: "kg/m"},
		},
		Ref:  add.Ref,
		Also: []source.Ref{ratio.Ref, dr.Ref, top.Ref},
		Notes: []string{
			"the depth follows angle, speed and hand, not the amps: measure the first pass and enter it",
			"the trade figure of 1/4 in deep from a 3/16 in carbon is deeper than the table read (3 to 5 mm)",
		},
		Why:  "The pass must be narrower than the groove wanted and shallow enough to see whether the crack is still there.",
		Skip: "Too deep in one go, and the melt is not thrown clear and the bottom cannot be read.",
	}
	if t, ok := publishedPass(c.d); ok {
		b.Steps = append(b.Steps, source.Step{Name: "table BW", With: fmt.Sprintf("%.4g mm at %s", t.d.MM(), amps(t.amps)),
			Value: t.width.Mid().MM(), Unit: "mm", Text: fmt.Sprintf("width %s, depth %s", lengths(t.width), lengths(t.depth))})
		b.Also = append(b.Also, t.ref)
		v.Widths.Low, v.Widths.High = min(v.Widths.Low, t.width.Low), max(v.Widths.High, t.width.High)
	}
	switch x := float64(p / d); {
	case x > dr.High:
		v.Warn = fmt.Sprintf("%.2g × the carbon's diameter is deeper than the published 0.6 to 1.3: expect poor clearing; more passes are better", x)
	case x < dr.Low:
		v.Warn = fmt.Sprintf("%.2g × the carbon's diameter is shallower than the published 0.6 to 1.3: a smaller carbon is easier to hold", x)
	}
	if v.Warn != "" {
		b.Notes = append(b.Notes, v.Warn)
	}
	return source.Result[Pass]{Value: v, Basis: b}, nil
}

// Thumb is the producer's rule for one carbon.
type Thumb struct {
	Width   q.Length  `json:"width"`
	Depth   q.Length  `json:"depth"`
	Current q.Current `json:"current"`
}

// ProducerRule gives the rod producer's rule of thumb: 1.5·d wide, 0.8·d deep, 40·d amps.
func ProducerRule(d q.Length) (source.Result[Thumb], error) {
	if _, err := carbonOf("gouge-thumb", DCEP, d); err != nil {
		return source.Result[Thumb]{}, err
	}
	w, p, i := figure("width-ratio"), figure("depth-ratio"), figure("amps-per-mm")
	v := Thumb{q.Length(w.Likely) * d, q.Length(p.Likely) * d, q.Current(i.Likely * float64(d))}
	return source.Result[Thumb]{Value: v, Basis: source.Basis{
		Method: "gouge-thumb", Title: "Producer's rule of thumb for a carbon", Formula: "w = 1.5·d, p = 0.8·d, I = 40·d",
		Inputs: []source.Input{{Name: "carbon", Text: length(d)}},
		Steps: []source.Step{
			{Name: "width", Formula: "1.5·d", With: fmt.Sprintf("%.1f × %.4g", w.Likely, d.MM()), Value: v.Width.MM(), Unit: "mm"},
			{Name: "depth", Formula: "0.8·d", With: fmt.Sprintf("%.1f × %.4g", p.Likely, d.MM()), Value: v.Depth.MM(), Unit: "mm"},
			{Name: "current", Formula: "40·d", With: fmt.Sprintf("%.0f × %.4g", i.Likely*1e-3, d.MM()), Value: float64(v.Current), Unit: "A"},
		},
		Ref:   w.Ref,
		Notes: []string{"the current is low for carbons of 6 mm and less: see gouge-current"},
		Why:   "A rule for the head, to see whether a table was misread.",
		Skip:  "A slip in reading a table goes unnoticed.",
	}}, nil
}
