package price

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"soundmetal/cut"
	"soundmetal/filler"
	"soundmetal/job"
	q "soundmetal/quantity"
)

func estimate(t testing.TB, c Call, s job.Shop, o Options) Estimated {
	t.Helper()
	e, err := Estimate(c, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func TestEstimateIsTheSameEveryTime(t *testing.T) {
	a, b := estimate(t, quarry(t), demoShop(t), Options{Seed: 3}), estimate(t, quarry(t), demoShop(t), Options{Seed: 3})
	x, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	y, _ := json.Marshal(b)
	if string(x) != string(y) {
		t.Errorf("two runs with one seed differ:\n%s\n%s", x, y)
	}
}

// Another seed is another estimate of the same thing: P50 within 1 %, P80 and
// P95 within 2 and 4 %, of 10 000 draws. The tail is carried by a chance of 15 %.
func TestSeedsAgree(t *testing.T) {
	a := estimate(t, quarry(t), demoShop(t), Options{Samples: 10000})
	for seed := uint64(1); seed < 6; seed++ {
		b := estimate(t, quarry(t), demoShop(t), Options{Samples: 10000, Seed: seed})
		for _, c := range []struct {
			what      string
			a, b      Amount
			tolerance float64
		}{{"P50", a.Price.P50, b.Price.P50, .01}, {"P80", a.Price.P80, b.Price.P80, .02}, {"P95", a.Price.P95, b.Price.P95, .04}} {
			near(t, c.what, c.b.float()/c.a.float(), 1, c.tolerance)
		}
	}
}

// The draws reckon in float64, the bill in decimals: the same scenario comes to
// the same sum, in three currencies and with loose and packed rods.
func TestDrawsAndBillAgree(t *testing.T) {
	shop := demoShop(t)
	shop.Prices.Oxygen, shop.Prices.Backing, shop.Prices.Waste = "0.35", "2.40", "25"
	yen, loose := shop, shop
	yen.Prices.Currency, yen.Prices.Hour, yen.Prices.Travel, yen.Prices.Rod = "JPY", "9506", "45", "980"
	loose.Prices.RodPacket, loose.Prices.TravelHour, loose.Prices.Fuel, loose.Units = "", "61,50", "1.759", job.SI
	none := shop
	none.Prices.Currency = ""
	for name, s := range map[string]job.Shop{"dollars": shop, "yen": yen, "loose rods, travel by time": loose, "no currency": none} {
		t.Run(name, func(t *testing.T) {
			c := quarry(t)
			c.Items = append(c.Items, screen())
			c.Items[1].Oxygen, c.Items[1].Backing, c.Items[1].PostHeat = Between[q.Flow](0.002, 0.003, 0.004), Exactly(330*q.Millimetre), Exactly(q.Hour)
			c.Extra = []Extra{{Name: "steel", Price: "33.35", Material: true}, {Name: "lift", Price: "120"}}
			m, err := newModel(c, s)
			if err != nil {
				t.Fatal(err)
			}
			r := rand.New(rand.NewPCG(1, 2))
			x, o := make([]float64, len(m.drivers)), m.outcome()
			for range 300 {
				for i := range x {
					x[i] = m.drivers[i].at(r.Float64())
				}
				m.run(x, o)
				for _, untaxed := range [][]Kind{nil, {Labour, Travel}} {
					before, total := m.money(o, untaxed)
					b, err := m.prices.bill(m.used(o), Terms{Untaxed: untaxed})
					if err != nil {
						t.Fatal(err)
					}
					// a tie that float64 cannot hold may fall the other way
					cent := 1.01 / m.rates.cent
					near(t, "before tax", before, b.Subtotal.float(), cent)
					near(t, "with tax", total, b.Total.float(), cent)
				}
			}
		})
	}
}

// The quote's total is the P50, the fixed quote's the P80, and the lines as
// printed add up to the total as printed.
func TestQuoteAddsUp(t *testing.T) {
	e := estimate(t, quarry(t), demoShop(t), Options{})
	for fixed, want := range map[bool]Amount{false: e.Price.P50, true: e.Price.P80} {
		qt, err := MakeQuote(e, demoShop(t), Head{Customer: "Hollow Ridge"}, fixed)
		if err != nil {
			t.Fatal(err)
		}
		quote := qt.Quote
		if quote.Total.Cmp(want) != 0 {
			t.Errorf("fixed %v: total %s, want %s", fixed, quote.Total, want)
		}
		sum := Amount{}
		for _, l := range quote.Lines {
			if sum, err = sum.Plus(l.Amount); err != nil {
				t.Fatal(err)
			}
		}
		if sum.Cmp(quote.Subtotal) != 0 {
			t.Errorf("lines add up to %s, subtotal %s", sum, quote.Subtotal)
		}
		if all, _ := sum.Plus(quote.Tax); all.Cmp(quote.Total) != 0 {
			t.Errorf("subtotal and tax are %s, total %s", all, quote.Total)
		}
		if quote.NotToExceed.Cmp(e.Price.P95) < 0 {
			t.Errorf("not to exceed %s is below the P95 %s", quote.NotToExceed, e.Price.P95)
		}
	}
}

// The customer's quote and invoice show no cost and no markup: their types have
// no place for them.
func TestCustomerSeesNoMargin(t *testing.T) {
	e := estimate(t, quarry(t), demoShop(t), Options{})
	qt, err := MakeQuote(e, demoShop(t), Head{}, false)
	if err != nil {
		t.Fatal(err)
	}
	inv, err := MakeInvoice(e.Used, demoShop(t), Terms{}, Head{}, Amount{})
	if err != nil {
		t.Fatal(err)
	}
	for what, v := range map[string]any{"quote": qt.Quote, "invoice": inv.Invoice} {
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		for _, word := range []string{"cost", "markup", "margin", `"6.20"`, `"1.10"`} { // the shop's own prices of rod and carbon
			if strings.Contains(strings.ToLower(string(text)), word) {
				t.Errorf("the %s holds %s:\n%s", what, word, text)
			}
		}
	}
}

// Words that must not be on paper: a verdict that something is safe, a
// certificate, a guarantee.
func TestTermsPromiseNothing(t *testing.T) {
	for _, r := range termRows {
		for _, word := range []string{"safe", "certif", "guarant", "warrant"} {
			if strings.Contains(strings.ToLower(r.text), word) {
				t.Errorf("%s says %q", r.id, word)
			}
		}
	}
}

func TestQuoteTermsFollowTheFacts(t *testing.T) {
	c := quarry(t)
	c.Items[0].Hidden = Hidden{Ends: "none", Repaired: job.Yes, PlateOver: job.Yes, Mirror: job.No, SteelUnknown: true}
	hard, err := MakeQuote(estimate(t, c, demoShop(t), Options{}), demoShop(t), Head{}, false)
	if err != nil {
		t.Fatal(err)
	}
	easy := quarry(t)
	easy.Trip.Rules, easy.Items[0].Hold, easy.Items[0].Hidden.Mirror = nil, 0, job.No
	plain, err := MakeQuote(estimate(t, easy, demoShop(t), Options{}), demoShop(t), Head{}, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{"Not all ends", "steel is not known", "under the plate", "welded before", "second visit"} {
		if !strings.Contains(strings.Join(hard.Quote.Assumptions, "\n"), words) {
			t.Errorf("nothing about %q in %q", words, hard.Quote.Assumptions)
		}
		if strings.Contains(strings.Join(plain.Quote.Assumptions, "\n"), words) {
			t.Errorf("%q in a job without it", words)
		}
	}
	if plain.Quote.Validity != "14 days" || len(plain.Quote.Exclusions) == 0 || len(plain.Quote.Conditions) == 0 {
		t.Errorf("validity %q, %d exclusions, %d conditions", plain.Quote.Validity, len(plain.Quote.Exclusions), len(plain.Quote.Conditions))
	}
	s := demoShop(t)
	s.Prices.Validity = ""
	bare, err := MakeQuote(estimate(t, easy, s, Options{}), s, Head{}, false)
	if err != nil || !strings.Contains(strings.Join(bare.Missing, "\n"), "prices.validity") {
		t.Errorf("no validity: %q, %v", bare.Missing, err)
	}
}

// Without any shop the hours and quantities stand, and the money is zero.
func TestNoShop(t *testing.T) {
	e := estimate(t, quarry(t), job.Shop{}, Options{})
	full := estimate(t, quarry(t), demoShop(t), Options{})
	if e.Hours.P50 <= 0 || len(e.Quantities) != len(full.Quantities) {
		t.Errorf("hours %s, %d quantities; want hours and %d", e.Hours.P50.Text(q.SI), len(e.Quantities), len(full.Quantities))
	}
	if !e.Price.P95.IsZero() || e.Bill.Complete() || len(e.Drivers) == 0 {
		t.Errorf("price %s, complete %v, %d drivers; want 0, not complete, drivers of the hours", e.Price.P95, e.Bill.Complete(), len(e.Drivers))
	}
	if d := e.Drivers[0]; d.HoursHigh <= d.HoursLow {
		t.Errorf("first driver %s swings %g to %g h", d.Label, d.HoursLow.Hours(), d.HoursHigh.Hours())
	}
}

func TestOptionsOutOfRange(t *testing.T) {
	for _, n := range []int{-1, 99, 1_000_001} {
		if _, err := Estimate(quarry(t), demoShop(t), Options{Samples: n}); err == nil {
			t.Errorf("%d draws: accepted", n)
		}
	}
}

func TestWorkThatCannotBe(t *testing.T) {
	for name, spoil := range map[string]func(*Call){
		"no place":                func(c *Call) { c.Items = nil },
		"not a number":            func(c *Call) { c.Items[0].Gouge.High = q.Time(math.NaN()) },
		"negative":                func(c *Call) { c.Items[0].Preheat.Low = -1 },
		"out of order":            func(c *Call) { c.Items[0].Ground = Between[q.Mass](3, 2, 1) },
		"shorter than its crack":  func(c *Call) { c.Items[0].Remove = Exactly(100 * q.Millimetre) },
		"three sides":             func(c *Call) { c.Items[0].Sides = 3 },
		"rods without mass":       func(c *Call) { c.Items[0].Rods[0].Mass = 0 },
		"carbon without size":     func(c *Call) { c.Items[0].Carbons[0].Size = 0 },
		"a test that is unknown":  func(c *Call) { c.Items[0].Tests[0].Method = "x" },
		"a century of gouging":    func(c *Call) { c.Items[0].Gouge = Exactly(q.Time(3e9)) },
		"a distance that is less": func(c *Call) { c.Trip.Distance = q.Known[q.Length](-1) },
	} {
		c := quarry(t)
		spoil(&c)
		if _, err := Estimate(c, demoShop(t), Options{}); err == nil {
			t.Errorf("%s: estimated", name)
		}
		if _, err := Hours(c, demoShop(t)); err == nil && name != "a century of gouging" { // long, but a time
			t.Errorf("%s: hours given", name)
		}
	}
}

// One driver alone: nothing else moves, its share is 1, and its swing is worked
// by hand.
func TestDriverAlone(t *testing.T) {
	s := job.Shop{Units: job.SI, Prices: job.Prices{Currency: "EUR", Hour: "100"}}
	m, err := newModel(Call{Items: []Work{{Name: "bare"}}}, s)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.drivers {
		d := &m.drivers[i]
		if d.group != "setup" || d.low == fig("setup-again").Low {
			d.low, d.high, d.chance = d.likely, d.likely, false
		}
	}
	d := m.draw(1000, Options{})
	all, err := m.swings(d)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 1 || all[0].ID != "setup" {
		t.Fatalf("got %+v, want setting up alone", all)
	}
	near(t, "share", float64(all[0].Share), 1, 1e-9)
	// triangle 30, 60, 90 min: 10 % of the draws lie below 30 + √(0.1·60·30), 90 % below 90 − the same
	far := math.Sqrt(0.1 * 60 * 30)
	crew := slowRows.Of("crew-alone").Likely
	near(t, "swing, min", (all[0].HoursHigh - all[0].HoursLow).Minutes(), (60-2*far)*crew*slowRows.Of("weather-unknown").Likely, 1e-6)
}

func TestSecondVisitOrWaiting(t *testing.T) {
	s := demoShop(t)
	for _, c := range []struct {
		name   string
		hold   q.Time
		miles  float64
		drive  q.Time
		second bool
	}{
		{"nothing to wait for", 0, 32, 50 * q.Minute, false},
		{"overnight hold", 16 * q.Hour, 32, 50 * q.Minute, true},
		{"two hours far from home", 2 * q.Hour, 120, 150 * q.Minute, false},
		{"two hours near home", 2 * q.Hour, 3, 6 * q.Minute, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			call := quarry(t)
			w := &call.Items[0]
			w.Hold, w.Cool = c.hold, Range[q.Time]{}
			call.Trip.Distance, call.Trip.Drive = q.Known(q.Length(c.miles*1609.344)), q.Known(c.drive)
			e := estimate(t, call, s, Options{})
			last := e.Used.Drives[len(e.Used.Drives)-1]
			if second := strings.HasPrefix(last.Why, "second visit"); second != c.second {
				t.Errorf("second visit: got %v, want %v (%+v)", second, c.second, e.Used.Drives)
			}
			if (e.SecondVisit > 0.5) != c.second {
				t.Errorf("second visit in %.0f %% of the draws", 100*float64(e.SecondVisit))
			}
		})
	}
}

// The hours as printed add up to the hours of the plan, and each step tells
// where its figure comes from.
func TestStepsAddUp(t *testing.T) {
	c := quarry(t)
	c.Items = append(c.Items, screen())
	c.Items[1].Position, c.Items[1].Name = job.Overhead, "underside"
	e := estimate(t, c, demoShop(t), Options{})
	byBilling := map[Billing]q.Time{}
	for _, s := range e.Steps {
		byBilling[s.Bill] += s.Time.Likely
		if s.Basis.Ref.Key == "" || s.Basis.Why == "" || s.Basis.Skip == "" || len(s.Basis.Steps) == 0 || s.Basis.Formula == "" {
			t.Errorf("%s: basis not filled: %+v", s.ID, s.Basis)
		}
		if s.Time.Low > s.Time.Likely || s.Time.Likely > s.Time.High {
			t.Errorf("%s: %v", s.ID, s.Time)
		}
	}
	near(t, "labour", float64(byBilling[AsLabour]), float64(e.Labour.Planned), 1e-6)
	near(t, "standby", float64(byBilling[AsStandby]), float64(e.Standby.Planned), 1e-6)
	near(t, "driving", float64(byBilling[AsTravel]), float64(e.Driving.Planned), 1e-6)
	for name, b := range map[string][]string{"estimate": {e.Basis.Title, e.Basis.Formula, e.Basis.Why, e.Basis.Skip, e.Basis.Ref.Key}, "rate": {e.UnitRates[0].Basis.Title, e.UnitRates[0].Basis.Ref.Key}, "quantity": {e.Quantities[0].Basis.Title, e.Quantities[0].Basis.Ref.Key, e.Quantities[0].Basis.Why}} {
		for _, x := range b {
			if x == "" {
				t.Errorf("%s: basis not filled", name)
			}
		}
	}
}

// Welding time by hand: 48 × 61 s + 8 × 53 s = 3352 s of arc; / 0.20 = 16 760 s
// (the weather is fair); re-heating 10 min for each 20 min of it = 8380 s.
func TestWeldStepByHand(t *testing.T) {
	steps, err := Hours(quarry(t), demoShop(t))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]q.Time{}
	for _, s := range steps {
		got[s.ID] = s.Time.Likely
	}
	near(t, "weld", float64(got["weld"]), 16760, 1e-6)
	near(t, "reheat", float64(got["reheat"]), 8380, 1e-6)
	// at height: × 1.12; 0.33 m and 2 × 50 mm at 1 m/h; 0.33 m, two sides, 5 min for 100 mm
	near(t, "clean", float64(got["clean"]), 0.43*3600*1.12, 1e-6)
	near(t, "grind", float64(got["grind"]), 0.33*2*3000*1.12, 1e-6)
	near(t, "drive", float64(got["drive"]), 3*2*3000, 1e-6) // two days and the test
}

// His own figures take the place of the handbook's.
func TestOwnFactors(t *testing.T) {
	s := demoShop(t)
	s.Factors.OperatingFactor, s.Factors.GougePer100mm = q.Known[q.Ratio](0.25), q.Known(45*q.Second)
	steps, err := Hours(quarry(t), s)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range steps {
		switch x.ID {
		case "weld":
			near(t, "weld", float64(x.Time.Likely), 3352/0.25, 1e-6)
		case "gouge": // 2 m of passes at 45 s for 100 mm, at height
			near(t, "gouge", float64(x.Time.Likely), 2/0.1*45*1.12, 1e-6)
		}
	}
	s.Factors.OperatingFactor = q.Known[q.Ratio](1.2)
	if _, err := Hours(quarry(t), s); err == nil || !strings.Contains(err.Error(), "factors.operating_factor") {
		t.Errorf("an operating factor of 120 %%: %v", err)
	}
	s.Factors.OperatingFactor, s.Factors.GougePer100mm = q.Maybe[q.Ratio]{}, q.Known[q.Time](0)
	if _, err := Hours(quarry(t), s); err == nil || !strings.Contains(err.Error(), "factors.gouge_per_100mm") {
		t.Errorf("gouging in no time: %v", err)
	}
}

// Unit rate by hand for a plain place: everything is one value, so 100 mm more
// of a 200 mm groove is half the length-bound work again.
func TestUnitRateByHand(t *testing.T) {
	s := job.Shop{Units: job.SI, Prices: job.Prices{Currency: "EUR", Hour: "60", Rod: "10"}}
	w := Work{Name: "plain", Crack: Exactly(100 * q.Millimetre), Remove: Exactly(200 * q.Millimetre), Gouge: Exactly(10 * q.Minute),
		Rods: []RodNeed{{Class: "E7018", Core: 3.2 * q.Millimetre, Count: Exactly(20.0), Mass: 30 * q.Gram, Arc: Exactly(60 * q.Second)}}, Access: job.BothSides, Inside: job.No}
	c := Call{Items: []Work{w}, Trip: Trip{Alone: job.No, Wet: job.Dry, AtHeight: job.No, Confined: job.No}}
	e := estimate(t, c, s, Options{})
	// clean 100 mm at 1 m/h 6 min; gouge 5; grind 5; 10 rods of 60 s at 0.20 are 50 min: 66 min
	// money: 66 min at 60 is 66.00; 10 rods of 30 g at 10 a kg are 3.00
	r := e.UnitRates[0]
	near(t, "minutes", r.Hours.Likely.Minutes(), 66, 1e-6)
	if r.Price.String() != "69.00 EUR" {
		t.Errorf("price: got %s, want 69.00 EUR", r.Price)
	}
	if r.Low.Cmp(r.Price) > 0 || r.High.Cmp(r.Price) < 0 {
		t.Errorf("range %s to %s does not hold %s", r.Low, r.High, r.Price)
	}
}

func TestNotToExceed(t *testing.T) {
	for in, want := range map[string]string{"2347.00 USD": "2350.00 USD", "12340.00 USD": "12500.00 USD", "853.01 USD": "855.00 USD", "1000.00 USD": "1000.00 USD", "999.99 USD": "1000.00 USD",
		"2350.00 USD": "2350.00 USD", "0.00 USD": "0.00 USD", "58222 JPY": "58500 JPY"} {
		var a Amount
		if err := a.UnmarshalText([]byte(in)); err != nil {
			t.Fatal(err)
		}
		got, err := roundedUp(a)
		if err != nil || got.String() != want {
			t.Errorf("%s up: got %s, %v; want %s", in, got, err, want)
		}
	}
}

func TestClasses(t *testing.T) {
	for want, h := range map[string]Hidden{"paint-only": {PaintOnly: true}, "visible": {Ends: "both"}, "repaired": {PaintOnly: true, Repaired: job.Yes}} {
		if got := ClassOf(h); got.ID != want || got.Share.Low <= 0 || got.Ref.Key == "" {
			t.Errorf("got %+v, want %s", got, want)
		}
	}
	if ClassOf(Hidden{SteelUnknown: true}).ID != "repaired" || ClassOf(Hidden{PlateOver: job.Yes}).ID != "repaired" {
		t.Error("unknown steel or a plate over the crack: want the class of repaired and hardened")
	}
}

func TestLoadList(t *testing.T) {
	s := demoShop(t)
	e := estimate(t, quarry(t), s, Options{})
	list, err := LoadList(e.Quantities, s)
	if err != nil {
		t.Fatal(err)
	}
	row := func(list []Load, id string) Load {
		for _, l := range list {
			if l.ID == id {
				return l
			}
		}
		t.Fatalf("no row %s in %+v", id, list)
		return Load{}
	}
	// 30 lb of 1/8 in rod are in the oven: enough
	if l := row(list, "rod:E7018-H4R:3.2"); l.Load != 0 || l.Packs != 0 || math.Abs(l.Have.V-30*0.45359237) > 1e-9 {
		t.Errorf("rods: %+v, want none to load and 30 lb on the truck", l)
	}
	if l := row(list, "discs"); l.Have.Known || l.Load != l.Need || l.Load != math.Ceil(l.Load) {
		t.Errorf("discs: %+v, want all of them, whole", l)
	}
	s.Rods, s.Carbons, s.Bottles = nil, nil, nil
	empty, err := LoadList(e.Quantities, s)
	if err != nil {
		t.Fatal(err)
	}
	l := row(empty, "rod:E7018-H4R:3.2")
	if l.Load != l.Need || l.Packs != math.Ceil(l.Need/(10*0.45359237)) || l.Pack != "packets of 10 lb (4.54 kg)" {
		t.Errorf("rods, empty truck: %+v, want whole packets of 10 lb", l)
	}
	for _, l := range list {
		if bare := row(empty, l.ID); bare.Load < l.Load {
			t.Errorf("%s: %g to load onto an empty truck, %g onto a full one", l.ID, bare.Load, l.Load)
		}
	}
	s.Rods = []job.Rod{{Class: "E7018-H4R", Size: 0.125 * q.Inch, Mass: q.Known(30 * q.Pound), Condition: "opened"}}
	opened, err := LoadList(e.Quantities, s)
	if err != nil {
		t.Fatal(err)
	}
	if l := row(opened, "rod:E7018-H4R:3.2"); l.Load != l.Need || l.Note == "" {
		t.Errorf("opened rods: %+v, want them left out and a note", l)
	}
}

func TestChangeOrder(t *testing.T) {
	s := demoShop(t)
	old := quarry(t)
	agreed := estimate(t, old, s, Options{})
	more := quarry(t)
	more.Items = append(more.Items, screen())
	now := estimate(t, more, s, Options{})
	c, err := ChangeOrder(agreed, now)
	if err != nil {
		t.Fatal(err)
	}
	sum := Amount{}
	for _, l := range c.Lines {
		if sum, err = sum.Plus(l.More); err != nil {
			t.Fatal(err)
		}
	}
	if sum.Cmp(c.Subtotal) != 0 || c.Total.Cmp(c.Subtotal) <= 0 || c.Hours <= 0 {
		t.Errorf("lines %s, subtotal %s, total %s, hours %g", sum, c.Subtotal, c.Total, c.Hours.Hours())
	}
	if back, _ := agreed.Bill.Total.Plus(c.Total); back.Cmp(now.Bill.Total) != 0 {
		t.Errorf("agreed %s and the change %s are %s, want %s", agreed.Bill.Total, c.Total, back, now.Bill.Total)
	}
	none, err := ChangeOrder(agreed, agreed)
	if err != nil || len(none.Lines) != 0 || !none.Total.IsZero() || !none.NotToExceed.IsZero() {
		t.Errorf("no change: %+v, %v", none, err)
	}
	less, err := ChangeOrder(now, agreed)
	if err != nil || less.Total.Cmp(Amount{}) >= 0 || len(less.Lines) != len(c.Lines) {
		t.Errorf("the other way: %s, %d lines, %v; want as much less in %d lines", less.Total, len(less.Lines), err, len(c.Lines))
	}
	yen := s
	yen.Prices.Currency = "JPY"
	if _, err := ChangeOrder(agreed, estimate(t, old, yen, Options{})); err == nil {
		t.Error("dollars against yen: want a refusal")
	}
}

// Figures of the rooms below become ranges.
func TestFromOtherRooms(t *testing.T) {
	if got, want := Spanning(q.Span[q.Time](30, 10)), Between[q.Time](10, 20, 30); got != want {
		t.Errorf("spanning: got %v, want %v", got, want)
	}
	passes := cut.Amount[q.Length]{Likely: 2, Range: q.Span[q.Length](1, 4)}
	carbons, err := cut.CarbonsFor(passes, q.Maybe[q.Length]{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := Like(carbons.Value), Between(carbons.Value.Range.Low, carbons.Value.Likely, carbons.Value.Range.High); got != want || got.check("carbons") != nil {
		t.Errorf("like: got %v, want %v in order", got, want)
	}
	if got, want := RodsOf(filler.RodCount{Low: 8, Likely: 10, High: 14}), Between(8.0, 10, 14); got != want {
		t.Errorf("rods: got %v, want %v", got, want)
	}
}

// The facts of a job go where they belong.
func TestFromJob(t *testing.T) {
	site := job.Site{Distance: q.Known[q.Length](9000), Alone: job.Yes, Wet: job.Snow, AtHeight: job.Yes, ConfinedSpace: job.No, Rules: []job.SiteRule{"mine"}}
	want := Trip{Distance: site.Distance, Alone: job.Yes, Wet: job.Snow, AtHeight: job.Yes, Confined: job.No, Rules: site.Rules}
	if d := cmp.Diff(want, TripOf(site), cmpopts.EquateEmpty()); d != "" {
		t.Error(d)
	}
	it := job.Item{Crack: job.Crack{Ends: "one", Others: job.Yes}, History: job.History{Welded: job.Yes, PlateOver: job.No, Mirror: job.Yes}}
	h := Hidden{Ends: "one", Others: job.Yes, Repaired: job.Yes, PlateOver: job.No, Mirror: job.Yes, SteelUnknown: true}
	if d := cmp.Diff(h, HiddenOf(it, true)); d != "" {
		t.Error(d)
	}
}
