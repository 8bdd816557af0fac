package source

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	q "soundmetal/quantity"
)

// Row is one row of an embedded reference table, read by column name. A
// malformed table is a programmer's error: every method panics with the file
// and line, when the program starts.
type Row struct {
	File  string
	Line  int
	names map[string]int
	cells []string
}

// Table reads an embedded CSV table whose first line names the columns.
func Table(file, text string) []Row {
	r := csv.NewReader(strings.NewReader(text))
	r.TrimLeadingSpace = true
	lines, err := r.ReadAll()
	if err != nil || len(lines) == 0 {
		panic(fmt.Sprintf("%s: not a table: %v", file, err))
	}
	names := make(map[string]int, len(lines[0]))
	for i, n := range lines[0] {
		names[strings.TrimSpace(n)] = i
	}
	rows := make([]Row, 0, len(lines)-1)
	for i, cells := range lines[1:] {
		rows = append(rows, Row{file, i + 2, names, cells})
	}
	return rows
}

// Fail panics with the place of a cell: for what a room finds wrong in its table.
func (r Row) Fail(column, says string) {
	panic(fmt.Sprintf("%s:%d: column %s: %s", r.File, r.Line, column, says))
}

// Has says whether the table has a column.
func (r Row) Has(column string) bool { _, ok := r.names[column]; return ok }

// Text gives a cell without outer space.
func (r Row) Text(column string) string {
	i, ok := r.names[column]
	if !ok {
		r.Fail(column, "no such column")
	}
	return strings.TrimSpace(r.cells[i])
}

// Num gives a cell as a number.
func (r Row) Num(column string) float64 {
	v, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		r.Fail(column, err.Error())
	}
	return v
}

// Or gives a cell as a number, or other where it is empty.
func (r Row) Or(column string, other float64) float64 {
	if r.Text(column) == "" {
		return other
	}
	return r.Num(column)
}

// Maybe gives a cell as a quantity in a unit, or unknown where it is empty.
func Maybe[T ~float64](r Row, column string, unit T) q.Maybe[T] {
	if r.Text(column) == "" {
		return q.Maybe[T]{}
	}
	return q.Known(T(r.Num(column)) * unit)
}

// Yes gives a cell that says yes or no.
func (r Row) Yes(column string) bool {
	switch r.Text(column) {
	case "yes":
		return true
	case "no":
		return false
	}
	r.Fail(column, "neither yes nor no")
	return false
}

// List gives a cell whose parts are separated by bars; an empty cell has none.
func (r Row) List(column string) []string {
	text := r.Text(column)
	if text == "" {
		return nil
	}
	parts := strings.Split(text, "|")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

// Ref gives the row's origin from its columns source, where (may be missing) and status.
func (r Row) Ref() Ref {
	status := Status(r.Text("status"))
	switch status {
	case Read, Memory, Practice, Derived, Judgement:
	default:
		r.Fail("status", "unknown status "+string(status))
	}
	where := ""
	if r.Has("where") {
		where = r.Text("where")
	}
	if _, ok := publications[r.Text("source")]; !ok {
		r.Fail("source", "no publication "+r.Text("source")+" in sources.csv")
	}
	return At(r.Text("source"), where, status)
}
