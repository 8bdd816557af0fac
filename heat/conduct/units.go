package conduct

import (
	"fmt"

	q "soundmetal/quantity"
)

// Quantities of heat flow that package quantity does not need elsewhere.
type (
	Conductivity     float64 // W/(m·K)
	SpecificHeat     float64 // J/(kg·K)
	Density          float64 // kg/m³
	SpecificEnthalpy float64 // J/kg
	Film             float64 // W/(m²·K), heat transfer coefficient
	Flux             float64 // W/m²
)

// stefanBoltzmann is the Stefan-Boltzmann constant, W/(m²·K⁴).
const stefanBoltzmann = 5.670374419e-8

// kelvin is 0 °C in K.
const kelvin = 273.15

// Point is a place in the part: x along the weld, y across, z from the far
// face towards the welder.
type Point struct{ X, Y, Z q.Length }

// At makes a Point.
func At(x, y, z q.Length) Point { return Point{x, y, z} }

// MM makes a Point of millimetres.
func MM(x, y, z float64) Point {
	return Point{q.Length(x) * q.Millimetre, q.Length(y) * q.Millimetre, q.Length(z) * q.Millimetre}
}

// String prints the point in millimetres.
func (p Point) String() string {
	return fmt.Sprintf("(%.4g, %.4g, %.4g) mm", p.X.MM(), p.Y.MM(), p.Z.MM())
}

func (p Point) xyz() [3]float64 {
	return [3]float64{float64(p.X), float64(p.Y), float64(p.Z)}
}

// Face is the side of the part that a surface looks to.
type Face uint8

// The six sides. ZHigh is the welder's side, ZLow the far face.
const (
	XLow Face = iota
	XHigh
	YLow
	YHigh
	ZLow
	ZHigh
	faces
)

// String names the face.
func (f Face) String() string {
	return [...]string{"x low", "x high", "y low", "y high", "far face", "welder's face", "every face"}[f]
}

// axis is 0, 1, 2; up says that the face looks to higher coordinates.
func (f Face) axis() (axis int, up bool) { return int(f) / 2, f%2 == 1 }
