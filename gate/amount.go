package gate

import (
	"strconv"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// amount is one value of a row of data. Where the source prints a round figure
// in each system, both are kept and shown as printed.
type amount struct {
	kind  q.Kind
	value float64 // SI
	us    float64 // SI, as printed in US units; the same as value where one is printed
}

var amountKinds = map[string]q.Kind{
	"length": q.KindLength, "time": q.KindTime, "temperature": q.KindTemperature,
	"tempdiff": q.KindTempDiff, "speed": q.KindSpeed, "current": q.KindCurrent, "voltage": q.KindVoltage,
}

// amounts reads the values of a row, bars between: kind:value unit, or
// kind:value unit=value unit where the source prints both systems.
func amounts(r source.Row, column string) []amount {
	var all []amount
	for _, cell := range r.List(column) {
		name, text, _ := strings.Cut(cell, ":")
		kind, ok := amountKinds[name]
		if !ok {
			panic("gate: " + r.File + ": no kind " + name)
		}
		read := func(text string) float64 {
			v, err := q.ReadKind(kind, text, q.ReadAs{})
			if err != nil {
				panic("gate: " + r.File + ": " + err.Error())
			}
			return v
		}
		si, us, both := strings.Cut(text, "=")
		a := amount{kind, read(si), read(si)}
		if both {
			a.us = read(us)
		}
		all = append(all, a)
	}
	return all
}

// text prints the value in both systems.
func (a amount) text(sys q.System) string {
	switch {
	case a.us == a.value:
		return a.kind.Text(a.value, sys)
	case sys == q.US:
		return a.kind.In(a.us, q.US) + " (" + a.kind.In(a.value, q.SI) + ")"
	}
	return a.kind.In(a.value, q.SI) + " (" + a.kind.In(a.us, q.US) + ")"
}

// placeholder is how a text names value i of its row.
func placeholder(i int) string { return "{" + strconv.Itoa(i) + "}" }
