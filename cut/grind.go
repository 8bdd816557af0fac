package cut

// How much of the gouged skin is ground off before welding.
//
// Method: a table by kind of steel. Carbon steel 0.5 to 1 mm; quenched and
// tempered, high carbon equivalent and stainless 1 to 1.5 mm; castings 3 mm.
// An unknown steel counts as the harder one. Source: common practice; that it
// must be ground at all is read in repair-crp.

import (
	_ "embed"
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed grind.csv
var grindCSV string

type grindRow struct {
	depth Amount[q.Length]
	ref   source.Ref
	note  string
}

var grindTable = mustReadGrind(grindCSV)

func mustReadGrind(text string) map[Steel]grindRow {
	all := map[Steel]grindRow{}
	for _, r := range source.Table("grind.csv", text) {
		mm := func(c string) q.Length { return q.Length(r.Num(c)) * q.Millimetre }
		all[Steel(r.Text("steel"))] = grindRow{Amount[q.Length]{mm("likely"), q.Of[q.Length]{Low: mm("low"), High: mm("high")}}, r.Ref(), r.Text("note")}
	}
	return all
}

// GrindOff gives the depth to grind off a gouged surface.
func GrindOff(s Steel) (source.Result[Amount[q.Length]], error) {
	g, ok := grindTable[s]
	if !ok {
		return source.Result[Amount[q.Length]]{}, fmt.Errorf("no kind of steel %q: use carbon, quenched, high-ce, stainless or steel-casting", s)
	}
	name := string(s)
	if s == AnySteel {
		name = "not known"
	}
	b := source.Basis{
		Method: "gouge-grind", Title: "Grinding the gouged skin to bright metal", Formula: "table by kind of steel",
		Inputs: []source.Input{{Name: "steel", Text: name}},
		Steps:  []source.Step{{Name: "grind off", Value: g.depth.Likely.MM(), Unit: "mm", Text: lengths(g.depth.Range)}},
		Ref:    g.ref, Also: []source.Ref{source.At("repair-crp", "black metal ground off before welding", source.Read)},
		Notes: []string{"grind until nothing black or coloured is left, and photograph it; the depth is a floor, the look decides"},
		Why:   "The gouged skin has taken up carbon and is hard.",
		Skip:  "The root bead sits on a hard line that can crack before the second bead is in.",
	}
	if g.note != "" {
		b.Notes = append(b.Notes, g.note)
	}
	return source.Result[Amount[q.Length]]{Value: g.depth, Basis: b}, nil
}
