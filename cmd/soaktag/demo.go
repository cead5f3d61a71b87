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
		Description: "Writes the plan, the study, labels, worksheet and result tables into a new folder\n" +
			"(soaktag-demo unless named) and shows every command line with its answer. Nothing in\n" +
			"it was measured. A folder that holds anything is left alone.",
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
	for _, act := range demoActs(dir) {
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

// An act is one command line of the story, typed at its moment.
type act struct {
	about string // said before it; empty to go on without a word
	at    string // the story's clock, in UTC
	args  []string
	most  int // lines of the answer that are shown; 0 for shownLines
}

// demoActs is the story of demo/README.md. The clock of an act is UTC: London
// is at UTC until 29 March 2026.
func demoActs(dir string) []act {
	in := func(name string) string { return filepath.Join(dir, name) }
	study := []string{"--study", in("oar-loft.soaktag")}
	with := func(args ...string) []string { return append(args, study...) }
	acts := []act{
		{about: "Before the first cut: does the plan hold, and what will go wrong?", at: "2026-02-20T18:00:00Z", most: 60,
			args: []string{"check", in("oar-loft.toml")}},
		{about: "Deal the specimens, print labels and a worksheet.", at: "2026-02-20T18:05:00Z",
			args: with("begin", in("oar-loft.toml"), "--specimens", in("specimens.csv"))},
		{at: "2026-02-20T18:10:00Z", args: with("labels", "--stock", "a4 3x9 63.5x29.6", "--out", in("labels.pdf"))},
		{at: "2026-02-20T18:15:00Z", args: with("worksheet", "glue-up", "--out", in("worksheet-glue-up.pdf"))},
		{about: "Seven weeks later the phones hand over what they recorded.", at: "2026-04-10T19:00:00Z",
			args: with("import", in("events.csv"))},
		{about: "Two labels had been swapped, and one was lost in the bath.", at: "2026-04-10T19:05:00Z",
			args: with("amend", "exchange", "PVA-S2", "PVA-D2", "--from", "2026-02-21 16:30", "--until", "2026-03-10 09:30",
				"--reason", "board mark and pencil mark agree")},
		{at: "2026-04-10T19:06:00Z", args: with("amend", "relabel", "UF-S1/1", "--at", "2026-03-17 10:11",
			"--reason", "lost in the bath; known by the label on half 2")},
	}
	acts = append(acts, looksIn(with)...)
	return append(acts,
		act{about: "What held?", at: "2026-04-11T12:00:00Z", args: with("results"), most: 80},
		act{about: "A page to read and print, and one for a projector.", at: "2026-04-11T12:02:00Z", args: with("report", "--out", in("report.html"))},
		act{at: "2026-04-11T12:03:00Z", args: with("report", "--slide", "--out", in("slide.html"))},
		act{about: "Tables for others, a copy to keep, and a check of the whole file.", at: "2026-04-11T12:05:00Z",
			args: with("export", in("export"))},
		act{at: "2026-04-11T12:06:00Z", args: with("backup", in("backup.soaktag"))},
		act{at: "2026-04-11T12:07:00Z", args: with("verify")})
}

// looksIn asks what is due and how much has drifted on four days of the story.
func looksIn(with func(...string) []string) []act {
	moments := []struct{ about, at string }{
		{"Looking in while everything cures.", "2026-03-01 12:00"},
		{"On the day of the lift-out.", "2026-03-17 12:00"},
		{"A week later: one bath has been forgotten.", "2026-03-24 12:00"},
		{"At the end.", "2026-04-11 12:00"},
	}
	var acts []act
	for _, m := range moments {
		for i, command := range []string{"due", "drift", "status"} {
			a := act{at: "2026-04-11T12:00:00Z", args: with(command, "--as-of", m.at)}
			if i == 0 {
				a.about = m.about
			}
			acts = append(acts, a)
		}
	}
	return acts
}

// A story is a replay in progress.
type story struct {
	out   io.Writer
	dir   string
	whole bool
}

// play types one command line and shows what came back. Status 3 is part of
// the story; a refusal or a failure ends it.
func (st *story) play(a act) error {
	if a.about != "" {
		fmt.Fprintf(st.out, "\n== %s\n", a.about)
	}
	fmt.Fprintf(st.out, "\n$ soaktag %s\n", commandLine(a.args))
	stdout, stderr, status := childRun(a.args, a.at)
	st.show(stdout, cmp.Or(a.most, shownLines))
	st.show(stderr, shownLines)
	switch status {
	case exitDone:
	case exitAttention:
		fmt.Fprintf(st.out, "    (exit status 3: something is overdue, out of tolerance or asks)\n")
	default:
		return fmt.Errorf("demo: soaktag %s ended with status %d: %s", commandLine(a.args), status, lastLine(stderr))
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
