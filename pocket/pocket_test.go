package pocket

import (
	"bytes"
	"image/png"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"compress/gzip"

	"github.com/andybalholm/brotli"
)

func built(t *testing.T, program string) *Build {
	t.Helper()
	var br, gz bytes.Buffer
	w := brotli.NewWriter(&br)
	io.WriteString(w, program)
	w.Close()
	z := gzip.NewWriter(&gz)
	io.WriteString(z, program)
	z.Close()
	b, err := load(fstest.MapFS{"dist/pocket.wasm.br": {Data: br.Bytes()}, "dist/pocket.wasm.gz": {Data: gz.Bytes()}, "dist/wasm_exec.js": {Data: []byte("exec")}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func get(h http.Handler, path, takes string) *http.Response {
	r := httptest.NewRequest("GET", path, nil)
	r.Header.Set("Accept-Encoding", takes)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	t.Helper()
	var in io.Reader = r.Body
	switch r.Header.Get("Content-Encoding") {
	case "br":
		in = brotli.NewReader(in)
	case "gzip":
		z, err := gzip.NewReader(in)
		if err != nil {
			t.Fatal(err)
		}
		in = z
	}
	data, err := io.ReadAll(in)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Every file that the worker is told to keep must be served, or the
// installation as a whole fails.
func TestEveryFileIsServed(t *testing.T) {
	b := built(t, "program")
	h := Handler(b)
	n := 0
	for _, path := range b.list {
		if strings.HasPrefix(path, "/assets/") {
			continue // of package web
		}
		n++
		r := get(h, path, "")
		if r.StatusCode != 200 || len(body(t, r)) == 0 || r.Header.Get("Content-Type") == "" {
			t.Errorf("%s: %d", path, r.StatusCode)
		}
	}
	if n < 10 {
		t.Errorf("only %d files", n)
	}
	if r := get(h, "/pocket/0000/pocket.wasm", ""); r.StatusCode != 404 {
		t.Errorf("a file of another version: %d", r.StatusCode)
	}
}

func TestCompressedForms(t *testing.T) {
	b := built(t, "program")
	for takes, form := range map[string]string{"gzip, deflate, br, zstd": "br", "gzip": "gzip", "": ""} {
		r := get(Handler(b), b.path(wasmName), takes)
		if got := r.Header.Get("Content-Encoding"); got != form {
			t.Errorf("takes %q: got %q, want %q", takes, got, form)
		}
		if got := body(t, r); got != "program" {
			t.Errorf("takes %q: %q", takes, got)
		}
		if got := r.Header.Get("Content-Type"); got != "application/wasm" {
			t.Errorf("media %q: a browser compiles only application/wasm while it loads", got)
		}
	}
}

func TestWorkerNamesItsVersion(t *testing.T) {
	one, other := built(t, "one"), built(t, "other")
	if one.Hash == other.Hash {
		t.Error("two programs have one hash: a phone would never change over")
	}
	if again := built(t, "one"); again.Hash != one.Hash {
		t.Error("the same build has two hashes")
	}
	r := get(Handler(one), "/sw.js", "")
	text := body(t, r)
	if !strings.HasPrefix(text, "self.pocketBuild = {") || !strings.Contains(text, one.Hash) {
		t.Error("the worker does not name its version")
	}
	if r.Header.Get("Cache-Control") != "no-cache" || !strings.Contains(r.Header.Get("Content-Security-Policy"), "wasm-unsafe-eval") {
		t.Errorf("headers %v", r.Header)
	}
}

func TestIcons(t *testing.T) {
	for _, side := range iconSides {
		f, err := icon(side)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(f.data))
		if err != nil || img.Bounds().Dx() != side {
			t.Fatalf("%v, %v", img.Bounds(), err)
		}
		if r, _, _, _ := img.At(side/2, side/2).RGBA(); r > 0x4000 {
			t.Error("the groove is not drawn")
		}
		if r, _, _, _ := img.At(2, 2).RGBA(); r != 0xffff {
			t.Error("the corner is not empty")
		}
	}
}

func TestNotBuilt(t *testing.T) {
	if _, err := load(fstest.MapFS{}); err != ErrNotBuilt {
		t.Errorf("got %v", err)
	}
	r := get(Handler(nil), PagePath, "")
	if text := body(t, r); r.StatusCode != 200 || !strings.Contains(text, "make phone") {
		t.Errorf("%d %s", r.StatusCode, text)
	}
}
