package cut

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed rules.csv
var rulesCSV string

// unitSI is what one of the table's unit is in SI. dB, A and V stay as they are.
var unitSI = map[string]float64{
	"1": 1, "A": 1, "V": 1, "dB": 1, "mm": 1e-3, "m": 1, "mm/m": 1e-3, "A/mm": 1e3,
	"m/min": 1.0 / 60, "MJ/kg": 1e6, "deg": math.Pi / 180, "kg/m3": 1, "h": 3600,
}

// rules are the figures of the trade, in SI units.
var rules = source.ReadFigures("cut/rules.csv", rulesCSV, unitSI)

func figure(id string) source.Figure { return rules.Of(id) }

// span gives a figure's range as a quantity.
func span[T ~float64](f source.Figure) q.Of[T] { return q.Of[T]{Low: T(f.Low), High: T(f.High)} }

// length prints a length in both systems.
func length(l q.Length) string { return l.Text(q.SI) }

// lengths prints a range of lengths in both systems.
func lengths(r q.Of[q.Length]) string { return r.Text(q.SI) }

// amps prints a current band.
func amps(r q.Of[q.Current]) string { return r.Text(q.SI) }

// positive refuses a length that cannot be.
func positive(what string, l q.Length) error {
	if l > 0 && !math.IsInf(float64(l), 0) {
		return nil
	}
	return fmt.Errorf("%s must be more than 0 mm, not %.4g mm", what, l.MM())
}
