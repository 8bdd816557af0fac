package sketch

import (
	"math"
	"slices"
	"strconv"

	"soundmetal/joint"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// Weld is the weld in cross-section, every bead numbered in welding order.
type Weld struct {
	Groove joint.Groove
	Beads  []WeldBead
}

// WeldBead is one bead.
type WeldBead struct {
	Number, Layer, Side int
	Kind                string // root, fill, cap, back
	Outline             []joint.Point
}

const (
	leastNumber = 2.3 // size of a bead's number on the paper, mm
	mostNumber  = 5.5
)

// DrawWeld draws the weld. The drawing is made as large as the frame allows;
// the numbers follow the size of the beads.
func DrawWeld(s Weld, f Frame) (*draw.Drawing, error) {
	p := f.begin(f.filled().t("beads.title"), "")
	sec, err := sectionOf(s.Groove)
	if err != nil {
		return nil, err
	}
	layers := layersOf(s.Beads)
	p.d.Desc = p.describeWeld(layers)

	// caps stand above the plate and, on the second side, below it
	up, down := sec.top, sec.bottom
	half := 0.0
	for _, b := range s.Beads {
		for _, o := range b.Outline {
			up, down, half = max(up, mm(o.Y)), min(down, mm(o.Y)), max(half, math.Abs(mm(o.X)))
		}
	}
	half += max(0.12*(sec.top-sec.bottom), 5)
	names := p.layerNames(layers)
	wide := 0.0
	for _, n := range names {
		wide = max(wide, p.note(draw.Pt{}, n, draw.Start).Width())
	}
	column := wide + 11     // layer names with their lines, on the right
	narrow := p.Width < 130 // on a phone they stand below
	if narrow {
		column = 0
	}
	scale := roundScale(min((p.Width-column-4)/(2*half), p.High/(up-down), 8))
	column = min(column, wide+26) // the names stand close beside the weld
	c := cross{scale: scale, x0: (p.Width-column-2*half*scale)/2 + half*scale, y0: 4 + up*scale}

	p.ground(c, sec, half)
	p.beads(c, s.Beads)
	foot := c.pt(0, down).Y + 2
	if narrow {
		for _, n := range names {
			foot = p.para(4, foot, n)
		}
	} else {
		column = p.layerColumn(c, layers, names, c.x0+half*scale+2, min(p.Width-wide-2, c.x0+half*scale+24))
	}
	for _, b := range hidden(s.Beads) {
		foot += p.small() * 1.4
		p.add(p.note(draw.At(2, foot), p.t("beads.gouged", strconv.Itoa(b.Number)), draw.Start))
	}
	foot += p.small() * 1.4
	p.scaleNote(foot, scaleText(scale))
	return p.finish(max(foot, column) + 2), nil
}

// weldLayer is a layer with its first and last bead.
type weldLayer struct {
	number, side int
	kind         string
	beads        []WeldBead
}

func layersOf(beads []WeldBead) []weldLayer {
	var all []weldLayer
	for _, b := range beads {
		if n := len(all); n == 0 || all[n-1].number != b.Layer {
			all = append(all, weldLayer{number: b.Layer, side: b.Side, kind: b.Kind})
		}
		l := &all[len(all)-1]
		l.beads = append(l.beads, b)
	}
	return all
}

func (p *page) layerNames(layers []weldLayer) []string {
	two := false
	for _, l := range layers {
		two = two || l.side == 2
	}
	var names []string
	for _, l := range layers {
		first, last := l.beads[0].Number, l.beads[len(l.beads)-1].Number
		n := strconv.Itoa(first)
		if last > first {
			n += "–" + strconv.Itoa(last)
		}
		name := p.t("beads.layer", l.number) + ", " + p.t("beads."+l.kind) + ": " + n
		if two {
			name = p.t("beads.side", l.side) + ", " + name
		}
		names = append(names, name)
	}
	return names
}

func (p *page) describeWeld(layers []weldLayer) string {
	text := p.t("beads.desc")
	for _, n := range p.layerNames(layers) {
		text += " " + n + "."
	}
	return text
}

// ground draws the plate that the weld lies in.
func (p *page) ground(c cross, sec section, half float64) {
	plate := []draw.Pt{c.pt(-half, sec.top), c.pt(half, sec.top), c.pt(half, sec.bottom), c.pt(-half, sec.bottom)}
	var out [][]draw.Pt
	for _, o := range sec.outlines {
		out = append(out, c.outline(o))
	}
	p.add(draw.Hatch{In: plate, Out: out, Gap: 2.4, Angle: 45, Pen: draw.Hair.In(draw.Light)},
		draw.Line{A: plate[0], B: plate[1], Pen: draw.Thin}, draw.Line{A: plate[3], B: plate[2], Pen: draw.Thin},
		torn(plate[0], plate[3]), torn(plate[1], plate[2]))
}

// beads draws every bead, layers in two tones by turns, and then the numbers.
func (p *page) beads(c cross, beads []WeldBead) {
	gone := hidden(beads)
	var shapes, numbers []draw.Item
	for _, b := range beads {
		tone := draw.White
		if b.Layer%2 == 0 {
			tone = draw.Pale
		}
		pts := c.outline(b.Outline)
		shapes = append(shapes, draw.Poly{Pts: pts, Closed: true, Pen: draw.Normal, Fill: tone})
		if slices.ContainsFunc(gone, func(g WeldBead) bool { return g.Number == b.Number }) {
			continue
		}
		numbers = append(numbers, numberOn(pts, b.Number))
	}
	p.add(draw.Group{Title: p.t("beads.title"), Items: shapes}, draw.Group{Items: numbers})
}

// numberOn sets a bead's number in the widest part of its outline.
func numberOn(pts []draw.Pt, number int) draw.Text {
	lowX, lowY, highX, highY := pts[0].X, pts[0].Y, pts[0].X, pts[0].Y
	for _, p := range pts {
		lowX, highX, lowY, highY = min(lowX, p.X), max(highX, p.X), min(lowY, p.Y), max(highY, p.Y)
	}
	text := strconv.Itoa(number)
	w := font.Width(text, true)
	best := draw.Text{Anchor: draw.Middle, S: text, Bold: true, Size: -1}
	bestOff := 0.0
	// the level at which the largest number fits between the sides
	for i := 1; i < 16; i++ {
		y := lowY + (highY-lowY)*float64(i)/16
		a, b, ok := widthAt(pts, y)
		if !ok {
			continue
		}
		mid := (a + b) / 2
		size := min(0.75*(b-a)/w, 1.5*min(y-lowY, highY-y)/font.CapHeight, mostNumber)
		// its corners must be inside too
		for range 2 {
			h := size * font.CapHeight / 2
			a1, b1, ok1 := widthAt(pts, y-h)
			a2, b2, ok2 := widthAt(pts, y+h)
			if !ok1 || !ok2 {
				size *= 0.7
				continue
			}
			a, b = max(a, a1, a2), min(b, b1, b2)
			size = min(size, 0.8*(b-a)/w)
		}
		off := math.Abs(y - (lowY+highY)/2)
		if size > best.Size+1e-9 || (size > best.Size-1e-9 && off < bestOff) {
			best.Size, bestOff = size, off
			best.At = draw.At(max(a+0.55*w*size, min(b-0.55*w*size, mid)), y+size*font.CapHeight/2)
		}
	}
	if best.Size < leastNumber { // better a number on the line than none that can be read
		if best.Size < 0 {
			best.At = draw.At((lowX+highX)/2, (lowY+highY)/2)
		} else {
			best.At.Y -= best.Size * font.CapHeight / 2
		}
		best.At.Y += leastNumber * font.CapHeight / 2
		best.Size = leastNumber
	}
	return best
}

// widthAt gives the widest stretch of the polygon at a level.
func widthAt(pts []draw.Pt, y float64) (a, b float64, ok bool) {
	var xs []float64
	for i, p := range pts {
		n := pts[(i+1)%len(pts)]
		if (p.Y <= y) != (n.Y <= y) {
			xs = append(xs, p.X+(n.X-p.X)*(y-p.Y)/(n.Y-p.Y))
		}
	}
	slices.Sort(xs)
	for i := 0; i+1 < len(xs); i += 2 {
		if xs[i+1]-xs[i] > b-a {
			a, b, ok = xs[i], xs[i+1], true
		}
	}
	return a, b, ok
}

// hidden are the beads of the first side whose middle the second side takes
// away again.
func hidden(beads []WeldBead) []WeldBead {
	top, any := math.Inf(-1), false // highest point of the second side
	for _, b := range beads {
		if b.Side != 2 {
			continue
		}
		any = true
		for _, o := range b.Outline {
			top = max(top, mm(o.Y))
		}
	}
	if !any {
		return nil
	}
	var gone []WeldBead
	for _, b := range beads {
		if b.Side != 1 {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, o := range b.Outline {
			low, high = min(low, mm(o.Y)), max(high, mm(o.Y))
		}
		// what is left of the bead above the gouge is too thin for its number
		if top-low > 0.5*(high-low) {
			gone = append(gone, b)
		}
	}
	return gone
}

// layerColumn writes the layers beside the weld, each with a line to it, and
// gives its lowest point.
func (p *page) layerColumn(c cross, layers []weldLayer, names []string, from, to float64) (foot float64) {
	step := p.small() * 1.35
	order := make([]int, len(layers))
	level := make([]float64, len(layers)) // paper y of the layer's right end
	reach := make([]float64, len(layers)) // paper x there
	for i, l := range layers {
		order[i] = i
		low, high := math.Inf(1), math.Inf(-1)
		reach[i] = math.Inf(-1)
		for _, b := range l.beads {
			for _, pt := range c.outline(b.Outline) {
				low, high, reach[i] = min(low, pt.Y), max(high, pt.Y), max(reach[i], pt.X)
			}
		}
		level[i] = (low + high) / 2
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case level[a] < level[b]:
			return -1
		case level[a] > level[b]:
			return 1
		}
		return 0
	})
	// spread evenly where the layers lie closer than the lines of text
	y := make([]float64, len(layers))
	at := math.Inf(-1)
	for _, i := range order {
		y[i] = max(level[i], at+step)
		at = y[i]
	}
	if n := len(order); n > 0 {
		// move the block back so that it stands beside the weld
		mean, want := 0.0, 0.0
		for _, i := range order {
			mean, want = mean+y[i]/float64(n), want+level[i]/float64(n)
		}
		shift := min(0, want-mean)
		if first := y[order[0]] + shift; first < 2+p.small() {
			shift += 2 + p.small() - first
		}
		for _, i := range order {
			y[i] += shift
		}
	}
	for i := range layers {
		words := draw.Text{At: draw.At(to, y[i]+p.small()*0.35), S: names[i], Size: p.small()}
		p.add(draw.Line{A: draw.At(reach[i]-0.8, level[i]), B: draw.At(from, level[i]), Pen: draw.Hair},
			draw.Line{A: draw.At(from, level[i]), B: draw.At(to-1.2, y[i]), Pen: draw.Hair}, words)
	}
	foot = 0
	for _, v := range y {
		foot = max(foot, v+p.small())
	}
	return foot
}
