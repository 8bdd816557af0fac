//go:build !js

package web

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
)

// addresses gives every form of the pages with what it is about: a job on which
// every kind of thing was logged, and a closed one.
func addresses(t testing.TB, d *desk) map[string][]string {
	j := everyKind(t, d)
	closed := closedJob(t, d)
	at, shut, place := "/jobs/"+j.ID, "/jobs/"+closed.ID, j.Places[0].ID
	about := map[string][]string{"follow-up": {shut + "/follow-up?look=" + closed.FollowUps[0].ID}, "again": {shut + "/again"}, "reopen": {shut + "/reopen"}}
	add := func(name, query string) { about[name] = append(about[name], at+"/"+name+"?"+query) }
	for _, h := range j.Holds[:5] {
		add("hold", "hold="+url.QueryEscape(h.ID))
		add("override", "hold="+url.QueryEscape(h.ID))
		add("unknown", "about="+url.QueryEscape(h.ID))
	}
	for _, s := range j.Steps[:5] {
		add("step", "step="+url.QueryEscape(s.ID))
	}
	for _, tin := range j.Tins {
		add("tin-away", "tin="+tin.Is.ID)
	}
	for _, c := range j.Clocks {
		add("clock-stop", "clock="+c.ID)
		add("check-in", "clock="+c.ID)
	}
	for _, v := range j.Deviations {
		add("clear", "deviation="+v.ID)
	}
	for _, line := range j.Log {
		if j.Corrects(&line) == nil {
			add("correct", "of="+line.Ref.String())
			add("void", "of="+line.Ref.String())
		}
	}
	add("drop-place", "item="+place)
	for name := range jobActions {
		if about[name] == nil {
			about[name] = []string{at + "/" + name}
		}
	}
	for name := range bookActions {
		about[name] = append(about[name], "/"+name)
	}
	machine, customer := d.book.Registry().Machines()[0].ID, ""
	for _, c := range d.book.Registry().Customers() {
		customer = c.ID
	}
	about["party"] = append(about["party"], "/party?id="+machine)
	if customer != "" {
		about["customer"] = append(about["customer"], "/customer?id="+customer)
	}
	about["new"] = []string{"/new", "/new?t.machine=" + machine, "/new?t.machine=" + machine + "&t.part=" + j.ID + "." + place}
	about["new/verdict"] = []string{"/new/verdict"}
	about["take-in"] = []string{"/take-in"}
	about["shop/file"] = []string{"/shop/file"}
	about["facts"] = []string{at + "/facts/site", at + "/facts/machine", at + "/facts/customer", at + "/facts/" + place}
	about["heat"] = []string{at + "/heat?item=" + place, at + "/heat/start?item=" + place, at + "/heat/cancel?item=" + place}
	return about
}

// deviceForms are those of a host and of a phone that exchange their logs.
func deviceForms(t *testing.T) map[*desk][]string {
	host, phone, _, _ := pair(t)
	return map[*desk][]string{host: {"/devices/code", "/devices/revoke?device=phone-1", "/devices/admit", "/devices/name"}, phone: {"/sync/join", "/sync/step", "/sync/leave"}}
}

// The lists above have every address that takes a form.
func TestEveryFormIsFuzzed(t *testing.T) {
	data, err := os.ReadFile("handler.go")
	if err != nil {
		t.Fatal(err)
	}
	mux, missed := http.NewServeMux(), map[string]bool{}
	for _, m := range regexp.MustCompile(`(?:post\("|add\("POST )(/[^"]+)", `).FindAllStringSubmatch(string(data), -1) {
		mux.Handle("POST "+m[1], http.NotFoundHandler())
		missed["POST "+m[1]] = true
	}
	if len(missed) < 5 {
		t.Fatalf("only %d forms found in handler.go", len(missed))
	}
	hit := func(all []string) {
		for _, path := range all {
			_, pattern := mux.Handler(httptest.NewRequest("POST", path, nil))
			delete(missed, pattern)
		}
	}
	for _, all := range addresses(t, newDesk(t)) {
		hit(all)
	}
	for _, all := range deviceForms(t) {
		hit(all)
	}
	for pattern := range missed {
		t.Errorf("no address for %s", pattern)
	}
}

// anything is what a form should not be surprised by.
var anything = []string{"", " ", "0", "-1", "1e400", "NaN", "Inf", "1/0", "½", "3/16", "12", "12 mm", "85 C", "-273 C", "120 A", "yes", "no", "unknown", "new", "now", "20 min", "-20 min", "9999999 h", "2026-02-30", "0001-01-01",
	"office.1", "office.999999", "x.1", "[[[1,2]]]", "[[[1e99,0]]]", "[", "{", "\x00", "\xff\xfe", "<script>alert(1)</script>", "\"'><b>", "{{.}}", "%s%d%n", "../../etc/passwd", "a\r\nSet-Cookie: x=y", "E7018 1/8", "pt", "final", "clear",
	"sealed", "wait", "check-in", "signed", "phone", "held", "us", "si", "💥", "\u202eabc", strings.Repeat("x", 3000), strings.Repeat("ä", 9000), "version: 1\nunits: si", "a: [", "&a: *a"}

