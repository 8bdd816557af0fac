//go:build !js

package exchange

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"net"
	"net/http"
	"strings"
	"syscall"
)

// redirects are not followed: the key is for one address.
var ownHTTP = Over(&http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }})

// trustFailure puts what a native connection can fail with into a sentence; nil
// where it is none of it.
func trustFailure(err error, where string) *Failure {
	var unknown x509.UnknownAuthorityError
	var name x509.HostnameError
	var invalid x509.CertificateInvalidError
	var verify *tls.CertificateVerificationError
	var record tls.RecordHeaderError
	var alert tls.AlertError
	var dns *net.DNSError
	switch {
	case errors.As(err, &unknown):
		return failure(NoTrust, "use the name that the certificate was made for, or make its authority known to this computer; nothing was sent", "the certificate of %s is of an authority that this computer does not know", where)
	case errors.As(err, &name):
		return failure(NoTrust, "use the name in the certificate as the address; nothing was sent", "the certificate of %s is for another name", where)
	case errors.As(err, &invalid) && invalid.Reason == x509.Expired:
		return failure(NoTrust, "renew it at the host, or set the clock of this computer; nothing was sent", "the certificate of %s has run out or does not hold yet", where)
	case errors.As(err, &invalid), errors.As(err, &verify), errors.As(err, &alert):
		return failure(NoTrust, "give the host a certificate that holds; nothing was sent", "the certificate of %s cannot be trusted (%v)", where, cause(err))
	case errors.As(err, &record), errors.Is(err, http.ErrSchemeMismatch):
		return failure(NoTrust, "look at the address; the host needs a certificate (docs/serve.md)", "%s answers without encryption", where)
	case errors.As(err, &dns) && dns.IsNotFound:
		return failure(NotOurs, "look at the address", "there is no computer named %s", dns.Name)
	case errors.Is(err, syscall.ECONNREFUSED), strings.Contains(err.Error(), "connection refused"):
		return failure(NoAnswer, "look whether the host is running and whether the address is right", "nothing answers at %s", where)
	}
	return nil
}
