package draw

import (
	"math"
	"slices"
)

// Hatching
//
// Method: in coordinates turned so that the lines lie level, each line is cut
// by the edges of the polygon (even-odd); the stretches inside are kept and
// those inside a polygon to leave out are taken away. Lines lie at whole
// multiples of the gap, so that neighbouring fields line up.

func (h Hatch) emit(c *context) {
	for _, s := range h.segments() {
		c.path([]Pt{s[0], s[1]}, false, h.Pen, None)
	}
}

func (h Hatch) segments() [][2]Pt {
	if len(h.In) < 3 || !(h.Gap > 0) {
		return nil
	}
	sin, cos := math.Sincos(h.Angle * math.Pi / 180)
	turn := func(p Pt) Pt { return Pt{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos} }
	back := func(p Pt) Pt { return Pt{p.X*cos + p.Y*sin, -p.X*sin + p.Y*cos} }
	in := turned(h.In, turn)
	out := make([][]Pt, len(h.Out))
	for i := range h.Out {
		out[i] = turned(h.Out[i], turn)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range in {
		low, high = min(low, p.Y), max(high, p.Y)
	}
	var all [][2]Pt
	for k := math.Ceil(low / h.Gap); k*h.Gap < high; k++ {
		// a shade off the round value keeps the line clear of corners
		y := k*h.Gap + 1e-7
		keep := crossings(in, y)
		for _, o := range out {
			keep = without(keep, crossings(o, y))
		}
		for i := 0; i+1 < len(keep); i += 2 {
			if keep[i+1]-keep[i] > 0.05 {
				all = append(all, [2]Pt{back(Pt{keep[i], y}), back(Pt{keep[i+1], y})})
			}
		}
	}
	return all
}

func turned(pts []Pt, turn func(Pt) Pt) []Pt {
	out := make([]Pt, len(pts))
	for i, p := range pts {
		out[i] = turn(p)
	}
	return out
}

// crossings gives where the level y enters and leaves a polygon, ascending.
func crossings(pts []Pt, y float64) []float64 {
	var xs []float64
	for i, a := range pts {
		b := pts[(i+1)%len(pts)]
		if (a.Y <= y) != (b.Y <= y) {
			xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
		}
	}
	slices.Sort(xs)
	return xs
}

// without takes the stretches of b out of those of a; both are pairs of ends.
func without(a, b []float64) []float64 {
	for i := 0; i+1 < len(b); i += 2 {
		var left []float64
		for k := 0; k+1 < len(a); k += 2 {
			if low, high := a[k], min(a[k+1], b[i]); high > low {
				left = append(left, low, high)
			}
			if low, high := max(a[k], b[i+1]), a[k+1]; high > low {
				left = append(left, low, high)
			}
		}
		a = left
	}
	return a
}
