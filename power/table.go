package power

import (
	_ "embed"
	"strconv"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// The embedded tables are read once, when the program starts.

//go:embed figures.csv
var figuresCSV string

// figures are the scalars of the trade that the methods share.
var figures = source.ReadFigures("power/figures.csv", figuresCSV, nil)

func fig(id string) source.Figure { return figures.Of(id) }

//go:embed limits.csv
var limitsCSV string

var limits = source.ReadLimits("power/limits.csv", limitsCSV)

// within refuses a value, given in the limit's own unit, outside the method's range.
func within(method, quantity string, v float64) error { return limits.Within(method, quantity, v) }

// Saying is one standing sentence with its source.
type Saying struct {
	Text string     `json:"text"`
	Ref  source.Ref `json:"source"`
}

//go:embed sayings.csv
var sayingsCSV string

var sayings = mustSayings(sayingsCSV)

func mustSayings(text string) map[string][]Saying {
	all := map[string][]Saying{}
	for _, r := range source.Table("sayings.csv", text) {
		all[r.Text("topic")] = append(all[r.Text("topic")], Saying{r.Text("text"), r.Ref()})
	}
	return all
}

// ReturnRules are the standing rules for the work clamp and the way back of the current.
func ReturnRules() []Saying { return append([]Saying(nil), sayings["return"]...) }

// Numbers in the working are shown in both systems, with the digits that matter.

func num(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }

// short prints up to four digits.
func short(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

func ampText(i q.Current) string  { return short(float64(i)) + " A" }
func voltText(v q.Voltage) string { return short(float64(v)) + " V" }
func lengthText(l q.Length) string {
	return short(float64(l)) + " m (" + short(float64(l/q.Foot)) + " ft)"
}
func tempText(t q.Temperature) string { return num(t.C(), 0) + " °C (" + num(t.F(), 0) + " °F)" }
func massText(m q.Mass) string {
	return short(float64(m)) + " kg (" + short(float64(m/q.Pound)) + " lb)"
}
func powerText(p q.Power) string {
	return short(float64(p/q.Kilowatt)) + " kW (" + short(float64(p/q.BTUPerHour)/1000) + "k BTU/h)"
}
func rateText(r q.MassRate) string {
	return short(float64(r/q.KilogramPerHour)) + " kg/h (" + short(float64(r/q.PoundPerHour)) + " lb/h)"
}
func gasText(f q.Flow) string {
	return short(float64(f)*3600) + " m³/h (" + short(float64(f/q.CubicFootPerHour)) + " ft³/h)"
}
func airText(f q.Flow) string {
	return num(float64(f/q.LitrePerMinute), 0) + " L/min (" + num(float64(f/q.CubicFootPerMinute), 0) + " cfm)"
}
func pressureText(p q.Pressure) string {
	return num(float64(p/q.Kilopascal), 0) + " kPa (" + num(float64(p/q.PSI), 0) + " psi)"
}
func percentText(r q.Ratio) string { return r.Text(q.SI) }

func spanText[T ~float64](r q.Of[T], text func(T) string) string {
	if r.Low == r.High {
		return text(r.Low)
	}
	return text(r.Low) + " to " + text(r.High)
}
