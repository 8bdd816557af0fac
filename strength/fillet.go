package strength

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed fillets.csv
var filletsCSV string

// FilletSize is the least and the largest leg of a fillet.
type FilletSize struct {
	Least q.Length
	Most  q.Length // along a plate's edge; zero thickness of the edge means no limit
	Built bool     // the edge must be built out to take the least leg
}

// FilletLimits gives the leg of a fillet between a plate's edge and a part under
// cyclic load. With low-hydrogen rods the thinner of the two counts, otherwise
// the thicker.
func FilletLimits(plate, part q.Length, lowHydrogen bool) (source.Result[FilletSize], error) {
	const method = "fillet-limits"
	none := source.Result[FilletSize]{}
	if err := positive(method, "plate thickness", plate.MM(), "part thickness", part.MM()); err != nil {
		return none, err
	}
	thin := min(plate, part)
	counts := max(plate, part)
	if lowHydrogen {
		counts = thin
	}
	w := begin(method, "Least and largest fillet", "least leg by table, 5 mm under cyclic load; at an edge from 6 mm: t - 2 mm", figRef("fillet_edge"))
	var least float64
	for _, r := range source.Table("fillets.csv", filletsCSV) {
		if counts.MM() > r.Num("over_mm") && counts.MM() <= upper(r, "up_to_mm") {
			least = r.Num("least_leg_mm")
			w.also(r.Ref())
		}
	}
	w.length("plate", plate, "")
	w.length("part", part, "")
	w.in("low hydrogen", map[bool]string{true: "yes: the thinner counts", false: "no: the thicker counts"}[lowHydrogen], "")
	w.step("least by table", fmt.Sprintf("for %s", counts.Text(q.SI)), "", least, "mm")
	least = math.Max(least, fig("fillet_cyclic"))
	least = math.Min(least, thin.MM())
	w.step("least, cyclic", "at least 5 mm, not more than the thinner part", "", least, "mm")
	most := plate.MM()
	if most >= fig("fillet_edge_from") {
		most -= fig("fillet_edge")
	}
	w.step("largest along the edge", "t below 6 mm, t - 2 mm from there", "", most, "mm")
	s := FilletSize{millis(least), millis(most), least > most}
	if s.Built {
		s.Most = s.Least
		w.note("the edge does not take the least leg: build it out to the full leg and mark it so on the drawing")
	}
	if !lowHydrogen {
		w.note("the least leg in a single pass")
	}
	w.note("shortest effective fillet: %s × leg", num(fig("fillet_length")))
	w.why("Too small a fillet on thick steel is quenched and cracks; too large a one melts the plate's edge away.",
		"The weld cracks at once, or its throat is smaller than it looks.")
	return result(w, s), nil
}
