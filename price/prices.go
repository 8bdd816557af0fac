package price

import (
	_ "embed"
	"fmt"
	"math"
	"strings"

	"github.com/govalues/decimal"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// rate is one price of the shop file.
type rate struct {
	field string // as in the shop file
	value decimal.Decimal
	known bool
}

// missing says what to fill in.
func (r rate) missing() string { return "not priced: give " + r.field + " in shop.yaml" }

// prices are the shop's prices, read.
type prices struct {
	currency                                            Currency
	hour, travel, travelHour, callOut, minimum, standby rate
	rod, rodPacket, carbon, gas, disc, fuel, pt, mt, ut rate
	oxygen, backing, waste                              rate
	markup, tax                                         rate
	taxName                                             string
	distance, mass, volume, gasVolume, bar              *q.Unit // nil where the shop's units are not known
	sys                                                 q.System
}

// readPrices reads the shop's prices. The error names the field that cannot be read.
func readPrices(shop job.Shop) (prices, error) {
	p := prices{sys: systemOf(shop)}
	s := shop.Prices
	if strings.TrimSpace(s.Currency) != "" {
		c, err := ReadCurrency(s.Currency)
		if err != nil {
			return p, fmt.Errorf("prices.currency: %w", err)
		}
		p.currency = c
	}
	for _, f := range []struct {
		at         *rate
		name, text string
		perCent    bool
	}{
		{&p.hour, "hour", s.Hour, false}, {&p.travel, "travel", s.Travel, false}, {&p.travelHour, "travel_hour", s.TravelHour, false},
		{&p.callOut, "call_out", s.CallOut, false}, {&p.minimum, "minimum_hours", s.Minimum, false}, {&p.standby, "standby_hour", s.Standby, false},
		{&p.rod, "rod", s.Rod, false}, {&p.rodPacket, "rod_packet", s.RodPacket, false}, {&p.carbon, "carbon", s.Carbon, false},
		{&p.gas, "gas", s.Gas, false}, {&p.oxygen, "oxygen", s.Oxygen, false}, {&p.backing, "backing", s.Backing, false}, {&p.disc, "disc", s.Disc, false}, {&p.fuel, "fuel", s.Fuel, false},
		{&p.pt, "pt", s.PT, false}, {&p.mt, "mt", s.MT, false}, {&p.ut, "ut", s.UT, false}, {&p.waste, "waste", s.Waste, false},
		{&p.markup, "markup", s.Markup, true}, {&p.tax, "tax", s.Tax, true},
	} {
		f.at.field = "prices." + f.name
		if strings.TrimSpace(f.text) == "" {
			continue
		}
		read := readDecimal
		if f.perCent {
			read = readPercent
		}
		v, err := read(f.at.field, f.text)
		if err != nil {
			return p, err
		}
		f.at.value, f.at.known = v, true
	}
	if p.rodPacket.known && p.rodPacket.value.IsZero() {
		return p, fmt.Errorf("prices.rod_packet: a packet of zero holds no rods; give its mass, or leave it out")
	}
	p.taxName = strings.TrimSpace(s.TaxName)
	if p.taxName == "" {
		p.taxName = "tax"
	}
	unit := func(k q.Kind, us, si string) *q.Unit {
		name := si
		if shop.Units == job.US {
			name = us
		}
		u, ok := k.Unit(name)
		if !ok {
			panic("price: no unit " + name)
		}
		return u
	}
	if shop.Units == job.US || shop.Units == job.SI {
		p.distance, p.mass, p.volume = unit(q.KindLength, "mi", "km"), unit(q.KindMass, "lb", "kg"), unit(q.KindVolume, "gal", "L")
		p.gasVolume, p.bar = unit(q.KindVolume, "ft³", "m³"), unit(q.KindLength, "ft", "m")
	}
	return p, nil
}

// systemOf is the system that leads in the shop's texts.
func systemOf(shop job.Shop) q.System {
	if shop.Units == job.US {
		return q.US
	}
	return q.SI
}

// test gives the price of a crack test.
func (p *prices) test(m TestMethod) rate {
	switch m {
	case PT:
		return p.pt
	case MT:
		return p.mt
	}
	return p.ut
}

// marked is the price that the customer reads: with the markup on it, rounded
// half to even to the decimals of the shop's own price, and not fewer than the
// currency's.
func (p *prices) marked(r rate) (decimal.Decimal, error) {
	if !p.markup.known {
		return r.value, nil
	}
	share, err := p.markup.value.Quo(decimal.Hundred)
	if err != nil {
		return r.value, err
	}
	v, err := r.value.AddMul(r.value, share)
	if err != nil {
		return r.value, err
	}
	return v.Rescale(max(p.currency.Digits(), r.value.Scale())), nil
}

//go:embed billing.csv
var billingCSV string

// step is the step a billed quantity goes up to.
type step struct {
	exact decimal.Decimal
	float float64
	ref   source.Ref
	note  string
}

var billingSteps = readSteps()

func readSteps() map[string]step {
	all := map[string]step{}
	for _, r := range source.Table("price/billing.csv", billingCSV) {
		d := decimal.MustParse(r.Text("step"))
		f, _ := d.Float64()
		all[r.Text("id")] = step{d, f, r.Ref(), r.Text("note")}
	}
	return all
}

func stepOf(id string) step {
	s, ok := billingSteps[id]
	if !ok {
		panic("price: no step " + id + " in billing.csv")
	}
	return s
}

// count is the number of whole steps that v needs. What lies a millionth of a
// step above a whole number is that number.
func (s step) count(v float64) float64 { return math.Max(0, math.Ceil(v/s.float-1e-6)) }

// times is n steps, exactly.
func (s step) times(n float64) (decimal.Decimal, error) {
	if n > 1e9 {
		return decimal.Decimal{}, fmt.Errorf("%.3g steps of %s is more than can be billed", n, s.exact)
	}
	d, err := decimal.New(int64(n), 0)
	if err != nil {
		return d, err
	}
	return d.Mul(s.exact)
}
