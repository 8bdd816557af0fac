package strength

import (
	"math"
	"testing"
	"time"

	"soundmetal/heat"
	"soundmetal/job"
	q "soundmetal/quantity"
)

// Source: lognormal quantiles; scatter by JCSS (coefficient of variation 0.6 of
// the growth constant; 0.10 global, 0.20 local, 0.20 stress intensity). Check U1.
func TestPublishedScatter(t *testing.T) {
	s := math.Hypot(fig("crack_law_scatter"), 3*math.Hypot(float64(StressScatter()), fig("stress_k_cov")))
	law, err := findLaw(LawInput{Law: TwoStageMean})
	if err != nil {
		t.Fatal(err)
	}
	measured := math.Hypot(law.spread2, 3*fig("stress_measured"))
	before := func(n, n50, s float64) float64 { return normalCDF(math.Log(n/n50) / s) }
	run(t, []check{
		{"scatter of ln A from its coefficient of variation", math.Sqrt(math.Log1p(0.6 * 0.6)), fig("crack_law_scatter"), 2e-3},
		{"s by hand", s, 1.05, 0.01},
		{"U1 one in a hundred", math.Exp(-z99 * 1.05), 0.087, 0.01},
		{"one in twenty", math.Exp(-z95 * 1.05), 0.178, 0.01},
		{"s with a measured range", measured, 0.60, 0.01},
		{"one in a hundred, measured", math.Exp(-z99 * 0.60), 0.249, 0.01},
		{"10 000 cycles of a median of 40 000, by hand", before(10000, 40000, 1.05), 0.093, 0.01},
		{"10 000 cycles of a median of 40 000, measured", before(10000, 40000, 0.60), 0.010, 0.05},
	})
}

// Source: BS 7910 family, worked case: flange 300 mm wide, through crack of 40 mm,
// range 80, highest 120 MPa, S355, 27 J; 180 cycles an hour, 30 h. Check F5 with
// the lights.
func TestPublishedFriday(t *testing.T) {
	kmat := must(CharpyToughness(27, 20*mm))
	in := FridayInput{Crack: CrackCase{Geometry: Through, A: 20 * mm, Width: 300 * mm, Thickness: 20 * mm},
		Load: LoadOf(80*mpas, StressScatter(), 180, 0.01, false), Peak: 120 * mpas, Yield: 355 * mpas, Tensile: 490 * mpas,
		Toughness: q.At(kmat), Residual: q.Of[q.Stress]{Low: 0, High: 120 * mpas}, Need: 30 * q.Hour}
	a := must(UntilFriday(in))
	want := []struct {
		critical, median, upper, risk1 float64
		light                          Light
	}{
		{61.8, 2.31e5, 1.05e5, 20000, Amber},
		{34.9, 1.35e5, 6.15e4, 11800, Amber},
		{21.0, 1.29e4, 5.9e3, 1100, Red}, // median printed as 1.31e4, 1.5 % high: its critical size was rounded first
	}
	var checks []check
	for i, r := range a.Rows {
		name := "residual " + num(r.Residual.MPa()) + ": "
		checks = append(checks, check{name + "critical", r.Critical.MM(), want[i].critical, 0.01},
			check{name + "median cycles", float64(r.Cycles), want[i].median, 0.01},
			check{name + "cycles, +2SD", float64(r.Upper), want[i].upper, 0.01},
			check{name + "cycles at 1 %", float64(r.Risk1), want[i].risk1, 0.03})
		if r.Light != want[i].light {
			t.Errorf("%slight %s, want %s", name, r.Light, want[i].light)
		}
	}
	run(t, checks)
	if a.Verdict != StopNow || a.Hours != 0 || len(a.Reasons) == 0 || len(a.Sharpen) == 0 {
		t.Errorf("residual up to 120: got %s, %v h, reasons %v; want stop now with reasons and facts", a.Verdict, a.Hours.Hours(), a.Reasons)
	}
	in.Residual.High = 60 * mpas
	a = must(UntilFriday(in))
	if a.Verdict != LimitedHours || a.Light != Amber || a.Hours < 30*q.Hour || a.Hours > 11800.0/180*q.Hour {
		t.Errorf("residual up to 60: got %s, %s, %.0f h; want limited hours, amber, between the 30 h wanted and the 1 %% life", a.Verdict, a.Light, a.Hours.Hours())
	}
	in.Load = LoadOf(80*mpas, Spread(fig("stress_measured")), 180, 0.01, true)
	if b := must(UntilFriday(in)); b.Life.Risk1 < 2*a.Life.Risk1 {
		t.Errorf("measured strain: 1 %% life %.0f h, want well above %.0f h", b.Life.Risk1.Hours(), a.Life.Risk1.Hours())
	}
}

