//go:build !js

package web

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"strings"
	"testing"

	"soundmetal/book"
)

// camera makes a picture as a telephone writes it: red where its first row and
// column meet, green at the end of the first row, and with turn and place in EXIF.
func camera(t testing.TB, w, h, turn int) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{uint8(x*3 ^ y), uint8(x ^ y*5), 90, 255}
			switch {
			case y < h/3 && x < w/3:
				c = color.RGBA{230, 10, 10, 255}
			case y < h/3 && x > w-w/3:
				c = color.RGBA{10, 230, 10, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	exif := append([]byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x02"), "\x01\x12\x00\x03\x00\x00\x00\x01\x00"...)
	exif = append(exif, byte(turn), 0, 0)
	exif = append(exif, "\x88\x25\x00\x04\x00\x00\x00\x01\x00\x00\x00\x26\x00\x00\x00\x00GPS 47.1234 N"...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(exif)+2))
	return append(append(head, exif...), b.Bytes()[2:]...)
}

// A photo of 12 million points, sent without scripts: the place is taken out, the
// turn stays, the size is that of the picture as it is shown.
func TestLargePhotoWithoutScripts(t *testing.T) {
	d := demoDesk(t)
	j := d.jobNamed("quarry")
	data := camera(t, 4000, 3000, 6)
	if len(data) > book.MaxPhoto {
		t.Fatalf("the made-up photo has %d bytes", len(data))
	}
	if p := d.upload("/jobs/"+j.ID+"/photo", "photo", "x.jpg", data); p.Code != 303 {
		t.Fatalf("%d %s", p.Code, errorsOf(p.Body))
	}
	ph := d.jobNamed("quarry").Photos[len(j.Photos)].Is
	kept := d.get("/photos/" + ph.Blob.String()).Body
	if strings.Contains(kept, "GPS") || strings.Contains(kept, "\x88\x25\x00\x04") {
		t.Error("the place is still in the file")
	}
	if turn := book.PhotoTurn([]byte(kept)); turn != 6 || ph.Width != 3000 || ph.Height != 4000 {
		t.Errorf("turn %d, %d × %d; want 6, 3000 × 4000", turn, ph.Width, ph.Height)
	}
}

// Source: EXIF 2.3 (CIPA DC-008), tag 0x0112: where row 0 and column 0 of the
// file lie in the picture.
func TestPrintedUpright(t *testing.T) {
	for turn, want := range map[int]string{1: "top left", 2: "top right", 3: "bottom right", 4: "bottom left", 5: "top left", 6: "top right", 7: "bottom right", 8: "bottom left"} {
		for _, size := range []image.Point{{120, 90}, {1200, 900}} { // one that is small enough as it is, too
			data, err := smaller(camera(t, size.X, size.Y, turn))
			if err != nil {
				t.Fatal(err)
			}
			m, err := jpeg.Decode(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			w, h := m.Bounds().Dx(), m.Bounds().Dy()
			red := ""
			for name, at := range map[string]image.Point{"top left": {w / 8, h / 8}, "top right": {w - w/8, h / 8}, "bottom left": {w / 8, h - h/8}, "bottom right": {w - w/8, h - h/8}} {
				if r, g, _, _ := m.At(at.X, at.Y).RGBA(); r > 0xb000 && g < 0x5000 {
					red += name
				}
			}
			if red != want || (turn >= 5) != (h > w) {
				t.Errorf("turn %d of %v: %d × %d, row and column 0 at the %s, want %s", turn, size, w, h, red, want)
			}
		}
	}
}
