package calc

import (
	"fmt"

	"soundmetal/price"
	q "soundmetal/quantity"
)

func priceMethods() []Method {
	deposition := Param{Name: "deposition", Doc: "weld metal laid in an hour of arc", Kind: q.KindMassRate, Unit: "kg/h"}
	operating := Param{Name: "OF", Doc: "operating factor: arc time in the time paid", Kind: q.KindRatio, Unit: "%"}
	return []Method{
		{ID: "weld-time", Title: "Time paid for a mass of weld metal",
			Params: []Param{{Name: "mass", Doc: "weld metal", Kind: q.KindMass, Unit: "kg"}, deposition, operating.or("20")},
			run: func(a *args) (Answer, error) {
				r, err := price.WeldTime(get[q.Mass](a, "mass"), get[q.MassRate](a, "deposition"), get[q.Ratio](a, "OF"))
				return value(r.Value.Hours(), "h", fmt.Sprintf("%.3g h (%.4g min)", r.Value.Hours(), r.Value.Minutes()), r.Basis), err
			}},
		{ID: "deposit-cost", Title: "Cost of deposited weld metal",
			Params: []Param{text("rate", "labour and overhead for an hour, as decimal: 45.00"), deposition, operating.or("20"),
				text("price", "price of rod or wire").optional(), choice("per", "what the price is for", "lb", "kg").or("lb"),
				Param{Name: "DE", Doc: "deposition efficiency, stub in it", Kind: q.KindRatio, Unit: "%"}.optional(),
				text("gas", "shielding gas for an hour of arc").optional(), text("currency", "code of three letters").optional()},
			run: depositCost},
		{ID: "travel-cost", Title: "Price of the travel, both ways",
			Params: []Param{Param{Name: "distance", Doc: "one way", Kind: q.KindLength, Unit: "km"}.optional(), text("each", "price for a mile or kilometre").optional(), choice("per", "what that price is for", "mi", "km").or("mi"),
				Param{Name: "drive", Doc: "driving time, one way", Kind: q.KindTime, Unit: "h"}.optional(), text("hour", "price for an hour of driving").optional(),
				number("visits", "visits").or("1"), text("currency", "code of three letters").optional()},
			run: travelCost},
	}
}

// money reads the amounts of a call in one currency.
type money struct {
	a        *args
	currency price.Currency
	err      error
}

func moneyOf(a *args) *money {
	m := &money{a: a}
	if a.has("currency") {
		m.currency, m.err = price.ReadCurrency(a.word("currency"))
	}
	return m
}

// price reads a price that may be left out.
func (m *money) price(name string) (p q.Maybe[price.Price]) {
	if m.err != nil || !m.a.has(name) {
		return p
	}
	p.Known = true
	p.V, m.err = price.ReadPrice(name, m.a.word(name), m.currency)
	return p
}

// maybe gives a quantity that may be left out.
func maybe[T ~float64](a *args, name string) q.Maybe[T] {
	return q.Maybe[T]{V: get[T](a, name), Known: a.has(name)}
}

func depositCost(a *args) (Answer, error) {
	m := moneyOf(a)
	in := price.CostInput{Rate: m.price("rate").V, Deposition: get[q.MassRate](a, "deposition"), Operating: get[q.Ratio](a, "OF"),
		Consumable: m.price("price"), Efficiency: maybe[q.Ratio](a, "DE"), GasHour: m.price("gas"), PerPound: a.word("per") == "lb"}
	if m.err != nil {
		return Answer{}, m.err
	}
	r, err := price.DepositCost(in)
	lb, kg := r.Value.PerPound, r.Value.PerKilogram
	v, unit := lb, "for a lb"
	if !in.PerPound {
		v, unit = kg, "for a kg"
	}
	n, _ := v.Decimal().Float64()
	return value(n, unit, fmt.Sprintf("%s for a lb, %s for a kg", lb, kg), r.Basis), err
}

func travelCost(a *args) (Answer, error) {
	m := moneyOf(a)
	in := price.TravelInput{Distance: maybe[q.Length](a, "distance"), Drive: maybe[q.Time](a, "drive"), Each: m.price("each"), Hour: m.price("hour"), Mile: a.word("per") == "mi"}
	if m.err != nil {
		return Answer{}, m.err
	}
	if in.Visits = int(a.num("visits")); float64(in.Visits) != a.num("visits") {
		return Answer{}, fmt.Errorf("visits %g is not a whole number", a.num("visits"))
	}
	r, err := price.TravelCost(in)
	n, _ := r.Value.Decimal().Float64()
	unit := string(r.Value.Currency())
	if unit == "" {
		unit = "1"
	}
	return value(n, unit, r.Value.String(), r.Basis), err
}
