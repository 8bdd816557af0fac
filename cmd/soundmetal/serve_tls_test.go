package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// certOf makes a certificate for 127.0.0.1 that signs itself.
func certOf(t *testing.T, serial int64) (cert, key []byte) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: "the book's test"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign, IsCA: true, BasicConstraintsValid: true, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, DNSNames: []string{"book.example"}}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &k.PublicKey, k)
	if err != nil {
		t.Fatal(err)
	}
	kd, err := x509.MarshalPKCS8PrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: kd})
}

func writeAt(t *testing.T, path string, data []byte, at time.Time) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(path, at, at); err != nil { // a file system may count whole seconds
		t.Fatal(err)
	}
}

func TestServeTLS(t *testing.T) {
	dir := t.TempDir()
	certPath, keyPath := filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	cert, key := certOf(t, 1)
	began := time.Now().Add(-time.Hour)
	writeAt(t, certPath, cert, began)
	writeAt(t, keyPath, key, began)
	s := serveHere(t, serveCmd{Data: filepath.Join(dir, "book"), NoDemo: true, Cert: certPath, Key: keyPath})
	plain := s.url
	if !strings.Contains(s.said, "https://127.0.0.1") {
		t.Errorf("the address is not said: %s", s.said)
	}
	s.url = strings.Replace(s.url, "http:", "https:", 1)
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(cert)
	transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}, ForceAttemptHTTP2: true}
	s.client.Transport = transport

	pass := regexp.MustCompile(`is  (\S+)  ;`).FindStringSubmatch(s.said)[1]
	a, _ := s.do("POST", "/login", url.Values{"pass": {pass}}, "Sec-Fetch-Site", "same-origin")
	if a.StatusCode != 303 || a.ProtoMajor != 2 || a.TLS == nil || a.TLS.Version < tls.VersionTLS13 {
		t.Errorf("login over TLS: %d %s", a.StatusCode, a.Proto)
	}
	// RFC 6797, 6.1: max-age of a year, so that a browser asks for plain http no more
	if got := a.Header.Get("Strict-Transport-Security"); got != "max-age=31536000" {
		t.Errorf("HSTS %q", got)
	}
	if c := a.Cookies(); len(c) != 1 || !c[0].Secure || !c[0].HttpOnly {
		t.Errorf("the cookie may travel in the clear: %v", c)
	}
	s.in(true)

	// plain http at the same address: a sentence, and nothing of the book
	answer, err := (&http.Client{Timeout: 10 * time.Second}).Get(plain + "/")
	if err != nil {
		t.Fatalf("plain http: %v", err)
	}
	body, _ := io.ReadAll(answer.Body)
	answer.Body.Close()
	if answer.StatusCode != 400 || !strings.Contains(string(body), "HTTPS") {
		t.Errorf("plain http: %d %q", answer.StatusCode, body)
	}
	addr := strings.TrimPrefix(s.url, "https://")
	if c, err := tls.Dial("tcp", addr, &tls.Config{RootCAs: roots, MaxVersion: tls.VersionTLS11, MinVersion: tls.VersionTLS10}); err == nil {
		c.Close()
		t.Error("TLS 1.1 is let in")
	}

	// a renewed certificate is taken without a restart, half of one is not
	serial := func() int64 {
		t.Helper()
		c, err := tls.Dial("tcp", addr, &tls.Config{InsecureSkipVerify: true}) // which one is it? trust is checked above
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		return c.ConnectionState().PeerCertificates[0].SerialNumber.Int64()
	}
	cert2, key2 := certOf(t, 2)
	writeAt(t, certPath, cert2, began.Add(time.Minute))
	for range 2 {
		if n := serial(); n != 1 {
			t.Errorf("certificate %d while its key is not there yet, want 1", n)
		}
	}
	writeAt(t, keyPath, key2, began.Add(2*time.Minute))
	if n := serial(); n != 2 {
		t.Errorf("certificate %d after the renewal, want 2", n)
	}
	if err := os.Remove(certPath); err != nil {
		t.Fatal(err)
	}
	if n := serial(); n != 2 {
		t.Errorf("certificate %d while its file is gone, want 2", n)
	}
	roots.AppendCertsFromPEM(cert2)
	transport.CloseIdleConnections()
	s.in(true)
}

func TestServeTLSFiles(t *testing.T) {
	dir := t.TempDir()
	cert, key := certOf(t, 1)
	_, other := certOf(t, 2)
	now := time.Now()
	for _, c := range []struct {
		name      string
		cert, key []byte
	}{{"no certificate", nil, key}, {"no key", cert, nil}, {"another key", cert, other}, {"no PEM", []byte("x"), key}} {
		certPath, keyPath := filepath.Join(dir, c.name+".crt"), filepath.Join(dir, c.name+".key")
		if c.cert != nil {
			writeAt(t, certPath, c.cert, now)
		}
		if c.key != nil {
			writeAt(t, keyPath, c.key, now)
		}
		_, err := (&serveCmd{Cert: certPath, Key: keyPath}).tls(slog.New(slog.DiscardHandler))
		if err == nil || !strings.Contains(err.Error(), "certificate cannot be read") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A real authority's program gives the certificate. It is run by hand, for it
// wants such a program beside it: SOUNDMETAL_ACME_URL names its directory,
// SOUNDMETAL_ACME_NAME a name that leads it here, SOUNDMETAL_ACME_ADDR the
// address at which it looks for that name. SSL_CERT_FILE holds its root.
func TestServeACME(t *testing.T) {
	dirURL, name, addr := os.Getenv("SOUNDMETAL_ACME_URL"), os.Getenv("SOUNDMETAL_ACME_NAME"), os.Getenv("SOUNDMETAL_ACME_ADDR")
	if dirURL == "" || name == "" || addr == "" {
		t.Skip("no authority is named in SOUNDMETAL_ACME_URL, _NAME and _ADDR")
	}
	dir := t.TempDir()
	c := serveCmd{Data: dir, NoDemo: true, Addr: addr, ACME: name, ACMEURL: dirURL}
	if err := c.Validate(); err != nil {
		t.Fatal(err)
	}
	s := serveHere(t, c)
	dial := func(server string) (*x509.Certificate, error) {
		d := &tls.Dialer{NetDialer: &net.Dialer{Timeout: time.Minute}, Config: &tls.Config{ServerName: server, InsecureSkipVerify: true}} // its root is that of no shop
		conn, err := d.DialContext(t.Context(), "tcp", addr)
		if err != nil {
			return nil, err
		}
		defer conn.Close()
		return conn.(*tls.Conn).ConnectionState().PeerCertificates[0], nil
	}
	first, err := dial(name)
	if err != nil {
		t.Fatalf("%v; the server says: %s", err, s.log())
	}
	if err := first.VerifyHostname(name); err != nil || first.Issuer.CommonName == first.Subject.CommonName {
		t.Errorf("the certificate: %v, issued by %v", err, first.Issuer)
	}
	if _, err := dial("other.example"); err == nil {
		t.Error("a certificate was got for another name")
	}
	if err := s.stop(); err != nil {
		t.Fatal(err)
	}
	serveHere(t, c)
	again, err := dial(name)
	if err != nil {
		t.Fatal(err)
	}
	if again.SerialNumber.Cmp(first.SerialNumber) != 0 {
		t.Error("a new certificate was got at the restart: the one before was not kept")
	}
	t.Logf("issued by %s, until %s", first.Issuer.CommonName, first.NotAfter)
}
