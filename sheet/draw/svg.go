package draw

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"math"
	"strconv"
	"strings"
)

// svgFaces are tried in turn; the length of each line is fixed, so that a wider
// face does not run into its neighbour.
const svgFaces = "Go, Verdana, 'DejaVu Sans', Arial, sans-serif"

// SVG writes the drawing as an SVG element that scales with its place. Text
// stays text. id makes the element's names unique on a page with several
// drawings; it may hold letters, digits and hyphens.
func SVG(d *Drawing, id string) string {
	w := &svg{}
	w.b.Grow(16 << 10)
	w.put(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 `, num(d.W), ` `, num(d.H),
		`" role="img" aria-labelledby="`, id, `-t `, id, `-d" font-family="`, svgFaces, `" fill="none" stroke-linejoin="round">`, "\n")
	w.put(`<title id="`, id, `-t">`, escape(d.Title), "</title>\n", `<desc id="`, id, `-d">`, escape(d.Desc), "</desc>\n")
	w.put(`<path fill="#fff" d="M0 0H`, num(d.W), `V`, num(d.H), `H0Z"/>`, "\n")
	Emit(d, w)
	w.put("</svg>\n")
	return w.b.String()
}

type svg struct{ b strings.Builder }

func (w *svg) put(parts ...string) {
	for _, p := range parts {
		w.b.WriteString(p)
	}
}

// Begin opens a group.
func (w *svg) Begin(title, desc string) {
	w.put("<g>")
	if title != "" {
		w.put("<title>", escape(title), "</title>")
	}
	if desc != "" {
		w.put("<desc>", escape(desc), "</desc>")
	}
	w.put("\n")
}

// End closes a group.
func (w *svg) End() { w.put("</g>\n") }

// Path writes a path.
func (w *svg) Path(pts []Pt, closed bool, pen Pen, fill Tone) {
	w.put(`<path`)
	if fill != None {
		w.put(` fill="`, grey(fill), `"`)
	}
	if pen.Width > 0 {
		w.put(` stroke="`, grey(pen.Tone), `" stroke-width="`, num(pen.Width), `"`)
		if len(pen.Dash) > 0 {
			w.put(` stroke-dasharray="`)
			for i, d := range pen.Dash {
				if i > 0 {
					w.put(" ")
				}
				w.put(num(d))
			}
			w.put(`"`)
		}
	}
	w.put(` d="`)
	for i, p := range pts {
		switch i {
		case 0:
			w.put("M")
		case 1:
			w.put("L")
		default:
			w.put(" ")
		}
		w.put(num(p.X), " ", num(p.Y))
	}
	if closed {
		w.put("Z")
	}
	w.put("\"/>\n")
}

var anchors = [...]string{"", ` text-anchor="middle"`, ` text-anchor="end"`}

// Text writes a line of text.
func (w *svg) Text(t Text) {
	w.put(`<text x="`, num(t.At.X), `" y="`, num(t.At.Y), `" font-size="`, num(t.Size), `" fill="`, grey(t.Tone), `"`, anchors[t.Anchor])
	if t.Bold {
		w.put(` font-weight="bold"`)
	}
	if t.Turn != 0 {
		w.put(` transform="rotate(`, num(-t.Turn), ` `, num(t.At.X), ` `, num(t.At.Y), `)"`)
	}
	if len(t.S) > 2 {
		w.put(` textLength="`, num(t.Width()), `" lengthAdjust="spacingAndGlyphs"`)
	}
	w.put(`>`, escape(t.S), "</text>\n")
}

// Image writes a picture into the element itself.
func (w *svg) Image(i Image) {
	w.put(`<image x="`, num(i.At.X), `" y="`, num(i.At.Y), `" width="`, num(i.W), `" height="`, num(i.H), `" href="data:`,
		PictureType(i.Data), `;base64,`, base64.StdEncoding.EncodeToString(i.Data), `"><title>`, escape(i.Desc), "</title></image>\n")
}

func grey(t Tone) string {
	const hex = "0123456789abcdef"
	l := t.Level()
	h := string([]byte{hex[l>>4], hex[l&15]})
	if h[0] == h[1] {
		return "#" + strings.Repeat(h[:1], 3)
	}
	return "#" + h + h + h
}

// num writes a number with two decimals at most.
func num(v float64) string {
	v = math.Round(v*100) / 100
	if v == 0 {
		return "0" // not -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder does not fail
	return b.String()
}

// PictureType says what a picture is: image/jpeg, image/png, or something else.
func PictureType(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		return "image/jpeg"
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return "image/png"
	}
	return "application/octet-stream"
}
