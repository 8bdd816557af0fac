//go:build !js

package web

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/store/memory"
)

// desk drives the pages as a browser without scripts does.
type desk struct {
	testing.TB
	h    http.Handler
	book *book.Book
	now  time.Time
	keys int
}

func newDesk(t testing.TB) *desk {
	t.Helper()
	b, err := book.Open(t.Context(), memory.New(), "office", book.Options{Price: Price})
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{TB: t, book: b, now: time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)}
	d.h = Handler(Service{Book: b, Now: func() time.Time { return d.now }, Key: func() string { d.keys++; return fmt.Sprintf("k%d", d.keys) }})
	return d
}

func demoDesk(t testing.TB) *desk {
	t.Helper()
	d := newDesk(t)
	if err := DemoBook(t.Context(), d.book, d.now); err != nil {
		t.Fatal(err)
	}
	return d
}

// page is an answer.
type answered struct {
	*desk
	Code     int
	Body     string
	Location string
	Header   http.Header
}

func (d *desk) do(r *http.Request) answered {
	w := httptest.NewRecorder()
	d.h.ServeHTTP(w, r)
	return answered{d, w.Code, w.Body.String(), w.Header().Get("Location"), w.Header()}
}

func (d *desk) get(path string) answered {
	path, _, _ = strings.Cut(path, "#")
	return d.do(httptest.NewRequest("GET", path, nil))
}

func (d *desk) part(path string) answered {
	r := httptest.NewRequest("GET", path, nil)
	r.Header.Set("HX-Request", "true")
	return d.do(r)
}

// page gets a page that must be there.
func (d *desk) page(path string) answered {
	d.Helper()
	p := d.get(path)
	if p.Code != 200 {
		d.Fatalf("GET %s: %d\n%s", path, p.Code, textOf(p.Body))
	}
	return p
}

func (d *desk) post(path string, v url.Values) answered {
	r := httptest.NewRequest("POST", path, strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return d.do(r)
}

// send fills the first form of a page that posts to action and follows it.
func (d *desk) send(path string, fields ...string) answered {
	d.Helper()
	p := d.try(path, fields...)
	if p.Code != http.StatusSeeOther {
		d.Fatalf("POST %s %v: %d: %s", path, fields, p.Code, errorsOf(p.Body))
	}
	d.now = d.now.Add(time.Minute)
	return d.page(p.Location)
}

func (d *desk) try(path string, fields ...string) answered {
	d.Helper()
	p := d.page(path)
	v := formValues(p.Body, path)
	for i := 0; i+1 < len(fields); i += 2 {
		if v.Has(fields[i]) && fields[i] == "" {
			continue
		}
		v.Set(fields[i], fields[i+1])
	}
	action, _, _ := strings.Cut(path, "?")
	return d.post(action, v)
}

func (d *desk) upload(path, field, name string, data []byte, fields ...string) answered {
	var buf bytes.Buffer
	m := multipart.NewWriter(&buf)
	d.keys++
	m.WriteField("key", fmt.Sprintf("up%d", d.keys))
	for i := 0; i+1 < len(fields); i += 2 {
		m.WriteField(fields[i], fields[i+1])
	}
	w, _ := m.CreateFormFile(field, name)
	w.Write(data)
	m.Close()
	r := httptest.NewRequest("POST", path, &buf)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return d.do(r)
}

var (
	formTag  = regexp.MustCompile(`(?s)<form method="post"[^>]* class="big[^>]*>.*?</form>`)
	inputTag = regexp.MustCompile(`<input type="(hidden|text|date|radio|checkbox)"[^>]*>`)
	attr     = func(tag, name string) string {
		return unescape(first(regexp.MustCompile(` ` + name + `="([^"]*)"`).FindStringSubmatch(tag)))
	}
	textareaTag = regexp.MustCompile(`(?s)<textarea[^>]* name="([^"]*)"[^>]*>(.*?)</textarea>`)
	errTag      = regexp.MustCompile(`(?s)<p class="err[^"]*"[^>]*>(.*?)</p>`)
	tags        = regexp.MustCompile(`(?s)<(script|style|svg).*?</(script|style|svg)>|<[^>]*>`)
	blanks      = regexp.MustCompile(`\s+`)
)

func first(m []string) string {
	if len(m) < 2 {
		return ""
	}
	return m[1]
}

func unescape(s string) string {
	return strings.NewReplacer("&amp;", "&", "&#34;", `"`, "&#39;", "'", "&lt;", "<", "&gt;", ">", "&#43;", "+").Replace(s)
}

func textOf(body string) string {
	return unescape(strings.TrimSpace(blanks.ReplaceAllString(tags.ReplaceAllString(body, " "), " ")))
}

func errorsOf(body string) string {
	var all []string
	for _, m := range errTag.FindAllStringSubmatch(body, -1) {
		all = append(all, textOf(m[1]))
	}
	return strings.Join(all, " | ")
}

// formValues reads the big form of a page as a browser would send it.
func formValues(body, path string) url.Values {
	v := url.Values{}
	form := formTag.FindString(body)
	for _, tag := range inputTag.FindAllString(form, -1) {
		name := attr(tag, "name")
		if strings.Contains(tag, `type="radio"`) || strings.Contains(tag, `type="checkbox"`) {
			if strings.Contains(tag, " checked") {
				v.Add(name, attr(tag, "value"))
			}
			continue
		}
		v.Add(name, attr(tag, "value"))
	}
	for _, m := range textareaTag.FindAllStringSubmatch(form, -1) {
		v.Add(m[1], unescape(m[2]))
	}
	return v
}

func (p answered) has(all ...string) answered {
	p.Helper()
	text := textOf(p.Body)
	for _, s := range all {
		if !strings.Contains(text, s) {
			p.Fatalf("the page does not say %q:\n%s", s, clipText(text))
		}
	}
	return p
}

func clipText(s string) string {
	if len(s) > 3000 {
		return s[:3000] + " ..."
	}
	return s
}

// jobNamed finds a job by a word of its name.
func (d *desk) jobNamed(word string) *book.Job {
	d.Helper()
	cards, _ := d.book.List(book.ListQuery{Text: word})
	if len(cards) == 0 {
		d.Fatalf("no job %q", word)
	}
	j, err := d.book.Job(d.Context(), cards[0].ID)
	if err != nil {
		d.Fatal(err)
	}
	return j
}
