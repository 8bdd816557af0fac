package price

import (
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Laws of the estimate, over drawn jobs and shops.

const lawDraws = 200 // few: the laws hold for each draw by itself

func drawRange[T ~float64](t *rapid.T, name string, most float64) Range[T] {
	low := rapid.Float64Range(0, most).Draw(t, name)
	mid := rapid.Float64Range(0, most).Draw(t, name+" more")
	high := rapid.Float64Range(0, most).Draw(t, name+" most")
	return Between(T(low), T(low+mid), T(low+mid+high))
}

func drawAnswer(t *rapid.T, name string) job.Answer {
	return rapid.SampledFrom([]job.Answer{job.Yes, job.No, job.Unknown}).Draw(t, name)
}

func drawWork(t *rapid.T) Work {
	w := Work{Crack: drawRange[q.Length](t, "crack", 0.4), Sides: rapid.IntRange(0, 2).Draw(t, "sides"), Looks: rapid.IntRange(2, 4).Draw(t, "looks"),
		Passes: drawRange[q.Length](t, "passes", 3), Gouge: drawRange[q.Time](t, "gouge", 3000), GougeArc: drawRange[q.Time](t, "gouge arc", 900),
		Ground: drawRange[q.Mass](t, "ground", 1), Backing: drawRange[q.Length](t, "backing", 0.5),
		Soak: drawRange[q.Time](t, "soak", 600), Waits: drawRange[q.Time](t, "waits", 3000), PostHeat: drawRange[q.Time](t, "post-heat", 3000),
		Cool: drawRange[q.Time](t, "cool", 9000), Hold: q.Time(rapid.SampledFrom([]float64{0, 1, 2, 8, 16, 48}).Draw(t, "hold")) * q.Hour, Cap: drawRange[q.Length](t, "cap", 0.5),
		Position: rapid.SampledFrom([]job.Position{job.Flat, job.Vertical, job.Overhead}).Draw(t, "position"),
		Access:   rapid.SampledFrom([]job.Access{job.OneSide, job.BothSides, ""}).Draw(t, "access"), Inside: drawAnswer(t, "inside"),
		Hidden: Hidden{Ends: rapid.SampledFrom([]job.Ends{"both", "one", "none", "at-edge", ""}).Draw(t, "ends"), Repaired: drawAnswer(t, "repaired"), PlateOver: drawAnswer(t, "plate"),
			Mirror: drawAnswer(t, "mirror"), Others: drawAnswer(t, "others"), SteelUnknown: rapid.Bool().Draw(t, "steel")}}
	end := q.Length(rapid.Float64Range(0, 0.3).Draw(t, "past the ends"))
	w.Remove = Between(w.Crack.Low+end, w.Crack.Likely+end, w.Crack.High+end)
	if rapid.Bool().Draw(t, "preheated") {
		w.Preheat, w.TorchGas = drawRange[q.Time](t, "preheat", 2000), drawRange[q.MassRate](t, "gas", 0.001)
		w.Oxygen = drawRange[q.Flow](t, "oxygen", 0.005)
		if rapid.Bool().Draw(t, "re-heating computed") {
			w.Reheats = drawRange[q.Time](t, "re-heating", 4000)
		}
	}
	for range rapid.IntRange(0, 2).Draw(t, "rod sizes") {
		w.Rods = append(w.Rods, RodNeed{"E7018-H4R", q.Length(rapid.SampledFrom([]float64{2.4, 3.2, 4}).Draw(t, "core")) * q.Millimetre, drawRange[float64](t, "rods", 60), 32 * q.Gram, drawRange[q.Time](t, "arc", 60)})
	}
	if rapid.Bool().Draw(t, "carbons") {
		w.Carbons = []CarbonNeed{{4.8 * q.Millimetre, drawRange[float64](t, "carbons", 5)}}
	}
	for _, m := range testMethods {
		w.Tests = append(w.Tests, Test{m, rapid.IntRange(0, 4).Draw(t, string(m))})
	}
	return w
}

func drawCall(t *rapid.T) Call {
	c := Call{Trip: Trip{Alone: drawAnswer(t, "alone"), Wet: rapid.SampledFrom([]job.Wetness{job.Dry, job.Rain, ""}).Draw(t, "wet"), Shelter: drawAnswer(t, "shelter"),
		AtHeight: drawAnswer(t, "height"), Confined: drawAnswer(t, "confined"), Rules: rapid.SampledFrom([][]job.SiteRule{nil, {"quarry"}, {"farm"}}).Draw(t, "rules")},
		Engine: Engine{Exactly[q.Flow](1e-6), Exactly[q.Flow](2e-6), Exactly[q.Flow](5e-7)}}
	if rapid.Bool().Draw(t, "distance known") {
		c.Trip.Distance = q.Known(q.Length(rapid.Float64Range(0, 3e5).Draw(t, "distance")))
	}
	if rapid.Bool().Draw(t, "drive known") {
		c.Trip.Drive = q.Known(q.Time(rapid.Float64Range(0, 14400).Draw(t, "drive")))
	}
	for range rapid.IntRange(1, 3).Draw(t, "places") {
		c.Items = append(c.Items, drawWork(t))
	}
	return c
}

func drawShop(t *rapid.T) job.Shop {
	price := func(name string) string {
		return rapid.SampledFrom([]string{"0", "1.10", "7.455", "62,50", "125"}).Draw(t, name)
	}
	s := job.Shop{Units: rapid.SampledFrom([]job.Units{job.US, job.SI}).Draw(t, "units")}
	s.Prices = job.Prices{Currency: rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency"), Hour: price("hour"), CallOut: price("call-out"), Standby: price("standby"),
		Rod: price("rod"), Carbon: price("carbon"), Gas: price("gas"), Disc: price("disc"), Fuel: price("fuel"), Oxygen: price("oxygen"), Backing: price("backing"), Waste: rapid.SampledFrom([]string{"", "0", "25"}).Draw(t, "waste"), PT: price("pt"), MT: price("mt"),
		Markup: rapid.SampledFrom([]string{"", "15", "33,3"}).Draw(t, "markup"), Tax: rapid.SampledFrom([]string{"", "7.25", "19"}).Draw(t, "tax"),
		Minimum: rapid.SampledFrom([]string{"", "3"}).Draw(t, "minimum"), RodPacket: rapid.SampledFrom([]string{"", "10"}).Draw(t, "packet")}
	if rapid.Bool().Draw(t, "own rods") {
		s.Factors.Rods = q.Known(q.Ratio(rapid.Float64Range(0.5, 2).Draw(t, "rods used")))
	}
	if rapid.IntRange(0, 9).Draw(t, "gap") == 0 { // prices are missing now and then
		s.Prices.Standby, s.Prices.Gas, s.Prices.MT = "", "", ""
	}
	switch rapid.IntRange(0, 2).Draw(t, "travel by") {
	case 0:
		s.Prices.Travel = price("travel")
	case 1:
		s.Prices.TravelHour = price("travel hour")
	default:
		s.Prices.Travel, s.Prices.TravelHour = price("travel"), price("travel hour")
	}
	return s
}

// The order of the shares, and the sums.
func TestLawPercentilesAndSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, err := Estimate(drawCall(t), drawShop(t), Options{Samples: lawDraws, Seed: rapid.Uint64().Draw(t, "seed")})
		if err != nil {
			t.Fatal(err)
		}
		ordered := func(what string, a, b, c float64) {
			if a > b || b > c {
				t.Fatalf("%s: P50 %v, P80 %v, P95 %v", what, a, b, c)
			}
		}
		for what, s := range map[string]Spread[q.Time]{"labour": e.Labour, "standby": e.Standby, "driving": e.Driving, "on site": e.OnSite, "hours": e.Hours} {
			ordered(what, float64(s.P50), float64(s.P80), float64(s.P95))
		}
		ordered("price", e.Price.P50.float(), e.Price.P80.float(), e.Price.P95.float())
		ordered("cap", e.Price.P80.float(), e.Price.P95.float(), e.NotToExceed.float())
		for _, n := range e.Quantities {
			ordered(n.What, n.Need.P50, n.Need.P80, n.Need.P95)
		}
		sum := NewAmount(e.Bill.Subtotal.value, e.Bill.Currency)
		for _, l := range e.Bill.Lines {
			if sum, err = sum.Minus(l.Amount); err != nil {
				t.Fatal(err)
			}
		}
		if !sum.IsZero() {
			t.Fatalf("lines and subtotal differ by %s", sum)
		}
		total := 0.0
		for _, d := range e.Drivers {
			total += float64(d.Share)
		}
		if len(e.Drivers) > 0 && total != 0 && (total < 1-1e-9 || total > 1+1e-9) {
			t.Fatalf("shares of the drivers add up to %v", total)
		}
	})
}

