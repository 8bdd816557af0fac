package book

import (
	_ "embed"
	"strings"
	"time"

	"soundmetal/source"
)

// deviations.csv: one row for each way in which a logged fact may leave the plan.
//
//	stop    yes: it must be cleared before the job is closed
//	text    {bead}, {value}, {limit}, {tin} stand for the facts
//	causes, cures   separated by bars, the likeliest first

//go:embed deviations.csv
var deviationsCSV string

type deviationRow struct {
	id, title, text string
	stop            bool
	causes, cures   []string
	why, skip       string
	ref             source.Ref
}

var deviationRows = readDeviations()

func readDeviations() map[string]deviationRow {
	all := map[string]deviationRow{}
	for _, r := range source.Table("book/deviations.csv", deviationsCSV) {
		id := r.Text("id")
		if _, twice := all[id]; twice {
			panic("book: deviations.csv: id " + id + " twice")
		}
		all[id] = deviationRow{id, r.Text("title"), r.Text("text"), r.Yes("stop"), r.List("causes"), r.List("cures"), r.Text("why"), r.Text("skip"), r.Ref()}
	}
	return all
}

// Deviation is a logged fact that leaves the plan. It stays in the record; what
// was done about it is added.
type Deviation struct {
	ID      string // entry and rule: phone7.41.bead-cold
	Rule    string
	Ref     Ref // the entry that shows it
	At      time.Time
	Item    string
	Bead    int
	Stop    bool // to be cleared before the job is closed
	Title   string
	Text    string
	Causes  []string
	Cures   []string
	Basis   source.Basis
	Cleared *Clearing // nil: nothing has been done about it
}

// Clearing says what was done about a deviation.
type Clearing struct {
	Ref  Ref // the entry that says so
	At   time.Time
	Done string
}

// words are what a deviation's text speaks of.
type words struct{ bead, value, limit, tin string }

// deviate adds a deviation of the rule.
func (f *folding) deviate(rule string, m *Meta, item string, bead int, w words) {
	row, ok := deviationRows[rule]
	if !ok {
		panic("book: no deviation " + rule + " in deviations.csv")
	}
	text := strings.NewReplacer("{bead}", w.bead, "{value}", w.value, "{limit}", w.limit, "{tin}", w.tin).Replace(row.text)
	f.j.Deviations = append(f.j.Deviations, Deviation{
		ID: m.Ref.String() + "." + rule, Rule: rule, Ref: m.Ref, At: m.At, Item: item, Bead: bead, Stop: row.stop,
		Title: row.title, Text: text, Causes: row.causes, Cures: row.cures,
		Basis: source.Basis{Method: "deviation." + rule, Title: row.title, Ref: row.ref, Why: row.why, Skip: row.skip},
	})
}

// clear says what was done about the deviations that is picks and that nothing
// has been done about.
func (f *folding) clear(m *Meta, done string, is func(*Deviation) bool) {
	for i := range f.j.Deviations {
		if d := &f.j.Deviations[i]; d.Cleared == nil && is(d) {
			d.Cleared = &Clearing{m.Ref, m.At, done}
		}
	}
}
