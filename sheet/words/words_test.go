package words

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestEveryKeyIsUsed looks for each key in the packages that print; a key built
// from a part and a name is looked for by its part.
func TestEveryKeyIsUsed(t *testing.T) {
	var code strings.Builder
	for _, dir := range []string{"../sketch", "../view", "../paper"} {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			code.Write(data)
		}
	}
	text := code.String()
	for _, k := range English().Keys() {
		stem := k[:strings.LastIndexByte(k, '.')+1]
		used := strings.Contains(text, `"`+k+`"`) || strings.Contains(text, `"`+stem+`"+`) || strings.Contains(text, `"`+stem+`" + `)
		if !used {
			t.Errorf("key %q is used nowhere", k)
		}
	}
	// and the other way round: what the code asks for is there
	for _, m := range regexp.MustCompile(`\.T\("([a-z0-9.-]+)"[,)]`).FindAllStringSubmatch(text, -1) {
		if !English().Has(m[1]) {
			t.Errorf("the code asks for %q, which is not in words.csv", m[1])
		}
	}
}

func TestUnknownLanguage(t *testing.T) {
	if _, err := In("xx"); err == nil || !strings.Contains(err.Error(), "en") {
		t.Errorf("got %v, want an error that names the languages there are", err)
	}
}

// Never printed: a verdict of safety or a warranty.
func TestNoPromises(t *testing.T) {
	for _, k := range English().Keys() {
		w := strings.ToLower(English().words[k])
		for _, bad := range []string{"certified", "guarantee"} {
			if strings.Contains(w, bad) {
				t.Errorf("%s: %q promises too much", k, w)
			}
		}
		if regexp.MustCompile(`\b(is|are|now) safe\b`).MatchString(w) {
			t.Errorf("%s: %q is a verdict of safety", k, w)
		}
	}
}
