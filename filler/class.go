package filler

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Process is how the filler is run.
type Process string

// The processes.
const (
	Rod          Process = "rod"
	GasCored     Process = "gas-cored"
	SelfShielded Process = "self-shielded"
	SolidWire    Process = "solid-wire"
)

// Metal is what the deposit is.
type Metal string

// The deposits.
const (
	Ferritic   Metal = "ferritic"
	Austenitic Metal = "austenitic"
	Nickel     Metal = "nickel"
	Manganese  Metal = "manganese"
	CastIron   Metal = "cast-iron" // nickel rods made for cast iron
	Hard       Metal = "hard"      // hard-facing, never for joining
)

// Coating is the covering of a rod, or what fills a cored wire.
type Coating string

// The coatings; empty where the word says nothing (solid wire, stainless rods).
const (
	Cellulosic Coating = "cellulosic"
	Rutile     Coating = "rutile"
	Basic      Coating = "basic" // low hydrogen
)

// Deposit is the chemistry of the weld metal in % by mass. An element that the
// class does not limit is unknown, not zero.
type Deposit struct {
	C, Mn, Si, Ni, Cr, Mo, V, Cu q.Maybe[q.Of[q.Percent]]
	Ref                          source.Ref
}

// Known says whether the class has such a composition at all.
func (d Deposit) Known() bool { return d.Ref.Key != "" }

// Class is one class of rod or wire, with the marks that were read with it.
type Class struct {
	ID         string // "E7018"
	Name       string // in words
	Process    Process
	Metal      Metal
	Coating    Coating
	UTS        q.Maybe[q.Stress] // least tensile strength of the deposit
	Yield      q.Maybe[q.Stress] // least yield
	YieldMax   q.Maybe[q.Stress] // highest yield, where the class limits it
	Elongation q.Maybe[float64]  // least, %
	Limits     Deposit           // what the class allows
	Typical    Deposit           // what a usual tin gives
	Hydrogen   q.Maybe[q.Hydrogen]
	HTypical   q.Maybe[q.Hydrogen]
	HByClass   bool // the class itself sets the hydrogen limit, with no mark on the tin
	Efficiency q.Maybe[q.Ratio]
	Polarity   string // "DCEP", "AC|DCEP"
	Spec       string
	Ref        source.Ref

	Mark    q.Maybe[q.Hydrogen] // hydrogen mark read on the tin: H4, H8, ...
	Resist  bool                // R: passed the absorbed-moisture test
	Assumed string              // what the reader had to assume, a clause; empty if nothing

	exposure  string // row of exposure.csv
	bake      string // row of bake.csv
	positions string
}

//go:embed classes.csv
var classesCSV string

//go:embed deposits.csv
var depositsCSV string

var classes = mustClasses(classesCSV, depositsCSV)

func mustClasses(text, deposits string) []Class {
	var all []Class
	for _, r := range source.Table("classes.csv", text) {
		all = append(all, Class{
			ID: r.Text("id"), Name: r.Text("name"),
			Process: Process(r.Text("process")), Metal: Metal(r.Text("metal")), Coating: Coating(r.Text("coating")),
			UTS: source.Maybe(r, "uts_mpa", q.Megapascal), Yield: source.Maybe(r, "yield_low_mpa", q.Megapascal),
			YieldMax:   source.Maybe(r, "yield_high_mpa", q.Megapascal),
			Elongation: source.Maybe(r, "elong_pct", 1.0),
			Hydrogen:   source.Maybe(r, "h_default_ml", q.Hydrogen(1)), HTypical: source.Maybe(r, "h_typical_ml", q.Hydrogen(1)),
			HByClass: r.Text("h_by_class") == "yes", Efficiency: source.Maybe(r, "efficiency_pct", q.Ratio(0.01)),
			Polarity: r.Text("polarity"), Spec: r.Text("spec"), Ref: r.Ref(),
			exposure: r.Text("exposure"), bake: r.Text("bake"), positions: r.Text("positions"),
		})
	}
	for _, r := range source.Table("deposits.csv", deposits) {
		i := slices.IndexFunc(all, func(c Class) bool { return c.ID == r.Text("class") })
		if i < 0 {
			r.Fail("class", "no such class")
		}
		d := Deposit{element(r, "c"), element(r, "mn"), element(r, "si"), element(r, "ni"), element(r, "cr"),
			element(r, "mo"), element(r, "v"), element(r, "cu"), r.Ref()}
		switch r.Text("kind") {
		case "limit":
			all[i].Limits = d
		case "typical":
			all[i].Typical = d
		default:
			r.Fail("kind", "limit or typical")
		}
	}
	return all
}

// element reads a cell "0.12" (at most) or "0.40-1.25" (from, to).
func element(r source.Row, col string) q.Maybe[q.Of[q.Percent]] {
	cell := r.Text(col)
	if cell == "" {
		return q.Maybe[q.Of[q.Percent]]{}
	}
	low, high, ranged := strings.Cut(cell, "-")
	if !ranged {
		high, low = low, "0"
		if r.Text("kind") == "typical" {
			low = high
		}
	}
	l, err1 := strconv.ParseFloat(low, 64)
	h, err2 := strconv.ParseFloat(high, 64)
	if err1 != nil || err2 != nil || l > h {
		r.Fail(col, "not a percentage or range: "+cell)
	}
	return q.Known(q.Of[q.Percent]{Low: q.Percent(l), High: q.Percent(h)})
}

// Classes gives every class of the table, in the order of the table.
func Classes() []Class { return slices.Clone(classes) }

// byID finds a class; the id comes from our own tables.
func byID(id string) (Class, bool) {
	i := slices.IndexFunc(classes, func(c Class) bool { return c.ID == id })
	if i < 0 {
		return Class{}, false
	}
	return classes[i], true
}

// Runs says whether the class may be run in that position; an unknown position asks for all of them.
func (c Class) Runs(p job.Position) bool {
	if p == "" {
		return c.positions == "flat|horizontal|vertical|overhead"
	}
	return slices.Contains(strings.Split(c.positions, "|"), string(p))
}

// LowHydrogen says whether the class is a low-hydrogen one when it is dry.
func (c Class) LowHydrogen() bool {
	return c.Metal == Ferritic && (c.Coating == Basic || c.Process != Rod)
}

// String is the class with its marks, as Read takes it: "E7018 H4R".
func (c Class) String() string {
	s := c.ID
	if mark := levelMark(c.Mark); mark != "" {
		s += " " + mark
		if c.Resist {
			s += "R"
		}
	} else if c.Resist {
		s += " R"
	}
	return s
}
