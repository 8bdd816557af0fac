package paper

import (
	"strings"

	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// tick is a line with a box to tick; a hold point is framed and has room for
// time and initials.
func (f *flow) tick(s string, hold bool) {
	size := f.size(bodySize)
	const box = 4.2
	indent := box + 2.2
	if hold {
		f.holdPoint(s)
		return
	}
	lines := wrap(s, size, false, f.w-indent)
	f.need(min(float64(len(lines)), 3) * draw.LineHeight(size))
	f.add(draw.Rect(f.x+0.2, f.y+0.5, box, box, draw.Normal, draw.White))
	for _, line := range lines {
		f.need(draw.LineHeight(size))
		f.y += draw.LineHeight(size)
		f.add(draw.Text{At: draw.At(f.x+indent, f.y-size*0.32), S: line, Size: size})
	}
	if len(lines) == 1 {
		f.y += max(0, box+1.2-draw.LineHeight(size))
	}
	f.space(0.9)
}

// holdPoint is a hold point in a frame: stop until it is answered.
func (f *flow) holdPoint(s string) {
	size := f.size(bodySize)
	const box, pad = 5.0, 1.6
	word := f.t("paper.hold")
	indent := pad + box + 2 + font.Width(word, true)*size + 2.5
	sign := f.t("paper.time") + " __________  " + f.t("paper.initials") + " ________"
	signWide := font.Width(sign, false) * f.size(smallSize)
	lines := wrap(s, size, false, f.w-indent-pad)
	line := draw.LineHeight(size)
	h := float64(len(lines))*line + 2*pad
	below := font.Width(lines[len(lines)-1], false)*size > f.w-indent-pad-signWide-3
	if below {
		h += draw.LineHeight(f.size(smallSize)) + 1
	}
	h = max(h, box+2*pad)
	f.need(h)
	f.add(draw.Rect(f.x, f.y, f.w, h, draw.Thick, draw.White))
	f.add(draw.Rect(f.x+pad, f.y+pad, box, box, draw.Normal, draw.White))
	y := f.y + pad
	f.add(draw.Text{At: draw.At(f.x+pad+box+2, y+line-size*0.32), S: word, Size: size, Bold: true})
	for _, l := range lines {
		y += line
		f.add(draw.Text{At: draw.At(f.x+indent, y-size*0.32), S: l, Size: size})
	}
	f.add(draw.Text{At: draw.At(f.x+f.w-pad, f.y+h-pad-0.4), S: sign, Size: f.size(smallSize), Anchor: draw.End})
	f.y += h
	f.space(1.4)
}

// caution is a line with a warning sign.
func (f *flow) caution(s string) {
	size := f.size(bodySize)
	const indent = 6.4
	lines := wrap(s, size, true, f.w-indent)
	f.need(min(float64(len(lines)), 3) * draw.LineHeight(size))
	f.add(warningSign(draw.At(f.x+2.3, f.y+2.6)))
	for _, line := range lines {
		f.need(draw.LineHeight(size))
		f.y += draw.LineHeight(size)
		f.add(draw.Text{At: draw.At(f.x+indent, f.y-size*0.32), S: line, Size: size, Bold: true})
	}
	if len(lines) == 1 {
		f.y += max(0, 5.2-draw.LineHeight(size))
	}
	f.space(0.9)
}

// warningSign is a triangle with a mark of exclamation.
func warningSign(at draw.Pt) draw.Group {
	return draw.Group{Items: []draw.Item{
		draw.Poly{Pts: []draw.Pt{at.Add(0, -2.2), at.Add(2.4, 1.9), at.Add(-2.4, 1.9)}, Closed: true, Pen: draw.Normal, Fill: draw.White},
		draw.Line{A: at.Add(0, -0.9), B: at.Add(0, 0.6), Pen: draw.Pen{Width: 0.55}},
		draw.Line{A: at.Add(0, 1.05), B: at.Add(0, 1.4), Pen: draw.Pen{Width: 0.55}},
	}}
}

// cutTo shortens a text to a width, with three dots.
func cutTo(s string, size, width float64) string {
	if font.Width(s, false)*size <= width {
		return s
	}
	letters := []rune(s)
	for len(letters) > 0 && font.Width(string(letters)+"…", false)*size > width {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimRight(string(letters), " ") + "…"
}
