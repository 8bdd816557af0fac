// Package sketch draws what a welder wants to see of a repair: the crack and
// what is taken out, the joint, the beads in order, the order along the groove,
// a reinforcing plate, temperature and time, and the way of the current.
//
// Each drawing takes a small struct of its own with plain lengths and ready-made
// labels, and knows nothing of plans; package view fills them from a plan. All
// are to scale where they show steel, one scale in both directions.
package sketch

import (
	"math"
	"strings"

	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/words"

	q "soundmetal/quantity"
)

// Label is a figure as it stands in the plan: the leading system, and the same
// in the other one. Echo is empty where the trade has one unit.
type Label struct{ Lead, Echo string }

// String prints both: 1/2 in (12.7 mm).
func (l Label) String() string {
	if l.Echo == "" {
		return l.Lead
	}
	return l.Lead + " (" + l.Echo + ")"
}

func (l Label) lines() []string {
	if l.Echo == "" {
		return []string{l.Lead}
	}
	return []string{l.Lead, "(" + l.Echo + ")"}
}

// Frame is the room for a drawing and the words on it.
type Frame struct {
	Width float64 // mm on the paper; the drawing is that wide
	High  float64 // most height of the steel shown, mm; 0: as the width
	Size  float64 // of the figures, mm; 0: 3.6, on a phone 4.6
	Words *words.Book

	least float64 // of any word, mm
}

// Page and phone are the widths used: a page with margins, a phone held upright.
const (
	PageWidth  = 186
	PhoneWidth = 100
)

// phoneWord is the least size of a word on a phone, mm: the drawing is 360 px wide
// on a screen of 390, so that it comes out at 16 px.
const phoneWord = 4.5

func (f Frame) filled() Frame {
	if f.Size == 0 {
		f.Size = 3.6
		if f.Width < 130 { // on a phone
			f.Size, f.least = 4.6, phoneWord
		}
	}
	if f.High == 0 {
		f.High = f.Width
	}
	if f.Words == nil {
		f.Words = words.English()
	}
	return f
}

func (f Frame) t(key string, args ...any) string { return f.Words.T(key, args...) }

// scaleText names the scale: 1 : 3.5.
func scaleText(paperPerMM float64) string {
	if paperPerMM >= 1 {
		return trim(paperPerMM) + " : 1"
	}
	return "1 : " + trim(1/paperPerMM)
}

// roundScale makes a scale a little smaller, so that what is printed of it is
// exact.
func roundScale(s float64) float64 {
	switch {
	case s >= 1:
		return math.Floor(s*10+1e-9) / 10
	case s > 0.1:
		return 1 / (math.Ceil(10/s-1e-9) / 10)
	}
	return 1 / math.Ceil(1/s-1e-9)
}

func trim(v float64) string {
	if v >= 9.95 {
		return itoa(int(math.Round(v)))
	}
	tenths := int(math.Round(v * 10))
	if tenths%10 == 0 {
		return itoa(tenths / 10)
	}
	return itoa(tenths/10) + "." + itoa(tenths%10)
}

