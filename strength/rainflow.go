package strength

// Method:   rainflow counting
// Formula:  reduce to reversals; with the last three points Y = |range before last|,
//           X = |last range|: X < Y read on; X ≥ Y and Y holds the start S: Y is ½ cycle,
//           drop the first point; else Y is a cycle, drop its two points; at the end
//           every range left is ½ cycle
// Validity: any history of at least two different values, in any unit
// Source:   ASTM E1049-85 5.4.4

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"soundmetal/source"
)

// Counted is one counted range of a history, in the unit of the history.
type Counted struct {
	Range float64
	Mean  float64
	Count float64 // 0.5 or 1
}

// Rainflow counts the cycles of a history, in the order they are found.
func Rainflow(history []float64) (source.Result[[]Counted], error) {
	const method = "rainflow"
	none := source.Result[[]Counted]{}
	for _, v := range history {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return none, fmt.Errorf("%s: the history holds a value that is no number", method)
		}
	}
	points := reversals(history)
	if len(points) < 2 {
		return none, errors.New(method + ": the history needs at least two different values")
	}
	w := begin(method, "Rainflow count", "three-point rule on the reversals", source.At("astm-e1049", "5.4.4", source.Read))
	w.in("history", fmt.Sprintf("%d values, %d reversals", len(history), len(points)), "")
	var found []Counted
	count := func(a, b, n float64) {
		found = append(found, Counted{math.Abs(b - a), (a + b) / 2, n})
	}
	var stack []float64
	for _, p := range points {
		stack = append(stack, p)
		for len(stack) >= 3 {
			n := len(stack)
			x, y := math.Abs(stack[n-1]-stack[n-2]), math.Abs(stack[n-2]-stack[n-3])
			if x < y {
				break
			}
			if n == 3 { // Y holds the start
				count(stack[0], stack[1], 0.5)
				stack = stack[1:]
				continue
			}
			count(stack[n-3], stack[n-2], 1)
			stack = append(stack[:n-3], stack[n-1])
		}
	}
	for i := 0; i+1 < len(stack); i++ {
		count(stack[i], stack[i+1], 0.5)
	}
	for _, s := range SumRanges(found) {
		w.step("range "+num(s.Range), "count", "", s.Count, "cycles")
	}
	w.note("for a history that repeats, start at its highest peak: then only whole cycles are found")
	w.why("Rainflow finds the full swings in a wild load history, as the steel feels them.", "Small wiggles are counted and the one big swing is missed.")
	return result(w, found), nil
}

// reversals keeps the turning points of a history and its ends.
func reversals(history []float64) []float64 {
	var points []float64
	for _, v := range history {
		n := len(points)
		switch {
		case n > 0 && points[n-1] == v:
		case n > 1 && (points[n-1]-points[n-2])*(v-points[n-1]) > 0:
			points[n-1] = v
		default:
			points = append(points, v)
		}
	}
	return points
}

// SumRanges adds up the counts of equal ranges, lowest range first. Means are dropped.
func SumRanges(all []Counted) []Counted {
	var sums []Counted
	sorted := slices.Clone(all)
	slices.SortFunc(sorted, func(a, b Counted) int {
		switch {
		case a.Range < b.Range:
			return -1
		case a.Range > b.Range:
			return 1
		}
		return 0
	})
	for _, c := range sorted {
		if n := len(sums); n > 0 && math.Abs(sums[n-1].Range-c.Range) <= 1e-9*c.Range {
			sums[n-1].Count += c.Count
			continue
		}
		sums = append(sums, Counted{Range: c.Range, Count: c.Count})
	}
	return sums
}
