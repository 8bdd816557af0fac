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
	Constant  float64  // MPa³
	Threshold q.Stress // below which a constant range does no harm
	Ref       source.Ref
}

// Life is the design life at a range, without the threshold.
func (c Category) Life(srange q.Stress) Cycles { return Cycles(c.Constant / math.Pow(srange.MPa(), 3)) }

// FAT is the class at 2 million cycles on the same line.
func (c Category) FAT() q.Stress { return mpa(math.Cbrt(c.Constant / fig("sn_reference"))) }

// CategoryByName gives category A, B, C, D, E or E'.
func CategoryByName(name string) (Category, error) {
	for _, r := range source.Table("categories.csv", categoriesCSV) {
		if r.Text("category") == name {
			return Category{name, r.Num("constant"), mpa(r.Num("threshold_mpa")), r.Ref()}, nil
		}
	}
	return Category{}, fmt.Errorf("no category %q; A, B, C, D, E or E' would do", name)
}
