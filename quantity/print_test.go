package quantity

import (
	"math"
	"testing"
)

// Trade precision: common practice, no source.
func TestText(t *testing.T) {
	cases := []struct {
		name string
		got  string
		want string
	}{
		{"half inch", (Inch / 2).Text(US), "1/2 in (12.7 mm)"},
		{"half inch, metric first", (Inch / 2).Text(SI), "12.7 mm (1/2 in)"},
		{"12 mm", (12 * Millimetre).Text(SI), "12 mm (15/32 in)"},
		{"12 mm, inch first", (12 * Millimetre).Text(US), "15/32 in (12 mm)"},
		{"rod 3.2", (3.2 * Millimetre).Text(SI), "3.2 mm (1/8 in)"},
		{"rod 4.0", (4 * Millimetre).Text(SI), "4 mm (5/32 in)"},
		{"rod 2.5", (2.5 * Millimetre).Text(SI), "2.5 mm (3/32 in)"},
		{"thin", (0.3 * Millimetre).Text(SI), "0.3 mm (0.012 in)"},
		{"very thin", (0.02 * Millimetre).Text(SI), "0.02 mm (0.00079 in)"},
		{"nought", Length(0).Text(SI), "0 mm (0 in)"},
		{"mixed inches", (Inch * 1.5).Text(US), "1-1/2 in (38.1 mm)"},
		{"a foot is 12 in", Foot.Text(US), "12 in (305 mm)"},
		{"two feet", (2 * Foot).Text(US), "2 ft (610 mm)"},
		{"feet and inches", (30 * Inch).Text(US), "2 ft 6 in (762 mm)"},
		{"feet, inches and quarter", (30.25 * Inch).Text(US), "2 ft 6-1/4 in (768 mm)"},
		{"feet and no inches left", (35.95 * Inch).Text(US), "3 ft (913 mm)"},
		{"metres", (4.5 * Metre).Text(SI), "4.5 m (14 ft 9 in)"},
		{"long", (40 * Metre).Text(SI), "40 m (131 ft)"},
		{"drive", (70000 * Metre).Text(SI), "70 km (43 mi)"},
		{"drive in miles", Length(45 * 1609.344).Text(US), "45 mi (72 km)"},
		{"bead", (45.3 * SquareMillimetre).Text(SI), "45.3 mm² (0.0702 in²)"},
		{"weld metal", (120 * CubicCentimetre).Text(SI), "120 cm³ (7.32 in³)"},
		{"water", Volume(0.02).Text(SI), "20 L (5.28 gal)"},
		{"gas", Volume(4).Text(SI), "4 m³ (141 ft³)"},
		{"rod mass", (38 * Gram).Text(SI), "38 g (1.3 oz)"},
		{"packet", (5 * Kilogram).Text(SI), "5 kg (11 lb)"},
		{"pound", (10 * Pound).Text(US), "10 lb (4.54 kg)"},
		{"preheat F", Fahrenheit(250).Text(US), "250 °F (120 °C)"},
		{"preheat C", Temperature(150).Text(SI), "150 °C (300 °F)"},
		{"cold", Temperature(-12).Text(SI), "-12 °C (10 °F)"},
		{"air", Temperature(23).Text(SI), "23 °C (73 °F)"},
		{"just below nought", Temperature(-0.2).Text(SI), "0 °C (32 °F)"},
		{"difference", TempDiff(50).Text(SI), "50 °C (90 °F)"},
		{"cooling time", (8.5 * Second).Text(SI), "8.5 s"},
		{"seconds", (90 * Second).Text(SI), "90 s"},
		{"minutes and seconds", (200 * Second).Text(SI), "3 min 20 s"},
		{"minutes", (45 * Minute).Text(SI), "45 min"},
		{"hours and minutes", (90 * Minute).Text(US), "1 h 30 min"},
		{"hours", (16 * Hour).Text(US), "16 h"},
		{"meter", (4523 * Hour).Text(US), "4523 h"},
		{"travel", (150 * MillimetrePerMinute).Text(SI), "150 mm/min (5.9 in/min)"},
		{"wind", (8 * MetrePerSecond).Text(SI), "29 km/h (18 mph)"},
		{"wind mph", (20 * MilePerHour).Text(US), "20 mph (32 km/h)"},
		{"yield", (355 * Megapascal).Text(SI), "355 MPa (51.5 ksi)"},
		{"yield ksi", (50 * KSI).Text(US), "50 ksi (345 MPa)"},
		{"air pressure", (90 * PSI).Text(US), "90 psi (6.2 bar)"},
		{"amps once", (117.6 * Ampere).Text(US), "118 A"},
		{"volts once", (24.5 * Volt).Text(SI), "24.5 V"},
		{"resistance", (2.35 * Milliohm).Text(SI), "2.35 mΩ"},
		{"torch", (30 * Kilowatt).Text(SI), "30 kW (102 kBTU/h)"},
		{"charpy", (27 * Joule).Text(SI), "27 J (19.9 ft·lbf)"},
		{"heat input", (1.2 * KilojoulePerMillimetre).Text(SI), "1.2 kJ/mm (30 kJ/in)"},
		{"heat input, low", (0.95 * KilojoulePerMillimetre).Text(SI), "0.95 kJ/mm (24 kJ/in)"},
		{"heat input in", (40 * KilojoulePerInch).Text(US), "40 kJ/in (1.6 kJ/mm)"},
		{"hydrogen", Hydrogen(5).Text(SI), "5 ml/100 g"},
		{"vickers", Vickers(349.6).Text(SI), "350 HV"},
		{"brinell", Brinell(250).Text(SI), "250 HB"},
		{"air flow", (750 * LitrePerMinute).Text(SI), "750 L/min (26 cfm)"},
		{"gas flow", (15 * LitrePerMinute).Text(SI), "15 L/min (32 ft³/h)"},
		{"deposit", (1.5 * KilogramPerHour).Text(SI), "1.5 kg/h (3.31 lb/h)"},
		{"groove", (60 * Degree).Text(SI), "60°"},
		{"duty", Ratio(0.6).Text(SI), "60%"},
		{"carbon", Percent(0.18).Text(SI), "0.18%"},
		{"boron", Percent(0.0022).Text(SI), "0.0022%"},
		{"diffusivity", Diffusivity(1.3e-11).Text(SI), "1.3e-05 mm²/s"},
		{"stress intensity", (12 * MPaRootMetre).Text(SI), "12 MPa√m (10.9 ksi√in)"},
		{"force", (25 * Kilonewton).Text(SI), "25 kN (5620 lbf)"},
		{"moment", (80 * NewtonMetre).Text(SI), "80 N·m (59 ft·lbf)"},
		{"mass per length", (15 * KilogramPerMetre).Text(SI), "15 kg/m (10.1 lb/ft)"},
		{"count", KindNumber.Text(3, SI), "3"},

		{"amps", Span[Current](200, 250).Text(SI), "200 to 250 A"},
		{"thicknesses", Span(10*Millimetre, 25*Millimetre).Text(SI), "10 to 25 mm (3/8 to 1 in)"},
		{"thin ends stay apart", Span(2.4*Millimetre, 3.2*Millimetre).Text(SI), "2.4 to 3.2 mm (3/32 to 1/8 in)"},
		{"two units", Span(6*Inch, 36*Inch).Text(US), "6 in to 3 ft (152 to 914 mm)"},
		{"two forms", Span(24*Inch, 36*Inch).Text(US), "2 ft to 3 ft (610 to 914 mm)"},
		{"from nought", Span[Mass](0, 5).Text(SI), "0 to 5 kg (0 to 11 lb)"},
		{"equal ends", At(Inch).Text(US), "1 in (25.4 mm)"},
		{"ends that print the same", Span[Current](200.1, 200.3).Text(SI), "200 A"},
		{"open above", Of[Current]{200, Current(math.Inf(1))}.Text(SI), "200 A or more"},
		{"open below", Of[Temperature]{Temperature(math.Inf(-1)), 250}.Text(SI), "up to 250 °C (up to 480 °F)"},
		{"open both ways", Of[Mass]{Mass(math.Inf(-1)), Mass(math.Inf(1))}.In(SI), "any mass"},
		{"temperatures", Span[Temperature](120, 200).Text(SI), "120 to 200 °C (250 to 390 °F)"},
		{"below nought", Span[Temperature](-20, 5).In(SI), "-20 to 5 °C"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.got != c.want {
				t.Errorf("got %s, want %s", c.got, c.want)
			}
		})
	}
}

