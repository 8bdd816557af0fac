//go:build !js

package web

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/textproto"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Source: net/http of the Go standard library, the same patterns and paths.
func TestRoutesAsServeMux(t *testing.T) {
	data, err := os.ReadFile("handler.go")
	if err != nil {
		t.Fatal(err)
	}
	mux, own := http.NewServeMux(), &routes{}
	hit := ""
	parts, patterns := []string{"x", "a%2Fb", "%C3%BC", "{}", "{job}"}, [][]string(nil)
	for _, m := range regexp.MustCompile(`\b(get|post)\("([^"]+)", `).FindAllStringSubmatch(string(data), -1) {
		pattern := strings.ToUpper(m[1]) + " " + m[2]
		mux.HandleFunc(pattern, func(http.ResponseWriter, *http.Request) { hit = pattern })
		own.add(pattern, func(Writer, *Request) { hit = pattern })
		patterns = append(patterns, strings.Split(strings.TrimSuffix(m[2], "{$}"), "/")[1:])
		for _, p := range strings.Split(m[2], "/")[1:] {
			if p != "" && p[0] != '{' {
				parts = append(parts, p)
			}
		}
	}
	mux.HandleFunc("/", func(http.ResponseWriter, *http.Request) { hit = "" })
	if len(parts) < 20 {
		t.Fatalf("only %d parts found in handler.go", len(parts))
	}
	found := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		path := ""
		for _, p := range rapid.SampledFrom(patterns).Draw(t, "pattern") {
			if strings.HasPrefix(p, "{") || p != "" && rapid.IntRange(0, 9).Draw(t, "other") == 0 {
				p = rapid.SampledFrom(parts).Draw(t, "part")
			}
			path += "/" + p
		}
		if path != "/" {
			path += rapid.SampledFrom([]string{"", "", "", "/", "/x"}).Draw(t, "end")
		}
		method := rapid.SampledFrom([]string{"GET", "POST", "HEAD", "PUT"}).Draw(t, "method")
		hr := httptest.NewRequest(method, path, nil)
		hit = ""
		mux.ServeHTTP(httptest.NewRecorder(), hr)
		want := hit
		r := NewRequest(t.Context(), method, hr.URL)
		hit = ""
		if f := own.find(r); f != nil {
			f(nil, nil)
		}
		if hit != want {
			t.Fatalf("%s %s: got %q, want %q", method, path, hit, want)
		}
		found[want] = true
		for _, name := range []string{"job", "item", "plan", "hash", "file"} {
			if got, want := r.PathValue(name), hr.PathValue(name); got != want {
				t.Fatalf("%s %s: %s is %q, want %q", method, path, name, got, want)
			}
		}
	})
	if len(found) < 10 {
		t.Errorf("only %d routes were hit", len(found))
	}
}