// sendAnything fills the form of a page with anything and sends it.
func sendAnything(t *testing.T, d *desk, rnd *rand.Rand, path string, codes map[int]int) {
	t.Helper()
	page := path
	if path == "/new/verdict" {
		page = "/new"
	}
	shown := d.get(page)
	if shown.Code >= 500 {
		t.Fatalf("GET %s: %d %s", page, shown.Code, textOf(shown.Body))
	}
	v := formValues(shown.Body, page)
	action, query, _ := strings.Cut(path, "?")
	if m := regexp.MustCompile(`<form method="post" class="big[^"]*" action="([^"]+)"`).FindStringSubmatch(shown.Body); m != nil && path != "/new/verdict" {
		action = unescape(m[1])
	}
	known, _ := url.ParseQuery(query)
	for field := range known {
		v.Set(field, known.Get(field))
	}
	for _, m := range regexp.MustCompile(` name="([^"]+)"`).FindAllStringSubmatch(shown.Body, -1) {
		switch field := unescape(m[1]); {
		case field == "key" || known.Has(field) && rnd.IntN(8) > 0: // mostly about what is there
		case rnd.IntN(3) == 0:
			v.Set(field, anything[rnd.IntN(len(anything))])
		case rnd.IntN(20) == 0:
			v.Add(field, anything[rnd.IntN(len(anything))])
		case rnd.IntN(20) == 0:
			v.Del(field)
		}
	}
	d.keys++
	v.Set("key", fmt.Sprintf("any%d", d.keys))
	p := d.post(action, v)
	codes[p.Code]++
	if p.Code >= 500 {
		t.Errorf("POST %s %q: %d %s", action, v, p.Code, textOf(p.Body))
	}
	if strings.Contains(p.Body, "<script>alert") || strings.Contains(p.Header.Get("Location"), "\n") || p.Header.Get("Set-Cookie") != "" {
		t.Errorf("POST %s %q: what was typed became part of the page", action, v)
	}
	if p.Code == http.StatusSeeOther {
		if to := d.get(p.Location); to.Code != 200 || strings.Contains(to.Body, "<script>alert") {
			t.Errorf("POST %s %q leads to %s: %d %s", action, v, p.Location, to.Code, clipText(textOf(to.Body)))
		}
	}
	d.now = d.now.Add(time.Second)
}

// Every form, filled with anything, is carried out or refused in words.
func TestEveryFormTakesAnything(t *testing.T) {
	d := newDesk(t)
	about := addresses(t, d)
	names := slices.Sorted(maps.Keys(about))
	rnd := rand.New(rand.NewPCG(1, 2))
	rounds, codes := 6, map[int]int{}
	if testing.Short() {
		rounds = 3
	}
	for _, name := range names {
		for _, path := range about[name] {
			for range rounds {
				sendAnything(t, d, rnd, path, codes)
			}
		}
	}
	for other, all := range deviceForms(t) {
		for _, path := range all {
			for range rounds {
				sendAnything(t, other, rnd, path, codes)
			}
		}
	}
	cards, _ := d.book.List(book.ListQuery{Limit: 1000})
	for _, c := range cards { // and every page still shows
		for _, page := range []string{"", "/log", "/record", "/answer", "/facts", "/change"} {
			if p := d.get("/jobs/" + c.ID + page); p.Code >= 400 || strings.Contains(p.Body, "<script>alert") {
				t.Errorf("%s of %s afterwards: %d %s", page, c.Name, p.Code, clipText(textOf(p.Body)))
			}
		}
	}
	if codes[http.StatusSeeOther] < 50 || codes[http.StatusUnprocessableEntity] < 50 {
		t.Errorf("answers %v: the forms are hardly reached", codes)
	}
	t.Logf("%d forms, answers %v", len(names), codes)
}

