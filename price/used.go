package price

import (
	"fmt"
	"math"
	"slices"

	q "soundmetal/quantity"
)

// Used is what a job used up, or is planned to: what a bill is made of.
type Used struct {
	Labour  q.Time       `json:"labour"`  // worked on site
	Standby q.Time       `json:"standby"` // waited on site
	Drives  []Drive      `json:"drives,omitempty"`
	Rods    []RodUsed    `json:"rods,omitempty"`
	Carbons []CarbonUsed `json:"carbons,omitempty"`
	Gas     q.Mass       `json:"gas"`
	Oxygen  q.Volume     `json:"oxygen"`  // as gas
	Backing q.Length     `json:"backing"` // steel bar
	Discs   float64      `json:"discs"`
	Fuel    q.Volume     `json:"fuel"`
	Tests   []TestUsed   `json:"tests,omitempty"`
	Extra   []Extra      `json:"extra,omitempty"`
}

// Drive is one trip to the site and back.
type Drive struct {
	Why      string            `json:"why,omitempty"` // where it is not the first: "final test"
	Distance q.Maybe[q.Length] `json:"distance"`      // both ways
	Time     q.Maybe[q.Time]   `json:"time"`          // both ways
}

// RodUsed is the mass of rods used, stubs and spoilt rods in it.
type RodUsed struct {
	Class string   `json:"class"`
	Core  q.Length `json:"core"`
	Mass  q.Mass   `json:"mass"`
}

// CarbonUsed is carbons used, by size.
type CarbonUsed struct {
	Size  q.Length `json:"size"`
	Count float64  `json:"count"`
}

// TestUsed is crack tests done.
type TestUsed struct {
	Method TestMethod `json:"method"`
	Count  float64    `json:"count"`
}

// mergeRods makes one row of each class and size: a packet serves them all.
func mergeRods(rods []RodUsed) []RodUsed {
	var all []RodUsed
	for _, r := range rods {
		at := slices.IndexFunc(all, func(o RodUsed) bool { return rodID(o.Class, o.Core) == rodID(r.Class, r.Core) })
		if at < 0 {
			all = append(all, r)
			continue
		}
		all[at].Mass += r.Mass
	}
	return all
}

// mergeCarbons makes one row of each size.
func mergeCarbons(carbons []CarbonUsed) []CarbonUsed {
	var all []CarbonUsed
	for _, c := range carbons {
		at := slices.IndexFunc(all, func(o CarbonUsed) bool { return carbonID(o.Size) == carbonID(c.Size) })
		if at < 0 {
			all = append(all, c)
			continue
		}
		all[at].Count += c.Count
	}
	return all
}

// check refuses what cannot have been used.
func (u Used) check() error {
	check := func(what string, v float64) error {
		if v >= 0 && !math.IsInf(v, 0) {
			return nil
		}
		return fmt.Errorf("%s: %v cannot have been used; give zero or more", what, v)
	}
	type named struct {
		what string
		v    float64
	}
	all := []named{{"labour", float64(u.Labour)}, {"standby", float64(u.Standby)}, {"gas", float64(u.Gas)}, {"oxygen", float64(u.Oxygen)}, {"backing", float64(u.Backing)}, {"discs", u.Discs}, {"fuel", float64(u.Fuel)}}
	for _, d := range u.Drives {
		all = append(all, named{"distance", float64(d.Distance.Or(0))}, named{"driving time", float64(d.Time.Or(0))})
	}
	for _, r := range u.Rods {
		all = append(all, named{"rods " + r.Class, float64(r.Mass)})
	}
	for _, c := range u.Carbons {
		all = append(all, named{"carbons", c.Count})
	}
	for _, t := range u.Tests {
		all = append(all, named{"tests", t.Count})
		if t.Method != PT && t.Method != MT && t.Method != UT {
			return fmt.Errorf("no crack test %q is charged for; give pt, mt or ut", t.Method)
		}
	}
	for _, n := range all {
		if err := check(n.what, n.v); err != nil {
			return err
		}
	}
	return nil
}
