package power

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// A bottle of 20 lb by the scaling: (20/100)^0.67 = 0.3402 of the 100 lb bottle (by hand).
func TestLPGScaled(t *testing.T) {
	got, err := LPGRate(q.Fahrenheit(40), 20*q.Pound, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "two 20 lb bottles, kBTU/h", float64(got.Value.Power/q.BTUPerHour)/1000, 2*214*0.3402, 0.001)
	if !strings.Contains(strings.Join(got.Basis.Notes, " "), "derived") {
		t.Error("the scaling is not marked as derived")
	}
}

// Inside a cell: straight lines both ways. At 85 % and 50 °F the middle of
// 100/70 lb and 40/60 °F: (214+277+160+199)/4 (by hand).
func TestLPGBetween(t *testing.T) {
	got, err := LPGRate(q.Fahrenheit(50), 100*q.Pound, 0.85, 1)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "kBTU/h", float64(got.Value.Power/q.BTUPerHour)/1000, 212.5, 1e-9)
}

func TestGasRefuses(t *testing.T) {
	var out *source.OutOfRange
	for name, run := range map[string]func() error{
		"too cold":       func() error { _, err := LPGRate(q.Fahrenheit(-10), 100*q.Pound, 1, 1); return err },
		"too warm":       func() error { _, err := LPGRate(q.Fahrenheit(90), 100*q.Pound, 1, 1); return err },
		"too empty":      func() error { _, err := LPGRate(q.Fahrenheit(40), 100*q.Pound, 0.05, 1); return err },
		"more than full": func() error { _, err := LPGRate(q.Fahrenheit(40), 100*q.Pound, 1.2, 1); return err },
		"huge bottle":    func() error { _, err := LPGRate(q.Fahrenheit(40), 420*q.Pound, 1, 1); return err },
		"no flow":        func() error { _, err := HeatOf("propane", 0, 0.3); return err },
		"share 2":        func() error { _, err := HeatOf("propane", 1e-4, 2); return err },
		"no power":       func() error { _, err := GasFor("propane", 0, false); return err },
		"no contents":    func() error { _, err := AcetyleneRate(0, 1, Intermittent); return err },
		"wide spot":      func() error { _, err := SpotFlux(1000, 0.8, 10*q.Metre); return err },
		"efficiency":     func() error { _, err := CompressorPower(0.01, 500e3, 2); return err },
	} {
		if err := run(); !errors.As(err, &out) {
			t.Errorf("%s: got %v, want an out-of-range answer", name, err)
		} else if out.Instead == "" {
			t.Errorf("%s: %v does not say what to do", name, err)
		}
	}
	for name, run := range map[string]func() error{
		"oxygen burns": func() error { _, err := HeatOf("oxygen", 1e-4, 0.3); return err },
		"no bottles":   func() error { _, err := LPGRate(q.Fahrenheit(40), 100*q.Pound, 1, 0); return err },
		"odd draw":     func() error { _, err := AcetyleneRate(3, 1, "wild"); return err },
		"mains fuel":   func() error { _, err := EngineFuel(29, 200, "mains"); return err },
		"empty day":    func() error { _, err := FuelFor(nil, "diesel"); return err },
		"odd day":      func() error { _, err := FuelFor([]Load{{Time: -1}}, "diesel"); return err },
	} {
		if err := run(); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

// An hour of arc and an hour of idling: the sum of the two rates, and idling is
// never below the idle figure of the table (0.3 to 0.5 US gal/h, from memory).
func TestFuelFor(t *testing.T) {
	arc, err := EngineFuel(29, 225, "diesel")
	if err != nil {
		t.Fatal(err)
	}
	idle, err := EngineFuel(0, 0, "diesel")
	if err != nil {
		t.Fatal(err)
	}
	check(t, "idle, lowest US gal/h", float64(idle.Value.Range.Low)*1000*3600/3.785411784, 0.3, 0.01)
	check(t, "idle, highest US gal/h", float64(idle.Value.Range.High)*1000*3600/3.785411784, 0.5, 0.01)
	day, err := FuelFor([]Load{{Time: q.Hour, Voltage: 29, Current: 225}, {Time: q.Hour}}, "diesel")
	if err != nil {
		t.Fatal(err)
	}
	check(t, "day", float64(day.Value.Likely), 3600*float64(arc.Value.Likely+idle.Value.Likely), 1e-12)
}

func TestOxygen(t *testing.T) {
	got, err := GasFor("propane", 50*q.Kilowatt, true)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "oxygen to propane", float64(got.Value.Oxygen.Low/got.Value.Gas), 3.5, 1e-12)
	check(t, "oxygen to propane", float64(got.Value.Oxygen.High/got.Value.Gas), 4.5, 1e-12)
}

func TestShock(t *testing.T) {
	for _, c := range []struct {
		name string
		in   ShockIn
		over bool
	}{
		{"DC 75 V in the wet", ShockIn{Volts: q.Known(75 * q.Volt), Kind: DCPeak, Place: WetPlace}, false},
		{"AC 80 V in the wet", ShockIn{Volts: q.Known(80 * q.Volt), Kind: ACRMS, Place: WetPlace}, true},
		{"AC 80 V in the dry", ShockIn{Volts: q.Known(80 * q.Volt), Kind: ACRMS, Place: NormalPlace}, false},
		{"place unknown counts as wet", ShockIn{Volts: q.Known(80 * q.Volt), Kind: ACRMS}, true},
		{"volts unknown", ShockIn{Kind: DCPeak, Place: NormalPlace}, true},
		{"two sources add", ShockIn{Volts: q.Known(75 * q.Volt), Other: q.Known(70 * q.Volt), Kind: DCPeak, Place: NormalPlace}, true},
		{"two small ones", ShockIn{Volts: q.Known(50 * q.Volt), Other: q.Known(50 * q.Volt), Kind: DCPeak, Place: NormalPlace}, false},
		{"second one unknown", ShockIn{Volts: q.Known(50 * q.Volt), Two: job.Yes, Kind: DCPeak, Place: NormalPlace}, true},
	} {
		got, err := ShockCheck(c.in)
		if err != nil {
			t.Fatal(c.name, err)
		}
		if got.Value.Over != c.over || len(got.Value.Warn) == 0 {
			t.Errorf("%s: got over %v, want %v", c.name, got.Value.Over, c.over)
		}
	}
	for name, in := range map[string]ShockIn{"odd kind": {Kind: "static"}, "lightning": {Volts: q.Known(1e6 * q.Volt), Kind: DCPeak}} {
		if _, err := ShockCheck(in); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
