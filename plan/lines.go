package plan

import (
	_ "embed"

	"soundmetal/source"
)

//go:embed lines.csv
var linesCSV string

// sayings are the standing lines of the plan by id: what to do, why, what if not.
var sayings = readSayings()

type saying struct {
	section string
	line    Line
}

func readSayings() map[string]saying {
	all := map[string]saying{}
	for _, r := range source.Table("plan/lines.csv", linesCSV) {
		id := r.Text("id")
		if _, twice := all[id]; twice {
			panic("plan: lines.csv: id " + id + " twice")
		}
		all[id] = saying{r.Text("section"), Line{
			Kind: LineKind(r.Text("kind")), Text: r.Text("text"),
			Basis: &source.Basis{Method: id, Title: r.Text("text"), Why: r.Text("why"), Skip: r.Text("skip"), Ref: r.Ref()},
		}}
	}
	return all
}

// say adds a standing line. An unknown id, or one of another section, is a
// programmer's error.
func (s *Section) say(id string) {
	line, ok := sayings[id]
	if !ok || line.section != s.ID {
		panic("plan: no line " + id + " for section " + s.ID)
	}
	s.Lines = append(s.Lines, line.line)
}

// sayIf adds a standing line where the fact holds.
func (s *Section) sayIf(fact bool, id string) {
	if fact {
		s.say(id)
	}
}

// add adds a line of its own with its basis, which may be nil.
func (s *Section) add(kind LineKind, text string, b *source.Basis) {
	s.Lines = append(s.Lines, Line{Kind: kind, Text: text, Basis: b})
}

// figure adds a figure.
func (s *Section) figure(f Figure) {
	s.Lines = append(s.Lines, Line{Kind: Number, Text: f.Label + ": " + f.Text, Figure: &f})
}
