package price

import (
	"fmt"

	"github.com/govalues/decimal"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Kind sorts the lines of a bill.
type Kind string

const (
	Labour    Kind = "labour"
	CallOut   Kind = "call-out"
	Travel    Kind = "travel"
	Standby   Kind = "standby"
	Rods      Kind = "rods"
	Carbons   Kind = "carbons"
	Gas       Kind = "gas"
	Backing   Kind = "backing"
	Discs     Kind = "discs"
	Fuel      Kind = "fuel"
	Tests     Kind = "tests"
	Waste     Kind = "waste"
	ByHand    Kind = "extra"
	Allowance Kind = "allowance"
)

// Line is one line of a bill. Where Missing says so it has no price.
type Line struct {
	ID       string          `json:"id"`                // labour, rod:E7018 H4R:3.2
	Kind     Kind            `json:"kind"`              // labour, travel, rods, ...
	Text     string          `json:"text"`              // as it is printed
	Quantity decimal.Decimal `json:"quantity"`          // in whole steps
	Unit     string          `json:"unit"`              // of the quantity; empty for pieces
	Price    decimal.Decimal `json:"price"`             // for one unit, markup in it
	Amount   Amount          `json:"amount"`            // quantity × price
	Cost     Amount          `json:"cost"`              // the shop's own: never shown to the customer
	Untaxed  bool            `json:"untaxed,omitempty"` // no tax is taken on it
	Missing  string          `json:"missing,omitempty"` // why it is not priced
	Basis    source.Basis    `json:"basis"`             // how it came about
}

// Bill is lines that add up.
type Bill struct {
	Currency Currency        `json:"currency"`          // code of three letters
	Lines    []Line          `json:"lines"`             // in the order of the bill
	Subtotal Amount          `json:"subtotal"`          // sum of the lines
	TaxName  string          `json:"tax_name"`          // as the shop has it
	TaxRate  decimal.Decimal `json:"tax_rate"`          // in %
	Taxable  Amount          `json:"taxable"`           // sum of the lines with tax on them
	Tax      Amount          `json:"tax"`               // rounded once
	Total    Amount          `json:"total"`             // subtotal and tax
	Missing  []string        `json:"missing,omitempty"` // what is not priced, and what to fill in
}

// Complete says that nothing is left unpriced.
func (b Bill) Complete() bool { return len(b.Missing) == 0 }

// Terms are choices for a bill that the shop file does not hold.
type Terms struct {
	Untaxed []Kind `json:"untaxed,omitempty"` // lines that the local rule takes no tax on
}

// MakeBill prices what was used with the shop's prices.
//
// A quantity goes up to its step in billing.csv; rods go up to whole packets
// where the shop gives their mass. Each line is rounded half to even; the tax is
// taken on the sum of the rounded lines and rounded once.
func MakeBill(u Used, shop job.Shop, t Terms) (Bill, error) {
	p, err := readPrices(shop)
	if err != nil {
		return Bill{}, err
	}
	return p.bill(u, t)
}

func (p *prices) bill(u Used, t Terms) (Bill, error) {
	if err := u.check(); err != nil {
		return Bill{}, err
	}
	b := biller{p: p, t: t}
	b.bill = Bill{Currency: p.currency, TaxName: p.taxName, TaxRate: p.tax.value}
	b.hours(u)
	b.travel(u)
	b.material(u)
	for i, x := range u.Extra {
		r := rate{field: fmt.Sprintf("the price of %q", x.Name), known: true}
		if r.value, b.err = readDecimal(x.Name, x.Price); b.err != nil {
			return Bill{}, b.err
		}
		b.add(fmt.Sprintf("extra:%d", i+1), ByHand, x.Name, stepOf("pieces"), 1, "", r, x.Material)
	}
	return b.finish()
}

// biller adds lines and keeps the first error.
type biller struct {
	p    *prices
	t    Terms
	bill Bill
	err  error
}

// add adds a line of n steps; nothing used is no line.
func (b *biller) add(id string, kind Kind, text string, s step, n float64, unit string, r rate, material bool) {
	if n <= 0 || b.err != nil {
		return
	}
	l := Line{ID: id, Kind: kind, Text: text, Unit: unit}
	for _, k := range b.t.Untaxed {
		l.Untaxed = l.Untaxed || k == kind
	}
	if l.Quantity, b.err = s.times(n); b.err != nil {
		return
	}
	switch {
	case !r.known:
		l.Missing = r.missing()
	case b.p.currency == "":
		l.Missing = "not priced: give prices.currency in shop.yaml"
	default:
		b.price(&l, r, material)
	}
	if l.Missing != "" {
		b.bill.Missing = append(b.bill.Missing, text+": "+l.Missing)
	}
	l.Basis = b.basis(l, s, r, material)
	b.bill.Lines = append(b.bill.Lines, l)
}

// basis tells how a line came about.
func (b *biller) basis(l Line, s step, r rate, material bool) source.Basis {
	w := source.Basis{Method: "bill-line", Title: l.Text, Formula: "quantity in whole steps × price", Ref: s.ref,
		Inputs: []source.Input{{Name: r.field, Text: r.value.String(), From: "shop.yaml"}},
		Why:    "A line that can be checked is a line that is paid.", Skip: "The customer adds it up and finds another sum."}
	if !r.known {
		w.Inputs[0].Text, w.Inputs[0].From = "not given", ""
	}
	if s.note != "" {
		w.Notes = append(w.Notes, s.note)
	}
	if material && b.p.markup.known {
		w.Inputs = append(w.Inputs, source.Input{Name: b.p.markup.field, Text: b.p.markup.value.String() + " %", From: "shop.yaml"})
		w.Formula = "quantity in whole steps × price with markup"
	}
	if l.Missing == "" {
		w.Steps = []source.Step{{Name: "amount", With: trim(fmt.Sprintf("%s %s", l.Quantity, l.Unit)) + " × " + l.Price.String(), Value: l.Amount.float(), Text: l.Amount.String()}}
	}
	return w
}

// price fills in price, amount and cost.
func (b *biller) price(l *Line, r rate, material bool) {
	l.Price = r.value
	if material {
		if l.Price, b.err = b.p.marked(r); b.err != nil {
			return
		}
	}
	amount, err := l.Quantity.Mul(l.Price)
	if err != nil {
		b.err = fmt.Errorf("%s: %w", l.Text, err)
		return
	}
	l.Amount = NewAmount(amount, b.p.currency)
	if material {
		cost, err := l.Quantity.Mul(r.value)
		if err != nil {
			b.err = fmt.Errorf("%s: %w", l.Text, err)
			return
		}
		l.Cost = NewAmount(cost, b.p.currency)
	}
}

func (b *biller) hours(u Used) {
	p, hour := b.p, stepOf("hours")
	text, n := "labour", hour.count(u.Labour.Hours())
	quantity, err := hour.times(n)
	if err != nil {
		b.err = err
		return
	}
	if p.minimum.known && n > 0 && quantity.Less(p.minimum.value) {
		b.add("labour", Labour, "labour, least charge", step{exact: p.minimum.value, ref: source.At("derived", "prices.minimum_hours", source.Derived), note: "not less than the least charge"}, 1, "h", p.hour, false)
	} else {
		b.add("labour", Labour, text, hour, n, "h", p.hour, false)
	}
	if (n > 0 || len(u.Drives) > 0) && !(p.callOut.known && p.callOut.value.IsZero()) {
		b.add("call-out", CallOut, "call-out", stepOf("pieces"), 1, "", p.callOut, false)
	}
	b.add("standby", Standby, "standby on site", hour, hour.count(u.Standby.Hours()), "h", p.standby, false)
}

// travel adds each drive by distance, by time, or both, as the shop charges it.
func (b *biller) travel(u Used) {
	p := b.p
	for i, d := range u.Drives {
		text, id := "travel, both ways", fmt.Sprintf("travel:%d", i+1)
		if d.Why != "" {
			text += ", " + d.Why
		}
		byDistance, byTime := p.travel, p.travelHour
		if !byDistance.known && !byTime.known {
			byDistance.field += " or prices.travel_hour"
			b.missing(id, Travel, text, byDistance.missing())
			continue
		}
		if byDistance.known {
			switch {
			case p.distance == nil:
				b.missing(id, Travel, text, "not priced: give units in shop.yaml, us or si")
			case !d.Distance.Known:
				b.missing(id, Travel, text, "not priced: give site.distance in the job file")
			default:
				s := stepOf("distance")
				b.add(id, Travel, text, s, s.count(p.distance.From(float64(d.Distance.V))), p.distance.Symbol, byDistance, false)
			}
		}
		if byTime.known {
			if !d.Time.Known {
				b.missing(id+":time", Travel, text, "not priced: give site.drive_time in the job file")
				continue
			}
			s := stepOf("hours")
			b.add(id+":time", Travel, "driving time"+text[len("travel"):], s, s.count(d.Time.V.Hours()), "h", byTime, false)
		}
	}
}

// missing adds a line that cannot be priced.
func (b *biller) missing(id string, kind Kind, text, says string) {
	b.bill.Lines = append(b.bill.Lines, Line{ID: id, Kind: kind, Text: text, Missing: says,
		Basis: source.Basis{Method: "bill-line", Title: text, Ref: source.At("derived", "shop prices", source.Derived), Notes: []string{says}}})
	b.bill.Missing = append(b.bill.Missing, text+": "+says)
}

// byMass adds a line that is priced by the shop's unit of mass or volume.
func (b *biller) byUnit(id string, kind Kind, text string, s step, unit *q.Unit, v float64, r rate) {
	switch {
	case v <= 0:
	case unit == nil:
		b.missing(id, kind, text, "not priced: give units in shop.yaml, us or si")
	default:
		b.add(id, kind, text, s, s.count(unit.From(v)), unit.Symbol, r, true)
	}
}

func (b *biller) material(u Used) {
	p := b.p
	for _, r := range mergeRods(u.Rods) {
		b.byUnit(rodID(r.Class, r.Core), Rods, "rods "+r.Class+" "+r.Core.In(p.sys), p.rodStep(), p.mass, float64(r.Mass), p.rod)
	}
	for _, c := range mergeCarbons(u.Carbons) {
		b.add(carbonID(c.Size), Carbons, "carbons "+c.Size.In(p.sys), stepOf("pieces"), stepOf("pieces").count(c.Count), "", p.carbon, true)
	}
	b.byUnit("gas", Gas, "heating gas", stepOf("gas-mass"), p.mass, float64(u.Gas), p.gas)
	b.byUnit("oxygen", Gas, "oxygen", stepOf("gas-volume"), p.gasVolume, float64(u.Oxygen), p.oxygen)
	b.byUnit("backing", Backing, "steel bar for backing", stepOf("bar-length"), p.bar, float64(u.Backing), p.backing)
	b.add("discs", Discs, "grinding discs", stepOf("pieces"), stepOf("pieces").count(u.Discs), "", p.disc, true)
	b.byUnit("fuel", Fuel, "engine fuel", stepOf("fuel-volume"), p.volume, float64(u.Fuel), p.fuel)
	for _, m := range testMethods {
		n := 0.0
		for _, t := range u.Tests {
			if t.Method == m {
				n += t.Count
			}
		}
		b.add("test:"+string(m), Tests, testName(m), stepOf("pieces"), stepOf("pieces").count(n), "", p.test(m), false)
	}
	if u.Labour > 0 && p.waste.known && !p.waste.value.IsZero() {
		b.add("waste", Waste, "waste taken away", stepOf("pieces"), 1, "", p.waste, false)
	}
}

// rodStep is one packet, or the step of loose rods.
func (p *prices) rodStep() step {
	if !p.rodPacket.known {
		return stepOf("rod-mass")
	}
	f, _ := p.rodPacket.value.Float64()
	return step{p.rodPacket.value, f, source.At("derived", "prices.rod_packet", source.Derived), "whole packets"}
}

func testName(m TestMethod) string {
	switch m {
	case PT:
		return "dye test"
	case MT:
		return "magnetic test"
	}
	return "ultrasonic test"
}

func rodID(class string, core q.Length) string { return fmt.Sprintf("rod:%s:%.1f", class, core.MM()) }
func carbonID(size q.Length) string            { return fmt.Sprintf("carbon:%.1f", size.MM()) }

// finish adds up and takes the tax.
func (b *biller) finish() (Bill, error) {
	sum := func(total *Amount, a Amount) {
		if b.err == nil {
			*total, b.err = total.Plus(a)
		}
	}
	b.bill.Subtotal, b.bill.Taxable = NewAmount(decimal.Zero, b.p.currency), NewAmount(decimal.Zero, b.p.currency)
	for _, l := range b.bill.Lines {
		sum(&b.bill.Subtotal, l.Amount)
		if !l.Untaxed {
			sum(&b.bill.Taxable, l.Amount)
		}
	}
	if b.err != nil {
		return Bill{}, b.err
	}
	if !b.p.tax.known {
		b.bill.Missing = append(b.bill.Missing, b.p.taxName+": not reckoned: give prices.tax in shop.yaml (0 where there is none)")
	}
	var err error
	if b.bill.Tax, err = b.p.taxOn(b.bill.Taxable); err != nil {
		return Bill{}, err
	}
	b.bill.Total, err = b.bill.Subtotal.Plus(b.bill.Tax)
	return b.bill, err
}

// taxOn takes the tax on a sum, rounded half to even.
func (p *prices) taxOn(sum Amount) (Amount, error) {
	share, err := p.tax.value.Quo(decimal.Hundred)
	if err != nil {
		return Amount{}, err
	}
	return sum.Times(share)
}
