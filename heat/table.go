package heat

import (
	"embed"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed *.csv
var tables embed.FS

// load reads one table.
func load(file string) []source.Row {
	text, err := tables.ReadFile(file)
	if err != nil {
		panic("heat: " + err.Error())
	}
	return source.Table("heat/"+file, string(text))
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

func reachOf(r source.Row) reach {
	switch r.Text("bound") {
	case "under":
		return reach{min(q.Length(r.Num("in"))*q.Inch, q.Length(r.Num("mm"))*q.Millimetre), true,
			"under " + r.Text("in") + " in (" + r.Text("mm") + " mm)"}
	case "through":
		return reach{max(q.Length(r.Num("in"))*q.Inch, q.Length(r.Num("mm"))*q.Millimetre), false,
			"through " + r.Text("in") + " in (" + r.Text("mm") + " mm)"}
	case "over":
		return reach{q.Length(math.Inf(1)), false, "thicker"}
	}
	r.Fail("bound", "not under, through or over")
	return reach{}
}

func (b reach) has(t q.Length) bool {
	if b.strict {
		return t < b.limit-slack
	}
	return t <= b.limit+slack
}
