package power

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Welding cable: what a size is, what voltage a loop eats, and which size a loop
// wants.
//
// Methods (ρ 1.7241e-8 Ωm at 20 °C, α 0.00393/K, copper)
//
//	R = ρ·L/A · [1 + α(T − 20)]     L electrode lead + work lead, m; A mm²
//	V = I·R
//
// Rope lay adds 2 to 5 % and is not in the bare formula; Loop counts it.
// Selection table (cable-manuals, two manuals agree): 100 to 350 A, loops of 100
// to 400 ft, next row and next column, never between.

//go:embed cables.csv
var cablesCSV string

//go:embed cable_pick.csv
var cablePickCSV string

// Cable is one welding cable, or several side by side.
type Cable struct {
	Size string             // "2/0", "50mm2", "2x2/0"
	Area q.Area             // copper
	Max  q.Maybe[q.Current] // by heat, where a manual prints it
	Ref  source.Ref
}

type cableRow struct {
	cable    Cable
	also     []string
	r20, r60 q.Maybe[q.Resistance] // of one metre, as printed
}

type pickRow struct {
	amps  q.Current
	sizes []string // by pickColumns
	ref   source.Ref
}

// pickColumns are the columns of cable_pick.csv; the first two share 100 ft.
var pickColumns = []struct {
	name string
	feet float64
	duty q.Ratio // up to
}{{"ft100_60", 100, 0.6}, {"ft100_100", 100, 1}, {"ft150", 150, 1}, {"ft200", 200, 1}, {"ft250", 250, 1}, {"ft300", 300, 1}, {"ft350", 350, 1}, {"ft400", 400, 1}}

var (
	cables     = mustCables(cablesCSV)
	cablePicks = mustCablePicks(cablePickCSV)
)

func mustCables(text string) []cableRow {
	var all []cableRow
	for _, r := range source.Table("cables.csv", text) {
		all = append(all, cableRow{
			Cable{r.Text("size"), q.Area(r.Num("mm2")) * q.SquareMillimetre, source.Maybe(r, "max_amps", q.Ampere), r.Ref()},
			r.List("also"), source.Maybe(r, "mohm_m_20", q.Milliohm), source.Maybe(r, "mohm_m_60", q.Milliohm)})
	}
	return all
}

func mustCablePicks(text string) []pickRow {
	var all []pickRow
	for _, r := range source.Table("cable_pick.csv", text) {
		p := pickRow{amps: q.Current(r.Num("amps")), ref: r.Ref()}
		for _, c := range pickColumns {
			size := r.Text(c.name)
			if size != "" {
				if _, err := ReadCable(size); err != nil {
					r.Fail(c.name, err.Error())
				}
			}
			p.sizes = append(p.sizes, size)
		}
		all = append(all, p)
	}
	return all
}

