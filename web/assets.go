package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"regexp"
	"strings"
	"sync"
)

//go:embed assets
var assetFiles embed.FS

// Asset is one static file with the path that holds the hash of its bytes, so
// that it may be kept for ever.
type Asset struct {
	Path, Media string
	Data        []byte
}

var mediaTypes = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml",
}

var loadAssets = sync.OnceValue(func() map[string]Asset {
	all := map[string]Asset{}
	entries, err := fs.ReadDir(assetFiles, "assets")
	if err != nil {
		panic("web: " + err.Error())
	}
	for _, e := range entries {
		name := e.Name()
		media := mediaTypes[name[strings.LastIndex(name, "."):]]
		if media == "" {
			continue
		}
		data, err := assetFiles.ReadFile("assets/" + name)
		if err != nil {
			panic("web: " + err.Error())
		}
		if strings.HasSuffix(name, ".css") {
			data = lighter(data)
		}
		sum := sha256.Sum256(data)
		all[name] = Asset{"/assets/" + hex.EncodeToString(sum[:6]) + "/" + name, media, data}
	}
	return all
})

var styleNote = regexp.MustCompile(`(?s)/\*.*?\*/\s*`)

// lighter leaves out what a style sheet has for people who read it. It is written
// so that no selector and no text of it holds what is replaced here.
func lighter(style []byte) []byte {
	text := styleNote.ReplaceAllString(string(style), "")
	text = strings.NewReplacer("; }", "}", " }", "}", " {\n", "{", " { ", "{", ": ", ":", "; ", ";", ", ", ",", ";\n", ";", "\n  ", "\n").Replace(text)
	return []byte(text)
}

// Assets are the static files by name, for a host that keeps them itself.
func Assets() map[string]Asset { return loadAssets() }

// assetPath gives the path of a file; an unknown name is a programmer's error.
func assetPath(name string) string {
	a, ok := loadAssets()[name]
	if !ok {
		panic("web: no asset " + name)
	}
	return a.Path
}

func serveAsset(w Writer, r *Request) {
	a, ok := loadAssets()[r.PathValue("name")]
	if !ok || a.Path != r.URL.Path {
		plainError(w, "there is no such file", statusNotFound)
		return
	}
	h := w.Header()
	h.Set("Content-Type", a.Media)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("X-Content-Type-Options", "nosniff")
	w.Write(a.Data)
}
