package quantity

import "fmt"

// Kind says which quantity a number is. It is what a form, a job file or the
// unit table has in hand where Go's type is not known.
type Kind uint8

// The kinds, one for each type of this package. KindNumber is a plain float64,
// such as a count: it has no unit.
const (
	KindNumber Kind = iota
	KindLength
	KindArea
	KindVolume
	KindMass
	KindLineMass
	KindTemperature
	KindTempDiff
	KindTime
	KindSpeed
	KindPressure
	KindStress
	KindCurrent
	KindVoltage
	KindResistance
	KindPower
	KindEnergy
	KindHeatInput
	KindHydrogen
	KindVickers
	KindBrinell
	KindFlow
	KindMassRate
	KindAngle
	KindPercent
	KindRatio
	KindDiffusivity
	KindStressIntensity
	KindForce
	KindMoment
	kindCount
)

// absoluteZero is 0 K in °C, exact by the definition of the Celsius scale.
const absoluteZero = -273.15

// kindFacts is what is true of every value of a kind.
type kindFacts struct {
	id     string  // in units.csv, prints.csv and words.csv
	name   string  // in messages
	signed bool    // may be negative
	low    float64 // lowest value; 0 for none
}

// kinds has the order in which a unit found in a wrong place is named: psi is a
// pressure first.
var kinds = [kindCount]kindFacts{
	KindNumber:          {id: "number", name: "plain number", signed: true},
	KindLength:          {id: "length", name: "length"},
	KindArea:            {id: "area", name: "area"},
	KindVolume:          {id: "volume", name: "volume"},
	KindMass:            {id: "mass", name: "mass"},
	KindLineMass:        {id: "linemass", name: "mass per length"},
	KindTemperature:     {id: "temperature", name: "temperature", signed: true, low: absoluteZero},
	KindTempDiff:        {id: "tempdiff", name: "temperature difference", signed: true},
	KindTime:            {id: "time", name: "time"},
	KindSpeed:           {id: "speed", name: "speed"},
	KindPressure:        {id: "pressure", name: "pressure"},
	KindStress:          {id: "stress", name: "stress", signed: true}, // compression is negative
	KindCurrent:         {id: "current", name: "current"},
	KindVoltage:         {id: "voltage", name: "voltage", signed: true},
	KindResistance:      {id: "resistance", name: "resistance"},
	KindPower:           {id: "power", name: "power"},
	KindEnergy:          {id: "energy", name: "energy"},
	KindHeatInput:       {id: "heatinput", name: "heat input"},
	KindHydrogen:        {id: "hydrogen", name: "hydrogen content"},
	KindVickers:         {id: "vickers", name: "Vickers hardness"},
	KindBrinell:         {id: "brinell", name: "Brinell hardness"},
	KindFlow:            {id: "flow", name: "flow"},
	KindMassRate:        {id: "massrate", name: "mass rate"},
	KindAngle:           {id: "angle", name: "angle", signed: true},
	KindPercent:         {id: "percent", name: "percentage"},
	KindRatio:           {id: "ratio", name: "ratio", signed: true}, // a stress ratio may be negative
	KindDiffusivity:     {id: "diffusivity", name: "diffusivity"},
	KindStressIntensity: {id: "stressintensity", name: "stress intensity"},
	KindForce:           {id: "force", name: "force", signed: true},
	KindMoment:          {id: "moment", name: "moment", signed: true},
}

// String gives the name used in messages.
func (k Kind) String() string {
	if k >= kindCount {
		return fmt.Sprintf("kind %d", uint8(k))
	}
	return kinds[k].name
}

// Kinds lists every kind.
func Kinds() []Kind {
	all := make([]Kind, kindCount)
	for i := range all {
		all[i] = Kind(i)
	}
	return all
}

// KindOf gives the kind of a type of this package, and KindNumber for float64.
// Any other type is a programmer's error and panics.
func KindOf[T ~float64]() Kind {
	var zero T
	switch t := any(zero).(type) {
	case interface{ Kind() Kind }:
		return t.Kind()
	case float64:
		return KindNumber
	}
	panic(fmt.Sprintf("quantity: %T is not a quantity", zero))
}

// a gives the name with its article.
func (k Kind) a() string {
	switch k.String()[0] {
	case 'a', 'e', 'i', 'o', 'u':
		return "an " + k.String()
	}
	return "a " + k.String()
}

func kindByID(id string) (Kind, bool) {
	for k := range kinds {
		if kinds[k].id == id {
			return Kind(k), true
		}
	}
	return 0, false
}
