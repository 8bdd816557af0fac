package plan

import (
	"fmt"
	"strings"

	q "soundmetal/quantity"
)

// HeatReading is what the welder read while the torch burnt.
type HeatReading struct {
	Time q.Time        // since the torch was lit
	T    q.Temperature // read
	At   q.Length      // from the groove edge, beside the middle of the groove
	Far  bool          // on the far face; else on the face of the flame
}

// ReadHeat reads a reading as people write it: "8min: 90C at 75mm", and
// "8min: 90C at 75mm far" for the far face. Degrees and distance need a unit.
func ReadHeat(text string) (HeatReading, error) {
	var r HeatReading
	wrong := func(err error) (HeatReading, error) {
		return r, fmt.Errorf("reading %q: %w; write it as 8min: 90C at 75mm, with far behind it for the far face", text, err)
	}
	head, rest, ok := strings.Cut(text, ":")
	if !ok {
		return wrong(fmt.Errorf("the minutes come first, then a colon"))
	}
	degrees, place, ok := strings.Cut(rest, " at ")
	if !ok {
		return wrong(fmt.Errorf("the distance from the groove edge comes after the word at"))
	}
	place = strings.TrimSpace(place)
	for _, word := range []string{" far face", " far", " near"} {
		if cut, found := strings.CutSuffix(place, word); found {
			place, r.Far = cut, word != " near"
			break
		}
	}
	var err error
	if r.Time, err = q.Read[q.Time](strings.TrimSpace(head), q.ReadAs{What: "time", Bare: "min", Low: 10, High: 12 * 3600}); err != nil {
		return wrong(err)
	}
	if r.T, err = q.Read[q.Temperature](strings.TrimSpace(degrees), q.ReadAs{What: "temperature", Low: -60, High: 700}); err != nil {
		return wrong(err)
	}
	if r.At, err = q.Read[q.Length](place, q.ReadAs{What: "distance", Low: 0, High: 0.5}); err != nil {
		return wrong(err)
	}
	return r, nil
}