// worse makes one thing about a place worse.
func worse(t *rapid.T, w Work) (Work, string) {
	more := func(r *Range[q.Time]) {
		by := q.Time(rapid.Float64Range(0, 7200).Draw(t, "more time"))
		r.Low, r.Likely, r.High = r.Low+by*0.5, r.Likely+by, r.High+by*2
	}
	switch what := rapid.SampledFrom([]string{"longer", "rods", "gouge", "preheat", "cool", "hold", "waits", "tests", "ends", "repaired", "plate", "others", "steel", "overhead", "inside", "looks"}).Draw(t, "worse"); what {
	case "longer": // 1.3 times: everything that goes with the length
		k := 1.3
		grow(&w.Crack, k)
		grow(&w.Remove, k)
		grow(&w.Passes, k)
		grow(&w.Gouge, k)
		grow(&w.GougeArc, k)
		grow(&w.Ground, k)
		grow(&w.Backing, k)
		grow(&w.Cap, k)
		grow(&w.Preheat, k)
		w.Rods = append([]RodNeed(nil), w.Rods...)
		for i := range w.Rods {
			grow(&w.Rods[i].Count, k)
		}
		return w, what
	case "rods":
		w.Rods = append(append([]RodNeed(nil), w.Rods...), RodNeed{"E7018-H4R", 3.2 * q.Millimetre, Between(2.0, 5, 9), 32 * q.Gram, Exactly(60 * q.Second)})
		return w, what
	case "gouge":
		more(&w.Gouge)
		return w, what
	case "preheat":
		more(&w.Preheat)
		return w, what
	case "cool":
		more(&w.Cool)
		return w, what
	case "hold":
		w.Hold += q.Time(rapid.Float64Range(0, 100000).Draw(t, "more hold"))
		return w, what
	case "waits":
		more(&w.Waits)
		return w, what
	case "tests":
		w.Tests = append(append([]Test(nil), w.Tests...), Test{MT, 1})
		return w, what
	case "ends":
		w.Hidden.Ends = map[job.Ends]job.Ends{"both": "at-edge", "at-edge": "one", "one": "none"}[w.Hidden.Ends]
		return w, what
	case "repaired":
		w.Hidden.Repaired = job.Yes
		return w, what
	case "plate":
		w.Hidden.PlateOver = job.Yes
		return w, what
	case "others":
		w.Hidden.Others = job.Yes
		return w, what
	case "steel":
		w.Hidden.SteelUnknown = true
		return w, what
	case "overhead":
		w.Position = job.Overhead
		return w, what
	case "inside":
		w.Inside = job.Yes
		return w, what
	default:
		w.Looks++
		return w, what
	}
}

