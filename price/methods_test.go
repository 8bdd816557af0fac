package price

import (
	"errors"
	"testing"

	q "soundmetal/quantity"
	"soundmetal/source"
)

func TestMethodsRefuse(t *testing.T) {
	rate := price(t, "45")
	for name, in := range map[string]CostInput{
		"nothing laid":                 {Rate: rate, Operating: 0.3},
		"operating factor in per cent": {Rate: rate, Deposition: q.KilogramPerHour, Operating: 30},
		"efficiency above 1":           {Rate: rate, Deposition: q.KilogramPerHour, Operating: 0.3, Consumable: q.Known(rate), Efficiency: q.Known[q.Ratio](64)},
		"price without its efficiency": {Rate: rate, Deposition: q.KilogramPerHour, Operating: 0.3, Consumable: q.Known(rate)},
	} {
		if r, err := DepositCost(in); err == nil {
			t.Errorf("%s: %s", name, r.Value.PerPound)
		}
	}
	var out *source.OutOfRange
	if _, err := WeldTime(1, q.KilogramPerHour, 20); !errors.As(err, &out) || out.Quantity != "operating factor" {
		t.Errorf("an operating factor of 20: got %v, want out of range", err)
	}
	if _, err := WeldTime(0, q.KilogramPerHour, 0.2); !errors.As(err, &out) {
		t.Errorf("no weld metal: %v", err)
	}
	each := q.Known(rate)
	for name, in := range map[string]TravelInput{
		"no price": {Visits: 1, Distance: q.Known[q.Length](1)}, "no distance": {Visits: 1, Each: each}, "no time": {Visits: 1, Hour: each}, "no visit": {Each: each, Distance: q.Known[q.Length](1)},
	} {
		if r, err := TravelCost(in); err == nil {
			t.Errorf("%s: %s", name, r.Value)
		}
	}
}

// By hand: 32.1 mi one way are 64.2, up to 65, × 0.585 = 38.025, to even 38.02;
// 50 min one way are 1 h 40, up to 1.75 h, × 45 = 78.75; two visits 233.54.
func TestTravelByHand(t *testing.T) {
	r, err := TravelCost(TravelInput{Distance: q.Known(q.Length(32.1 * 1609.344)), Drive: q.Known(50 * q.Minute), Each: q.Known(price(t, "0.585")), Hour: q.Known(price(t, "45")), Mile: true, Visits: 2})
	if err != nil {
		t.Fatal(err)
	}
	if r.Value.String() != "233.54 USD" {
		t.Errorf("got %s, want 233.54 USD", r.Value)
	}
	if len(r.Basis.Steps) != 2 || r.Basis.Method != "travel-cost" || r.Basis.Ref.Key == "" {
		t.Errorf("basis not filled: %+v", r.Basis)
	}
}
