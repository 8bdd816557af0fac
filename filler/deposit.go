package filler

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Deposition: what one rod weighs, what it leaves in the weld, how long it
// burns, and how many rods a weld needs.
//
// Methods (symbols in mm, g, h)
//
//	m_core  = π/4 · d² · L · ρ                 ρ 7.85e-3 g/mm³
//	m_rod   = k · m_core                       k 1.30 to 1.65, usual 1.45: weigh one packet
//	DE      = DE_lab · (L − stub) / L          DE_lab deposit over rod consumed
//	deposit = m_rod · DE
//	t_arc   = deposit / rate
//	rods    = weld mass · (1 + waste) / deposit
//
// Validity: covered rods 1.5 to 8 mm; rates for E7018-type rods inside the amps
// of rates.csv only. Sources: filler metal handbook (stub rule), deposition
// tables of the Procedure Handbook (from memory) and a cost worksheet (read).

//go:embed rates.csv
var ratesCSV string

type rateRow struct {
	inch       string
	from, to   q.Length
	amps       q.Current
	rate       q.MassRate
	efficiency q.Ratio
	ref        source.Ref
}

var rates = mustRates(ratesCSV)

func mustRates(text string) []rateRow {
	var all []rateRow
	for _, r := range source.Table("rates.csv", text) {
		all = append(all, rateRow{r.Text("inch"), q.Length(r.Num("from_mm")) * q.Millimetre, q.Length(r.Num("to_mm")) * q.Millimetre,
			q.Current(r.Num("amps")), q.MassRate(r.Num("kg_per_h")) * q.KilogramPerHour, q.Ratio(r.Num("efficiency")), r.Ref()})
	}
	return all
}

// StubEfficiency lowers the laboratory deposition efficiency by the stub that is thrown away.
// Method id: stub-efficiency (DE L stub).
func StubEfficiency(lab q.Ratio, length, stub q.Length) (source.Result[q.Ratio], error) {
	var none source.Result[q.Ratio]
	if err := within("stub-efficiency", "laboratory efficiency", float64(lab)); err != nil {
		return none, err
	}
	if err := within("rod-deposit", "rod length", length.MM()); err != nil {
		return none, err
	}
	if err := source.InRange("stub-efficiency", "stub", stub.MM(), 0, length.MM()/2, "mm", "measure the stub you throw away"); err != nil {
		return none, err
	}
	de := lab * q.Ratio((length-stub)/length)
	return source.Result[q.Ratio]{Value: de, Basis: source.Basis{
		Method: "stub-efficiency", Title: "Deposit efficiency with the stub", Formula: "DE = DE_lab · (L − stub) / L",
		Inputs: []source.Input{{Name: "DE_lab", Text: short(float64(lab))}, {Name: "rod length L", Text: lengthText(length)}, {Name: "stub", Text: lengthText(stub)}},
		Steps: []source.Step{{Name: "DE", With: short(float64(lab)) + " × (" + short(length.MM()) + " − " + short(stub.MM()) + ") / " + short(length.MM()),
			Value: float64(de)}},
		Ref:  fig("stub").Ref,
		Why:  "What you throw away with the stub was bought but never welded.",
		Skip: "You run out of rod before the weld is full.",
	}}, nil
}

// Rate is a deposition rate with its laboratory efficiency.
type Rate struct {
	PerHour    q.MassRate // with the arc on
	Efficiency q.Ratio    // deposit over rod consumed, no stub
}

// DepositionRate gives the arc-on rate of an E7018-type rod. Method id: deposition-rate.
func DepositionRate(c Class, core q.Length, amps q.Current) (source.Result[Rate], error) {
	var none source.Result[Rate]
	if c.Metal != Ferritic || c.Coating != Basic || c.Process != Rod {
		return none, fmt.Errorf("%s: the deposition table is for low-hydrogen rods; weigh the weld of one rod and time it", c.ID)
	}
	var low, high *rateRow
	least, most := q.Current(math.Inf(1)), q.Current(0)
	for i, r := range rates {
		if core < r.from || core > r.to {
			continue
		}
		least, most = min(least, r.amps), max(most, r.amps)
		if r.amps <= amps {
			low = &rates[i]
		}
		if r.amps >= amps && high == nil {
			high = &rates[i]
		}
	}
	if most == 0 {
		return none, source.InRange("deposition-rate", "core diameter", core.MM(), rates[0].from.MM(), rates[len(rates)-1].to.MM(), "mm", "weigh the weld of one rod and time it")
	}
	if low == nil || high == nil {
		return none, source.InRange("deposition-rate", "current for "+short(core.MM())+" mm", float64(amps), float64(least), float64(most), "A", "the rate is read inside the table only")
	}
	share := 0.0
	if high.amps > low.amps {
		share = float64((amps - low.amps) / (high.amps - low.amps))
	}
	v := Rate{low.rate + q.MassRate(share)*(high.rate-low.rate), low.efficiency + q.Ratio(share)*(high.efficiency-low.efficiency)}
	b := source.Basis{
		Method: "deposition-rate", Title: "Weld metal in an hour of arc", Formula: "straight line between the rows of the table",
		Inputs: []source.Input{{Name: "class", Text: c.String()}, {Name: "core", Text: lengthText(core)}, {Name: "current", Text: short(float64(amps)) + " A"}},
		Steps: []source.Step{
			{Name: "rate", Value: float64(v.PerHour / q.KilogramPerHour), Unit: "kg/h", Text: rateText(v.PerHour)},
			{Name: "efficiency, no stub", Value: float64(v.Efficiency)},
		},
		Ref:  low.ref,
		Why:  "The rate times the arc time is the metal you have laid.",
		Skip: "Hours and rods are guessed.",
	}
	if high.ref != low.ref {
		b.Also = append(b.Also, high.ref)
	}
	return source.Result[Rate]{Value: v, Basis: b}, nil
}