func TestExact(t *testing.T) {
	cases := []struct{ name, got, want string }{
		{"12.7 mm", (Inch / 2).Exact("mm"), "12.7 mm"},
		{"half inch", (Inch / 2).Exact("in"), "0.5 in"},
		{"alias", (Inch / 2).Exact("inches"), "0.5 in"},
		{"first unit", (12 * Millimetre).Exact(""), "12 mm"},
		{"F", Fahrenheit(250).Exact("°F"), "250 °F"},
		{"C of 250 F", Fahrenheit(250).Exact("°C"), "121.11111111111111 °C"},
		{"third", (Inch / 3).Exact("in"), "0.3333333333333333 in"},
		{"percent", Ratio(0.6).Exact("%"), "60%"},
		{"small", Length(2e-9).Exact("mm"), "2e-06 mm"},
		{"no float64 of mm lands on it", Length(1e-12).Exact("mm"), "9.999999999999999799e-10 mm"},
		{"swallowed by the offset", Temperature(1e-300).Exact("°F"), "1e-300 °C"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.got != c.want {
				t.Errorf("got %s, want %s", c.got, c.want)
			}
		})
	}
}

func TestRounding(t *testing.T) {
	cases := []struct {
		name      string
		got, want float64
	}{
		{"up", float64(RoundUp[Current](121, 5)), 125},
		{"up, on the step", float64(RoundUp[Current](125, 5)), 125},
		{"up, a hair above the step", float64(RoundUp[Temperature](150.00000000000003, 5)), 150},
		{"up, negative", float64(RoundUp[Temperature](-12, 5)), -10},
		{"down", float64(RoundDown[Current](124, 5)), 120},
		{"down, a hair below the step", float64(RoundDown[Temperature](149.99999999999997, 5)), 150},
		{"down, negative", float64(RoundDown[Temperature](-12, 5)), -15},
		{"nearest", float64(RoundTo[Current](122.4, 5)), 120},
		{"nearest, half", float64(RoundTo[Current](122.5, 5)), 125},
		{"nearest, negative half", float64(RoundTo[Temperature](-2.5, 5)), -5},
		{"quarter hours up", RoundUp(100*Minute, 15*Minute).Minutes(), 105},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if d := c.got - c.want; d != 0 {
				t.Errorf("got %v, want %v, difference %g", c.got, c.want, d)
			}
		})
	}
}

