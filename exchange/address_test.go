//go:build !js

package exchange_test

import (
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"soundmetal/exchange"
	"soundmetal/store/memory"
)

// What stands at a wrong address, or in a wrong way at the right one, is said in
// one sentence; nothing is sent to it.
func TestWrongAddress(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	other := func(status int, head map[string]string, body string) *httptest.Server {
		s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if r.Header.Get("Authorization") != "" {
				t.Errorf("a key was sent to %s", r.URL)
			}
			for k, v := range head {
				w.Header().Set(k, v)
			}
			w.WriteHeader(status)
			fmt.Fprint(w, body)
		}))
		t.Cleanup(s.Close)
		return s
	}
	safe := httptest.NewUnstartedServer(o.server.Handler())
	safe.Config.ErrorLog = nil
	safe.StartTLS()
	defer safe.Close()
	js := map[string]string{"Content-Type": "application/json", "Exchange-Version": "1"}
	newer := map[string]string{"Content-Type": "application/json", "Exchange-Version": "2"}
	for _, c := range []struct {
		name, address string
		reason        exchange.Reason
		words         string
	}{
		{"a page of something else", other(200, nil, "<h1>Welcome</h1>").URL, exchange.NotOurs, "not a host of this program"},
		{"no such page", other(404, nil, "not found").URL, exchange.NotOurs, "not a host"},
		{"leads elsewhere", other(302, map[string]string{"Location": o.front.URL}, "").URL, exchange.NotOurs, "leads to"},
		{"a proxy without its host", other(502, nil, "bad gateway").URL, exchange.NoAnswer, "502"},
		{"another format", other(200, js, `{"format":"x","version":1}`).URL, exchange.NotOurs, "not that of a host"},
		{"not JSON", other(200, js, `no`).URL, exchange.NoAnswer, "cannot be read"},
		{"a newer version", other(200, newer, `{"format":"soundmetal exchange","version":2}`).URL, exchange.NotVersion, "host speaks version 2 of the exchange, this device version 1"},
		{"a newer version, said in the answer alone", other(200, js, `{"format":"soundmetal exchange","version":3}`).URL, exchange.NotVersion, "version 3"},
		{"certificate of nobody known", safe.URL, exchange.NoTrust, "authority that this computer does not know"},
		{"no encryption there", "https://" + strings.TrimPrefix(o.front.URL, "http://"), exchange.NoTrust, "without encryption"},
		{"nobody there", "http://127.0.0.1:1", exchange.NoAnswer, "nothing answers"},
		{"plain http elsewhere", "http://book.example", exchange.NoTrust, "everybody on the way"},
		{"no address", "  ", exchange.NotOurs, "not the address"},
		{"a password in it", "https://a:b@book.example", exchange.NotOurs, "not the address"},
	} {
		p := phoneOn(t, "phone", memory.New())
		err := p.client.Join(t.Context(), c.address, o.code())
		var f *exchange.Failure
		failed(t, err, c.reason, c.words)
		if f, _ = err.(*exchange.Failure); f == nil || strings.Contains(f.Text, "\n") {
			t.Errorf("%s: %v", c.name, err)
		}
		if s := p.status(); s.Joined {
			t.Errorf("%s: it says that it is let in", c.name)
		}
	}
	// another name than that of the certificate
	pool := x509.NewCertPool()
	pool.AddCert(safe.Certificate())
	p := phoneOn(t, "phone", memory.New())
	for name, want := range map[string]struct {
		reason exchange.Reason
		words  string
		now    time.Time
	}{
		"wrong.invalid": {exchange.NoTrust, "for another name", time.Now()},
		"example.com":   {exchange.NoTrust, "has run out", time.Now().AddDate(200, 0, 0)},
	} {
		p.client.HTTP = exchange.Over(&http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool, ServerName: name, Time: func() time.Time { return want.now }}}})
		failed(t, p.client.Join(t.Context(), safe.URL, o.code()), want.reason, want.words)
	}
	p.client.HTTP = exchange.Over(&http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}})
	if err := p.client.Join(t.Context(), safe.URL, o.code()); err != nil {
		t.Errorf("a certificate that holds: %v", err)
	}
	if same, err := exchange.SameHost("book.example", "https://book.example/pocket"); !same || err != nil {
		t.Errorf("%v %v", same, err)
	}
}

// A failed try to join another host leaves the one that is joined.
func TestFailedJoinKeepsTheHost(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	p := o.joined("phone")
	failed(t, p.client.Join(t.Context(), "http://127.0.0.1:1", "12345678"), exchange.NoAnswer)
	if s := p.status(); !s.Joined || s.URL != o.front.URL {
		t.Errorf("%+v", s)
	}
	p.filled(1, 0)
	p.run()
	same(t, o.place, p.place)
}
