package job_test

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

const finished = `units: us
jobs:
  - job: screen plate
    day: 2026-05-04
    rods: {planned: 62, used: 71}
    bead: {planned: 14 min, used: 12 min}
  - {file: tipper.yaml, rods: 50, gouge: 45 s}
`

func TestReadActuals(t *testing.T) {
	a, err := job.ReadActuals("actuals.yaml", []byte(finished))
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Jobs) != 2 || a.Units != job.US || a.Version != job.Version {
		t.Fatalf("got %+v", a)
	}
	one, two := a.Jobs[0], a.Jobs[1]
	if one.Rods.Planned.V != 62 || one.Rods.Used.V != 71 || one.Bead.Used.V != 12*q.Minute || one.Gouge.Used.Known || one.Day != "2026-05-04" {
		t.Errorf("first: %+v", one)
	}
	if two.Rods.Used.V != 50 || two.Rods.Planned.Known || two.Gouge.Used.V != 45*q.Second || two.File != "tipper.yaml" {
		t.Errorf("second: %+v", two)
	}
}

// Each fault is one sentence with the place and what would be accepted.
func TestActualsFaults(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		line int
		says string
	}{
		"no jobs":          {"units: us\n", 0, "no finished job"},
		"nothing said":     {"jobs:\n  - job: one\n", 2, "at least one of rods, bead, gouge and torch"},
		"no plan":          {"jobs:\n  - {job: one, rods: 70}\n", 2, "what was planned is missing"},
		"no use":           {"jobs:\n  - {rods: {planned: 70}}\n", 2, "what was used is missing"},
		"nothing used":     {"jobs:\n  - rods: {planned: 70, used: 0}\n", 2, "nothing used"},
		"nothing planned":  {"jobs:\n  - rods: {planned: 0, used: 5}\n", 2, "nothing planned"},
		"time without":     {"jobs:\n  - bead: {planned: 12 min, used: 12}\n", 2, "12"},
		"too long":         {"jobs:\n  - bead: {planned: 12 min, used: 12000 h}\n", 2, "12000"},
		"unknown key":      {"jobs:\n  - {rod: 5}\n", 2, `did you mean "rods"?`},
		"unknown top":      {"job:\n  - {rods: 5}\n", 1, `did you mean "jobs"?`},
		"day":              {"jobs:\n  - {day: yesterday, file: x.yaml, rods: 5}\n", 2, "is not a day"},
		"version":          {"version: 9\njobs: [{file: x, rods: 5}]\n", 1, "version 9"},
		"negative":         {"jobs:\n  - {file: x, rods: -5}\n", 2, "-5"},
		"list for a value": {"jobs:\n  - {file: x, rods: [5, 6]}\n", 2, "key: value"},
		"too many":         {"jobs:\n" + strings.Repeat("  - {file: x, rods: 5}\n", job.MaxJobs+1), 2, "at most"},
	} {
		_, err := job.ReadActuals("actuals.yaml", []byte(c.text))
		var f *job.Fault
		if !errors.As(err, &f) || f.Line != c.line || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: got %v, want one fault in line %d that says %q", name, err, c.line, c.says)
		}
	}
}

// FuzzReadActuals: any input gives jobs that all say something, or one fault of
// one line; never a panic.
func FuzzReadActuals(f *testing.F) {
	f.Add([]byte(finished))
	f.Add([]byte(`{"jobs": [{"job": "x", "torch": {"planned": "5 min", "used": "8 min"}}]}`))
	f.Add([]byte("jobs: ?\n"))
	f.Add([]byte("jobs: [{rods: 1}, rods]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := job.ReadActuals("f.yaml", data)
		var fault *job.Fault
		switch {
		case err == nil && len(a.Jobs) == 0:
			t.Error("a file without jobs was accepted")
		case err != nil && (!errors.As(err, &fault) || strings.ContainsAny(err.Error(), "\n\r")):
			t.Errorf("%q is not one fault of one line", err)
		}
		if err != nil {
			return
		}
		for i, d := range a.Jobs {
			if !d.Rods.Used.Known && !d.Bead.Used.Known && !d.Gouge.Used.Known && !d.Torch.Used.Known {
				t.Errorf("job %d says nothing", i+1)
			}
		}
	})
}
