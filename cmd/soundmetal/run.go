package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/alecthomas/kong"

	"soundmetal/calc"
	"soundmetal/job"
)

// Exit statuses: a script can rely on them (docs/commands.md).
const (
	statusOK        = 0
	statusNo        = 1 // understood, but there is no figure to give: a method out of its range
	statusBadInput  = 2 // the call or a file cannot be understood
	statusInternal  = 3 // disk full, permission, a bug
	programName     = "soundmetal"
	programSummary  = "Plan the weld repair of a cracked, loaded steel part from what the welder knows."
	reportHint      = "this is a fault of the program, not of your file; please report it with the file"
	planFirstNotice = "Local codes, the owner's rules and licensed practice come before anything printed here."
)

// commands is the command line: one file for each command.
type commands struct {
	Plan       planCmd       `cmd:"" help:"Plan a repair: a job file in, the whole plan out."`
	Rig        rigCmd        `cmd:"" help:"Does the kit on the truck run the job, and where to put the work clamp."`
	Hold       holdCmd       `cmd:"" help:"Will it hold: why it cracked, may it run until the repair, which repair, when to look again."`
	Price      priceCmd      `cmd:"" help:"Hours and money as ranges: what drives them, what to load, the quote."`
	Heat       heatCmd       `cmd:"" help:"Heat and hydrogen, simulated: minutes of torch, gas, waits between beads, cooling, post-heat."`
	Learn      learnCmd      `cmd:"" help:"Your own figures from finished jobs, drawn towards the handbook."`
	Demo       demoCmd       `cmd:"" help:"Write the demo jobs and plan one of them."`
	Calc       calcCmd       `cmd:"" help:"One method by itself; without a name, the list of methods."`
	Sheet      sheetCmd      `cmd:"" help:"Print a sheet as PDF: repair, procedure, make-safe, teaching, quote, change order, invoice, record; or the drawings as SVG."`
	Serve      serveCmd      `cmd:"" help:"Open the job book in the browser: jobs, record, hold points, change orders."`
	Export     exportCmd     `cmd:"" help:"Write the whole job book, or one job of it, as one zip."`
	Import     importCmd     `cmd:"" help:"Take such a zip into a job book."`
	Backup     backupCmd     `cmd:"" help:"Copy the job book while it is in use."`
	Sync       syncCmd       `cmd:"" help:"Exchange the job book with that of another computer."`
	Devices    devicesCmd    `cmd:"" help:"The phones and computers that exchange with this job book: list them, shut one out."`
	Passphrase passphraseCmd `cmd:"" help:"Set the passphrase of the job book."`
	Schema     schemaCmd     `cmd:"" help:"Print the JSON Schema of a file that is read or of an answer."`
}

// console is where a command prints.
type console struct {
	out   io.Writer
	err   io.Writer
	pause time.Duration // between two lines that say how far a long computation is
}

// watched remembers the first error of writing: what was not printed must not
// end with status 0.
type watched struct {
	io.Writer
	err error
}

func (w *watched) Write(p []byte) (int, error) {
	n, err := w.Writer.Write(p)
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// silent is an error whose text has been printed already.
type silent struct{ status int }

func (s silent) Error() string { return fmt.Sprint("exit status ", s.status) }

// errBadInput marks an error of the call or of a file.
type errBadInput struct{ err error }

func (e errBadInput) Error() string { return e.err.Error() }
func (e errBadInput) Unwrap() error { return e.err }

// run is the program: arguments in, exit status out.
func run(arguments []string, out, errOut io.Writer) int {
	return runOn(arguments, console{out, errOut, elsewhere})
}

func runOn(arguments []string, to console) (status int) {
	out, errOut := to.out, to.err
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errOut, "%s: %v; %s\n", programName, p, reportHint)
			status = statusInternal
		}
	}()
	var c commands
	exit := -1
	parser, err := kong.New(&c, kong.Name(programName), kong.Description(programSummary+"\n\n"+planFirstNotice),
		kong.Writers(out, errOut), kong.UsageOnError(), kong.Exit(func(code int) { exit = code; panic(kongExit{}) }))
	if err != nil {
		fmt.Fprintln(errOut, programName+":", err)
		return statusInternal
	}
	if len(arguments) == 0 {
		arguments = []string{"--help"}
	}
	ctx, err := parseArguments(parser, arguments)
	switch {
	case exit >= 0:
		return exit
	case err != nil:
		fmt.Fprintf(errOut, "%s: %s; `%s --help` shows the commands\n", programName, oneLine(err.Error()), programName)
		return statusBadInput
	}
	printed := &watched{Writer: out}
	status = report(ctx.Run(&console{printed, errOut, to.pause}), errOut)
	if printed.err != nil && status != statusInternal {
		fmt.Fprintf(errOut, "%s: cannot print: %s\n", programName, oneLine(printed.err.Error()))
		return statusInternal
	}
	return status
}

// kongExit stops the parser after it printed its help.
type kongExit struct{}

func parseArguments(parser *kong.Kong, arguments []string) (ctx *kong.Context, err error) {
	defer func() {
		if p := recover(); p != nil {
			if _, ok := p.(kongExit); !ok {
				panic(p)
			}
		}
	}()
	return parser.Parse(arguments)
}

// report prints an error as one sentence and gives the exit status.
func report(err error, errOut io.Writer) int {
	var quiet silent
	var fault *job.Fault
	var usage *calc.UsageError
	var bad errBadInput
	var wait later
	switch {
	case err == nil:
		return statusOK
	case errors.As(err, &quiet):
		return quiet.status
	case errors.As(err, &wait):
		fmt.Fprintf(errOut, "%s: %s\n", programName, oneLine(err.Error()))
		return statusNo
	case errors.As(err, &fault):
		fmt.Fprintln(errOut, oneLine(fault.Error()))
		return statusBadInput
	case errors.As(err, &usage), errors.As(err, &bad):
		fmt.Fprintf(errOut, "%s: %s\n", programName, oneLine(err.Error()))
		return statusBadInput
	}
	fmt.Fprintf(errOut, "%s: %s\n", programName, oneLine(err.Error()))
	return statusInternal
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
