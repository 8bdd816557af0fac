package pocket

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"soundmetal/sheet/draw/font"
	"soundmetal/web"
)

//go:embed js
var scripts embed.FS

//go:embed all:dist
var dist embed.FS

// ErrNotBuilt says that this program was built without the phone's part.
var ErrNotBuilt = errors.New("this build of the program has no phone's part: build it with `make phone`")

// file is one file of the build, whole or compressed.
type file struct {
	media  string
	data   []byte // as it is; nil where only compressed forms are kept
	br, gz []byte
}

// Build is all that a phone keeps of one version.
type Build struct {
	Hash  string // names the version: another content has another hash
	files map[string]file
	list  []string // paths that the phone keeps
}

const (
	wasmName = "pocket.wasm"
	execName = "wasm_exec.js"
)

// Load reads the build that was embedded, or says ErrNotBuilt.
func Load() (*Build, error) { return load(dist) }

func load(built fs.FS) (*Build, error) {
	b := &Build{files: map[string]file{}}
	wasm := file{media: "application/wasm"}
	var err error
	if wasm.br, err = fs.ReadFile(built, "dist/"+wasmName+".br"); err == nil {
		wasm.gz, err = fs.ReadFile(built, "dist/"+wasmName+".gz")
	}
	exec, errExec := fs.ReadFile(built, "dist/"+execName)
	if errors.Join(err, errExec) != nil {
		return nil, ErrNotBuilt
	}
	b.files[wasmName] = wasm
	b.files[execName] = file{media: javascript, data: exec}
	entries, err := fs.ReadDir(scripts, "js")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		data, err := scripts.ReadFile("js/" + e.Name())
		if err != nil {
			return nil, err
		}
		b.files[e.Name()] = file{media: javascript, data: data}
	}
	for _, side := range iconSides {
		if b.files[iconName(side)], err = icon(side); err != nil {
			return nil, err
		}
	}
	for name, face := range font.Names {
		b.files[name] = file{media: "font/ttf", data: face.TTF()}
	}
	b.files[manifestName] = manifest()
	b.seal()
	return b, nil
}

const javascript = "text/javascript; charset=utf-8"

// seal names the version by everything in it, the pages' own files included.
func (b *Build) seal() {
	sum := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(b.files)) {
		f := b.files[name]
		fmt.Fprintf(sum, "%s %d %d\n", name, len(f.data), len(f.br))
		sum.Write(f.data)
		sum.Write(f.br)
	}
	assets := web.Assets()
	for _, name := range slices.Sorted(maps.Keys(assets)) {
		fmt.Fprintln(sum, assets[name].Path)
		b.list = append(b.list, assets[name].Path)
	}
	b.Hash = hex.EncodeToString(sum.Sum(nil)[:8])
	for _, name := range slices.Sorted(maps.Keys(b.files)) {
		if name != swName { // the browser keeps the worker itself
			b.list = append(b.list, b.path(name))
		}
	}
	b.list = append(b.list, PagePath)
}

// swName is served at the root: a worker governs the folder it comes from.
const swName = "sw.js"

// path is where a file is served.
func (b *Build) path(name string) string {
	if name == manifestName || strings.HasSuffix(name, ".png") {
		return "/pocket/" + name // the installed app is known by these addresses
	}
	return "/pocket/" + b.Hash + "/" + name
}

// worker is the service worker with its version before it.
func (b *Build) worker() ([]byte, error) {
	fonts := map[string]string{}
	for name := range font.Names {
		fonts[name] = b.path(name)
	}
	head, err := json.Marshal(map[string]any{
		"fonts": fonts,
		"hash":  b.Hash, "files": b.list, "wasm": b.path(wasmName), "scripts": []string{b.path(execName), b.path("idb.js")},
		"manifest": b.path(manifestName), "script": b.path("page.js"), "worker": b.path("worker.js"),
	})
	if err != nil {
		return nil, err
	}
	return bytes.Join([][]byte{[]byte("self.pocketBuild = "), head, []byte(";\n"), b.files[swName].data}, nil), nil
}

// Size is the size of the program as it is sent, brotli and gzip.
func (b *Build) Size() (br, gz int) { return len(b.files[wasmName].br), len(b.files[wasmName].gz) }

// named finds a file of this version; the path of another one is not here.
func (b *Build) named(path string) (file, bool) {
	f, ok := b.files[path[strings.LastIndex(path, "/")+1:]]
	return f, ok && b.path(path[strings.LastIndex(path, "/")+1:]) == path
}
