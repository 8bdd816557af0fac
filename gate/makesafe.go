package gate

import (
	"cmp"
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// makesafe.csv: one row for each step before the arc, in the order of the work.
//
//	text    {0}, {1} stand for the values of the row, {watch} for the fire watch,
//	        {shade} and {bare} for what Work holds
//	values  see amounts
//	hold    yes: not past this without an answer

//go:embed makesafe.csv
var makeSafeCSV string

// Step is one thing to do before the arc.
type Step struct {
	ID      string       `json:"id" doc:"id of the step"`
	Order   int          `json:"order" doc:"place in the order of the work"`
	Title   string       `json:"title" doc:"the step in a few words, SI units first"`
	TitleUS string       `json:"title_us" doc:"the same, US units first"`
	SI      string       `json:"text" doc:"what to do, SI units first"`
	US      string       `json:"text_us" doc:"what to do, US units first"`
	Hold    bool         `json:"hold" doc:"not past this without an answer"`
	Because []string     `json:"because" doc:"facts of the job that ask for it, in his words; empty: every job"`
	Basis   source.Basis `json:"basis" doc:"why, what happens without it, source"`
}

// Text is what to do, with the figures of the system first.
func (s Step) Text(sys q.System) string {
	if sys == q.US {
		return s.US
	}
	return s.SI
}

// Heading is the step in a few words.
func (s Step) Heading(sys q.System) string {
	if sys == q.US {
		return s.TitleUS
	}
	return s.Title
}

// stepRow is one row of makesafe.csv.
type stepRow struct {
	id, title, text, why, skip string
	order                      int
	values                     []amount
	hold                       bool
	ref                        source.Ref
}

var stepRows = readSteps()

func readSteps() []stepRow {
	var all []stepRow
	for _, r := range source.Table("gate/makesafe.csv", makeSafeCSV) {
		all = append(all, stepRow{
			id: r.Text("id"), title: r.Text("title"), text: r.Text("text"), why: r.Text("why"), skip: r.Text("skip"),
			order: int(r.Num("order")), values: amounts(r, "values"), hold: r.Yes("hold"), ref: r.Ref(),
		})
	}
	return all
}

// limit is a value of a row of makesafe.csv, for a predicate that needs it.
func limit(id string, i int) float64 {
	return stepRows[slices.IndexFunc(stepRows, func(r stepRow) bool { return r.id == id })].values[i].value
}

// MakeSafe gives the steps before the arc in the order of the work. A fact that
// is not known counts as dangerous.
func MakeSafe(j job.Job, it job.Item, doing Work) []Step {
	f := newFacts(j, it)
	f.work = doing
	steps := []Step{}
	for _, r := range stepRows {
		if because := makeSafeWhen[r.id](f); because != nil {
			steps = append(steps, r.step(f, because))
		}
	}
	slices.SortStableFunc(steps, func(a, b Step) int { return cmp.Compare(a.Order, b.Order) })
	return steps
}

func (r stepRow) step(f *facts, because []string) Step {
	if because[0] == everyJob {
		because = nil
	}
	s := Step{
		ID: r.id, Order: r.order, Hold: r.hold, Because: because,
		Title: r.fill(r.title, f, q.SI), TitleUS: r.fill(r.title, f, q.US),
		SI: r.fill(r.text, f, q.SI), US: r.fill(r.text, f, q.US),
		Basis: source.Basis{Method: "makesafe." + r.id, Ref: r.ref, Why: r.why, Skip: r.skip},
	}
	s.Basis.Title = s.Title
	if r.id == "fire-watch" {
		watch := FireWatch(f.work.FireWatch).Basis
		s.Basis.Formula, s.Basis.Inputs, s.Basis.Notes = watch.Formula, watch.Inputs, watch.Notes
		s.Basis.Ref, s.Basis.Also = watch.Ref, watch.Also
	}
	for _, fact := range because {
		s.Basis.Notes = append(s.Basis.Notes, "because "+fact)
	}
	return s
}

// fill puts the values into a text.
func (r stepRow) fill(text string, f *facts, sys q.System) string {
	if !strings.Contains(text, "{") {
		return text
	}
	if strings.Contains(text, "{watch}") {
		text = strings.ReplaceAll(text, "{watch}", FireWatch(f.work.FireWatch).Value.Text(sys))
	}
	pairs := []string{
		"{shade}", strconv.Itoa(f.work.Shade),
		"{bare}", f.work.BareEars.V.Text(sys),
	}
	for i, v := range r.values {
		pairs = append(pairs, placeholder(i), v.text(sys))
	}
	return strings.NewReplacer(pairs...).Replace(text)
}