// PerRod is what one rod gives.
type PerRod struct {
	Mass    q.Of[q.Mass] // of a whole rod
	Deposit q.Of[q.Mass] // left in the weld
	Likely  q.Mass       // deposit with the usual factor
	ArcTime q.Maybe[q.Of[q.Time]]
}

// RodDeposit gives the mass of one rod, its deposit and its arc time. Method id: rod-deposit.
func RodDeposit(s Stick) (source.Result[PerRod], error) {
	var none source.Result[PerRod]
	if s.Class.Process != Rod {
		return none, fmt.Errorf("%s is a wire, not a rod", s.Class.ID)
	}
	if err := within("rod-deposit", "core diameter", s.Core.MM()); err != nil {
		return none, err
	}
	if err := within("rod-deposit", "rod length", s.length().MM()); err != nil {
		return none, err
	}
	rho, stub, k := fig("steel-density"), q.Length(fig("stub").Likely)*q.Millimetre, fig("rod-mass-factor")
	core := q.Mass(math.Pi / 4 * float64(s.Core*s.Core*s.length()) * rho.Likely) // kg from m and kg/m³
	b := source.Basis{
		Method: "rod-deposit", Title: "What one rod leaves in the weld", Formula: "deposit = k · π/4 · d² · L · ρ · DE · (L − stub) / L",
		Inputs: []source.Input{{Name: "class", Text: s.Class.String()}, {Name: "core d", Text: lengthText(s.Core)}, {Name: "length L", Text: lengthText(s.length())}},
		Steps: []source.Step{{Name: "mass of the core", Formula: "π/4 · d² · L · ρ",
			With: "π/4 × " + short(s.Core.MM()) + "² × " + short(s.length().MM()) + " × " + short(rho.Likely/1e6) + " g/mm³", Value: float64(core / q.Gram), Unit: "g"}},
		Ref:  fig("stub").Ref,
		Also: []source.Ref{rho.Ref},
		Why:  "The groove holds so much metal, and each rod brings so much: that is your rod count.",
		Skip: "One packet short at the bottom of a quarry is an hour lost and a joint gone cold.",
	}
	var v PerRod
	likely := s.Mass.Or(core * q.Mass(k.Likely))
	if s.Mass.Known {
		v.Mass = q.At(s.Mass.V)
		b.Inputs = append(b.Inputs, source.Input{Name: "mass of one rod", Text: massText(s.Mass.V), From: "weighed"})
	} else {
		v.Mass = q.Of[q.Mass]{Low: core * q.Mass(k.Low), High: core * q.Mass(k.High)}
		b.Also = append(b.Also, k.Ref)
		b.Notes = append(b.Notes, "Rod mass by the factor k = 1.30 to 1.65; weigh one packet and store it.")
	}
	b.Steps = append(b.Steps, source.Step{Name: "mass of one rod", Formula: "k · m_core", Value: float64(likely / q.Gram), Unit: "g", Text: spanText(v.Mass, massText)})

	amps := s.Amps
	if !amps.Known {
		if a, err := AmpsFor(s.Class, s.Core, "flat"); err == nil {
			amps = q.Known(a.Value.Typical.Mid())
		}
	}
	rate, err := DepositionRate(s.Class, s.Core, amps.Or(0))
	left := q.Ratio((s.length() - stub) / s.length())
	var de q.Of[q.Ratio]
	if err == nil {
		de = q.At(rate.Value.Efficiency * left)
		b.Also = append(b.Also, rate.Basis.Ref)
		b.Steps = append(b.Steps, source.Step{Name: "efficiency with the stub", Formula: "DE · (L − stub) / L",
			With: short(float64(rate.Value.Efficiency)) + " × " + short(float64(left)), Value: float64(de.Low)})
	} else {
		f := fig("deposit-efficiency") // with the stub
		de = q.Of[q.Ratio]{Low: q.Ratio(f.Low), High: q.Ratio(f.High)}
		b.Also = append(b.Also, f.Ref)
		b.Notes = append(b.Notes, "No row of the deposition table fits ("+err.Error()+"): average efficiency of rods.")
		b.Steps = append(b.Steps, source.Step{Name: "efficiency with the stub, average", Value: f.Likely})
	}
	v.Deposit = q.Of[q.Mass]{Low: v.Mass.Low * q.Mass(de.Low), High: v.Mass.High * q.Mass(de.High)}
	v.Likely = likely * q.Mass(de.Mid())
	b.Steps = append(b.Steps, source.Step{Name: "deposit of one rod", Value: float64(v.Likely / q.Gram), Unit: "g", Text: spanText(v.Deposit, massText)})
	switch {
	case s.Burn.Known:
		v.ArcTime = q.Known(q.At(s.Burn.V))
	case err == nil:
		v.ArcTime = q.Known(q.Of[q.Time]{Low: q.Time(float64(v.Deposit.Low) / float64(rate.Value.PerHour)), High: q.Time(float64(v.Deposit.High) / float64(rate.Value.PerHour))})
	}
	if v.ArcTime.Known {
		b.Steps = append(b.Steps, source.Step{Name: "arc time of one rod", Formula: "deposit / rate", Value: float64(v.ArcTime.V.Mid()), Unit: "s",
			Text: spanText(v.ArcTime.V, func(t q.Time) string { return num(float64(t), 0) + " s" })})
	}
	return source.Result[PerRod]{Value: v, Basis: b}, nil
}

