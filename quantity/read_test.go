package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// inch and metric are how the two kinds of shop read a thickness.
var (
	inch   = ReadAs{What: "thickness", Bare: "in", OtherBare: "mm", Low: 0.5e-3, High: 0.15}
	metric = ReadAs{What: "thickness", Bare: "mm", OtherBare: "in", Low: 0.5e-3, High: 0.15}
	open   = ReadAs{}
)

// Every form is common practice, no source; the factors are checked in published_test.go.
func TestReadAccepts(t *testing.T) {
	const lb, ft = 0.45359237, 0.3048
	cases := []struct {
		name string
		kind Kind
		text string
		as   ReadAs
		want float64
	}{
		{"bare fraction", KindLength, `3/16`, inch, 3. / 16 * 0.0254},
		{"fraction with stroke", KindLength, `3/16"`, open, 3. / 16 * 0.0254},
		{"fraction, unit close", KindLength, `1/2in`, open, 0.0127},
		{"fraction, unit apart", KindLength, `1/2 in`, open, 0.0127},
		{"fraction, unit with full stop", KindLength, `1/2 in.`, open, 0.0127},
		{"fraction with spaces", KindLength, `1 / 2 inch`, open, 0.0127},
		{"mixed with hyphen", KindLength, `1-1/2"`, open, 0.0381},
		{"mixed with hyphen and spaces", KindLength, `1 - 1/2 in`, open, 0.0381},
		{"mixed with space", KindLength, `1 1/2`, inch, 0.0381},
		{"mixed with one-character fraction", KindLength, `1½`, inch, 0.0381},
		{"hyphen and one-character fraction", KindLength, `1-½ in`, open, 0.0381},
		{"one-character fraction", KindLength, `¾"`, open, 0.01905},
		{"fraction slash", KindLength, `3⁄16 in`, open, 3. / 16 * 0.0254},
		{"bare decimal", KindLength, `1.5`, inch, 0.0381},
		{"point first", KindLength, `.5`, inch, 0.0127},
		{"decimal inch", KindLength, `0.5in`, open, 0.0127},
		{"mm close", KindLength, `12mm`, open, 0.012},
		{"mm apart", KindLength, `12 mm`, open, 0.012},
		{"mm in capitals", KindLength, `12 MM`, open, 0.012},
		{"bare mm", KindLength, `12`, metric, 0.012},
		{"decimal comma", KindLength, `3,2`, metric, 0.0032},
		{"decimal comma after nought", KindLength, `0,375 in`, open, 0.375 * 0.0254},
		{"decimal comma, four digits", KindLength, `1,2005 mm`, open, 1.2005e-3},
		{"thousands and point", KindLength, `1,200.5 mm`, open, 1.2005},
		{"thousands and comma", KindLength, `1.200,5 mm`, open, 1.2005},
		{"two thousand marks", KindLength, `1,200,000 mm`, open, 1200},
		{"two thousand points", KindLength, `1.200.000 mm`, open, 1200},
		{"feet and bare inches", KindLength, `2'6`, open, 30 * 0.0254},
		{"feet and inches", KindLength, `2'6"`, open, 30 * 0.0254},
		{"feet and inches as drawn", KindLength, `2'-6"`, open, 30 * 0.0254},
		{"feet, inches, fraction", KindLength, `2' 6-1/2"`, open, 30.5 * 0.0254},
		{"feet and no inches", KindLength, `2'0"`, open, 24 * 0.0254},
		{"ft and bare inches", KindLength, `2ft 6`, open, 30 * 0.0254},
		{"ft and in", KindLength, `2 ft 6 in`, open, 30 * 0.0254},
		{"feet only", KindLength, `2'`, open, 2 * ft},
		{"curly quotes", KindLength, `2’6”`, open, 30 * 0.0254},
		{"primes", KindLength, `2′6″`, open, 30 * 0.0254},
		{"full width", KindLength, `３／１６＂`, open, 3. / 16 * 0.0254},
		{"two strokes for one", KindLength, `6''`, open, 6 * 0.0254},
		{"narrow space", KindLength, "12\u202fmm", open, 0.012},
		{"rod size", KindLength, `1/8 rod`, ReadAs{Bare: "in"}, 0.003175},
		{"plate", KindLength, `1/2 plate`, ReadAs{Bare: "in"}, 0.0127},
		{"unit and noun", KindLength, `1/8 in rod`, open, 0.003175},
		{"mm and noun", KindLength, `12 mm thick`, open, 0.012},
		{"fraction of a kilometre", KindLength, `1/2`, ReadAs{Bare: "km"}, 500},
		{"thou", KindLength, `40 thou`, open, 40 * 0.0000254},
		{"miles", KindLength, `45 mi`, open, 45 * 1609.344},
		{"kilometres", KindLength, `70km`, open, 70000},
		{"as printed", KindLength, `1/2 in (12.7 mm)`, open, 0.0127},
		{"as printed, rounded", KindLength, `12 mm (15/32 in)`, open, 0.012},
		{"power of ten", KindLength, `1.2e1 mm`, open, 0.012},

		{"F close", KindTemperature, `300F`, open, 268 / 1.8},
		{"F with degree", KindTemperature, `300°F`, open, 268 / 1.8},
		{"F with ordinal sign", KindTemperature, `300 ºF`, open, 268 / 1.8},
		{"F in one character", KindTemperature, `300℉`, open, 268 / 1.8},
		{"deg F", KindTemperature, `300 deg F`, open, 268 / 1.8},
		{"degrees without scale", KindTemperature, `300 deg`, ReadAs{Bare: "°F"}, 268 / 1.8},
		{"C close", KindTemperature, `150C`, open, 150},
		{"C small", KindTemperature, `150c`, open, 150},
		{"below zero", KindTemperature, `-12 C`, open, -12},
		{"below zero, minus sign", KindTemperature, `−12 °C`, open, -12},
		{"below zero, dash", KindTemperature, `–12°C`, open, -12},
		{"plus", KindTemperature, `+5 C`, open, 5},
		{"kelvin", KindTemperature, `300 K`, open, 300 - 273.15},
		{"absolute zero in F", KindTemperature, `-459.67 F`, open, -273.15},
		{"as printed", KindTemperature, `250 °F (120 °C)`, open, 218 / 1.8},
		{"difference", KindTempDiff, `90 F`, open, 50},

		{"amps", KindCurrent, `120A`, open, 120},
		{"amps as a word", KindCurrent, `120 amps`, open, 120},
		{"volts", KindVoltage, `24.5V`, open, 24.5},
		{"psi", KindPressure, `90psi`, open, 90 * 6894.757293168},
		{"bar", KindPressure, `6bar`, open, 6e5},
		{"kPa", KindPressure, `620 kPa`, open, 620e3},
		{"MPa of pressure", KindPressure, `0.6 MPa`, open, 6e5},
		{"MPa", KindStress, `355 MPa`, open, 355e6},
		{"N/mm2", KindStress, `355 N/mm2`, open, 355e6},
		{"N/mm²", KindStress, `355 N/mm²`, open, 355e6},
		{"N/mm^2", KindStress, `355 N/mm^2`, open, 355e6},
		{"ksi", KindStress, `50ksi`, open, 50 * 6894757.293168},
		{"compression", KindStress, `-20 MPa`, open, -20e6},
		{"kW", KindPower, `8 kW`, open, 8000},
		{"W", KindPower, `800W`, open, 800},
		{"BTU/h", KindPower, `30000 BTU/h`, open, 30000 * 1055.05585262 / 3600},
		{"BTU/hr", KindPower, `30000 Btu/hr`, open, 30000 * 1055.05585262 / 3600},
		{"kBTU/h", KindPower, `30 kBTU/h`, open, 30000 * 1055.05585262 / 3600},
		{"hp", KindPower, `20 hp`, open, 20 * 745.69987158227022},
		{"kg", KindMass, `5kg`, open, 5},
		{"g", KindMass, `38 g`, open, 0.038},
		{"lb", KindMass, `10 lb`, open, 10 * lb},
		{"lbs", KindMass, `10lbs`, open, 10 * lb},
		{"oz", KindMass, `8 oz`, open, lb / 2},
		{"lb and oz", KindMass, `5 lb 4 oz`, open, 5.25 * lb},
		{"tonne", KindMass, `2 t`, open, 2000},
		{"litre", KindVolume, `20 L`, open, 0.02},
		{"litre, small", KindVolume, `20l`, open, 0.02},
		{"ft3", KindVolume, `140 ft3`, open, 140 * ft * ft * ft},
		{"cu ft", KindVolume, `140 cu ft`, open, 140 * ft * ft * ft},
		{"m3", KindVolume, `4 m3`, open, 4},
		{"gal is the US gallon", KindVolume, `5 gal`, open, 5 * 231 * 0.0254 * 0.0254 * 0.0254},
		{"imperial gallon by name", KindVolume, `5 imp gal`, open, 5 * 0.00454609},
		{"mm2", KindArea, `45 mm2`, open, 45e-6},
		{"square inch", KindArea, `2 sq. in.`, open, 2 * 0.0254 * 0.0254},
		{"lb/ft", KindLineMass, `10 lb/ft`, open, 10 * lb / ft},
		{"milliohm", KindResistance, `5 mohm`, open, 0.005},
		{"milliohm, sign", KindResistance, `5 mΩ`, open, 0.005},
		{"microohm", KindResistance, `250 µohm`, open, 250e-6},
		{"microohm, Greek mu", KindResistance, `250 μΩ`, open, 250e-6},
		{"microohm, u", KindResistance, `250 uohm`, open, 250e-6},
		{"ohm", KindResistance, `2 ohm`, open, 2},
		{"joule", KindEnergy, `27 J`, open, 27},
		{"foot pound", KindEnergy, `20 ft-lb`, open, 20 * ft * lb * 9.80665},

		{"kJ/mm", KindHeatInput, `1.2 kJ/mm`, open, 1.2e6},
		{"kJ per mm", KindHeatInput, `1.2 kJ per mm`, open, 1.2e6},
		{"kJ/in", KindHeatInput, `40 kJ/in`, open, 40e3 / 0.0254},
		{"hydrogen", KindHydrogen, `5 ml/100g`, open, 5},
		{"hydrogen with spaces", KindHydrogen, `5 mL / 100 g`, open, 5},
		{"HB", KindBrinell, `250 HB`, open, 250},
		{"HBW", KindBrinell, `250HBW`, open, 250},
		{"HV", KindVickers, `320 HV`, open, 320},
		{"HV10", KindVickers, `320 HV10`, open, 320},

		{"mm/min", KindSpeed, `150 mm/min`, open, 0.15 / 60},
		{"in/min", KindSpeed, `6 in/min`, open, 6 * 0.0254 / 60},
		{"ipm", KindSpeed, `6 ipm`, open, 6 * 0.0254 / 60},
		{"mph", KindSpeed, `20 mph`, open, 20 * 0.44704},
		{"km/h", KindSpeed, `30 km/h`, open, 30 / 3.6},
		{"m/s", KindSpeed, `8 m/s`, open, 8},

		{"seconds", KindTime, `90s`, open, 90},
		{"minutes", KindTime, `5 min`, open, 300},
		{"hours", KindTime, `2h`, open, 7200},
		{"half hours", KindTime, `1 1/2 h`, open, 5400},
		{"hours and bare minutes", KindTime, `1h30`, open, 5400},
		{"hours and m", KindTime, `1h30m`, open, 5400},
		{"hours and minutes", KindTime, `1 h 30 min`, open, 5400},
		{"hours, minutes, seconds", KindTime, `1 h 30 min 20 s`, open, 5420},
		{"colon with h", KindTime, `1:30 h`, open, 5400},
		{"colon with min", KindTime, `1:30 min`, open, 90},
		{"two colons", KindTime, `1:30:20`, open, 5420},
		{"colon, bare", KindTime, `1:30`, ReadAs{Bare: "h"}, 5400},
		{"days", KindTime, `3 days`, open, 259200},
		{"weeks", KindTime, `2 weeks`, open, 1209600},

		{"cfm", KindFlow, `26 cfm`, open, 26 * ft * ft * ft / 60},
		{"L/min", KindFlow, `750 L/min`, open, 0.0125},
		{"l/min", KindFlow, `750 l/min`, open, 0.0125},
		{"m3/h", KindFlow, `45 m3/h`, open, 0.0125},
		{"ft3/h", KindFlow, `30 ft3/h`, open, 30 * ft * ft * ft / 3600},
		{"kg/h", KindMassRate, `1.5 kg/h`, open, 1.5 / 3600},
		{"lb/h", KindMassRate, `3 lb/hr`, open, 3 * lb / 3600},

		{"root metre", KindStressIntensity, `12 MPa√m`, open, 12e6},
		{"root metre, power", KindStressIntensity, `12 MPa.m^0.5`, open, 12e6},
		{"root metre, product dot", KindStressIntensity, `12 MPa·√m`, open, 12e6},
		{"N/mm^1.5", KindStressIntensity, `370.2 N/mm^1.5`, open, 370.2 * 1e6 * math.Sqrt(1e-3)},
		{"deg", KindAngle, `60 deg`, open, math.Pi / 3},
		{"degree sign", KindAngle, `60°`, open, math.Pi / 3},
		{"rad", KindAngle, `0.5 rad`, open, 0.5},
		{"percent of a ratio", KindRatio, `60%`, open, 0.6},
		{"percent, bare", KindRatio, `60`, ReadAs{Bare: "%"}, 0.6},
		{"ratio, bare", KindRatio, `0.6`, ReadAs{Bare: "1"}, 0.6},
		{"percent", KindPercent, `0.18 %`, open, 0.18},
		{"full-width percent", KindPercent, `60％`, open, 60},
		{"kN", KindForce, `25 kN`, open, 25e3},
		{"lbf", KindForce, `1000 lbf`, open, 1000 * lb * 9.80665},
		{"N·m", KindMoment, `80 Nm`, open, 80},
		{"ft·lbf", KindMoment, `60 ft-lbs`, open, 60 * ft * lb * 9.80665},
		{"diffusivity", KindDiffusivity, `1.3e-4 mm2/s`, open, 1.3e-10},
		{"plain number", KindNumber, `3`, open, 3},
	}
	for _, c := range cases {
		t.Run(c.kind.String()+"/"+c.name, func(t *testing.T) {
			got, err := ReadKind(c.kind, c.text, c.as)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Abs(got - c.want); d > 1e-12*math.Abs(c.want) {
				t.Errorf("read %q: got %v, want %v, difference %g", c.text, got, c.want, d)
			}
		})
	}
}

