package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
)

// Every call that the documentation shows works as it stands, in the order of
// the page.
func TestDocumentedCalls(t *testing.T) {
	calls := 0
	for _, page := range []string{"../../docs/commands.md", "../../README.md", "../../docs/job-format.md"} {
		data, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		folder := t.TempDir()
		t.Run(page, func(t *testing.T) {
			t.Chdir(folder)
			for line := range strings.Lines(string(data)) {
				call, ok := strings.CutPrefix(strings.TrimSpace(line), "$ soundmetal ")
				if !ok {
					continue
				}
				if calls == 0 { // the demo files that later calls name
					run([]string{"demo"}, io.Discard, io.Discard)
				}
				calls++
				var out, errOut bytes.Buffer
				if status := run(strings.Fields(call), &out, &errOut); status != statusOK || out.Len() == 0 {
					t.Errorf("soundmetal %s: status %d, %s", call, status, errOut.String())
				}
			}
		})
	}
	if calls < 8 {
		t.Errorf("only %d calls found", calls)
	}
}

// The five-line job of the README and of the format page is a whole plan.
func TestDocumentedJob(t *testing.T) {
	for _, page := range []string{"../../README.md", "../../docs/job-format.md"} {
		data, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		_, rest, ok := strings.Cut(string(data), "```yaml\n")
		text, _, end := strings.Cut(rest, "```")
		if !ok || !end {
			t.Fatalf("%s shows no job", page)
		}
		path := t.TempDir() + "/job.yaml"
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(text, "\n"); n != 5 {
			t.Errorf("%s: the job has %d lines", page, n)
		}
		if out := output(t, "plan", path); !strings.Contains(out, "TAKE THE CRACK OUT") || !strings.Contains(out, "WORTH FINDING OUT") {
			t.Errorf("%s: the plan of the job has no cut or nothing worth finding out:\n%s", page, out)
		}
	}
}

// What could not be printed does not end with status 0.
func TestPrintingFails(t *testing.T) {
	var errOut bytes.Buffer
	if status := run([]string{"calc"}, failing{}, &errOut); status != statusInternal || errOut.String() != "soundmetal: cannot print: no space left\n" {
		t.Errorf("status %d, %q", status, errOut.String())
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("no space left") }