// BeadArea is the section of the bead that one rod leaves over its run-out length.
// Method id: bead-area.
func BeadArea(deposit q.Mass, run q.Length) (source.Result[q.Area], error) {
	if err := within("run-out", "run-out length", run.MM()); err != nil {
		return source.Result[q.Area]{}, err
	}
	rho := fig("steel-density")
	a := q.Area(float64(deposit) / (rho.Likely * float64(run)))
	return source.Result[q.Area]{Value: a, Basis: source.Basis{
		Method: "bead-area", Title: "Section of one bead", Formula: "A = deposit / (ρ · ROL)",
		Inputs: []source.Input{{Name: "deposit", Text: massText(deposit)}, {Name: "run-out length", Text: lengthText(run)}},
		Steps:  []source.Step{{Name: "bead", With: short(float64(deposit/q.Gram)) + " g / (7.85e-3 × " + short(run.MM()) + ")", Value: a.MM2(), Unit: "mm²"}},
		Ref:    rho.Ref,
		Why:    "The groove divided by one bead is the number of passes.",
		Skip:   "The pass plan does not fill the groove.",
	}}, nil
}

// RodCount is how many rods a weld needs.
type RodCount struct {
	Low, Likely, High int
	Mass              q.Of[q.Mass] // to have on the truck, waste included at the high end
}

// RodsNeeded counts the rods for a mass of weld metal. Method id: rods.
func RodsNeeded(weld q.Of[q.Mass], rod PerRod) (source.Result[RodCount], error) {
	var none source.Result[RodCount]
	if weld.Low < 0 || weld.High < weld.Low || weld.High == 0 {
		return none, fmt.Errorf("weld metal %s: give a mass above nothing", spanText(weld, massText))
	}
	if rod.Deposit.Low <= 0 || rod.Likely <= 0 {
		return none, fmt.Errorf("deposit of one rod unknown: take it from rod-deposit")
	}
	waste := fig("waste")
	count := func(m, per q.Mass, w float64) int { return int(math.Ceil(float64(m/per)*(1+w) - 1e-9)) }
	v := RodCount{Low: count(weld.Low, rod.Deposit.High, 0), Likely: count(weld.Mid(), rod.Likely, waste.Likely), High: count(weld.High, rod.Deposit.Low, waste.High)}
	// A light rod is short of metal, a heavy one is not: the masses do not cross.
	v.Mass = q.Span(q.Mass(v.Low)*rod.Mass.High, q.Mass(v.High)*rod.Mass.Low)
	return source.Result[RodCount]{Value: v, Basis: source.Basis{
		Method: "rods", Title: "Rods for the weld", Formula: "rods = weld mass · (1 + waste) / deposit of one rod",
		Inputs: []source.Input{{Name: "weld metal", Text: spanText(weld, massText)}, {Name: "deposit of one rod", Text: spanText(rod.Deposit, massText)}},
		Steps: []source.Step{
			{Name: "fewest", Value: float64(v.Low)},
			{Name: "likely", With: short(float64(weld.Mid()/q.Gram)) + " g × " + short(1+waste.Likely) + " / " + short(float64(rod.Likely/q.Gram)) + " g", Value: float64(v.Likely)},
			{Name: "most", Value: float64(v.High)},
		},
		Ref: waste.Ref, Also: []source.Ref{fig("stub").Ref},
		Notes: []string{"Whole rods. Waste 10 to 15 % is in the likely and the highest figure."},
		Why:   "Load for the highest, price for the likely.",
		Skip:  "A second drive for one packet.",
	}}, nil
}
