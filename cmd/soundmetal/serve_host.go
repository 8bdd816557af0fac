package main

import (
	"compress/gzip"
	_ "embed"
	"html/template"
	"net"
	"net/http"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/web"
)

//go:embed serve_login.html
var loginHTML string

var loginPage = template.Must(template.New("login").Parse(loginHTML))

// hosted puts what the pages know nothing of around them: headers, cross-origin
// protection, login, export, and the exchange with other devices, which has keys
// of its own. in is nil where nobody has to log in.
func hosted(pages, net http.Handler, b *nativeBook, in *login, secure bool) http.Handler {
	mux := http.NewServeMux()
	inside := http.NewServeMux()
	inside.HandleFunc("GET /export", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/zip")
		w.Header().Set("Content-Disposition", `attachment; filename="`+book.ArchiveName(time.Now())+`"`)
		w.Header().Set("Cache-Control", "no-store")
		if _, err := book.Export(r.Context(), b.store, w); err != nil {
			panic(http.ErrAbortHandler) // a cut file is seen as cut
		}
	})
	inside.Handle("/", compressed(pages))
	mux.Handle("GET /assets/", compressed(pages)) // the login page needs the style
	phone := compressed(phonePart())
	for _, path := range []string{"GET /pocket", "GET /pocket/", "GET /sw.js"} {
		mux.Handle(path, phone) // it holds no data
	}
	if in != nil {
		mux.HandleFunc("GET /login", in.show)
		mux.HandleFunc("POST /login", in.enter)
		mux.HandleFunc("POST /logout", in.leave)
		mux.Handle("POST /logout-everywhere", in.only(http.HandlerFunc(in.leaveEverywhere)))
		mux.Handle("/", in.only(inside))
	} else {
		mux.Handle("/", ownName(inside))
	}
	var h http.Handler = http.NewCrossOriginProtection().Handler(mux)
	if in != nil {
		h = in.sessions.LoadAndSave(h)
	}
	outside := http.NewServeMux()
	outside.Handle("/net/", net)
	outside.Handle("/", h)
	return web.Guard(outside, web.GuardOptions{Secure: secure})
}

// ownName lets only names of this computer in: a foreign name that resolves to
// 127.0.0.1 would make a foreign page the same origin.
func ownName(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if h, _, err := net.SplitHostPort(host); err == nil {
			host = h
		}
		ip := net.ParseIP(strings.Trim(host, "[]"))
		if host != "localhost" && (ip == nil || !ip.IsLoopback()) {
			http.Error(w, "without login the book answers only to this computer's own name: 127.0.0.1 or localhost", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// compressed gzips text for those who take it.
func compressed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Add("Vary", "Accept-Encoding")
		if r.Method == http.MethodHead || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			next.ServeHTTP(w, r)
			return
		}
		z := &zipped{ResponseWriter: w}
		defer z.close()
		next.ServeHTTP(z, r)
	})
}

// zipped decides at the first byte whether the answer is text.
type zipped struct {
	http.ResponseWriter
	gz      *gzip.Writer
	decided bool
}

func (z *zipped) WriteHeader(status int) {
	if !z.decided {
		z.decided = true
		h := z.Header()
		media := h.Get("Content-Type")
		text := strings.HasPrefix(media, "text/") || strings.HasPrefix(media, "image/svg") || media == "font/ttf"
		if text && h.Get("Content-Encoding") == "" && status != http.StatusNoContent && status != http.StatusNotModified && (status < 300 || status >= 400) {
			h.Set("Content-Encoding", "gzip")
			h.Del("Content-Length")
			z.gz, _ = gzip.NewWriterLevel(z.ResponseWriter, gzip.BestSpeed)
		}
	}
	z.ResponseWriter.WriteHeader(status)
}

func (z *zipped) Write(data []byte) (int, error) {
	if !z.decided {
		z.WriteHeader(http.StatusOK)
	}
	if z.gz != nil {
		return z.gz.Write(data)
	}
	return z.ResponseWriter.Write(data)
}

func (z *zipped) close() {
	if z.gz != nil {
		z.gz.Close()
	}
}

// Unwrap lets http.ResponseController through.
func (z *zipped) Unwrap() http.ResponseWriter { return z.ResponseWriter }

func stylePath() string { return web.Assets()["app.css"].Path }
