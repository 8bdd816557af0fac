package price

import "testing"

// The estimate that the pages wait for: 10 000 draws of a job with two places.
func BenchmarkEstimate10000(b *testing.B) {
	c, s := quarry(b), demoShop(b)
	c.Items = append(c.Items, screen())
	for b.Loop() {
		if _, err := Estimate(c, s, Options{Samples: 10000}); err != nil {
			b.Fatal(err)
		}
	}
}

// The estimate as usual.
func BenchmarkEstimate(b *testing.B) {
	c, s := quarry(b), demoShop(b)
	for b.Loop() {
		if _, err := Estimate(c, s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBill(b *testing.B) {
	s := demoShop(b)
	e := estimate(b, quarry(b), s, Options{})
	for b.Loop() {
		if _, err := MakeBill(e.Used, s, Terms{}); err != nil {
			b.Fatal(err)
		}
	}
}

// What the load list of a plan costs.
func BenchmarkQuantities(b *testing.B) {
	c, s := quarry(b), demoShop(b)
	c.Items = append(c.Items, screen(), screen())
	for b.Loop() {
		if _, err := Quantities(c, s, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHours(b *testing.B) {
	c, s := quarry(b), demoShop(b)
	c.Items = append(c.Items, screen(), screen())
	for b.Loop() {
		if _, err := Hours(c, s); err != nil {
			b.Fatal(err)
		}
	}
}
