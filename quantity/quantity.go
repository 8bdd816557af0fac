// Package quantity holds the typed values of the trade.
//
// Each type is a float64 in the SI unit named in its comment, except
// Temperature, which is in degrees Celsius because every formula of the trade
// is, and Hydrogen and the hardness numbers, which are scales of their own.
// Values are converted at the edges only: a room below calculates in these
// types, and Text prints both systems.
//
// Types cannot catch everything: a Stress and a Pressure are both pascals, a
// HeatInput and a line force are both J/m. They are kept apart by name.
package quantity

import (
	"fmt"
	"math"
)

// System is the unit system that leads on page and paper; both are always shown.
type System uint8

const (
	SI System = iota
	US
)

// String gives the word used in a job file.
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "si"
}

// MarshalText gives the word used in a job file.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the word of String.
func (s *System) UnmarshalText(text []byte) error {
	switch string(text) {
	case "us":
		*s = US
	case "si":
		*s = SI
	default:
		return fmt.Errorf("no system of units %q; it is us or si", text)
	}
	return nil
}

type (
	Length          float64 // m
	Area            float64 // m²
	Volume          float64 // m³
	Mass            float64 // kg
	LineMass        float64 // kg/m
	Temperature     float64 // °C
	TempDiff        float64 // K
	Time            float64 // s
	Speed           float64 // m/s
	Stress          float64 // Pa
	Pressure        float64 // Pa
	Current         float64 // A
	Voltage         float64 // V
	Resistance      float64 // Ω
	Power           float64 // W
	Energy          float64 // J
	HeatInput       float64 // J/m
	Hydrogen        float64 // ml of diffusible hydrogen per 100 g of deposited metal (ISO 3690)
	Vickers         float64 // HV10
	Brinell         float64 // HBW 10/3000
	Flow            float64 // m³/s of free air or gas
	MassRate        float64 // kg/s
	Angle           float64 // rad
	Ratio           float64 // 1
	Percent         float64 // % by mass
	Diffusivity     float64 // m²/s
	StressIntensity float64 // Pa·√m
	Force           float64 // N
	Moment          float64 // N·m
)

// The US units of force and pressure follow from these, exactly.
const (
	poundForce = 0.45359237 * 9.80665 // N
	squareInch = 0.0254 * 0.0254      // m²
)

const (
	Metre      Length = 1
	Millimetre        = Metre / 1000
	Inch              = 25.4 * Millimetre
	Foot       Length = 0.3048

	SquareMillimetre Area = 1e-6
	SquareInch            = 645.16 * SquareMillimetre

	CubicMillimetre Volume = 1e-9
	CubicCentimetre Volume = 1e-6

	Kilogram Mass = 1
	Gram          = Kilogram / 1000
	Pound         = 0.45359237 * Kilogram

	KilogramPerMetre LineMass = 1
	PoundPerFoot     LineMass = 0.45359237 / 0.3048

	Kelvin TempDiff = 1

	Second Time = 1
	Minute      = 60 * Second
	Hour        = 60 * Minute

	MetrePerSecond      Speed = 1
	MillimetrePerMinute Speed = 1e-3 / 60
	InchPerMinute       Speed = 25.4 * MillimetrePerMinute
	KilometrePerHour    Speed = 1 / 3.6
	MilePerHour         Speed = 0.44704

	Megapascal Stress = 1e6
	KSI        Stress = 1000 * poundForce / squareInch

	Kilopascal Pressure = 1e3
	Bar        Pressure = 1e5
	PSI        Pressure = poundForce / squareInch

	Ampere Current = 1
	Volt   Voltage = 1

	Ohm      Resistance = 1
	Milliohm            = Ohm / 1000

	Watt       Power = 1
	Kilowatt         = 1000 * Watt
	BTUPerHour Power = 1055.05585262 / 3600      // of the International Table
	Horsepower Power = 550 * 0.3048 * poundForce // 550 ft·lbf/s

	Joule     Energy = 1
	Kilojoule        = 1000 * Joule

	KilojoulePerMillimetre HeatInput = 1e6
	KilojoulePerInch       HeatInput = 1e3 / 0.0254

	LitrePerMinute     Flow = 1e-3 / 60
	CubicFootPerMinute Flow = 28.316846592e-3 / 60
	CubicFootPerHour   Flow = 28.316846592e-3 / 3600

	KilogramPerHour MassRate = 1.0 / 3600
	PoundPerHour    MassRate = 0.45359237 / 3600

	Radian Angle = 1
	Degree Angle = math.Pi / 180

	MPaRootMetre StressIntensity = 1e6

	Newton          Force  = 1
	Kilonewton             = 1000 * Newton
	NewtonMetre     Moment = 1
	KilonewtonMetre        = 1000 * NewtonMetre
)

// MM gives the length in millimetres.
func (l Length) MM() float64 { return float64(l / Millimetre) }

// Inches gives the length in inches.
func (l Length) Inches() float64 { return float64(l / Inch) }

// MM2 gives the area in square millimetres.
func (a Area) MM2() float64 { return float64(a / SquareMillimetre) }

// C gives degrees Celsius.
func (t Temperature) C() float64 { return float64(t) }

// F gives degrees Fahrenheit.
func (t Temperature) F() float64 { return float64(t)*1.8 + 32 }

// K gives kelvins.
func (t Temperature) K() float64 { return float64(t) + 273.15 }

// Fahrenheit makes a Temperature of degrees Fahrenheit.
func Fahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }

// Minutes gives the time in minutes.
func (t Time) Minutes() float64 { return float64(t / Minute) }

// Hours gives the time in hours.
func (t Time) Hours() float64 { return float64(t / Hour) }

// MPa gives megapascals.
func (s Stress) MPa() float64 { return float64(s / Megapascal) }

// KJPerMM gives kilojoules per millimetre.
func (q HeatInput) KJPerMM() float64 { return float64(q / KilojoulePerMillimetre) }

// KJPerInch gives kilojoules per inch.
func (q HeatInput) KJPerInch() float64 { return float64(q / KilojoulePerInch) }

// MMPerMin gives millimetres per minute.
func (s Speed) MMPerMin() float64 { return float64(s / MillimetrePerMinute) }

// Degrees gives the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Of is a closed range of one quantity. A plain value is a range with equal ends.
type Of[T ~float64] struct {
	Low  T `json:"low"`
	High T `json:"high"`
}

// Span makes a range of two values in either order.
func Span[T ~float64](a, b T) Of[T] { return Of[T]{min(a, b), max(a, b)} }

// At makes a range of one value.
func At[T ~float64](v T) Of[T] { return Of[T]{v, v} }

// Mid is the middle of the range.
func (r Of[T]) Mid() T { return (r.Low + r.High) / 2 }

// Has says whether v lies in the range, ends included.
func (r Of[T]) Has(v T) bool { return r.Low <= v && v <= r.High }

// Meet is the part that two ranges share; ok is false where they share none.
func (r Of[T]) Meet(o Of[T]) (shared Of[T], ok bool) {
	shared = Of[T]{max(r.Low, o.Low), min(r.High, o.High)}
	return shared, shared.Low <= shared.High
}

// Maybe is a value that may be unknown. Unknown is a value of its own, never a zero.
type Maybe[T any] struct {
	V     T // meaningless while Known is false
	Known bool
}

// Known makes a known value.
func Known[T any](v T) Maybe[T] { return Maybe[T]{v, true} }

// Or gives the value, or other where it is unknown.
func (m Maybe[T]) Or(other T) T {
	if m.Known {
		return m.V
	}
	return other
}
