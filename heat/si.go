// Hydrogen control by susceptibility index: minimum preheat from the steel, the
// hydrogen, the thickness and the restraint.
//
//	SI = 12·Pcm + log10(H), rounded to one decimal
//
// Pcm %; H diffusible hydrogen in ml/100 g: 5 (extra low), 10 (low), 30 (not
// controlled), or the measured or designated figure. SI gives a group A to G,
// the group with thickness and restraint gives the temperature (si_preheat.csv,
// in °F; the value is that of the metric edition).
//
// Valid to SI 7.0; the composition limits of Pcm apply; not for steel such as
// 1045, 4140, 4340. At the upper edge of a cell of the published lookup the
// formula is one group more severe: the formula is used.
//
// Source: AWS D1.1, hydrogen-control annex; figures from memory, one cell read.

package heat

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idSI          = "preheat-si"
	siMax         = 7.0
	siDry, siWet  = 1.0, 30.0 // ml/100 g
	siGroupCount  = 7
	siNoteUnder65 = "under 65 °F: no preheat if the steel is at room temperature; warm it to 20 °C (68 °F) if it is colder"
)

// SIInput is what the susceptibility index method takes.
type SIInput struct {
	Pcm       q.Percent
	Hydrogen  q.Hydrogen
	Thickness q.Length
	Restraint job.Restraint
}

// SIPreheat is the outcome of the susceptibility index method.
type SIPreheat struct {
	Minimum q.Temperature `json:"minimum"`
	Index   q.Ratio       `json:"index"` // rounded to one decimal
	Group   string        `json:"group"` // A to G
	// RoomWarm says that the table reads "under 65 °F": no preheat if the steel
	// is at room temperature. Minimum is then 20 °C.
	RoomWarm bool `json:"room_warm,omitempty"`
}

type siCell struct {
	c       q.Temperature
	f       float64
	under   bool
	wasRead bool
}

type siRow struct {
	reach reach
	cells [siGroupCount]siCell
	ref   source.Ref
}

var (
	siGroups = loadSIGroups()
	siTable  = loadSITable()
)

func loadSIGroups() (limits [siGroupCount]float64) {
	for i, r := range load("si_groups.csv") {
		if r.Text("group") != string(rune('A'+i)) {
			r.Fail("group", "groups must run from A to G")
		}
		limits[i] = r.Num("max_index")
	}
	return limits
}

func loadSITable() map[job.Restraint][]siRow {
	celsius := map[string]q.Temperature{}
	for _, r := range load("si_celsius.csv") {
		celsius[r.Text("f")] = q.Temperature(r.Num("c"))
	}
	all := map[job.Restraint][]siRow{}
	for _, r := range load("si_preheat.csv") {
		row := siRow{reach: reachOf(r), ref: r.Ref()}
		for i := range row.cells {
			group := string(rune('A' + i))
			text, under := strings.CutPrefix(r.Text(group), "<")
			f, err := strconv.ParseFloat(text, 64)
			c, ok := celsius[text]
			if err != nil || !ok {
				r.Fail(group, "not a temperature of si_celsius.csv")
			}
			row.cells[i] = siCell{c: c, f: f, under: under, wasRead: strings.Contains(r.Text("read"), group)}
		}
		k := job.Restraint(r.Text("restraint"))
		all[k] = append(all[k], row)
	}
	return all
}

// siIndex is SI rounded to one decimal.
func siIndex(pcm, h float64) float64 { return math.Round((12*pcm+math.Log10(h))*10) / 10 }

// siLookup gives the row and the group of a valid index.
func siLookup(si float64, t q.Length, restraint job.Restraint) (*siRow, int) {
	group := 0
	for group < siGroupCount-1 && si > siGroups[group]+slack {
		group++
	}
	rows := siTable[restraint]
	for i := range rows {
		if rows[i].reach.has(t) {
			return &rows[i], group
		}
	}
	panic("heat: no row of si_preheat.csv for restraint " + string(restraint))
}

// PreheatSI gives the minimum preheat and interpass temperature by hydrogen control.
func PreheatSI(in SIInput) (source.Result[SIPreheat], error) {
	var none source.Result[SIPreheat]
	pcm, h := float64(in.Pcm), float64(in.Hydrogen)
	if err := positive(idSI, "thickness", in.Thickness.MM(), "mm"); err != nil {
		return none, err
	}
	if err := positive(idSI, "Pcm", pcm, "%"); err != nil {
		return none, err
	}
	if err := source.InRange(idSI, "hydrogen", h, siDry, siWet, "ml/100 g", "30 stands for a rod that is not controlled; dry the rods"); err != nil {
		return none, err
	}
	if _, ok := siTable[in.Restraint]; !ok {
		return none, fmt.Errorf("%s: restraint %q is not known; give low (shrinks freely), medium (usual) or high (held, as most repairs in thick steel are)", idSI, string(in.Restraint))
	}
	si := siIndex(pcm, h)
	if err := source.InRange(idSI, "susceptibility index", si, 0, siMax, "", "use preheat-ms or the rule of the family"); err != nil {
		return none, err
	}
	row, g := siLookup(si, in.Thickness, in.Restraint)
	cell := row.cells[g]
	ref := row.ref
	if cell.wasRead {
		ref.Status = source.Read
	}
	v := SIPreheat{Minimum: cell.c, Index: q.Ratio(si), Group: string(rune('A' + g)), RoomWarm: cell.under}
	shown, notes := fmt.Sprintf("%.0f °F", cell.f), []string(nil)
	if cell.under {
		shown, notes = "under 65 °F", []string{siNoteUnder65}
	}
	notes = append(notes, "also the lowest interpass temperature",
		"table recalled in °F and in °C with agreement, one cell read in print: check a licensed copy before it decides alone",
		"not valid for steel such as 1045, 4140, 4340")
	return source.Result[SIPreheat]{Value: v, Basis: source.Basis{
		Method: idSI, Title: "Minimum preheat by hydrogen control (susceptibility index)",
		Formula: "SI = 12·Pcm + log10(H); group and restraint table",
		Inputs: []source.Input{input("Pcm", percent(in.Pcm)), input("hydrogen H", hydrogenText(in.Hydrogen)),
			input("thickness", millimetres(in.Thickness)), input("restraint", string(in.Restraint))},
		Steps: []source.Step{
			{Name: "susceptibility index", Formula: "12·Pcm + log10(H)", With: fmt.Sprintf("12 × %.4f + log10(%.3g)", pcm, h), Value: 12*pcm + math.Log10(h)},
			{Name: "rounded", Formula: "to one decimal", Value: si, Text: "group " + v.Group},
			{Name: "thickness row", Text: row.reach.words},
			{Name: "table", With: "restraint " + string(in.Restraint) + ", group " + v.Group, Value: cell.f, Unit: "°F", Text: shown},
			{Name: "minimum preheat", Formula: "metric edition", Value: cell.c.C(), Unit: "°C", Text: fmt.Sprintf("%.0f °C (%s)", cell.c.C(), shown)},
		},
		Ref: ref, Notes: notes, Why: whySlowCooling, Skip: skipCrackBesideWeld,
	}}, nil
}

// pcmAtLimit is the Pcm that gives an index of 7.0.
func pcmAtLimit(h q.Hydrogen) q.Percent {
	return q.Percent((siMax - math.Log10(float64(h))) / 12)
}
