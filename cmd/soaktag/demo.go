package main

import (
	"bytes"
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
	"soaktag/tracker/wholefile"
)

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
	s.print("The oar loft: six adhesives, dry and after a week under water. All of it is invented.\n")
	if err := (demo.Replay{Out: s.stdout, Dir: dir, Whole: c.Bool("whole"), Type: childRun}).Play(); err != nil {
		return err
	}
	return s.endDemo(dir)
}

// unpackDemo writes the embedded files into dir, which must be new or empty.
func unpackDemo(dir string) error {
	if held, err := os.ReadDir(dir); err == nil && len(held) > 0 {
		return usageError("%s holds something already and is left alone; name a new folder: soaktag demo DIR", dir)
	}
	if err := wholefile.MakeFolder(dir); err != nil {
		return err
	}
	return fs.WalkDir(demo.Files, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := demo.Files.ReadFile(path)
		if err != nil {
			return err
		}
		return writeNew(filepath.Join(dir, entry.Name()), func(w io.Writer) error {
			_, err := w.Write(text)
			return err
		})
	})
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

// endDemo prints the findings and what was left in the folder.
func (s *session) endDemo(dir string) error {
	found, err := demo.Answer(childRun).Found(demo.Study(dir), demo.End)
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
	s.print("\n== Left in %s\n\n", dir)
	return s.listFolder(dir)
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
	s.hint("look around: soaktag results --study %s", demo.Study(dir))
	return nil
}