func grow[T ~float64](r *Range[T], k float64) {
	*r = Range[T]{r.Low * T(k), r.Likely * T(k), r.High * T(k)}
}

// Adding damage, or learning something worse about it, lowers neither price nor
// hours: not as planned, not at P50, P80 or P95, and not the cap.
func TestLawMoreDamageIsNeverLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCall(t), drawShop(t)
		bad := c
		bad.Items = append([]Work(nil), c.Items...)
		what := "a further place"
		if rapid.IntRange(0, 3).Draw(t, "how") == 0 {
			bad.Items = append(bad.Items, drawWork(t))
		} else {
			i := rapid.IntRange(0, len(c.Items)-1).Draw(t, "which")
			bad.Items[i], what = worse(t, bad.Items[i])
		}
		notLess(t, what, c, bad, s)
	})
}

// A longer road is never cheaper or quicker; nor is a worse place to work.
func TestLawFurtherIsNeverCheaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCall(t), drawShop(t)
		far := c
		what := rapid.SampledFrom([]string{"distance", "drive", "height", "alone", "rain", "rules"}).Draw(t, "what")
		switch what {
		case "distance":
			if !c.Trip.Distance.Known {
				t.Skip("no distance")
			}
			far.Trip.Distance.V += q.Length(rapid.Float64Range(0, 2e5).Draw(t, "further"))
		case "drive":
			if !c.Trip.Drive.Known {
				t.Skip("no drive")
			}
			far.Trip.Drive.V += q.Time(rapid.Float64Range(0, 7200).Draw(t, "longer"))
		case "height":
			far.Trip.AtHeight = job.Yes
		case "alone":
			far.Trip.Alone = job.Yes
		case "rain":
			if c.Trip.Shelter == job.Yes {
				t.Skip("under shelter")
			}
			far.Trip.Wet = job.Rain
		case "rules":
			far.Trip.Rules = []job.SiteRule{"mine"}
		}
		notLess(t, what, c, far, s)
	})
}

