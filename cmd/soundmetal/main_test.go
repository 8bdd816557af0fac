package main

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"

	"soundmetal/sheet"
)

var update = flag.Bool("update", false, "write what the scripts compare")

func TestMain(m *testing.M) {
	// what the scripts compare must not hang on how busy the machine is
	never := func() { os.Exit(runOn(os.Args[1:], console{os.Stdout, os.Stderr, 1000 * time.Hour})) }
	atOnce := func() { os.Exit(runOn(os.Args[1:], console{os.Stdout, os.Stderr, 0})) }
	testscript.Main(m, map[string]func(){"soundmetal": never, "soundmetal-telling": atOnce})
}

// TestScripts runs testdata/script: see README there.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"run": scriptRun, "bad": scriptBad, "columns": scriptColumns, "nofigures": scriptNoFigures, "fill": scriptFill,
		},
	})
}

// status runs a command and gives its exit status.
func status(ts *testscript.TestScript, args []string) int {
	err := ts.Exec(args[0], args[1:]...)
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &exit):
		return exit.ExitCode()
	}
	ts.Fatalf("%v", err)
	return -1
}

// run STATUS COMMAND ARGUMENT...: the command ends with the status, and leaves
// no trace of a crash.
func scriptRun(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: run STATUS COMMAND ARGUMENT...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if got := status(ts, args[1:]); got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
	for _, s := range []string{"goroutine ", "panic: ", ".go:"} {
		if strings.Contains(ts.ReadFile("stderr")+ts.ReadFile("stdout"), s) {
			ts.Fatalf("the output holds %q", s)
		}
	}
}

// bad REGEXP COMMAND ARGUMENT...: bad input. Status 2, nothing on standard
// output, one sentence on standard error that matches from its first to its last
// character.
func scriptBad(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: bad REGEXP COMMAND ARGUMENT...")
	}
	scriptRun(ts, false, append([]string{"2"}, args[1:]...))
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("standard output is not empty")
	}
	text := ts.ReadFile("stderr")
	if strings.Count(text, "\n") != 1 || !strings.HasSuffix(text, "\n") {
		ts.Fatalf("standard error is not one line")
	}
	if !regexp.MustCompile(`^(?:` + args[0] + `)\n$`).MatchString(text) {
		ts.Fatalf("%q does not match %s", text, args[0])
	}
}

// columns FILE: no line is wider than what is printed may be.
func scriptColumns(ts *testscript.TestScript, neg bool, args []string) {
	for i, l := range strings.Split(ts.ReadFile(args[0]), "\n") {
		if n := utf8.RuneCountInString(l); n > sheet.Columns {
			ts.Fatalf("line %d has %d columns: %s", i+1, n, l)
		}
	}
}

// nofigures FILE JOB: the text of a refused plan names no technical figure.
func scriptNoFigures(ts *testscript.TestScript, neg bool, args []string) {
	if found := technicalFigures(ts.ReadFile(args[0]), ts.ReadFile(args[1])); len(found) > 0 {
		ts.Fatalf("technical figures of what may not be touched: %q", found)
	}
}

// fill FILE BYTES TEXT: a file made of one text again and again.
func scriptFill(ts *testscript.TestScript, neg bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	text, err := strconv.Unquote(`"` + args[2] + `"`)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.Repeat([]byte(text), n/len(text)+1)[:n], 0o666))
}
