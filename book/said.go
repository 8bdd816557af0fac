package book

import (
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Said is a measured value as it was said and in SI. The words are kept, so that
// no round trip makes 1/2 in of it 12.7 mm and then 0.49 in.
type Said[T ~float64] struct {
	SI T      `json:"si"`
	As string `json:"as,omitempty"`
}

// SI makes a Said of a plain value.
func SI[T ~float64](v T) *Said[T] { return &Said[T]{SI: v} }

// value gives the value and whether it was said at all.
func value[T ~float64](s *Said[T]) (T, bool) {
	if s == nil {
		return 0, false
	}
	return s.SI, true
}

// Say reads what was typed into a form: 85 C, 3/16, 120A. Nothing typed, or
// "don't know", gives nil. A bare number is in the unit of the system. The error
// is one sentence about the field what.
func Say[T ~float64](what, text string, units job.Units) (*Said[T], error) {
	text = strings.TrimSpace(text)
	switch strings.ToLower(text) {
	case "", "?", "unknown", "don't know", "dont know":
		return nil, nil
	}
	kind := q.KindOf[T]()
	as := q.ReadAs{What: what}
	us, si := bareUnits(kind)
	as.Bare, as.OtherBare = si, us
	if units == job.US {
		as.Bare, as.OtherBare = us, si
	}
	limits := plausible[kind]
	as.Low, as.High = limits[0], limits[1]
	v, err := q.Read[T](text, as)
	if err != nil {
		return nil, &Refusal{Code: CodeField, Field: what, Text: err.Error()}
	}
	return &Said[T]{SI: v, As: text}, nil
}

// plausible are limits of what is typed into the record, SI: what lies outside is
// a slip of the finger.
var plausible = map[q.Kind][2]float64{
	q.KindTemperature: {-60, 1400},
	q.KindLength:      {0.0001, 50},
	q.KindCurrent:     {5, 3000},
	q.KindTime:        {0, 400 * 24 * 3600},
}

// bareUnits gives the unit of a number written without one.
func bareUnits(kind q.Kind) (us, si string) {
	switch kind {
	case q.KindLength:
		return "in", "mm"
	case q.KindTemperature:
		return "F", "C"
	case q.KindCurrent:
		return "A", "A"
	case q.KindTime:
		return "min", "min"
	}
	return "", ""
}
