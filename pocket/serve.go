package pocket

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"html/template"
	"io"
	"net/http"
	"strings"

	"soundmetal/web"
)

// PagePath is the page that puts the book on a phone.
const PagePath = "/pocket"

//go:embed page.html
var pageHTML string

var page = template.Must(template.New("pocket").Parse(pageHTML))

// workerPolicy is what the scripts of a worker may load: a worker obeys the
// policy that its own script came with.
const workerPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'"

// Handler serves the build under /pocket and /sw.js. b is nil where the program
// was built without it: the page then says so.
func Handler(b *Build) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+PagePath, func(w http.ResponseWriter, r *http.Request) {
		v := map[string]any{"Style": web.Assets()["app.css"].Path, "Favicon": web.Assets()["icon.svg"].Path}
		if b != nil {
			br, _ := b.Size()
			v["Script"], v["Store"], v["Manifest"], v["Icon"] = b.path("install.js"), b.path("idb.js"), b.path(manifestName), b.path(iconName(iconSides[0]))
			v["MB"] = (br + 99_999) / 100_000
		}
		h := w.Header()
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Cache-Control", "no-cache")
		page.Execute(w, v)
	})
	if b == nil {
		return mux
	}
	worker, err := b.worker()
	if err != nil {
		panic("pocket: " + err.Error())
	}
	mux.HandleFunc("GET /"+swName, func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Type", javascript)
		h.Set("Cache-Control", "no-cache")
		h.Set("Content-Security-Policy", workerPolicy)
		w.Write(worker)
	})
	mux.HandleFunc("GET /pocket/", func(w http.ResponseWriter, r *http.Request) {
		f, ok := b.named(r.URL.Path)
		if !ok {
			http.NotFound(w, r)
			return
		}
		h := w.Header()
		h.Set("Content-Type", f.media)
		h.Set("X-Content-Type-Options", "nosniff")
		if f.media == javascript {
			h.Set("Content-Security-Policy", workerPolicy)
		}
		if strings.HasPrefix(r.URL.Path, "/pocket/"+b.Hash+"/") {
			h.Set("Cache-Control", "public, max-age=31536000, immutable")
		} else {
			h.Set("Cache-Control", "no-cache")
		}
		f.send(w, r)
	})
	return mux
}

// send writes the file in the best form that the browser takes.
func (f file) send(w http.ResponseWriter, r *http.Request) {
	if f.data != nil {
		w.Write(f.data)
		return
	}
	h := w.Header()
	h.Add("Vary", "Accept-Encoding")
	takes := r.Header.Get("Accept-Encoding")
	switch {
	case strings.Contains(takes, "br"):
		h.Set("Content-Encoding", "br")
		w.Write(f.br)
	case strings.Contains(takes, "gzip"):
		h.Set("Content-Encoding", "gzip")
		w.Write(f.gz)
	default:
		z, err := gzip.NewReader(bytes.NewReader(f.gz))
		if err != nil {
			http.Error(w, "the program is damaged: build it again", http.StatusInternalServerError)
			return
		}
		io.Copy(w, z)
	}
}
