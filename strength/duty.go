package strength

import (
	_ "embed"
	"fmt"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed duty.csv
var dutyCSV string

var dutyRows = source.Table("duty.csv", dutyCSV)

//go:embed starts.csv
var startsCSV string

var startRows = source.Table("starts.csv", startsCSV)

// DutyCycle is how often a kind of machine loads its parts.
type DutyCycle struct {
	ID    string
	Title string
	Main  q.Of[PerHour] // work cycles
	Minor q.Of[PerHour] // small ranges between them, as from the road; zero where none are known
	Note  string
	Ref   source.Ref
}

// DutyOf finds the duty of a machine by the words of its kind; the keyword that
// comes first counts, the longer one where two begin together. A machine not in
// the list has the widest span.
func DutyOf(kind string) DutyCycle {
	kind = strings.ToLower(kind)
	var best DutyCycle
	first, longest := len(kind)+1, 0
	for _, r := range dutyRows {
		d := DutyCycle{r.Text("id"), r.Text("title"), q.Span(PerHour(r.Num("low")), PerHour(r.Num("high"))),
			q.Span(PerHour(r.Or("minor_low", 0)), PerHour(r.Or("minor_high", 0))), r.Text("note"), r.Ref()}
		if d.ID == "unknown" && longest == 0 {
			best = d
		}
		for _, k := range r.List("keywords") {
			if at := strings.Index(kind, k); at >= 0 && (at < first || at == first && len(k) > longest) {
				best, first, longest = d, at, len(k)
			}
		}
	}
	return best
}

// Origin is the fatigue class that a crack's starting point stands for.
type Origin struct {
	Detail string
	FAT    q.Of[q.Stress]
	Mid    q.Stress
	Note   string
	Ref    source.Ref
}

// OriginOf gives the class of the place where a crack starts.
func OriginOf(start job.Start) Origin {
	var o Origin
	for _, r := range startRows {
		if r.Text("start") == string(start) || r.Text("start") == "" && o.Detail == "" {
			o = Origin{r.Text("detail"), q.Span(mpa(r.Num("low")), mpa(r.Num("high"))), mpa(r.Num("mid")), r.Text("note"), r.Ref()}
			if r.Text("start") == string(start) {
				return o
			}
		}
	}
	return o
}

func (d DutyCycle) text() string {
	return fmt.Sprintf("%s to %s an hour (%s)", num(float64(d.Main.Low)), num(float64(d.Main.High)), d.Title)
}
