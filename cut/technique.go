package cut

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed technique.csv
var techniqueCSV string

// Rule is one line of how to hold the torch, with its reason.
type Rule struct {
	ID   string     `json:"id"`
	Text string     `json:"text"`
	Why  string     `json:"why"`
	Skip string     `json:"skip"`
	Ref  source.Ref `json:"source"`
}

var technique = mustReadTechnique(techniqueCSV)

func mustReadTechnique(text string) []Rule {
	var all []Rule
	for _, r := range mustReadTable("technique.csv", text) {
		all = append(all, Rule{r["id"], r["text"], r["why"], r["skip"], r.ref()})
	}
	return all
}

// Technique lists how to gouge, in the order of the work.
func Technique() []Rule { return append([]Rule(nil), technique...) }
