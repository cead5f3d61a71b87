package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/urfave/cli/v2"

	"soaktag/tracker/store"
)

// version is part of what "the same again" means: the same plan, seed and
// version deal the same specimens on every machine.
const version = "0.1.0"

// Exit statuses. Refused goes before failed, failed before attention.
const (
	exitDone      = 0
	exitFailed    = 1
	exitRefused   = 2
	exitAttention = 3

	exitInterrupted = 130
)

// run is the whole program: args[0] is its name, now its clock. It returns the
// exit status and never ends the process.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer, now func() time.Time) (status int) {
	return runUntil(nil, args, stdin, stdout, stderr, now)
}

// runUntil is run, but waits for no more lines of stdin once stop is closed.
func runUntil(stop <-chan struct{}, args []string, stdin io.Reader, stdout, stderr io.Writer, now func() time.Time) (status int) {
	out := &sink{w: stdout}
	s := &session{stdin: bufio.NewReader(stdin), stdout: out, stderr: stderr, now: now, terminal: isTerminal(stdin), onScreen: isTerminal(stdout), watched: isTerminal(stderr), stop: stop}
	defer func() {
		if p := recover(); p != nil {
			status = s.panicked(p)
		}
	}()
	err := s.dispatch(args)
	if !errors.Is(err, out.err) {
		err = errors.Join(err, out.err)
	}
	return s.status(err)
}

// A sink remembers the first error of writing, so that an answer that did not
// reach its reader never ends as done.
type sink struct {
	w   io.Writer
	err error
}

func (s *sink) Write(p []byte) (int, error) {
	n, err := s.w.Write(p)
	if err != nil && s.err == nil {
		s.err = withHint(fmt.Errorf("write the answer: %w", err), "whatever the command recorded is on record all the same: see soaktag status before it is typed again")
	}
	return n, s.err
}

// dispatch finds the command meant by args and runs it.
func (s *session) dispatch(args []string) error {
	app := s.app()
	if len(args) < 2 {
		app.Writer = s.stderr
		return errors.Join(app.Run([]string{"soaktag", "--help"}), usageError("no command given"))
	}
	permuted, err := permute(app.Commands, helpAsFlag(args[1:]))
	if err != nil {
		return err
	}
	return app.Run(append([]string{"soaktag"}, permuted...))
}

// app describes the program to the command line library. The library may
// neither end the process nor print errors of its own.
func (s *session) app() *cli.App {
	app := &cli.App{
		Name:            "soaktag",
		Usage:           "labels, times and honest numbers for adhesive soak tests",
		UsageText:       "soaktag COMMAND [arguments and flags in any order]",
		Version:         version,
		Description:     helpOf("soaktag"),
		Commands:        s.commands(),
		Reader:          s.stdin,
		Writer:          s.stdout,
		ErrWriter:       s.stderr,
		HideHelpCommand: true,
		ExitErrHandler:  func(*cli.Context, error) {},
		OnUsageError:    onUsageError,
		Action: func(c *cli.Context) error {
			return usageError("no command given; see soaktag --help")
		},
		DisableSliceFlagSeparator: true,
	}
	prepare(app.Commands, nil)
	return app
}

// prepare gives every command, however deep, its text of help, before what it says
// by itself, and the settings without which the library prints help to stdout on a
// wrong flag.
func prepare(commands []*cli.Command, before []string) {
	for _, c := range commands {
		words := append(slices.Clone(before), c.Name)
		c.Description = strings.TrimSpace(helpOf(words...) + c.Description)
		c.OnUsageError = onUsageError
		c.HideHelpCommand = true
		if len(c.Subcommands) > 0 && c.Action == nil {
			names := strings.Join(commandNames(c.Subcommands), ", ")
			c.Action = func(*cli.Context) error {
				return usageError("%s needs one of: %s", c.Name, names)
			}
		}
		prepare(c.Subcommands, words)
	}
}

// onUsageError words the library's complaints our way.
func onUsageError(c *cli.Context, err error, _ bool) error {
	text := err.Error()
	name, unknown := strings.CutPrefix(text, "flag provided but not defined: ")
	if unknown {
		text = "unknown flag --" + strings.TrimLeft(name, "-")
	}
	if c.Command == nil || c.Command.Name == "" || c.Command.Name == c.App.Name {
		return usageError("%s; see soaktag --help", text)
	}
	return dashed(usageError("%s; see soaktag %s --help", text, c.Command.Name), name)
}

// status prints err and returns the exit status that it and the session's
// need for attention ask for.
func (s *session) status(err error) int {
	switch {
	case err == nil && s.attention:
		return exitAttention
	case err == nil:
		return exitDone
	case errors.Is(err, errInterrupted):
		return exitInterrupted
	}
	s.complain(err)
	if isRefusal(err) {
		return exitRefused
	}
	return exitFailed
}

// isRefusal reports whether err means that the input, not the program or the
// machine, is the reason. A file given by name that is not a study, or is
// there already, is such an input.
func isRefusal(err error) bool {
	var r *refusal
	if errors.As(err, &r) {
		return true
	}
	inputs := []error{store.ErrEmpty, store.ErrFolder, store.ErrNotSoaktag, store.ErrNewer, store.ErrBackup, fs.ErrExist}
	return slices.ContainsFunc(inputs, func(input error) bool { return errors.Is(err, input) })
}

// complain prints err, a line for each error that was joined in it, and then its hint.
func (s *session) complain(err error) {
	for _, line := range joined(err) {
		s.talk("soaktag: error: ", "%s", []any{line})
	}
	var h *hinted
	if errors.As(err, &h) {
		s.hint("%s", h.hint)
	}
}

// joined is what each of the errors says that err is made of and adds nothing to; a
// name of a file that goes over several lines makes no errors of its own.
func joined(err error) (lines []string) {
	var parts []error
	switch e := err.(type) {
	case interface{ Unwrap() []error }:
		parts = e.Unwrap()
	case interface{ Unwrap() error }:
		parts = append(parts, e.Unwrap())
	}
	for _, part := range parts {
		if part != nil {
			lines = append(lines, joined(part)...)
		}
	}
	if text := err.Error(); strings.Join(lines, "\n") != text {
		return []string{text}
	}
	return lines
}

// panicked says in plain words that the program itself is at fault.
func (s *session) panicked(p any) int {
	fmt.Fprintf(s.stderr, "soaktag: error: a fault in soaktag itself stopped it: %v\n", p)
	s.hint("whatever was reported as recorded is safe; see soaktag verify")
	if os.Getenv("SOAKTAG_TRACE") != "" {
		fmt.Fprintf(s.stderr, "%s", debug.Stack())
	}
	return exitFailed
}

// isTerminal reports whether a stream is a terminal: somebody sits there, and can
// be asked or shown something.
func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}
