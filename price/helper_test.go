package price

import (
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
	q "soundmetal/quantity"
)

// demoShop is the invented shop of the demo jobs, in US units and USD.
func demoShop(t testing.TB) job.Shop {
	t.Helper()
	data, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := job.ReadShop("shop.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// screen is an invented place: a 9 in crack in a 1 in side plate, vertical, both
// sides in reach, with round numbers of work.
func screen() Work {
	return Work{
		Name: "side plate", Crack: Exactly(230 * q.Millimetre), Remove: Between(330*q.Millimetre, 330*q.Millimetre, 345*q.Millimetre), Sides: 2,
		Passes: Between[q.Length](1.2, 2, 3.4), Gouge: Between(4*q.Minute, 10*q.Minute, 30*q.Minute), GougeArc: Between(1*q.Minute, 4*q.Minute, 11*q.Minute),
		Carbons: []CarbonNeed{{Size: 0.1875 * q.Inch, Count: Between(1.0, 2, 3)}}, Ground: Between(0.3*q.Kilogram, 0.4*q.Kilogram, 0.6*q.Kilogram),
		Preheat: Between(5*q.Minute, 10*q.Minute, 25*q.Minute), TorchGas: Between(2*q.KilogramPerHour, 3*q.KilogramPerHour, 4*q.KilogramPerHour), Soak: Exactly(1 * q.Minute),
		WeldMass: Between(0.9*q.Kilogram, 1*q.Kilogram, 1.2*q.Kilogram),
		Rods: []RodNeed{
			{Class: "E7018-H4R", Core: 0.125 * q.Inch, Count: Between(36.0, 48, 66), Mass: 32 * q.Gram, Arc: Between(55*q.Second, 61*q.Second, 70*q.Second)},
			{Class: "E7018-H4R", Core: 0.09375 * q.Inch, Count: Between(6.0, 8, 12), Mass: 18 * q.Gram, Arc: Between(48*q.Second, 53*q.Second, 60*q.Second)},
		},
		Beads: Between(14.0, 18, 24), Layers: Between(6.0, 8, 9), Cool: Between(30*q.Minute, 60*q.Minute, 120*q.Minute), Hold: 16 * q.Hour,
		Cap: Exactly(330 * q.Millimetre), Tests: []Test{{MT, 3}}, Position: job.Vertical, Access: job.BothSides, Inside: job.No,
		Hidden: Hidden{Ends: "both", Repaired: job.No, PlateOver: job.No, Mirror: job.Unknown},
	}
}

// quarry is a call to one such place.
func quarry(t testing.TB) Call {
	t.Helper()
	e, err := EngineOf("diesel", 24, 125, 40, 225)
	if err != nil {
		t.Fatal(err)
	}
	return Call{Items: []Work{screen()}, Engine: e, Trip: Trip{Distance: q.Known[q.Length](32 * 1609.344), Drive: q.Known(50 * q.Minute), Alone: job.No,
		Rules: []job.SiteRule{"quarry"}, Air: q.Known(q.Fahrenheit(58)), Wind: q.Known(6 * q.MilePerHour), Wet: job.Dry, AtHeight: job.Yes, Confined: job.No}}
}