// notLess compares two estimates. Prices are compared where the drive and the
// waiting have a price: else the bill is not whole, and says so. Hours are
// compared where all draws end in the same way, waiting or coming back: where a
// draw changes its way it may save hours for money.
func notLess(t *rapid.T, what string, c, bad Call, s job.Shop) {
	a, err := Estimate(c, s, Options{Samples: lawDraws})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Estimate(bad, s, Options{Samples: lawDraws})
	if err != nil {
		t.Fatal(err)
	}
	m, err := newModel(c, s)
	if err != nil {
		t.Fatal(err)
	}
	type pair struct {
		what     string
		old, now float64
	}
	var all []pair
	if a.SecondVisit == b.SecondVisit && (a.SecondVisit == 0 || a.SecondVisit == 1) && (len(a.Used.Drives) > 0 && a.second() == b.second()) {
		all = append(all, pair{"hours as planned", float64(a.Hours.Planned), float64(b.Hours.Planned)}, pair{"hours P50", float64(a.Hours.P50), float64(b.Hours.P50)}, pair{"hours P80", float64(a.Hours.P80), float64(b.Hours.P80)}, pair{"hours P95", float64(a.Hours.P95), float64(b.Hours.P95)})
	}
	if m.pricedDrive() && m.rates.standby.known {
		all = append(all,
			pair{"price as planned", a.Price.Planned.float(), b.Price.Planned.float()}, pair{"price P50", a.Price.P50.float(), b.Price.P50.float()}, pair{"price P80", a.Price.P80.float(), b.Price.P80.float()}, pair{"price P95", a.Price.P95.float(), b.Price.P95.float()},
			pair{"not to exceed", a.NotToExceed.float(), b.NotToExceed.float()})
	}
	for _, x := range all {
		if x.now < x.old-1e-6 {
			t.Fatalf("%s: %s fell from %v to %v", what, x.what, x.old, x.now)
		}
	}
}

// An invoice of exactly what was planned is the plan's bill, line by line.
func TestLawInvoiceRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCall(t), drawShop(t)
		terms := Terms{}
		if rapid.Bool().Draw(t, "labour untaxed") {
			terms.Untaxed = []Kind{Labour}
		}
		e, err := Estimate(c, s, Options{Samples: lawDraws, Terms: terms})
		if err != nil {
			t.Fatal(err)
		}
		inv, err := MakeInvoice(e.Used, s, terms, Head{}, e.NotToExceed)
		if err != nil {
			t.Fatal(err)
		}
		if inv.Invoice.Total.Cmp(e.Bill.Total) != 0 || len(inv.Bill.Lines) != len(e.Bill.Lines) {
			t.Fatalf("invoice %s in %d lines, plan %s in %d", inv.Invoice.Total, len(inv.Bill.Lines), e.Bill.Total, len(e.Bill.Lines))
		}
		for i, l := range inv.Bill.Lines {
			if p := e.Bill.Lines[i]; l.ID != p.ID || l.Amount.Cmp(p.Amount) != 0 {
				t.Fatalf("line %d: invoice %s %s, plan %s %s", i, l.ID, l.Amount, p.ID, p.Amount)
			}
		}
		if sum, _ := inv.Bill.Subtotal.Plus(inv.Bill.Tax); sum.Cmp(inv.Bill.Total) != 0 {
			t.Fatalf("subtotal %s and tax %s are not the total %s", inv.Bill.Subtotal, inv.Bill.Tax, inv.Bill.Total)
		}
	})
}

// The quote's allowance is never negative and its total is never below the plan.
func TestLawQuote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCall(t), drawShop(t)
		e, err := Estimate(c, s, Options{Samples: lawDraws})
		if err != nil {
			t.Fatal(err)
		}
		fixed := rapid.Bool().Draw(t, "fixed")
		qt, err := MakeQuote(e, s, Head{}, fixed)
		if err != nil {
			t.Fatal(err)
		}
		level := e.Price.P50
		if fixed {
			level = e.Price.P80
		}
		if level.Cmp(e.Bill.Total) < 0 {
			level = e.Bill.Total
		}
		cent := e.Bill.Currency.Digits()
		diff, err := qt.Quote.Total.Minus(level)
		if err != nil {
			t.Fatal(err)
		}
		if d := diff.float(); d > 1.01/pow10(cent) || d < -1.01/pow10(cent) { // a tie of the tax that float64 cannot hold
			t.Fatalf("total %s, want %s", qt.Quote.Total, level)
		}
		sum := Amount{}
		for _, l := range qt.Quote.Lines {
			if l.Amount.value.IsNeg() {
				t.Fatalf("%s costs %s", l.Text, l.Amount)
			}
			if sum, err = sum.Plus(l.Amount); err != nil {
				t.Fatal(err)
			}
		}
		if sum.Cmp(qt.Quote.Subtotal) != 0 {
			t.Fatalf("lines %s, subtotal %s", sum, qt.Quote.Subtotal)
		}
	})
}

func pow10(n int) float64 {
	v := 1.0
	for range n {
		v *= 10
	}
	return v
}
