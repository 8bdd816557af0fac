// Package font measures text and splits it into runs that one of the embedded
// faces can print.
//
// Two faces carry the text (golang.org/x/image/font/gofont regular and bold);
// a third one prints what they lack: names in Hebrew and Arabic letters and a
// few signs. A letter that no face has is printed as an empty box. Widths are
// those of the faces, so that a line measured here is as wide on paper.
package font

import (
	"strings"
	"sync"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Face is one embedded face.
type Face uint8

const (
	Regular Face = iota
	Bold
	Other // for what the first two lack; one weight
	faceCount
)

// Measures of the text faces as parts of the size.
const (
	CapHeight = 0.723 // height of a capital
	XHeight   = 0.530
	Descent   = 0.211 // below the line
	Line      = 1.25  // from line to line
)

// missing is printed for a letter that no face has.
const missing = '□'

// Names are the faces by name, for a host that keeps them as files.
var Names = map[string]Face{"regular.ttf": Regular, "bold.ttf": Bold, "other.ttf": Other}

// Run is a piece of text in one face, in the order it is printed from left to right.
type Run struct {
	Text string
	Face Face
}

// tableEnd bounds the letters whose widths are kept in a table.
const tableEnd = 0x2700

// metrics is one face with its widths, in thousandths of the size; 0 stands for
// a letter that the face lacks.
type metrics struct {
	font  *sfnt.Font
	width [tableEnd]uint16
}

var faces = sync.OnceValue(func() *[faceCount]metrics {
	var all [faceCount]metrics
	for f := range all {
		m := &all[f]
		var err error
		if m.font, err = sfnt.Parse(Face(f).TTF()); err != nil {
			panic("font: an embedded face cannot be read: " + err.Error())
		}
		if Face(f) == Other {
			continue // few letters are asked of it: looked up one by one
		}
		var b sfnt.Buffer
		for r := range m.width {
			m.width[r] = uint16(m.lookUp(&b, rune(r)))
		}
	}
	return &all
})

// lookUp gives the width of a letter, or 0 where the face lacks it.
func (m *metrics) lookUp(b *sfnt.Buffer, r rune) int {
	i, err := m.font.GlyphIndex(b, r)
	if err != nil || i == 0 {
		return 0
	}
	em := fixed.Int26_6(m.font.UnitsPerEm()) << 6
	a, err := m.font.GlyphAdvance(b, i, em, xfont.HintingNone)
	if err != nil {
		return 0
	}
	return max(1, int(a)*1000/int(em)) // a mark without width is there all the same
}

func (m *metrics) has(r rune) bool { return r < tableEnd && m.width[r] > 0 }

// Width is the width of the text at size 1.
func Width(text string, bold bool) float64 {
	f := &faces()[face(bold)]
	sum := 0
	for _, r := range text {
		if !f.has(r) {
			return slowWidth(text, bold)
		}
		sum += int(f.width[r])
	}
	return float64(sum) / 1000
}

func slowWidth(text string, bold bool) float64 {
	sum := 0.0
	for _, run := range Runs(text, bold) {
		sum += run.Width()
	}
	return sum
}

// Width is the width of the run at size 1.
func (r Run) Width() float64 {
	m := &faces()[r.Face]
	var b sfnt.Buffer
	sum := 0
	for _, letter := range r.Text {
		if m.has(letter) {
			sum += int(m.width[letter])
		} else {
			sum += m.lookUp(&b, letter)
		}
	}
	return float64(sum) / 1000
}

func face(bold bool) Face {
	if bold {
		return Bold
	}
	return Regular
}

// Runs splits the text into runs in printing order: from left to right, Arabic
// letters in the form that joins them.
func Runs(text string, bold bool) []Run {
	main := face(bold)
	all := faces()
	plain := true
	for _, r := range text {
		plain = plain && all[main].has(r)
	}
	if plain {
		return []Run{{text, main}}
	}
	var b sfnt.Buffer
	var runs []Run
	var piece strings.Builder
	last := main
	flush := func() {
		if piece.Len() > 0 {
			runs = append(runs, Run{piece.String(), last})
			piece.Reset()
		}
	}
	for _, r := range visual(text) {
		f := main
		if !all[main].has(r) {
			switch {
			case isFormat(r):
				continue
			case all[Other].lookUp(&b, r) > 0:
				f = Other
			default:
				r = missing
			}
		}
		if f != last {
			flush()
			last = f
		}
		piece.WriteRune(r)
	}
	flush()
	return runs
}

// isFormat says that the letter only steers the direction or the joining.
func isFormat(r rune) bool {
	return r == 0x200c || r == 0x200d || r == 0x200e || r == 0x200f || (r >= 0x202a && r <= 0x202e) || (r >= 0x2066 && r <= 0x2069) || r == 0xfeff || r < ' '
}
