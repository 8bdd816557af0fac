package exchange

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"net/textproto"
	"net/url"
	"strconv"
	"strings"
	"time"
)

const doVersion = "bring the older of the two programs up to date"

const usualTimeout = 2 * time.Minute

// answer is what came back.
type answer struct {
	media string
	data  []byte
	sent  int // bytes of the message before packing
}

// send sends one request and reads its answer, of at most limit bytes. What is
// not the answer of a host of this protocol is a *Failure.
func (c *Client) send(ctx context.Context, method, path, media string, body []byte, limit int64) (answer, error) {
	wait := c.Timeout
	if wait == 0 {
		wait = usualTimeout
	}
	ctx, cancel := context.WithTimeout(ctx, wait)
	defer cancel()
	packed, encoding := body, ""
	if media != mediaFile && len(body) >= gzipFrom {
		packed, encoding = pack(body), "gzip"
	}
	h := textproto.MIMEHeader{}
	h.Set(headVersion, strconv.Itoa(Version))
	h.Set("Accept", "*/*")
	if media != "" {
		h.Set("Content-Type", media)
	}
	if encoding != "" {
		h.Set("Content-Encoding", encoding)
	}
	if c.target.token != "" {
		h.Set("Authorization", "Bearer "+c.target.token)
	}
	do := c.HTTP
	if do == nil {
		do = ownHTTP
	}
	begun := c.now()
	h.Set(headTime, strconv.FormatInt(begun.UnixMilli(), 10))
	a, err := do.Do(ctx, Message{method, c.target.url + path, h, packed})
	if err != nil {
		return answer{}, c.noAnswer(err)
	}
	defer a.Body.Close()
	data, err := io.ReadAll(io.LimitReader(a.Body, limit+1))
	switch {
	case err != nil:
		return answer{}, c.noAnswer(err)
	case a.Status >= 300 && a.Status < 400:
		return answer{}, failure(NotOurs, "use the address it leads to, if you trust it", "%s leads to %s", c.target.url, a.Header.Get("Location"))
	case a.Header.Get(headVersion) == "":
		return answer{}, c.notOurs(a.Status)
	case a.Header.Get(headVersion) != strconv.Itoa(Version):
		return answer{}, failure(NotVersion, doVersion, "the host speaks version %s of the exchange, this device version %d", clip(a.Header.Get(headVersion)), Version)
	case int64(len(data)) > limit:
		return answer{}, failure(NotOurs, doVersion, "the answer of the host is larger than %d bytes", limit)
	}
	c.noteSkew(a.Header.Get(headTime), begun, c.now())
	got, _, _ := strings.Cut(a.Header.Get("Content-Type"), ";")
	if a.Status == statusOK {
		return answer{got, data, len(body)}, nil
	}
	var f Failure
	if err := readJSON(data, &f); err != nil || f.Reason == "" || f.Text == "" {
		return answer{}, c.notOurs(a.Status)
	}
	return answer{}, &f
}

// post sends JSON and reads JSON.
func (c *Client) post(ctx context.Context, path string, v, into any) error {
	body, err := writeJSON(v)
	if err != nil {
		return err
	}
	a, err := c.send(ctx, "POST", path, mediaJSON, body, MaxMessage)
	if err != nil {
		return err
	}
	return a.read(into)
}

func (c *Client) get(ctx context.Context, path string, into any) error {
	a, err := c.send(ctx, "GET", path, "", nil, MaxMessage)
	if err != nil {
		return err
	}
	return a.read(into)
}

// read reads an answer of JSON. What cannot be read was cut or changed on the
// way: it is asked for again.
func (a answer) read(into any) error {
	if a.media != mediaJSON {
		return errStrange
	}
	if err := readJSON(a.data, into); err != nil {
		return failure(NoAnswer, "", "the answer of the host cannot be read: %v", err)
	}
	return nil
}

// greet asks whether a host of this program answers at the address.
func (c *Client) greet(ctx context.Context) error {
	var h hello
	if err := c.get(ctx, pathHello, &h); err != nil {
		return err
	}
	if h.Format != formatName {
		return errStrange
	}
	if h.Version != Version {
		return failure(NotVersion, doVersion, "the host speaks version %d of the exchange, this device version %d", h.Version, Version)
	}
	return nil
}

// notOurs is an answer that no host of this protocol gives: of a proxy that did
// not reach it, or of something else.
func (c *Client) notOurs(status int) error {
	if status >= 500 || status == statusRequestTimeout || status == statusTooManyRequests {
		return failure(NoAnswer, "try again later; look whether the host is running", "something on the way to %s answered %d instead of the host", c.target.url, status)
	}
	return failure(NotOurs, "look at the address", "at %s answers something that is not a host of this program", c.target.url)
}

// noAnswer puts the failure of a connection into words.
func (c *Client) noAnswer(err error) error {
	var f *Failure
	if errors.As(err, &f) {
		return f
	}
	where := c.target.url
	if u, e := url.Parse(where); e == nil {
		where = u.Host
	}
	if f = trustFailure(err, where); f != nil {
		return f
	}
	if errors.Is(err, context.DeadlineExceeded) {
		return failure(NoAnswer, "try again where the signal is better", "%s did not answer in time", where)
	}
	const do = "look whether there is a signal and whether the host is running"
	if why := cause(err).Error(); !strings.Contains(why, "fetch() failed") { // a browser does not say why
		return failure(NoAnswer, do, "no answer from %s (%s)", where, why)
	}
	return failure(NoAnswer, do, "no answer from %s", where)
}

// cause leaves out the address that a URL error repeats.
func cause(err error) error {
	var u *url.Error
	if errors.As(err, &u) {
		return u.Err
	}
	return err
}

// noteSkew keeps how far the clocks differ, where that is more than the limit
// and the time that the way took.
func (c *Client) noteSkew(host string, begun, ended time.Time) {
	ms, err := strconv.ParseInt(host, 10, 64)
	if err != nil || ms < 0 || ms > maxSeq {
		return
	}
	way := max(0, ended.Sub(begun))
	d := begun.Add(way / 2).Sub(time.UnixMilli(ms))
	if d.Abs() <= SkewLimit+way/2 {
		d = 0
	}
	c.link.Skew = d.Milliseconds()
}

func clip(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}

// pack packs bytes with gzip.
func pack(data []byte) []byte {
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestSpeed)
	z.Write(data)
	z.Close()
	return out.Bytes()
}
