//go:build js

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"net/textproto"
	"net/url"
	"os"
	"runtime/debug"
	"syscall/js"

	"soundmetal/store/browser"
	"soundmetal/web"
)

// handleFunc is a handler as a function of JavaScript: it takes a request
// {method, url, headers: [[name, value]], body: Uint8Array} and gives a promise
// of an answer {status, headers, body}. A panic becomes a rejected promise; the
// program goes on.
func handleFunc(answerTo func(web.Writer, *web.Request)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) any {
		in := args[0]
		return promise(func() (any, error) {
			r, err := requestOf(in)
			if err != nil {
				return nil, err
			}
			w := &answer{header: textproto.MIMEHeader{}}
			answerTo(w, r)
			return w.value(), nil
		})
	})
}

// promise runs f on a goroutine of its own: a callback itself must never wait.
func promise(f func() (any, error)) js.Value {
	run := js.FuncOf(func(_ js.Value, args []js.Value) any {
		keep, refuse := args[0], args[1]
		go func() {
			defer func() {
				if p := recover(); p != nil {
					fmt.Fprintf(os.Stderr, "panic: %v\n%s", p, debug.Stack())
					refuse.Invoke(js.Global().Get("Error").New(fmt.Sprint(p)))
				}
			}()
			v, err := f()
			if err != nil {
				refuse.Invoke(js.Global().Get("Error").New(err.Error()))
				return
			}
			keep.Invoke(v)
		}()
		return nil
	})
	defer run.Release() // the executor is called at once
	return js.Global().Get("Promise").New(run)
}

func requestOf(in js.Value) (*web.Request, error) {
	body := in.Get("body")
	var data []byte
	if body.Truthy() {
		data = browser.Bytes(body)
	}
	at, err := url.Parse(in.Get("url").String())
	if err != nil {
		return nil, err
	}
	if at.Host == "" {
		return nil, errors.New("a request without a host")
	}
	r := web.NewRequest(context.Background(), in.Get("method").String(), at)
	r.Body, r.ContentLength = bytes.NewReader(data), int64(len(data))
	list := in.Get("headers")
	for i := range list.Length() {
		r.Header.Add(list.Index(i).Index(0).String(), list.Index(i).Index(1).String())
	}
	return r, nil
}

const ok = 200

// answer keeps what a handler writes.
type answer struct {
	header  textproto.MIMEHeader
	status  int
	body    bytes.Buffer
	written textproto.MIMEHeader // as they were when the first byte was written
}

func (a *answer) Header() textproto.MIMEHeader { return a.header }

func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status, a.written = status, maps.Clone(a.header)
	}
}

func (a *answer) Write(data []byte) (int, error) {
	a.WriteHeader(ok)
	return a.body.Write(data)
}

func (a *answer) value() js.Value {
	a.WriteHeader(ok)
	var headers []any
	for name, all := range a.written {
		for _, v := range all {
			headers = append(headers, []any{name, v})
		}
	}
	return js.ValueOf(map[string]any{"status": a.status, "headers": headers, "body": browser.Array(a.body.Bytes())})
}
