// Package source keeps where a number comes from: the publication, the clause,
// how sure we are of it, and the range in which its method holds.
package source

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Status says how sure we are of a figure.
type Status string

const (
	Read      Status = "read"            // confirmed in a public copy, abstract or secondary page
	Memory    Status = "from memory"     // recalled, not confirmed: check a licensed copy
	Practice  Status = "common practice" // used by the trade, no single source
	Derived   Status = "derived"         // computed here from the formula shown
	Judgement Status = "judgement"       // our own estimate, labelled so
)

// Weak says that a figure may inform but must not by itself turn a no into a yes.
func (s Status) Weak() bool { return s == Memory || s == Judgement || s == Practice }

// Publication is one entry of the bibliography (sources.csv).
type Publication struct {
	Key, Title, Edition, Publisher, Seen string
}

//go:embed sources.csv
var sourcesCSV string

var publications = mustReadPublications(sourcesCSV)

func mustReadPublications(text string) map[string]Publication {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic("source: sources.csv: " + err.Error())
	}
	all := make(map[string]Publication, len(rows))
	for _, r := range rows[1:] {
		if _, twice := all[r[0]]; twice {
			panic("source: sources.csv: key " + r[0] + " twice")
		}
		all[r[0]] = Publication{r[0], r[1], r[2], r[3], r[4]}
	}
	return all
}

// Lookup gives the publication of a key.
func Lookup(key string) (Publication, bool) { p, ok := publications[key]; return p, ok }

// Ref points into one publication.
type Ref struct {
	Key    string `json:"key"`
	Where  string `json:"where,omitempty"` // table, clause, page, equation
	Status Status `json:"status"`
}

// At makes a Ref. An unknown key is a programmer's error and panics.
func At(key, where string, status Status) Ref {
	if _, ok := publications[key]; !ok {
		panic("source: no publication " + key + " in sources.csv")
	}
	return Ref{key, where, status}
}

// String prints the publication with edition and place, as shown to the welder;
// a place that the title ends with is not said twice.
func (r Ref) String() string {
	p := publications[r.Key]
	s := p.Title
	if p.Edition != "" {
		s += " (" + p.Edition + ")"
	}
	if r.Where != "" && !strings.HasSuffix(strings.ToLower(p.Title), strings.ToLower(r.Where)) {
		s += ", " + r.Where
	}
	return s
}

// Input is one figure that went into a result.
type Input struct {
	Name string `json:"name"`
	Text string `json:"text"`           // value with unit
	From string `json:"from,omitempty"` // measured, assumed, worst of the credible steels, ...
}

// Step is one line of the working, in the order it is done.
type Step struct {
	Name    string  `json:"name"`              // "CET term"
	Formula string  `json:"formula,omitempty"` // "697 × CET"
	With    string  `json:"with,omitempty"`    // "697 × 0.400"
	Value   float64 `json:"value"`             // in Unit
	Unit    string  `json:"unit,omitempty"`
	Text    string  `json:"text,omitempty"` // where the outcome is a word: "thick (3D)", "group D"
}

// Basis is how a figure came about and why it matters.
type Basis struct {
	Method  string   `json:"method"`            // method id as in `soundmetal calc`, or a rule id
	Title   string   `json:"title"`             // "Minimum preheat by the CET method"
	Formula string   `json:"formula,omitempty"` // the whole formula on one line
	Inputs  []Input  `json:"inputs,omitempty"`
	Steps   []Step   `json:"steps,omitempty"`
	Ref     Ref      `json:"source"`
	Also    []Ref    `json:"also,omitempty"`  // further sources, where a band or a check is made of several
	Notes   []string `json:"notes,omitempty"` // limits, doubts, what was assumed
	Why     string   `json:"why,omitempty"`   // one sentence for the apprentice
	Skip    string   `json:"skip,omitempty"`  // what happens if he skips it
}

// Result is a value with its basis.
type Result[T any] struct {
	Value T     `json:"value"`
	Basis Basis `json:"basis"`
}

// OutOfRange is the answer of a method outside its published range. The caller
// switches method; nobody extrapolates or clamps silently.
type OutOfRange struct {
	Method   string  // method id
	Quantity string  // "CET", "thickness"
	Value    float64 // in Unit
	Low      float64
	High     float64
	Unit     string
	Instead  string // what to use instead, a clause without capital; may be empty
}

func (e *OutOfRange) Error() string {
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	limit := plain(e.Low) + " to " + plain(e.High) + unit
	if e.High >= math.MaxFloat64 { // no upper end
		limit = "of " + plain(e.Low) + unit + " or more"
	}
	s := fmt.Sprintf("%s: %s %s%s is outside the method's range %s", e.Method, e.Quantity, plain(e.Value), unit, limit)
	if e.Instead != "" {
		s += "; " + e.Instead
	}
	return s
}

// plain prints four significant figures without an exponent as far as people
// read numbers without one.
func plain(v float64) string {
	if a := math.Abs(v); a >= 1e4 && a < 1e9 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return fmt.Sprintf("%.4g", v)
}

// InRange returns an *OutOfRange error where v is not within low to high.
func InRange(method, quantity string, v, low, high float64, unit, instead string) error {
	if v >= low && v <= high { // false for NaN too
		return nil
	}
	return &OutOfRange{method, quantity, v, low, high, unit, instead}
}
