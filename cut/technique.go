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
	for _, r := range source.Table("technique.csv", text) {
		all = append(all, Rule{r.Text("id"), r.Text("text"), r.Text("why"), r.Text("skip"), r.Ref()})
	}
	return all
}

// Technique lists how to gouge, in the order of the work.
func Technique() []Rule { return append([]Rule(nil), technique...) }
