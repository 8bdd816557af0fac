// Prequalified minimum preheat: the table of AWS D1.1 by steel category and
// thickness of the thickest part at the weld.
//
// Category A: mild steel welded with rods that are not low hydrogen; B: mild
// and 50 ksi steel with low-hydrogen rods or wire; C: higher strength with low
// hydrogen; D: special low-carbon grades with H8 filler or better; A514: the
// rows of older editions for quenched and tempered steel, with a highest
// interpass temperature too. Holds from 3 mm (1/8 in).
//
// Source: AWS D1.1:2015 Table 3.3 (A, B read; C, D from a published summary;
// A514 from memory).

package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Category is a preheat category of the prequalified table.
type Category string

const (
	CategoryA    Category = "A"
	CategoryB    Category = "B"
	CategoryC    Category = "C"
	CategoryD    Category = "D"
	CategoryA514 Category = "A514"
)

const (
	idPrequalified  = "preheat-prequalified"
	prequalifiedMin = 3 * q.Millimetre
	lowHydrogenMax  = q.Hydrogen(16) // H16, the widest low-hydrogen class of AWS A5.1
	categoryDMax    = q.Hydrogen(8)  // AWS D1.1: category D with H8 filler or better
)

// Prequalified is the outcome of the prequalified table.
type Prequalified struct {
	Minimum q.Temperature          `json:"minimum"`
	Maximum q.Maybe[q.Temperature] `json:"maximum"` // highest interpass temperature, A514 only
}

type prequalifiedRow struct {
	reach reach
	f, c  float64
	maxF  float64
	max   q.Maybe[q.Temperature]
	ref   source.Ref
}

var prequalifiedTable = loadPrequalified()

func loadPrequalified() map[Category][]prequalifiedRow {
	all := map[Category][]prequalifiedRow{}
	for _, r := range load("prequalified.csv") {
		row := prequalifiedRow{reach: reachOf(r), f: r.Num("f"), c: r.Num("c"), ref: r.Ref()}
		if r.Text("max_c") != "" {
			row.maxF, row.max = r.Num("max_f"), q.Known(q.Temperature(r.Num("max_c")))
		}
		k := Category(r.Text("category"))
		all[k] = append(all[k], row)
	}
	return all
}

func prequalifiedLookup(c Category, t q.Length) *prequalifiedRow {
	rows := prequalifiedTable[c]
	for i := range rows {
		if rows[i].reach.has(t) {
			return &rows[i]
		}
	}
	return nil
}

// CategoryWith is the column that holds for a steel, by the category of its
// grade, with a filler of the given hydrogen. Steel of category A or B is read
// in column B with low-hydrogen filler and in column A without. (A steel listed
// in B only is not prequalified without it: column A is then our own cautious
// reading.) Steel of category D needs H8 or better; without it column C is
// taken, our own judgement.
func CategoryWith(steel Category, h q.Hydrogen) Category {
	switch {
	case (steel == CategoryA || steel == CategoryB) && h > lowHydrogenMax:
		return CategoryA
	case steel == CategoryA:
		return CategoryB
	case steel == CategoryD && h > categoryDMax:
		return CategoryC
	}
	return steel
}

// PreheatPrequalified gives the minimum preheat and interpass temperature of
// the prequalified table.
func PreheatPrequalified(category Category, thickness q.Length) (source.Result[Prequalified], error) {
	var none source.Result[Prequalified]
	if _, ok := prequalifiedTable[category]; !ok {
		return none, fmt.Errorf("%s: category %q is not in the table; give A, B, C, D or A514", idPrequalified, string(category))
	}
	if thickness < prequalifiedMin-slack {
		return none, &source.OutOfRange{Method: idPrequalified, Quantity: "thickness", Value: thickness.MM(),
			Low: prequalifiedMin.MM(), High: 1000, Unit: "mm", Instead: "thinner metal is sheet and has a code of its own"}
	}
	if err := positive(idPrequalified, "thickness", thickness.MM(), "mm"); err != nil {
		return none, err
	}
	row := prequalifiedLookup(category, thickness)
	t := q.Temperature(row.c)
	steps := []source.Step{
		{Name: "thickness row", Text: row.reach.words},
		{Name: "minimum preheat", With: "category " + string(category), Value: row.c, Unit: "°C", Text: fmt.Sprintf("%.0f °C (%.0f °F)", row.c, row.f)},
	}
	if row.max.Known {
		steps = append(steps, source.Step{Name: "highest interpass temperature", Value: row.max.V.C(), Unit: "°C", Text: fmt.Sprintf("%.0f °C (%.0f °F)", row.max.V.C(), row.maxF)})
	}
	notes := []string{"steel below 0 °C (32 °F): warm it to 20 °C (70 °F) and hold it there",
		"where two categories meet in one joint the higher figure counts",
		"a minimum for ordinary joints of structures; a rigid repair in thick steel may need more"}
	if category == CategoryD {
		notes = append(notes, "only with a filler of H8 or better")
	}
	return source.Result[Prequalified]{Value: Prequalified{t, row.max}, Basis: source.Basis{
		Method: idPrequalified, Title: "Prequalified minimum preheat",
		Inputs: []source.Input{input("category", string(category)), input("thickest part at the weld", millimetres(thickness))},
		Steps:  steps, Ref: row.ref, Notes: notes, Why: whySlowCooling, Skip: skipCrackBesideWeld,
	}}, nil
}