// ReadCable reads a cable size as people write it: 2/0, #2, 4/0 AWG, 50mm2, 70 mm², 2x2/0.
func ReadCable(text string) (Cable, error) {
	s := strings.NewReplacer(" ", "", "²", "2", "×", "x", "sq", "", "^", "").Replace(strings.ToLower(text))
	if after, ok := strings.CutPrefix(s, "awg"); ok {
		s = after
	}
	s = strings.TrimSuffix(strings.TrimPrefix(strings.TrimSuffix(s, "awg"), "#"), "ga")
	if n, rest, ok := strings.Cut(s, "x"); ok { // several side by side
		count, err := strconv.Atoi(n)
		one, err2 := ReadCable(rest)
		if err != nil || err2 != nil || count < 2 || count > 4 || strings.Contains(rest, "x") {
			return Cable{}, cableError(text)
		}
		one.Size = n + "x" + one.Size
		one.Area *= q.Area(count)
		if one.Max.Known {
			one.Max.V *= q.Current(count)
		}
		return one, nil
	}
	for _, c := range cables {
		if s == c.cable.Size || slices.Contains(c.also, s) {
			return c.cable, nil
		}
	}
	number, metric := strings.CutSuffix(s, "mm2")
	if !metric {
		number, metric = strings.CutSuffix(s, "mm")
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", "."), 64)
	if err != nil || !metric || within("lead-drop", "cable section", v) != nil {
		return Cable{}, cableError(text)
	}
	return Cable{Size: number + "mm2", Area: q.Area(v) * q.SquareMillimetre, Ref: source.At("derived", "section as given", source.Derived)}, nil
}

func cableError(text string) error {
	return fmt.Errorf("cable size %q is not known; accepted: 4, 3, 2, 1, 1/0, 2/0, 3/0, 4/0, a section such as 50mm2, or several such as 2x2/0", text)
}

// resistance of a copper cable
func resistance(area q.Area, l q.Length, t q.Temperature) q.Resistance {
	rho, alpha := fig("copper").Likely, fig("copper-temperature").Likely
	return q.Resistance(rho * float64(l) / float64(area) * (1 + alpha*(t.C()-20)))
}

// LeadDrop gives the voltage that a loop of cable eats. Method id: lead-drop (A_mm2 I L T).
func LeadDrop(area q.Area, i q.Current, loop q.Length, t q.Temperature) (source.Result[q.Voltage], error) {
	var none source.Result[q.Voltage]
	for _, c := range []struct {
		name string
		v    float64
	}{{"cable section", area.MM2()}, {"current", float64(i)}, {"loop length", float64(loop)}, {"cable temperature", t.C()}} {
		if err := within("lead-drop", c.name, c.v); err != nil {
			return none, err
		}
	}
	r := resistance(area, loop, t)
	v := q.Voltage(float64(i) * float64(r))
	return source.Result[q.Voltage]{Value: v, Basis: source.Basis{
		Method: "lead-drop", Title: "Voltage lost in the leads", Formula: "V = I · ρ · L/A · [1 + α(T − 20)]",
		Inputs: []source.Input{{Name: "cable section A", Text: short(area.MM2()) + " mm²"}, {Name: "current I", Text: ampText(i)},
			{Name: "loop L: electrode lead + work lead", Text: lengthText(loop)}, {Name: "cable temperature T", Text: tempText(t)}},
		Steps: []source.Step{
			{Name: "resistance", Formula: "ρ · L/A · [1 + α(T − 20)]", With: "1.7241e-8 × " + short(float64(loop)) + " / " + short(area.MM2()) + "e-6 × " + short(1+fig("copper-temperature").Likely*(t.C()-20)),
				Value: float64(r / q.Milliohm), Unit: "mΩ"},
			{Name: "drop", With: short(float64(i)) + " × " + short(float64(r/q.Milliohm)) + " mΩ", Value: float64(v), Unit: "V"},
			{Name: "heat in the leads", Formula: "I · V", Value: float64(i) * float64(v), Unit: "W"},
		},
		Ref: fig("copper").Ref, Also: []source.Ref{fig("copper-temperature").Ref},
		Notes: []string{"Both leads count. Rope lay adds 2 to 5 %, each coupler and clamp its own share; a coil left on the drum gets hot and counts too."},
		Why:   "What the leads eat is missing at the arc.",
		Skip:  "The arc is soft at the far end of the yard and the carbon will not light.",
	}}, nil
}

// Loop is what the leads with their couplers take at a current.
type Loop struct {
	Cable Cable
	Drop  q.Of[q.Voltage]
	Power q.Of[q.Power]
	Hot   bool // above the cable's limit by heat
}

// LoopDrop gives the drop of the leads on the truck: cold to warm cable, with
// rope lay and couplers. Method id: loop-drop.
func LoopDrop(leads job.Leads, i q.Current) (source.Result[Loop], error) {
	var none source.Result[Loop]
	c, err := ReadCable(leads.Size)
	if err != nil {
		return none, err
	}
	if !leads.Electrode.Known || !leads.Work.Known {
		return none, fmt.Errorf("length of the electrode lead or of the work lead not known: give both, the drop comes from their sum")
	}
	length := leads.Electrode.V + leads.Work.V
	warm := fig("warm-cable")
	cold, err := LeadDrop(c.Area, i, length, q.Temperature(warm.Low))
	if err != nil {
		return none, err
	}
	hot, err := LeadDrop(c.Area, i, length, q.Temperature(warm.High))
	if err != nil {
		return none, err
	}
	lay, lug := fig("rope-lay"), resistances["lug"]
	n := q.Voltage(leads.Joints.Or(0))
	v := Loop{Cable: c, Drop: q.Of[q.Voltage]{
		Low:  cold.Value*q.Voltage(lay.Low) + n*q.Voltage(float64(i)*float64(lug.R.Low)),
		High: hot.Value*q.Voltage(lay.High) + n*q.Voltage(float64(i)*float64(lug.R.High)),
	}}
	v.Power = q.Of[q.Power]{Low: q.Power(float64(i) * float64(v.Drop.Low)), High: q.Power(float64(i) * float64(v.Drop.High))}
	v.Hot = c.Max.Known && i > c.Max.V
	b := cold.Basis
	b.Method, b.Title = "loop-drop", "Voltage lost in leads and couplers"
	b.Inputs = []source.Input{{Name: "cable", Text: c.Size}, {Name: "loop", Text: lengthText(length)}, {Name: "couplers", Text: short(float64(n))}, {Name: "current", Text: ampText(i)}}
	b.Steps = []source.Step{
		{Name: "cable at " + tempText(q.Temperature(warm.Low)), Value: float64(cold.Value), Unit: "V"},
		{Name: "cable at " + tempText(q.Temperature(warm.High)), Value: float64(hot.Value), Unit: "V"},
		{Name: "with rope lay and couplers", Value: float64(v.Drop.Mid()), Unit: "V", Text: spanText(v.Drop, voltText)},
	}
	b.Also = append(b.Also, lay.Ref, lug.Ref, warm.Ref)
	b.Notes = nil
	if !leads.Joints.Known {
		b.Notes = append(b.Notes, "Number of couplers not known: none counted.")
	}
	if v.Hot {
		b.Notes = append(b.Notes, "The current is above this cable's limit by heat, "+ampText(c.Max.V)+".")
		b.Also = append(b.Also, c.Ref)
	}
	return source.Result[Loop]{Value: v, Basis: b}, nil
}

// PickCable reads the size for a loop from the selection table. Method id: cable-pick (I L D).
func PickCable(i q.Current, loop q.Length, duty q.Ratio) (source.Result[Cable], error) {
	var none source.Result[Cable]
	if err := within("duty", "duty cycle", float64(duty)); err != nil {
		return none, err
	}
	most, longest := cablePicks[len(cablePicks)-1].amps, pickColumns[len(pickColumns)-1].feet
	if err := source.InRange("cable-pick", "current", float64(i), 1, float64(most), "A", "take two cables side by side and the drop formula"); err != nil {
		return none, err
	}
	feet := float64(loop / q.Foot)
	if err := source.InRange("cable-pick", "loop length", float64(loop), 0.5, longest*float64(q.Foot), "m", "bring the machine nearer"); err != nil {
		return none, err
	}
	row := cablePicks[slices.IndexFunc(cablePicks, func(p pickRow) bool { return i <= p.amps })]
	for k, c := range pickColumns {
		if feet > c.feet*(1+1e-9) || duty > c.duty {
			continue
		}
		if row.sizes[k] == "" {
			return none, &source.OutOfRange{Method: "cable-pick", Quantity: "loop length at " + ampText(row.amps), Value: float64(loop), Low: 0, High: pickColumns[k-1].feet * float64(q.Foot), Unit: "m",
				Instead: "the table prints no size: bring the machine nearer"}
		}
		cable, err := ReadCable(row.sizes[k])
		if err != nil {
			return none, err
		}
		return source.Result[Cable]{Value: cable, Basis: source.Basis{
			Method: "cable-pick", Title: "Cable size for the loop", Formula: "table: next row, next column",
			Inputs: []source.Input{{Name: "current", Text: ampText(i)}, {Name: "loop: electrode lead + work lead", Text: lengthText(loop)}, {Name: "duty cycle", Text: percentText(duty)}},
			Steps:  []source.Step{{Name: "row and column", Text: ampText(row.amps) + ", up to " + short(c.feet) + " ft, duty up to " + percentText(c.duty)}, {Name: "size", Value: cable.Area.MM2(), Unit: "mm²", Text: cable.Size}},
			Ref:    row.ref,
			Notes:  []string{"Basis of the table: a drop of 4 V in the loop or 300 circular mils per ampere. Older texts allow 10 V."},
			Why:    "A cable too thin eats the arc and gets hot in your hand.",
			Skip:   "A soft arc at the far end, and a burnt coupler.",
		}}, nil
	}
	panic("power: cable_pick.csv: no column for " + short(feet) + " ft") // excluded by the range above
}
