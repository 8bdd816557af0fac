package quantity

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
)

// Printing follows prints.csv: for each kind and system, bands by size, each
// with a unit and a form.
//
//	from    magnitude from which the band holds, in the row's unit unless it names another;
//	        limit: the step of a minimum or maximum temperature
//	form    0.1        nearest multiple
//	        3s         three significant figures
//	        fraction   inches as on a rule
//	        h+min 5    two units, the smaller one to the nearest 5
//	system  one: the trade uses the same unit everywhere, so it is printed once

// band is one row of prints.csv.
type band struct {
	from  float64 // SI
	unit  *Unit
	step  float64 // nearest multiple; 0 where figures or fraction
	sig   int     // significant figures
	frac  bool
	big   *Unit // the larger unit of a form of two
	ratio float64
	tail  string // glue and symbol
	tens  int    // decimals of step
}

//go:embed prints.csv
var printsCSV string

// printing is how one kind is printed.
type printing struct {
	one   bool
	bands [2][]band // by System
	limit [2]band   // of a minimum or maximum
}

var printings = mustReadPrintings(printsCSV)

func mustReadPrintings(text string) *[kindCount]printing {
	var all [kindCount]printing
	for _, r := range mustReadCSV("prints.csv", text) {
		k := mustKind("prints.csv", r["kind"])
		b := band{unit: k.mustUnit(r["unit"])}
		b.tail = b.unit.glue()
		form := r["form"]
		if larger, rest, ok := strings.Cut(form, "+"); ok {
			smaller, step, _ := strings.Cut(rest, " ")
			b.big, b.unit, form = k.mustUnit(larger), k.mustUnit(smaller), step
			b.ratio = math.Round(b.big.factor / b.unit.factor)
		}
		switch sig, ok := strings.CutSuffix(form, "s"); {
		case form == "fraction":
			b.frac = true
		case ok:
			b.sig = int(mustFloat(sig))
		default:
			b.step = mustFloat(form)
			if i := strings.IndexByte(form, '.'); i >= 0 {
				b.tens = len(form) - i - 1
			}
		}
		p := &all[k]
		sys := SI
		switch r["system"] {
		case "us":
			sys = US
		case "one":
			p.one = true
		}
		if r["from"] == "limit" {
			p.limit[sys] = b
			continue
		}
		from, unit, named := strings.Cut(r["from"], " ")
		in := k.mustUnit(r["unit"])
		if named {
			in = k.mustUnit(unit)
		}
		b.from = in.SI(mustFloat(from))
		p.bands[sys] = append(p.bands[sys], b)
	}
	for k := range all {
		if all[k].one {
			all[k].bands[US] = all[k].bands[SI]
		}
		for sys, bands := range all[k].bands {
			if len(bands) == 0 {
				panic("quantity: prints.csv: no row for " + Kind(k).String() + " in " + System(sys).String())
			}
		}
	}
	return &all
}

func mustFloat(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("quantity: prints.csv: " + err.Error())
	}
	return v
}

// other is the system that is echoed.
func (s System) other() System {
	if s == US {
		return SI
	}
	return US
}

// oneSystem says that the trade has one unit for the kind.
func (k Kind) oneSystem() bool { return printings[k].one }

// Text prints an SI value in both systems at trade precision, sys first:
// 1/2 in (12.7 mm). A kind with one unit is printed once: 120 A.
func (k Kind) Text(v float64, sys System) string {
	var buf [64]byte
	b := k.appendIn(buf[:0], v, sys)
	if !printings[k].one {
		b = append(b, " ("...)
		b = k.appendIn(b, v, sys.other())
		b = append(b, ')')
	}
	return string(b)
}

// In prints an SI value in one system at trade precision.
func (k Kind) In(v float64, sys System) string {
	var buf [48]byte
	return string(k.appendIn(buf[:0], v, sys))
}

