package cut

// Gouging current of a round copper-coated carbon.
//
// Method: a table look-up, three published tables side by side.
//   d   diameter of the carbon, mm
//   I   current band, A
// The main band is the data sheet that three copies agree on (GD); it matches
// AWS C5.3 as remembered. The other two (PS, BW) lie up to a factor of two
// lower and are shown, not mixed in.
// Validity: listed sizes within 0.3 mm (an inch and a metric name of the same
// carbon, 3/16 in = 4.76 mm and 4.8 or 5 mm, lie that close). No interpolation.
// Source: gouge-data, gouge-ps, gouge-bw; rule of thumb gouge-cr.

import (
	_ "embed"
	"fmt"
	"math"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed carbons.csv
var carbonsCSV string

const mainTable = "GD"

// carbonRow is one row of one published current table.
type carbonRow struct {
	table  string
	supply Supply
	size   string
	d      q.Length
	amps   q.Of[q.Current]
	ref    source.Ref
}

var carbons = mustReadCarbons(carbonsCSV)

func mustReadCarbons(text string) []carbonRow {
	var all []carbonRow
	for _, r := range source.Table("carbons.csv", text) {
		all = append(all, carbonRow{r.Text("table"), Supply(r.Text("supply")), r.Text("size"), q.Length(r.Num("mm")) * q.Millimetre,
			q.Of[q.Current]{Low: q.Current(r.Num("low")), High: q.Current(r.Num("high"))}, r.Ref()})
	}
	return all
}

// nearest finds the row of one table whose size lies within the tolerance.
func nearest(table string, s Supply, d q.Length) (carbonRow, bool) {
	tol := figure("size-tolerance").High
	for _, c := range carbons {
		if c.table == table && c.supply == s && math.Abs(float64(c.d-d)) <= tol+1e-9 {
			return c, true
		}
	}
	return carbonRow{}, false
}

// Sizes lists the carbons of the main table, smallest first.
func Sizes(s Supply) []q.Length {
	var all []q.Length
	for _, c := range carbons {
		if c.table == mainTable && c.supply == s {
			all = append(all, c.d)
		}
	}
	return all
}

// sizeNames lists the same sizes in words.
func sizeNames(s Supply) string {
	var all []string
	for _, c := range carbons {
		if c.table == mainTable && c.supply == s {
			all = append(all, fmt.Sprintf("%s (%.1f mm)", c.size, c.d.MM()))
		}
	}
	return strings.Join(all, ", ")
}

// carbonOf finds the carbon of the main table, or refuses naming the sizes.
func carbonOf(method string, s Supply, d q.Length) (carbonRow, error) {
	if err := positive("the carbon's diameter", d); err != nil {
		return carbonRow{}, err
	}
	if c, ok := nearest(mainTable, s, d); ok {
		return c, nil
	}
	sizes := Sizes(s)
	if len(sizes) == 0 {
		return carbonRow{}, fmt.Errorf("no such supply %q: use dcep, ac or ac-on-dcen", s)
	}
	return carbonRow{}, &source.OutOfRange{Method: method, Quantity: "carbon diameter", Value: d.MM(),
		Low: sizes[0].MM(), High: sizes[len(sizes)-1].MM(), Unit: "mm",
		Instead: fmt.Sprintf("listed sizes (within %.1f mm): %s", figure("size-tolerance").High*1e3, sizeNames(s))}
}

// Current gives the current band of a DC carbon on electrode positive.
func Current(d q.Length) (source.Result[q.Of[q.Current]], error) { return CurrentOn(DCEP, d) }

// CurrentOn gives the current band of a carbon on the named supply.
func CurrentOn(s Supply, d q.Length) (source.Result[q.Of[q.Current]], error) {
	c, err := carbonOf("gouge-current", s, d)
	if err != nil {
		return source.Result[q.Of[q.Current]]{}, err
	}
	b := source.Basis{
		Method: "gouge-current", Title: "Gouging current of a carbon", Formula: "table look-up, no interpolation",
		Inputs: []source.Input{{Name: "carbon", Text: length(d)}, {Name: "supply", Text: string(s)}},
		Steps:  []source.Step{{Name: "table " + c.table, With: c.size, Value: float64(c.amps.Mid()), Unit: "A", Text: amps(c.amps)}},
		Ref:    c.ref,
		Notes:  []string{"start in the middle of the band; the value of a step is the middle of its band"},
		Why:    "Too few amps and the arc will not clear the melt; too many and the copper burns back before the carbon is used.",
		Skip:   "An overdriven carbon loses its copper far up the rod, wanders and drops carbon into the groove.",
	}
	lowest, highest := c.amps.Low, c.amps.High
	for _, t := range []string{"PS", "BW"} {
		if o, ok := nearest(t, s, d); ok {
			b.Steps = append(b.Steps, source.Step{Name: "table " + t, With: o.size, Value: float64(o.amps.Mid()), Unit: "A", Text: amps(o.amps)})
			b.Also = append(b.Also, o.ref)
			lowest, highest = min(lowest, o.amps.Low), max(highest, o.amps.High)
		}
	}
	if len(b.Also) > 0 && (lowest < c.amps.Low || highest > c.amps.High) {
		b.Notes = append(b.Notes, fmt.Sprintf("published tables disagree: all together span %s; the maker's packet wins", amps(q.Of[q.Current]{Low: lowest, High: highest})))
	}
	if s == DCEP {
		r := figure("amps-per-mm")
		thumb := q.Current(r.Likely * float64(c.d))
		b.Steps = append(b.Steps, source.Step{Name: "rule of thumb", Formula: "40 × d", With: fmt.Sprintf("%.0f × %.2f", r.Likely*1e-3, c.d.MM()), Value: float64(thumb), Unit: "A", Text: r.Note})
		b.Also = append(b.Also, r.Ref)
	} else {
		b.Notes = append(b.Notes, "steel is gouged with DC carbons on electrode positive; this row is for AC carbons")
	}
	return source.Result[q.Of[q.Current]]{Value: c.amps, Basis: b}, nil
}

// leastAmps is the lowest current any published table gives for the carbon.
func leastAmps(d q.Length) q.Current {
	least := q.Current(math.Inf(1))
	for _, t := range []string{mainTable, "PS", "BW"} {
		if c, ok := nearest(t, DCEP, d); ok {
			least = min(least, c.amps.Low)
		}
	}
	return least
}
