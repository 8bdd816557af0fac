// Practice for steel above .32 % carbon, where every formula ends: medium and
// high carbon steel, 4140, 4340, rail, spring.
//
// Preheat and interpass from a shop chart by carbon or by steel (shop_chart.csv,
// °F). The chart dates from rods that are not low hydrogen: for 4140 and 4340 a
// lower figure is usual with hydrogen to 5 ml/100 g, taken only where the joint
// is not rigid. The surer way is isothermal: at or above the martensite start,
// held there for the whole job, then cooled slowly.
//
//	Ms = 539 − 423·C − 30.4·Mn − 17.7·Ni − 12.1·Cr − 7.5·Mo   (°C, %; C < .6)
//
// Source: shop chart (read); Andrews, JISI 203, 1965 (linear form).

package heat

import (
	"fmt"

	"soundmetal/job"
	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idMs               = "preheat-ms"
	andrewsMaxC        = 0.6             // % C
	reliefHydrogen     = q.Hydrogen(5.0) // H4 rods, and what else stays at 5 or below
	highCarbonMaxChart = 0.80            // % C, end of the chart
)

// MsInput is what the practice for high-carbon steel takes.
type MsInput struct {
	Steel     Steel
	Group     Group
	Hydrogen  q.Hydrogen
	Restraint job.Restraint // unknown counts as high
}

// MsPreheat is the outcome of the practice for high-carbon steel.
type MsPreheat struct {
	Minimum q.Temperature          `json:"minimum"`
	Chart   q.Of[q.Temperature]    `json:"chart"` // row of the shop chart
	Ms      q.Maybe[q.Temperature] `json:"ms"`    // martensite start: the isothermal way holds at or above it
}

type chartRow struct {
	overC, toC float64
	group      Group
	low, high  q.Temperature
	relief     q.Maybe[q.Temperature]
	note       string
	ref        source.Ref
}

var shopChart = loadShopChart()

func loadShopChart() []chartRow {
	var all []chartRow
	for _, r := range load("shop_chart.csv") {
		row := chartRow{overC: r.Or("over_c", 0), toC: r.Or("to_c", 0), group: Group(r.Text("group")),
			low: q.Fahrenheit(r.Num("low_f")), high: q.Fahrenheit(r.Num("high_f")), note: r.Text("note"), ref: r.Ref()}
		if r.Text("relief_f") != "" {
			row.relief = q.Known(q.Fahrenheit(r.Num("relief_f")))
		}
		all = append(all, row)
	}
	return all
}

// chartFor gives the row by steel, or by carbon; nil where the chart says
// nothing. A carbon figure at the seam of two rows takes the higher one.
func chartFor(g Group, steel *Steel) *chartRow {
	var found *chartRow
	for i := range shopChart {
		r := &shopChart[i]
		if r.group != "" {
			if r.group == g {
				return r
			}
			continue
		}
		if !steel.Unknown && float64(steel.C) > formulaCarbon && float64(steel.C) >= r.overC && float64(steel.C) <= r.toC {
			found = r // the later row is the hotter one
		}
	}
	return found
}

// minimum is the lower end of the row, with the relief for low hydrogen.
func (r *chartRow) minimum(h q.Hydrogen, restraint job.Restraint) q.Temperature {
	if r.relief.Known && h <= reliefHydrogen && (restraint == job.LowRestraint || restraint == job.MediumRestraint) {
		return r.relief.V
	}
	return r.low
}

// andrewsMs is the martensite start; its working is a method of its own (room material).
func andrewsMs(s *Steel) q.Temperature {
	return material.Andrews(material.Composition{C: s.C, Mn: s.Mn, Ni: s.Ni, Cr: s.Cr, Mo: s.Mo})
}

// PreheatMs gives the minimum preheat and interpass temperature of steel above
// .32 % carbon, and of 4140 and 4340 by name.
func PreheatMs(in MsInput) (source.Result[MsPreheat], error) {
	var none source.Result[MsPreheat]
	if err := in.Group.valid(); err != nil {
		return none, err
	}
	row := chartFor(in.Group, &in.Steel)
	if row == nil {
		if in.Steel.Unknown {
			return none, fmt.Errorf("%s: the carbon is not known and the shop chart has no row for this steel; give a carbon content or the group cr-mo or ni-cr-mo", idMs)
		}
		instead := "use preheat-cet"
		if float64(in.Steel.C) > formulaCarbon {
			instead = "no published figure: do not weld it without an engineer's procedure"
		}
		return none, &source.OutOfRange{Method: idMs, Quantity: "carbon", Value: float64(in.Steel.C), Low: formulaCarbon, High: highCarbonMaxChart, Unit: "%", Instead: instead}
	}
	if err := positive(idMs, "hydrogen", float64(in.Hydrogen), "ml/100 g"); err != nil {
		return none, err
	}
	v := MsPreheat{Minimum: row.minimum(in.Hydrogen, in.Restraint), Chart: q.Span(row.low, row.high)}
	inputs := []source.Input{input("hydrogen", hydrogenText(in.Hydrogen)), input("restraint", restraintWord(in.Restraint))}
	if !in.Steel.Unknown {
		inputs = append(inputs, input("carbon", percent(in.Steel.C)))
	}
	if in.Group != "" {
		inputs = append(inputs, input("steel", in.Group.Title()))
	}
	steps := []source.Step{{Name: "shop chart", Text: row.ref.Where, Value: row.low.F(), Unit: "°F",
		With: fmt.Sprintf("%.0f to %.0f °F", row.low.F(), row.high.F())}}
	if v.Minimum != row.low {
		steps = append(steps, source.Step{Name: "low-hydrogen rods, joint not rigid", Value: v.Minimum.F(), Unit: "°F"})
	}
	steps = append(steps, source.Step{Name: "minimum preheat", Value: v.Minimum.C(), Unit: "°C", Text: degrees(v.Minimum)})
	notes := []string{row.note, "a chart of the trade, not a standard: weld such steel only to a plan that an engineer has approved"}
	if c := float64(in.Steel.C); !in.Steel.Unknown && c > 0 && c < andrewsMaxC {
		v.Ms = q.Known(andrewsMs(&in.Steel))
		steps = append(steps, source.Step{Name: "martensite start (Andrews)", Value: v.Ms.V.C(), Unit: "°C", Text: degrees(v.Ms.V)})
		notes = append(notes, "surer still: hold the part at or above "+degrees(v.Ms.V)+" from the first run to the last, then post-heat and cool slowly")
	}
	return source.Result[MsPreheat]{Value: v, Basis: source.Basis{
		Method: idMs, Title: "Preheat of high-carbon steel by shop chart and martensite start",
		Inputs: inputs, Steps: steps, Ref: row.ref,
		Also:  []source.Ref{source.At("andrews", "linear form", source.Read), source.At("inspection-trends", "4340 question", source.Read)},
		Notes: notes,
		Why:   "This steel turns glass-hard beside the weld if it cools fast; it must stay hot until it may cool slowly.",
		Skip:  "It cracks while it cools, often with a bang, or breaks in service from a crack too small to see.",
	}}, nil
}

func restraintWord(r job.Restraint) string {
	if r == "" {
		return "not known, counted as high"
	}
	return string(r)
}
