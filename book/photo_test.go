package book_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"

	"soundmetal/book"
)

func picture(w, h int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range w {
		for k := range h {
			m.Set(i, k, color.RGBA{uint8(i * 7), uint8(k * 5), uint8(i ^ k), 255})
		}
	}
	return m
}

// jpegFile makes a picture with segments behind its first marker.
func jpegFile(t testing.TB, w, h int, segments []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture(w, h), nil); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	return append(append(append([]byte{}, data[:2]...), segments...), data[2:]...)
}

// exif is a segment as a phone writes it: turn, maker, place.
func exif(order binary.AppendByteOrder, turn uint16) []byte {
	var b []byte
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		b = append(b, "Exif\x00\x00II"...)
	} else {
		b = append(b, "Exif\x00\x00MM"...)
	}
	b = order.AppendUint16(b, 42)
	b = order.AppendUint32(b, 8)
	b = order.AppendUint16(b, 2)
	entry := func(tag, kind uint16, n uint32, v uint16) {
		b = order.AppendUint16(b, tag)
		b = order.AppendUint16(b, kind)
		b = order.AppendUint32(b, n)
		b = order.AppendUint16(b, v)
		b = order.AppendUint16(b, 0)
	}
	entry(0x010f, 2, 2, 0x4141)
	entry(0x0112, 3, 1, turn)
	b = append(b, "\x00\x00\x00\x00 GPS 47.1234 N 11.5678 E"...)
	return append([]byte{0xff, 0xe1, byte((len(b) + 2) >> 8), byte(len(b) + 2)}, b...)
}

func TestPhotoKeepsNothingOfTheWelder(t *testing.T) {
	comment := append([]byte{0xff, 0xfe, 0, 2 + 15}, "GPS in a remark"...)
	for name, data := range map[string][]byte{
		"little end first": jpegFile(t, 40, 30, append(exif(binary.LittleEndian, 6), comment...)),
		"big end first":    jpegFile(t, 40, 30, exif(binary.BigEndian, 6)),
		"after the end":    append(jpegFile(t, 40, 30, exif(binary.BigEndian, 6)), "GPS of a film"...),
	} {
		t.Run(name, func(t *testing.T) {
			w := newBench(t)
			w.open("blade-arm.yaml")
			w.do(book.AddPhoto{Job: w.job, Data: data, Caption: "crack", Place: &book.Place{Lat: 47, Lon: 11}})
			p := w.is().Photos[0].Is
			kept, err := w.b.Blob(t.Context(), p.Blob)
			if err != nil {
				t.Fatal(err)
			}
			if bytes.Contains(kept, []byte("GPS")) || bytes.Contains(kept, []byte("AA")) {
				t.Error("what the camera wrote is still in the file")
			}
			if !bytes.Contains(kept, []byte("\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06")) {
				t.Error("the turn of the picture is gone")
			}
			was, _ := jpeg.Decode(bytes.NewReader(data))
			is, err := jpeg.Decode(bytes.NewReader(kept))
			if err != nil || asJSON(t, was) != asJSON(t, is) {
				t.Errorf("it is not the same picture: %v", err)
			}
			if p.Place != nil {
				t.Error("the place is kept though nobody asked for it")
			}
			if p.Width != 30 || p.Height != 40 || p.Media != "image/jpeg" { // as it is shown
				t.Errorf("%d × %d, %s", p.Width, p.Height, p.Media)
			}
			w.do(book.SetSettings{Set: map[string]string{"photo_place": "yes"}})
			w.do(book.AddPhoto{Job: w.job, Data: data, Place: &book.Place{Lat: 47, Lon: 11}})
			if w.is().Photos[1].Is.Place == nil {
				t.Error("the place is gone though he asked for it")
			}
		})
	}
}

func TestPNG(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, picture(20, 10)); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	text := []byte("\x00\x00\x00\x07tEXtGPS\x00abc\x00\x00\x00\x00")
	marked := append(append(append([]byte{}, data[:33]...), text...), data[33:]...)
	w := newBench(t)
	w.open("blade-arm.yaml")
	w.do(book.AddPhoto{Job: w.job, Data: append(marked, "GPS behind"...)})
	kept, err := w.b.Blob(t.Context(), w.is().Photos[0].Is.Blob)
	if err != nil || !bytes.Equal(kept, data) {
		t.Errorf("%v", err)
	}
}

func TestPhotoRefused(t *testing.T) {
	w := newBench(t)
	w.open("blade-arm.yaml")
	good := jpegFile(t, 10, 10, nil)
	huge := jpegFile(t, 10, 10, nil)
	at := bytes.Index(huge, []byte{0xff, 0xc0})
	copy(huge[at+5:], "\xff\xff\xff\xff")
	for name, data := range map[string][]byte{
		"none": nil, "text": []byte("hello"), "page": []byte("<html><script>alert(1)</script>"), "drawing": []byte("<svg xmlns='http://www.w3.org/2000/svg'/>"),
		"cut off": good[:len(good)/3], "only a head": []byte("\xff\xd8\xff"), "huge": huge, "too large": append(good, make([]byte, book.MaxPhoto)...),
		"cut PNG": []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR"), "PNG of a wrong length": []byte("\x89PNG\r\n\x1a\n\xff\xff\xff\xffIHDR" + strings.Repeat("x", 30)),
	} {
		if _, err := w.try(book.AddPhoto{Job: w.job, Data: data}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	w.refused(book.CodeField, "no place on earth", book.AddPhoto{Job: w.job, Data: good, Place: func() *book.Place {
		w.do(book.SetSettings{Set: map[string]string{"photo_place": "yes"}})
		return &book.Place{Lat: 100}
	}()})
}

func FuzzPhoto(f *testing.F) {
	f.Add(jpegFile(f, 8, 8, exif(binary.LittleEndian, 3)))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x04Ex"))
	f.Add([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x00IEND\xae\x42\x60\x82"))
	f.Fuzz(func(t *testing.T, data []byte) {
		state := book.NewState()
		d, err := book.Decide(withJob{state}, morning, "key", book.AddPhoto{Job: "j1", Data: data}, nil)
		if err != nil {
			return
		}
		again, err := book.Decide(withJob{state}, morning, "key", book.AddPhoto{Job: "j1", Data: d.Blobs[0]}, nil)
		if err != nil || !bytes.Equal(again.Blobs[0], d.Blobs[0]) {
			t.Fatalf("a cleaned picture is changed by cleaning it again: %v", err)
		}
	})
}

// withJob is a view of an empty job.
type withJob struct{ *book.State }

func (withJob) Job(string) (*book.Job, error) { return &book.Job{ID: "j1", Status: book.JobOpen}, nil }
