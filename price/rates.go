package price

import (
	"math"
	"slices"

	q "soundmetal/quantity"
)

// The bill in float64, for the draws: the same steps and the same rounding as
// bill.go, without its lines.

type floatRate struct {
	price float64
	known bool
}

type rates struct {
	hour, travel, travelHour, callOut, standby, rod, carbon, gas, oxygen, backing, disc, fuel, waste floatRate
	tests                                                                                            [3]floatRate
	minimum, tax                                                                                     float64 // h, share
	hourStep, perDistance, perMass, perVolume, perGas, perBar                                        float64 // h, m, kg, m³, m³, m; 0 where the units are not known
	rodStep, gasStep, fuelStep, oxygenStep, barStep, distanceStep, hours, piece                      step
	cent                                                                                             float64 // units in one of the currency
	priced                                                                                           bool
}

// floats makes the rates of the draws. A material's rate has the markup in it.
func (p *prices) floats() rates {
	of := func(r rate, material bool) floatRate {
		v := r.value
		if material {
			v, _ = p.marked(r) // an overflow shows in the exact bill
		}
		f, _ := v.Float64()
		return floatRate{f, r.known}
	}
	n := rates{hour: of(p.hour, false), travel: of(p.travel, false), travelHour: of(p.travelHour, false), callOut: of(p.callOut, false),
		standby: of(p.standby, false), rod: of(p.rod, true), carbon: of(p.carbon, true), gas: of(p.gas, true), oxygen: of(p.oxygen, true), backing: of(p.backing, true), waste: of(p.waste, false), disc: of(p.disc, true), fuel: of(p.fuel, true),
		hourStep: stepOf("hours").float, rodStep: p.rodStep(), gasStep: stepOf("gas-mass"), fuelStep: stepOf("fuel-volume"), oxygenStep: stepOf("gas-volume"), barStep: stepOf("bar-length"), distanceStep: stepOf("distance"), hours: stepOf("hours"), piece: stepOf("pieces"),
		cent: math.Pow(10, float64(p.currency.Digits())), priced: p.currency != ""}
	for i, m := range testMethods {
		n.tests[i] = of(p.test(m), false)
	}
	n.minimum, _ = p.minimum.value.Float64()
	tax, _ := p.tax.value.Float64()
	n.tax = tax / 100
	si := func(u *q.Unit) float64 {
		if u == nil {
			return 0
		}
		return u.SI(1)
	}
	n.perDistance, n.perMass, n.perVolume, n.perGas, n.perBar = si(p.distance), si(p.mass), si(p.volume), si(p.gasVolume), si(p.bar)
	return n
}

func (r *rates) round(v float64) float64 { return math.RoundToEven(v*r.cent) / r.cent }

// line is a quantity in whole steps at a price.
func (r *rates) line(f floatRate, s step, v float64) float64 {
	if !f.known || v <= 0 {
		return 0
	}
	return r.round(s.count(v) * s.float * f.price)
}

// unit is a line by the shop's unit of mass, volume or length.
func (r *rates) unit(f floatRate, s step, v, per float64) float64 {
	if per == 0 {
		return 0
	}
	return r.line(f, s, v/per)
}

// money gives the sum of a scenario's lines before and with tax.
func (m *model) money(o *outcome, untaxed []Kind) (before, total float64) {
	r := &m.rates
	if !r.priced {
		return 0, 0
	}
	taxable := 0.0
	add := func(k Kind, v float64) {
		before += v
		if len(untaxed) == 0 || !slices.Contains(untaxed, k) {
			taxable += v
		}
	}
	if r.hour.known && o.labour > 0 {
		add(Labour, r.round(math.Max(r.hours.count(o.labour/3600)*r.hours.float, r.minimum)*r.hour.price))
	}
	if r.callOut.known {
		add(CallOut, r.round(r.callOut.price))
	}
	add(Standby, r.line(r.standby, r.hours, o.standby/3600))
	drives := o.trips
	if o.second {
		drives++
	}
	if m.distance.Known {
		add(Travel, drives*r.unit(r.travel, r.distanceStep, 2*float64(m.distance.V), r.perDistance))
	}
	if m.timeKnown {
		add(Travel, drives*r.line(r.travelHour, r.hours, o.drive/drives/3600))
	}
	for _, kg := range o.rods {
		add(Rods, r.unit(r.rod, r.rodStep, kg, r.perMass))
	}
	for _, n := range o.carbons {
		add(Carbons, r.line(r.carbon, r.piece, n))
	}
	add(Gas, r.unit(r.gas, r.gasStep, o.gas, r.perMass))
	add(Gas, r.unit(r.oxygen, r.oxygenStep, o.oxygen, r.perGas))
	add(Backing, r.unit(r.backing, r.barStep, o.backing, r.perBar))
	add(Discs, r.line(r.disc, r.piece, o.discs))
	add(Fuel, r.unit(r.fuel, r.fuelStep, o.fuel, r.perVolume))
	for i, n := range o.tests {
		add(Tests, r.line(r.tests[i], r.piece, n))
	}
	if o.labour > 0 {
		add(Waste, r.line(r.waste, r.piece, 1))
	}
	add(ByHand, m.extra)
	return before, before + r.round(taxable*r.tax)
}
