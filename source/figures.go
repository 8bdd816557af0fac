package source

import (
	"fmt"
	"math"
)

// Figure is one scalar of the trade with its band.
type Figure struct {
	Low, Likely, High float64
	Unit              string // as in the table
	Note              string
	Ref               Ref
}

// Figures are the scalars of one table.
type Figures struct {
	file string
	all  map[string]Figure
}

// ReadFigures reads an embedded table of scalars: the columns id, low, likely and
// high, or id and value where there is no band, then source, where and status;
// unit, note and kind (which comes before the id: kind/id) may be missing. units
// says what one unit of the table is in the room's own; nil leaves the numbers.
func ReadFigures(file, text string, units map[string]float64) Figures {
	f := Figures{file, map[string]Figure{}}
	for _, r := range Table(file, text) {
		v := Figure{Ref: r.Ref()}
		if r.Has("note") {
			v.Note = r.Text("note")
		}
		one := 1.0
		if r.Has("unit") {
			v.Unit = r.Text("unit")
			known := units == nil
			if !known {
				one, known = units[v.Unit]
			}
			if !known {
				r.Fail("unit", "no unit "+v.Unit)
			}
		}
		if r.Has("value") {
			v.Likely = r.Num("value") * one
			v.Low, v.High = v.Likely, v.Likely
		} else {
			v.Low, v.Likely, v.High = r.Num("low")*one, r.Num("likely")*one, r.Num("high")*one
		}
		if !(v.Low <= v.Likely && v.Likely <= v.High) {
			r.Fail("likely", "not between low and high")
		}
		id := r.Text("id")
		if r.Has("kind") {
			id = r.Text("kind") + "/" + id
		}
		if _, twice := f.all[id]; twice {
			r.Fail("id", id+" twice")
		}
		f.all[id] = v
	}
	return f
}

// Of gives a figure. A wrong id is a programmer's error and panics.
func (f Figures) Of(id string) Figure {
	v, ok := f.all[id]
	if !ok {
		panic(fmt.Sprintf("%s: no figure %s", f.file, id))
	}
	return v
}

// Find gives a figure where the table has it.
func (f Figures) Find(id string) (Figure, bool) { v, ok := f.all[id]; return v, ok }

// limit is the range in which a method is offered.
type limit struct {
	low, high     float64
	unit, instead string
}

// Limits are the ranges in which a room's methods are offered.
type Limits struct {
	file string
	all  map[string]limit
}

// ReadLimits reads an embedded table with the columns method, quantity, low,
// high, unit, instead, source and status.
func ReadLimits(file, text string) Limits {
	l := Limits{file, map[string]limit{}}
	for _, r := range Table(file, text) {
		r.Ref() // known source and status
		key := r.Text("method") + "/" + r.Text("quantity")
		if _, twice := l.all[key]; twice {
			r.Fail("quantity", key+" twice")
		}
		l.all[key] = limit{r.Num("low"), r.Num("high"), r.Text("unit"), r.Text("instead")}
	}
	return l
}

// Within refuses a value, given in the limit's own unit, outside the method's
// range. A limit that the table lacks is a programmer's error and panics.
func (l Limits) Within(method, quantity string, v float64) error {
	m, ok := l.all[method+"/"+quantity]
	if !ok {
		panic(fmt.Sprintf("%s: no limit %s/%s", l.file, method, quantity))
	}
	// The last digits of a unit conversion must not refuse a value on the edge.
	const slack = 1e-9
	if v < m.low && v > m.low-slack*math.Abs(m.low) || v > m.high && v < m.high+slack*math.Abs(m.high) {
		return nil
	}
	return InRange(method, quantity, v, m.low, m.high, m.unit, m.instead)
}
