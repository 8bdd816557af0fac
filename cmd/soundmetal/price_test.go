package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
)

// A job that may not be touched has no price in any form: no sum, no hours, no
// technical figure, and no quote; it says why.
func TestRefusedPricesHoldNoFigure(t *testing.T) {
	dir := t.TempDir()
	shop, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "shop.yaml"), shop, 0o666); err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, name := range []string{"quarry-screen", "blade-arm", "fork"} {
		data, err := demo.Files.ReadFile(name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range job.Role("").Words() {
			text := regexp.MustCompile(`(?m)^    role: .*\n`).ReplaceAllString(string(data), "")
			text = regexp.MustCompile(`(?m)^  - name: (.*)$`).ReplaceAllString(text, "  - name: $1\n    role: "+w.Value)
			path := filepath.Join(dir, name+"-"+w.Value+".yaml")
			if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
			out := output(t, "price", path, "--samples", "100", "--json")
			var a struct {
				Items []struct {
					Priced bool
					Why    []string
				}
			}
			if err := json.Unmarshal([]byte(out), &a); err != nil {
				t.Fatal(err)
			}
			priced := false
			for _, it := range a.Items {
				priced = priced || it.Priced
				if !it.Priced && len(it.Why) == 0 {
					t.Errorf("%s: a place without price and without a reason", filepath.Base(path))
				}
			}
			if priced {
				continue
			}
			refused++
			numbers := jsonNumbers(t, out)
			slices.Sort(numbers)
			if !slices.Equal(numbers, []string{"seed", "version"}) {
				t.Errorf("%s: numbers at %q, want seed and version only", filepath.Base(path), numbers)
			}
			for _, text := range []string{out, output(t, "price", path), output(t, "price", path, "--figures")} {
				if found := technicalFigures(text, string(data)); len(found) > 0 || strings.Contains(text, "USD") {
					t.Errorf("%s: figures %q in %s", filepath.Base(path), found, text)
				}
			}
			var printed, sorry bytes.Buffer
			if run([]string{"price", path, "--quote"}, &printed, &sorry) != statusNo || printed.Len() > 0 || !strings.HasPrefix(sorry.String(), "no quote: ") {
				t.Errorf("%s: --quote prints %q, says %q", filepath.Base(path), printed.String(), sorry.String())
			}
		}
	}
	if refused < 15 {
		t.Errorf("only %d jobs were refused: the test tests little", refused)
	}
}