func (k Kind) appendIn(b []byte, v float64, sys System) []byte {
	p := k.band(v, sys)
	b = p.append(b, v, closeTo)
	return append(b, p.unitAfter()...)
}

// band picks the row for a value.
func (k Kind) band(v float64, sys System) *band {
	bands := printings[k].bands[sys&1]
	size := math.Abs(v)
	for i := len(bands) - 1; i > 0; i-- {
		// the margin keeps 0.1 m, which is 99.99999999999999 mm, out of the band below
		if size >= bands[i].from*(1-1e-12) && (bands[i].from > 0 || v >= bands[i].from) {
			return &bands[i]
		}
	}
	return &bands[0]
}

// unitAfter is the unit behind the figure; a form of two units writes its own.
func (p *band) unitAfter() string {
	if p.big != nil {
		return ""
	}
	return p.tail
}

// append writes the figure of v. near is how far off a sixteenth of an inch may be.
func (p *band) append(b []byte, v float64, near float64) []byte {
	x := p.unit.From(v)
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return strconv.AppendFloat(b, x, 'f', -1, 64)
	case p.big != nil:
		return p.appendTwo(b, x)
	case p.frac:
		return appendInches(b, x, near)
	case p.sig > 0:
		return appendSig(b, x, p.sig)
	}
	return appendFixed(b, RoundTo(x, p.step), p.tens)
}

// appendTwo writes 2 ft 6-1/4 in.
func (p *band) appendTwo(b []byte, x float64) []byte {
	x = RoundTo(x, p.step)
	if x < 0 {
		b = append(b, '-')
		x = -x
	}
	n := math.Floor(x / p.ratio)
	rest := x - n*p.ratio
	b = appendFixed(b, n, 0)
	b = append(b, p.big.glue()...)
	if rest == 0 {
		return b
	}
	b = append(b, ' ')
	if p.step < 1 {
		b = appendInches(b, rest, closeTo)
	} else {
		b = appendFixed(b, rest, 0)
	}
	return append(b, p.unit.glue()...)
}

// appendSig writes x with so many significant figures, without needless zeros.
func appendSig(b []byte, x float64, sig int) []byte {
	if x == 0 {
		return append(b, '0')
	}
	size := math.Abs(x)
	if size < 1e-4 || size >= 1e9 {
		return strconv.AppendFloat(b, roundSig(x, sig), 'g', -1, 64)
	}
	return appendFixed(b, roundSig(x, sig), max(0, decimals(size, sig)))
}

// decimals is how many decimals so many significant figures leave; negative for tens.
func decimals(size float64, sig int) int {
	return sig - 1 - int(math.Floor(math.Log10(size)*(1+1e-15)))
}

func roundSig(x float64, sig int) float64 {
	var buf [32]byte
	v, _ := strconv.ParseFloat(string(strconv.AppendFloat(buf[:0], x, 'e', sig-1, 64)), 64)
	return v
}

// appendFixed writes x with so many decimals and takes off zeros at the end.
func appendFixed(b []byte, x float64, places int) []byte {
	start := len(b)
	b = strconv.AppendFloat(b, x, 'f', places, 64)
	if places > 0 {
		for b[len(b)-1] == '0' {
			b = b[:len(b)-1]
		}
		if b[len(b)-1] == '.' {
			b = b[:len(b)-1]
		}
	}
	if string(b[start:]) == "-0" {
		b = append(b[:start], '0')
	}
	return b
}

// printed is the most by which what In prints may be off v, in SI.
func (k Kind) printed(v float64, sys System) float64 {
	p := k.band(v, sys)
	scale := math.Abs(p.unit.SI(1) - p.unit.SI(0))
	x := math.Abs(p.unit.From(v))
	switch {
	case p.frac:
		return inchesOff(x) * scale
	case p.sig > 0:
		if x == 0 {
			return 0
		}
		return math.Pow(10, math.Floor(math.Log10(x))-float64(p.sig)+1) / 2 * 1.01 * scale
	}
	return p.step / 2 * scale
}
