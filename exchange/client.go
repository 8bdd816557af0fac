package exchange

import (
	"cmp"
	"context"
	"crypto/rand"
	"io"
	"net"
	"net/textproto"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"soundmetal/book"
	"soundmetal/store"
)

// Doer sends requests and follows no redirect: Over a client of net/http, or the
// fetch of a browser. net/http is for computers alone: with it a phone's program
// would carry TLS and its ciphers, a tenth of its size.
type Doer interface {
	Do(context.Context, Message) (*Reply, error)
}

// Message is a request.
type Message struct {
	Method, URL string
	Header      textproto.MIMEHeader
	Body        []byte
}

// Reply is its answer; the body is closed by who reads it.
type Reply struct {
	Status int
	Header textproto.MIMEHeader
	Body   io.ReadCloser
}

// Client is the side of a phone or a second laptop. Its methods may be called
// at the same time; one step runs at a time. It can be thrown away at any
// moment: a new one on the same book and records goes on.
type Client struct {
	Book *book.Book
	Keep Keep
	HTTP Doer             // nil: a client of its own; a browser has to give its fetch
	Name string           // what people call this device, at most MaxName bytes
	Home string           // address of the host where it is known beforehand: on a phone, where the pages came from
	Now  func() time.Time // nil: time.Now

	// Shared says that another process may write the records: they are read
	// again at the beginning of an exchange, and for each Status.
	Shared bool
	// Most is how many entries one request carries; zero: PartEntries. A device
	// that folds them slowly sets less.
	Most int
	// Timeout ends a request that gets no answer; zero: two minutes. A host
	// that is stopped when it is busy for long sets less.
	Timeout time.Duration
	// Wait passes the time between tries of Run; nil: a timer.
	Wait func(context.Context, time.Duration) error
	// Tell is told by Run after every step; nil: nobody.
	Tell func(Progress)

	step   sync.Mutex // held while a request is under way
	link   *link      // the record, once it is read
	target target
	at     *session
	files  index

	mu    sync.Mutex // never held while a request is under way: pages ask for the status
	shown *link      // the record as it is kept
	only  onlyHere
}

// target is whom requests go to.
type target struct{ url, token string }

// link is the record "link" of a device that was let in.
type link struct {
	Version   int          `json:"version"`
	URL       string       `json:"url"`
	Token     string       `json:"token"`
	Trying    *trying      `json:"trying"`
	Host      string       `json:"host"` // device id of the host
	HostName  string       `json:"host_name"`
	Joined    time.Time    `json:"joined"`
	Confirmed store.Vector `json:"confirmed"` // what the host has said it holds
	Wanted    []store.Hash `json:"wanted"`    // files that it lacks, of the entries it holds
	Success   time.Time    `json:"success"`
	Failure   *Failure     `json:"failure"` // of the last exchange; nil: there was none
	FailedAt  time.Time    `json:"failed_at"`
	Skew      int64        `json:"skew_ms"` // how far this device is ahead of the host
	Part      int          `json:"part"`    // entries for one request: fewer on a line that cuts
}

// trying is a pairing whose answer has not come: the same call is made again.
type trying struct {
	URL  string `json:"url"`
	Code string `json:"code"`
	Try  string `json:"try"`
}

const (
	linkRecord  = "link"
	linkVersion = 1
)

func (c *Client) now() time.Time {
	if c.Now == nil {
		return time.Now()
	}
	return c.Now()
}

// load reads the record once.
func (c *Client) load(ctx context.Context) error {
	if c.link != nil {
		return nil
	}
	l, err := readLink(ctx, c.Keep)
	if err != nil {
		return err
	}
	c.link = l
	return nil
}

func readLink(ctx context.Context, k Keep) (*link, error) {
	l := &link{Version: linkVersion}
	if _, err := load(ctx, k, linkRecord, l); err != nil {
		return nil, failure(Here, "leave the exchange and pair this device again; its entries stay", "%v", err)
	}
	if l.Version != linkVersion {
		return nil, failure(Here, "bring this program up to date", "the record of the exchange is of version %d; this build reads version %d", l.Version, linkVersion)
	}
	if l.Confirmed == nil {
		l.Confirmed = store.Vector{}
	}
	return l, nil
}

// save keeps the record, and shows it to Status.
func (c *Client) save(ctx context.Context) error {
	if err := save(ctx, c.Keep, linkRecord, c.link); err != nil {
		c.link = nil // what is in memory is not what is kept
		return failure(Here, "look whether there is room left on this device", "the record of the exchange could not be kept: %v", err)
	}
	shown := *c.link
	shown.Confirmed, shown.Wanted = c.link.Confirmed.Clone(), slices.Clone(c.link.Wanted)
	c.mu.Lock()
	defer c.mu.Unlock()
	c.shown, c.only.valid = &shown, false
	return nil
}

