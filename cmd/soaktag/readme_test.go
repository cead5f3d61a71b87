package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestReadme runs every command line of README.md and wants the answers that
// stand there. In a block marked "console"
//
//	# Sun 2026-05-10 10:30     sets the clock, in London
//	$ soaktag ...              is run
//	...                        stands for any number of lines
//
// and every other line is what the program says, stdout first. A block marked
// "toml" is a file; its first line names it.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, photos), os.DirFS(filepath.Join("..", "..", photos))); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	r := reader{t: t}
	for _, b := range blocks(string(text)) {
		switch b.kind {
		case "toml":
			r.keep(b)
		case "console":
			r.follow(b)
		}
	}
	if r.ran < 10 {
		t.Errorf("only %d command lines found", r.ran)
	}
}

// photos are what the README reads; they stand where they stand in a clone.
const photos = "labels/photo/testdata/photos"

// A block is a fenced part of a Markdown file.
type block struct {
	kind  string
	lines []string
}

func blocks(text string) []block {
	var all []block
	open := false
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		fence, isFence := strings.CutPrefix(line, "```")
		switch {
		case isFence && !open:
			all = append(all, block{kind: fence})
			open = true
		case isFence:
			open = false
		case open:
			last := &all[len(all)-1]
			last.lines = append(last.lines, line)
		}
	}
	return all
}

// A reader does what the README says.
type reader struct {
	t   *testing.T
	at  string
	ran int
}

// keep writes a file that the README shows.
func (r *reader) keep(b block) {
	name := strings.TrimSpace(strings.TrimPrefix(b.lines[0], "#"))
	if err := os.WriteFile(name, []byte(strings.Join(b.lines, "\n")+"\n"), 0o600); err != nil {
		r.t.Fatal(err)
	}
}

// follow types the command lines of a block, one after the other.
func (r *reader) follow(b block) {
	for i := 0; i < len(b.lines); i++ {
		line := b.lines[i]
		if at, ok := strings.CutPrefix(line, "# "); ok {
			r.clock(at)
			continue
		}
		command, ok := strings.CutPrefix(line, "$ soaktag ")
		if !ok {
			continue
		}
		until := i + 1
		for until < len(b.lines) && !strings.HasPrefix(b.lines[until], "$ ") && !strings.HasPrefix(b.lines[until], "# ") {
			until++
		}
		r.run(command, b.lines[i+1:until])
	}
}

func (r *reader) clock(text string) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		r.t.Fatal(err)
	}
	at, err := time.ParseInLocation("Mon 2006-01-02 15:04", text, london)
	if err != nil {
		r.t.Fatal(err)
	}
	r.at = at.UTC().Format(time.RFC3339)
}

func (r *reader) run(command string, want []string) {
	r.ran++
	stdout, stderr, status := childRun(shellWords(command), r.at)
	if status == exitFailed {
		r.t.Errorf("soaktag %s failed", command)
	}
	got := strings.Split(strings.TrimRight(stdout+stderr, "\n"), "\n")
	for i := range got {
		got[i] = strings.TrimRight(got[i], " ")
	}
	if !matches(got, trimBlank(want)) {
		r.t.Errorf("$ soaktag %s\n%s\nbut the README has\n%s", command, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func trimBlank(lines []string) []string {
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	if len(lines) == 0 {
		return []string{""}
	}
	return lines
}

// matches compares lines; a line "..." stands for any number of them, and
// "..." within a line for any text.
func matches(got, want []string) bool {
	if len(want) == 0 {
		return len(got) == 0
	}
	if want[0] == "..." {
		for skip := 0; skip <= len(got); skip++ {
			if matches(got[skip:], want[1:]) {
				return true
			}
		}
		return false
	}
	return len(got) > 0 && lineMatches(got[0], want[0]) && matches(got[1:], want[1:])
}

func lineMatches(got, want string) bool {
	before, after, elided := strings.Cut(want, "...")
	if !elided {
		return got == want
	}
	return len(got) >= len(before)+len(after) && strings.HasPrefix(got, before) && strings.HasSuffix(got, after)
}

// shellWords splits a command line at spaces outside double quotes.
func shellWords(line string) []string {
	var words []string
	var word bytes.Buffer
	quoted, begun := false, false
	for _, c := range line + " " {
		switch {
		case c == '"':
			quoted, begun = !quoted, true
		case c == ' ' && !quoted:
			if begun || word.Len() > 0 {
				words = append(words, word.String())
			}
			word.Reset()
			begun = false
		default:
			word.WriteRune(c)
		}
	}
	return words
}
