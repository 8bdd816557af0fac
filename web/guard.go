package web

import "net/http"

// Policy is what a page may load: nothing inline, nothing from elsewhere.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// GuardOptions are choices for Guard.
type GuardOptions struct {
	Secure bool // the host is reached by TLS alone
}

// Guard sets the security headers that every host gives its pages. A page that
// sets a stricter policy of its own keeps it.
func Guard(next http.Handler, o GuardOptions) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		o.Set(w.Header())
		next.ServeHTTP(w, r)
	})
}

// Set sets them for one answer.
func (o GuardOptions) Set(h http.Header) {
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(self), geolocation=(self), microphone=()")
	if o.Secure {
		h.Set("Strict-Transport-Security", "max-age=31536000")
	}
}