// Source: S-N curve turned round, worked: FAT 63, 8000 h at 180 an hour.
func TestPublishedLoadFromCrack(t *testing.T) {
	origin := Origin{Detail: "fillet-shear", FAT: q.At(63 * mpas), Mid: 63 * mpas, Ref: OriginOf("").Ref}
	l := must(LoadFromCrack(LoadInput{Origin: origin, Hours: q.Known(8000 * q.Hour), Duty: DutyOf("excavator"), Counted: q.Known(PerHour(180))}))
	run(t, []check{
		{"median range", l.Median.MPa(), 96, 0.005},
		{"10^(2SD/3)", math.Pow(10, 2*fig("sn_sd")/3), 1.37, 2e-3},
		{"5.25 million cycles at 180 an hour", 5.25e6 / 180, 29000, 0.01}, // published design life of an excavator arm
	})
}

// Source: trade figures of cycle times.
func TestPublishedDuty(t *testing.T) {
	for _, r := range []struct {
		kind      string
		low, high PerHour
	}{
		{"tracked excavator", 120, 240}, {"Wheel loader", 90, 140}, {"haul truck", 2, 6}, {"tipper truck", 2, 6}, {"bulldozer", 60, 120},
		{"mobile crane", 5, 20}, {"hydraulic breaker on an excavator", 24000, 60000}, {"forestry carrier with front blade", 30, 150}, {"thing", 5, 240},
	} {
		if d := DutyOf(r.kind); d.Main.Low != r.low || d.Main.High != r.high {
			t.Errorf("%s: got %v to %v, want %v to %v", r.kind, d.Main.Low, d.Main.High, r.low, r.high)
		}
	}
}

// Sources: equal lives on the IIW curve; AWS D1.1 table 7.7 and edge rule.
func TestPublishedPlate(t *testing.T) {
	limit := func(weld, end float64) float64 { return float64(must(PlateEndLimit(mpa(weld), mpa(end)))) }
	checks := []check{
		{"end limit against a flush weld", limit(112, 50), 0.45, 0.01},
		{"end limit against one side with backing", limit(71, 50), 0.70, 0.01},
		// worked: 140 kN, throat 6, 100 MPa
		{"weld of each side for 140 kN", 140e3 / (2 * 6 * fig("plate_shear")), 117, 0.01},
	}
	if limit(36, 50) < 1 {
		t.Error("against an unproven root a plate's end is never worse")
	}
	for _, r := range []struct{ plate, part, least, most float64 }{
		{5, 6, 5, 5}, {8, 10, 5, 6}, {10, 16, 5, 8}, {15, 20, 6, 13}, {25, 30, 8, 23}, {20, 25, 6, 18},
	} {
		f := must(FilletLimits(millis(r.plate), millis(r.part), true))
		name := "fillet " + num(r.plate) + " on " + num(r.part)
		checks = append(checks, check{name + " least", f.Least.MM(), r.least, 0}, check{name + " most", f.Most.MM(), r.most, 0})
	}
	run(t, checks)
	if _, err := DesignPlate(PlateInput{Thickness: 16 * mm, Width: 300 * mm, Weld: 112 * mpas}); err != ErrCrackLeftIn {
		t.Errorf("a plate over a crack that is left in: got %v, want the refusal", err)
	}
}

// Source: EN 1993-1-9 table 8.5 notes, AISC 360 F13.3, trade practice: every plate
// keeps the rules it prints.
func TestPublishedPlateRules(t *testing.T) {
	p := must(DesignPlate(PlateInput{CrackRemoved: true, Thickness: 16 * mm, Width: 300 * mm, Stock: q.SI, LowHydrogen: true, Weld: 71 * mpas,
		Peak: q.Known(100 * mpas), FadesIn: q.Known(2000 * mm)}))
	if p.Length < 300*mm || p.Width+2*(p.Leg+10*mm) > 300*mm+1*mm || p.Nose < 25*mm || p.Nose > 50*mm ||
		p.Thickness > 16*mm || p.Thickness < 8*mm || p.Leg < 5*mm || p.Leg > p.Thickness-2*mm || p.Stop < 50*mm {
		t.Errorf("the plate breaks a rule of its own: %+v", p)
	}
	if p.Worse || p.EndShare > p.EndLimit {
		t.Errorf("room enough and yet the end sits at %.2f of the stress, limit %.2f", float64(p.EndShare), float64(p.EndLimit))
	}
	// the outline closes, is symmetric and stays inside length and width
	for i, pt := range p.Outline {
		if math.Abs(float64(pt.X)) > float64(p.Length/2)+1e-9 || math.Abs(float64(pt.Y)) > float64(p.Width/2)+1e-9 {
			t.Errorf("outline point %d at %v is outside the plate", i, pt)
		}
	}
	if first, last := p.Outline[0], p.Outline[len(p.Outline)-1]; math.Hypot(float64(first.X-last.X), float64(first.Y-last.Y)) > 1e-9 {
		t.Errorf("the outline does not close: %v to %v", first, last)
	}
}

