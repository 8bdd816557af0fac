package price_test

import (
	"fmt"

	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
)

func ExampleEstimate() {
	call := price.Call{
		Items: []price.Work{{
			Name: "motor stool", Crack: price.Exactly(90 * q.Millimetre), Remove: price.Exactly(150 * q.Millimetre),
			Passes: price.Exactly[q.Length](0.3), Gouge: price.Between(2*q.Minute, 4*q.Minute, 8*q.Minute),
			Rods:     []price.RodNeed{{Class: "E7018-H4R", Core: 3.2 * q.Millimetre, Count: price.Between(8.0, 10, 14), Mass: 32 * q.Gram, Arc: price.Exactly(61 * q.Second)}},
			Position: job.Horizontal, Access: job.BothSides, Inside: job.No,
			Tests:  []price.Test{{Method: price.PT, Count: 3}},
			Hidden: price.Hidden{Ends: "both", Repaired: job.No, PlateOver: job.No, Mirror: job.No},
		}},
		Trip: price.Trip{Distance: q.Known[q.Length](40_000), Drive: q.Known(45 * q.Minute), Alone: job.No, Wet: job.Dry, AtHeight: job.No, Confined: job.No},
	}
	shop := job.Shop{Units: job.SI, Prices: job.Prices{Currency: "EUR", Hour: "68,50", Travel: "0,52", CallOut: "90", Standby: "40", Rod: "7,90", PT: "28", Markup: "15", Tax: "19", TaxName: "VAT", Validity: "14 days"}}
	e, err := price.Estimate(call, shop, price.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range e.Bill.Lines {
		fmt.Println(l.Text, l.Quantity, l.Unit, l.Price, "=", l.Amount)
	}
	fmt.Println("as seen", e.Price.Planned)
	for _, m := range e.Bill.Missing {
		fmt.Println(m)
	}
	// Output:
	// labour 5.50 h 68.50 = 376.75 EUR
	// call-out 1  90 = 90.00 EUR
	// standby on site 1.00 h 40 = 40.00 EUR
	// travel, both ways 80 km 0.52 = 41.60 EUR
	// rods E7018-H4R 3.2 mm 0.4 kg 9.08 = 3.63 EUR
	// dye test 3  28 = 84.00 EUR
	// as seen 756.82 EUR
}

func ExampleLearn() {
	r, err := price.Learn([]price.Actual{
		{Name: "blade arm", Rods: price.Pair[float64]{Handbook: 40, Actual: 52}},
		{Name: "tipper", Rods: price.Pair[float64]{Handbook: 18, Actual: 20}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Basis.Steps[0].Text)
	// Output: 2 jobs; yours 1.20 × handbook; used 1.05 × handbook, next job 0.73 to 1.53
}
