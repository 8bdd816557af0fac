package book

import (
	_ "embed"
	"slices"
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
	key := openKey{rule, item, bead}
	f.open[key] = append(f.open[key], len(f.j.Deviations))
	f.j.Deviations = append(f.j.Deviations, Deviation{
		ID: m.Ref.String() + "." + rule, Rule: rule, Ref: m.Ref, At: m.At, Item: item, Bead: bead, Stop: row.stop,
		Title: row.title, Text: text, Causes: row.causes, Cures: row.cures,
		Basis: source.Basis{Method: "deviation." + rule, Title: row.title, Ref: row.ref, Why: row.why, Skip: row.skip},
	})
}

// openKey sorts the deviations that nothing has been done about.
type openKey struct {
	rule, item string
	bead       int
}

// clear says what was done about the open deviations of a rule at a place or bead.
func (f *folding) clear(m *Meta, done func() string, rule, item string, bead int) {
	key := openKey{rule, item, bead}
	if len(f.open[key]) == 0 {
		return
	}
	for _, i := range f.open[key] {
		f.j.Deviations[i].Cleared = &Clearing{m.Ref, m.At, done()}
	}
	delete(f.open, key)
}

// clearID says what was done about one deviation.
func (f *folding) clearID(m *Meta, b Cleared) {
	i := slices.IndexFunc(f.j.Deviations, func(d Deviation) bool { return d.ID == b.Deviation })
	if i < 0 || f.j.Deviations[i].Cleared != nil {
		return
	}
	d := &f.j.Deviations[i]
	d.Cleared = &Clearing{m.Ref, m.At, b.Done}
	key := openKey{d.Rule, d.Item, d.Bead}
	f.open[key] = slices.DeleteFunc(f.open[key], func(at int) bool { return at == i })
}
