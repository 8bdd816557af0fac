package heat

import (
	"math"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"

	"pgregory.net/rapid"
)

// The larger of the two cooling time forms is the one that the transition
// thickness picks, and it is continuous there.
func TestCoolingIsTheLargerForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := CoolingInput{q.Temperature(rapid.Float64Range(-20, 350).Draw(t, "T0")), kjmm(rapid.Float64Range(.2, 5).Draw(t, "Q")),
			mm(rapid.Float64Range(2, 100).Draw(t, "d")), q.Ratio(rapid.Float64Range(.45, 1).Draw(t, "F2")), q.Ratio(rapid.Float64Range(.67, 1).Draw(t, "F3"))}
		got, err := CoolingTime(in)
		if err != nil {
			t.Fatal(err)
		}
		t3, t2 := got.Basis.Steps[0].Value, got.Basis.Steps[1].Value
		if v := float64(got.Value.Time); math.Abs(v-max(t2, t3)) > 1e-9*v {
			t.Fatalf("t8/5 %v, forms %v and %v", v, t3, t2)
		}
	})
}

// Heat input for a cooling time is the inverse of the cooling time.
func TestCoolingInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start, d := q.Temperature(rapid.Float64Range(0, 300).Draw(t, "T0")), mm(rapid.Float64Range(3, 80).Draw(t, "d"))
		f := q.Ratio(rapid.Float64Range(.67, 1).Draw(t, "F"))
		want := rapid.Float64Range(1, 60).Draw(t, "t8/5")
		h, err := HeatInputForCoolingTime(q.At(q.Time(want)), start, d, f, f)
		if err != nil {
			t.Fatal(err)
		}
		back, err := CoolingTime(CoolingInput{start, h.Value.High, d, f, f})
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(back.Value.Time); math.Abs(got-want) > 1e-9*want {
			t.Fatalf("%v s needs %v, which gives %v s", want, h.Value.High, got)
		}
	})
}

// Slower cooling never gives a harder steel, and the band holds the figure.
func TestHardnessFallsWithTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		el := func(name string, most float64) q.Percent { return q.Percent(rapid.Float64Range(0, most).Draw(t, name)) }
		s := steel(Steel{C: .03 + el("C", .5), Si: el("Si", .6), Mn: .3 + el("Mn", 1.2), Cr: el("Cr", 1), Mo: el("Mo", .5), V: el("V", .1), Ni: el("Ni", 1.5), B: el("B", .003)})
		fast := rapid.Float64Range(2, 60).Draw(t, "t")
		slow := fast * rapid.Float64Range(1, 5).Draw(t, "times")
		a, errA := HAZHardness(HardnessInput{Steel: s, Cooling: q.Time(fast)})
		b, errB := HAZHardness(HardnessInput{Steel: s, Cooling: q.Time(slow)})
		if errA != nil || errB != nil {
			if (errA == nil) != (errB == nil) {
				t.Fatalf("refused at one cooling time only: %v, %v", errA, errB)
			}
			return
		}
		if b.Value.HV > a.Value.HV+1e-9 || b.Value.Low > a.Value.Low+1e-9 || b.Value.High > a.Value.High+1e-9 {
			t.Fatalf("harder when cooled slower: %+v, then %+v", a.Value, b.Value)
		}
		if v := a.Value; v.Low > v.HV || v.HV > v.High {
			t.Fatalf("band %+v does not hold its own figure", v)
		}
	})
}

