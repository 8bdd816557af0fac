package joint

import (
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// nominal is the bead that one run makes where the groove does not bind it, mm.
type nominal struct {
	core, area         float64
	high, wide, widest float64
	most               float64 // thickest layer
}

// welder lays beads into one groove.
type welder struct {
	c          Constraints
	feed       Feed
	root, fill nominal
	shape      float64 // least width over depth
	split      float64 // wider layers are split
	pen        pen
	ys         []float64
	bands      []float64 // tops of the layers of one side
	said       map[string]bool
	notes      []string
	number     int
	layer      int
}

func newWelder(c Constraints) (*welder, error) {
	w := &welder{c: c, feed: c.Feed, shape: figure("bead-shape").Low, split: figure("split-width").mm()}
	if w.feed == "" {
		w.feed = Rod
	}
	lim, err := limitsAt(c.Position, w.feed, c.LowHydrogen)
	if err != nil {
		return nil, err
	}
	if c.Root == (Run{}) {
		c.Root = c.Fill
	}
	if err := source.InRange("bead-layout", "cap height", c.Cap.MM(), 0, figure("cap-height").High*1e3, "mm", "grind a higher cap down"); err != nil {
		return nil, err
	}
	if c.Widest.Known {
		r := figure("bead-width")
		if err := source.InRange("bead-layout", "widest bead over core", float64(c.Widest.V), 1, r.High, "", "at most 2.5 × the core"); err != nil {
			return nil, err
		}
	}
	if w.root, err = w.nominal("root", c.Root, lim.RootSize, lim.Root); err != nil {
		return nil, err
	}
	w.fill, err = w.nominal("fill", c.Fill, lim.FillSize, lim.Layer)
	return w, err
}

// nominal checks a run against the size limits and works out its usual bead.
func (w *welder) nominal(name string, r Run, size, thick q.Length) (nominal, error) {
	n := nominal{core: r.Core.MM(), area: r.Area.MM2(), most: thick.MM()}
	tol := figure("size-tolerance").mm()
	if err := source.InRange("bead-layout", name+" rod or wire", n.core, 0.6, size.MM()+tol, "mm", "use a thinner one in this position"); err != nil {
		return n, err
	}
	if err := source.InRange("bead-layout", name+" bead", n.area, 3, 400, "mm²", "take the deposit of one rod over the length it makes"); err != nil {
		return n, err
	}
	ratio := figure("bead-width").Likely
	if w.c.Widest.Known {
		ratio = float64(w.c.Widest.V)
	}
	n.widest = ratio * n.core
	if w.feed == Wire {
		n.widest = figure("bead-width-wire").mm()
	}
	shape := figure("bead-shape").Likely
	n.high = min(figure("layer").mm(), math.Sqrt(n.area/shape), n.most)
	n.wide = n.area / n.high
	if n.wide > n.widest {
		// a fat bead: as wide as allowed and then thicker, up to the limits
		n.wide = n.widest
		n.high = min(n.area/n.wide, n.most, n.wide/shape)
		if n.high*n.wide < 0.95*n.area {
			w.say("%s: a bead of %.3g mm² is more than %.3g mm wide and %.3g mm thick can hold: run it out longer", name, n.area, n.wide, n.high)
		}
	}
	n.area = n.high * n.wide
	return n, nil
}

func (w *welder) say(format string, a ...any) {
	s := fmt.Sprintf(format, a...)
	if w.said == nil {
		w.said = map[string]bool{}
	}
	if !w.said[s] {
		w.said[s] = true
		w.notes = append(w.notes, s)
	}
}

// side lays all beads of one side.
func (w *welder) side(v *Layers, p *profile, side int) {
	hc := w.c.Cap.MM()
	top := p.width(p.depth)
	band := w.capBand(p, top, hc)
	w.bands = w.bands[:0]
	start := p.open()
	if rest := p.depth - band; rest-start > 0.5*w.root.high {
		w.stack(p, start, rest)
	} else if p.depth-start+hc > w.root.most {
		w.stack(p, start, (start+p.depth)/2)
	}
	w.bands = append(w.bands, p.depth)
	from := start
	for i, to := range w.bands {
		kind, n, crown := FillBead, &w.fill, 0.0
		if i == len(w.bands)-1 {
			kind, crown = CapBead, hc
		}
		if i == 0 {
			n, kind = &w.root, RootBead
			if side == 2 {
				kind = BackBead
			}
		}
		w.lay(v, p, from, to, crown, n, kind, side)
		from = to
	}
}

// count is the number of beads of a band: narrow enough for the rod, else of the
// nominal size, but not so many that each is deeper than wide. In the bottom of
// a groove the bead spreads up the walls, so there the mean width counts.
func (w *welder) count(n *nominal, top, high, area float64) int {
	wide := top
	if n == &w.root && high > 0 {
		wide = min(top, area/high)
	}
	k := int(math.Round(area / n.area))
	if high > 0 {
		k = min(k, int(top/(high*w.shape)))
	}
	k = max(k, 1, int(math.Ceil(wide/n.widest-1e-9)))
	if top > w.split {
		k = max(k, 2)
	}
	return k
}

// capBand is the height of the last band below the face, so that with the
// reinforcement it makes whole beads.
func (w *welder) capBand(p *profile, top, hc float64) float64 {
	reinforcement := capSection(top, hc)
	n := &w.fill
	k := max(1, math.Ceil(top/n.widest-1e-9), math.Round(top*n.high/n.area))
	room := n.most - hc
	band := p.depth - p.height(max(p.under(p.depth)-(k*n.area-reinforcement), 0))
	if k*n.area <= reinforcement {
		band = 0
	}
	// thin, but not a skin: a third of a layer at least
	return min(max(band, n.high/3), max(room, n.high/3), p.depth-p.open())
}

// stack fills bands with tops between two heights.
func (w *welder) stack(p *profile, start, to float64) {
	n := &w.root
	for y := start; y < to-1e-9; n = &w.fill {
		h := w.band(p, n, y, n == &w.root)
		y += h
		w.bands = append(w.bands, y)
		if len(w.bands) > 1000 {
			break // 200 mm in layers of 0.2 mm: cannot be reached with the limits above
		}
	}
	// stretch or press all bands evenly so that the last one ends where it must
	k := len(w.bands)
	last := w.bands[k-1]
	scale := (to - start) / (last - start)
	if k > 1 {
		before := w.bands[k-2]
		if up := (to - start) / (before - start); up-1 < 1-scale && w.fits(up, start, k-1) {
			scale, k = up, k-1
		}
	}
	w.bands = w.bands[:k]
	for i, y := range w.bands {
		w.bands[i] = start + (y-start)*scale
	}
	w.bands[k-1] = to
}

// fits says whether the first k bands, stretched, keep the limits.
func (w *welder) fits(scale, from float64, k int) bool {
	n := &w.root
	for _, y := range w.bands[:k] {
		if (y-from)*scale > n.most {
			return false
		}
		from, n = y, &w.fill
	}
	return true
}

// band is the height of a layer that starts at y: n·a of metal, within the limits.
func (w *welder) band(p *profile, n *nominal, y float64, root bool) float64 {
	h := n.high
	base := p.under(y)
	for range 6 {
		to := min(y+h, p.depth)
		k := w.count(n, p.width(to), h, p.under(to)-base)
		next := p.height(base+float64(k)*n.area) - y
		limit := n.most
		if !root {
			limit = min(limit, 1.5*n.high)
		}
		// a bead deeper than wide cracks down its middle; a sharp root cannot help it
		if face := p.width(min(y+next, p.depth)) / float64(k); !root {
			limit = min(limit, max(face/w.shape, 0.5*n.high))
		}
		next = min(max(next, 0.5*n.high), limit)
		if math.Abs(next-h) < 1e-6 {
			break
		}
		h = next
	}
	return h
}

// lay cuts one band into beads and numbers them.
func (w *welder) lay(v *Layers, p *profile, from, to, hc float64, n *nominal, kind Kind, side int) {
	w.layer++
	top := p.width(to)
	area := p.under(to) - p.under(from)
	crown := capSection(top, hc)
	k := w.count(n, top, to-from+hc*2/3, area+crown)
	cuts := w.cut(area, crown, k)
	// the slices of a cap are wider at the toes: more beads until the widest fits
	for hc > 0 && n == &w.fill && (cuts[1]-cuts[0])*top > n.widest*(1+1e-9) {
		k++
		cuts = w.cut(area, crown, k)
	}
	if b, h := top/float64(k), to-from; b < w.shape*h-1e-9 && (kind == RootBead || kind == BackBead) {
		w.say("%s bead is about %.2g mm wide at its face and %.2g mm thick: deeper than wide cracks down the middle; open the groove or weld it thinner", kind, b, h)
	}
	if k == 2 && kind == CapBead {
		w.say("a cap of two beads ends on a toe: dress that toe")
	}
	layer := Layer{Number: w.layer, Side: side, Kind: kind, Bottom: q.Length(from) * q.Millimetre, Top: q.Length(to) * q.Millimetre,
		Width: q.Length(top) * q.Millimetre, First: w.number + 1, Last: w.number + k, Area: q.Area(area+crown) * q.SquareMillimetre}
	v.Layers = append(v.Layers, layer)
	wide := top
	if n == &w.root {
		wide = (area + crown) / (to - from + hc*2/3) // mean width
	}
	w.ys = p.levels(w.ys[:0], from, to)
	for i := range k {
		at := place(i, k, w.c.Position == job.Horizontal, kind == CapBead)
		w.number++
		b := Bead{Number: w.number, Layer: w.layer, Side: side, Kind: kind, Area: layer.Area / q.Area(k),
			Width: q.Length((cuts[at+1]-cuts[at])*wide) * q.Millimetre}
		w.outline(&b, p, cuts[at], cuts[at+1], to, top, hc)
		v.Beads = append(v.Beads, b)
	}
}

// place gives the slice, counted from the left, that is welded as the i-th of k.
func place(i, k int, horizontal, last bool) int {
	if horizontal {
		// the left wall is the lower one
		if last && k >= 3 && i >= k-2 {
			return k - 1 - (i - (k - 2))
		}
		return i
	}
	if i%2 == 0 {
		return i / 2
	}
	return k - 1 - i/2
}
