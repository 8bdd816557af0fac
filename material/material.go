// Package material answers what a part is made of and what that means for
// welding it: chemical compositions and their carbon equivalents, hardness and
// strength, a list of steel families, and the weighing of poor evidence
// (magnet, file, spark, hardness, paper, part) into the families it can be.
//
// The list is kept wide on purpose. A welder seldom knows his steel, so the
// plan must hold for every steel the facts still allow; see Weigh for the rule
// that decides when a family may leave the list.
package material

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"

	"soundmetal/source"
)

// The tables beside this file. Each row of a figure carries its source and status.
var (
	// equivalents: limits of validity, one row per method and element (CE is the value itself).
	//go:embed limits.csv
	limitsCSV string
	// hardness and tensile strength of non-austenitic steel; linear in HB between rows.
	//go:embed hardness.csv
	hardnessCSV string
	// families; yield_low is the lowest specified minimum, yield_high the upper end met in practice (judgement).
	//go:embed families.csv
	familiesCSV string
	// limits of each family by element; over_mm: the row holds above this thickness, the last match counts.
	// source, where and status speak of low and high; typical is an illustrative analysis (judgement).
	//go:embed chemistry.csv
	chemistryCSV string
	// highest CE(IIW) of a family up to a thickness; kind band: no standard, upper end of the usual band.
	//go:embed caps.csv
	capsCSV string
	// highest interpass temperature of a family or a group above a thickness.
	//go:embed interpass.csv
	interpassCSV string
	// what to know about a family or a group before welding it.
	//go:embed notes.csv
	notesCSV string
	// what people write or say for a steel; a star takes any ending of the word.
	//go:embed aliases.csv
	aliasesCSV string
	// kinds of evidence, which of them tell the same thing, and which may take a family off the list.
	//go:embed evidence.csv
	evidenceCSV string
	// likelihood of a piece of evidence when the steel is of a family, a group or any (*); the closest row wins.
	//go:embed likelihoods.csv
	likelihoodsCSV string
	// how a piece of evidence is said in a sentence; a star stands for any value.
	//go:embed words.csv
	wordsCSV string
	// figures of our own reasoning, read by name.
	//go:embed judgement.csv
	judgementCSV string
	// tests a welder can do on site, and the bands in which a reading may fall.
	//go:embed fieldtests.csv
	fieldTestsCSV string
	//go:embed readings.csv
	readingsCSV string
)

var figures = source.ReadFigures("material/judgement.csv", judgementCSV, nil)

// judged gives a figure of judgement.csv.
func judged(id string) float64 { return figures.Of(id).Likely }

// num prints a number with at most four significant digits and no exponent.
func num(v float64) string { return strconv.FormatFloat(round4(v), 'f', -1, 64) }

// round4 rounds to four significant digits.
func round4(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// list joins words as in a sentence: a, b and c.
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return "none"
	case 1:
		return words[0]
	default:
		return fmt.Sprintf("%s and %s", strings.Join(words[:n-1], ", "), words[n-1])
	}
}
