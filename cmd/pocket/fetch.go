//go:build js

package main

import (
	"context"
	"fmt"
	"io"
	"net/textproto"
	"strings"
	"syscall/js"

	"soundmetal/exchange"
	"soundmetal/store/browser"
)

// fetch sends the requests of an exchange by the browser's fetch. The client of
// net/http does that too, but links TLS and sockets, half a megabyte that a
// browser has of its own.
type fetch struct{}

// Do sends a request without cookies and follows no redirect: the key is for one
// address.
func (fetch) Do(ctx context.Context, m exchange.Message) (*exchange.Reply, error) {
	stop := js.Global().Get("AbortController").New()
	headers := js.Global().Get("Headers").New()
	for name, all := range m.Header {
		for _, v := range all {
			headers.Call("append", name, v)
		}
	}
	ask := map[string]any{"method": m.Method, "headers": headers, "credentials": "omit", "redirect": "error", "signal": stop.Get("signal")}
	if len(m.Body) > 0 {
		ask["body"] = browser.Array(m.Body)
	}
	got, err := browser.Await(ctx, js.Global().Call("fetch", m.URL, ask))
	if err != nil {
		stop.Call("abort")
		if ctx.Err() != nil {
			return nil, err
		}
		return nil, fmt.Errorf("fetch() failed: %w", err)
	}
	a := &exchange.Reply{Status: got.Get("status").Int(), Header: textproto.MIMEHeader{}, Body: io.NopCloser(strings.NewReader(""))}
	add := js.FuncOf(func(_ js.Value, args []js.Value) any {
		a.Header.Add(args[1].String(), args[0].String())
		return nil
	})
	got.Get("headers").Call("forEach", add)
	add.Release()
	if body := got.Get("body"); body.Truthy() {
		a.Body = &stream{ctx: ctx, from: body.Call("getReader"), stop: stop}
	}
	return a, nil
}

// stream reads the body of an answer as it comes: a large one is not kept whole.
type stream struct {
	ctx        context.Context
	from, stop js.Value
	rest       []byte
}

func (s *stream) Read(p []byte) (int, error) {
	for len(s.rest) == 0 {
		part, err := browser.Await(s.ctx, s.from.Call("read"))
		if err != nil {
			return 0, err
		}
		if part.Get("done").Bool() {
			return 0, io.EOF
		}
		s.rest = browser.Bytes(part.Get("value"))
	}
	n := copy(p, s.rest)
	s.rest = s.rest[n:]
	return n, nil
}

// Close ends the request where it is not at its end.
func (s *stream) Close() error {
	s.stop.Call("abort")
	return nil
}
