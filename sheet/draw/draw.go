// Package draw is one drawing for screen and paper: a dozen primitives that
// writers put out as SVG (here) or PDF (package pdf), so that both show the same.
//
// Coordinates are millimetres on the paper, x to the right and y down; sizes of
// text are millimetres too. Tones are greys: a drawing must read in black and
// white, on a bad printer and in the sun, so nothing is said by colour.
package draw

import "math"

// Pt is a point on the paper, mm.
type Pt struct{ X, Y float64 }

// At makes a point.
func At(x, y float64) Pt { return Pt{x, y} }

// Add moves a point.
func (p Pt) Add(dx, dy float64) Pt { return Pt{p.X + dx, p.Y + dy} }

func (p Pt) plus(o Pt) Pt          { return Pt{p.X + o.X, p.Y + o.Y} }
func (p Pt) minus(o Pt) Pt         { return Pt{p.X - o.X, p.Y - o.Y} }
func (p Pt) times(f float64) Pt    { return Pt{p.X * f, p.Y * f} }
func (p Pt) length() float64       { return math.Hypot(p.X, p.Y) }
func (p Pt) across() Pt            { return Pt{-p.Y, p.X} }
func polar(r, angle float64) Pt    { return Pt{r * math.Cos(angle), r * math.Sin(angle)} }
func (p Pt) unit() (u Pt, ok bool) { l := p.length(); return p.times(1 / max(l, 1e-12)), l > 1e-12 }

// Tone is a grey.
type Tone uint8

const (
	None Tone = iota // nothing is drawn
	Black
	Dark
	Mid
	Light
	Pale
	White
)

// level is the tone as 0 (black) to 255 (white).
var level = [...]uint8{Black: 0, Dark: 80, Mid: 140, Light: 205, Pale: 236, White: 255}

// Level is the tone as 0 (black) to 255 (white).
func (t Tone) Level() uint8 { return level[t] }

// Pen is how a line is drawn.
type Pen struct {
	Width float64   // mm; 0: no line
	Tone  Tone      // None counts as black
	Dash  []float64 // mm on, mm off
}

// Pens of the drawings, thin to thick.
var (
	Hair   = Pen{Width: 0.15}
	Thin   = Pen{Width: 0.25}
	Normal = Pen{Width: 0.4}
	Thick  = Pen{Width: 0.8}
	Dashed = Pen{Width: 0.3, Dash: []float64{2, 1.2}}
	Chain  = Pen{Width: 0.2, Dash: []float64{4, 1, 0.8, 1}} // centre lines
)

// In gives the pen in another tone.
func (p Pen) In(t Tone) Pen { p.Tone = t; return p }

// Item is anything that can be drawn.
type Item interface{ emit(*context) }

// Drawing is one drawing with its size and its words for those who cannot see it.
type Drawing struct {
	W, H  float64
	Title string // short
	Desc  string // what is shown, with its figures
	Items []Item
}

// Add puts items on top of those there are.
func (d *Drawing) Add(items ...Item) { d.Items = append(d.Items, items...) }

// Line is a straight line.
type Line struct {
	A, B Pt
	Pen  Pen
}

// Poly is a polyline, or a polygon where closed.
type Poly struct {
	Pts    []Pt
	Closed bool
	Pen    Pen
	Fill   Tone
}

// Rect is an upright rectangle.
func Rect(x, y, w, h float64, pen Pen, fill Tone) Poly {
	return Poly{Pts: []Pt{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Closed: true, Pen: pen, Fill: fill}
}

// Arc is part of a circle, angles in rad from +x, growing clockwise as seen
// (y is down). A full turn is closed and may be filled.
type Arc struct {
	C        Pt
	R        float64
	From, To float64
	Pen      Pen
	Fill     Tone
}

// Circle is a full turn.
func Circle(c Pt, r float64, pen Pen, fill Tone) Arc {
	return Arc{C: c, R: r, To: 2 * math.Pi, Pen: pen, Fill: fill}
}

// Anchor says which end of a text its point is.
type Anchor uint8

const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of text; At is on its base line.
type Text struct {
	At     Pt
	S      string
	Size   float64 // mm
	Bold   bool
	Tone   Tone // None counts as black
	Anchor Anchor
	Turn   float64 // degrees, anticlockwise as seen
	Halo   bool    // on a white box, so that it reads on lines
}

// Hatch fills a polygon with slanted lines, leaving out other polygons.
type Hatch struct {
	In    []Pt
	Out   [][]Pt
	Gap   float64 // mm between lines
	Angle float64 // degrees from +x, anticlockwise as seen
	Pen   Pen
}

// Image is a JPEG or PNG picture.
type Image struct {
	At   Pt
	W, H float64
	Data []byte
	Desc string
}

// Group is items that belong together, with words for those who cannot see them.
type Group struct {
	Title, Desc string
	Items       []Item
}

// Place is another drawing on this one.
type Place struct {
	D     *Drawing
	At    Pt      // of its upper left corner
	Scale float64 // 0 counts as 1
}
