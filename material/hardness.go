package material

// Hardness and strength of non-austenitic steel (ASTM A370 / E140 tables):
// Brinell HBW 10/3000, Vickers HV10, tensile strength. Linear between the rows
// of hardness.csv, which run from 116 to 577 HB; no extrapolation.

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

type hardnessRow struct {
	hb, hv, mpa float64
	rockwell    string
	ref         source.Ref
}

var hardnessRows = readHardness()

func readHardness() []hardnessRow {
	var all []hardnessRow
	for _, r := range source.Table("hardness.csv", hardnessCSV) {
		all = append(all, hardnessRow{r.Num("hb"), r.Num("hv"), r.Num("mpa"), r.Text("rockwell"), r.Ref()})
	}
	return all
}

var hardnessNotes = []string{
	"not for austenitic or manganese steel, cast iron, cold-worked skin or case-hardened parts",
	"grind at least 1 mm off, take five readings; a portable tester is good to about 5 %",
}

// tableRef is the table as a whole; a result takes the row's own.
var tableRef = source.At("astm-a370", "conversion table", source.Read)

// between interpolates y over x in the hardness table and writes it into the basis.
func between(b *source.Basis, v float64, unit, gives string, x, y func(hardnessRow) float64) (float64, error) {
	rows := hardnessRows
	if err := source.InRange(b.Method, "hardness", v, x(rows[0]), x(rows[len(rows)-1]), unit, "there is no table beyond it"); err != nil {
		return 0, err
	}
	i := 1
	for i < len(rows)-1 && v > x(rows[i]) {
		i++
	}
	r, s := rows[i-1], rows[i]
	t := (v - x(r)) / (x(s) - x(r))
	value := y(r) + t*(y(s)-y(r))
	b.Ref = s.ref
	if r.ref.Status == source.Memory && t < 1 {
		b.Ref = r.ref
	}
	b.Steps = []source.Step{{Name: "between rows", Formula: "y1 + (x - x1)/(x2 - x1) × (y2 - y1)",
		With: fmt.Sprintf("%s + (%s - %s)/(%s - %s) × (%s - %s)", num(y(r)), num(v), num(x(r)), num(x(s)), num(x(r)), num(y(s)), num(y(r))), Value: value, Unit: gives}}
	return value, nil
}

func rowHB(r hardnessRow) float64  { return r.hb }
func rowHV(r hardnessRow) float64  { return r.hv }
func rowMPa(r hardnessRow) float64 { return r.mpa }

// TensileFromBrinell gives the tensile strength that goes with a Brinell hardness.
func TensileFromBrinell(hb q.Brinell) (source.Result[q.Stress], error) {
	b := source.Basis{
		Method: "hardness-strength", Title: "Tensile strength from Brinell hardness", Formula: "table, linear in HB",
		Inputs: measuredHardness(float64(hb), "HB"), Ref: tableRef,
		Notes: notesWith("makers of wear plate state less strength at the same hardness than this table"),
		Why:   "Hardness and strength go together in ordinary steel, and hardness can be read on the machine.",
		Skip:  "The rod would be chosen for a strength nobody has checked.",
	}
	v, err := between(&b, float64(hb), "HB", "MPa", rowHB, rowMPa)
	return source.Result[q.Stress]{Value: q.Stress(v) * q.Megapascal, Basis: b}, err
}

// VickersFromBrinell converts a hardness by the same table.
func VickersFromBrinell(hb q.Brinell) (source.Result[q.Vickers], error) {
	b := conversion("hardness-vickers", "Vickers from Brinell hardness", float64(hb), "HB")
	v, err := between(&b, float64(hb), "HB", "HV", rowHB, rowHV)
	return source.Result[q.Vickers]{Value: q.Vickers(v), Basis: b}, err
}

// BrinellFromVickers converts a hardness by the same table.
func BrinellFromVickers(hv q.Vickers) (source.Result[q.Brinell], error) {
	b := conversion("hardness-brinell", "Brinell from Vickers hardness", float64(hv), "HV")
	v, err := between(&b, float64(hv), "HV", "HB", rowHV, rowHB)
	return source.Result[q.Brinell]{Value: q.Brinell(v), Basis: b}, err
}

func conversion(method, title string, v float64, unit string) source.Basis {
	return source.Basis{Method: method, Title: title, Formula: "table, linear between rows",
		Inputs: measuredHardness(v, unit), Ref: tableRef,
		Notes: notesWith("the table joins two scales at 205 to 226 HB, where HV steps from equal to 5 % above HB"),
		Why:   "Testers read in different scales; limits beside welds are given in Vickers.",
		Skip:  "A limit in one scale would be held against a reading in the other.",
	}
}

func measuredHardness(v float64, unit string) []source.Input {
	return []source.Input{{Name: "hardness", Text: num(v) + " " + unit, From: "measured"}}
}

// notesWith adds a note to those that hold for the whole table.
func notesWith(note string) []string {
	return append(hardnessNotes[:len(hardnessNotes):len(hardnessNotes)], note)
}
