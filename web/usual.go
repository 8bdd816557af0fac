package web

import (
	_ "embed"
	"strings"

	"soundmetal/job"
	"soundmetal/source"
)

// Values that the pages offer at one tap or speak of: usual.csv, each row with
// its source. None of them is filled in by itself but the hours of the looks.

//go:embed usual.csv
var usualCSV string

var usualValues = readUsual()

func readUsual() map[string][2][]string {
	all := map[string][2][]string{}
	for _, r := range source.Table("web/usual.csv", usualCSV) {
		r.Ref() // checks source and status
		all[r.Text("id")] = [2][]string{r.List("si"), r.List("us")}
	}
	return all
}

// usual gives the values of a row in the units of the job. An unknown id is a
// programmer's error.
func usual(id string, units job.Units) []string {
	v, ok := usualValues[id]
	if !ok {
		panic("web: no row " + id + " in usual.csv")
	}
	if units == job.US {
		return v[1]
	}
	return v[0]
}

// both is a single value in both systems: 85 mm (3-3/8 in).
func both(id string) string {
	return strings.Join(usual(id, job.SI), " ") + " (" + strings.Join(usual(id, job.US), " ") + ")"
}
