package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
)

// Whatever is sent as a form, the answer is a page, never a fault of the program.
func FuzzForm(f *testing.F) {
	d := demoDesk(f)
	at := "/jobs/" + d.jobNamed("quarry").ID
	paths := []string{"/new", "/new/verdict", "/shop", "/shop/file", "/settings", "/customer", "/party"}
	for name := range jobActions {
		paths = append(paths, at+"/"+name)
	}
	paths = append(paths, at+"/facts/site", at+"/facts/machine", at+"/facts/customer", at+"/facts/"+d.jobNamed("quarry").Places[0].ID)
	slices.Sort(paths) // the same number means the same form in every worker
	item := d.jobNamed("quarry").Places[0].ID
	for i, s := range []string{"temp=85+C&item=" + item, "i.part=arm&j.machine.kind=loader&i.thickness=3/16", "text=x", "how=signed&name=A&strokes=[[[1,2],[3,4]]]", "strokes=[[[1e99]]]&how=signed&name=x",
		"file=units: us", "file=a: [", "by=x&done=y&not_examined=z&what1=w&hours1=8", "of=office.1&reason=x&void=1", "what=wait&for=2+min", "number=-1&rods=1e400", "i.crack.length=1/0&text=t&item=new&i.part=p", "i.behind=oil&i.behind=hose", "%zz=1", "class=E7018&size=1/8"} {
		f.Add(uint8(i*3), s)
	}
	f.Fuzz(func(t *testing.T, which uint8, body string) {
		if len(body) > 20_000 {
			return
		}
		d.TB = t
		d.keys++
		r := httptest.NewRequest("POST", paths[int(which)%len(paths)], strings.NewReader(fmt.Sprintf("key=fuzz%d&%s", d.keys, body)))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		w := httptest.NewRecorder()
		d.h.ServeHTTP(w, r)
		if w.Code >= 500 {
			t.Errorf("%s %q: %d %s", r.URL.Path, body, w.Code, textOf(w.Body.String()))
		}
		if strings.Contains(w.Body.String(), "<script>alert") {
			t.Errorf("%q became markup", body)
		}
	})
}

// Whatever is sent as a photo is refused or kept as a picture that is served as
// a picture.
func FuzzPhoto(f *testing.F) {
	d := demoDesk(f)
	at := "/jobs/" + d.jobNamed("quarry").ID + "/photo"
	good := jpegOf(f, 8, 8)
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("\x89PNG\r\n\x1a\n"))
	f.Add([]byte("GIF89a"))
	f.Add([]byte("<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"))
	f.Add(append(bytes.Clone(good), "<script>alert(1)</script>"...))
	f.Fuzz(func(t *testing.T, data []byte) {
		d.TB = t
		p := d.upload(at, "photo", "x.jpg", data)
		if p.Code != http.StatusSeeOther && p.Code != http.StatusUnprocessableEntity {
			t.Fatalf("%d: %s", p.Code, textOf(p.Body))
		}
		if p.Code == http.StatusSeeOther {
			photos := d.jobNamed("quarry").Photos
			ph := d.get("/photos/" + photos[len(photos)-1].Is.Blob.String())
			if m := ph.Header.Get("Content-Type"); ph.Code != 200 || m != "image/jpeg" && m != "image/png" {
				t.Errorf("served as %d %q", ph.Code, m)
			}
		}
	})
}
