package conduct

import (
	"encoding/csv"
	"strconv"
	"strings"

	"soundmetal/source"
)

// mustReadFigures reads a table of figures embedded beside the code.
func mustReadFigures(name, text string) map[string]Figure {
	all := map[string]Figure{}
	for _, r := range mustReadRows(name, text, 9) {
		all[r[0]] = Figure{ID: r[0], Value: mustNumber(name, r[1]), Low: mustNumber(name, r[2]), High: mustNumber(name, r[3]),
			Unit: r[4], Text: r[5], Ref: source.At(r[6], r[7], source.Status(r[8]))}
	}
	return all
}

// mustReadRows reads the rows of an embedded table without its head.
func mustReadRows(name, text string, columns int) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic("conduct: " + name + ": " + err.Error())
	}
	if len(rows[0]) != columns {
		panic("conduct: " + name + ": wrong number of columns")
	}
	return rows[1:]
}

func mustNumber(name, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("conduct: " + name + ": " + err.Error())
	}
	return v
}
