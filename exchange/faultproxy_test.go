//go:build !js

package exchange_test

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"sync"
	"time"
)

// wrong is what the way does to one request.
type wrong string

const (
	fine       wrong = ""
	lost       wrong = "request lost"
	cutRequest wrong = "request cut"
	dropAnswer wrong = "answer lost"
	cutAnswer  wrong = "answer cut"
	twice      wrong = "request twice"
	later      wrong = "request again, after a later one"
	delayed    wrong = "answer later than the device waits"
	badGateway wrong = "502 of a proxy"
	garbled    wrong = "answer garbled"
)

var wrongs = []wrong{lost, cutRequest, dropAnswer, cutAnswer, twice, later, delayed, badGateway, garbled}

// badWay stands between devices and the host, and does wrong to requests.
type badWay struct {
	tester
	host  *url.URL
	front *httptest.Server

	mu   sync.Mutex
	plan func(n int, r *http.Request) (wrong, int) // by number of the request, from 0; and how many bytes get through
	n    int
	seen []string // method and path of each
	kept [][]byte // requests to be sent again later
}

const deviceWaits = 250 * time.Millisecond

func newBadWay(t tester, host string) *badWay {
	t.Helper()
	u, err := url.Parse(host)
	if err != nil {
		t.Fatalf("%v", err)
	}
	w := &badWay{tester: t, host: u, plan: func(int, *http.Request) (wrong, int) { return fine, 0 }}
	w.front = httptest.NewServer(w)
	return w
}

// request writes a request as it goes over the wire.
func request(r *http.Request, body []byte) []byte {
	var out bytes.Buffer
	fmt.Fprintf(&out, "%s %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n", r.Method, r.URL.RequestURI(), r.Host)
	for name, values := range r.Header {
		if name == "Content-Length" || name == "Connection" {
			continue
		}
		for _, v := range values {
			fmt.Fprintf(&out, "%s: %s\r\n", name, v)
		}
	}
	fmt.Fprintf(&out, "Content-Length: %d\r\n\r\n", len(body))
	out.Write(body)
	return out.Bytes()
}

// forward sends the bytes to the host and gives what comes back.
func (w *badWay) forward(raw []byte, cut ...bool) []byte {
	c, err := net.Dial("tcp", w.host.Host)
	if err != nil {
		return nil
	}
	defer c.Close()
	if _, err := c.Write(raw); err != nil {
		return nil
	}
	if t, ok := c.(*net.TCPConn); ok && len(cut) > 0 {
		t.CloseWrite()
	}
	data, _ := io.ReadAll(c)
	return data
}

func (w *badWay) ServeHTTP(out http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return
	}
	w.mu.Lock()
	what, n := w.plan(w.n, r)
	w.n++
	w.seen = append(w.seen, r.Method+" "+r.URL.Path)
	kept := w.kept
	w.kept = nil
	w.mu.Unlock()
	raw := request(r, body)
	head := len(raw) - len(body)
	var answer []byte
	switch what {
	case lost:
	case cutRequest:
		w.forward(raw[:head+min(n, len(body))], true)
	case dropAnswer:
		w.forward(raw)
	case twice:
		w.forward(raw)
		answer = w.forward(raw)
	case later:
		w.mu.Lock()
		w.kept = append(w.kept, raw)
		w.mu.Unlock()
		answer = w.forward(raw)
	case delayed:
		answer = w.forward(raw)
		select {
		case <-r.Context().Done(): // the device has stopped waiting
		case <-time.After(20 * deviceWaits):
		}
	case badGateway:
		answer = []byte("HTTP/1.1 502 Bad Gateway\r\nContent-Type: text/html\r\nContent-Length: 15\r\n\r\n<h1>Oh no.</h1>")
	default:
		answer = w.forward(raw)
	}
	for _, old := range kept {
		w.forward(old)
	}
	at := bytes.Index(answer, []byte("\r\n\r\n")) + 4
	switch {
	case what == cutAnswer && len(answer) > at:
		answer = answer[:at+min(n, len(answer)-at-1)]
	case what == garbled && len(answer) > at:
		answer[at+min(n, len(answer)-at-1)] ^= 0x20
	}
	w.reply(out, answer)
}

// reply gives the bytes back and ends the connection.
func (w *badWay) reply(out http.ResponseWriter, answer []byte) {
	c, buf, err := http.NewResponseController(out).Hijack()
	if err != nil {
		return
	}
	defer c.Close()
	buf.Write(answer)
	buf.Flush()
}
