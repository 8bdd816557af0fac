package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"
)

// Conversion factors of NIST Special Publication 811 (2008), Appendix B.8 and
// B.9. "read": the row was seen in public copies of the table (a reprint of B.8
// and two copies that agree); "from memory": recalled, and confirmed
// here only by the exact definition in TestExactDefinitions or by arithmetic.
// Tolerance: half a unit of the last digit printed, and none for the rows that
// the table gives as exact (bold there).
func TestFactorsAgainstSP811(t *testing.T) {
	cases := []struct {
		kind   Kind
		unit   string
		factor string // as printed
		exact  bool
		status string
	}{
		{KindLength, "in", "2.54E-02", true, "read"},
		{KindLength, "ft", "3.048E-01", true, "read"},
		{KindLength, "yd", "9.144E-01", true, "read"},
		{KindLength, "mi", "1.609344E+03", true, "read"},
		{KindLength, "µm", "1.0E-06", true, "read"},
		{KindLength, "thou", "2.54E-05", true, "read"},
		{KindArea, "in²", "6.4516E-04", true, "from memory"},
		{KindArea, "ft²", "9.290304E-02", true, "from memory"},
		{KindVolume, "L", "1.0E-03", true, "read"},
		{KindVolume, "gal", "3.785412E-03", false, "read"},
		{KindVolume, "imp gal", "4.54609E-03", true, "read"},
		{KindVolume, "ft³", "2.831685E-02", false, "from memory"},
		{KindVolume, "in³", "1.638706E-05", false, "from memory"},
		{KindMass, "lb", "4.535924E-01", false, "read"},
		{KindMass, "oz", "2.834952E-02", false, "read"},
		{KindMass, "t", "1.0E+03", true, "read"},
		{KindLineMass, "lb/ft", "1.488164E+00", false, "from memory"},
		{KindLineMass, "lb/in", "1.785797E+01", false, "from memory"},
		{KindTime, "min", "6.0E+01", true, "read"},
		{KindTime, "h", "3.6E+03", true, "read"},
		{KindTime, "d", "8.64E+04", true, "read"},
		{KindTime, "yr", "3.1536E+07", true, "read"},
		{KindSpeed, "km/h", "2.777778E-01", false, "from memory"},
		{KindSpeed, "mph", "4.4704E-01", true, "from memory"},
		{KindSpeed, "ft/min", "5.08E-03", true, "from memory"},
		{KindSpeed, "ft/s", "3.048E-01", true, "from memory"},
		{KindPressure, "bar", "1.0E+05", true, "read"},
		{KindPressure, "psi", "6.894757E+03", false, "read"},
		{KindPressure, "kgf/cm²", "9.80665E+04", true, "read"},
		{KindStress, "psi", "6.894757E+03", false, "read"},
		{KindStress, "ksi", "6.894757E+06", false, "from memory"},
		{KindStress, "kgf/mm²", "9.80665E+06", true, "from memory"},
		{KindPower, "hp", "7.456999E+02", false, "read"},
		{KindPower, "PS", "7.354988E+02", false, "read"},
		{KindPower, "BTU/h", "2.930711E-01", false, "from memory"},
		{KindEnergy, "BTU", "1.055056E+03", false, "read"},
		{KindEnergy, "kWh", "3.6E+06", true, "from memory"},
		{KindEnergy, "ft·lbf", "1.355818E+00", false, "from memory"},
		{KindFlow, "cfm", "4.719474E-04", false, "read"},
		{KindMassRate, "lb/h", "1.259979E-04", false, "from memory"},
		{KindForce, "lbf", "4.448222E+00", false, "read"},
		{KindForce, "kip", "4.448222E+03", false, "read"},
		{KindForce, "kgf", "9.80665E+00", true, "read"},
		{KindMoment, "ft·lbf", "1.355818E+00", false, "read"},
		{KindMoment, "in·lbf", "1.129848E-01", false, "read"},
		{KindAngle, "°", "1.745329E-02", false, "read"},
	}
	for _, c := range cases {
		t.Run(c.kind.String()+"/"+c.unit, func(t *testing.T) {
			u := c.kind.mustUnit(c.unit)
			want, err := strconv.ParseFloat(c.factor, 64)
			if err != nil {
				t.Fatal(err)
			}
			tolerance := 1e-15 * want // a float64 may be off by its last bit
			if !c.exact {
				mantissa, power, _ := strings.Cut(c.factor, "E")
				places := len(mantissa) - strings.IndexByte(mantissa, '.') - 1
				e, _ := strconv.Atoi(power)
				tolerance = 0.5001 * math.Pow(10, float64(e-places))
			}
			if d := math.Abs(u.factor - want); d > tolerance {
				t.Errorf("got %v, want %s (%s), difference %g", u.factor, c.factor, c.status, d)
			}
		})
	}
}

