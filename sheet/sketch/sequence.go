package sketch

import (
	"slices"
	"strconv"

	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

// Order is the order along the groove.
type Order struct {
	Length q.Length // of the groove at the surface
	Runs   []joint.LayerRun
	Text   Label // the groove's length
	Most   int   // layers drawn at most; 0: 6
}

// mostRows is the most layers drawn where nothing else is asked for.
const mostRows = 6

// period is after how many layers the blocks repeat.
func (s Order) period() int {
	n := len(s.Runs)
	for p := 1; p < n; p++ {
		same := true
		for i := p; i < n && same; i++ {
			same = slices.Equal(s.Runs[i].Blocks, s.Runs[i-p].Blocks)
		}
		if same {
			return p
		}
	}
	return n
}

// DrawOrder draws the blocks of each layer as arrows, until they repeat.
func DrawOrder(s Order, f Frame) *draw.Drawing {
	p := f.begin(f.filled().t("sequence.title"), f.filled().t("sequence.desc"))
	most := s.Most
	if most == 0 {
		most = mostRows
	}
	rows := min(s.period(), most)
	left := 0.0
	for i := range rows {
		left = max(left, p.note(draw.Pt{}, p.t("sequence.layer", s.Runs[i].Layer), draw.Start).Width())
	}
	left += 6
	right := p.Width - 4
	x := func(l q.Length) float64 { return left + (right-left)*float64(l/s.Length) }
	const bar = 7.0
	y := 3.0
	if s.Text.Lead != "" {
		r := row{from: left, to: right, label: s.Text}
		y += p.rowHeight(r)
		r.y, r.toY = y, y
		p.rows(r)
		y += 3
	}
	for i := range rows {
		run := s.Runs[i]
		p.add(p.note(draw.At(2, y+bar/2+p.small()*0.35), p.t("sequence.layer", run.Layer), draw.Start))
		var items []draw.Item
		for _, b := range run.Blocks {
			from, to := x(b.From), x(b.To)
			items = append(items, draw.Rect(min(from, to), y, max(from, to)-min(from, to), bar, draw.Thin, draw.White))
			gap := min(1.5, 0.1*max(from-to, to-from)) * sign(to-from)
			items = append(items, draw.Arrow{A: draw.At(from+gap, y+bar/2), B: draw.At(to-gap, y+bar/2), Pen: draw.Normal, Head: 3})
			mid := (from + to) / 2
			items = append(items, draw.Circle(draw.At(mid, y+bar/2), 2.5, draw.Thin, draw.White),
				draw.Text{At: draw.At(mid, y+bar/2+1.3), S: strconv.Itoa(b.Order), Size: p.Size, Bold: true, Anchor: draw.Middle})
		}
		p.add(draw.Group{Title: p.t("sequence.layer", run.Layer), Items: items})
		y += bar + 1.5
	}
	if rows < len(s.Runs) {
		y += p.small() * 1.2
		text := p.t("sequence.again", s.Runs[rows].Layer)
		if rows < s.period() {
			text = p.t("sequence.on")
		}
		p.add(p.note(draw.At(left, y), text, draw.Start))
	}
	return p.finish(y + 2)
}
