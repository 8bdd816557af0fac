package strength

import (
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Profile is a section by its usual dimensions. The origin is the middle of the
// bottom face; y goes up.
type Profile struct {
	Shape  job.Shape // plate, box, i-section, channel, angle, tube
	Width  q.Length  // outside width; the outside diameter of a tube; the length of an angle's lying leg
	Depth  q.Length  // outside depth; zero for a tube
	Flange q.Length  // thickness of the flanges or of the lying leg; of a plate: zero, Depth is its thickness
	Web    q.Length  // thickness of the web, of each web of a box, of the standing leg, of a tube's wall
	Webs   q.Length  // box: distance between the middles of the webs; zero puts them flush with the sides
}

// Rects breaks a profile of plates into rectangles.
func (p Profile) Rects() ([]Rect, error) {
	inner := p.Depth - 2*p.Flange // clear height between flanges
	switch p.Shape {
	case job.Plate, job.Solid:
		return []Rect{{p.Width, p.Depth, 0, p.Depth / 2}}, p.check(false, false)
	case job.Box:
		if err := p.check(true, true); err != nil {
			return nil, err
		}
		x := p.webSpacing() / 2
		return []Rect{{p.Width, p.Flange, 0, p.Flange / 2}, {p.Width, p.Flange, 0, p.Depth - p.Flange/2},
			{p.Web, inner, -x, p.Depth / 2}, {p.Web, inner, x, p.Depth / 2}}, nil
	case job.ISection:
		return []Rect{{p.Width, p.Flange, 0, p.Flange / 2}, {p.Width, p.Flange, 0, p.Depth - p.Flange/2},
			{p.Web, inner, 0, p.Depth / 2}}, p.check(true, true)
	case job.Channel: // web on the left
		return []Rect{{p.Width, p.Flange, 0, p.Flange / 2}, {p.Width, p.Flange, 0, p.Depth - p.Flange/2},
			{p.Web, inner, -p.Width/2 + p.Web/2, p.Depth / 2}}, p.check(true, true)
	case job.AngleBar: // standing leg on the left
		return []Rect{{p.Width, p.Flange, 0, p.Flange / 2},
			{p.Web, p.Depth - p.Flange, -p.Width/2 + p.Web/2, (p.Depth + p.Flange) / 2}}, p.check(true, false)
	}
	return nil, fmt.Errorf("section: shape %q is not made of rectangles; plate, box, i-section, channel or angle would be", p.Shape)
}

func (p Profile) webSpacing() q.Length {
	if p.Webs > 0 {
		return p.Webs
	}
	return p.Width - p.Web
}

func (p Profile) check(flange, two bool) error {
	if err := positive("section", "width", p.Width.MM(), "depth", p.Depth.MM()); err != nil {
		return err
	}
	if !flange {
		return nil
	}
	if err := positive("section", "flange thickness", p.Flange.MM(), "web thickness", p.Web.MM()); err != nil {
		return err
	}
	if two && 2*p.Flange >= p.Depth || p.Flange >= p.Depth || p.Web >= p.Width ||
		p.Shape == job.Box && (2*p.Web >= p.Width || p.webSpacing()+p.Web > p.Width) {
		return fmt.Errorf("section: the walls of the %s are thicker than the section has room for", p.Shape)
	}
	return nil
}

// SectionOf works out a profile, with plates added and cracks taken away.
// Cracks are taken from the profile, not from the added plates.
func SectionOf(p Profile, doublers []Rect, cracks []Rect) (source.Result[Section], error) {
	if p.Shape == job.Tube {
		if len(doublers)+len(cracks) > 0 {
			return source.Result[Section]{}, fmt.Errorf("section: a tube with a crack has its own method (tube-crack); plates on a tube are not covered")
		}
		return tubeSection(p.Width, p.Web)
	}
	rects, err := p.Rects()
	if err != nil {
		return source.Result[Section]{}, err
	}
	for _, c := range cracks {
		rects = Cut(rects, c)
	}
	r, err := Properties(append(rects, doublers...))
	if err != nil {
		return r, err
	}
	r.Basis.Inputs = append([]source.Input{{Name: "shape", Text: p.text()}}, r.Basis.Inputs...)
	if p.Shape == job.Channel && len(cracks) == 0 {
		// b and h run to the mid-lines of the walls
		b, h := (p.Width - p.Web/2).MM(), (p.Depth - p.Flange).MM()
		e := 3 * b * b * p.Flange.MM() / (6*b*p.Flange.MM() + h*p.Web.MM())
		r.Basis.Steps = append(r.Basis.Steps, source.Step{Name: "shear centre, outside the web's mid-line",
			Formula: "e = 3b²tf/(6b·tf + h·tw)", Value: e, Unit: "mm"})
		r.Basis.Notes = append(r.Basis.Notes, "a channel loaded off its shear centre twists")
	}
	return r, nil
}

func (p Profile) text() string {
	switch p.Shape {
	case job.Tube:
		return "tube " + size(" × ", p.Width, p.Web)
	case job.Plate, job.Solid:
		return "plate " + size(" × ", p.Width, p.Depth)
	}
	return fmt.Sprintf("%s %s, flange %s, web %s", p.Shape, size(" × ", p.Width, p.Depth), p.Flange.Text(q.SI), p.Web.Text(q.SI))
}

// tubeSection is the exact round tube.
func tubeSection(outside, wall q.Length) (source.Result[Section], error) {
	const method = "section"
	d, t := outside.MM(), wall.MM()
	if err := positive(method, "outside diameter", d, "wall", t); err != nil {
		return source.Result[Section]{}, err
	}
	if 2*t > d {
		return source.Result[Section]{}, fmt.Errorf("%s: wall %s mm is more than half the diameter %s mm", method, num(t), num(d))
	}
	w := begin(method, "Section of a round tube", "A = π(D²-d²)/4; I = π(D⁴-d⁴)/64; W = 2I/D",
		source.At("roark", "section properties", source.Memory))
	in := d - 2*t
	a := math.Pi / 4 * (d*d - in*in)
	i := math.Pi / 64 * (math.Pow(d, 4) - math.Pow(in, 4))
	s := Section{Area: q.Area(a) * q.SquareMillimetre, Y: outside / 2,
		Left: -outside / 2, Right: outside / 2, Bottom: 0, Top: outside,
		Corners: []Point{{0, 0}, {0, outside}, {-outside / 2, outside / 2}, {outside / 2, outside / 2}}}
	s.setMoments(i, i, 0)
	w.in("shape", "tube "+size(" × ", outside, wall), "")
	w.step("area", "A = π(D²-d²)/4", fmt.Sprintf("π(%s²-%s²)/4", num(d), num(in)), a, "mm²")
	w.step("second moment", "I = π(D⁴-d⁴)/64", "", i, "mm⁴")
	w.step("modulus", "W = 2I/D", fmt.Sprintf("2 × %s / %s", num(i), num(d)), s.WBottom.MM3(), "mm³")
	w.why("The section tells how much stress a load makes.", "Without it nobody knows what the part carries.")
	return result(w, s), nil
}
