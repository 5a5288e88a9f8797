// Package cli holds the commands, one file a command. It reads flags and
// files, calls the engine or the server, prints, and sets the exit code.
package cli

import (
	"errors"
	"fmt"
	"io"

	"github.com/alecthomas/kong"
)

// Exit codes, the same for every command.
const (
	exitDone    = 0 // done; "does not carry" and "not allowed" are answers
	exitInput   = 1 // the input was read and something in it is wrong
	exitUsage   = 2 // the command line is wrong
	exitCannot  = 3 // could not run: file, network, database
	programName = "rootcue"
)

// streams is what a command reads and writes.
type streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// A failure is an error with the exit code it ends the program with. The first
// line of its text says what is wrong; further lines are detail.
type failure struct {
	code int
	text string
}

func (f failure) Error() string { return f.text }

// badInput is the failure for input that was read and is wrong.
func badInput(format string, args ...any) error {
	return failure{exitInput, fmt.Sprintf(format, args...)}
}

// cannotRun is the failure for a file, network or database that cannot be used.
func cannotRun(format string, args ...any) error {
	return failure{exitCannot, fmt.Sprintf(format, args...)}
}

// badUsage is the failure for a command line that is wrong.
func badUsage(format string, args ...any) error {
	return failure{exitUsage, fmt.Sprintf(format, args...)}
}

// Main runs the command line and returns the exit code.
func Main(args []string, in io.Reader, out, errs io.Writer) int {
	s := &streams{In: in, Out: out, Err: errs}
	err := run(args, s)
	var f failure
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &f):
		fmt.Fprintln(errs, f.text)
		return f.code
	}
	fmt.Fprintln(errs, err)
	return exitCannot
}

// stopped carries kong's wish to end (after --help) through its exit hook.
type stopped int

func run(args []string, s *streams) (err error) {
	defer func() {
		if r := recover(); r != nil {
			code, ok := r.(stopped)
			if !ok {
				panic(r)
			}
			if code != 0 {
				err = failure{int(code), ""}
			}
		}
	}()
	var c commands
	parser, err := kong.New(&c, kong.Name(programName),
		kong.Description("Judges what a catching instructor saw against the club's own rubric files: faults, their causes, what they cost, what to work on first."),
		kong.Writers(s.Out, s.Err), kong.Exit(func(code int) { panic(stopped(code)) }), kong.UsageOnError())
	if err != nil {
		return err
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		return badUsage("%s: %v\nSee: %s --help", programName, err, programName)
	}
	return ctx.Run(s)
}
