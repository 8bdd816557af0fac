//go:build !js

package web

import (
	"net/http"
	"net/textproto"
)

// Handler gives the pages of a service to a host that uses net/http.
func Handler(s Service) http.Handler { return Pages(s) }

// ServeHTTP answers a request of net/http.
func (p *Site) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	ask := NewRequest(r.Context(), r.Method, r.URL)
	ask.Header, ask.Host, ask.Secure, ask.ContentLength, ask.Body = textproto.MIMEHeader(r.Header), r.Host, r.TLS != nil, r.ContentLength, r.Body
	p.Answer(httpWriter{w}, ask)
}

type httpWriter struct{ http.ResponseWriter }

func (w httpWriter) Header() textproto.MIMEHeader {
	return textproto.MIMEHeader(w.ResponseWriter.Header())
}

// Guard sets the security headers that every host gives its pages. A page that
// sets a stricter policy of its own keeps it.
func Guard(next http.Handler, o GuardOptions) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		o.Set(textproto.MIMEHeader(w.Header()))
		next.ServeHTTP(w, r)
	})
}
