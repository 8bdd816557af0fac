package strength

import (
	"math"

	"soundmetal/source"
)

// upper gives the upper end of a band: no limit where the cell is empty.
func upper(r source.Row, column string) float64 { return r.Or(column, math.Inf(1)) }
