package draw

import (
	"encoding/xml"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden files again")

// everything holds one of each primitive.
func everything() *Drawing {
	inner := &Drawing{W: 20, H: 10, Title: "inner", Items: []Item{Text{At: At(1, 5), S: "half size", Size: 4}}}
	return &Drawing{W: 100, H: 80, Title: "All & sundry", Desc: "One of <each>.", Items: []Item{
		Line{A: At(1, 1), B: At(9, 1), Pen: Dashed},
		Rect(10, 10, 20, 10, Normal, Pale),
		Arc{C: At(50, 20), R: 8, From: 0, To: math.Pi / 2, Pen: Thin},
		Circle(At(70, 20), 4, Thick, White),
		Hatch{In: Rect(10, 30, 20, 10, Pen{}, None).Pts, Out: [][]Pt{Rect(15, 30, 5, 10, Pen{}, None).Pts}, Gap: 2, Angle: 45, Pen: Hair},
		Text{At: At(40, 40), S: `120 °C ½ "a" <b>`, Size: 4, Bold: true, Anchor: Middle, Halo: true},
		Text{At: At(90, 60), S: "turned", Size: 3, Turn: 90},
		Dim{A: At(10, 50), B: At(40, 50), Off: 5, Label: []string{"30 mm", "(1-3/16 in)"}, Size: 3.6},
		Dim{A: At(60, 50), B: At(62, 50), Off: 5, Label: []string{"2 mm"}, Size: 3.6},
		Dim{A: At(60, 55), B: At(60, 75), Off: 5, Label: []string{"20 mm"}, Size: 3.6},
		Angle{C: At(30, 75), R: 10, From: -2.2, To: -1, Label: "60°", Size: 3.6},
		Leader{To: At(80, 70), From: At(85, 65), Label: []string{"note"}, Size: 3},
		Arrow{A: At(5, 70), B: At(15, 70), Both: true, Pen: Normal},
		Group{Title: "a group", Desc: "its words", Items: []Item{Line{A: At(2, 2), B: At(3, 3), Pen: Thin}}},
		Place{D: inner, At: At(60, 2), Scale: 0.5},
	}}
}

func TestSVGGolden(t *testing.T) {
	got := SVG(everything(), "d1")
	const file = "testdata/everything.svg"
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the SVG differs from %s; look at it and run with -update if it is right", file)
	}
}

func TestSVGIsWellFormed(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(SVG(everything(), "d1")))
	var title, desc string
	texts := 0
	var stack []string
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			stack = append(stack, e.Name.Local)
			if e.Name.Local == "text" {
				texts++
			}
			if e.Name.Local == "style" {
				t.Error("an SVG of ours has no style sheet")
			}
			for _, a := range e.Attr {
				if strings.Contains(a.Value, "http") && a.Name.Local != "xmlns" {
					t.Errorf("%s points outside: %s", e.Name.Local, a.Value)
				}
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			switch {
			case len(stack) == 2 && stack[1] == "title":
				title += string(e)
			case len(stack) == 2 && stack[1] == "desc":
				desc += string(e)
			}
		}
	}
	if title != "All & sundry" || desc != "One of <each>." {
		t.Errorf("words for the screen reader: %q, %q", title, desc)
	}
	if want := len(Apart(everything()).Texts); texts != want {
		t.Errorf("%d lines of text, want %d: text stays text", texts, want)
	}
}

