package paper

import (
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// figure is a figure with its name.
type figure struct{ name, text string }

// rows writes names and figures in two columns of a table without lines between
// the columns; an empty figure is a blank to fill by hand.
func (f *flow) rows(all []figure, share float64) {
	size := f.size(bodySize - 0.4)
	left := f.w * share
	for _, r := range all {
		names := wrap(r.name, size, false, left-2)
		texts := wrap(r.text, size, true, f.w-left)
		if r.text == "" {
			texts = []string{""}
		}
		n := max(len(names), len(texts))
		h := float64(n)*draw.LineHeight(size) + 0.9
		if r.text == "" {
			h = max(h, 7*max(0.85, f.scale))
		}
		f.need(h)
		for i := range n {
			y := f.y + float64(i+1)*draw.LineHeight(size) - size*0.32
			if r.text == "" { // down to the line that is written on
				y += h - 0.9 - float64(n)*draw.LineHeight(size)
			}
			if i < len(names) {
				f.add(draw.Text{At: draw.At(f.x, y), S: names[i], Size: size})
			}
			if i < len(texts) && texts[i] != "" {
				f.add(draw.Text{At: draw.At(f.x+left, y), S: texts[i], Size: size, Bold: true})
			}
		}
		if r.text == "" {
			f.writingLine(f.x+left, f.y+h-0.8, f.w-left)
		}
		f.y += h
		if r.text != "" {
			f.add(draw.Line{A: draw.At(f.x, f.y), B: draw.At(f.x+f.w, f.y), Pen: draw.Hair.In(draw.Light)})
		}
	}
	f.space(1.5)
}

func (f *flow) writingLine(x, y, w float64) {
	f.add(draw.Line{A: draw.At(x, y), B: draw.At(x+w, y), Pen: draw.Thin.In(draw.Dark)})
}

// big is a figure in a box of its own: name, lead figure, the other system.
type big struct{ name, lead, echo string }

// bigFigures sets boxes side by side, so many in a row.
func (f *flow) bigFigures(all []big, inRow int) {
	const gap, pad = 2.5, 1.8
	w := (f.w - gap*float64(inRow-1)) / float64(inRow)
	for len(all) > 0 {
		row := all[:min(inRow, len(all))]
		all = all[len(row):]
		// one size for the row: the largest at which every lead figure fits in one line,
		// or else in two
		size := f.size(bigSize)
		for _, b := range row {
			for size > f.size(5.6) && len(wrap(b.lead, size, true, w-2*pad)) > 1 {
				size *= 0.94
			}
			for size > f.size(3.6) && (len(wrap(b.lead, size, true, w-2*pad)) > 2 || longestWord(b.lead)*size > w-2*pad) {
				size *= 0.94
			}
		}
		h := 0.0
		for _, b := range row {
			h = max(h, f.bigHeight(b, size, w-2*pad))
		}
		h += 2 * pad
		f.need(h)
		for i, b := range row {
			f.bigBox(b, f.x+float64(i)*(w+gap), w, h, pad, size)
		}
		f.y += h + gap
	}
}

func longestWord(s string) float64 {
	longest := 0.0
	for _, w := range wrap(s, 1, true, 0.001) {
		longest = max(longest, font.Width(w, true))
	}
	return longest
}

func (f *flow) bigHeight(b big, size, w float64) float64 {
	small := f.size(smallSize)
	h := float64(len(wrap(b.name, small, false, w))) * draw.LineHeight(small)
	h += float64(len(wrap(b.lead, size, true, w))) * size * 1.12
	if b.echo != "" {
		h += float64(len(wrap(b.echo, f.size(bodySize), false, w))) * draw.LineHeight(f.size(bodySize))
	}
	return h + 1
}

func (f *flow) bigBox(b big, x, w, h, pad, size float64) {
	f.add(draw.Rect(x, f.y, w, h, draw.Normal, draw.White))
	small := f.size(smallSize)
	y := f.y + pad
	for _, l := range wrap(b.name, small, false, w-2*pad) {
		y += draw.LineHeight(small)
		f.add(draw.Text{At: draw.At(x+pad, y-small*0.32), S: l, Size: small})
	}
	if b.lead == "" {
		f.writingLine(x+pad, f.y+h-pad-1, w-2*pad)
		return
	}
	for _, l := range wrap(b.lead, size, true, w-2*pad) {
		y += size * 1.12
		f.add(draw.Text{At: draw.At(x+pad, y-size*0.2), S: l, Size: size, Bold: true})
	}
	body := f.size(bodySize)
	if b.echo != "" {
		for _, l := range wrap(b.echo, body, false, w-2*pad) {
			y += draw.LineHeight(body)
			f.add(draw.Text{At: draw.At(x+pad, y-body*0.2), S: l, Size: body})
		}
	}
}

// blanks are names with lines to write on, so many in a row; a name too long for
// its line stands above it.
func (f *flow) blanks(inRow int, names ...string) {
	size := f.size(bodySize)
	const gap = 5.0
	w := (f.w - gap*float64(inRow-1)) / float64(inRow)
	for len(names) > 0 {
		row := names[:min(inRow, len(names))]
		names = names[len(row):]
		lines := 1
		for _, n := range row {
			lines = max(lines, len(wrap(n, size, false, w-14)))
		}
		h := float64(lines-1)*draw.LineHeight(size) + 8*max(0.85, f.scale)
		f.need(h)
		for i, n := range row {
			x := f.x + float64(i)*(w+gap)
			texts := wrap(n, size, false, w-14)
			y := f.y + h - 1.4 - float64(len(texts)-1)*draw.LineHeight(size)
			wide := 0.0
			for _, t := range texts {
				f.add(draw.Text{At: draw.At(x, y), S: t, Size: size})
				wide = font.Width(t, false) * size
				y += draw.LineHeight(size)
			}
			f.writingLine(x+wide+1.5, f.y+h-1, w-wide-1.5)
		}
		f.y += h
	}
	f.space(1)
}

// lines are empty lines to write on.
func (f *flow) lines(n int) {
	for range n {
		h := 8 * max(0.85, f.scale)
		f.need(h)
		f.y += h
		f.writingLine(f.x, f.y-1, f.w)
	}
	f.space(1)
}

// column of a table.
type column struct {
	name  string
	share float64
	right bool // figures: flush right
	bold  bool
}

// table writes rows under a head that is repeated on every page.
func (f *flow) table(cols []column, rows [][]string, size float64) {
	f.tableOf(cols, rows, size, false)
}

// tableOf is a table; upright lines part the columns of one that is written in.
func (f *flow) tableOf(cols []column, rows [][]string, size float64, upright bool) {
	size = f.size(size)
	sum := 0.0
	for _, c := range cols {
		sum += c.share
	}
	const pad = 1.2
	widths := make([]float64, len(cols))
	for i, c := range cols {
		widths[i] = f.w * c.share / sum
	}
	height := func(cells []string, bold bool) float64 {
		n := 1
		for i, c := range cells {
			n = max(n, len(wrap(c, size, bold || cols[i].bold, widths[i]-2*pad)))
		}
		return float64(n)*draw.LineHeight(size) + 1.6
	}
	put := func(cells []string, bold bool) {
		h := height(cells, bold)
		x := f.x
		for i, c := range cells {
			b := bold || cols[i].bold
			for k, l := range wrap(c, size, b, widths[i]-2*pad) {
				t := draw.Text{At: draw.At(x+pad, f.y+0.6+float64(k+1)*draw.LineHeight(size)-size*0.32), S: l, Size: size, Bold: b}
				if cols[i].right {
					t.At.X, t.Anchor = x+widths[i]-pad, draw.End
				}
				f.add(t)
			}
			x += widths[i]
			if upright && i < len(cells)-1 {
				f.add(draw.Line{A: draw.At(x, f.y), B: draw.At(x, f.y+h), Pen: draw.Thin.In(draw.Mid)})
			}
		}
		f.y += h
		f.add(draw.Line{A: draw.At(f.x, f.y), B: draw.At(f.x+f.w, f.y), Pen: draw.Thin.In(draw.Mid)})
	}
	var head []string
	named := false
	for _, c := range cols {
		head = append(head, c.name)
		named = named || c.name != ""
	}
	start := func() {
		if named {
			put(head, true)
			f.add(draw.Line{A: draw.At(f.x, f.y), B: draw.At(f.x+f.w, f.y), Pen: draw.Normal})
		}
	}
	if len(rows) > 0 {
		f.need(height(head, true) + height(rows[0], false))
	}
	start()
	for _, r := range rows {
		page := len(f.doc.Pages)
		f.need(height(r, false))
		if len(f.doc.Pages) != page {
			start()
		}
		put(r, false)
	}
	f.space(2)
}

// titleBlock is the head of the first page: name of the sheet, what it is about,
// and the code to the job's page.
func (f *flow) titleBlock(name, about string, facts ...string) {
	x, w := f.x, f.w
	if f.URL != "" {
		const side = 24.0
		if code, ok := QR(f.URL, side); ok {
			f.add(draw.Place{D: code, At: draw.At(f.x+f.w-side, f.y)})
			f.w -= side + 4
			defer func(y float64) { f.y = max(f.y, y+side+1) }(f.y)
		}
	}
	f.standing()
	f.para(name, style{size: titleSize, bold: true})
	f.para(about, style{size: headingSize, bold: true})
	line := ""
	for _, s := range facts {
		if s == "" {
			continue
		}
		if line != "" {
			line += " · "
		}
		line += font.Isolate(s)
	}
	f.para(line, style{after: 1})
	f.x, f.w = x, w
}
