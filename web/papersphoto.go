package web

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	_ "image/png" // photos come as JPEG or PNG

	"soundmetal/book"
	"soundmetal/sheet/paper"
	"soundmetal/store"
)

// Photos on paper, made smaller: a photo is printed 90 mm wide at most, where 200
// points to the inch are as much as a printer shows.

const (
	printSide    = 720      // longer side of a printed photo, pixels
	printBytes   = 90_000   // one that is no larger in both is printed as it is
	printQuality = 78       // of the JPEG
	mostPixels   = 60 << 20 // what is taken apart: above it a photo fills the memory of a phone
	mostPhotos   = 60       // in one paper
)

// prints gives the photos for a paper, and says which are not there and why.
func (r *request) prints(all []book.Logged[book.Photo], o paper.Options) (out []paper.Photo, not []string) {
	for i, ph := range all {
		what := ph.Is.Caption
		if what == "" {
			what = "photo"
		}
		what += ", " + stamp(ph.At, o)
		if i >= mostPhotos {
			not = append(not, fmt.Sprintf("%d more photos: the job book has them", len(all)-mostPhotos))
			break
		}
		data, err := r.Book.Blob(r.Context(), ph.Is.Blob)
		if err == nil {
			data, err = smaller(data)
		}
		switch {
		case errors.Is(err, store.ErrNoBlob):
			not = append(not, what+": the file has not reached this device")
		case errors.Is(err, store.ErrDamagedBlob):
			not = append(not, what+": the file is damaged")
		case err != nil:
			not = append(not, what+": "+err.Error())
		default:
			out = append(out, paper.Photo{Data: data, Caption: what})
		}
	}
	return out, not
}

// smaller gives a picture in the size of the print.
func smaller(data []byte) ([]byte, error) {
	c, kind, err := image.DecodeConfig(bytes.NewReader(data))
	turn := 1
	if kind == "jpeg" {
		turn = book.PhotoTurn(data)
	}
	switch {
	case err != nil || c.Width == 0 || c.Height == 0:
		return nil, fmt.Errorf("the file is no picture that can be printed")
	case c.Width*c.Height > mostPixels:
		return nil, fmt.Errorf("%d × %d points are too many to print", c.Width, c.Height)
	case kind == "jpeg" && turn < 2 && max(c.Width, c.Height) <= printSide && len(data) <= printBytes:
		return data, nil
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("the file is damaged: %w", err)
	}
	w, h := c.Width, c.Height
	if side := max(w, h); side > printSide {
		w, h = max(1, w*printSide/side), max(1, h*printSide/side)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, upright(shrunk(img, w, h), turn), &jpeg.Options{Quality: printQuality}); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// shrunk gives a picture in w by h points, no more than it has: each is the mean
// of the points it stands for, band by band.
func shrunk(img image.Image, w, h int) *image.RGBA {
	from := img.Bounds()
	small := image.NewRGBA(image.Rect(0, 0, w, h))
	band := image.NewRGBA(image.Rect(0, 0, from.Dx(), (from.Dy()+h-1)/h))
	for y := range h {
		top, end := y*from.Dy()/h, (y+1)*from.Dy()/h
		draw.Draw(band, band.Rect, image.White, image.Point{}, draw.Src) // what is clear in a PNG prints white
		draw.Draw(band, band.Rect, img, from.Min.Add(image.Pt(0, top)), draw.Over)
		for x := range w {
			left, right := x*from.Dx()/w, (x+1)*from.Dx()/w
			var sum [4]int
			for row := range end - top {
				line := band.Pix[row*band.Stride+4*left : row*band.Stride+4*right]
				for i, v := range line {
					sum[i%4] += int(v)
				}
			}
			n := (end - top) * (right - left)
			for i, v := range sum {
				small.Pix[y*small.Stride+4*x+i] = uint8((v + n/2) / n)
			}
		}
	}
	return small
}

// upright does to a picture what its EXIF orientation asks for: paper does not.
// The numbers say which side of the scene row 0 and column 0 are (EXIF 2.3, tag
// 0x0112).
func upright(m *image.RGBA, turn int) *image.RGBA {
	if turn < 2 || turn > 8 {
		return m
	}
	w, h := m.Rect.Dx(), m.Rect.Dy()
	to := image.NewRGBA(image.Rect(0, 0, w, h))
	if turn >= 5 {
		to = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			a, b := x, y // where the point comes to lie
			if turn >= 5 {
				a, b = y, x
			}
			if turn == 2 || turn == 3 || turn == 6 || turn == 7 {
				a = to.Rect.Dx() - 1 - a
			}
			if turn == 3 || turn == 4 || turn == 7 || turn == 8 {
				b = to.Rect.Dy() - 1 - b
			}
			to.SetRGBA(a, b, m.RGBAAt(x, y))
		}
	}
	return to
}
