package paper

import (
	"strings"

	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// Sizes of text, mm, at scale 1.
const (
	titleSize   = 7.0
	headingSize = 4.5
	bodySize    = 3.7
	smallSize   = 3.0
	bigSize     = 8.0 // the figures that are read in gloves
)

const (
	margin    = 13.0
	headRoom  = 19.0 // from the top edge to the text
	footRoom  = 19.0
	columnGap = 6.0
)

// flow puts blocks under each other, page after page.
type flow struct {
	Options
	scale float64 // of all text
	doc   draw.Doc
	cur   *draw.Drawing
	x, w  float64 // column
	y     float64
	title string // running head
	held  bool   // in a column: no page break

	twin   bool    // text runs in two columns
	second bool    // in the second of them
	colTop float64 // where the columns begin on this page

	told     map[string]bool // lines explained already
	workings []*plan.Figure  // figures whose working is shown
}

func newFlow(o Options, scale float64, title, subject string) *flow {
	o = o.filled()
	if o.Standing != "" { // first: a long title is cut at its end
		title = o.Standing + " · " + title
	}
	f := &flow{Options: o, scale: scale, title: title}
	f.doc = draw.Doc{Title: title, Subject: subject, Lang: o.Words.Lang(), Date: o.Date}
	f.newPage()
	return f
}

func (f *flow) t(key string, args ...any) string { return f.Words.T(key, args...) }

func (f *flow) newPage() {
	f.cur = &draw.Drawing{W: f.Size.W, H: f.Size.H, Title: f.title}
	f.doc.Pages = append(f.doc.Pages, f.cur)
	f.x, f.w, f.y, f.colTop, f.second = margin, f.Size.W-2*margin, headRoom, headRoom, false
	if f.twin {
		f.w = (f.w - columnGap) / 2
	}
}

// twinColumns lets the text run in two columns from here on.
func (f *flow) twinColumns() {
	f.twin, f.second, f.colTop = true, false, f.y
	f.w = (f.w - columnGap) / 2
}

func (f *flow) bottom() float64 { return f.Size.H - footRoom }

// need makes room for a block: on a new page where it does not fit on this one.
func (f *flow) need(h float64) {
	if f.y+h <= f.bottom()+0.01 || f.held || f.y <= f.colTop {
		return
	}
	if f.twin {
		if !f.second {
			f.second, f.x, f.y = true, f.x+f.w+columnGap, f.colTop
			return
		}
		f.newPage()
		return
	}
	x, w := f.x, f.w
	f.newPage()
	f.x, f.w = x, w
}

func (f *flow) add(items ...draw.Item) { f.cur.Add(items...) }

func (f *flow) space(h float64) { f.y += h * f.scale }

func (f *flow) size(s float64) float64 { return s * f.scale }

// mark makes a place that a reader program lists.
func (f *flow) mark(title string) {
	f.doc.Marks = append(f.doc.Marks, draw.Mark{Page: len(f.doc.Pages) - 1, Y: f.y, Title: title})
}

// wrap breaks a text into lines of a width; a word wider than that is cut.
func wrap(s string, size float64, bold bool, width float64) []string {
	var lines []string
	for _, part := range strings.Split(s, "\n") {
		line := ""
		for _, word := range strings.Fields(part) {
			for font.Width(word, bold)*size > width {
				head, tail := cutWord(word, size, bold, width)
				if line != "" {
					lines, line = append(lines, line), ""
				}
				lines, word = append(lines, head), tail
			}
			next := word
			if line != "" {
				next = line + " " + word
			}
			if line != "" && font.Width(next, bold)*size > width {
				lines, next = append(lines, line), word
			}
			line = next
		}
		lines = append(lines, line)
	}
	return lines
}

// cutWord cuts a word at the last letter that fits; at least one goes in.
func cutWord(word string, size float64, bold bool, width float64) (head, tail string) {
	letters := []rune(word)
	n := 1
	for n < len(letters)-1 && font.Width(string(letters[:n+1]), bold)*size <= width {
		n++
	}
	return string(letters[:n]), string(letters[n:])
}

// style of a paragraph.
type style struct {
	size   float64 // 0: body
	bold   bool
	indent float64
	tone   draw.Tone
	after  float64 // space below, mm
}

// para writes a paragraph; it may run over a page.
func (f *flow) para(s string, st style) {
	if s == "" {
		return
	}
	if st.size == 0 {
		st.size = bodySize
	}
	size := f.size(st.size)
	for _, line := range wrap(s, size, st.bold, f.w-st.indent) {
		f.need(draw.LineHeight(size))
		f.y += draw.LineHeight(size)
		f.add(draw.Text{At: draw.At(f.x+st.indent, f.y-size*0.32), S: line, Size: size, Bold: st.bold, Tone: st.tone})
	}
	f.space(st.after)
}

// heading starts a part of a sheet; it keeps with what follows.
func (f *flow) heading(s string) {
	size := f.size(headingSize)
	f.need(draw.LineHeight(size) + 14*f.scale)
	if f.y > f.colTop {
		f.space(2.2)
	}
	for _, line := range wrap(s, size, true, f.w) {
		f.y += draw.LineHeight(size)
		f.add(draw.Text{At: draw.At(f.x, f.y-size*0.32), S: line, Size: size, Bold: true})
	}
	f.y += 0.6
	f.add(draw.Line{A: draw.At(f.x, f.y), B: draw.At(f.x+f.w, f.y), Pen: draw.Normal})
	f.space(1.2)
}

// drawing sets a drawing in the column, smaller where it is too wide.
func (f *flow) drawing(d *draw.Drawing) {
	if d == nil {
		return
	}
	scale := min(1, f.w/d.W, (f.bottom()-headRoom)/d.H)
	f.need(d.H * scale)
	f.add(draw.Place{D: d, At: draw.At(f.x+(f.w-d.W*scale)/2, f.y), Scale: scale})
	f.y += d.H * scale
	f.space(1)
}

// columns fills columns side by side; the page goes on below the longest. The
// columns do not break over a page: need says how much room they want.
func (f *flow) columns(need float64, shares []float64, fill ...func()) {
	f.need(need)
	x, w, y := f.x, f.w, f.y
	held := f.held
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	room := w - columnGap*float64(len(shares)-1)
	f.held = true
	at, low := x, y
	for i, do := range fill {
		f.x, f.w, f.y = at, room*shares[i]/sum, y
		do()
		low = max(low, f.y)
		at += f.w + columnGap
	}
	f.x, f.w, f.y, f.held = x, w, low, held
}

// measure gives the height that blocks take in the column, without drawing them.
func (f *flow) measure(do func()) float64 {
	saved, items, marks := *f, len(f.cur.Items), len(f.doc.Marks)
	f.held = true
	do()
	h := f.y - saved.y
	cur := f.cur
	*f = saved
	cur.Items = cur.Items[:items]
	f.doc.Marks = f.doc.Marks[:marks]
	return h
}

// keep draws blocks together, on a new page where they do not fit on this one.
func (f *flow) keep(do func()) {
	f.need(f.measure(do))
	do()
}

// finish writes running heads and page numbers.
func (f *flow) finish(caution string) draw.Doc {
	n := len(f.doc.Pages)
	for i, p := range f.doc.Pages {
		f.cur = p
		right := f.date()
		wide := font.Width(right, false) * smallSize
		p.Add(draw.Text{At: draw.At(margin, 11.5), S: cutTo(f.title, smallSize, f.Size.W-2*margin-wide-4), Size: smallSize},
			draw.Text{At: draw.At(f.Size.W-margin, 11.5), S: right, Size: smallSize, Anchor: draw.End},
			draw.Line{A: draw.At(margin, 13.5), B: draw.At(f.Size.W-margin, 13.5), Pen: draw.Thin})
		y := f.Size.H - footRoom + 5
		p.Add(draw.Line{A: draw.At(margin, y), B: draw.At(f.Size.W-margin, y), Pen: draw.Thin})
		number := f.t("paper.page", i+1, n)
		room := f.Size.W - 2*margin - font.Width(number, true)*smallSize - 6
		for _, line := range wrap(caution, smallSize*0.92, false, room) {
			y += draw.LineHeight(smallSize * 0.92)
			p.Add(draw.Text{At: draw.At(margin, y), S: line, Size: smallSize * 0.92})
		}
		p.Add(draw.Text{At: draw.At(f.Size.W-margin, f.Size.H-footRoom+5+draw.LineHeight(smallSize)), S: number, Size: smallSize, Bold: true, Anchor: draw.End})
	}
	return f.doc
}
