package price

import (
	"fmt"
	"math"
	"slices"

	"github.com/govalues/decimal"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Estimate of hours and price with their spread.
//
// Method
//
//	each draw reckons the whole call once (scenario.go, rates.go)
//	P50, P80, P95  the ⌈p·n⌉-th smallest of the n draws
//	not to exceed  P95 with tax, rounded up to half of the second digit:
//	               2347 to 2350, 12 340 to 12 500
//	drivers        swing: the call at the 10 % and the 90 % draw of one group,
//	               everything else at the middle; share: squared rank correlation
//	               with the price, as part of the sum of all
//
// Validity: the ranges are planning figures, several of them our own judgement;
// they say how wide to quote, not what will happen.
// Sources: mckay-1979, law-simulation, clemen-reilly (swing), saltelli-sensitivity (rank correlation).

// Options are the choices of an estimate. The zero value is usual.
type Options struct {
	Samples int    `json:"samples"` // draws; 0: DefaultSamples
	Seed    uint64 `json:"seed"`
	Terms   Terms  `json:"terms"`
}

const (
	DefaultSamples = 2000 // enough for a P95 that another seed moves by a percent or two
	leastSamples   = 100
	mostSamples    = 1_000_000
)

// Spread is a quantity as planned and at three shares of the draws.
type Spread[T ~float64] struct {
	Planned T `json:"planned"` // the damage as it is seen, everything as usual
	P50     T `json:"p50"`
	P80     T `json:"p80"`
	P95     T `json:"p95"`
}

// AmountSpread is money as planned and at three shares of the draws.
type AmountSpread struct {
	Planned Amount `json:"planned"` // for the damage as it is seen
	P50     Amount `json:"p50"`     // enough in half of the draws
	P80     Amount `json:"p80"`     // enough in four of five
	P95     Amount `json:"p95"`     // enough in nineteen of twenty
}

// Estimated is what a call comes to.
type Estimated struct {
	Samples     int            `json:"samples"`
	Seed        uint64         `json:"seed"`
	Steps       []Step         `json:"steps"`
	Labour      Spread[q.Time] `json:"labour"`
	Standby     Spread[q.Time] `json:"standby"`
	Driving     Spread[q.Time] `json:"driving"`
	OnSite      Spread[q.Time] `json:"on_site"`    // labour and standby
	Hours       Spread[q.Time] `json:"hours"`      // on site and driving
	Quantities  []Quantity     `json:"quantities"` // of 400 draws, as Quantities gives them
	Used        Used           `json:"used"`       // planned
	Bill        Bill           `json:"bill"`       // planned
	Subtotal    AmountSpread   `json:"subtotal"`   // before tax
	Price       AmountSpread   `json:"price"`      // with tax
	NotToExceed Amount         `json:"not_to_exceed"`
	Drivers     []Driver       `json:"drivers"`      // what drives the spread, most first
	UnitRates   []UnitRate     `json:"unit_rates"`   // for hidden damage
	Allowance   []Contingency  `json:"allowance"`    // the trade's rule of thumb against the draws
	SecondVisit q.Ratio        `json:"second_visit"` // share of the draws with a second visit
	Call        Call           `json:"call"`
	Basis       source.Basis   `json:"basis"`
}

// Driver is one thing that spreads the price.
type Driver struct {
	ID        string     `json:"id"`               // as in drivers.csv
	Label     string     `json:"label"`            // what it is
	Low       Amount     `json:"low"`              // total before tax where it goes well
	High      Amount     `json:"high"`             // where it goes badly; for a chance: where it happens
	HoursLow  q.Time     `json:"hours_low"`        // hours where it goes well, s
	HoursHigh q.Time     `json:"hours_high"`       // hours where it goes badly, s
	Share     q.Ratio    `json:"share"`            // of the spread of the price, or of the hours where nothing is priced
	Chance    q.Ratio    `json:"chance,omitempty"` // that it happens at all
	Ref       source.Ref `json:"source"`           // where its range is from
}

// Contingency sets the trade's allowance for hidden damage beside the draws.
type Contingency struct {
	Item  string `json:"item"`  // name of the place
	Class Class  `json:"class"` // class of its facts
}

// Over is how much more the P80 costs than the damage as seen: the figure to set
// beside the trade's allowance. Nothing where nothing is priced.
func (e *Estimated) Over() q.Ratio {
	if e.Subtotal.Planned.IsZero() {
		return 0
	}
	return q.Ratio(e.Subtotal.P80.float()/e.Subtotal.Planned.float() - 1)
}

// Estimate gives hours and price of a call as ranges.
func Estimate(c Call, shop job.Shop, o Options) (Estimated, error) {
	n := o.Samples
	if n == 0 {
		n = DefaultSamples
	}
	if n < leastSamples || n > mostSamples {
		return Estimated{}, fmt.Errorf("%d draws; give %d to %d", n, leastSamples, mostSamples)
	}
	m, err := newModel(c, shop)
	if err != nil {
		return Estimated{}, err
	}
	e := Estimated{Samples: n, Seed: o.Seed, Steps: m.hours(), Call: c}
	planned := m.ends()[1]
	if most := 365 * 24 * float64(q.Hour); !(planned.total < most) {
		return e, fmt.Errorf("%.3g hours of work: more than a year is not one call; check the quantities", planned.total/float64(q.Hour))
	}
	e.Used = m.used(planned)
	if e.Bill, err = m.prices.bill(e.Used, o.Terms); err != nil {
		return e, err
	}
	d := m.draw(n, o)
	d.spreads(&e, planned)
	if err := d.money(&e); err != nil {
		return e, err
	}
	e.Quantities = m.quantities(m.uses(o.Seed))
	if e.Drivers, err = m.swings(d); err != nil {
		return e, err
	}
	if e.UnitRates, err = m.unitRates(); err != nil {
		return e, err
	}
	for i, it := range m.items {
		e.Allowance = append(e.Allowance, Contingency{it.w.name(i), ClassOf(it.w.Hidden)})
	}
	e.Basis = e.basis(m)
	return e, nil
}

// drawn holds the draws of an estimate, in the order drawn.
type drawn struct {
	m                                        *model
	n                                        int
	parts                                    [][]int32   // of the columns
	u                                        [][]float64 // of the columns
	price                                    []float64   // before tax
	total                                    []float64   // with tax
	labour, standby, drive, onSite, hours    []float64
	rods, carbons                            [][]float64
	gas, oxygen, discs, fuel, metal, backing []float64
	tests                                    [3][]float64
	second                                   int
	untaxed                                  []Kind
}

// draw reckons the call n times.
func (m *model) draw(n int, o Options) *drawn {
	d := &drawn{m: m, n: n, untaxed: o.Terms.Untaxed}
	row := func() []float64 { return make([]float64, n) }
	d.price, d.total, d.labour, d.standby, d.drive, d.onSite, d.hours = row(), row(), row(), row(), row(), row(), row()
	d.gas, d.oxygen, d.discs, d.fuel, d.metal, d.backing = row(), row(), row(), row(), row(), row()
	for i := range d.tests {
		d.tests[i] = row()
	}
	for range m.rods {
		d.rods = append(d.rods, row())
	}
	for range m.carbons {
		d.carbons = append(d.carbons, row())
	}
	for _, name := range m.columns {
		u, part := column(name, n, o.Seed)
		d.u, d.parts = append(d.u, u), append(d.parts, part)
	}
	x, out := make([]float64, len(m.drivers)), m.outcome()
	for i := range n {
		for k := range m.drivers {
			x[k] = m.drivers[k].at(d.u[m.drivers[k].column][i])
		}
		m.run(x, out)
		d.labour[i], d.standby[i], d.drive[i], d.onSite[i], d.hours[i] = out.labour, out.standby, out.drive, out.onSite, out.total
		d.gas[i], d.oxygen[i], d.discs[i], d.fuel[i], d.metal[i], d.backing[i] = out.gas, out.oxygen, out.discs, out.fuel, out.weldMetal, out.backing
		for k, v := range out.rods {
			d.rods[k][i] = v
		}
		for k, v := range out.carbons {
			d.carbons[k][i] = v
		}
		for k, v := range out.tests {
			d.tests[k][i] = v
		}
		if out.second {
			d.second++
		}
		d.price[i], d.total[i] = m.money(out, d.untaxed)
	}
	return d
}

// quantile is the ⌈p·n⌉-th smallest of sorted draws.
func quantile(sorted []float64, p float64) float64 {
	k := int(math.Ceil(p*float64(len(sorted))-1e-9)) - 1
	return sorted[min(max(k, 0), len(sorted)-1)]
}

const p50, p80, p95 = 0.50, 0.80, 0.95

func spread[T ~float64](planned float64, draws []float64) Spread[T] {
	s := slices.Clone(draws)
	slices.Sort(s)
	return Spread[T]{T(planned), T(quantile(s, p50)), T(quantile(s, p80)), T(quantile(s, p95))}
}

func (d *drawn) spreads(e *Estimated, o *outcome) {
	e.Labour, e.Standby, e.Driving = spread[q.Time](o.labour, d.labour), spread[q.Time](o.standby, d.standby), spread[q.Time](o.drive, d.drive)
	e.OnSite, e.Hours = spread[q.Time](o.onSite, d.onSite), spread[q.Time](o.total, d.hours)
	e.SecondVisit = q.Ratio(float64(d.second) / float64(d.n))
}

// money fills in the prices.
func (d *drawn) money(e *Estimated) error {
	of := func(planned Amount, draws []float64) (AmountSpread, error) {
		c := planned.Currency()
		s := spread[float64](0, draws)
		a := AmountSpread{Planned: planned}
		for _, v := range []struct {
			at *Amount
			f  float64
		}{{&a.P50, s.P50}, {&a.P80, s.P80}, {&a.P95, s.P95}} {
			var err error
			if *v.at, err = ofFloat(v.f, c); err != nil {
				return a, err
			}
		}
		return a, nil
	}
	var err error
	if e.Subtotal, err = of(e.Bill.Subtotal, d.price); err != nil {
		return err
	}
	if e.Price, err = of(e.Bill.Total, d.total); err != nil {
		return err
	}
	e.NotToExceed, err = roundedUp(e.Price.P95)
	return err
}

// roundedUp rounds up to half of the second digit.
func roundedUp(a Amount) (Amount, error) {
	v := a.float()
	if v <= 0 {
		return a, nil
	}
	step := math.Pow(10, math.Floor(math.Log10(v)+1e-12)-1) / 2
	least := math.Pow(10, -float64(a.currency.Digits()))
	up, err := decimal.NewFromFloat64(math.Ceil(v/max(step, least)-1e-9) * max(step, least))
	if err != nil {
		return a, err
	}
	return NewAmount(up, a.currency), nil
}

func (e *Estimated) basis(m *model) source.Basis {
	b := source.Basis{
		Method: "price-estimate", Title: "Hours and price of the call", Formula: "Monte Carlo over the drivers; P50, P80, P95 of the draws",
		Inputs: []source.Input{{Name: "draws", Text: fmt.Sprint(e.Samples)}, {Name: "seed", Text: fmt.Sprint(e.Seed)}, {Name: "damaged places", Text: fmt.Sprint(len(m.items))}},
		Steps: []source.Step{
			{Name: "hours as seen", Value: e.Hours.Planned.Hours(), Unit: "h"},
			{Name: "hours P50", Value: e.Hours.P50.Hours(), Unit: "h"}, {Name: "hours P80", Value: e.Hours.P80.Hours(), Unit: "h"}, {Name: "hours P95", Value: e.Hours.P95.Hours(), Unit: "h"},
			{Name: "price as seen", Value: e.Price.Planned.float(), Text: e.Price.Planned.String()},
			{Name: "price P50", Value: e.Price.P50.float(), Text: e.Price.P50.String()}, {Name: "price P80", Value: e.Price.P80.float(), Text: e.Price.P80.String()},
			{Name: "price P95", Value: e.Price.P95.float(), Text: e.Price.P95.String()},
			{Name: "not to exceed", Formula: "P95 with tax, up to half of the second digit", Value: e.NotToExceed.float(), Text: e.NotToExceed.String()},
		},
		Ref:  source.At("mckay-1979", "Latin hypercube sampling", source.Derived),
		Also: []source.Ref{source.At("law-simulation", "inverse transform; common random numbers", source.Derived), source.At("clemen-reilly", "one-at-a-time swings", source.Derived), source.At("saltelli-sensitivity", "rank correlation", source.Derived)},
		Notes: []string{
			"the spread is made of planning figures and judgement: it says how wide to quote",
			"overtime is not reckoned: give it as a line by hand",
		},
		Why:  "One number is a promise; a range with its reasons is a quote.",
		Skip: "The second crack is on your account.",
	}
	for _, r := range []figure{fig("setup"), hiddenRows.Of("growth/ends-none"), operatingRows.Of("site")} {
		b.Also = appendRef(b.Also, r.Ref)
	}
	b.Notes = append(b.Notes, e.Bill.Missing...)
	return b
}
