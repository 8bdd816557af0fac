package filler

import (
	_ "embed"
	"fmt"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Amps by kind of rod, size and position, and the usual one-rod data (volts and
// seconds) of a 14 in E7018.
//
// Tables: amps.csv (AWS A5.1 annex as remembered; makers' usual amps for the
// alloyed rods), burn.csv (common practice). Where a table has no column for
// vertical or overhead, flat amps less 10 to 15 % are used, and it is said.
// A metric size uses the row of its inch neighbour: 2.5 as 3/32, 5.0 as 3/16.

//go:embed amps.csv
var ampsCSV string

//go:embed burn.csv
var burnCSV string

type ampsRow struct {
	kind, inch         string
	from, to           q.Length
	rng, used          q.Of[q.Current]
	flat               q.Current
	vertical, overhead q.Maybe[q.Of[q.Current]]
	ref                source.Ref
}

type burnRow struct {
	from, to q.Length
	amps     q.Current
	volts    q.Voltage
	time     q.Time
	length   q.Length
	ref      source.Ref
}

var (
	ampsTable = mustAmps(ampsCSV)
	burnTable = mustBurn(burnCSV)
)

func mustAmps(text string) []ampsRow {
	var all []ampsRow
	for _, r := range source.Table("amps.csv", text) {
		band := func(low, high string) q.Of[q.Current] {
			return q.Of[q.Current]{Low: q.Current(r.Num(low)), High: q.Current(r.Num(high))}
		}
		optional := func(low, high string) q.Maybe[q.Of[q.Current]] {
			if r.Text(low) == "" {
				return q.Maybe[q.Of[q.Current]]{}
			}
			return q.Known(band(low, high))
		}
		all = append(all, ampsRow{r.Text("kind"), r.Text("inch"),
			q.Length(r.Num("from_mm")) * q.Millimetre, q.Length(r.Num("to_mm")) * q.Millimetre,
			band("range_low", "range_high"), band("used_low", "used_high"), q.Current(r.Num("flat")),
			optional("vertical_low", "vertical_high"), optional("overhead_low", "overhead_high"), r.Ref()})
	}
	return all
}

func mustBurn(text string) []burnRow {
	var all []burnRow
	for _, r := range source.Table("burn.csv", text) {
		all = append(all, burnRow{q.Length(r.Num("from_mm")) * q.Millimetre, q.Length(r.Num("to_mm")) * q.Millimetre,
			q.Current(r.Num("amps")), q.Voltage(r.Num("volts")), q.Time(r.Num("seconds")), q.Length(r.Num("length_in")) * q.Inch, r.Ref()})
	}
	return all
}

// ampsKind is the block of amps.csv for a class; empty where the table has none.
func (c Class) ampsKind() string {
	if c.Process != Rod {
		return ""
	}
	switch c.Metal {
	case Ferritic:
		return string(c.Coating)
	case Austenitic, Nickel, Manganese:
		return string(c.Metal)
	}
	return ""
}

// Amps are the amps for one rod in one position.
type Amps struct {
	Range   q.Of[q.Current] // the class's range
	Used    q.Of[q.Current] // what is used in practice
	Typical q.Of[q.Current] // where to start in this position
}

// AmpsFor gives the amps for a class, size and position. An unknown position is
// taken as flat, and said so. Method id: amps.
func AmpsFor(c Class, size q.Length, p job.Position) (source.Result[Amps], error) {
	var none source.Result[Amps]
	kind := c.ampsKind()
	if kind == "" {
		return none, fmt.Errorf("%s: no amps in the table; it covers low-hydrogen, cellulosic, rutile, stainless, nickel and manganese rods, so use the figure on the tin or spool", c.ID)
	}
	i := slices.IndexFunc(ampsTable, func(r ampsRow) bool { return r.kind == kind && r.from <= size && size <= r.to })
	if i < 0 {
		low, high := q.Length(1), q.Length(0)
		for _, r := range ampsTable {
			if r.kind == kind {
				low, high = min(low, r.from), max(high, r.to)
			}
		}
		return none, &source.OutOfRange{Method: "amps", Quantity: "core diameter of " + c.ID, Value: size.MM(), Low: low.MM(), High: high.MM(), Unit: "mm",
			Instead: "the table has 3/32, 1/8, 5/32 and 3/16 in (2.5, 3.2, 4.0 and 5.0 mm) rods; use the figure on the tin"}
	}
	if p != "" && !c.Runs(p) {
		return none, fmt.Errorf("%s is not run %s", c.ID, p)
	}
	r := ampsTable[i]
	a := Amps{Range: r.rng, Used: r.used, Typical: q.At(r.flat)}
	b := source.Basis{
		Method: "amps", Title: "Amps for the rod",
		Inputs: []source.Input{{Name: "class", Text: c.String()}, {Name: "size", Text: lengthText(size)}, {Name: "position", Text: orUnknown(string(p))}},
		Ref:    r.ref,
		Why:    "Too little and the rod lies on cold walls; too much and it undercuts and boils the coating off.",
		Skip:   "Slag and cold lap at the root, undercut at the toe.",
	}
	switch p {
	case job.Vertical, job.Overhead:
		max := q.Length(fig("low-hydrogen-out-of-position").Likely) * q.Millimetre
		if kind == string(Basic) && size > max+0.1*q.Millimetre {
			return none, &source.OutOfRange{Method: "amps", Quantity: "core diameter of " + c.ID + " " + string(p), Value: size.MM(), Low: 0, High: max.MM(), Unit: "mm",
				Instead: "low-hydrogen rods are run vertical and overhead up to 4.0 mm (5/32 in): take a smaller rod or turn the part"}
		}
		own := r.vertical
		if p == job.Overhead {
			own = r.overhead
		}
		if own.Known {
			a.Typical = own.V
		} else {
			f := fig("out-of-position")
			a.Typical = q.Of[q.Current]{Low: r.flat * q.Current(f.Low), High: r.flat * q.Current(f.High)}
			b.Also = append(b.Also, f.Ref)
			b.Notes = append(b.Notes, "No vertical or overhead figure in the table: flat amps less 10 to 15 %.")
		}
	case "":
		b.Notes = append(b.Notes, "Position not known: flat figures; vertical and overhead take 10 to 15 % less.")
	}
	if c.Spec == "A5.5" {
		b.Notes = append(b.Notes, "Strong low-hydrogen rods are taken as E7018 of the same size; read the tin.")
	}
	ampere := func(i q.Current) string { return num(float64(i), 0) + " A" }
	b.Steps = []source.Step{
		{Name: "range of the class", Value: float64(a.Range.Mid()), Unit: "A", Text: spanText(a.Range, ampere)},
		{Name: "used in practice", Value: float64(a.Used.Mid()), Unit: "A", Text: spanText(a.Used, ampere)},
		{Name: "start at", Value: float64(a.Typical.Mid()), Unit: "A", Text: spanText(a.Typical, ampere)},
	}
	return source.Result[Amps]{Value: a, Basis: b}, nil
}

// Burn is how one rod burns: at these amps and volts, for so long.
type Burn struct {
	Amps  q.Current
	Volts q.Voltage
	Time  q.Time
}

// TypicalBurn gives the usual burn of one 14 in low-hydrogen rod, flat, scaled to
// the length that is really burnt. Method id: rod-burn.
func TypicalBurn(c Class, size, length q.Length) (source.Result[Burn], error) {
	var none source.Result[Burn]
	if c.ampsKind() != string(Basic) {
		return none, fmt.Errorf("%s: the one-rod data are for low-hydrogen rods; time one of your own", c.ID)
	}
	i := slices.IndexFunc(burnTable, func(r burnRow) bool { return r.from <= size && size <= r.to })
	if i < 0 {
		return none, source.InRange("rod-burn", "core diameter", size.MM(), burnTable[0].from.MM(), burnTable[len(burnTable)-1].to.MM(), "mm", "time one of your own rods")
	}
	if err := within("rod-deposit", "rod length", length.MM()); err != nil {
		return none, err
	}
	r, stub := burnTable[i], q.Length(fig("stub").Likely)*q.Millimetre
	burn := Burn{r.amps, r.volts, r.time * q.Time((length-stub)/(r.length-stub))}
	return source.Result[Burn]{Value: burn, Basis: source.Basis{
		Method: "rod-burn", Title: "How one rod burns", Formula: "t = t14 · (L − stub) / (14 in − stub)",
		Inputs: []source.Input{{Name: "class", Text: c.String()}, {Name: "size", Text: lengthText(size)}, {Name: "rod length", Text: lengthText(length)}},
		Steps: []source.Step{
			{Name: "amps, volts and seconds of a 14 in rod", With: short(float64(r.amps)) + " A, " + short(float64(r.volts)) + " V", Value: float64(r.time), Unit: "s"},
			{Name: "seconds of this rod", Value: float64(burn.Time), Unit: "s"},
		},
		Ref:   r.ref,
		Notes: []string{"Usual figures for E7018, DC+, flat. Timing your own rod is better."},
		Why:   "Volts × amps × seconds is the heat that one rod carries into the steel.",
		Skip:  "Without it the heat input is a guess.",
	}}, nil
}
