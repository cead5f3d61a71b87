package demo

import (
	"cmp"
	"embed"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"
)

// Files is the oar loft, an invented study.
//
//go:embed *.md *.csv *.toml
var Files embed.FS

// Answer types one command line at an instant in RFC 3339, and returns what came
// back with its exit status.
type Answer func(args []string, at string) (stdout, stderr string, status int)

// The exit statuses that a story goes on after.
const (
	done      = 0
	attention = 3
)

// A Replay is a story being told.
type Replay struct {
	Out   io.Writer
	Dir   string // where it happens
	Whole bool   // every answer in full
	Type  Answer
}

// Play tells the story, command by command. A refusal or a failure ends it.
func (r Replay) Play() error {
	for _, act := range Story(r.Dir) {
		if err := r.play(act); err != nil {
			return err
		}
	}
	return nil
}

// play types one command line and shows what came back. Status 3 is part of
// the story.
func (r Replay) play(a Act) error {
	if a.About != "" {
		fmt.Fprintf(r.Out, "\n== %s\n", a.About)
	}
	fmt.Fprintf(r.Out, "\n$ soaktag %s\n", CommandLine(a.Args))
	stdout, stderr, status := r.Type(a.Args, a.At)
	r.show(stdout, cmp.Or(a.Most, shownLines))
	r.show(stderr, shownLines)
	switch status {
	case done:
	case attention:
		fmt.Fprintf(r.Out, "    (exit status 3: something is overdue, out of tolerance or asks)\n")
	default:
		return fmt.Errorf("demo: soaktag %s ended with status %d: %s", CommandLine(a.Args), status, lastLine(stderr))
	}
	return nil
}

// shownLines is how much of a long answer is shown.
const shownLines = 24

// show prints an answer indented, and only the beginning of a long one.
func (r Replay) show(text string, most int) {
	if strings.TrimSpace(text) == "" {
		return
	}
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	hidden := 0
	if len(lines) > most+2 && !r.Whole {
		hidden = len(lines) - most
		lines = lines[:most]
	}
	for _, line := range lines {
		fmt.Fprintln(r.Out, strings.TrimRight("    "+line, " "))
	}
	if hidden > 0 {
		fmt.Fprintf(r.Out, "    ... and %d lines more\n", hidden)
	}
}

// CommandLine writes words as a person would type them.
func CommandLine(args []string) string {
	quoted := make([]string, len(args))
	for i, arg := range args {
		quoted[i] = arg
		if arg == "" || strings.ContainsAny(arg, " ;'\"$*?&|<>()\\") {
			quoted[i] = `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, `$`, `\$`).Replace(arg) + `"`
		}
	}
	return strings.Join(quoted, " ")
}

func lastLine(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return lines[len(lines)-1]
}

// Found gathers the findings about a study from what is answered at a moment.
func (answer Answer) Found(study, at string) ([]Finding, error) {
	var ev Evidence
	if err := answer.Read(&ev.Results, at, "results", "--json", "--study", study); err != nil {
		return nil, err
	}
	if err := answer.Read(&ev.Drift, at, "drift", "--json", "--study", study); err != nil {
		return nil, err
	}
	return ev.Findings(), nil
}

// Read decodes the answer to one command line that prints JSON.
func (answer Answer) Read(into any, at string, args ...string) error {
	stdout, stderr, status := answer(args, at)
	if status != done && status != attention {
		return fmt.Errorf("demo: soaktag %s: %s", args[0], lastLine(stderr))
	}
	if err := json.Unmarshal([]byte(stdout), into); err != nil {
		return fmt.Errorf("demo: read the answer of soaktag %s: %w", args[0], err)
	}
	return nil
}

// Study is where the story keeps its record.
func Study(dir string) string { return filepath.Join(dir, "oar-loft.soaktag") }

// End is the instant at which the findings are told.
const End = "2026-04-11T12:00:00Z"