// The messages are whole, since a person at the truck reads them.
func TestReadRefuses(t *testing.T) {
	thick := ReadAs{What: "thickness"}
	preheat := ReadAs{What: "preheat", Bare: "°F", OtherBare: "°C", Low: -40, High: 400}
	cases := []struct {
		name  string
		kind  Kind
		text  string
		as    ReadAs
		fault Fault
		want  string
	}{
		{"nothing", KindLength, " ", thick, NoNumber, `thickness " ": nothing is written; thickness takes mm, in, ft`},
		{"no number", KindLength, "thin", thick, NoNumber, `thickness "thin": it does not begin with a number; thickness takes mm, in, ft`},
		{"not a number", KindLength, "NaN mm", thick, NoNumber, `thickness "NaN mm": it does not begin with a number; thickness takes mm, in, ft`},
		{"infinite", KindLength, "Inf mm", thick, NoNumber, `thickness "Inf mm": it does not begin with a number; thickness takes mm, in, ft`},
		{"no unit", KindLength, "12", thick, NoUnit, `thickness "12": it has no unit; thickness takes mm, in, ft`},
		{"a degree is no scale", KindTemperature, "300°", open, NoUnit, `temperature "300°": it has no unit; temperature takes °C, °F`},
		{"unknown unit", KindLength, "12 furlongs", thick, UnknownUnit, `thickness "12 furlongs": "furlongs" is not a unit of length; thickness takes mm, in, ft`},
		{"other kind", KindLength, "300F", thick, OtherKind, `thickness "300F": 300F is a temperature; thickness takes mm, in, ft`},
		{"other kind, area", KindLength, "12 mm2", thick, OtherKind, `thickness "12 mm2": 12 mm2 is an area; thickness takes mm, in, ft`},
		{"length for a temperature", KindTemperature, "12 mm", ReadAs{What: "preheat"}, OtherKind, `preheat "12 mm": 12 mm is a length; preheat takes °C, °F`},
		{"cable size", KindLength, "2/0", inch, BadForm, `thickness "2/0": a number over 0 is a cable size; thickness takes mm, in, ft`},
		{"mil", KindLength, "12mil", thick, Ambiguous, `thickness "12mil": a mil is a millimetre in one country and 0.001 in in another; is it 12 mm (15/32 in) or 0.012 in (0.3 mm)?`},
		{"mil apart", KindLength, "12 mil", inch, Ambiguous, `thickness "12 mil": a mil is a millimetre in one country and 0.001 in in another; is it 12 mm (15/32 in) or 0.012 in (0.3 mm)?`},
		{"thousands or decimals", KindLength, "1,200 mm", thick, Ambiguous, `thickness "1,200 mm": the comma may part the thousands or be a decimal mark; is it 1200 mm (3 ft 11-1/4 in) or 1.2 mm (0.047 in)?`},
		{"thousands or decimals, all digits kept", KindLength, "1,234 mm", thick, Ambiguous, `thickness "1,234 mm": the comma may part the thousands or be a decimal mark; is it 1234 mm (4 ft 1/2 in) or 1.234 mm (0.049 in)?`},
		{"inch shop, mm meant", KindLength, "12", inch, Implausible, `thickness "12": 12 in is outside 0.02 to 5-7/8 in (0.5 to 150 mm); is it 12 in (305 mm) or 12 mm (15/32 in)?`},
		{"metric shop, inch meant", KindLength, "0.375", metric, Implausible, `thickness "0.375": 0.375 mm is outside 0.5 to 150 mm (0.02 to 5-7/8 in); is it 0.375 mm (0.015 in) or 3/8 in (9.5 mm)?`},
		{"metric shop, fraction", KindLength, "1/2", metric, Ambiguous, `thickness "1/2": a fraction means inches to most, and this job counts in mm; is it 1/2 in (12.7 mm) or 0.5 mm (0.02 in)?`},
		{"thickness of a foot", KindLength, "12 in", inch, Implausible, `thickness "12 in": 12 in is not plausible; thickness takes 0.02 to 5-7/8 in (0.5 to 150 mm)`},
		{"nought", KindLength, "0 mm", metric, Implausible, `thickness "0 mm": 0 mm is not plausible; thickness takes 0.5 to 150 mm (0.02 to 5-7/8 in)`},
		{"preheat 3000 F", KindTemperature, "3000 F", preheat, Implausible, `preheat "3000 F": 3000 °F is not plausible; preheat takes -40 to 750 °F (-40 to 400 °C)`},
		{"preheat of the other scale", KindTemperature, "-100", preheat, Implausible, `preheat "-100": -100 °F is not plausible; preheat takes -40 to 750 °F (-40 to 400 °C)`},
		{"lower limit only", KindMass, "0 kg", ReadAs{What: "bottle", Low: 0.1}, Implausible, `bottle "0 kg": 0 g is not plausible; bottle takes 100 g (3.5 oz) or more`},
		{"negative length", KindLength, "-3 mm", thick, Impossible, `thickness "-3 mm": a length cannot be negative; thickness takes 0 or more`},
		{"negative, limits known", KindLength, "-3 mm", metric, Impossible, `thickness "-3 mm": a length cannot be negative; thickness takes 0.5 to 150 mm (0.02 to 5-7/8 in)`},
		{"negative amps", KindCurrent, "−120 A", open, Impossible, `current "−120 A": a current cannot be negative; current takes 0 or more`},
		{"below absolute zero", KindTemperature, "-300 C", open, Impossible, `temperature "-300 C": it is below absolute zero; temperature takes -273.15 °C or more`},
		{"below absolute zero in F", KindTemperature, "-459.7 F", open, Impossible, `temperature "-459.7 F": it is below absolute zero; temperature takes -459.67 °F or more`},
		{"overflow", KindLength, "1e308 km", thick, Impossible, `thickness "1e308 km": the number is too large; thickness takes mm, in, ft`},
		{"power of ten", KindLength, "1e999 mm", thick, BadForm, `thickness "1e999 mm": that power of ten is beyond every measure; thickness takes mm, in, ft`},
		{"range", KindLength, "10-12 mm", thick, BadForm, `thickness "10-12 mm": it looks like a range, and one value is wanted; thickness takes mm, in, ft`},
		{"range in words", KindLength, "10 to 12 mm", thick, BadForm, `thickness "10 to 12 mm": it looks like a range, and one value is wanted; thickness takes mm, in, ft`},
		{"two numbers", KindLength, "3 5", inch, BadForm, `thickness "3 5": two numbers stand side by side; thickness takes mm, in, ft`},
		{"one-character fraction after a stroke", KindLength, "1/½ in", thick, UnknownUnit, `thickness "1/½ in": "/2 in" is not a unit of length; thickness takes mm, in, ft`},
		{"digit behind a fraction", KindLength, "½2 in", thick, BadForm, `thickness "½2 in": two numbers stand side by side; thickness takes mm, in, ft`},
		{"fraction of one and more", KindLength, "1 3/2 in", thick, BadForm, `thickness "1 3/2 in": the fraction after a whole number must be smaller than 1; thickness takes mm, in, ft`},
		{"marks in disorder", KindLength, "1,2,3 mm", thick, BadForm, `thickness "1,2,3 mm": points and commas stand where no number has them; thickness takes mm, in, ft`},
		{"comma at the end", KindLength, "12, mm", thick, BadForm, `thickness "12, mm": points and commas stand where no number has them; thickness takes mm, in, ft`},
		{"too many inches", KindLength, `2'14"`, thick, BadForm, `thickness “2'14"”: more in than make one ft; thickness takes mm, in, ft`},
		{"inches behind part feet", KindLength, "1.5 ft 6", thick, BadForm, `thickness "1.5 ft 6": only whole ft go before in; thickness takes mm, in, ft`},
		{"wrong unit behind feet", KindLength, "2 ft 6 mm", thick, UnknownUnit, `thickness "2 ft 6 mm": "mm" does not follow ft; thickness takes mm, in, ft`},
		{"echo that differs", KindLength, "1/2 in (13.7 mm)", thick, Ambiguous, `thickness "1/2 in (13.7 mm)": the two values differ; is it 1/2 in (12.7 mm) or 13.7 mm (17/32 in)?`},
		{"gauge", KindLength, "12 ga", thick, OtherKind, `thickness "12 ga": a gauge number is not a length; thickness takes mm, in, ft`},
		{"HB for HV", KindVickers, "250 HB", ReadAs{What: "cut edge"}, OtherKind, `cut edge "250 HB": 250 HB is a Brinell hardness, and one scale is not turned into the other here; cut edge takes HV`},
		{"HV for HB", KindBrinell, "320HV", ReadAs{What: "hardness"}, OtherKind, `hardness "320HV": 320HV is a Vickers hardness, and one scale is not turned into the other here; hardness takes HB`},
		{"HRC for HV", KindVickers, "25 HRC", ReadAs{What: "cut edge"}, OtherKind, `cut edge "25 HRC": Rockwell is a scale of its own and is not converted here; cut edge takes HV`},
		{"HRC for HB", KindBrinell, "HRC 25", ReadAs{What: "hardness"}, NoNumber, `hardness "HRC 25": it does not begin with a number; hardness takes HB`},
		{"hours or minutes", KindTime, "1:30", open, Ambiguous, `time "1:30": it may be hours and minutes or minutes and seconds; is it 1 h 30 min or 90 s?`},
		{"minutes or months", KindTime, "5 m", open, OtherKind, `time "5 m": m may be minutes or months; time takes s, min, h, d, wk`},
		{"month", KindTime, "2 months", open, OtherKind, `time "2 months": a month has no fixed length; time takes s, min, h, d, wk`},
		{"colon elsewhere", KindLength, "1:30 mm", thick, OtherKind, `thickness "1:30 mm": a colon belongs to a time; thickness takes mm, in, ft`},
		{"minutes above 59", KindTime, "1:75 h", open, BadForm, `time "1:75 h": after a colon come two digits from 00 to 59; time takes s, min, h, d, wk`},
		{"days with a bare number", KindTime, "2 days 4", open, NoUnit, `time "2 days 4": the second number has no unit; time takes s, min, h, d, wk`},
		{"ton", KindMass, "2 tons", open, Ambiguous, `mass "2 tons": a ton has three sizes; is it 2000 kg (4410 lb) or 4000 lb (1810 kg) or 4480 lb (2030 kg)?`},
		{"megohm is no milliohm", KindResistance, "2 MΩ", open, UnknownUnit, `resistance "2 MΩ": "MΩ" is not a unit of resistance; resistance takes mΩ, µΩ, Ω`},
		{"millijoule is no megajoule", KindEnergy, "2 mJ", open, UnknownUnit, `energy "2 mJ": "mJ" is not a unit of energy; energy takes J, kJ, BTU, ft·lbf`},
		{"unit on a count", KindNumber, "3 mm", ReadAs{What: "bottles"}, OtherKind, `bottles "3 mm": 3 mm is a length; bottles takes a plain number`},
		{"line break", KindLength, "12\nfurlongs", thick, UnknownUnit, `thickness "12 furlongs": "furlongs" is not a unit of length; thickness takes mm, in, ft`},
		{"too long", KindLength, strings.Repeat("9", 300), thick, BadForm, `thickness "9999999999999999999999999999999999999999…": too long for one value; thickness takes mm, in, ft`},
	}
	for _, c := range cases {
		t.Run(c.kind.String()+"/"+c.name, func(t *testing.T) {
			got, err := ReadKind(c.kind, c.text, c.as)
			var e *ReadError
			if !errors.As(err, &e) {
				t.Fatalf("read %q: got %v and error %v, want a ReadError", c.text, got, err)
			}
			if e.Fault != c.fault {
				t.Errorf("read %q: fault %q, want %q", c.text, e.Fault, c.fault)
			}
			if e.Error() != c.want {
				t.Errorf("read %q:\ngot  %s\nwant %s", c.text, e, c.want)
			}
		})
	}
}

