package plan_test

import (
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/sheet"
)

const fewDraws = 200 // the laws hold for each draw by itself

// drawPlate draws a job with one cracked plate that the gate lets through and
// that can be priced as a whole: the way to the site is known.
func drawPlate(t *rapid.T) job.Job {
	one := func(name string, words ...string) string { return rapid.SampledFrom(words).Draw(t, name) }
	mm := func(name string, low, high float64) q.Length {
		return q.Length(rapid.Float64Range(low, high).Draw(t, name)) * q.Millimetre
	}
	it := job.Item{Name: "plate", Part: "side plate", Role: "structure", Shape: job.Plate, Thickness: q.Known(mm("thickness", 5, 60)),
		Access: job.Access(one("access", "", "one", "both")), Position: job.Position(one("position", "", "flat", "horizontal", "vertical", "overhead")),
		Restraint: job.Restraint(one("restraint", "", "low", "high")), Loaded: job.Loading(one("loaded", "", "bending", "compression"))}
	it.Crack = job.Crack{Length: q.Known(mm("crack", 20, 400)), Through: job.Answer(one("through", "", "yes")), Ends: job.Ends(one("ends", "", "both", "one", "none", "at-edge")), Others: job.Answer(one("others", "", "no", "yes"))}
	if rapid.Bool().Draw(t, "width known") {
		it.Width = q.Known(3*it.Crack.Length.V + mm("width over three cracks", 1, 300))
	}
	it.History = job.History{Welded: job.Answer(one("welded", "", "no", "yes")), PlateOver: job.Answer(one("plate", "", "no", "yes")), Mirror: job.Answer(one("mirror", "", "no"))}
	if grade := one("grade", "", "A36", "S355", "S690QL"); grade != "" {
		it.Steel = job.Evidence{Grade: grade, GradeBy: "certificate", Magnet: "strong"}
	}
	j := job.Job{Name: "plate", Customer: job.Customer{Authority: job.Yes}, Machine: job.Machine{Kind: "vibrating screen", LiftsPeople: job.No, HangsLoad: job.No, OnRoad: job.No, Blocked: job.Yes},
		Site:  job.Site{Distance: q.Known(q.Length(rapid.Float64Range(1, 200).Draw(t, "distance")) * 1000), DriveTime: q.Known(q.Time(rapid.Float64Range(5, 240).Draw(t, "drive")) * q.Minute), FireBan: job.No, Insured: job.Yes, ConfinedSpace: job.No, Wet: job.Wetness(one("wet", "", "dry", "rain")), Alone: job.Answer(one("alone", "", "yes", "no"))},
		Items: []job.Item{it}}
	if rapid.Bool().Draw(t, "cold") {
		j.Site.Steel = q.Known(q.Temperature(-5))
	}
	return j
}

// pricedShop is the demo shop, now and then with his own figures.
func pricedShop(t *rapid.T, shop *job.Shop) *job.Shop {
	s := *shop
	if rapid.Bool().Draw(t, "own figures") {
		s.Factors = job.Factors{Rods: q.Known(q.Ratio(1.2)), OperatingFactor: q.Known(q.Ratio(0.17)), GougePer100mm: q.Known(45 * q.Second), TorchEfficiency: q.Known(q.Ratio(0.28))}
	}
	return &s
}

