package heat

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed *.csv
var tables embed.FS

// record is one row of an embedded table. A malformed table is a programmer's
// error and panics when the program starts.
type record struct {
	file  string
	line  int
	names []string
	cells []string
}

// load reads one table.
func load(file string) []record {
	text, err := tables.ReadFile(file)
	if err != nil {
		panic("heat: " + err.Error())
	}
	lines, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		panic("heat: " + file + ": " + err.Error())
	}
	all := make([]record, 0, len(lines)-1)
	for i, cells := range lines[1:] {
		all = append(all, record{file, i + 2, lines[0], cells})
	}
	return all
}

func (r record) fail(name, says string) {
	panic(fmt.Sprintf("heat: %s:%d: %s: %s", r.file, r.line, name, says))
}

func (r record) text(name string) string {
	for i, n := range r.names {
		if n == name {
			return r.cells[i]
		}
	}
	r.fail(name, "no such column")
	return ""
}

func (r record) num(name string) float64 {
	v, err := strconv.ParseFloat(r.text(name), 64)
	if err != nil {
		r.fail(name, err.Error())
	}
	return v
}

// or gives the number, or other where the cell is empty.
func (r record) or(name string, other float64) float64 {
	if r.text(name) == "" {
		return other
	}
	return r.num(name)
}

func (r record) yes(name string) bool {
	switch r.text(name) {
	case "yes":
		return true
	case "no":
		return false
	}
	r.fail(name, "neither yes nor no")
	return false
}

func (r record) ref() source.Ref {
	return source.At(r.text("source"), r.text("where"), source.Status(r.text("status")))
}

// reach is how far a thickness row goes. The inch and the metric edition of one
// code round differently (3/4 in = 19.05 mm, 20 mm), and each is complete in its
// own units: a thickness belongs to the thinner row where either edition puts it
// there. Only the strict "under 3/8 in" (10 mm) takes the smaller of the two.
type reach struct {
	limit  q.Length
	strict bool
	words  string
}

func (r record) reach() reach {
	switch r.text("bound") {
	case "under":
		return reach{min(q.Length(r.num("in"))*q.Inch, q.Length(r.num("mm"))*q.Millimetre), true,
			"under " + r.text("in") + " in (" + r.text("mm") + " mm)"}
	case "through":
		return reach{max(q.Length(r.num("in"))*q.Inch, q.Length(r.num("mm"))*q.Millimetre), false,
			"through " + r.text("in") + " in (" + r.text("mm") + " mm)"}
	case "over":
		return reach{q.Length(math.Inf(1)), false, "thicker"}
	}
	r.fail("bound", "not under, through or over")
	return reach{}
}

func (b reach) has(t q.Length) bool {
	if b.strict {
		return t < b.limit-slack
	}
	return t <= b.limit+slack
}
