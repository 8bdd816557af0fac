//go:build js

// Command pocket is the job book in a phone: the pages of package web behind a
// service worker, with the book in IndexedDB. Built for js/wasm; the scripts
// that start it are in pocket/js.
//
// The global pocketRole says which part it plays: "pages" answers requests,
// "task" works one long computation out (see package task).
package main

import (
	"context"
	"fmt"
	"os"
	"runtime/debug"
	"syscall/js"
)

// memory is what a phone can spare; beyond it the collector works harder.
const memory = 192 << 20

func main() {
	debug.SetMemoryLimit(memory)
	var err error
	switch role := js.Global().Get("pocketRole").String(); role {
	case "task":
		err = serveTask()
	default:
		err = servePages(context.Background())
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "pocket:", err)
		js.Global().Call("pocketFailed", err.Error())
		return
	}
	select {} // the callbacks live on
}
