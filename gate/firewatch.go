package gate

import (
	_ "embed"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed firewatch.csv
var fireWatchCSV string

// watchRow is one text that asks for a fire watch.
type watchRow struct {
	place string
	watch q.Time
	ref   source.Ref
}

var watchRows = readWatches()

func readWatches() []watchRow {
	var all []watchRow
	for _, r := range source.Table("gate/firewatch.csv", fireWatchCSV) {
		t, err := q.Read[q.Time](r.Text("watch"), q.ReadAs{})
		if err != nil {
			panic("gate: firewatch.csv: " + err.Error())
		}
		all = append(all, watchRow{r.Text("place"), t, r.Ref()})
	}
	return all
}

// FireWatch is how long somebody watches after the last spark: the strictest of
// the texts of firewatch.csv and of what permit, site or insurer asks for.
func FireWatch(asked q.Maybe[q.Time]) source.Result[q.Time] {
	b := source.Basis{
		Method: "fire-watch", Title: "Fire watch after the last spark", Formula: "longest of law, standard, site and insurer",
		Why:  "Most fires of this kind start after the welder has left.",
		Skip: "It burns, and it is your fire.",
	}
	var longest watchRow
	for _, r := range watchRows {
		b.Steps = append(b.Steps, source.Step{Name: r.place, Value: r.watch.Minutes(), Unit: "min"})
		if r.watch > longest.watch {
			longest = r
		}
	}
	b.Ref = longest.ref
	for _, r := range watchRows {
		if r.ref != longest.ref {
			b.Also = append(b.Also, r.ref)
		}
	}
	watch := longest.watch
	if asked.Known {
		b.Inputs = append(b.Inputs, source.Input{Name: "asked for on site", Text: asked.V.Text(q.SI), From: "permit, site or insurer"})
		if asked.V > watch {
			watch = asked.V
			b.Notes = append(b.Notes, "the site asks for more than law and standard; its time holds")
		}
	}
	b.Notes = append(b.Notes, "the length depends on the edition that your site or insurer uses; a longer local rule holds")
	return source.Result[q.Time]{Value: watch, Basis: b}
}