// Source: Fisher and NCHRP 336 rule (from memory). Check H1 and the worked table.
func TestPublishedStopHole(t *testing.T) {
	radius := func(ds, l, sy float64) StopHoleSize {
		return must(StopHole(StopHoleInput{Range: mpa(ds), Length: millis(l), Yield: mpa(sy), Includes: true}))
	}
	rule := func(dk, sy float64) float64 { return 1000 * math.Pow(dk/(fig("hole_rule")*math.Sqrt(sy)), 2) }
	small, long := radius(60, 60, 355), radius(60, 200, 355)
	run(t, []check{
		{"H1 ΔK 20, yield 355", rule(20, 355), 10.2, 0.01},
		{"H1 ΔK 20, yield 690", rule(20, 690), 5.26, 0.01},
		{"60 MPa 60 mm: ΔK", float64(small.Intensity / rootMPa), 18.4, 0.01},
		{"60 MPa 60 mm: ρ", small.Needed.MM(), 8.7, 0.01},
		{"60 MPa 60 mm: laboratory rule", small.Laboratory.MM(), 1.4, 0.03},
		{"60 MPa 200 mm: ΔK", float64(long.Intensity / rootMPa), 33.6, 0.01},
		{"60 MPa 200 mm: ρ", long.Needed.MM(), 29, 0.01},
		{"60 MPa 200 mm: laboratory rule", long.Laboratory.MM(), 4.6, 0.02},
		{"100 MPa 100 mm: ρ", rule(39.6, 355), 40, 0.01},
		{"smallest drill", small.Diameter.MM(), 25, 0},
	})
	if _, err := StopHole(StopHoleInput{Range: 100 * mpas, Length: 100 * mm, Yield: 355 * mpas, Includes: true}); err == nil {
		t.Error("100 MPa on 100 mm: a hole of 80 mm was not called out of range")
	}
}

// Sources: Masubuchi, Blodgett, Okerblom (from memory); Ito and Bessyo (heat room).
// Checks D1, D2, D3 and the worked rows.
func TestPublishedShrinkage(t *testing.T) {
	tan30 := math.Tan(math.Pi / 6)
	v20, x20, v12 := 400*tan30+20*3, 2*100*tan30+20*3, 144*tan30+12*2
	across := func(a, thick, gap float64) Movement {
		return must(ButtShrinkage(q.Area(a)*q.SquareMillimetre, millis(thick), millis(gap)))
	}
	bow := must(Bow(BowInput{Weld: 40 * q.SquareMillimetre, Distance: 150 * mm, Length: 3000 * mm, I: 2.64e8 * mm4, Heat: 0.768 * q.KilojoulePerMillimetre}))
	r := func(l float64) Restrained {
		return must(Restraint(RestraintInput{Thickness: 20 * mm, Between: q.Known(millis(l)), Shrinkage: 2.77 * mm, Yield: 355 * mpas}))
	}
	pw := func(k float64) float64 {
		return must(heat.PreheatItoBessyo(heat.ItoInput{Pcm: 0.25, Hydrogen: 4, Glycerine: true, Thickness: 20 * mm, Restraint: q.Known(mpa(k))})).C()
	}
	run(t, []check{
		{"D1 V60 t20 gap 3: area", v20, 290.9, 1e-3},
		{"D1 V60 t20 gap 3", across(v20, 20, 3).Likely.MM(), 2.77, 5e-3},
		{"X60 t20: area", x20, 175.5, 1e-3},
		{"X60 t20", across(x20, 20, 3).Likely.MM(), 1.73, 5e-3},
		{"V60 t12 gap 2: area", v12, 107.1, 1e-3},
		{"V60 t12 gap 2", across(v12, 12, 2).Likely.MM(), 1.71, 5e-3},
		{"bow by weld area", bow.Band.High.MM(), 1.02, 5e-3},
		{"bow by force", bow.Band.Low.MM(), 0.39, 0.01},
		{"tilt of a 12 × 305 flange with an 8 mm fillet", must(FilletTilt(305*mm, 8*mm, 12*mm)).Likely.MM(), 6.1, 0.01},
		{"D3 restraint intensity", r(500).Intensity.MPa(), 8240, 1e-9},
		{"restraint intensity at 200 mm", r(200).Intensity.MPa(), 20600, 1e-9},
		{"reaction before yield", r(500).Intensity.MPa() * 2.77 / 20, 1141, 1e-3},
		{"reaction, at most yield", r(500).Reaction.MPa(), 355, 1e-9},
		{"D2 at 8240", pw(r(500).Intensity.MPa()), 94, 1.0 / 94},
		{"D2 at 20 600", pw(r(200).Intensity.MPa()), 138, 1.0 / 138},
		{"at 8000", pw(8000), 93, 1.0 / 93},
		{"at 14 000", pw(14000), 114, 1.0 / 114},
	})
	band := across(v20, 20, 3).Band
	for name, v := range map[string]float64{"other printing 0.20": 3.06, "quick rule 0.10": 1.45} {
		if !band.Has(millis(v + 0.005)) { // printed to two decimals
			t.Errorf("%s: %.2f mm is outside the band %.2f to %.2f", name, v, band.Low.MM(), band.High.MM())
		}
	}
}