func priceOf(t *rapid.T, j job.Job, shop *job.Shop) *plan.Priced {
	a, err := plan.Price(j, shop, q.SI, plan.PriceAsk{Samples: fewDraws})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// notCheaper compares two prices at every share.
func notCheaper(t *rapid.T, what string, a, b *plan.Priced) {
	for _, c := range []struct {
		share    string
		old, now price.Amount
	}{{"as seen", a.Price.Planned, b.Price.Planned}, {"P50", a.Price.P50, b.Price.P50}, {"P80", a.Price.P80, b.Price.P80}, {"P95", a.Price.P95, b.Price.P95}, {"cap", *a.NotToExceed, *b.NotToExceed}} {
		if c.now.Cmp(c.old) < 0 {
			t.Fatalf("%s: %s fell from %s to %s", what, c.share, c.old, c.now)
		}
	}
}

// A longer crack in the job file never lowers the price.
func TestLongerCrackIsNeverCheaper(t *testing.T) {
	shop := demoShop(t)
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		j, s := drawPlate(t), pricedShop(t, shop)
		longer := j
		longer.Items = slices.Clone(j.Items)
		longer.Items[0].Crack.Length.V *= q.Length(rapid.Float64Range(1, 3).Draw(t, "longer"))
		a, b := priceOf(t, j, s), priceOf(t, longer, s)
		if a.Price == nil || b.Price == nil {
			if (a.Price == nil) != (b.Price == nil) {
				t.Fatalf("priced %v with the short crack, %v with the long one", a.Price != nil, b.Price != nil)
			}
			return
		}
		compared++
		notCheaper(t, "a longer crack", a, b)
	})
	if compared < 20 {
		t.Errorf("only %d prices were compared", compared)
	}
}

// A longer way is never cheaper.
func TestFurtherIsNeverCheaper(t *testing.T) {
	shop := demoShop(t)
	rapid.Check(t, func(t *rapid.T) {
		j, s := drawPlate(t), pricedShop(t, shop)
		far := j
		if rapid.Bool().Draw(t, "by time") {
			s.Prices.TravelHour = "75"
			far.Site.DriveTime.V += q.Time(rapid.Float64Range(0, 7200).Draw(t, "longer"))
		} else {
			far.Site.Distance.V += q.Length(rapid.Float64Range(0, 2e5).Draw(t, "further"))
		}
		a, b := priceOf(t, j, s), priceOf(t, far, s)
		if a.Price == nil {
			t.Skip("not priced")
		}
		notCheaper(t, "a longer way", a, b)
	})
}

// What may not be touched adds nothing: not a cent, not a minute, not a rod.
func TestRefusedAddsNothing(t *testing.T) {
	shop := demoShop(t)
	rapid.Check(t, func(t *rapid.T) {
		j, s := drawPlate(t), pricedShop(t, shop)
		mixed := j
		refused := job.Item{Name: "left rim", Part: "wheel rim", Role: "wheel", Thickness: q.Known(13.37 * q.Millimetre), Crack: job.Crack{Length: q.Known(47.77 * q.Millimetre)}}
		mixed.Items = append(slices.Clone(j.Items), refused)
		if rapid.Bool().Draw(t, "refused first") {
			mixed.Items = []job.Item{refused, j.Items[0]}
		}
		a, b := priceOf(t, j, s), priceOf(t, mixed, s)
		if b.Verdict != gate.Refuse {
			t.Fatalf("the rim is not refused: %v", b.Verdict)
		}
		if a.Price == nil {
			t.Skip("not priced")
		}
		if diff := cmp.Diff(a.Price.P80.String(), b.Price.P80.String()); diff != "" || *a.Hours != *b.Hours || a.Bill.Total.Cmp(b.Bill.Total) != 0 {
			t.Fatalf("the refused place is in the price: %s, hours %v and %v", diff, a.Hours, b.Hours)
		}
		if diff := cmp.Diff(a.Load, b.Load); diff != "" {
			t.Fatalf("the refused place is in the load list: %s", diff)
		}
		own := sheet.PriceText(a) + sheet.QuoteText(a.Quote) // the plate's own figures may read the same
		for _, text := range []string{sheet.PriceText(b), sheet.QuoteText(b.Quote)} {
			if found := rim.FindString(text); found != "" && !strings.Contains(own, found) {
				t.Fatalf("the text repeats %q of the refused place", found)
			}
			if !strings.Contains(text, "eft rim") {
				t.Fatal("the refused place is not named")
			}
		}
	})
}