func itoa(n int) string {
	if n < 0 {
		return "-" + itoa(-n)
	}
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

// page is a drawing in the making.
type page struct {
	Frame
	d *draw.Drawing
}

func (f Frame) begin(title, desc string) *page {
	f = f.filled()
	return &page{f, &draw.Drawing{W: f.Width, Title: title, Desc: desc}}
}

func (p *page) add(items ...draw.Item) { p.d.Add(items...) }

// small is the size of words beside figures.
func (p *page) small() float64 { return max(p.Size*0.82, p.least) }

// tiny is that of scales and units.
func (p *page) tiny() float64 { return max(p.Size*0.82*0.85, p.least) }

// note is a line of words.
func (p *page) note(at draw.Pt, s string, anchor draw.Anchor) draw.Text {
	return draw.Text{At: at, S: s, Size: p.small(), Anchor: anchor, Halo: true}
}

// para writes words in as many lines as they need and gives the foot of the last.
func (p *page) para(x, y float64, s string) float64 {
	line := ""
	put := func() {
		if line != "" {
			y += p.small() * 1.4
			p.add(p.note(draw.At(x, y), line, draw.Start))
		}
	}
	for _, w := range strings.Fields(s) {
		if next := strings.TrimSpace(line + " " + w); p.note(draw.Pt{}, next, draw.Start).Width() <= p.Width-x-2 {
			line = next
			continue
		}
		put()
		line = w
	}
	put()
	return y
}

// row is a level dimension with its label above or below the line, kept within
// the frame. It gives the height used by the label.
type row struct {
	from, to float64 // on the paper
	y        float64 // of the dimension line
	toY      float64 // of what is measured: extension lines run there
	label    Label
	what     string // words behind the figure
	below    bool
}

// pieces are the label's figure and words, on one line or two.
func (p *page) pieces(r row) [][]draw.Text {
	lead := draw.Text{S: r.label.Lead, Size: p.Size, Bold: true, Halo: true}
	rest := r.what
	if r.label.Echo != "" {
		rest = "(" + r.label.Echo + ") " + r.what
	}
	tail := draw.Text{S: rest, Size: p.small(), Halo: true}
	if lead.Width()+tail.Width()+gapWords <= p.Width-4 {
		return [][]draw.Text{{lead, tail}}
	}
	return [][]draw.Text{{lead}, {tail}}
}

const gapWords = 1 // between figure and words, mm

// rowHeight is the room that a row takes.
func (p *page) rowHeight(r row) float64 {
	return float64(len(p.pieces(r)))*p.Size*1.2 + 3.2
}

// rows draws dimensions, all lines first and then the labels, so that no line
// runs through a label.
func (p *page) rows(all ...row) {
	for _, r := range all {
		over := r.y + sign(r.y-r.toY)*1.2
		p.add(draw.Line{A: draw.At(r.from, r.toY), B: draw.At(r.from, over), Pen: draw.Hair},
			draw.Line{A: draw.At(r.to, r.toY), B: draw.At(r.to, over), Pen: draw.Hair},
			draw.Dim{A: draw.At(r.from, r.y), B: draw.At(r.to, r.y)})
	}
	for _, r := range all {
		p.rowLabel(r)
	}
}

func (p *page) rowLabel(r row) {
	lines := p.pieces(r)
	y := r.y - 1.3 - float64(len(lines)-1)*p.Size*1.2
	if r.below {
		y = r.y + 1.3 + p.Size*font.CapHeight
	}
	for _, line := range lines {
		wide := gapWords * float64(len(line)-1)
		for _, t := range line {
			wide += t.Width()
		}
		x := min(max((r.from+r.to)/2-wide/2, 2), p.Width-2-wide)
		for _, t := range line {
			t.At = draw.At(x, y)
			p.add(t)
			x += t.Width() + gapWords
		}
		y += p.Size * 1.2
	}
}

// scaleNote names the scale in the lower right corner.
func (p *page) scaleNote(y float64, s string) {
	p.add(draw.Text{At: draw.At(p.Width-2, y), S: s, Size: p.tiny(), Anchor: draw.End})
}

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}

// zigzag is the line of a crack between two points.
func zigzag(a, b draw.Pt, pen draw.Pen) draw.Poly {
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long < 1e-9 {
		return draw.Poly{}
	}
	n := max(4, int(long/2.2))
	pts := []draw.Pt{a}
	for i := 1; i < n; i++ {
		f := float64(i) / float64(n)
		// an even wave looks drawn; every third tooth is smaller
		side := [...]float64{0.7, -0.7, 0.35, -0.5, 0.6, -0.3}[i%6]
		ux, uy := (b.X-a.X)/long, (b.Y-a.Y)/long
		pts = append(pts, draw.At(a.X+f*(b.X-a.X)-uy*side, a.Y+f*(b.Y-a.Y)+ux*side))
	}
	return draw.Poly{Pts: append(pts, b), Pen: pen}
}

// readingMark is where the heat is read.
func readingMark(at draw.Pt) draw.Group {
	const r = 1.5
	return draw.Group{Items: []draw.Item{
		draw.Circle(at, r, draw.Normal, draw.White),
		draw.Line{A: at.Add(-r-0.8, 0), B: at.Add(r+0.8, 0), Pen: draw.Thin},
		draw.Line{A: at.Add(0, -r-0.8), B: at.Add(0, r+0.8), Pen: draw.Thin},
	}}
}

// finish sets the height and the scale note.
func (p *page) finish(h float64) *draw.Drawing {
	p.d.H = h
	return p.d
}

func mm(l q.Length) float64 { return l.MM() }
