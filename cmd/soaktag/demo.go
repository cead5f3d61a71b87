package main

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/demo"
	"soaktag/cmd/soaktag/internal/screen"
)

// demoFiles is the oar loft, an invented study.
//
//go:embed demo/*.md demo/*.csv demo/*.toml
var demoFiles embed.FS

// demoCommand replays the oar loft.
func (s *session) demoCommand() *cli.Command {
	return &cli.Command{
		Name:      "demo",
		Usage:     "replay an invented study from plan to findings, command by command",
		ArgsUsage: "[DIR]",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "whole", Usage: "show every answer in full"},
		},
		Action: s.demo,
	}
}

func (s *session) demo(c *cli.Context) error {
	dir := "soaktag-demo"
	if c.NArg() > 0 {
		named, err := oneArgument(c, "one folder")
		if err != nil {
			return err
		}
		dir = named
	}
	if err := unpackDemo(dir); err != nil {
		return err
	}
	st := &story{out: s.stdout, dir: dir, whole: c.Bool("whole")}
	s.print("The oar loft: six adhesives, dry and after a week under water. All of it is invented.\n")
	for _, act := range demo.Story(dir) {
		if err := st.play(act); err != nil {
			return err
		}
	}
	return s.endDemo(st)
}

// unpackDemo writes the embedded files into dir, which must be new or empty.
func unpackDemo(dir string) error {
	if held, err := os.ReadDir(dir); err == nil && len(held) > 0 {
		return usageError("%s holds something already and is left alone; name a new folder: soaktag demo DIR", dir)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("demo: %w", err)
	}
	return fs.WalkDir(demoFiles, "demo", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := demoFiles.ReadFile(path)
		if err != nil {
			return err
		}
		return writeNew(filepath.Join(dir, entry.Name()), func(w io.Writer) error {
			_, err := w.Write(text)
			return err
		})
	})
}

// A story is a replay in progress.
type story struct {
	out   io.Writer
	dir   string
	whole bool
}

// play types one command line and shows what came back. Status 3 is part of
// the story; a refusal or a failure ends it.
func (st *story) play(a demo.Act) error {
	if a.About != "" {
		fmt.Fprintf(st.out, "\n== %s\n", a.About)
	}
	fmt.Fprintf(st.out, "\n$ soaktag %s\n", commandLine(a.Args))
	stdout, stderr, status := childRun(a.Args, a.At)
	st.show(stdout, cmp.Or(a.Most, shownLines))
	st.show(stderr, shownLines)
	switch status {
	case exitDone:
	case exitAttention:
		fmt.Fprintf(st.out, "    (exit status 3: something is overdue, out of tolerance or asks)\n")
	default:
		return fmt.Errorf("demo: soaktag %s ended with status %d: %s", commandLine(a.Args), status, lastLine(stderr))
	}
	return nil
}

// childRun runs one command line in a session of its own, at a fixed moment.
func childRun(args []string, at string) (stdout, stderr string, status int) {
	var out, talk bytes.Buffer
	clock := func() time.Time {
		t, err := time.Parse(time.RFC3339, at)
		if err != nil {
			panic(fmt.Sprintf("clock of the story: %v", err))
		}
		return t
	}
	status = run(append([]string{"soaktag"}, args...), strings.NewReader(""), &out, &talk, clock)
	return out.String(), talk.String(), status
}

// shownLines is how much of a long answer is shown.
const shownLines = 24

// show prints an answer indented, and only the beginning of a long one.
func (st *story) show(text string, most int) {
	if strings.TrimSpace(text) == "" {
		return
	}
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	hidden := 0
	if len(lines) > most+2 && !st.whole {
		hidden = len(lines) - most
		lines = lines[:most]
	}
	for _, line := range lines {
		fmt.Fprintln(st.out, strings.TrimRight("    "+line, " "))
	}
	if hidden > 0 {
		fmt.Fprintf(st.out, "    ... and %d lines more\n", hidden)
	}
}

// commandLine writes words as a person would type them.
func commandLine(args []string) string {
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

// endDemo prints the findings and what was left in the folder.
func (s *session) endDemo(st *story) error {
	found, err := findingsOf(filepath.Join(st.dir, "oar-loft.soaktag"), "2026-04-11T12:00:00Z")
	if err != nil {
		return err
	}
	s.print("\n== The findings that matter, each computed from the record\n\n")
	for i, f := range found {
		s.print("%2d. %s\n", i+1, f.Title)
		for _, line := range f.Lines {
			s.print("%s", screen.Prose(line, "    ", "      "))
		}
	}
	s.print("\n== Left in %s\n\n", st.dir)
	return s.listFolder(st.dir)
}

func (s *session) listFolder(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return errors.Join(errors.New("demo"), err)
	}
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() {
			name += string(filepath.Separator)
		}
		s.print("    %s\n", name)
	}
	s.hint("look around: soaktag results --study %s", filepath.Join(dir, "oar-loft.soaktag"))
	return nil
}

// findingsOf gathers the findings about a study from what is answered at a
// moment.
func findingsOf(study, at string) ([]demo.Finding, error) {
	var ev demo.Evidence
	if err := readJSON(&ev.Results, at, "results", "--json", "--study", study); err != nil {
		return nil, err
	}
	if err := readJSON(&ev.Drift, at, "drift", "--json", "--study", study); err != nil {
		return nil, err
	}
	return ev.Findings(), nil
}

func readJSON(into any, at string, args ...string) error {
	stdout, stderr, status := childRun(args, at)
	if status != exitDone && status != exitAttention {
		return fmt.Errorf("demo: soaktag %s: %s", args[0], lastLine(stderr))
	}
	if err := json.Unmarshal([]byte(stdout), into); err != nil {
		return fmt.Errorf("demo: read the answer of soaktag %s: %w", args[0], err)
	}
	return nil
}