// rim finds the measures of the refused rim.
var rim = regexp.MustCompile(`(^|[^\d.])(13\.4|13\.37|47\.8|47\.77) ?mm`)

// The plan and the price of a job say the same hours and load the same.
func TestPlanAndPriceAgree(t *testing.T) {
	shop := demoShop(t)
	rapid.Check(t, func(t *rapid.T) {
		j, s := drawPlate(t), pricedShop(t, shop)
		if rapid.Bool().Draw(t, "no shop") {
			s = nil
		}
		a := priceOf(t, j, s)
		p, err := plan.Make(j, s, q.SI)
		if err != nil {
			t.Fatal(err)
		}
		if a.Hours == nil {
			if p.Hours != nil || p.Load != nil {
				t.Fatal("the plan has hours, the price has none")
			}
			return
		}
		if diff := cmp.Diff(p.Load, a.Load); diff != "" {
			t.Fatalf("load lists differ: %s", diff)
		}
		all := a.Figures()
		for _, f := range p.Figures() {
			if !strings.HasPrefix(f.ID, "hours.") {
				continue
			}
			i := slices.IndexFunc(all, func(o plan.Figure) bool { return o.ID == f.ID })
			if i < 0 || all[i].Text != f.Text {
				t.Fatalf("%s: the plan says %q, the price does not", f.ID, f.Text)
			}
		}
	})
}

// Laws of the answer over random jobs and shops: figures have a name of their
// own, a basis and finite numbers; the texts keep to the page; JSON comes back.
func TestPriceLaws(t *testing.T) {
	priced, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		j, shop, sys := drawJob(t), drawShop(t), drawSystem(t)
		a, err := plan.Price(j, shop, sys, plan.PriceAsk{Samples: 100})
		if err != nil {
			if strings.Contains(err.Error(), "more than a year") { // metres of crack in a thick block
				return
			}
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, f := range a.Figures() {
			if seen[f.ID] || f.ID == "" || f.Label == "" || f.Text == "" || f.Unit == "" || f.Basis.Title == "" || f.Basis.Ref.Key == "" || f.Basis.Ref.Status == "" {
				t.Fatalf("figure twice, or with a hole: %+v", f)
			}
			seen[f.ID] = true
			for _, v := range []*float64{f.Value, f.Low, f.High} {
				if v != nil && (math.IsNaN(*v) || math.IsInf(*v, 0)) {
					t.Fatalf("%s is %v", f.ID, *v)
				}
			}
			if f.Low != nil && *f.Low > *f.High {
				t.Fatalf("%s from %v down to %v", f.ID, *f.Low, *f.High)
			}
		}
		any := false
		for i, it := range a.Items {
			any = any || it.Priced
			if it.Priced == (len(it.Why) > 0) {
				t.Fatalf("item %d: priced %v, why %q", i+1, it.Priced, it.Why)
			}
			if (it.Verdict == gate.Refuse || it.Verdict == gate.Escalate) && it.Priced {
				t.Fatalf("item %d is %v and priced", i+1, it.Verdict)
			}
		}
		if any != (a.Hours != nil) {
			t.Fatalf("a place is priced: %v, hours: %v", any, a.Hours != nil)
		}
		if any {
			priced++
			paper(t, sheet.QuoteText(a.Quote))
		} else {
			refused++
		}
		paper(t, sheet.PriceText(a))
		data, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		var back plan.Priced
		if err := json.Unmarshal(data, &back); err != nil {
			t.Fatal(err)
		}
		if again, _ := json.Marshal(back); string(again) != string(data) {
			t.Fatalf("the price changes on its way through JSON: %s", cmp.Diff(string(data), string(again)))
		}
	})
	if priced == 0 || refused == 0 {
		t.Errorf("%d jobs priced, %d not: the jobs drawn do not test both", priced, refused)
	}
}

var junk = regexp.MustCompile(`NaN|[+-]Inf|%!|<nil>|\{|\}|(?i)\b(certified|guaranteed?)\b`)

