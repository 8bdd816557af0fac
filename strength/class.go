package strength

import (
	_ "embed"
	"fmt"
	"math"
	"slices"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed details.csv
var detailsCSV string

//go:embed classes.csv
var classesCSV string

//go:embed doubler_en.csv
var doublerENCSV string

// System is the family of rules a fatigue class belongs to.
type System string

const (
	IIW System = "iiw"
	EN  System = "en"
)

// Detail is one welded or plain detail with its fatigue classes.
type Detail struct {
	ID        string
	Group     string
	Text      string
	Condition string
	Place     string // where it cracks: surface, edge, hole, toe, root, end, weld
	Thick     string // kind of thickness effect, see thickness.csv
	Grindable bool   // toe treatment may raise the class
	Classes   []Class
}

// Class is the fatigue class of a detail in one system, within one band.
type Class struct {
	System System
	FAT    q.Stress // range of 95 % survival at 2 million cycles
	Slope  float64
	By     string  // what the band measures: length_mm, plate_over_flange, throat_over_plate, slope, radius_over_width; empty without a band
	From   float64 // mm where By says so, else a share
	To     float64
	Ref    source.Ref
}

var details = mustDetails()

func mustDetails() []Detail {
	var all []Detail
	for _, r := range source.Table("details.csv", detailsCSV) {
		all = append(all, Detail{ID: r.Text("id"), Group: r.Text("group"), Text: r.Text("text"), Condition: r.Text("condition"),
			Place: r.Text("place"), Thick: r.Text("thick"), Grindable: r.Text("toe") == "yes"})
		mustThickness(r.Text("thick"))
	}
	find := func(id string) *Detail {
		i := slices.IndexFunc(all, func(d Detail) bool { return d.ID == id })
		if i < 0 {
			panic("strength: classes.csv: no detail " + id)
		}
		return &all[i]
	}
	for _, r := range source.Table("classes.csv", classesCSV) {
		d := find(r.Text("detail"))
		system := IIW // our own rows are read with the IIW curves
		if r.Text("source") == "en1993-1-9" {
			system = EN
		}
		d.Classes = append(d.Classes, Class{system, mpa(r.Num("fat")), r.Num("slope"), r.Text("by"), r.Or("low", 0), upper(r, "high"), r.Ref()})
	}
	for _, d := range all {
		if len(d.Classes) == 0 {
			panic("strength: detail " + d.ID + " has no class")
		}
	}
	return all
}

// Details gives every detail of the catalogue.
func Details() []Detail {
	all := slices.Clone(details)
	for i := range all {
		all[i].Classes = slices.Clone(all[i].Classes)
	}
	return all
}

// DetailByID gives one detail.
func DetailByID(id string) (Detail, bool) {
	i := slices.IndexFunc(details, func(d Detail) bool { return d.ID == id })
	if i < 0 {
		return Detail{}, false
	}
	return details[i], true
}

// Class gives the class of the detail in a system; band is the value the band
// measures and is ignored where there is none. Where the system has no row, the
// row of the other counts and the answer says so by its System. A band that no
// row covers is out of range.
func (d Detail) Class(s System, band float64) (Class, error) {
	for _, system := range []System{s, IIW, EN} {
		lowest, highest, by := math.Inf(1), math.Inf(-1), ""
		for _, c := range d.Classes {
			if c.System != system {
				continue
			}
			if c.By == "" || band >= c.From && band < c.To || band == c.To && band == 0 {
				return c, nil
			}
			lowest, highest, by = min(lowest, c.From), max(highest, c.To), c.By
		}
		if by != "" {
			return Class{}, &source.OutOfRange{Method: "fatigue-class", Quantity: by + " of " + d.ID, Value: band,
				Low: lowest, High: highest, Instead: "take the lowest class of the detail or measure"}
		}
	}
	return Class{}, fmt.Errorf("fatigue-class: detail %s has no class", d.ID)
}

// DoublerClassEN gives the EN 1993-1-9 class of the end of a long plate on a
// flange, which depends on both thicknesses.
func DoublerClassEN(plate, flange q.Length) (Class, error) {
	ratio := float64(plate / flange)
	t := max(plate, flange).MM()
	for _, r := range source.Table("doubler_en.csv", doublerENCSV) {
		if ratio >= r.Num("plate_over_flange_from") && ratio < upper(r, "plate_over_flange_to") &&
			t > r.Num("thickness_from") && t <= upper(r, "thickness_to") {
			return Class{EN, mpa(r.Num("fat")), 3, "plate_over_flange", r.Num("plate_over_flange_from"), upper(r, "plate_over_flange_to"), r.Ref()}, nil
		}
	}
	return Class{}, fmt.Errorf("fatigue-class: thickness of plate and flange must be above zero")
}

// mustClass is Class for a detail and band that the tables are known to hold.
func mustClass(id string, s System, band float64) Class {
	d, ok := DetailByID(id)
	if !ok {
		panic("strength: no detail " + id)
	}
	c, err := d.Class(s, band)
	if err != nil {
		panic("strength: " + err.Error())
	}
	return c
}
