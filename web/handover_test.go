//go:build !js

package web

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/store/memory"
)

// otherDesk is a desk with a book and a device of its own.
func otherDesk(t testing.TB, device string, now time.Time) *desk {
	t.Helper()
	b, err := book.Open(t.Context(), memory.New(), device, book.Options{Price: Price})
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{TB: t, book: b, now: now}
	d.h = Handler(Service{Book: b, Now: func() time.Time { return d.now }, Key: func() string { d.keys++; return fmt.Sprintf("%s-%d", device, d.keys) }})
	return d
}

var keyInput = regexp.MustCompile(`<input type="hidden" name="key" value="[^"]*">`)

// bare is a page without its keys.
func (p answered) bare() string { return keyInput.ReplaceAllString(p.Body, "") }

// workedJob is a job with readings, a bead, a correction, a change and two photos.
func workedJob(t *testing.T, d *desk) (at string) {
	t.Helper()
	d.send("/settings", "welder", "R. Hand")
	d.send("/shop", "shop", "Plain Bench", "prices.currency", "EUR", "prices.hour", "90")
	d.send("/new", "units", "si", "j.machine.kind", "stone crusher", "j.machine.serial", "SC 12", "i.part", "frame rail", "i.crack.length", "120", "i.thickness", "20",
		"i.shape", "plate", "i.crack.through", "no", "i.crack.ends", "both", "j.machine.lifts_people", "no", "j.machine.hangs_load", "no", "j.machine.on_road", "no", "i.role", "structure",
		"i.contains", "nothing", "j.site.fire_ban", "no", "c.name", "Grey Pit", "c.phone", "555 0100", "j.customer.authority", "yes")
	j := d.jobNamed("crusher")
	at = "/jobs/" + j.ID
	place := j.Places[0].ID
	d.send(at+"/agree", "name", "A. Grey", "how", "phone", "price", "600 to 900 EUR")
	for i, h := range j.Holds[:2] {
		d.send(at+"/override?hold="+url.QueryEscape(h.ID), "name", "R. Hand", "reason", fmt.Sprint("no such switch ", i))
	}
	d.send(at+"/reading", "item", place, "temp", "120 C", "place", "left end")
	d.send(at+"/reading", "item", place, "temp", "135 C", "place", "right end")
	d.send(at+"/found", "item", place, "text", "it runs on", "i.crack.length", "200 mm")
	for _, size := range []int{40, 60} {
		if up := d.upload(at+"/photo", "photo", "x.jpg", jpegOf(t, size, 30), "caption", fmt.Sprint("photo ", size)); up.Code != 303 {
			t.Fatalf("photo: %d %s", up.Code, errorsOf(up.Body))
		}
	}
	j = d.jobNamed("crusher")
	d.send(at+"/reading?of="+j.Readings[0].Ref.String()+"&item="+place, "temp", "125 C", "reason", "misread")
	return at
}

// A job goes from one desk to an empty one and back: the same pages, the same
// photos; and both go on with it.
func TestHandOver(t *testing.T) {
	a := newDesk(t)
	at := workedJob(t, a)
	a.page(at).has("Hand this job over")
	a.page(at+"/hand-over").has("Grey Pit", "name, address and phone", "entries from office", "without photos", "Save the file")
	file := a.page(at + "/file.zip")
	if h := file.Header; h.Get("Content-Type") != "application/zip" || !strings.Contains(h.Get("Content-Disposition"), `"stone-crusher`) || !strings.HasSuffix(h.Get("Content-Disposition"), book.JobFileEnding+`"`) {
		t.Errorf("headers %v", h)
	}
	b := otherDesk(t, "phone", a.now)
	b.send("/shop", "shop", "Other Bench")
	b.page("/take-in").has("Take in a job file", "your shop and settings stay as they are")
	up := b.upload("/take-in", "file", "job.zip", []byte(file.Body))
	if up.Code != 303 {
		t.Fatalf("%d %s", up.Code, errorsOf(up.Body))
	}
	b.page(up.Location).has("Stone crusher", "logged by office", "new entries", "4 photos and plans", "To the job")
	b.now = a.now
	for _, path := range []string{"/record", "/log", "/change", "/answer", "/facts", ""} {
		if x, y := a.page(at+path).bare(), b.page(at+path).bare(); x != y {
			t.Errorf("%s is another page:\n%s\n%s", path, textOf(x), textOf(y))
		}
	}
	for _, ph := range a.jobNamed("crusher").Photos {
		path := "/photos/" + ph.Is.Blob.String()
		if a.page(path).Body != b.page(path).Body {
			t.Errorf("%s differs", path)
		}
	}
	b.page("/").has("Stone crusher", "Grey Pit")
	if !strings.Contains(b.page("/shop").Body, `value="Other Bench"`) {
		t.Error("the shop is another one")
	}
	b.page("/customers").has("Grey Pit")
	b.page("/machines").has("Stone crusher, SC 12")
	if again := b.page(b.upload("/take-in", "file", "job.zip", []byte(file.Body)).Location); !strings.Contains(textOf(again.Body), "Nothing new") {
		t.Errorf("a second time: %s", textOf(again.Body))
	}
	b.send(at+"/note", "text", "logged on the phone")
	a.send(at+"/note", "text", "logged in the office")
	back := b.page(at + "/file.zip?photos=no")
	if up := a.upload("/take-in", "file", "x", []byte(back.Body)); up.Code != 303 {
		t.Fatalf("%d %s", up.Code, errorsOf(up.Body))
	} else {
		a.page(up.Location).has("1 new entry", "were here already")
	}
	a.page(at+"/log").has("logged on the phone", "logged in the office")
}

