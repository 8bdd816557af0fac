package plan

import (
	_ "embed"
	"strings"

	"soundmetal/source"
)

//go:embed repairnames.csv
var repairNamesCSV string

// repairNames are the short words for a repair and for what cracks first.
var repairNames = readRepairNames()

type repairName struct{ short, first string }

func readRepairNames() map[string]repairName {
	all := map[string]repairName{}
	for _, r := range source.Table("plan/repairnames.csv", repairNamesCSV) {
		all[r.Text("id")] = repairName{r.Text("short"), r.Text("first")}
	}
	return all
}

// Short names the repair in a few words.
func (r Repair) Short() string {
	if n, ok := repairNames[r.Option.ID]; ok {
		return n.short
	}
	return r.Option.Title
}

// Doubtful says that the life counts on a place that nobody has named: one with
// little stress for the ends of a plate.
func (r Repair) Doubtful() bool { return r.Option.ID == "plate-moved" && r.Option.Governs != "" }

// First names in a few words what cracks first.
func (r Repair) First() string {
	g := r.Option.Governs
	if !r.Option.Plate {
		return repairNames[r.Option.ID].first
	}
	for _, known := range []struct{ begins, word string }{
		{"plate's end", "plate's end"}, {"side weld", "plate's side"}, {"root of the plate", "plate weld"}, {"shear in the plate", "plate weld"},
	} {
		if strings.HasPrefix(g, known.begins) {
			return known.word
		}
	}
	return "weld under it"
}
