package book

import (
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// The page of the format names every kind, and in its row every field.
func TestFormatPage(t *testing.T) {
	data, err := os.ReadFile("../docs/book-format.md")
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	rows := map[string]string{}
	for line := range strings.Lines(page) {
		if m := regexp.MustCompile("^\\| `([a-z.-]+)` \\|(.*)").FindStringSubmatch(line); m != nil {
			rows[m[1]] = m[2]
		}
	}
	yes := page[strings.Index(page, "The customer's yes is"):]
	yes = yes[:strings.Index(yes, "\n\n")]
	for kind, b := range bodies {
		row, ok := rows[string(kind)]
		if !ok {
			t.Errorf("the page has no row for %s", kind)
			continue
		}
		if strings.Contains(row, "customer's yes") {
			row += yes
		}
		is, err := b.read([]byte("{}"))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range jsonNames(reflect.TypeOf(is)) {
			if !strings.Contains(row, "`"+name+"`") {
				t.Errorf("the row of %s does not name %s", kind, name)
			}
		}
	}
}

// jsonNames gives the fields of a body; those of what is nested for itself are
// not gone into.
func jsonNames(t reflect.Type) []string {
	var names []string
	for f := range t.Fields() {
		if f.Anonymous {
			names = append(names, jsonNames(f.Type)...)
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		names = append(names, name)
	}
	return names
}

// Every kind that may be corrected knows what it may hold.
func TestCorrectableKindsAreChecked(t *testing.T) {
	for kind, b := range bodies {
		is, err := b.read([]byte("{}"))
		if err != nil {
			t.Fatal(err)
		}
		_, ok := reflect.New(reflect.TypeOf(is)).Interface().(checked)
		if b.correctable && !ok {
			t.Errorf("%s may be corrected by anything", kind)
		}
	}
}

// Every row of the table of deviations is used, and every rule has a row.
func TestDeviationTable(t *testing.T) {
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	var code strings.Builder
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".go") && !strings.HasSuffix(e.Name(), "_test.go") {
			data, err := os.ReadFile(e.Name())
			if err != nil {
				t.Fatal(err)
			}
			code.Write(data)
		}
	}
	for id, row := range deviationRows {
		if !strings.Contains(code.String(), `"`+id+`"`) {
			t.Errorf("no rule uses %s", id)
		}
		if row.why == "" || row.skip == "" || len(row.causes) == 0 || len(row.cures) == 0 {
			t.Errorf("%s is not whole", id)
		}
	}
	for _, m := range regexp.MustCompile(`deviate\("([a-z-]+)"`).FindAllStringSubmatch(code.String(), -1) {
		if _, ok := deviationRows[m[1]]; !ok {
			t.Errorf("rule %s has no row", m[1])
		}
	}
	for id := range figures {
		if !strings.Contains(code.String(), `figure("`+id+`")`) {
			t.Errorf("no code uses the figure %s", id)
		}
	}
}
