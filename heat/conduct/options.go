package conduct

import (
	q "soundmetal/quantity"
)

// Level is how fine a case is computed where Options leave it open.
type Level uint8

// Levels. Working is for the plan, Coarse for an answer while typing, Fine to
// check a Working answer.
const (
	Working Level = iota
	Coarse
	Fine
)

// String names the level.
func (l Level) String() string { return [...]string{"working", "coarse", "fine"}[l] }

// Options say how finely to compute. The zero value is the Working level.
type Options struct {
	Level Level
	// Finest cells in the zone of the weld, and how cells grow away from it.
	Along, Across, Through q.Length
	Growth                 q.Ratio // increase of the cell size per distance; negative: even cells
	Largest                q.Length
	Least                  int        // cells through any wall; 0: the level's
	Zone                   []Box      // where cells are finest; none: around the beads, or the torch
	ArcStep                q.Time     // step while an arc burns
	FlameStep              q.Time     // longest step under a flame
	LongestStep            q.Time     // longest step of a wait
	Tolerance              q.TempDiff // how far a step may bend from a straight line
	MaxCells               int        // refuse above; 0: 1.5 million
	Progress               func(Progress)
	Section                *SectionOrder
}

// Progress is told now and then, from the same goroutine.
type Progress struct {
	Event int // of the case, from 0
	Name  string
	Time  q.Time // computed so far
	Steps int
}

// SectionOrder asks for the temperatures of one cross-section at X.
type SectionOrder struct {
	X     q.Length
	Every q.Time // least time between two pictures
}

type levelRow struct {
	along, across, through float64 // m
	growth, largest        float64
	least                  int
	arc, flame, wait, tol  float64 // s, K
}

// levels are choices of this solver, found by halving until the answers stood:
// see docs/verification.md.
var levels = [...]levelRow{
	Working: {along: 5e-3, across: 2.5e-3, through: 3.2e-3, growth: 0.28, largest: 60e-3, least: 5, arc: 0.5, flame: 10, wait: 60, tol: 1},
	Coarse:  {along: 12e-3, across: 4e-3, through: 6.5e-3, growth: 0.5, largest: 100e-3, least: 3, arc: 1.6, flame: 30, wait: 150, tol: 5},
	Fine:    {along: 2.5e-3, across: 1.25e-3, through: 1.6e-3, growth: 0.15, largest: 30e-3, least: 10, arc: 0.2, flame: 2, wait: 20, tol: 0.5},
}

// filled gives the options with the level's values where they are zero.
func (o Options) filled() Options {
	l := levels[o.Level]
	set := func(v *q.Length, d float64) {
		if *v == 0 {
			*v = q.Length(d)
		}
	}
	set(&o.Along, l.along)
	set(&o.Across, l.across)
	set(&o.Through, l.through)
	set(&o.Largest, l.largest)
	if o.Growth == 0 {
		o.Growth = q.Ratio(l.growth)
	} else if o.Growth < 0 {
		o.Growth = 0
	}
	if o.Least == 0 {
		o.Least = l.least
	}
	dur := func(v *q.Time, d float64) {
		if *v == 0 {
			*v = q.Time(d)
		}
	}
	dur(&o.ArcStep, l.arc)
	dur(&o.FlameStep, l.flame)
	dur(&o.LongestStep, l.wait)
	if o.Tolerance == 0 {
		o.Tolerance = q.TempDiff(l.tol)
	}
	if o.MaxCells == 0 {
		o.MaxCells = 1_500_000
	}
	return o
}

// sizes gives the wanted cell sizes of the three axes for a case.
func (o Options) sizes(c *Case) [3]sizing {
	lo, hi := c.Body.bounds()
	zone := o.Zone
	margin := max(2*float64(o.Across), 8e-3)
	if len(zone) == 0 {
		for _, e := range c.Events {
			if b, ok := e.(Bead); ok {
				zone = append(zone, spanBox(b.From, b.To))
			}
		}
		if g := c.Body.Groove; g != nil && len(zone) > 0 {
			for _, p := range g.Outline {
				zone = append(zone, spanBox(Point{g.From, p.Y, p.Z}, Point{g.To, p.Y, p.Z}))
			}
		}
	}
	fine := [3]float64{float64(o.Along), float64(o.Across), float64(o.Through)}
	if len(zone) == 0 { // flames are broad: four cells to the radius
		for _, e := range c.Events {
			if t, ok := e.(Torch); ok {
				for _, p := range t.Path {
					zone = append(zone, spanBox(p, p))
				}
				fine[0] = max(fine[0], float64(t.Radius)/4)
				fine[1] = max(fine[1], float64(t.Radius)/4)
			}
		}
	}
	var s [3]sizing
	// enough cells through the thinnest wall
	for _, box := range c.Body.Solid {
		l, h := box.Low.xyz(), box.High.xyz()
		fine[1] = min(fine[1], (h[1]-l[1])/float64(min(o.Least, 3)))
		fine[2] = min(fine[2], (h[2]-l[2])/float64(o.Least))
	}
	for a := range 3 {
		s[a] = sizing{finest: fine[a], growth: float64(o.Growth), largest: float64(o.Largest), low: lo[a], high: hi[a]}
		s[a].least = [3]int{1, min(o.Least, 3), o.Least}[a]
		if len(zone) == 0 {
			continue
		}
		zl, zh := zone[0].Low.xyz()[a], zone[0].High.xyz()[a]
		for _, z := range zone {
			zl, zh = min(zl, z.Low.xyz()[a]), max(zh, z.High.xyz()[a])
		}
		s[a].low, s[a].high = zl-margin, zh+margin
	}
	return s
}

func spanBox(a, b Point) Box {
	return Box{Point{min(a.X, b.X), min(a.Y, b.Y), min(a.Z, b.Z)}, Point{max(a.X, b.X), max(a.Y, b.Y), max(a.Z, b.Z)}}
}
