package strength

import (
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"

	"pgregory.net/rapid"
)

func drawFrom(t *rapid.T, name string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, name)
}

// pair draws two values, the first not above the second.
func pair(t *rapid.T, name string, low, high float64) (a, b float64) {
	a, b = drawFrom(t, name+" one", low, high), drawFrom(t, name+" two", low, high)
	return min(a, b), max(a, b)
}

func TestLifeFallsWithRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fat := drawFrom(t, "FAT", 36, 160)
		low, high := pair(t, "range", 10, 300)
		knee := rapid.SampledFrom([]string{"iiw", "iiw-constant", "none"}).Draw(t, "knee")
		a, errA := FatigueLife(LifeInput{FAT: mpa(fat), Range: mpa(low), Knee: knee})
		b, errB := FatigueLife(LifeInput{FAT: mpa(fat), Range: mpa(high), Knee: knee})
		if errA == nil && errB == nil && b.Value > a.Value*(1+1e-12) {
			t.Fatalf("FAT %v: %v cycles at %v MPa, %v at %v", fat, a.Value, low, b.Value, high)
		}
	})
}

func TestStressAndLifeAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fat, n := drawFrom(t, "FAT", 36, 160), drawFrom(t, "cycles", 1e4, 1e8)
		s := must(StressFromLife(mpa(fat), Cycles(n), "iiw"))
		back := must(FatigueLife(LifeInput{FAT: mpa(fat), Range: s * (1 - 1e-12)}))
		if r := float64(back) / n; r < 1-1e-9 || r > 1+1e-9 {
			t.Fatalf("%v cycles came back as %v", n, back)
		}
	})
}

func TestGrowthFallsWithRangeAndCrack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom([]Geometry{Through, Edge, EdgeBending, HoleOne, HoleBoth}).Draw(t, "geometry")
		law := rapid.SampledFrom(Laws()).Draw(t, "law")
		low, high := pair(t, "range", 10, 200)
		short, long := pair(t, "a1", 1, 30)
		n := func(a, ds float64) float64 {
			return float64(must(CrackGrowth(GrowthInput{Geometry: g, A1: millis(a), A2: 40 * mm, Width: 200 * mm, Radius: 10 * mm, Range: mpa(ds), Law: LawInput{Law: law}})))
		}
		base := n(short, low)
		if n(short, high) > base*(1+1e-6) || n(long, low) > base*(1+1e-6) {
			t.Fatalf("%s %s: %v cycles; more range %v, longer crack %v", g, law, base, n(short, high), n(long, low))
		}
	})
}

func TestCriticalSizeFallsWithLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom([]Geometry{Through, Edge, EdgeBending}).Draw(t, "geometry")
		peakA, peakB := pair(t, "peak", 20, 250)
		resA, resB := pair(t, "residual", 0, 300)
		kA, kB := pair(t, "toughness", 30, 200)
		a := func(peak, res, k float64) float64 {
			return must(CriticalSize(FractureInput{Geometry: g, Width: 250 * mm, Peak: mpa(peak), Residual: mpa(res),
				Toughness: q.StressIntensity(k) * rootMPa, Yield: 300 * mpas, Tensile: 450 * mpas})).MM()
		}
		base := a(peakA, resA, kB) * (1 + 1e-6)
		if a(peakB, resA, kB) > base || a(peakA, resB, kB) > base || a(peakA, resA, kA) > base {
			t.Fatalf("%s: %v mm grows with load, residual stress or brittleness", g, base)
		}
	})
}

// exampleFriday is a crack whose answer depends on everything.
func exampleFriday(half, width, ds float64, load Load, need float64) FridayInput {
	return FridayInput{Crack: CrackCase{Geometry: Through, A: millis(half), Width: millis(width), Thickness: 16 * mm}, Load: load, Peak: mpa(1.5 * ds),
		Yield: 300 * mpas, Tensile: 450 * mpas, Toughness: q.Of[q.StressIntensity]{Low: 80 * rootMPa, High: 150 * rootMPa},
		Residual: q.Of[q.Stress]{Low: 0, High: 60 * mpas}, Need: q.Time(need) * q.Hour, Draws: 1000, Seed: 1}
}