// Without photos the file is small and the pages say what is missing.
func TestHandOverWithoutPhotos(t *testing.T) {
	a := newDesk(t)
	at := workedJob(t, a)
	b := otherDesk(t, "phone", a.now)
	up := b.upload("/take-in", "file", "job.zip", []byte(a.page(at+"/file.zip?photos=no").Body))
	b.page(up.Location).has("Not here yet: 2 photos or plans of this job")
	b.page(at + "/record")
	if p := b.get("/photos/" + a.jobNamed("crusher").Photos[0].Is.Blob.String()); p.Code != 404 || !strings.Contains(textOf(p.Body), "has not reached this device") {
		t.Errorf("%d %s", p.Code, textOf(p.Body))
	}
}

// The same page takes a whole book in.
func TestTakeInBook(t *testing.T) {
	a := demoDesk(t)
	var out bytes.Buffer
	if _, err := book.Export(t.Context(), a.book.Store(), &out); err != nil {
		t.Fatal(err)
	}
	b := otherDesk(t, "phone", a.now)
	up := b.upload("/take-in", "file", "book.zip", out.Bytes())
	if up.Code != 303 {
		t.Fatalf("%d %s", up.Code, errorsOf(up.Body))
	}
	b.page(up.Location).has("A whole book was taken in", "new entries")
	if x, y := a.page("/").bare(), b.page("/").bare(); x != y {
		t.Error("the list is another one")
	}
}

func TestTakeInRefused(t *testing.T) {
	a := demoDesk(t)
	at := "/jobs/" + a.jobNamed("tipper").ID
	good := []byte(a.page(at + "/file.zip").Body)
	forged := func(old, is string) []byte {
		var out bytes.Buffer
		from, err := zip.NewReader(bytes.NewReader(good), int64(len(good)))
		if err != nil {
			t.Fatal(err)
		}
		to := zip.NewWriter(&out)
		for _, f := range from.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			data, err := io.ReadAll(r)
			if err != nil {
				t.Fatal(err)
			}
			w, err := to.Create(f.Name)
			if err != nil {
				t.Fatal(err)
			}
			w.Write(bytes.Replace(data, []byte(old), []byte(is), 1))
		}
		to.Close()
		return out.Bytes()
	}
	var otherZip bytes.Buffer
	z := zip.NewWriter(&otherZip)
	z.Create("../x")
	z.Close()
	b := otherDesk(t, "phone", a.now)
	for _, c := range []struct {
		name, says string
		code       int
		data       []byte
	}{
		{"nothing", "the file is missing", 422, nil},
		{"a photo", "neither a job file nor", 422, jpegOf(t, 10, 10)},
		{"half of it", "did not come over whole", 422, good[:len(good)/2]},
		{"changed", "cut or changed", 422, forged("tipper", "tippex")},
		{"another zip", "does not belong", 422, otherZip.Bytes()},
		{"too large", "without photos", 413, make([]byte, MaxTakeIn+1)},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := b.upload("/take-in", "file", "x.zip", c.data)
			if p.Code != c.code || !strings.Contains(strings.ToLower(errorsOf(p.Body)), c.says) {
				t.Errorf("got %d %q, want %d %q", p.Code, errorsOf(p.Body), c.code, c.says)
			}
			if b.book.Mark() != 0 {
				t.Error("something was taken in")
			}
		})
	}
	if p := b.upload("/take-in", "other", "x.zip", good); p.Code != 422 {
		t.Errorf("under another name: %d", p.Code)
	}
	if p := b.post("/take-in", url.Values{"file": {"x"}}); p.Code != 415 {
		t.Errorf("no file: %d", p.Code)
	}
	r := httptest.NewRequest("POST", "/take-in", strings.NewReader("--x\r\nrubbish"))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	if p := b.do(r); p.Code != 400 {
		t.Errorf("a form that cannot be read: %d", p.Code)
	}
	if p := b.get("/take-in?job=nothing&new=1"); p.Code != 404 {
		t.Errorf("a job that is not here: %d", p.Code)
	}
}