// Exact definitions, as NIST SP 811 gives them in B.6 and the notes to B.8: the
// international inch and pound, standard gravity, the US gallon of 231 in³, the
// International Table calorie of 4.1868 J from which the BTU follows, degrees
// Fahrenheit. Compared as fractions: no tolerance.
func TestExactDefinitions(t *testing.T) {
	r := func(text string) *big.Rat {
		v, ok := new(big.Rat).SetString(text)
		if !ok {
			t.Fatal(text)
		}
		return v
	}
	product := func(texts ...string) *big.Rat {
		p := big.NewRat(1, 1)
		for _, text := range texts {
			p.Mul(p, r(text))
		}
		return p
	}
	cases := []struct {
		kind Kind
		unit string
		want *big.Rat
	}{
		{KindLength, "in", r("0.0254")},
		{KindMass, "lb", r("0.45359237")},
		{KindForce, "lbf", r("4.4482216152605")},
		{KindPressure, "psi", new(big.Rat).Quo(r("4.4482216152605"), r("0.00064516"))},
		{KindVolume, "gal", r("0.003785411784")},
		{KindVolume, "imp gal", r("0.00454609")},
		// 1 BTU(IT)/lb = 2326 J/kg
		{KindEnergy, "BTU", product("2326", "0.45359237")},
		{KindPower, "hp", product("550", "0.3048", "4.4482216152605")},
		{KindFlow, "cfm", new(big.Rat).Quo(r("0.028316846592"), r("60"))},
		{KindTemperature, "°F", big.NewRat(5, 9)},
		{KindTempDiff, "°F", big.NewRat(5, 9)},
		{KindHeatInput, "kJ/in", new(big.Rat).Quo(r("1000"), r("0.0254"))},
	}
	for _, c := range cases {
		t.Run(c.kind.String()+"/"+c.unit, func(t *testing.T) {
			if got := c.kind.mustUnit(c.unit).exact; got.Cmp(c.want) != 0 {
				t.Errorf("got %s, want %s", got.FloatString(15), c.want.FloatString(15))
			}
		})
	}
}

// The constants in code are the factors of the table, to the last bit that a
// float64 constant expression can hold.
func TestConstantsAreTheTable(t *testing.T) {
	cases := []struct {
		kind Kind
		unit string
		got  float64
	}{
		{KindLength, "m", float64(Metre)}, {KindLength, "mm", float64(Millimetre)},
		{KindLength, "in", float64(Inch)}, {KindLength, "ft", float64(Foot)},
		{KindArea, "mm²", float64(SquareMillimetre)}, {KindArea, "in²", float64(SquareInch)},
		{KindVolume, "mm³", float64(CubicMillimetre)}, {KindVolume, "cm³", float64(CubicCentimetre)},
		{KindMass, "kg", float64(Kilogram)}, {KindMass, "g", float64(Gram)}, {KindMass, "lb", float64(Pound)},
		{KindLineMass, "kg/m", float64(KilogramPerMetre)}, {KindLineMass, "lb/ft", float64(PoundPerFoot)},
		{KindTempDiff, "K", float64(Kelvin)},
		{KindTime, "s", float64(Second)}, {KindTime, "min", float64(Minute)}, {KindTime, "h", float64(Hour)},
		{KindSpeed, "m/s", float64(MetrePerSecond)}, {KindSpeed, "mm/min", float64(MillimetrePerMinute)},
		{KindSpeed, "in/min", float64(InchPerMinute)}, {KindSpeed, "km/h", float64(KilometrePerHour)},
		{KindSpeed, "mph", float64(MilePerHour)},
		{KindStress, "MPa", float64(Megapascal)}, {KindStress, "ksi", float64(KSI)},
		{KindPressure, "kPa", float64(Kilopascal)}, {KindPressure, "bar", float64(Bar)}, {KindPressure, "psi", float64(PSI)},
		{KindCurrent, "A", float64(Ampere)}, {KindVoltage, "V", float64(Volt)},
		{KindResistance, "Ω", float64(Ohm)}, {KindResistance, "mΩ", float64(Milliohm)},
		{KindPower, "W", float64(Watt)}, {KindPower, "kW", float64(Kilowatt)},
		{KindPower, "BTU/h", float64(BTUPerHour)}, {KindPower, "hp", float64(Horsepower)},
		{KindEnergy, "J", float64(Joule)}, {KindEnergy, "kJ", float64(Kilojoule)},
		{KindHeatInput, "kJ/mm", float64(KilojoulePerMillimetre)}, {KindHeatInput, "kJ/in", float64(KilojoulePerInch)},
		{KindFlow, "L/min", float64(LitrePerMinute)}, {KindFlow, "cfm", float64(CubicFootPerMinute)}, {KindFlow, "ft³/h", float64(CubicFootPerHour)},
		{KindMassRate, "kg/h", float64(KilogramPerHour)}, {KindMassRate, "lb/h", float64(PoundPerHour)},
		{KindAngle, "rad", float64(Radian)}, {KindAngle, "°", float64(Degree)},
		{KindStressIntensity, "MPa√m", float64(MPaRootMetre)},
		{KindForce, "N", float64(Newton)}, {KindForce, "kN", float64(Kilonewton)},
		{KindMoment, "N·m", float64(NewtonMetre)}, {KindMoment, "kN·m", float64(KilonewtonMetre)},
	}
	for _, c := range cases {
		t.Run(c.kind.String()+"/"+c.unit, func(t *testing.T) {
			if want := c.kind.mustUnit(c.unit).factor; c.got != want {
				t.Errorf("got %v, want %v, difference %g", c.got, want, c.got-want)
			}
		})
	}
}

// The fracture relation printed in BS 7910 and its users' notes: 1 MPa√m =
// 31.623 N/mm^1.5 (from memory; it is √1000 by arithmetic).
func TestStressIntensityUnits(t *testing.T) {
	got := KindStressIntensity.mustUnit("N/mm^1.5").From(float64(MPaRootMetre))
	if want := 31.623; math.Abs(got-want) > 0.0005 {
		t.Errorf("got %v, want %v, difference %g", got, want, got-want)
	}
}