// A hatch line lies in its polygon and in none of those left out, and the lines
// together are as long as area over gap.
func TestHatchProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(20, 60).Draw(t, "w"), rapid.Float64Range(20, 60).Draw(t, "h")
		hx, hy := rapid.Float64Range(0, w/2).Draw(t, "hole x"), rapid.Float64Range(0, h/2).Draw(t, "hole y")
		in := Rect(3, 4, w, h, Pen{}, None).Pts
		hole := Rect(3+hx, 4+hy, w/3, h/3, Pen{}, None).Pts
		gap := rapid.Float64Range(0.5, 1.5).Draw(t, "gap")
		hatch := Hatch{In: in, Out: [][]Pt{hole}, Gap: gap, Angle: rapid.Float64Range(0, 180).Draw(t, "angle"), Pen: Hair}
		length := 0.0
		for _, s := range hatch.segments() {
			mid := s[0].plus(s[1]).times(0.5)
			if !inside(in, mid) || inside(hole, mid) {
				t.Fatalf("the line %v lies outside or in the hole", s)
			}
			length += s[1].minus(s[0]).length()
		}
		want := (w*h - w*h/9) / gap
		if math.Abs(length-want) > 0.15*want {
			t.Fatalf("lines are %.1f mm long in all, want about %.1f (area over gap), difference %.1f", length, want, length-want)
		}
	})
}

func inside(pts []Pt, p Pt) bool {
	in := false
	for i, a := range pts {
		b := pts[(i+1)%len(pts)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

func TestScaleKeepsPlaces(t *testing.T) {
	d := &Drawing{W: 50, H: 50, Items: []Item{Place{At: At(10, 20), Scale: 2, D: &Drawing{W: 10, H: 10, Items: []Item{
		Line{A: At(1, 2), B: At(3, 4), Pen: Dashed}, Text{At: At(5, 6), S: "x", Size: 3}}}}}}
	p := Apart(d)
	if got, want := p.Paths[0].Pts, []Pt{{12, 24}, {16, 28}}; got[0] != want[0] || got[1] != want[1] {
		t.Errorf("line at %v, want %v", got, want)
	}
	if got := p.Paths[0].Pen.Width; got != 0.6 {
		t.Errorf("pen %.2f mm wide, want 0.6", got)
	}
	if x := p.Texts[0]; x.At != (Pt{20, 32}) || x.Size != 6 {
		t.Errorf("text at %v of size %.1f, want {20 32} and 6", x.At, x.Size)
	}
}

// An arrow's heads touch its ends; a dimension too short for two arrows has them
// outside.
func TestDimArrows(t *testing.T) {
	for _, c := range []struct {
		name  string
		long  float64
		low   float64 // leftmost point of the lines
		high  float64
		label float64 // x of the label's middle or left end
	}{
		{"long: label on the line", 40, 10, 50, 30},
		{"short: arrows from outside", 2, 10 - 2*arrowSize, 12 + 2*arrowSize, 12 + 2*arrowSize + 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := &Drawing{W: 100, H: 50, Items: []Item{Dim{A: At(10, 30), B: At(10+c.long, 30), Label: []string{"x mm"}, Size: 3.6}}}
			p := Apart(d)
			low, high := math.Inf(1), math.Inf(-1)
			for _, path := range p.Paths {
				if path.Fill == White {
					continue // behind the label
				}
				for _, pt := range path.Pts {
					low, high = min(low, pt.X), max(high, pt.X)
				}
			}
			if math.Abs(low-c.low) > 1e-6 || math.Abs(high-c.high) > 1e-6 {
				t.Errorf("lines from %.2f to %.2f, want %.2f to %.2f", low, high, c.low, c.high)
			}
			if got := p.Texts[0].At.X; math.Abs(got-c.label) > 1e-6 {
				t.Errorf("label at %.2f, want %.2f", got, c.label)
			}
		})
	}
}

func ExampleSVG() {
	d := &Drawing{W: 20, H: 10, Title: "A plate", Desc: "A plate 20 mm long.", Items: []Item{Rect(0, 4, 20, 2, Normal, Pale)}}
	fmt.Print(SVG(d, "p"))
	// Output:
	// <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10" role="img" aria-labelledby="p-t p-d" font-family="Go, Verdana, 'DejaVu Sans', Arial, sans-serif" fill="none" stroke-linejoin="round">
	// <title id="p-t">A plate</title>
	// <desc id="p-d">A plate 20 mm long.</desc>
	// <path fill="#fff" d="M0 0H20V10H0Z"/>
	// <path fill="#ececec" stroke="#000" stroke-width="0.4" d="M0 4L20 4 20 6 0 6Z"/>
	// </svg>
}
