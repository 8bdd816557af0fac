package price

import (
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Oxygen, backing bar and waste are priced by the shop's own units; markup goes
// on material. By hand: 100 ft³ at 0.35 + 20 % = 0.42 is 42.00; 2 ft at 2.40 + 20
// % = 2.88 is 5.76; waste 25.00 once, without markup.
func TestOxygenBackingWaste(t *testing.T) {
	s := demoShop(t)
	s.Prices.Oxygen, s.Prices.Backing, s.Prices.Waste = "0.35", "2.40", "25.00"
	ft := q.Foot
	b, err := MakeBill(Used{Labour: 4 * q.Hour, Oxygen: 100 * q.Volume(ft*ft*ft), Backing: 2 * ft}, s, Terms{})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{"oxygen": "42.00 USD", "backing": "5.76 USD", "waste": "25.00 USD"}
	for _, l := range b.Lines {
		if w, ok := want[l.ID]; ok {
			if l.Amount.String() != w {
				t.Errorf("%s: got %s, want %s", l.ID, l.Amount, w)
			}
			delete(want, l.ID)
		}
	}
	if len(want) > 0 {
		t.Errorf("no line for %v", want)
	}
	s.Prices.Oxygen, s.Prices.Backing, s.Prices.Waste = "", "", ""
	b, err = MakeBill(Used{Labour: 4 * q.Hour, Oxygen: 1, Backing: 1}, s, Terms{})
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(b.Missing, "\n")
	for _, field := range []string{"prices.oxygen", "prices.backing"} {
		if !strings.Contains(said, field) {
			t.Errorf("%s is not asked for: %s", field, said)
		}
	}
	if strings.Contains(said, "prices.waste") {
		t.Error("waste is asked for: many take none away")
	}
}

// Gas on the truck: propane by mass, oxygen by volume, acetylene by the mass of
// its volume. By hand: 100 lb at 60 % is 27.2 kg; 2 × 250 ft³ at 80 % is 11.3 m³.
func TestGasOnTruck(t *testing.T) {
	s := demoShop(t)
	have, size := gasOnTruck(s.Bottles, propane)
	near(t, "propane, kg", have.Or(0), 27.2155, 0.001)
	near(t, "full bottle, kg", size, 45.359, 0.001)
	have, size = gasOnTruck(s.Bottles, oxygen)
	near(t, "oxygen, m³", have.Or(0), 11.327, 0.001)
	near(t, "full bottle, m³", size, 7.079, 0.001)
	have, _ = gasOnTruck([]job.Bottle{{Gas: acetylene, Volume: q.Known(q.Volume(5)), Left: q.Known(q.Ratio(0.5)), Count: q.Known(2.0)}}, acetylene)
	near(t, "acetylene, kg", have.Or(0), 5.5, 0.3) // about 1.1 kg/m³, from memory
	if have, _ = gasOnTruck([]job.Bottle{{Gas: oxygen, Volume: q.Known(q.Volume(5))}}, oxygen); have.Known {
		t.Error("a bottle with unknown contents counts as known")
	}
}

// Quantities and estimate hold the same load, whatever the number of draws.
func TestQuantitiesAreThoseOfTheEstimate(t *testing.T) {
	c, s := quarry(t), demoShop(t)
	c.Items[0].Oxygen = Exactly[q.Flow](0.003)
	all, err := Quantities(c, s, 7)
	if err != nil {
		t.Fatal(err)
	}
	e := estimate(t, c, s, Options{Samples: 5000, Seed: 7})
	if len(all) != len(e.Quantities) {
		t.Fatalf("%d quantities, the estimate has %d", len(all), len(e.Quantities))
	}
	for i, n := range all {
		if n.Need != e.Quantities[i].Need || n.ID != e.Quantities[i].ID {
			t.Errorf("%s: %v, the estimate has %v", n.ID, n.Need, e.Quantities[i].Need)
		}
	}
	list, err := LoadList(all, s)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range list {
		if l.ID == "oxygen" && (!strings.HasPrefix(l.Pack, "bottles of ") || !l.Have.Known) {
			t.Errorf("oxygen: %+v", l)
		}
	}
}

// The welder's own rods: 20 % more rods are 20 % more mass, and what he loses is
// in them. Their arc time counts where his own operating factor does not hold it.
func TestOwnRods(t *testing.T) {
	c, s := quarry(t), demoShop(t)
	mass := func(u Used) (m q.Mass) {
		for _, r := range u.Rods {
			m += r.Mass
		}
		return m
	}
	weld := func(e Estimated) q.Time {
		for _, x := range e.Steps {
			if x.ID == "weld" {
				return x.Time.Likely
			}
		}
		return 0
	}
	plain := estimate(t, c, s, Options{})
	s.Factors.Rods = q.Known(q.Ratio(1.2))
	own := estimate(t, c, s, Options{})
	near(t, "mass", float64(mass(own.Used)/mass(plain.Used)), 1.2, 1e-9)
	near(t, "welding time", float64(weld(own)/weld(plain)), 1.2, 1e-9)
	s.Factors.OperatingFactor = q.Known(q.Ratio(0.2))
	both := estimate(t, c, s, Options{})
	near(t, "welding time with own beads", float64(weld(both)/weld(plain)), 1, 1e-9)
	near(t, "mass with own beads", float64(mass(both.Used)/mass(plain.Used)), 1.2, 1e-9)
	s.Factors.Rods = q.Known(q.Ratio(0))
	if _, err := Estimate(c, s, Options{}); err == nil || !strings.Contains(err.Error(), "factors.rods") {
		t.Errorf("no rods at all: got %v", err)
	}
}

// A post-heat is held with a part of the flame: of an hour and 1 kg/h with 10 %
// waste, 0.55 kg as planned.
func TestPostHeatGas(t *testing.T) {
	c, s := quarry(t), demoShop(t)
	a := estimate(t, c, s, Options{})
	c.Items[0].PostHeat, c.Items[0].TorchGas = Exactly(q.Hour), Exactly(1*q.KilogramPerHour)
	b := estimate(t, c, s, Options{})
	c.Items[0].PostHeat = Range[q.Time]{}
	without := estimate(t, c, s, Options{})
	near(t, "gas of the post-heat, kg", float64(b.Used.Gas-without.Used.Gas), 0.55, 1e-9)
	if b.Labour.Planned-a.Labour.Planned != q.Hour {
		t.Errorf("the hour is not paid: %v", b.Labour.Planned-a.Labour.Planned)
	}
}

// Re-heating that was computed takes the place of the allowance, as labour and
// as gas; by hand: 0.5 h at 1 kg/h with 10 % waste is 0.55 kg.
func TestComputedReheats(t *testing.T) {
	c, s := quarry(t), demoShop(t)
	c.Items[0].Reheat, c.Items[0].TorchGas = job.No, Exactly(1*q.KilogramPerHour)
	none := estimate(t, c, s, Options{})
	c.Items[0].Reheat, c.Items[0].Reheats = job.Yes, Exactly(30*q.Minute)
	half := estimate(t, c, s, Options{})
	near(t, "labour, h", (half.Labour.Planned - none.Labour.Planned).Hours(), 0.5, 1e-9)
	near(t, "gas, kg", float64(half.Used.Gas-none.Used.Gas), 0.55, 1e-9)
	for _, x := range half.Steps {
		if x.ID == "reheat" && (x.Time.Likely != 30*q.Minute || x.Basis.Formula != "time of the torch") {
			t.Errorf("re-heat step %v, %q", x.Time, x.Basis.Formula)
		}
	}
}