func TestReadByType(t *testing.T) {
	got, err := Read[Length]("1/2 in", ReadAs{})
	if err != nil || got != Inch/2 {
		t.Errorf("got %v, %v, want %v", got, err, Inch/2)
	}
	n, err := Read[float64]("0,5", ReadAs{})
	if err != nil || n != 0.5 {
		t.Errorf("got %v, %v, want 0.5", n, err)
	}
	_, err = Read[Temperature]("250", ReadAs{What: "preheat"})
	if want := `preheat "250": it has no unit; preheat takes °C, °F`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// A value read must be the one that 12*Millimetre is, or a table's limit of 12 mm
// would not hold for a plate of 12 mm.
func TestReadIsTheProductInCode(t *testing.T) {
	for n := 1; n <= 400; n++ {
		mm := float64(n) / 10
		got, err := Read[Length](KindLength.mustUnit("mm").printedAs(mm), ReadAs{})
		if want := Length(mm) * Millimetre; err != nil || got != want {
			t.Errorf("%v mm: got %v, %v, want %v", mm, float64(got), err, float64(want))
		}
	}
	for f := -40; f <= 1200; f++ {
		got, err := Read[Temperature](KindTemperature.mustUnit("°F").printedAs(float64(f)), ReadAs{})
		if want := Fahrenheit(float64(f)); err != nil || got != want {
			t.Errorf("%d °F: got %v, %v, want %v", f, float64(got), err, float64(want))
		}
	}
}

func (u *Unit) printedAs(x float64) string { return shortest(x) + u.glue() }

func TestKindOfPanicsOnForeignTypes(t *testing.T) {
	type cubits float64
	defer func() {
		if recover() == nil {
			t.Error("want a panic")
		}
	}()
	KindOf[cubits]()
}

func TestExactPanicsOnUnknownUnit(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("want a panic")
		}
	}()
	Metre.Exact("cubit")
}
