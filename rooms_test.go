// Package soundmetal_test holds what is true of the rooms together.
package soundmetal_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms in the order of the house: a room imports only what stands below it.
// calc and schema stand beside plan and may be used by what is above it; demo
// holds files only.
var rooms = []string{"cmd", "pocket", "web", "sheet", "exchange", "book", "store", "schema", "calc", "task", "plan", "price", "strength", "power", "heat", "filler",
	"joint", "cut", "gate", "material", "job", "source", "quantity"}

// forbidden in the rooms from task down: they read no clock, file or network.
var forbidden = []string{"os", "io/fs", "io/ioutil", "path/filepath", "net", "net/http", "log", "log/slog", "os/exec", "syscall/js", "math/rand", "crypto/rand"}

// clockless are the calls that read the clock of a package that pure rooms may
// import for its types: dates are passed in.
var clockless = []string{"time.Now", "time.Since", "time.Until", "time.Sleep", "time.After", "time.NewTimer", "time.Tick"}

func TestRoomsImportDownwards(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git" || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		room, _, _ := strings.Cut(filepath.ToSlash(path), "/")
		at := slices.Index(rooms, room)
		if at < 0 {
			return nil
		}
		seen[room] = true
		checkFile(t, path, room, at)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rooms {
		if !seen[r] {
			t.Errorf("no file of room %s was read", r)
		}
	}
}

func checkFile(t *testing.T, path, room string, at int) {
	t.Helper()
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	pure := at >= slices.Index(rooms, "task")
	for _, spec := range f.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		if pure && slices.Contains(forbidden, name) {
			t.Errorf("%s: room %s is pure and imports %s", path, room, name)
		}
		below, ours := strings.CutPrefix(name, "soundmetal/")
		if !ours {
			continue
		}
		other, _, _ := strings.Cut(below, "/")
		if to := slices.Index(rooms, other); to >= 0 && to < at {
			t.Errorf("%s: room %s imports %s, which stands above it", path, room, other)
		}
	}
	if pure {
		reportClock(t, files, f)
	}
}

// reportClock looks for calls that read the clock.
func reportClock(t *testing.T, files *token.FileSet, f *ast.File) {
	t.Helper()
	ast.Inspect(f, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok {
			if x, ok := sel.X.(*ast.Ident); ok && slices.Contains(clockless, x.Name+"."+sel.Sel.Name) {
				t.Errorf("%s: %s reads the clock in a pure room", files.Position(sel.Pos()), x.Name+"."+sel.Sel.Name)
			}
		}
		return true
	})
}
