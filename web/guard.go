package web

import "net/textproto"

// Policy is what a page may load: nothing inline, nothing from elsewhere.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// GuardOptions are choices for Guard.
type GuardOptions struct {
	Secure bool // the host is reached by TLS alone
}

// Set sets the security headers that every host gives its pages. A page that sets
// a stricter policy of its own keeps it.
func (o GuardOptions) Set(h textproto.MIMEHeader) {
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
