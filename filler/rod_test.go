package filler

import (
	"errors"
	"math"
	"strings"
	"testing"

	q "soundmetal/quantity"
	"soundmetal/source"
)

func TestFactorBands(t *testing.T) {
	for _, c := range []struct{ pct, f float64 }{
		{90, 0.0368}, {95, 0.0368}, {95.1, 0.0408}, {110, 0.0408}, {115, 0.0472}, {130, 0.0472}, {131, 0.0608}, {180, 0.0608},
	} {
		got, err := Factor(q.Ratio(c.pct / 100))
		if err != nil {
			t.Fatal(err)
		}
		check(t, "factor", got.Value.kJPerMM3(), c.f, 1e-12)
	}
	for class, f := range map[string]float64{"7018": 0.0472, "6010": 0.0368, "7016": 0.0408, "7024": 0.0608} {
		got, err := FactorOf(mustRead(t, class))
		if err != nil {
			t.Fatal(err)
		}
		check(t, class, got.Value.kJPerMM3(), f, 1e-12)
	}
	if _, err := FactorOf(mustRead(t, "ER70S-6")); err == nil {
		t.Error("a wire has no run-out factor")
	}
}

func TestRunOutRefuses(t *testing.T) {
	mm, f, e := q.Millimetre, 0.0408*KilojoulePerCubicMillimetre, q.KilojoulePerMillimetre
	for name, run := range map[string]func() error{
		"thin core":  func() error { _, err := RunOut(1*mm, 310*mm, f, e); return err },
		"no energy":  func() error { _, err := RunOut(4*mm, 310*mm, f, 0); return err },
		"energy NaN": func() error { _, err := RunOut(4*mm, 310*mm, f, q.HeatInput(math.NaN())); return err },
		"bad factor": func() error { _, err := RunOut(4*mm, 310*mm, 1e12, e); return err },
		"long rod":   func() error { _, err := RunOut(4*mm, 2*q.Metre, f, e); return err },
		"no run":     func() error { _, err := RunOutHeat(4*mm, 310*mm, f, 0); return err },
		"no time":    func() error { _, err := RodHeat(24, 165, 0, 200*mm); return err },
		"no amps":    func() error { _, err := RodHeat(24, 0, 60, 200*mm); return err },
	} {
		var out *source.OutOfRange
		if err := run(); !errors.As(err, &out) {
			t.Errorf("%s: got %v, want an out-of-range answer", name, err)
		} else if out.Instead == "" || out.Unit == "" {
			t.Errorf("%s: %v does not say what to do instead", name, err)
		}
	}
}

// The worked one-rod energy: 24 V × 165 A × 75 s over 250 mm = 297 kJ / 250 mm (by hand).
func TestRodHeat(t *testing.T) {
	got, err := RodHeat(24, 165, 75, 250*q.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "kJ/mm", got.Value.KJPerMM(), 1.188, 1e-9)
}

func TestLengthPerRod(t *testing.T) {
	window := q.Of[q.HeatInput]{Low: 1.0 * q.KilojoulePerMillimetre, High: 2.0 * q.KilojoulePerMillimetre}
	stick := Stick{Class: mustRead(t, "7018-H4R"), Core: 4 * q.Millimetre, Length: q.Known(350 * q.Millimetre)}

	// by hand: 4²·310·0.0472 = 234.1 kJ; usual burn 24·165·75·(350−50.8)/(355.6−50.8)/1000 = 291.5 kJ
	got, err := LengthPerRod(window, stick)
	if err != nil {
		t.Fatal(err)
	}
	v := got.Value
	check(t, "by factor, longest", v.ByFactor.V.High.MM(), 234.1, 0.001)
	check(t, "by factor, shortest", v.ByFactor.V.Low.MM(), 117.06, 0.001)
	check(t, "by burn, longest", v.ByBurn.V.High.MM(), 291.5, 0.001)
	check(t, "use, longest: the smaller", v.Use.High.MM(), 234.1, 0.001)
	check(t, "use, shortest: the larger", v.Use.Low.MM(), 145.8, 0.001)

	// his own timed rod decides
	own := stick
	own.Burn, own.Amps, own.Volts = q.Known(80*q.Second), q.Known(150*q.Ampere), q.Known(23*q.Volt)
	got, err = LengthPerRod(window, own)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Value.Own {
		t.Error("own burn time not used")
	}
	check(t, "own, longest", got.Value.Use.High.MM(), 276, 1e-9) // 23·150·80/1000 / 1.0

	// a window too narrow for both ways of counting
	got, err = LengthPerRod(q.At(1.5*q.KilojoulePerMillimetre), stick)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "narrow", got.Value.Use.High.MM(), 234.1/1.5, 0.001)
	if !strings.Contains(strings.Join(got.Basis.Notes, " "), "too narrow") {
		t.Error("the narrow window is not mentioned")
	}

	// stainless: no usual burn, factor only
	got, err = LengthPerRod(window, Stick{Class: mustRead(t, "309L"), Core: 3.2 * q.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	if got.Value.ByBurn.Known || got.Value.Use != got.Value.ByFactor.V {
		t.Errorf("309L: got %+v, want the factor only", got.Value)
	}

	for name, bad := range map[string]Stick{"wire": {Class: mustRead(t, "ER70S-6"), Core: 1 * q.Millimetre}, "huge core": {Class: mustRead(t, "7018"), Core: 20 * q.Millimetre}} {
		if got, err := LengthPerRod(window, bad); err == nil {
			t.Errorf("%s: got %+v, want an error", name, got.Value)
		}
	}
	if _, err := LengthPerRod(q.Of[q.HeatInput]{Low: window.High, High: window.Low}, stick); err == nil {
		t.Error("a window upside down was taken")
	}
}

func TestAmpsRefuses(t *testing.T) {
	for _, c := range []struct {
		class, position string
		mm              float64
		says            string
	}{
		{"7018", "vertical", 4.8, "4.0 mm"},
		{"7018", "overhead", 5.0, "4.0 mm"},
		{"7018", "flat", 6.4, "outside"},
		{"7024", "vertical", 3.2, "not run vertical"},
		{"ER70S-6", "flat", 1.2, "no amps in the table"},
		{"hardfacing", "flat", 3.2, "no amps in the table"},
	} {
		_, err := AmpsFor(mustRead(t, c.class), q.Length(c.mm)*q.Millimetre, posOf(c.position))
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s %v mm %s: got %v, want it to say %q", c.class, c.mm, c.position, err, c.says)
		}
	}
}

