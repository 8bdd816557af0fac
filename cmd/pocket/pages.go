//go:build js

package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"sync/atomic"
	"syscall/js"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
	"soundmetal/sheet/draw/font"
	"soundmetal/store"
	"soundmetal/store/browser"
	"soundmetal/web"
)

// deviceName is where the id of this phone is kept, beside the book.
const deviceName = "device"

// One request of an exchange is kept short: a browser ends a worker that is busy
// for a minute.
const (
	stepTime    = 25 * time.Second
	stepEntries = 1000 // below a second on this computer: a phone takes several
)

// servePages opens the book and hands the handler to the service worker.
func servePages(ctx context.Context) error {
	fonts := js.Global().Get("pocketFonts")
	for name, face := range font.Names {
		font.Provide(face, browser.Bytes(fonts.Get(name)))
	}
	var stale atomic.Bool
	st, kept, err := browser.Open(ctx, func() { stale.Store(true) })
	if err != nil {
		return err
	}
	device, err := deviceID(ctx, kept)
	if err != nil {
		return err
	}
	b, err := book.Open(ctx, st, device, book.Options{Price: web.Price})
	if err != nil {
		return err
	}
	log := func(fault string, args ...any) { fmt.Fprintln(os.Stderr, append([]any{"pocket:", fault}, args...)...) }
	for _, f := range b.Faults() {
		log("damaged entry left out", "fault", f)
	}
	link := &exchange.Client{Book: b, Keep: kept, HTTP: fetch{}, Name: "phone", Home: js.Global().Get("location").Get("origin").String(), Timeout: stepTime, Most: stepEntries}
	pages := web.Pages(web.Service{Book: b, Now: time.Now, Log: log, Where: "on this phone", Export: "/export", Link: link,
		Manifest: js.Global().Get("pocketManifest").String(), Script: js.Global().Get("pocketScript").String(), Worker: js.Global().Get("pocketWorker").String()})
	handle := handleFunc(func(w web.Writer, r *web.Request) {
		web.GuardOptions{}.Set(w.Header())
		if r.Method == "GET" && r.URL.Path == "/export" {
			export(w, r, b)
			return
		}
		pages.Answer(w, r)
	})
	isStale := js.FuncOf(func(js.Value, []js.Value) any { return stale.Load() })
	js.Global().Call("pocketReady", map[string]any{"handle": handle, "stale": isStale})
	return nil
}

// deviceID is the id under which this phone logs; it is made on the first start.
func deviceID(ctx context.Context, kept *browser.Medium) (string, error) {
	data, err := kept.Load(ctx, deviceName)
	if err != nil {
		return "", err
	}
	if len(data) > 0 {
		return string(data), nil
	}
	id := store.NewDevice("phone")
	return id, kept.Save(ctx, deviceName, []byte(id))
}

// export gives the whole book as one file.
func export(w web.Writer, r *web.Request, b *book.Book) {
	var out bytes.Buffer
	if _, err := book.Export(r.Context(), b.Store(), &out); err != nil {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(500)
		fmt.Fprintln(w, "the book cannot be written as one file:", err)
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="`+book.ArchiveName(time.Now())+`"`)
	w.Header().Set("Cache-Control", "no-store")
	w.Write(out.Bytes())
}