// Hydrogen leaves with time and heat, never comes back, and leaves the middle last.
func TestHydrogenLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := HydrogenInput{Temperature: q.Temperature(rapid.Float64Range(0, 395).Draw(t, "T")), Time: q.Time(rapid.Float64Range(0, 100).Draw(t, "h")) * q.Hour,
			Thickness: mm(rapid.Float64Range(2, 200).Draw(t, "L")), Sealed: rapid.Bool().Draw(t, "sealed")}
		a, err := HydrogenLeft(in)
		if err != nil {
			t.Fatal(err)
		}
		v := a.Value
		if !(v.Mean >= -1e-12 && v.Mean <= v.Centre+1e-12 && v.Centre <= 1+1e-9 && v.Mean <= v.MeanSlow+1e-12) {
			t.Fatalf("%+v", v)
		}
		later, hotter, thicker := in, in, in
		later.Time += q.Hour
		hotter.Temperature += 5
		thicker.Thickness += mm(1)
		for name, other := range map[string]HydrogenInput{"later": later, "hotter": hotter} {
			b, err := HydrogenLeft(other)
			if err != nil {
				t.Fatal(err)
			}
			if b.Value.Mean > v.Mean+1e-9 {
				t.Fatalf("%s: more hydrogen, %v after %v", name, b.Value.Mean, v.Mean)
			}
		}
		b, err := HydrogenLeft(thicker)
		if err != nil {
			t.Fatal(err)
		}
		if b.Value.Mean < v.Mean-1e-9 {
			t.Fatalf("thicker: less hydrogen, %v after %v", b.Value.Mean, v.Mean)
		}
	})
}

// Hotter or thinner quenched plate never takes more heat.
func TestQTLimitFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]QTType{QTTypeF, QTTypeB}).Draw(t, "type")
		d, f := rapid.Float64Range(.1875, 2).Draw(t, "in"), rapid.Float64Range(30, 395).Draw(t, "°F")
		limit := func(d, f float64) float64 {
			got, err := MaximumHeatInput(kind, in(d), q.Fahrenheit(f))
			if err != nil {
				t.Fatal(err)
			}
			if !got.Value.Known {
				return math.Inf(1)
			}
			return got.Value.V.KJPerInch()
		}
		here := limit(d, f)
		if hot := limit(d, f+rapid.Float64Range(0, 5).Draw(t, "hotter")); hot > here+1e-9 {
			t.Fatalf("hotter takes more: %v, then %v", here, hot)
		}
		if thick := limit(d+rapid.Float64Range(0, .3).Draw(t, "thicker"), f); thick < here-1e-9 {
			t.Fatalf("thicker takes less: %v, then %v", here, thick)
		}
	})
}

// The wait before the crack test never shortens with size or heat input.
func TestHoldNeverShortens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := HoldInput{Group: rapid.SampledFrom(append(Groups(), "")).Draw(t, "group"), Size: mm(rapid.Float64Range(1, 80).Draw(t, "mm")), HeatInput: kjmm(rapid.Float64Range(.3, 5).Draw(t, "Q"))}
		b := a
		b.Size += mm(rapid.Float64Range(0, 20).Draw(t, "more mm"))
		b.HeatInput += kjmm(rapid.Float64Range(0, 3).Draw(t, "more Q"))
		first, errA := HoldGoverning(a)
		then, errB := HoldGoverning(b)
		if errA != nil || errB != nil || then.Value < first.Value {
			t.Fatalf("%v h (%v), then %v h (%v)", first.Value.Hours(), errA, then.Value.Hours(), errB)
		}
	})
}

// The usual figures of each kind of torch are those that the time to preheat
// works with where nothing else is known.
func TestUsualTorch(t *testing.T) {
	for _, w := range job.TorchKind("").Words() {
		r, err := UsualTorch(job.TorchKind(w.Value))
		if err != nil {
			t.Errorf("%s: %v", w.Value, err)
			continue
		}
		v := r.Value
		time, err := TorchTime(TorchInput{Kind: job.TorchKind(w.Value), Mass: 10, Rise: 100})
		if err != nil {
			t.Fatal(err)
		}
		const energy = 10 * 500 * 100 // J: m·c·ΔT
		want := energy / (float64(v.Efficiency.High) * float64(v.Power.High)) * 1.5
		if got := float64(time.Value.Low); got < want*0.999 || got > want*1.001 || v.Usual < v.Efficiency.Low || v.Usual > v.Efficiency.High {
			t.Errorf("%s: shortest time %v s, want %v s; usual part %v of %v", w.Value, got, want, v.Usual, v.Efficiency)
		}
	}
	if _, err := UsualTorch("candle"); err == nil {
		t.Error("a candle has figures")
	}
	if _, err := UsualTorch("any"); err == nil {
		t.Error("the bounds of a calibration are taken for a torch")
	}
}
