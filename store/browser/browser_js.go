//go:build js

package browser

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"syscall/js"

	"soundmetal/store"
	"soundmetal/store/memory"
)

// ErrStale says that another program has written into the book: start again.
var ErrStale = errors.New("another program of this device has written into the book")

// Medium is IndexedDB as the medium of a book in memory.
type Medium struct {
	shim  js.Value
	stale func() // told once a change was refused as stale; may be nil
}

// Open opens the book of this browser. stale is called when the program has to
// be started again; it may be nil.
func Open(ctx context.Context, stale func()) (*memory.Store, *Medium, error) {
	shim := js.Global().Get("pocketStore")
	if shim.IsUndefined() {
		return nil, nil, errors.New("idb.js is not loaded")
	}
	return open(ctx, &Medium{shim: shim, stale: stale})
}

func open(ctx context.Context, m *Medium) (*memory.Store, *Medium, error) {
	got, err := m.call(ctx, "load")
	if err != nil {
		return nil, nil, fmt.Errorf("this browser's storage cannot be opened: %w", err)
	}
	entries, err := readRows(got.Get("rows").String())
	if err != nil {
		return nil, nil, err
	}
	blobs := map[store.Hash]int64{}
	for line := range strings.Lines(got.Get("sizes").String()) {
		name, size, _ := strings.Cut(strings.TrimSpace(line), " ")
		h, err := store.ReadHash(name)
		if err != nil {
			return nil, nil, err
		}
		if blobs[h], err = strconv.ParseInt(size, 10, 64); err != nil {
			return nil, nil, fmt.Errorf("file %s: %w", name, err)
		}
	}
	var snaps []store.Snapshot
	list := got.Get("snapshots")
	for i := range list.Length() {
		var s store.Snapshot
		if json.Unmarshal([]byte(list.Index(i).Get("head").String()), &s) != nil {
			continue // of another build: it is made anew
		}
		s.Data = Bytes(list.Index(i).Get("data"))
		snaps = append(snaps, s)
	}
	return memory.Open(m, entries, blobs, snaps), m, nil
}

func readRows(rows string) ([]store.Entry, error) {
	if rows == "" {
		return nil, nil
	}
	all := make([]store.Entry, 0, strings.Count(rows, "\n")+1)
	for line := range strings.SplitSeq(rows, "\n") {
		e, err := ReadRow(line)
		if err != nil {
			return nil, err
		}
		all = append(all, e)
	}
	return all, nil
}

// Write is described at memory.Medium.
func (m *Medium) Write(ctx context.Context, entries []store.Entry, blobs map[store.Hash][]byte) error {
	rows := make([]any, len(entries))
	for i := range entries {
		rows[i] = string(AppendRow(nil, &entries[i]))
	}
	var files []any
	for h, data := range blobs {
		files = append(files, []any{h.String(), Array(data)})
	}
	// a change that has begun is not given up half-way
	_, err := m.call(context.WithoutCancel(ctx), "write", rows, files)
	if errors.Is(err, ErrStale) && m.stale != nil {
		m.stale()
	}
	return err
}

// Blob is described at memory.Medium.
func (m *Medium) Blob(ctx context.Context, h store.Hash) ([]byte, error) {
	v, err := m.call(ctx, "blob", h.String())
	if err != nil {
		return nil, err
	}
	if v.IsNull() || v.IsUndefined() {
		return nil, store.ErrNoBlob
	}
	return Bytes(v), nil
}

// PutSnapshot is described at memory.Medium.
func (m *Medium) PutSnapshot(ctx context.Context, s store.Snapshot) error {
	data := s.Data
	s.Data = nil
	head, err := json.Marshal(s)
	if err != nil {
		return err
	}
	_, err = m.call(ctx, "putSnapshot", s.Name, string(head), Array(data))
	return err
}

// Load gives what Save has kept under a name; nil where there is nothing.
func (m *Medium) Load(ctx context.Context, name string) ([]byte, error) {
	v, err := m.call(ctx, "get", name)
	if err != nil || v.IsNull() || v.IsUndefined() {
		return nil, err
	}
	return Bytes(v), nil
}

// Save keeps a few bytes beside the book: the id of the device, the state of an
// exchange.
func (m *Medium) Save(ctx context.Context, name string, data []byte) error {
	_, err := m.call(ctx, "put", name, Array(data))
	return err
}

// call calls a function of idb.js and waits for its promise.
func (m *Medium) call(ctx context.Context, name string, args ...any) (js.Value, error) {
	v, err := Await(ctx, m.shim.Call(name, args...))
	var failed *Failed
	if errors.As(err, &failed) {
		switch failed.Name {
		case "QuotaExceededError":
			return v, fmt.Errorf("%w (%w)", store.ErrFull, err)
		case "ConstraintError":
			return v, fmt.Errorf("%w (%w)", ErrStale, err)
		}
	}
	return v, err
}

// Failed is what a promise was refused with.
type Failed struct{ Name, Text string }

func (f *Failed) Error() string { return f.Name + ": " + f.Text }

// Await waits for a promise. It must not be called from a callback of JavaScript
// itself, which would wait for ever.
func Await(ctx context.Context, promise js.Value) (js.Value, error) {
	type outcome struct {
		v   js.Value
		err error
	}
	done := make(chan outcome, 1)
	var well, ill js.Func
	release := func() { well.Release(); ill.Release() }
	well = js.FuncOf(func(_ js.Value, args []js.Value) any {
		v := js.Undefined()
		if len(args) > 0 {
			v = args[0]
		}
		done <- outcome{v: v}
		release()
		return nil
	})
	ill = js.FuncOf(func(_ js.Value, args []js.Value) any {
		f := &Failed{Name: "Error", Text: "failed"}
		if len(args) > 0 && args[0].Type() == js.TypeObject {
			f.Name, f.Text = args[0].Get("name").String(), args[0].Get("message").String()
		}
		done <- outcome{err: f}
		release()
		return nil
	})
	promise.Call("then", well, ill)
	select {
	case o := <-done:
		return o.v, o.err
	case <-ctx.Done():
		return js.Undefined(), ctx.Err()
	}
}

// Array copies bytes into a Uint8Array.
func Array(data []byte) js.Value {
	v := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(v, data)
	return v
}

// Bytes copies the bytes of a Uint8Array.
func Bytes(v js.Value) []byte {
	data := make([]byte, v.Get("byteLength").Int())
	js.CopyBytesToGo(data, v)
	return data
}