func TestRoundingPanicsWithoutStep(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("want a panic")
		}
	}()
	RoundUp[Current](1, 0)
}

func TestTemperatureLimits(t *testing.T) {
	cases := []struct{ name, got, want string }{
		{"minimum, F first", Temperature(121.2).MinimumText(US), "255 °F (125 °C)"},
		{"minimum on the step, echo goes up", Fahrenheit(250).MinimumText(US), "250 °F (125 °C)"},
		{"minimum, C first", Temperature(121.2).MinimumText(SI), "125 °C (260 °F)"},
		{"minimum on the step", Temperature(150).MinimumText(SI), "150 °C (305 °F)"},
		{"minimum that agrees", Temperature(100).MinimumText(SI), "100 °C (215 °F)"},
		{"maximum, C first", Temperature(251).MaximumText(SI), "250 °C (480 °F)"},
		{"maximum, F first", Temperature(251).MaximumText(US), "480 °F (245 °C)"},
		{"cold minimum", Temperature(-18).MinimumText(SI), "-15 °C (5 °F)"},
		{"window", WindowText(Span[Temperature](121, 199), SI), "125 to 195 °C (260 to 380 °F)"},
		{"window, F first", WindowText(Span[Temperature](121, 199), US), "250 to 390 °F (125 to 195 °C)"},
		{"narrow window", WindowText(Span[Temperature](121, 123), SI), "121 to 123 °C (250 °F)"},
		{"no window", WindowText(Of[Temperature]{130, 120}, SI), "no window"},
		{"narrow echo", WindowText(Span[Temperature](150, 150), SI), "150 °C (302 °F)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.got != c.want {
				t.Errorf("got %s, want %s", c.got, c.want)
			}
		})
	}
}

func TestEntered(t *testing.T) {
	e, err := ReadEntered[Length]("3/16", ReadAs{Bare: "in"})
	if err != nil {
		t.Fatal(err)
	}
	if want := "3/16 = 3/16 in (4.8 mm)"; e.Echo(US) != want {
		t.Errorf("got %s, want %s", e.Echo(US), want)
	}
	if e.As != "3/16" || e.V != Inch*3/16 {
		t.Errorf("got %+v", e)
	}
	if _, err := ReadEntered[Length]("3/16", ReadAs{}); err == nil {
		t.Error("want an error")
	}
}
