//go:build !js

package web

import (
	"math"
	"strings"
	"testing"

	"soundmetal/book"
	"soundmetal/job"
	q "soundmetal/quantity"
)

// What is offered at one tap can be read, and both systems mean about the same:
// plates come in different steps.
func TestUsualValuesAreRead(t *testing.T) {
	for id, row := range usualValues {
		if len(row[0]) != len(row[1]) || len(row[0]) == 0 {
			t.Errorf("%s: %d values in one system, %d in the other", id, len(row[0]), len(row[1]))
			continue
		}
		for i := range row[0] {
			var si, us float64
			var err error
			switch {
			case id == "looks":
				continue // working hours, bare
			case strings.HasSuffix(row[0][i], " C"):
				si, us, err = readBoth[q.Temperature](row[0][i], row[1][i])
				si, us = si+273, us+273
			case strings.HasSuffix(row[0][i], "mm"), strings.HasSuffix(row[0][i], " m"):
				si, us, err = readBoth[q.Length](row[0][i], row[1][i])
			default:
				si, us, err = readBoth[q.Time](row[0][i], row[1][i])
			}
			if err != nil || math.Abs(si/us-1) > 0.3 {
				t.Errorf("%s: %s and %s: %g and %g, %v", id, row[0][i], row[1][i], si, us, err)
			}
		}
	}
}

func readBoth[T ~float64](si, us string) (float64, float64, error) {
	a, err := book.Say[T]("x", si, job.SI)
	if err != nil {
		return 0, 0, err
	}
	b, err := book.Say[T]("x", us, job.US)
	if err != nil {
		return 0, 0, err
	}
	return float64(a.SI), float64(b.SI), nil
}
