package joint

import (
	"math"

	q "soundmetal/quantity"
)

// cut gives the k+1 places, as parts of the width, that divide a band with its
// cap into equal sections. Without cap they are equal parts. With a cap of
// section c over a band of section b the part of the section up to s is
//
//	b·s + c·(3s² − 2s³)
//
// the second term being the parabola 1 − (2s − 1)² integrated and normed.
func (w *welder) cut(band, crown float64, k int) []float64 {
	cuts := make([]float64, k+1)
	cuts[k] = 1
	for i := 1; i < k; i++ {
		s := float64(i) / float64(k)
		if crown > 0 {
			want := s * (band + crown)
			low, high := 0.0, 1.0
			for range 50 {
				e := band*s + crown*s*s*(3-2*s) - want
				if math.Abs(e) <= 1e-10*(band+crown) {
					break
				}
				if e > 0 {
					high = s
				} else {
					low = s
				}
				s -= e / (band + 6*crown*s*(1-s))
				if !(s > low && s < high) {
					s = (low + high) / 2
				}
			}
		}
		cuts[i] = s
	}
	return cuts
}

// capChords is the number of chords a whole cap is drawn with; a slice gets its
// share and at least two. The chords lose less than 1 % of a cap bead.
const capChords = 16

// outline draws the slice between two cuts and finds its centre and height.
func (w *welder) outline(b *Bead, p *profile, s0, s1, to, top, hc float64) {
	first := len(w.pen.points)
	put := func(x, y float64) {
		if n := len(w.pen.points); n > first {
			a := w.pen.points[n-1]
			w.pen.to(x, y)
			c := w.pen.points[n]
			if math.Abs(float64(a.X-c.X)) < 1e-9 && math.Abs(float64(a.Y-c.Y)) < 1e-9 {
				w.pen.points = w.pen.points[:n] // a sharp root: one point, not two
			}
			return
		}
		w.pen.to(x, y)
	}
	at := func(s, y float64) float64 { l := p.left(y); return l + s*(p.right(y)-l) }
	ys := w.ys
	// up the right side, over the top to the left, and down again
	for _, y := range ys {
		put(at(s1, y), y)
	}
	if hc > 0 {
		n := max(2, int(math.Ceil(float64(capChords)*(s1-s0))))
		for i := 0; i <= n; i++ {
			s := s1 + (s0-s1)*float64(i)/float64(n)
			u := 2*s - 1
			put(at(s, to), to+hc*(1-u*u))
		}
	}
	for i := len(ys) - 1; i >= 0; i-- {
		put(at(s0, ys[i]), ys[i])
	}
	if n := len(w.pen.points); n-first > 3 {
		a, c := w.pen.points[first], w.pen.points[n-1]
		if math.Abs(float64(a.X-c.X)) < 1e-9 && math.Abs(float64(a.Y-c.Y)) < 1e-9 {
			w.pen.points = w.pen.points[:n-1]
		}
	}
	b.Outline = w.pen.points[first:len(w.pen.points):len(w.pen.points)]
	_, b.X, b.Y = centroid(b.Outline)
	peak := 0.0 // highest point of the cap over this slice
	if hc > 0 {
		u := 0.0
		switch {
		case 2*s0-1 > 0:
			u = 2*s0 - 1
		case 2*s1-1 < 0:
			u = 2*s1 - 1
		}
		peak = hc * (1 - u*u)
	}
	b.Height = q.Length(to-ys[0]+peak) * q.Millimetre
}

// centroid gives area and centre of a closed outline.
func centroid(ps []Point) (area q.Area, x, y q.Length) {
	var a, cx, cy float64
	o := ps[0] // relative to one corner, so that far outlines lose no digits
	for i := range ps {
		j := i + 1
		if j == len(ps) {
			j = 0
		}
		x0, y0 := float64(ps[i].X-o.X), float64(ps[i].Y-o.Y)
		x1, y1 := float64(ps[j].X-o.X), float64(ps[j].Y-o.Y)
		c := x0*y1 - x1*y0
		a += c
		cx += (x0 + x1) * c
		cy += (y0 + y1) * c
	}
	if a == 0 {
		return 0, o.X, o.Y
	}
	return q.Area(math.Abs(a) / 2), o.X + q.Length(cx/(3*a)), o.Y + q.Length(cy/(3*a))
}
