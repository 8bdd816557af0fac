package strength

// Method:   section properties of anything made of plates, by rectangles
// Symbols:  b width along x, h height along y, (x, y) centroid of a rectangle
// Formula:  A = Σbh; xc = Σbhx/A; yc = Σbhy/A
//           Ix = Σ[bh³/12 + bh(y-yc)²]; Iy likewise; Ixy = Σbh(x-xc)(y-yc)
//           σ = N/A + Mx[Iy(y-yc) - Ixy(x-xc)]/D + My[Ix(x-xc) - Ixy(y-yc)]/D, D = IxIy - Ixy²
//           Mx > 0 puts +y in tension, My > 0 puts +x in tension
// Validity: elastic, plane sections, thin or thick; no shear lag, no buckling
// Source:   any strength of materials text (roark), from memory
//
// A crack is a rectangle taken away. With a crack on one side only Ixy is not
// zero, and M·y/I underestimates the stress at the crack's tip.

import (
	"errors"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Rect is one rectangle of a section.
type Rect struct {
	B, H q.Length // width along x and height along y
	X, Y q.Length // its centroid
}

// Section is what a section is worth.
type Section struct {
	Area         q.Area
	X, Y         q.Length // centroid
	Ix, Iy, Ixy  SecondMoment
	Left, Right  q.Length // outermost fibres
	Bottom, Top  q.Length
	WBottom      SectionModulus // Ix over the distance to the bottom fibre, and so on
	WTop         SectionModulus
	WLeft        SectionModulus
	WRight       SectionModulus
	Corners      []Point // where a stress can be highest
	RadiusX      q.Length
	RadiusY      q.Length
	SimplePlanes bool // Ixy is nil: x and y are principal axes
}

// Point is a place in the section.
type Point struct {
	X q.Length `json:"x"`
	Y q.Length `json:"y"`
}

// Properties works out a section of rectangles.
func Properties(rects []Rect) (source.Result[Section], error) {
	const method = "section"
	if len(rects) == 0 {
		return source.Result[Section]{}, errors.New(method + ": no rectangle given")
	}
	w := begin(method, "Section by rectangles", "A = Σbh; yc = Σbhy/A; Ix = Σ[bh³/12 + bh(y-yc)²]; W = Ix/|y-yc|",
		source.At("roark", "section properties", source.Memory))
	var s Section
	var sx, sy float64 // mm³
	var a float64
	for i, r := range rects {
		if err := positive(method, "width of a rectangle", r.B.MM(), "height of a rectangle", r.H.MM()); err != nil {
			return source.Result[Section]{}, err
		}
		b, h := r.B.MM(), r.H.MM()
		a += b * h
		sx += b * h * r.Y.MM()
		sy += b * h * r.X.MM()
		w.in(fmt.Sprintf("rectangle %d", i+1), size(" × ", r.B, r.H)+" at "+size(", ", r.X, r.Y), "")
	}
	xc, yc := sy/a, sx/a
	var ix, iy, ixy float64
	s.Left, s.Bottom = q.Length(math.Inf(1)), q.Length(math.Inf(1))
	s.Right, s.Top = q.Length(math.Inf(-1)), q.Length(math.Inf(-1))
	for _, r := range rects {
		b, h, dx, dy := r.B.MM(), r.H.MM(), r.X.MM()-xc, r.Y.MM()-yc
		ix += b*h*h*h/12 + b*h*dy*dy
		iy += h*b*b*b/12 + b*h*dx*dx
		ixy += b * h * dx * dy
		s.Left, s.Right = min(s.Left, r.X-r.B/2), max(s.Right, r.X+r.B/2)
		s.Bottom, s.Top = min(s.Bottom, r.Y-r.H/2), max(s.Top, r.Y+r.H/2)
		s.Corners = append(s.Corners, Point{r.X - r.B/2, r.Y - r.H/2}, Point{r.X + r.B/2, r.Y - r.H/2},
			Point{r.X - r.B/2, r.Y + r.H/2}, Point{r.X + r.B/2, r.Y + r.H/2})
	}
	s.Area, s.X, s.Y = q.Area(a)*q.SquareMillimetre, millis(xc), millis(yc)
	s.setMoments(ix, iy, ixy)
	w.step("area", "A = Σbh", "", a, "mm²")
	w.step("height of the centroid", "yc = Σbhy/A", fmt.Sprintf("%s / %s", num(sx), num(a)), yc, "mm")
	w.step("second moment about x", "Ix = Σ[bh³/12 + bh(y-yc)²]", "", ix, "mm⁴")
	w.step("second moment about y", "Iy = Σ[hb³/12 + bh(x-xc)²]", "", iy, "mm⁴")
	if !s.SimplePlanes {
		w.step("product moment", "Ixy = Σbh(x-xc)(y-yc)", "", ixy, "mm⁴")
		w.note("the section is not symmetric: M·y/I underestimates the highest stress; use the two-axis formula")
	}
	w.step("modulus, bottom fibre", "W = Ix/(yc-y)", fmt.Sprintf("%s / %s", num(ix), num(yc-s.Bottom.MM())), s.WBottom.MM3(), "mm³")
	w.step("modulus, top fibre", "W = Ix/(y-yc)", fmt.Sprintf("%s / %s", num(ix), num(s.Top.MM()-yc)), s.WTop.MM3(), "mm³")
	w.note("elastic, plane sections; no shear lag and no buckling in it")
	w.why("The section tells how much stress a load makes; a crack or a plate changes the section.",
		"Without it nobody knows whether what is left carries the load.")
	return result(w, s), nil
}

// setMoments fills moments, moduli and radii from mm⁴ and the extents.
func (s *Section) setMoments(ix, iy, ixy float64) {
	a := s.Area.MM2()
	s.Ix, s.Iy, s.Ixy = SecondMoment(ix)*mm4, SecondMoment(iy)*mm4, SecondMoment(ixy)*mm4
	s.WBottom = SectionModulus(ix/(s.Y-s.Bottom).MM()) * mm3
	s.WTop = SectionModulus(ix/(s.Top-s.Y).MM()) * mm3
	s.WLeft = SectionModulus(iy/(s.X-s.Left).MM()) * mm3
	s.WRight = SectionModulus(iy/(s.Right-s.X).MM()) * mm3
	s.RadiusX, s.RadiusY = millis(math.Sqrt(ix/a)), millis(math.Sqrt(iy/a))
	s.SimplePlanes = math.Abs(ixy) <= 1e-9*math.Sqrt(ix*iy)
}

// Cut takes a crack away from a section: every rectangle loses what lies inside
// the crack's rectangle.
func Cut(rects []Rect, crack Rect) []Rect {
	left, right := crack.X-crack.B/2, crack.X+crack.B/2
	bottom, top := crack.Y-crack.H/2, crack.Y+crack.H/2
	var rest []Rect
	keep := func(l, r, b, t q.Length) {
		if r-l > 1e-9 && t-b > 1e-9 { // a nanometre: rounding, not steel
			rest = append(rest, Rect{r - l, t - b, (l + r) / 2, (b + t) / 2})
		}
	}
	for _, r := range rects {
		l, ri, b, t := r.X-r.B/2, r.X+r.B/2, r.Y-r.H/2, r.Y+r.H/2
		cl, cr, cb, ct := max(l, left), min(ri, right), max(b, bottom), min(t, top)
		if cl >= cr || cb >= ct {
			rest = append(rest, r)
			continue
		}
		keep(l, cl, b, t)
		keep(cr, ri, b, t)
		keep(cl, cr, b, cb)
		keep(cl, cr, ct, t)
	}
	return rest
}

// Actions are what the section carries.
type Actions struct {
	N   q.Force   // tension positive
	Mx  q.Moment  // puts +y in tension
	My  q.Moment  // puts +x in tension
	AtX *q.Length // where N acts; nil is the section's own centroid
	AtY *q.Length
}

// StressAt gives the stress at one place by the two-axis formula.
func StressAt(s Section, load Actions, at Point) source.Result[q.Stress] {
	w := begin("section-stress", "Stress in a section, two axes",
		"σ = N/A + Mx[Iy(y-yc) - Ixy(x-xc)]/(IxIy-Ixy²) + My[Ix(x-xc) - Ixy(y-yc)]/(IxIy-Ixy²)",
		source.At("roark", "unsymmetric bending", source.Memory))
	n, mx, my := float64(load.N), float64(load.Mx)*1e3, float64(load.My)*1e3 // N, N·mm
	if load.AtY != nil {
		mx += n * (*load.AtY - s.Y).MM()
		w.note("the pull acts where it acted before the crack: it adds a bending of N × the shift of the centroid")
	}
	if load.AtX != nil {
		my += n * (*load.AtX - s.X).MM()
	}
	a, ix, iy, ixy := s.Area.MM2(), s.Ix.MM4(), s.Iy.MM4(), s.Ixy.MM4()
	x, y := (at.X - s.X).MM(), (at.Y - s.Y).MM()
	d := ix*iy - ixy*ixy
	pull, bx, by := n/a, mx*(iy*y-ixy*x)/d, my*(ix*x-ixy*y)/d
	w.in("place", "x, y: "+size(", ", at.X, at.Y), "")
	w.step("pull", "N/A", fmt.Sprintf("%s / %s", num(n), num(a)), pull, "MPa")
	w.step("bending about x", "Mx[Iy(y-yc) - Ixy(x-xc)]/D", "", bx, "MPa")
	w.step("bending about y", "My[Ix(x-xc) - Ixy(y-yc)]/D", "", by, "MPa")
	w.why("A section with a crack on one side bends about a tilted axis; only this formula sees it.",
		"M·y/I shows too little stress at the tip of the crack.")
	return result(w, mpa(pull+bx+by))
}

// Worst gives the place of the highest tension among the corners.
func Worst(s Section, load Actions) (Point, source.Result[q.Stress]) {
	best, at := StressAt(s, load, s.Corners[0]), s.Corners[0]
	for _, p := range s.Corners[1:] {
		if r := StressAt(s, load, p); r.Value > best.Value {
			best, at = r, p
		}
	}
	return at, best
}