// Join lets this device in at a host, by the code that it shows. Where the
// answer does not come, the same call may be made again.
func (c *Client) Join(ctx context.Context, address, code string) error {
	c.step.Lock()
	defer c.step.Unlock()
	base, err := hostAddress(address)
	if err != nil {
		return err
	}
	if c.load(ctx) != nil {
		c.link = &link{Version: linkVersion, Confirmed: store.Vector{}} // what cannot be read is replaced
	}
	c.at = nil
	if t := c.link.Trying; t == nil || t.URL != base || t.Code != digits(code) {
		c.link.Trying = &trying{base, digits(code), rand.Text() + rand.Text()}
		if err := c.save(ctx); err != nil { // before it is sent, so that it can be sent again
			return err
		}
	}
	c.target = target{url: base}
	if err := c.greet(ctx); err != nil {
		return err
	}
	name := c.Name
	if name == "" {
		name = c.Book.Device()
	}
	var a pairAnswer
	if err := c.post(ctx, pathPair, pairRequest{code, c.Book.Device(), name, c.link.Trying.Try}, &a); err != nil {
		return err
	}
	if a.Token == "" || len(a.Token) > 200 || store.CheckDevice(a.Device) != nil {
		return errStrange
	}
	c.link = &link{Version: linkVersion, URL: base, Token: a.Token, Host: a.Device, HostName: a.Name, Joined: c.now(), Confirmed: store.Vector{}}
	return c.save(ctx)
}

// Leave forgets the host and the key. The entries stay on both sides.
func (c *Client) Leave(ctx context.Context) error {
	c.step.Lock()
	defer c.step.Unlock()
	c.at = nil
	c.link = &link{Version: linkVersion, Confirmed: store.Vector{}}
	return c.save(ctx)
}

// hostAddress reads the address of a host as people type it.
func hostAddress(s string) (string, error) {
	const do = "type it as the host shows it: https://book.example"
	s = strings.TrimSpace(s)
	if s != "" && !strings.Contains(s, "://") {
		s = "https://" + s
	}
	u, err := url.Parse(s)
	switch {
	case err != nil || u.Host == "" || u.User != nil || u.Scheme != "https" && u.Scheme != "http" || len(s) > 300:
		return "", failure(NotOurs, do, "%q is not the address of a host", s)
	case u.Scheme == "http" && !ownComputer(u.Hostname()):
		return "", failure(NoTrust, "give the host a certificate (docs/serve.md) and use https://", "plain http to %s would show the book to everybody on the way", u.Host)
	}
	return u.Scheme + "://" + u.Host, nil
}

// SameHost says whether two addresses, as people type them, are of one host.
func SameHost(a, b string) (bool, error) {
	a, err := hostAddress(a)
	if err != nil {
		return false, err
	}
	b, err = hostAddress(b)
	return a == b, err
}

func ownComputer(name string) bool {
	ip := net.ParseIP(name)
	return name == "localhost" || ip != nil && ip.IsLoopback()
}

var errStrange = failure(NotOurs, "look at the address", "the answer is not that of a host of this program")

// Status is how this device stands with its host.
type Status struct {
	Joined   bool
	URL      string // of the host; before joining, Home
	Host     string // name of the host
	Entries  int64  // that only this device has, as far as the host has confirmed
	Files    int    // the same: photos and kept plans
	Success  time.Time
	Failure  *Failure // of the last exchange; nil: it ended well
	FailedAt time.Time
	Skew     time.Duration // how far this device's clock is ahead of the host's; zero: within SkewLimit
}

// onlyHere is kept between pages, which all ask for it.
type onlyHere struct {
	valid   bool
	mark    store.Mark
	entries int64
	files   int
}

// Status says how this device stands with its host. It sends nothing, and does
// not wait for a step that is under way.
func (c *Client) Status(ctx context.Context) (Status, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.shown == nil || c.Shared {
		l, err := readLink(ctx, c.Keep)
		if err != nil {
			return Status{}, err
		}
		c.shown, c.only.valid = l, false
	}
	l := c.shown
	s := Status{Joined: l.Token != "", URL: cmp.Or(l.URL, c.Home), Host: cmp.Or(l.HostName, l.Host), Success: l.Success, Failure: l.Failure, FailedAt: l.FailedAt, Skew: time.Duration(l.Skew) * time.Millisecond}
	if mark := c.Book.Mark(); !c.only.valid || c.only.mark != mark {
		var err error
		if c.only, err = c.count(ctx, l); err != nil {
			return Status{}, err
		}
		c.only.mark, c.only.valid = mark, true
	}
	s.Entries, s.Files = c.only.entries, c.only.files
	return s, nil
}

// count counts what only this device has: the entries beyond what the host has
// confirmed, the files that those name, and the files that the host lacks.
func (c *Client) count(ctx context.Context, l *link) (o onlyHere, err error) {
	st := c.Book.Store()
	heads, err := st.Heads(ctx)
	if err != nil {
		return o, err
	}
	if o.entries = more(store.VectorOf(heads), l.Confirmed, nil); o.entries == 0 && len(l.Wanted) == 0 {
		return o, nil
	}
	have, err := held(ctx, st)
	if err != nil {
		return o, err
	}
	only, err := c.files.beyond(ctx, st, l.Confirmed)
	if err != nil {
		return o, err
	}
	for _, h := range slices.Concat(l.Wanted, only) {
		if have[h] {
			o.files++
			delete(have, h)
		}
	}
	return o, nil
}
