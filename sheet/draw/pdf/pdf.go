// Package pdf writes drawings as the pages of a PDF file with embedded fonts.
//
// The same pages and the same date give the same bytes: no clock, no random
// name. Text stays text and can be searched and copied.
package pdf

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

const pointsPerMM = 72 / 25.4

var families = [...]string{font.Regular: "regular", font.Bold: "bold", font.Other: "other"}

// Write writes the file.
func Write(w io.Writer, d draw.Doc) error {
	if len(d.Pages) == 0 {
		return fmt.Errorf("a paper needs at least one page")
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: d.Pages[0].W, Ht: d.Pages[0].H}})
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetCatalogSort(true)
	f.SetCreationDate(d.Date.UTC())
	f.SetModificationDate(d.Date.UTC())
	f.SetProducer("soundmetal", true)
	f.SetCreator("soundmetal", true)
	f.SetTitle(d.Title, true)
	f.SetSubject(d.Subject, true)
	f.SetAuthor(d.Author, true)
	f.SetLang(d.Lang)
	f.SetDisplayMode("fullpage", "single")
	f.SetLineJoinStyle("round")
	s := &sink{f: f}
	var faces faceFinder
	for _, p := range d.Pages {
		draw.Emit(p, &faces)
	}
	for face, used := range faces {
		if used {
			f.AddUTF8FontFromBytes(families[face], "", font.Face(face).TTF())
		}
	}
	for i, p := range d.Pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: min(p.W, p.H), Ht: max(p.W, p.H)})
		if p.W > p.H {
			return fmt.Errorf("page %d is wider than high; turn it upright", i+1)
		}
		for _, m := range d.Marks {
			if m.Page == i {
				f.Bookmark(m.Title, 0, m.Y)
			}
		}
		s.page = i
		s.pen, s.face = state{}, ""
		draw.Emit(p, painter{s.Path, s.Text, s.Image})
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("the PDF cannot be written: %w", err)
	}
	return nil
}

// Bytes gives the file as bytes.
func Bytes(d draw.Doc) ([]byte, error) {
	var b bytes.Buffer
	err := Write(&b, d)
	return b.Bytes(), err
}

// state is what the page's graphics are set to, so that it is not said again.
type state struct {
	width       float64
	stroke      draw.Tone
	dash        string
	fill        draw.Tone
	strokeKnown bool
}

type sink struct {
	f      *fpdf.Fpdf
	page   int
	pen    state
	face   string
	images int
}

// painter hands what is drawn to a sink without being one: reflection reaches
// what an interface holds, so the linker would keep every method of an
// fpdf.Fpdf, with decoders the phone never runs.
type painter struct {
	path  func(pts []draw.Pt, closed bool, pen draw.Pen, fill draw.Tone)
	text  func(draw.Text)
	image func(draw.Image)
}

// Begin is for other writers: a PDF page has no groups.
func (p painter) Begin(string, string) {}

// End is for other writers.
func (p painter) End() {}

func (p painter) Path(pts []draw.Pt, closed bool, pen draw.Pen, fill draw.Tone) {
	p.path(pts, closed, pen, fill)
}
func (p painter) Text(t draw.Text)   { p.text(t) }
func (p painter) Image(i draw.Image) { p.image(i) }

// Path paints a path.
func (s *sink) Path(pts []draw.Pt, closed bool, pen draw.Pen, fill draw.Tone) {
	for _, p := range pts {
		if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
			s.f.SetErrorf("a line on page %d has no place: %v", s.page+1, p)
			return
		}
	}
	style := ""
	if fill != draw.None {
		style = "F"
		s.setFill(fill)
	}
	if pen.Width > 0 {
		style += "D"
		s.setPen(pen)
	}
	s.f.MoveTo(pts[0].X, pts[0].Y)
	for _, p := range pts[1:] {
		s.f.LineTo(p.X, p.Y)
	}
	if closed {
		s.f.ClosePath()
	}
	s.f.DrawPath(style)
}

func (s *sink) setFill(t draw.Tone) {
	if s.pen.fill != t {
		l := int(t.Level())
		s.f.SetFillColor(l, l, l)
		s.pen.fill = t
	}
}

func (s *sink) setPen(p draw.Pen) {
	if !s.pen.strokeKnown || s.pen.stroke != p.Tone {
		l := int(p.Tone.Level())
		s.f.SetDrawColor(l, l, l)
		s.pen.stroke = p.Tone
	}
	if !s.pen.strokeKnown || s.pen.width != p.Width {
		s.f.SetLineWidth(p.Width)
		s.pen.width = p.Width
	}
	if dash := fmt.Sprint(p.Dash); !s.pen.strokeKnown || s.pen.dash != dash {
		s.f.SetDashPattern(append([]float64(nil), p.Dash...), 0)
		s.pen.dash = dash
	}
	s.pen.strokeKnown = true
}

// Text paints a line of text, run by run.
func (s *sink) Text(t draw.Text) {
	x, y := t.At.X, t.At.Y
	switch t.Anchor {
	case draw.Middle:
		x -= t.Width() / 2
	case draw.End:
		x -= t.Width()
	}
	if t.Turn != 0 {
		s.f.TransformBegin()
		s.f.TransformRotate(t.Turn, t.At.X, t.At.Y)
		defer func() {
			s.f.TransformEnd()
			s.pen, s.face = state{}, "" // what was set inside is forgotten by the reader
		}()
	}
	l := int(t.Tone.Level())
	s.f.SetTextColor(l, l, l)
	for _, run := range font.Runs(t.S, t.Bold) {
		family := families[run.Face]
		size := t.Size * pointsPerMM
		if key := family + strconv.FormatFloat(size, 'f', 3, 64); s.face != key {
			s.f.SetFont(family, "", size)
			s.face = key
		}
		s.f.Text(x, y, run.Text)
		x += run.Width() * t.Size
	}
}

// Image paints a picture; the same picture is stored once.
func (s *sink) Image(i draw.Image) {
	kind := map[string]string{"image/jpeg": "JPG", "image/png": "PNG"}[draw.PictureType(i.Data)]
	if kind == "" {
		s.f.SetErrorf("%q is neither a JPEG nor a PNG picture", i.Desc)
		return
	}
	s.images++
	name := "p" + strconv.Itoa(s.images)
	options := fpdf.ImageOptions{ImageType: kind}
	s.f.RegisterImageOptionsReader(name, options, bytes.NewReader(i.Data))
	s.f.ImageOptions(name, i.At.X, i.At.Y, i.W, i.H, false, options, 0, "")
}

// faceFinder notes which faces the pages use, so that only those are embedded.
type faceFinder [len(families)]bool

func (s *faceFinder) Begin(string, string)                      {}
func (s *faceFinder) End()                                      {}
func (s *faceFinder) Path([]draw.Pt, bool, draw.Pen, draw.Tone) {}
func (s *faceFinder) Image(draw.Image)                          {}
func (s *faceFinder) Text(t draw.Text) {
	for _, run := range font.Runs(t.S, t.Bold) {
		s[run.Face] = true
	}
}
