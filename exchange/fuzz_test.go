//go:build !js

package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// FuzzBatch: what is read as a batch is written as the same bytes.
func FuzzBatch(f *testing.F) {
	st := memory.New()
	for i := range 3 {
		if _, err := st.Append(f.Context(), store.Batch{Device: "phone", Key: "k" + string(rune(97+i)), Now: time.UnixMilli(1772434800000), After: store.Anywhere, Drafts: []store.Draft{{Kind: "note.added", Job: "j1", Body: json.RawMessage(`{"text":"x"}`)}}}); err != nil {
			f.Fatal(err)
		}
	}
	entries := must(st.Since(f.Context(), nil, 10))
	data, _, _ := writeBatch(entries, 7, PartBytes)
	f.Add(data)
	f.Add(data[:len(data)/2])
	f.Add([]byte("{\"entries\":0,\"left\":0}\n"))
	f.Add(bytes.Replace(data, []byte(`"seq":1`), []byte(`"seq":9`), 1))
	f.Fuzz(func(t *testing.T, data []byte) {
		entries, left, err := readBatch(data)
		if err != nil {
			if entries != nil {
				t.Fatal("entries beside an error")
			}
			return
		}
		again, n, fault := writeBatch(entries, left+int64(len(entries)), 1<<30)
		if fault != nil || n != len(entries) {
			t.Fatalf("%d of %d written: %v", n, len(entries), fault)
		}
		_, lines, _ := bytes.Cut(data, []byte("\n"))
		_, linesAgain, _ := bytes.Cut(again, []byte("\n"))
		if !bytes.Equal(lines, linesAgain) {
			t.Fatalf("read %q, written %q", lines, linesAgain)
		}
	})
}

// FuzzRequest: whatever comes, the host answers with JSON, stores nothing of
// what it refuses, and a failure has a reason and a sentence.
func FuzzRequest(f *testing.F) {
	b, err := book.Open(f.Context(), memory.New(), "office", book.Options{})
	if err != nil {
		f.Fatal(err)
	}
	peers := &Peers{Keep: &MemoryKeep{}, Own: "office"}
	h := (&Server{Book: b, Peers: peers}).Handler()
	token := must(peers.issue(f.Context(), "phone", "phone", strings.Repeat("s", 43), false))
	for _, s := range []struct{ method, path, media, body string }{
		{"POST", "/net/heads", mediaJSON, `{"heads":[]}`},
		{"POST", "/net/pair", mediaJSON, `{"code":"1","device":"x","name":"y","try":"z"}`},
		{"POST", "/net/pull", mediaJSON, `{"seen":{"a":1},"most":1,"bytes":1}`},
		{"POST", "/net/entries", mediaLines, `{"entries":0,"left":0}` + "\n"},
		{"PUT", "/net/files/" + strings.Repeat("0", 64), mediaFile, "x"},
		{"GET", "/net/wanted", "", ""},
	} {
		f.Add(s.method, s.path, s.media, []byte(s.body))
	}
	f.Fuzz(func(t *testing.T, method, path, media string, body []byte) {
		if !strings.HasPrefix(path, "/net/") || strings.ContainsAny(path, " \r\n?#%") || strings.ContainsAny(method, " \r\n:/") || method == "" || method == "CONNECT" || method == "HEAD" {
			return
		}
		for _, c := range method {
			if c < 'A' || c > 'Z' {
				return
			}
		}
		for _, c := range path {
			if c < '!' || c > '~' {
				return
			}
		}
		before := b.Mark()
		r := httptest.NewRequest(method, path, bytes.NewReader(body))
		r.Header.Set("Content-Type", media)
		r.Header.Set(headVersion, "1")
		r.Header.Set("Authorization", "Bearer "+token)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code >= 300 && w.Code < 400 {
			return // the mux puts a path in order
		}
		if w.Code == 200 {
			return
		}
		var out Failure
		if err := readJSON(w.Body.Bytes(), &out); err != nil || out.Reason == "" || out.Text == "" || out.Reason == Internal {
			t.Fatalf("%d %q %v", w.Code, w.Body, err)
		}
		if b.Mark() != before {
			t.Fatal("something was stored of a request that was refused")
		}
	})
}

// FuzzAddress: an address is refused, or is scheme and host alone and secure.
func FuzzAddress(f *testing.F) {
	for _, s := range []string{"book.example", "https://book.example:8443/pocket#code=1", "http://127.0.0.1:8765", "http://book.example", "https://u:p@x", "ftp://x", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := hostAddress(s)
		if err != nil {
			var f *Failure
			if !errors.As(err, &f) || got != "" {
				t.Fatalf("%q %v", got, err)
			}
			return
		}
		again, err := hostAddress(got)
		if err != nil || again != got {
			t.Fatalf("%q gives %q, and that %q, %v", s, got, again, err)
		}
		if !strings.HasPrefix(got, "https://") && !strings.HasPrefix(got, "http://127.") && !strings.HasPrefix(got, "http://localhost") && !strings.HasPrefix(got, "http://[") {
			t.Fatalf("%q gives %q", s, got)
		}
	})
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
