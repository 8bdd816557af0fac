package filler

import (
	_ "embed"
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Exposure of low-hydrogen rods: the hours that a rod may be out of the sealed
// tin or the oven before it must be baked again.
//
// Method: AWS D1.1 Table 5.1 (exposure), column A; column B only with tests.
// The R mark (9 h) is listed there for E70XX rods. For stronger rods with an R
// mark the table's own column A stands, which is the cautious reading.
// On A514/A517 rods below E90 get half (from memory).

//go:embed exposure.csv
var exposureCSV string

//go:embed bake.csv
var bakeCSV string

type exposureRow struct {
	rods string
	a, b q.Time
	r    q.Maybe[q.Time]
	ref  source.Ref
	refB source.Ref
}

type bakeRow struct {
	rods string
	temp q.Of[q.Temperature]
	time q.Time
	ref  source.Ref
}

var (
	exposures = mustExposures(exposureCSV)
	bakes     = mustBakes(bakeCSV)
)

func mustExposures(text string) map[string]exposureRow {
	all := map[string]exposureRow{}
	for _, r := range source.Table("exposure.csv", text) {
		all[r.Text("group")] = exposureRow{r.Text("rods"), q.Time(r.Num("column_a_h")) * q.Hour, q.Time(r.Num("column_b_h")) * q.Hour,
			source.Maybe(r, "r_h", q.Hour), r.Ref(), source.At(r.Text("source"), r.Text("where"), source.Status(r.Text("status_b")))}
	}
	return all
}

func mustBakes(text string) map[string]bakeRow {
	all := map[string]bakeRow{}
	for _, r := range source.Table("bake.csv", text) {
		all[r.Text("group")] = bakeRow{r.Text("rods"),
			q.Of[q.Temperature]{Low: q.Temperature(r.Num("low_c")), High: q.Temperature(r.Num("high_c"))},
			q.Time(r.Num("hours")) * q.Hour, r.Ref()}
	}
	return all
}

// halved says whether the class is below E90 and so kept shorter on A514 and A517.
func (c Class) halved() bool {
	return c.exposure == "e70" || c.exposure == "e7018m" || c.exposure == "e80"
}

// Exposure gives the hours a low-hydrogen rod may lie out. onQT: the rod is for
// quenched and tempered steel (A514, A517). Method id: exposure.
func Exposure(c Class, onQT bool) (source.Result[q.Time], error) {
	row, ok := exposures[c.exposure]
	if !ok {
		return source.Result[q.Time]{}, fmt.Errorf("%s has no exposure time: the table is for low-hydrogen rods (E7016, E7018, EXX18); keep this one dry as its tin says", c.ID)
	}
	limit, from := row.a, "column A"
	b := source.Basis{
		Method: "exposure", Title: "Hours a low-hydrogen rod may be out of the tin or oven",
		Inputs: []source.Input{{Name: "class", Text: c.String(), From: "read on the tin"}},
		Ref:    row.ref,
		Also:   []source.Ref{row.refB},
		Notes:  []string{"Column B (up to " + hoursText(row.b) + ") may be used only where tests of that very rod allow it."},
		Why:    "The coating drinks water from the air; water becomes hydrogen in the weld, and hydrogen cracks hard steel hours later.",
		Skip:   "The weld can look perfect and crack in the night beside the bead.",
	}
	if c.Resist {
		if row.r.Known {
			limit, from = row.r.V, "R mark"
		} else {
			b.Notes = append(b.Notes, "The R mark is listed with 9 h for E70XX rods only; for this class the table's column A is kept. The maker's own figure may be longer.")
		}
	}
	b.Steps = append(b.Steps, source.Step{Name: "limit of " + row.rods, Formula: from, Value: limit.Hours(), Unit: "h"})
	if onQT && c.halved() {
		share := fig("qt-exposure-share")
		limit *= q.Time(share.Likely)
		b.Also = append(b.Also, share.Ref)
		b.Steps = append(b.Steps, source.Step{Name: "half on A514/A517 for rods below E90", With: "× " + short(share.Likely), Value: limit.Hours(), Unit: "h"})
	}
	if c.Assumed != "" {
		b.Notes = append(b.Notes, "Class: "+c.Assumed+".")
	}
	return source.Result[q.Time]{Value: limit, Basis: b}, nil
}

// Bake is how a rod is dried again.
type Bake struct {
	Temp  q.Of[q.Temperature] // oven temperature
	Time  q.Time              // at that temperature, at least
	Start q.Of[q.Temperature] // put in at no more than this; stay 30 min or longer on the way up
	Once  bool                // one bake in a rod's life
}

// BakeRule gives the baking of a low-hydrogen rod. Method id: bake.
func BakeRule(c Class, onQT bool) (source.Result[Bake], error) {
	row, ok := bakes[c.bake]
	if !ok {
		why := "keep it as its tin says"
		if c.Coating == Cellulosic {
			why = "its coating needs its water, and an oven ruins it"
		}
		return source.Result[Bake]{}, fmt.Errorf("%s is not baked by the low-hydrogen rule: %s", c.ID, why)
	}
	bake := Bake{Temp: row.temp, Time: row.time, Once: true}
	b := source.Basis{
		Method: "bake", Title: "Baking a low-hydrogen rod again",
		Inputs: []source.Input{{Name: "class", Text: c.String(), From: "read on the tin"}},
		Ref:    row.ref, Also: []source.Ref{fig("bake-start").Ref},
		Notes: []string{
			"Once only: a rod baked twice sheds its coating. Wet rods are scrap.",
			"The time counts from the moment the oven is at temperature; spread the rods, tins closed do not dry.",
			"The maker's sheet in the tin goes before this rule.",
		},
		Why:  "Only real heat drives the water out of the binder; a warm cab or a day in the sun does not.",
		Skip: "Rods warmed but not baked weld like damp ones.",
	}
	if onQT && c.halved() {
		qt := fig("qt-bake-low")
		bake.Temp = q.Of[q.Temperature]{Low: q.Temperature(qt.Low), High: q.Temperature(qt.High)}
		b.Also = append(b.Also, qt.Ref)
		b.Notes = append(b.Notes, "For A514/A517 a rod below E90 is baked at the hotter range.")
	}
	bake.Start = q.Of[q.Temperature]{Low: 0, High: q.Temperature(fig("bake-start").Likely) * bake.Temp.High}
	b.Steps = []source.Step{
		{Name: "oven", With: row.rods, Value: bake.Temp.Low.C(), Unit: "°C", Text: spanText(bake.Temp, tempText)},
		{Name: "time at temperature, at least", Value: bake.Time.Hours(), Unit: "h"},
		{Name: "put in at no more than", With: "half of the final temperature", Value: bake.Start.High.C(), Unit: "°C"},
	}
	return source.Result[Bake]{Value: bake, Basis: b}, nil
}