// Source: net/http of the Go standard library, the same requests.
func TestFormsAsNetHTTP(t *testing.T) {
	var several bytes.Buffer
	w := multipart.NewWriter(&several)
	w.WriteField("a", "of the form")
	w.WriteField("a", "again")
	f, err := w.CreateFormFile("photo", "x.jpg")
	if err != nil {
		t.Fatal(err)
	}
	f.Write(bytes.Repeat([]byte("photo"), 1000))
	w.Close()
	cut := several.String()[:several.Len()/2]
	const plain = "application/x-www-form-urlencoded"
	for _, c := range []struct{ name, method, path, media, body string }{
		{"query", "GET", "/x?a=1&a=2&b=%20c", "", ""},
		{"bad query", "GET", "/x?a=%zz&b=1", "", ""},
		{"form and query", "POST", "/x?a=query", plain, "a=1&a=2&c=%C3%BC"},
		{"form, said with a charset", "POST", "/x", plain + "; charset=utf-8", "a=1"},
		{"bad form", "POST", "/x?a=query", plain, "a=%zz&b=1"},
		{"no kind", "POST", "/x?a=query", "", "a=1"},
		{"another kind", "POST", "/x", "application/json", `{"a":1}`},
		{"form that is got", "GET", "/x", plain, "a=1"},
		{"several parts", "POST", "/x?a=query", w.FormDataContentType(), several.String()},
		{"cut", "POST", "/x?a=query", w.FormDataContentType(), cut},
		{"no boundary", "POST", "/x?a=query", "multipart/form-data", several.String()},
		{"too large", "POST", "/x?a=query", plain, "a=" + strings.Repeat("1", 9000)},
		{"parts too large", "POST", "/x?a=query", w.FormDataContentType(), several.String() + strings.Repeat(" ", 9000)},
		{"just as large as it may be", "POST", "/x", plain, "a=" + strings.Repeat("1", 7998)},
		{"one byte too large", "POST", "/x", plain, "a=" + strings.Repeat("1", 7999)},
	} {
		t.Run(c.name, func(t *testing.T) {
			const most = 8000
			both := func() (*http.Request, *Request) {
				hr := httptest.NewRequest(c.method, c.path, strings.NewReader(c.body))
				if c.media != "" {
					hr.Header.Set("Content-Type", c.media)
				}
				hr.Body = http.MaxBytesReader(httptest.NewRecorder(), hr.Body, most)
				r := NewRequest(t.Context(), c.method, hr.URL)
				r.Header = textproto.MIMEHeader(hr.Header)
				r.Body = &limited{from: strings.NewReader(c.body), left: most, limit: most}
				return hr, r
			}
			large := func(err error) bool {
				var std *http.MaxBytesError
				var own *tooLarge
				return errors.As(err, &std) || errors.As(err, &own)
			}
			same := func(what string, got, want error) {
				t.Helper()
				if (got == nil) != (want == nil) || large(got) != large(want) {
					t.Errorf("%s: got %v, want %v", what, got, want)
				}
			}
			hr, r := both()
			same("ParseForm", r.ParseForm(), hr.ParseForm())
			if d := cmp.Diff(hr.PostForm, r.posted); d != "" {
				t.Error("posted:", d)
			}
			if d := cmp.Diff(hr.Form, r.all); d != "" {
				t.Error("all:", d)
			}
			hr, r = both()
			for _, name := range []string{"a", "b", "c"} {
				if got, want := r.FormValue(name), hr.FormValue(name); got != want {
					t.Errorf("FormValue(%s): got %q, want %q", name, got, want)
				}
				if got, want := r.PostFormValue(name), hr.PostFormValue(name); got != want {
					t.Errorf("PostFormValue(%s): got %q, want %q", name, got, want)
				}
			}
			hr, r = both()
			same("ParseMultipartForm", r.ParseMultipartForm(1<<20), hr.ParseMultipartForm(1<<20))
			if d := cmp.Diff(hr.PostForm, r.posted); d != "" {
				t.Error("posted, of several parts:", d)
			}
			if (r.multi == nil) != (hr.MultipartForm == nil) {
				t.Fatalf("parts: got %v, want %v", r.multi, hr.MultipartForm)
			}
			if r.multi == nil {
				return
			}
			got, _, err := r.FormFile("photo")
			if err != nil {
				t.Fatal(err)
			}
			want, _, err := hr.FormFile("photo")
			if err != nil {
				t.Fatal(err)
			}
			a, _ := io.ReadAll(got)
			b, _ := io.ReadAll(want)
			if !bytes.Equal(a, b) || len(a) == 0 {
				t.Errorf("the photo has %d bytes, want %d", len(a), len(b))
			}
			if _, _, err := r.FormFile("other"); !errors.Is(err, errMissingFile) {
				t.Errorf("a file that is not there: %v", err)
			}
		})
	}
}

// Source: RFC 9110, the numbers as net/http has them.
func TestStatuses(t *testing.T) {
	got := map[int]int{statusOK: http.StatusOK, statusNoContent: http.StatusNoContent, statusSeeOther: http.StatusSeeOther, statusBadRequest: http.StatusBadRequest, statusNotFound: http.StatusNotFound,
		statusConflict: http.StatusConflict, statusRequestEntityTooLarge: http.StatusRequestEntityTooLarge, statusUnsupportedMediaType: http.StatusUnsupportedMediaType, statusUnprocessableEntity: http.StatusUnprocessableEntity,
		statusInternalServerError: http.StatusInternalServerError, statusServiceUnavailable: http.StatusServiceUnavailable, statusInsufficientStorage: http.StatusInsufficientStorage}
	for own, std := range got {
		if own != std {
			t.Errorf("got %d, want %d", own, std)
		}
	}
}