// Vertical figures that the table does not print: flat less 10 to 15 % (common practice).
func TestAmpsOutOfPosition(t *testing.T) {
	got, err := AmpsFor(mustRead(t, "6010"), 3.2*q.Millimetre, "vertical")
	if err != nil {
		t.Fatal(err)
	}
	check(t, "low", float64(got.Value.Typical.Low), 85, 1e-9)
	check(t, "high", float64(got.Value.Typical.High), 90, 1e-9)
}

func TestDepositionRate(t *testing.T) {
	c := mustRead(t, "7018")
	got, err := DepositionRate(c, 3.2*q.Millimetre, 130)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "between 120 and 140 A, kg/h", float64(got.Value.PerHour/q.KilogramPerHour), (1.17+1.24)/2, 1e-9)
	check(t, "efficiency", float64(got.Value.Efficiency), 0.715, 1e-9)
	for _, amps := range []q.Current{100, 170} { // outside the rows for 1/8 in
		var out *source.OutOfRange
		if _, err := DepositionRate(c, 3.2*q.Millimetre, amps); !errors.As(err, &out) {
			t.Errorf("%v A: got %v, want an out-of-range answer", amps, err)
		}
	}
	if _, err := DepositionRate(mustRead(t, "6010"), 3.2*q.Millimetre, 120); err == nil {
		t.Error("the E7018 table was used for E6010")
	}
}

// A stainless rod has no row in the deposition table: the average efficiency of
// rods stands in, and says so.
func TestRodDepositWithoutTable(t *testing.T) {
	got, err := RodDeposit(Stick{Class: mustRead(t, "312"), Core: 3.2 * q.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	if got.Value.ArcTime.Known || got.Value.Deposit.Low >= got.Value.Deposit.High {
		t.Errorf("got %+v, want a range and no arc time", got.Value)
	}
	if !strings.Contains(strings.Join(got.Basis.Notes, " "), "average efficiency") {
		t.Errorf("notes %q do not mention the average", got.Basis.Notes)
	}
}

func TestRodsNeeded(t *testing.T) {
	rod := PerRod{Mass: q.At(50 * q.Gram), Deposit: q.Of[q.Mass]{Low: 28 * q.Gram, High: 32 * q.Gram}, Likely: 30 * q.Gram}
	got, err := RodsNeeded(q.Of[q.Mass]{Low: 0.9 * q.Kilogram, High: 1.1 * q.Kilogram}, rod)
	if err != nil {
		t.Fatal(err)
	}
	// by hand: 900/32 = 28.1; 1000·1.125/30 = 37.5; 1100·1.15/28 = 45.2
	if got.Value.Low != 29 || got.Value.Likely != 38 || got.Value.High != 46 {
		t.Errorf("got %+v, want 29, 38, 46", got.Value)
	}
	if _, err := RodsNeeded(q.At(q.Mass(0)), rod); err == nil {
		t.Error("no weld metal was taken")
	}
	if _, err := RodsNeeded(q.At(1*q.Kilogram), PerRod{}); err == nil {
		t.Error("an unknown rod was taken")
	}
}

// Bead areas of the field facts: 19.8 g over 150 to 250 mm is 17 to 10 mm²; 30.9 g over 200 mm is 20 mm² (derived).
func TestBeadArea(t *testing.T) {
	for _, c := range []struct{ g, mm, want, tol float64 }{{19.8, 150, 17, 0.03}, {19.8, 250, 10, 0.03}, {30.9, 200, 20, 0.03}} {
		got, err := BeadArea(q.Mass(c.g)*q.Gram, q.Length(c.mm)*q.Millimetre)
		if err != nil {
			t.Fatal(err)
		}
		check(t, "bead, mm²", got.Value.MM2(), c.want, c.tol)
	}
}