func TestFridayNeverGetsBetter(t *testing.T) {
	rank := map[Light]int{Green: 0, Amber: 1, Red: 2}
	rapid.Check(t, func(t *rapid.T) {
		shortA, longA := pair(t, "half length", 2, 60)
		lowR, highR := pair(t, "range", 20, 120)
		few, many := pair(t, "need", 5, 500)
		answer := func(a, ds, need float64) FridayAnswer {
			return must(UntilFriday(exampleFriday(a, 300, ds, LoadOf(mpa(ds), 0.2, 150, 0.2, false), need)))
		}
		base := answer(shortA, lowR, few)
		for name, w := range map[string]FridayAnswer{"longer crack": answer(longA, lowR, few), "higher range": answer(shortA, highR, few), "more hours wanted": answer(shortA, lowR, many)} {
			if rank[w.Light] < rank[base.Light] {
				t.Fatalf("%s: %s after %s", name, w.Light, base.Light)
			}
			if w.Life.Risk5 > base.Life.Risk5*1.001+1e-3*q.Hour {
				t.Fatalf("%s: 5 %% life %v h after %v h", name, w.Life.Risk5.Hours(), base.Life.Risk5.Hours())
			}
		}
		if base.Light == Red && base.Verdict != StopNow {
			t.Fatalf("red and yet %s", base.Verdict)
		}
	})
}

func TestMoreScatterNeverLengthens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		small, large := pair(t, "scatter of the range", 0.05, 0.5)
		smallR, largeR := pair(t, "scatter of the rate", 0.05, 1)
		ds := drawFrom(t, "range", 20, 100)
		life := func(s, r float64) (welded, plated, crack float64) {
			load := LoadOf(mpa(ds), Spread(s), 150, Spread(r), false)
			weld := []place{{name: "weld", fat: 71, ratio: 0.7}}
			plate := []place{{name: "weld", fat: 71, ratio: 0.7}, {name: "end", fat: 50, ratio: 0.6}, {name: "shear", fat: 80, ratio: 0.5, shear: true}}
			w, _ := load.life(weld)
			p, _ := load.life(plate)
			f, err := newFriday("test", exampleFriday(10, 300, ds, load, 10))
			if err != nil {
				t.Fatal(err)
			}
			c, _ := f.drawLives()
			return w.Risk5.Hours(), p.Risk5.Hours(), c.Risk5.Hours()
		}
		w0, p0, c0 := life(small, smallR)
		for _, more := range [][2]float64{{large, smallR}, {small, largeR}, {large, largeR}} {
			w, p, c := life(more[0], more[1])
			// the quadrature is good to 1e-5, the drawn lives to 1 %
			if w > w0*(1+1e-5) || p > p0*(1+1e-5) || c > c0*1.01+0.01 {
				t.Fatalf("range scatter %v to %v, rate %v to %v: weld %v to %v, plate %v to %v, crack %v to %v", small, more[0], smallR, more[1], w0, w, p0, p, c0, c)
			}
		}
	})
}

func TestPlateEndNeverImprovesAtHigherStress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, high := pair(t, "share of the stress at the end", 0.1, 1)
		hours, rate := drawFrom(t, "hours", 50, 20000), drawFrom(t, "cycles an hour", 5, 60000)
		load := must(LoadFromCrack(LoadInput{Origin: OriginOf("plate-end"), Hours: q.Known(q.Time(hours) * q.Hour), Duty: DutyOf("excavator"), Counted: q.Known(PerHour(rate))}))
		life := func(share float64) Life {
			for _, o := range must(CompareRepairs(RepairsInput{Load: load, Access: job.BothSides, Thickness: 16 * mm, Width: q.Known(300 * mm), EndShare: q.Known(q.Ratio(share))})) {
				if o.ID == "plate-moved" {
					return o.Life
				}
			}
			panic("no plate-moved")
		}
		a, b := life(low), life(high)
		if b.Risk5 > a.Risk5*(1+1e-5) || b.Median > a.Median*(1+1e-5) {
			t.Fatalf("end at %v of the stress: %v h; at %v: %v h", low, a.Risk5.Hours(), high, b.Risk5.Hours())
		}
	})
}