// Whatever is sent as a form, the answer is a page, never a fault of the program.
func FuzzForm(f *testing.F) {
	d := newDesk(f)
	about := addresses(f, d)
	var paths []string
	for _, all := range about {
		paths = append(paths, all...)
	}
	slices.Sort(paths) // the same number means the same form in every worker
	item := d.jobNamed("crusher").Places[0].ID
	for i, s := range []string{"temp=85+C&item=" + item, "i.part=arm&j.machine.kind=loader&i.thickness=3/16", "text=x", "how=signed&name=A&strokes=[[[1,2],[3,4]]]", "strokes=[[[1e99]]]&how=signed&name=x",
		"file=units: us", "file=a: [", "by=x&done=y&not_examined=z&what1=w&hours1=8", "of=office.1&reason=x&void=1", "what=wait&for=2+min", "number=-1&rods=1e400", "i.crack.length=1/0&text=t&item=new&i.part=p", "i.behind=oil&i.behind=hose", "%zz=1", "class=E7018&size=1/8"} {
		f.Add(uint16(i*7), s)
	}
	for i := range paths {
		f.Add(uint16(i), "reason=x&note=y&temp=85+C&ago=5+min&says=yes&done=z")
	}
	f.Fuzz(func(t *testing.T, which uint16, body string) {
		if len(body) > 20_000 {
			return
		}
		d.TB = t
		d.keys++
		path, query, _ := strings.Cut(paths[int(which)%len(paths)], "?")
		r := httptest.NewRequest("POST", path, strings.NewReader(fmt.Sprintf("key=fuzz%d&%s&%s", d.keys, query, body)))
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

// Photos up to their limit are kept, larger ones and forms that are not one of
// these pages are refused in words.
func TestPhotoLimits(t *testing.T) {
	d := demoDesk(t)
	at := "/jobs/" + d.jobNamed("quarry").ID + "/photo"
	small := jpegOf(t, 8, 8)
	end := len(small) - 2
	sized := func(n int) []byte { // comments fill it up, the picture stays
		out := bytes.Clone(small[:2])
		for len(out)+len(small)-2 < n {
			size := min(n-len(out)-(len(small)-2), 65_000)
			if size < 4 {
				break
			}
			out = append(out, 0xff, 0xfe, byte((size-2)>>8), byte(size-2))
			out = append(out, make([]byte, size-4)...)
		}
		return append(out, small[2:end+2]...)
	}
	png := func(w, h uint32) []byte { // a head that promises much
		b := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR")
		b = binary.BigEndian.AppendUint32(b, w)
		b = binary.BigEndian.AppendUint32(b, h)
		b = append(b, 8, 2, 0, 0, 0)
		b = binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[12:]))
		return append(b, "\x00\x00\x00\x00IEND\xaeB\x60\x82"...)
	}
	for _, c := range []struct {
		name string
		data []byte
		code int
		says string
	}{
		{"as large as is accepted", sized(book.MaxPhoto - 4), 303, ""},
		{"a little larger", sized(book.MaxPhoto + 8), 422, "up to 8 MB"},
		{"far larger", make([]byte, MaxForm), 413, "larger than 9 MB"},
		{"empty", nil, 422, ""},
		{"cut off", small[:len(small)/2], 422, "no JPEG or PNG"},
		{"a bomb of points", png(1<<20, 1<<20), 422, "too many points"},
		{"no points", png(0, 5), 422, "no JPEG or PNG"},
	} {
		before := d.book.Mark()
		p := d.upload(at, "photo", "x.jpg", c.data)
		if p.Code != c.code || !strings.Contains(textOf(p.Body), c.says) {
			t.Errorf("%s (%d bytes): %d %s, want %d %s", c.name, len(c.data), p.Code, errorsOf(p.Body), c.code, c.says)
		}
		if c.code != 303 && d.book.Mark() != before {
			t.Errorf("%s: something was logged", c.name)
		}
	}
	var many url.Values = map[string][]string{"key": {"many"}, "text": {"x"}}
	for i := range 20_000 {
		many.Set(fmt.Sprint("f", i), "1")
	}
	if p := d.post(strings.TrimSuffix(at, "photo")+"note", many); p.Code >= 500 {
		t.Errorf("a form of 20000 fields: %d", p.Code)
	}
	r := httptest.NewRequest("POST", at, strings.NewReader("x"))
	r.Header.Set("Content-Type", "multipart/form-data")
	if p := d.do(r); p.Code != 400 {
		t.Errorf("a form without its border: %d", p.Code)
	}
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

// Whatever is sent as a job file is taken in or refused in one sentence, and what
// is refused leaves nothing behind.
func FuzzTakeIn(f *testing.F) {
	a := demoDesk(f)
	good := []byte(a.page("/jobs/" + a.jobNamed("tipper").ID + "/file.zip").Body)
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("PK\x03\x04"))
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18)))
	f.Add([]byte("x"))
	f.Fuzz(func(t *testing.T, data []byte) { takeInAnything(t, data) })
}

func takeInAnything(t *testing.T, data []byte) {
	t.Helper()
	b := otherDesk(t, "phone", time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC))
	p := b.upload("/take-in", "file", "x.zip", data)
	switch {
	case p.Code == http.StatusSeeOther:
		b.page(p.Location)
	case p.Code != http.StatusUnprocessableEntity:
		t.Errorf("%d %s", p.Code, textOf(p.Body))
	case errorsOf(p.Body) == "" || len(errorsOf(p.Body)) > 250:
		t.Errorf("not one sentence: %q", errorsOf(p.Body))
	case b.book.Mark() != 0:
		t.Error("refused, but something was taken in")
	}
}

// A job file that was damaged on its way is refused in one sentence.
func TestDamagedJobFile(t *testing.T) {
	a := demoDesk(t)
	good := []byte(a.page("/jobs/" + a.jobNamed("tipper").ID + "/file.zip").Body)
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 60 {
		bad := bytes.Clone(good)
		switch rnd.IntN(3) {
		case 0:
			bad = bad[:rnd.IntN(len(bad)-1)+1]
		case 1:
			bad[rnd.IntN(len(bad))] ^= byte(1 + rnd.IntN(255))
		default:
			at := rnd.IntN(len(bad))
			bad = slices.Delete(bad, at, min(len(bad), at+1+rnd.IntN(200)))
		}
		takeInAnything(t, bad)
	}
}
