package price

import (
	"fmt"

	"github.com/govalues/decimal"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Methods that stand alone.
//
//	deposit-cost  cost of a mass of deposit = rate/(deposition · OF) + price/DE + gas/deposition
//	weld-time     hours = mass / (deposition · OF)
//	travel-cost   2 · one way · price, by distance and by time, for each visit
//
// Symbols: rate for an hour; deposition kg/h with the arc on; OF operating factor;
// price of a mass of consumable; DE deposition efficiency, stub in it; gas the
// cost of an hour of gas. Units inside: kg and h. Validity: OF and DE above 0 and
// at most 1. Source: cost-worksheet.

// CostInput is what deposit-cost takes.
type CostInput struct {
	Rate       Price            // for an hour of labour and overhead
	Deposition q.MassRate       // with the arc on
	Operating  q.Ratio          // arc time as part of the time paid
	Consumable q.Maybe[Price]   // for a pound of it, where PerPound; else for a kilogram
	Efficiency q.Maybe[q.Ratio] // of the consumable, stub in it
	GasHour    q.Maybe[Price]   // shielding gas for an hour of arc
	PerPound   bool             // consumable is priced by the pound
}

// DepositPrice is the cost of deposited metal.
type DepositPrice struct {
	PerPound    Amount `json:"per_pound"`
	PerKilogram Amount `json:"per_kilogram"`
	Labour      Amount `json:"labour"` // of it, per pound
	Metal       Amount `json:"metal"`
	Gas         Amount `json:"gas"`
}

// costDigits are the decimals of the working behind the cent.
const costDigits = 6

// DepositCost gives the cost of a mass of deposited metal. Calc id: deposit-cost.
func DepositCost(in CostInput) (source.Result[DepositPrice], error) {
	const id = "deposit-cost"
	var none source.Result[DepositPrice]
	lb := float64(in.Deposition / q.PoundPerHour)
	if err := source.InRange(id, "deposition rate", lb, 1e-3, 1000, "lb/h", "give what is laid in an hour of arc"); err != nil {
		return none, err
	}
	if err := source.InRange(id, "operating factor", float64(in.Operating), 1e-3, 1, "", "arc time as part of the time paid, 0.1 to 0.5"); err != nil {
		return none, err
	}
	c := in.Rate.currency
	exact := func(v float64) (decimal.Decimal, error) {
		d, err := decimal.NewFromFloat64(v)
		return d.Round(12), err
	}
	rate, err := exact(lb * float64(in.Operating))
	if err != nil {
		return none, err
	}
	labour, err := in.Rate.value.Quo(rate)
	if err != nil {
		return none, err
	}
	b := source.Basis{
		Method: id, Title: "Cost of deposited metal", Formula: "rate / (deposition · OF) + price / DE + gas / deposition",
		Inputs: []source.Input{{Name: "rate for an hour", Text: in.Rate.String()}, {Name: "deposition", Text: fmt.Sprintf("%.3g lb/h (%.3g kg/h)", lb, float64(in.Deposition/q.KilogramPerHour))},
			{Name: "operating factor", Text: fmt.Sprintf("%.3g", float64(in.Operating))}},
		Ref:   source.At("cost-worksheet", "labour and overhead; electrode; gas", source.Read),
		Notes: []string{"without setting up, heating, gouging and travel: on a repair these are most of the hours"},
		Why:   "The arc time costs, not the rod: a faster rod pays for itself.", Skip: "You save on rod and pay it in hours.",
	}
	step := func(name, formula, with string, v decimal.Decimal) {
		f, _ := v.Float64()
		b.Steps = append(b.Steps, source.Step{Name: name, Formula: formula, With: with, Value: f, Unit: "for a lb", Text: NewAmount(v, c).String()})
	}
	step("labour and overhead", "rate / (deposition · OF)", fmt.Sprintf("%s / (%.4g × %.3g)", in.Rate.value, lb, float64(in.Operating)), labour)
	total, metal, gas := labour, decimal.Zero, decimal.Zero
	if in.Consumable.Known {
		if !in.Efficiency.Known {
			return none, fmt.Errorf("%s: the price of the consumable needs its deposition efficiency: 0.6 for rods with their stubs", id)
		}
		if err := source.InRange(id, "deposition efficiency", float64(in.Efficiency.V), 0.1, 1, "", "0.6 for rods with their stubs"); err != nil {
			return none, err
		}
		de, err := exact(float64(in.Efficiency.V))
		if err != nil {
			return none, err
		}
		price := in.Consumable.V.value
		if !in.PerPound {
			if price, err = perPound(price); err != nil {
				return none, err
			}
		}
		if metal, err = price.Quo(de); err != nil {
			return none, err
		}
		step("consumable", "price / DE", fmt.Sprintf("%s / %.3g", price.Round(costDigits), float64(in.Efficiency.V)), metal)
	}
	if in.GasHour.Known {
		d, err := exact(lb)
		if err != nil {
			return none, err
		}
		if gas, err = in.GasHour.V.value.Quo(d); err != nil {
			return none, err
		}
		step("gas", "gas for an hour / deposition", fmt.Sprintf("%s / %.4g", in.GasHour.V.value, lb), gas)
	}
	for _, part := range []decimal.Decimal{metal, gas} {
		if total, err = total.Add(part); err != nil {
			return none, err
		}
	}
	kg, err := perKilogram(total)
	if err != nil {
		return none, err
	}
	step("together", "", "", total)
	return source.Result[DepositPrice]{Value: DepositPrice{NewAmount(total, c), NewAmount(kg, c), NewAmount(labour, c), NewAmount(metal, c), NewAmount(gas, c)}, Basis: b}, nil
}

// pound is the pound in kilograms, exactly.
var pound = decimal.MustParse("0.45359237")

func perPound(kg decimal.Decimal) (decimal.Decimal, error)    { return kg.Mul(pound) }
func perKilogram(lb decimal.Decimal) (decimal.Decimal, error) { return lb.Quo(pound) }

// WeldTime gives the time paid for a mass of weld metal. Calc id: weld-time.
func WeldTime(mass q.Mass, deposition q.MassRate, operating q.Ratio) (source.Result[q.Time], error) {
	const id = "weld-time"
	var none source.Result[q.Time]
	if err := source.InRange(id, "weld metal", float64(mass), 1e-6, 1e4, "kg", "give a mass above zero"); err != nil {
		return none, err
	}
	if err := source.InRange(id, "deposition rate", float64(deposition/q.KilogramPerHour), 1e-3, 500, "kg/h", "give what is laid in an hour of arc"); err != nil {
		return none, err
	}
	if err := source.InRange(id, "operating factor", float64(operating), 1e-3, 1, "", "arc time as part of the time paid, 0.1 to 0.5"); err != nil {
		return none, err
	}
	arc := q.Time(float64(mass) / float64(deposition))
	t := arc / q.Time(operating)
	return source.Result[q.Time]{Value: t, Basis: source.Basis{
		Method: id, Title: "Welding time", Formula: "t = mass / (deposition · OF)",
		Inputs: []source.Input{{Name: "weld metal", Text: mass.Text(q.SI)}, {Name: "deposition", Text: fmt.Sprintf("%.3g kg/h (%.3g lb/h)", float64(deposition/q.KilogramPerHour), float64(deposition/q.PoundPerHour))}, {Name: "operating factor", Text: fmt.Sprintf("%.3g", float64(operating))}},
		Steps: []source.Step{
			{Name: "arc time", Formula: "mass / deposition", With: fmt.Sprintf("%.4g kg / %.4g kg/h", float64(mass), float64(deposition/q.KilogramPerHour)), Value: arc.Minutes(), Unit: "min"},
			{Name: "time paid", Formula: "arc time / OF", With: fmt.Sprintf("%.4g min / %.3g", arc.Minutes(), float64(operating)), Value: t.Minutes(), Unit: "min"},
		},
		Ref: source.At("cost-worksheet", "labour and overhead", source.Read), Also: []source.Ref{operatingRows.Of("site").Ref},
		Notes: []string{"interpass cleaning is in the operating factor; pre-heating, waits and crack tests are not"},
		Why:   "The arc burns for a fifth of the time on site.", Skip: "Three times the hours you said.",
	}}, nil
}

// TravelInput is what travel-cost takes. Prices are for a mile or a kilometre as
// Mile says, and for an hour.
type TravelInput struct {
	Distance q.Maybe[q.Length] // one way
	Drive    q.Maybe[q.Time]   // one way
	Each     q.Maybe[Price]    // for a mile or kilometre
	Hour     q.Maybe[Price]    // for an hour
	Mile     bool
	Visits   int
}

// TravelCost gives the price of the travel. Calc id: travel-cost.
func TravelCost(in TravelInput) (source.Result[Amount], error) {
	const id = "travel-cost"
	var none source.Result[Amount]
	if in.Visits < 1 || in.Visits > 365 {
		return none, fmt.Errorf("%s: %d visits; give 1 or more", id, in.Visits)
	}
	if !in.Each.Known && !in.Hour.Known {
		return none, fmt.Errorf("%s: give a price for the distance, for the hour, or both", id)
	}
	if in.Each.Known && !in.Distance.Known {
		return none, fmt.Errorf("%s: a price for the distance needs the distance", id)
	}
	if in.Hour.Known && !in.Drive.Known {
		return none, fmt.Errorf("%s: a price for the hour needs the driving time", id)
	}
	name := "km"
	if in.Mile {
		name = "mi"
	}
	unit, _ := q.KindLength.Unit(name)
	b := source.Basis{Method: id, Title: "Travel", Formula: "visits · 2 · one way · price", Ref: source.At("practice", "per distance both ways, and travel hours", source.Practice),
		Inputs: []source.Input{{Name: "visits", Text: fmt.Sprint(in.Visits)}},
		Notes:  []string{"whole miles or kilometres, and quarter hours, for each visit"},
		Why:    "The road costs as much as the arc.", Skip: "Free hours behind the wheel."}
	var total Amount
	add := func(what string, s step, v float64, unit string, price Price) error {
		n, err := s.times(s.count(v))
		if err != nil {
			return err
		}
		one, err := price.Times(n) // as a line of a bill: each visit by itself
		if err != nil {
			return err
		}
		times, err := decimal.New(int64(in.Visits), 0)
		if err != nil {
			return err
		}
		all, err := one.Times(times)
		if err != nil {
			return err
		}
		b.Steps = append(b.Steps, source.Step{Name: what, Formula: "visits · both ways · price", With: fmt.Sprintf("%d × %s %s × %s", in.Visits, n, unit, price), Value: all.float(), Text: all.String()})
		total, err = total.Plus(all)
		return err
	}
	if in.Each.Known {
		if err := source.InRange(id, "distance", unit.From(float64(in.Distance.V)), 0, 10000, name, "one way to the site"); err != nil {
			return none, err
		}
		if err := add("by distance", stepOf("distance"), 2*unit.From(float64(in.Distance.V)), name, in.Each.V); err != nil {
			return none, err
		}
	}
	if in.Hour.Known {
		if err := source.InRange(id, "driving time", in.Drive.V.Hours(), 0, 200, "h", "one way to the site"); err != nil {
			return none, err
		}
		if err := add("by time", stepOf("hours"), 2*in.Drive.V.Hours(), "h", in.Hour.V); err != nil {
			return none, err
		}
	}
	return source.Result[Amount]{Value: total, Basis: b}, nil
}