// paper keeps to its width and promises nothing.
func paper(t *rapid.T, text string) {
	for n, line := range strings.Split(text, "\n") {
		if utf8.RuneCountInString(line) > sheet.Columns || junk.MatchString(line) {
			t.Fatalf("line %d: %s", n+1, line)
		}
	}
}

// simulatedHeat is what a simulation may say of the first place of a job.
func simulatedHeat(waited, reheated q.Time) *plan.ThermalAnswer {
	low, high, cool := 120.0, 180.0, 600.0
	return &plan.ThermalAnswer{Items: []plan.ThermalItem{{Number: 1, Beads: []plan.ThermalBead{{Number: 1, Waited: waited / 2}, {Number: 2, Waited: waited / 2, Reheated: reheated}},
		Sections: []plan.Section{{Lines: []plan.Line{{Kind: plan.Number, Figure: &plan.Figure{ID: "1.warm.torch", Low: &low, High: &high}}, {Kind: plan.Number, Figure: &plan.Figure{ID: "1.cool.covered", Value: &cool}}}}}}}}
}

// A simulation of the heat takes the place of the estimate and the allowances;
// more waits or more re-heating are never cheaper.
func TestSimulatedHeatIsPriced(t *testing.T) {
	j, shop := readJob(t, "blade-arm.yaml", demoFile(t, "blade-arm.yaml")), demoShop(t)
	at := func(waited, reheated q.Time) *plan.Priced {
		a, err := plan.Price(j, shop, q.SI, plan.PriceAsk{Samples: fewDraws, Heat: simulatedHeat(waited, reheated)})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	step := func(a *plan.Priced, id string) q.Time {
		for _, s := range a.Estimate.Steps {
			if s.ID == id {
				return s.Time.Likely
			}
		}
		return 0
	}
	a := at(40*q.Minute, 10*q.Minute)
	if !a.Heat || step(a, "waits") != 40*q.Minute || step(a, "reheat") != 10*q.Minute {
		t.Errorf("simulated %v: waits %v, re-heating %v", a.Heat, step(a, "waits"), step(a, "reheat"))
	}
	// twice, before gouging and before welding: 2·√(120·180) s
	if got := float64(step(a, "preheat")); math.Abs(got-2*math.Sqrt(120*180)) > 1e-6 {
		t.Errorf("preheat %v s", got)
	}
	if none := at(0, 0); step(none, "reheat") != 0 || step(none, "waits") != 0 {
		t.Errorf("nothing simulated: waits %v, re-heating %v", step(none, "waits"), step(none, "reheat"))
	}
	for _, b := range []*plan.Priced{at(90*q.Minute, 10*q.Minute), at(40*q.Minute, 50*q.Minute)} {
		if b.Price.P50.Cmp(a.Price.P50) < 0 || b.Price.P95.Cmp(a.Price.P95) < 0 {
			t.Errorf("more heat fell from %s to %s", a.Price.P50, b.Price.P50)
		}
	}
	other := simulatedHeat(0, 0)
	other.Items[0].Number = 7
	if b, err := plan.Price(j, shop, q.SI, plan.PriceAsk{Samples: fewDraws, Heat: other}); err != nil || b.Heat {
		t.Errorf("a simulation of another place is taken: %v, %v", b.Heat, err)
	}
}

// Own figures do not touch the handbook's.
func TestHandbookIsWithoutOwnFigures(t *testing.T) {
	j, shop := readJob(t, "quarry-screen.yaml", demoFile(t, "quarry-screen.yaml")), demoShop(t)
	plain, ok := plan.HandbookOf(j, shop, q.US)
	if !ok || plain.Rods < 10 || plain.Bead < q.Minute || plain.Gouge <= 0 || plain.Torch <= 0 {
		t.Fatalf("handbook %+v, %v", plain, ok)
	}
	shop.Factors = job.Factors{Rods: q.Known(q.Ratio(1.5)), OperatingFactor: q.Known(q.Ratio(0.1)), GougePer100mm: q.Known(90 * q.Second), TorchEfficiency: q.Known(q.Ratio(0.1))}
	own, _ := plan.HandbookOf(j, shop, q.US)
	if own != plain {
		t.Errorf("with own figures %+v, without %+v", own, plain)
	}
	fork := readJob(t, "fork.yaml", demoFile(t, "fork.yaml"))
	if _, ok := plan.HandbookOf(fork, shop, q.US); ok {
		t.Error("the refused fork has handbook figures")
	}
}

// A finished job is held against what the file says was planned, else against
// the handbook's figure of the job.
func TestActualOf(t *testing.T) {
	h := &plan.Handbook{Rods: 60, Bead: 14 * q.Minute, Gouge: 30 * q.Second}
	d := job.Done{Name: "one", Rods: job.Counted{Used: q.Known(66.0)}, Bead: job.Timed{Planned: q.Known(10 * q.Minute), Used: q.Known(12 * q.Minute)}}
	a, err := plan.ActualOf(d, h)
	if err != nil || a.Rods != (price.Pair[float64]{Handbook: 60, Actual: 66}) || a.Bead.Handbook != 10*q.Minute || a.Gouge != (price.Pair[q.Time]{}) {
		t.Errorf("got %+v, %v", a, err)
	}
	d.Torch.Used = q.Known(5 * q.Minute)
	if _, err := plan.ActualOf(d, h); err == nil || !strings.Contains(err.Error(), "torch") {
		t.Errorf("a torch that was not planned: %v", err)
	}
	if _, err := plan.ActualOf(job.Done{File: "x.yaml", Rods: job.Counted{Used: q.Known(5.0)}}, nil); err == nil || !strings.HasPrefix(err.Error(), "x.yaml: ") {
		t.Errorf("no plan at all: %v", err)
	}
}

// What is learned goes into the shop file and is read there again.
func TestLearnedFactorsAreReadAgain(t *testing.T) {
	h := price.Pair[q.Time]{Handbook: 10 * q.Minute, Actual: 12 * q.Minute}
	a, err := plan.Learn([]price.Actual{{Name: "one", Rods: price.Pair[float64]{Handbook: 40, Actual: 50}, Bead: h, Gouge: price.Pair[q.Time]{Handbook: 30 * q.Second, Actual: 40 * q.Second}, Torch: h}}, demoShop(t), q.US)
	if err != nil {
		t.Fatal(err)
	}
	text := "units: us\nfactors:\n"
	for _, f := range a.Factors {
		text += "  " + f.Key + ": " + f.Value + "\n"
	}
	s, err := job.ReadShop("shop.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	// by hand: weight 1/6 on each; rods exp(ln 1.25/6) = 1.0379; beads and torch
	// exp(ln 1.2/6) = 1.0309: 20 % / 1.0309 = 19.4 %; gouge 30·exp(ln 1.3333/6) = 31.5 s
	for what, c := range map[string][2]float64{"rods": {float64(s.Factors.Rods.V), 1.038}, "operating factor": {float64(s.Factors.OperatingFactor.V), 0.194},
		"torch": {float64(s.Factors.TorchEfficiency.V), 0.291}, "gouge": {float64(s.Factors.GougePer100mm.V) / 31, 1}} {
		if d := math.Abs(c[0] - c[1]); d > 0.04*c[1] {
			t.Errorf("%s: got %v, want %v", what, c[0], c[1])
		}
	}
}

// BenchmarkPrice is the price of the job of BenchmarkPlan.
func BenchmarkPrice(b *testing.B) {
	j, shop := readJob(b, "three.yaml", threeItems), demoShop(b)
	for b.Loop() {
		if _, err := plan.Price(j, shop, q.US, plan.PriceAsk{}); err != nil {
			b.Fatal(err)
		}
	}
}
