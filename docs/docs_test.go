package docs

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soundmetal/schema"
)

var update = flag.Bool("update", false, "write the generated pages instead of comparing them")

// current compares a file with what the code makes of it, or writes it.
func current(t *testing.T, path, want string) {
	t.Helper()
	got, err := os.ReadFile(path)
	if err == nil && string(got) == want {
		return
	}
	if !*update {
		t.Errorf("docs/%s is stale; run `make docs`", path)
		return
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(want), 0o644); err != nil {
		t.Fatal(err)
	}
}

// fill replaces the part of a page between <!-- NAME: --> and <!-- end --> by
// what the code makes of it.
func fill(t *testing.T, page, name, text string) string {
	t.Helper()
	head, tail := "<!-- "+name+": written by make docs -->\n", "<!-- end "+name+" -->"
	start := strings.Index(page, head)
	end := strings.Index(page, tail)
	if start < 0 || end < start {
		t.Fatalf("the page has no place for %q: it needs the lines %q and %q", name, strings.TrimSpace(head), tail)
	}
	return page[:start+len(head)] + "\n" + strings.TrimSpace(text) + "\n\n" + page[end:]
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestSchemasAreCurrent(t *testing.T) {
	for _, name := range schema.Names {
		data, err := schema.For(name)
		if err != nil {
			t.Fatal(err)
		}
		current(t, "schema/"+name+".schema.json", string(data)+"\n")
	}
}

var link = regexp.MustCompile(`\]\(([^)#]*)(#[^)]*)?\)`)

// Every link of a page leads to a file that is there.
func TestLinks(t *testing.T) {
	pages := []string{"../README.md", "../CHANGELOG.md"}
	err := filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".md") {
			pages = append(pages, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 20 {
		t.Errorf("only %d pages found", len(pages))
	}
	for _, page := range pages {
		for _, m := range link.FindAllStringSubmatch(read(t, page), -1) {
			if m[1] == "" || strings.Contains(m[1], "://") {
				continue
			}
			if _, err := os.Stat(filepath.Join(filepath.Dir(page), m[1])); err != nil {
				t.Errorf("%s links to %s, which is not there", page, m[1])
			}
		}
	}
}

// Every decision says why, what it costs and what would reverse it, and stands
// in the index.
func TestDecisions(t *testing.T) {
	pages, err := filepath.Glob("decisions/*.md")
	if err != nil || len(pages) < 10 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	index := read(t, "decisions/README.md")
	for _, page := range pages {
		if filepath.Base(page) == "README.md" {
			continue
		}
		text := read(t, page)
		for _, head := range []string{"## Context", "## Choice", "## Price", "## What would reverse it"} {
			if !strings.Contains(text, head+"\n") {
				t.Errorf("%s has no %q", page, head)
			}
		}
		if !strings.Contains(index, "("+filepath.Base(page)+")") {
			t.Errorf("%s is not in decisions/README.md", page)
		}
	}
}
