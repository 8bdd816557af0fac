package joint

// Limits of one pass by position.
//
// Method: a table look-up. Source: AWS D1.1:2020 Table 5.1 (prequalified
// procedures); low-hydrogen rods of 4.0 mm at most vertical and overhead from
// memory. An unknown position takes the tightest row of each.

import (
	_ "embed"
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed passlimits.csv
var passLimitsCSV string

// Feed says whether the filler is a coated rod or a wire.
type Feed string

const (
	Rod  Feed = "rod"
	Wire Feed = "wire"
)

// PassLimits are the largest pass and the thickest rod or wire.
type PassLimits struct {
	Root       q.Length `json:"root"`      // thickness of the root pass
	Layer      q.Length `json:"layer"`     // thickness of a fill layer
	Fillet     q.Length `json:"fillet"`    // leg of a single-pass fillet
	RootSize   q.Length `json:"root_size"` // core diameter for the root
	FillSize   q.Length `json:"fill_size"` // core diameter for fill and cap of a groove
	FilletSize q.Length `json:"fillet_size"`
}

type limitRow struct {
	at  map[job.Position]q.Length
	ref source.Ref
}

var limitTable = mustReadLimits(passLimitsCSV)

func mustReadLimits(text string) map[string]limitRow {
	all := map[string]limitRow{}
	for _, r := range source.Table("passlimits.csv", text) {
		l := limitRow{at: map[job.Position]q.Length{}, ref: r.Ref()}
		least := r.Num("flat")
		for _, p := range []job.Position{job.Flat, job.Horizontal, job.Vertical, job.Overhead} {
			mm := r.Num(string(p))
			l.at[p] = q.Length(mm) * q.Millimetre
			least = min(least, mm)
		}
		l.at[""] = q.Length(least) * q.Millimetre
		all[r.Text("item")+" "+r.Text("process")] = l
	}
	return all
}

// limitsAt looks the limits up.
func limitsAt(pos job.Position, f Feed, lowHydrogen bool) (PassLimits, error) {
	if f != Rod && f != Wire {
		return PassLimits{}, fmt.Errorf("no filler %q: say rod or wire", f)
	}
	if _, ok := limitTable["layer rod"].at[pos]; !ok {
		return PassLimits{}, fmt.Errorf("no position %q: say flat, horizontal, vertical or overhead", pos)
	}
	get := func(item string) q.Length { return limitTable[item+" "+string(f)].at[pos] }
	v := PassLimits{get("root"), get("layer"), get("fillet"), get("size-root"), get("size-fill"), get("size-fillet")}
	if lowHydrogen && f == Rod {
		most := get("size-low-hydrogen")
		v.RootSize, v.FillSize, v.FilletSize = min(v.RootSize, most), min(v.FillSize, most), min(v.FilletSize, most)
	}
	return v, nil
}

// Limits gives the limits of one pass in a position.
func Limits(pos job.Position, f Feed, lowHydrogen bool) (source.Result[PassLimits], error) {
	v, err := limitsAt(pos, f, lowHydrogen)
	if err != nil {
		return source.Result[PassLimits]{}, err
	}
	row := limitTable["layer "+string(f)]
	b := source.Basis{
		Method: "pass-limits", Title: "Largest pass by position", Formula: "table",
		Inputs: []source.Input{{Name: "position", Text: or(string(pos), "not known, counted as the tightest")}, {Name: "filler", Text: string(f)}},
		Steps: []source.Step{
			{Name: "root pass, thickness", Value: v.Root.MM(), Unit: "mm"}, {Name: "fill layer, thickness", Value: v.Layer.MM(), Unit: "mm"},
			{Name: "single-pass fillet, leg", Value: v.Fillet.MM(), Unit: "mm"}, {Name: "root, diameter", Value: v.RootSize.MM(), Unit: "mm"},
			{Name: "fill, diameter", Value: v.FillSize.MM(), Unit: "mm"},
		},
		Ref:   row.ref,
		Notes: []string{"limits of prequalified procedures in D1.1; D14.3 is the code for machines"},
		Why:   "A thick pass hides slag and cracks down its middle.",
		Skip:  "A hot crack in the root that the next bead covers.",
	}
	if lowHydrogen && f == Rod {
		b.Also = append(b.Also, limitTable["size-low-hydrogen rod"].ref)
	}
	return source.Result[PassLimits]{Value: v, Basis: b}, nil
}