func TestLoadFallsWithHoursAndFollowsAMeasurement(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		few, many := pair(t, "hours", 20, 30000)
		in := LoadInput{Origin: OriginOf("weld-toe"), Duty: DutyOf("loader")}
		load := func(h, measured float64) Load {
			in.Hours = q.Known(q.Time(h) * q.Hour)
			in.Measured = q.Maybe[q.Stress]{V: mpa(measured), Known: measured > 0}
			return must(LoadFromCrack(in))
		}
		a, b := load(few, 0), load(many, 0)
		if b.Median > a.Median {
			t.Fatalf("%v h: %v MPa; %v h: %v MPa", few, a.Median.MPa(), many, b.Median.MPa())
		}
		m := drawFrom(t, "measured", 20, 200)
		c := load(few, m)
		if c.Scatter > a.Scatter || c.Median > max(a.Median, mpa(m))*(1+1e-12) || c.Median < min(a.Median, mpa(m))*(1-1e-12) {
			t.Fatalf("crack says %v ± %v, gauge %v, together %v ± %v", a.Median.MPa(), a.Scatter, m, c.Median.MPa(), c.Scatter)
		}
	})
}

// The cycles in an hour hardly matter to a life in hours: they cancel.
func TestLifeInHoursDoesNotFeelTheRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slow, fast := pair(t, "cycles an hour", 20, 300)
		life := func(rate float64) Life {
			l := must(LoadFromCrack(LoadInput{Origin: OriginOf("weld-toe"), Hours: q.Known(2000 * q.Hour), Duty: DutyOf("excavator"), Counted: q.Known(PerHour(rate))}))
			o, _ := l.life([]place{{name: "weld", fat: 71, ratio: 1}})
			return o
		}
		a, b := life(slow), life(fast)
		if r := float64(a.Risk5 / b.Risk5); r < 0.999 || r > 1.001 {
			t.Fatalf("at %v an hour %v h, at %v %v h", slow, a.Risk5.Hours(), fast, b.Risk5.Hours())
		}
	})
}

func TestRainflowKeepsThePath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		history := rapid.SliceOfN(rapid.Map(rapid.IntRange(-100_000, 100_000), func(n int) float64 { return float64(n) / 1024 }), 2, 60).Draw(t, "history") // differences are exact
		r, err := Rainflow(history)
		if err != nil {
			t.Skip("flat history")
		}
		points := reversals(history)
		var counted, largest, span float64
		low, high := points[0], points[0]
		for _, c := range r.Value {
			counted += c.Count
			largest = max(largest, c.Range)
		}
		for _, p := range points {
			low, high = min(low, p), max(high, p)
		}
		span = high - low
		// every reversal ends half a cycle, and the largest range is the whole span
		if want := float64(len(points)-1) / 2; counted != want || largest < span-1e-9 || largest > span+1e-9 {
			t.Fatalf("%v cycles of %v; largest range %v of %v", counted, want, largest, span)
		}
	})
}

func TestSurfaceIntensityRisesWithDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawFrom(t, "half length", 8, 12)
		a1, a2 := pair(t, "depth", 2.5, 12)
		k := func(a float64) float64 {
			return kMM(must(SurfaceIntensity(SurfaceInput{millis(a), millis(c), 20 * mm, 200 * mm, 0, 100 * mpas, 0})))
		}
		if k(a2) < k(a1)*(1-1e-9) {
			t.Fatalf("c %v: K at the surface falls from %v to %v as the depth grows from %v to %v", c, k(a1), k(a2), a1, a2)
		}
	})
}
