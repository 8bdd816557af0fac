package job_test

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/job"
)

// Files that would need more memory than the machine has are refused with the
// place, and a file at the limit is read.
func TestLimits(t *testing.T) {
	item := "  - part: beam\n"
	for name, c := range map[string]struct {
		text, says string // says "" where it must be read
		line, col  int
	}{
		"brackets":      {strings.Repeat("[", 500_000), "within each other", 1, 1001},
		"braces":        {"part: beam\nsteel: " + strings.Repeat("{a: ", 200_000), "within each other", 2, 0},
		"dashes":        {strings.Repeat("- ", 400_000) + "x", "within each other", 1, 1001},
		"blanks":        {"part:\n" + strings.Repeat(" ", 2000) + "beam\n", "within each other", 2, 1001},
		"101 places":    {"items:\n" + strings.Repeat(item, job.MaxItems+1), "at most 100", 2, 3},
		"100 places":    {"items:\n" + strings.Repeat(item, job.MaxItems), "", 0, 0},
		"long comments": {"# " + strings.Repeat("-", 5000) + "\npart: beam\n", "", 0, 0},
		"long value":    {"part: beam" + strings.Repeat(" ", 5000) + "x\n", "", 0, 0},
	} {
		_, err := job.Read("j.yaml", []byte(c.text))
		var f *job.Fault
		switch {
		case c.says == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case c.says != "" && (!errors.As(err, &f) || !strings.Contains(f.Text, c.says)):
			t.Errorf("%s: got %v, want a fault that says %q", name, err, c.says)
		case c.says != "" && (f.Line != c.line || (c.col > 0 && f.Column != c.col)):
			t.Errorf("%s: at %d:%d, want %d:%d", name, f.Line, f.Column, c.line, c.col)
		}
	}
}
