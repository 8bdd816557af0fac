package pdf

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soundmetal/sheet/draw"
)

var day = time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)

func page(items ...draw.Item) draw.Doc {
	return draw.Doc{Title: "Probe", Lang: "en", Date: day, Pages: []*draw.Drawing{{W: 210, H: 297, Items: items}}}
}

func text(s string, y float64, bold bool) draw.Text {
	return draw.Text{At: draw.At(20, y), S: s, Size: 4, Bold: bold}
}

func TestSameBytes(t *testing.T) {
	d := page(text("120 °C, ½, Ø6, ≥, Łódź", 20, false), draw.Rect(10, 30, 50, 20, draw.Dashed, draw.Pale), text("שלום", 60, true))
	d.Marks = []draw.Mark{{Page: 0, Y: 20, Title: "first"}}
	a, err := Bytes(d)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		b, err := Bytes(d)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a, b) {
			t.Fatal("the same pages gave other bytes")
		}
	}
	d.Date = day.AddDate(0, 0, 1)
	if b, _ := Bytes(d); bytes.Equal(a, b) {
		t.Error("another date must show in the file")
	}
}

// tool runs an installed program on the file, or skips with a message.
func tool(t *testing.T, data []byte, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skipf("%s is not installed: not checked", name)
	}
	file := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = file
		}
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func TestQPDF(t *testing.T) {
	var p bytes.Buffer
	if err := png.Encode(&p, image.NewGray(image.Rect(0, 0, 8, 8))); err != nil {
		t.Fatal(err)
	}
	data, err := Bytes(page(text("a", 20, false), draw.Text{At: draw.At(100, 100), S: "turned", Size: 4, Turn: 90}, draw.Image{At: draw.At(20, 40), W: 20, H: 20, Data: p.Bytes()}))
	if err != nil {
		t.Fatal(err)
	}
	if out := tool(t, data, "qpdf", "--check", "FILE"); !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Error(out)
	}
}

// Signs of the trade and names in other letters come out of the file as they went in.
func TestTextComesOut(t *testing.T) {
	lines := []string{"120 °C to 250 °F", "337 mm² ½ ¾ × ± ≤ ≥ µ Ω − “so”", "Łódź, Åse Müller, Ștefan, Ελλάς, Олег", "⌀6 ∠ ✓"}
	var items []draw.Item
	for i, l := range lines {
		items = append(items, text(l, 20+float64(i)*10, i%2 == 1))
	}
	data, err := Bytes(page(items...))
	if err != nil {
		t.Fatal(err)
	}
	out := tool(t, data, "pdftotext", "-layout", "FILE", "-")
	for _, l := range lines {
		if !strings.Contains(out, l) {
			t.Errorf("%q is not in the text:\n%s", l, out)
		}
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		doc  draw.Doc
		says string
	}{
		{"no page", draw.Doc{}, "at least one page"},
		{"line to nowhere", page(draw.Line{A: draw.At(math.NaN(), 1), B: draw.At(2, 2), Pen: draw.Thin}), "no place"},
		{"no picture", page(draw.Image{W: 10, H: 10, Data: []byte("not a picture"), Desc: "crack"}), "neither a JPEG nor a PNG"},
		{"wider than high", draw.Doc{Pages: []*draw.Drawing{{W: 297, H: 210}}}, "turn it upright"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Bytes(c.doc); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want an error with %q", err, c.says)
			}
		})
	}
}

// Only faces that are used are embedded: a plain page stays small.
func TestSmall(t *testing.T) {
	data, err := Bytes(page(text("plain", 20, false)))
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > 25<<10 {
		t.Errorf("a page with one word has %d bytes, want less than 25 kB", len(data))
	}
}
