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

// between interpolates y over x in the hardness table.
func between(method, quantity, unit string, v float64, x, y func(hardnessRow) float64) (value float64, step source.Step, ref source.Ref, err error) {
	rows := hardnessRows
	low, high := x(rows[0]), x(rows[len(rows)-1])
	if err = source.InRange(method, quantity, v, low, high, unit, "there is no table beyond it"); err != nil {
		return 0, source.Step{}, source.Ref{}, err
	}
	i := 1
	for i < len(rows)-1 && v > x(rows[i]) {
		i++
	}
	r, s := rows[i-1], rows[i]
	t := (v - x(r)) / (x(s) - x(r))
	value = y(r) + t*(y(s)-y(r))
	ref = s.ref
	if r.ref.Status == source.Memory && t < 1 {
		ref = r.ref
	}
	return value, source.Step{Name: "between rows", Formula: "y1 + (x - x1)/(x2 - x1) × (y2 - y1)",
		With: fmt.Sprintf("%s + (%s - %s)/(%s - %s) × (%s - %s)", num(y(r)), num(v), num(x(r)), num(x(s)), num(x(r)), num(y(s)), num(y(r))), Value: value}, ref, nil
}

func rowHB(r hardnessRow) float64  { return r.hb }
func rowHV(r hardnessRow) float64  { return r.hv }
func rowMPa(r hardnessRow) float64 { return r.mpa }

// TensileFromBrinell gives the tensile strength that goes with a Brinell hardness.
func TensileFromBrinell(hb q.Brinell) (source.Result[q.Stress], error) {
	v, step, ref, err := between("hardness-strength", "hardness", "HB", float64(hb), rowHB, rowMPa)
	if err != nil {
		return source.Result[q.Stress]{}, err
	}
	step.Unit = "MPa"
	return source.Result[q.Stress]{Value: q.Stress(v) * q.Megapascal, Basis: source.Basis{
		Method: "hardness-strength", Title: "Tensile strength from Brinell hardness",
		Formula: "table, linear in HB", Inputs: []source.Input{{Name: "hardness", Text: num(float64(hb)) + " HB", From: "measured"}},
		Steps: []source.Step{step}, Ref: ref, Notes: append(hardnessNotes[:len(hardnessNotes):len(hardnessNotes)],
			"makers of wear plate state less strength at the same hardness than this table"),
		Why:  "Hardness and strength go together in ordinary steel, and hardness can be read on the machine.",
		Skip: "The rod would be chosen for a strength nobody has checked.",
	}}, nil
}

// VickersFromBrinell converts a hardness by the same table.
func VickersFromBrinell(hb q.Brinell) (source.Result[q.Vickers], error) {
	v, step, ref, err := between("hardness-vickers", "hardness", "HB", float64(hb), rowHB, rowHV)
	if err != nil {
		return source.Result[q.Vickers]{}, err
	}
	step.Unit = "HV"
	return source.Result[q.Vickers]{Value: q.Vickers(v), Basis: conversion("hardness-vickers", "Vickers from Brinell hardness", num(float64(hb))+" HB", step, ref)}, nil
}

// BrinellFromVickers converts a hardness by the same table.
func BrinellFromVickers(hv q.Vickers) (source.Result[q.Brinell], error) {
	v, step, ref, err := between("hardness-brinell", "hardness", "HV", float64(hv), rowHV, rowHB)
	if err != nil {
		return source.Result[q.Brinell]{}, err
	}
	step.Unit = "HB"
	return source.Result[q.Brinell]{Value: q.Brinell(v), Basis: conversion("hardness-brinell", "Brinell from Vickers hardness", num(float64(hv))+" HV", step, ref)}, nil
}

func conversion(method, title, input string, step source.Step, ref source.Ref) source.Basis {
	return source.Basis{Method: method, Title: title, Formula: "table, linear between rows",
		Inputs: []source.Input{{Name: "hardness", Text: input, From: "measured"}}, Steps: []source.Step{step}, Ref: ref,
		Notes: append(hardnessNotes[:len(hardnessNotes):len(hardnessNotes)],
			"the table joins two scales at 205 to 226 HB, where HV steps from equal to 5 % above HB"),
		Why: "Testers read in different scales; limits beside welds are given in Vickers.",
	}
}