// Source: restraint of 400·t for usual and 700·t for severe structures.
func TestRestraintClass(t *testing.T) {
	for _, r := range []struct {
		name string
		in   RestraintInput
		want job.Restraint
	}{
		{"just below usual", RestraintInput{Thickness: 20 * mm, Between: q.Known(520 * mm)}, job.LowRestraint},
		{"usual", RestraintInput{Thickness: 20 * mm, Between: q.Known(510 * mm)}, job.MediumRestraint},
		{"severe", RestraintInput{Thickness: 20 * mm, Between: q.Known(290 * mm)}, job.HighRestraint},
		{"insert in a plate", RestraintInput{Thickness: 20 * mm, Between: q.Known(2000 * mm), Insert: true}, job.HighRestraint},
		{"one side free", RestraintInput{Thickness: 20 * mm, Free: true}, job.LowRestraint},
		{"not known", RestraintInput{Thickness: 20 * mm}, job.MediumRestraint},
	} {
		if got := must(Restraint(r.in)); got.Class != r.want {
			t.Errorf("%s: got %s, want %s", r.name, got.Class, r.want)
		}
	}
}

// Source: findable sizes and first looks of the trade.
func TestNextLook(t *testing.T) {
	start := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	in := LookInput{Method: "magnetic", Surface: "ground", Width: 300 * mm, Thickness: 16 * mm, Load: LoadOf(60*mpas, 0.2, 180, 0.1, false),
		Yield: 355 * mpas, Tensile: 490 * mpas, Toughness: q.At(100 * q.MPaRootMetre), Residual: q.Of[q.Stress]{Low: 0, High: 200 * mpas},
		Repair: Life{Risk1: 900 * q.Hour}, Start: q.Known(start), PerWeek: q.Known(50 * q.Hour)}
	p := must(NextLook(in))
	if p.Interval.Low <= 0 || p.Interval.High < p.Interval.Low || p.Interval.High > 900*q.Hour {
		t.Errorf("interval %.0f to %.0f h: want a range within the 1 %% life of 900 h", p.Interval.Low.Hours(), p.Interval.High.Hours())
	}
	if first := p.Looks[0].Date.V; !first.Equal(start.AddDate(0, 0, 2)) {
		t.Errorf("first look on %s, want two days after welding", first.Format(time.DateOnly))
	}
	for i := 1; i < len(p.Looks); i++ {
		l := p.Looks[i]
		want := start.AddDate(0, 0, int(7*l.After.Hours()/50))
		if !l.Date.Known || l.Date.V.After(want) {
			t.Errorf("%s: %s, want no later than %s", l.Text, l.Date.V.Format(time.DateOnly), want.Format(time.DateOnly))
		}
	}
	for _, r := range []struct {
		method, surface string
		want            float64
	}{{"eye", "painted", 25}, {"eye", "bare", 10}, {"dye", "", 5}, {"magnetic", "as-welded", 3}, {"magnetic", "ground", 1.5}, {"ultrasonic", "", 30}} {
		l, _, _, err := Findable(r.method, r.surface)
		if err != nil || math.Abs(l.MM()-r.want) > 1e-9 {
			t.Errorf("%s %s: got %v mm (%v), want %v", r.method, r.surface, l.MM(), err, r.want)
		}
	}
}
