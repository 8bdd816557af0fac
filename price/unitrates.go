package price

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// UnitRate is what a further piece of work costs, before tax: agreed before the
// work starts, so that hidden damage needs no new argument.
type UnitRate struct {
	ID    string        `json:"id"`
	Item  string        `json:"item,omitempty"`
	Text  string        `json:"text"`
	Hours Range[q.Time] `json:"hours"`
	Price Amount        `json:"price"` // likely
	Low   Amount        `json:"low"`
	High  Amount        `json:"high"`
	Basis source.Basis  `json:"basis"`
}

// unitRates gives the rates for further crack length, a further look and waiting.
//
// Method: the call as seen is reckoned twice, once with one place 100 mm (4 in) longer;
// the rate is the difference, without whole packets, quarter hours and the least
// charge, which the further work may or may not fill. Low and high with every
// driver at its best and at its worst. Validity: lengths of about that much.
func (m *model) unitRates() ([]UnitRate, error) {
	const least = q.Millimetre
	var all []UnitRate
	further := fig("rate-step")
	if m.sys == q.US {
		further = fig("rate-step-us")
	}
	x, o := make([]float64, len(m.drivers)), m.outcome()
	for i := range m.items {
		it := &m.items[i]
		if it.w.Remove.Likely < least {
			continue // nothing is taken out
		}
		var hours, money [3]float64
		for n := range hours {
			for k := range m.drivers {
				d := &m.drivers[k]
				if d.seen || n == 1 {
					x[k] = d.planned()
				} else {
					x[k] = d.at(float64(n) / 2)
				}
			}
			m.run(x, o)
			t0, m0 := m.smooth(o)
			// so much growth makes the length taken out that much longer
			ratio, grow := it.ratio, x[it.growth]
			it.ratio, x[it.growth] = 1, further.Likely/float64(it.w.Remove.Likely)
			m.run(x, o)
			t1, m1 := m.smooth(o)
			it.ratio, x[it.growth] = ratio, grow
			hours[n], money[n] = t1-t0, m1-m0
		}
		r := UnitRate{ID: fmt.Sprintf("further:%d", i+1), Item: it.w.name(i),
			Text:  "each further " + q.Length(further.Likely).Text(m.sys) + " of crack, taken out and welded",
			Hours: ordered[q.Time](hours)}
		r.Basis = source.Basis{Method: "unit-rate", Title: "Unit rate for hidden damage", Formula: "call with that much more − call as seen",
			Steps: []source.Step{{Name: "hours", Value: hours[1] / 3600, Unit: "h"}, {Name: "money before tax", Value: money[1]}},
			Ref:   further.Ref, Notes: []string{"without whole packets, quarter hours and the least charge"},
			Why: "Agreed before the grinder starts, the longer crack is an addition and not an argument.", Skip: "He says it was included."}
		if err := r.price(money, m.prices.currency); err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	one := func(id, text string, price rate, hours Range[q.Time]) error {
		if !price.known || m.prices.currency == "" {
			return nil
		}
		a := NewAmount(price.value, m.prices.currency)
		all = append(all, UnitRate{ID: id, Text: text, Hours: hours, Price: a, Low: a, High: a,
			Basis: source.Basis{Method: "unit-rate", Title: text, Formula: price.field, Ref: source.At("derived", "shop prices", source.Derived)}})
		return nil
	}
	hour := Exactly[q.Time](q.Hour)
	for _, err := range []error{one("hour", "each further hour of work", m.prices.hour, hour), one("standby", "each further hour of waiting", m.prices.standby, hour),
		one("look:pt", "each further dye test, without the hour", m.prices.pt, Range[q.Time]{}), one("look:mt", "each further magnetic test, without the hour", m.prices.mt, Range[q.Time]{})} {
		if err != nil {
			return nil, err
		}
	}
	return all, nil
}

func (r *UnitRate) price(money [3]float64, c Currency) error {
	if c == "" {
		return nil
	}
	s := ordered[float64](money)
	for _, v := range []struct {
		at *Amount
		f  float64
	}{{&r.Low, s.Low}, {&r.Price, s.Likely}, {&r.High, s.High}} {
		var err error
		if *v.at, err = ofFloat(v.f, c); err != nil {
			return err
		}
	}
	return nil
}

// ordered makes a range of three values whose ends may have crossed.
func ordered[T ~float64](v [3]float64) Range[T] {
	return Range[T]{T(min(v[0], v[1])), T(v[1]), T(max(v[1], v[2]))}
}

// smooth gives hours and money of a scenario without steps, packets, least
// charge and drives.
func (m *model) smooth(o *outcome) (seconds, money float64) {
	r := &m.rates
	labour := o.labour - o.times[len(o.times)-1] // without setting up again on a further day
	seconds = labour + o.standby
	if !r.priced {
		return seconds, 0
	}
	add := func(f floatRate, v, per float64) {
		if f.known && per > 0 {
			money += f.price * v / per
		}
	}
	add(r.hour, labour, 3600)
	add(r.standby, o.standby, 3600)
	for _, kg := range o.rods {
		add(r.rod, kg, r.perMass)
	}
	for _, n := range o.carbons {
		add(r.carbon, n, 1)
	}
	add(r.gas, o.gas, r.perMass)
	add(r.oxygen, o.oxygen, r.perGas)
	add(r.backing, o.backing, r.perBar)
	add(r.disc, o.discs, 1)
	add(r.fuel, o.fuel, r.perVolume)
	for i, n := range o.tests {
		add(r.tests[i], n, 1)
	}
	return seconds, money
}
