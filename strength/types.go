package strength

import (
	q "soundmetal/quantity"
)

// The quantities that only this room uses, in SI like those of quantity.
type (
	SecondMoment   float64 // m⁴
	SectionModulus float64 // m³
	LineForce      float64 // N/m, shear flow or load on a weld per length
	Cycles         float64 // load cycles
	PerHour        float64 // load cycles in one hour of work
	Spread         float64 // standard deviation of the natural logarithm of a quantity
)

const (
	mm4     SecondMoment   = 1e-12
	mm3     SectionModulus = 1e-9
	perMM   LineForce      = 1e3                 // 1 N/mm
	rootMM                 = 31.6227766016837933 // N/mm^1.5 in 1 MPa√m
	elastic                = "elastic_modulus"   // key of E in figures.csv
)

// MM4 gives mm⁴.
func (i SecondMoment) MM4() float64 { return float64(i / mm4) }

// MM3 gives mm³.
func (w SectionModulus) MM3() float64 { return float64(w / mm3) }

// PerMM gives N/mm.
func (f LineForce) PerMM() float64 { return float64(f / perMM) }

// kSI makes a stress intensity of N/mm^1.5.
func kSI(k float64) q.StressIntensity { return q.StressIntensity(k/rootMM) * q.MPaRootMetre }

// kMM gives a stress intensity in N/mm^1.5.
func kMM(k q.StressIntensity) float64 { return float64(k/q.MPaRootMetre) * rootMM }

// mpa makes a stress of MPa.
func mpa(s float64) q.Stress { return q.Stress(s) * q.Megapascal }

// millis makes a length of mm.
func millis(l float64) q.Length { return q.Length(l) * q.Millimetre }
