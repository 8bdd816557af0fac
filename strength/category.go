package strength

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed categories.csv
var categoriesCSV string

// Category is one letter category of the American cyclic rules: N = A/Δσ³.
type Category struct {
	Name      string
	Threshold q.Stress // below which a constant range does no harm
	Ref       source.Ref
	constant  float64 // MPa³
}

// Life is the design life at a range, without the threshold.
func (c Category) Life(srange q.Stress) Cycles { return Cycles(c.constant / math.Pow(srange.MPa(), 3)) }

// FAT is the class at 2 million cycles on the same line.
func (c Category) FAT() q.Stress { return mpa(math.Cbrt(c.constant / fig("sn_reference"))) }

// CategoryByName gives category A, B, C, D, E or E'.
func CategoryByName(name string) (Category, error) {
	for _, r := range source.Table("categories.csv", categoriesCSV) {
		if r.Text("category") == name {
			return Category{name, mpa(r.Num("threshold_mpa")), r.Ref(), r.Num("constant")}, nil
		}
	}
	return Category{}, fmt.Errorf("no category %q; A, B, C, D, E or E' would do", name)
}
