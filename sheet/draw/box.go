package draw

import "soundmetal/sheet/draw/font"

// Box is an upright rectangle.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Meets says that two boxes share more than the margin in both directions.
func (b Box) Meets(o Box, margin float64) bool {
	return min(b.X1, o.X1)-max(b.X0, o.X0) > margin && min(b.Y1, o.Y1)-max(b.Y0, o.Y0) > margin
}

// Within says that the box lies in the other one, but for the margin.
func (b Box) Within(o Box, margin float64) bool {
	return b.X0 >= o.X0-margin && b.Y0 >= o.Y0-margin && b.X1 <= o.X1+margin && b.Y1 <= o.Y1+margin
}

func (b Box) with(p Pt) Box {
	return Box{min(b.X0, p.X), min(b.Y0, p.Y), max(b.X1, p.X), max(b.Y1, p.Y)}
}

// Placed is one line of text and the box it takes up.
type Placed struct {
	Text
	Box Box
}

// Path is one path as painted.
type Path struct {
	Pts    []Pt
	Closed bool
	Pen    Pen
	Fill   Tone
	Group  string // title of the innermost group
}

// Parts is a drawing taken apart, for those who check it.
type Parts struct {
	Texts  []Placed
	Paths  []Path
	Images []Image
	groups []string
}

// Apart takes a drawing apart.
func Apart(d *Drawing) *Parts {
	p := &Parts{}
	Emit(d, p)
	return p
}

// Begin notes a group.
func (p *Parts) Begin(title, _ string) { p.groups = append(p.groups, title) }

// End leaves a group.
func (p *Parts) End() { p.groups = p.groups[:len(p.groups)-1] }

// Path notes a path.
func (p *Parts) Path(pts []Pt, closed bool, pen Pen, fill Tone) {
	group := ""
	if n := len(p.groups); n > 0 {
		group = p.groups[n-1]
	}
	p.Paths = append(p.Paths, Path{pts, closed, pen, fill, group})
}

// Text notes a line of text.
func (p *Parts) Text(t Text) {
	corners := t.corners(0)
	b := Box{corners[0].X, corners[0].Y, corners[0].X, corners[0].Y}
	for _, c := range corners[1:] {
		b = b.with(c)
	}
	p.Texts = append(p.Texts, Placed{t, b})
}

// Image notes a picture.
func (p *Parts) Image(i Image) { p.Images = append(p.Images, i) }

// Words gives the lines of text in the order they are painted.
func (p *Parts) Words() []string {
	var all []string
	for _, t := range p.Texts {
		all = append(all, t.S)
	}
	return all
}

// LineHeight is the distance between lines of text of a size.
func LineHeight(size float64) float64 { return size * font.Line }
