package main

import (
	"bytes"
	"io/fs"
	"strings"
	"testing"
	"time"

	"github.com/urfave/cli/v2"
)

// Every command has its text, the text begins with examples, and each example is
// understood: its command and flags exist. --help is added, so that nothing is done.
func TestHelpBeginsWithExamples(t *testing.T) {
	s, _, _ := quiet()
	texts := map[string]bool{"help/soaktag.txt": true}
	checkExamples(t, "soaktag", helpOf("soaktag"))
	eachCommand(s.app().Commands, nil, func(words []string, c *cli.Command) {
		texts["help/"+strings.Join(words, "-")+".txt"] = true
		checkExamples(t, "soaktag "+strings.Join(words, " "), helpOf(words...))
		if !strings.HasPrefix(c.Description, "soaktag ") {
			t.Errorf("%s --help does not begin with an example: %.60q", words, c.Description)
		}
	})
	kept, err := fs.Glob(helpTexts, "help/*")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range kept {
		if !texts[name] {
			t.Errorf("%s is the text of no command", name)
		}
	}
}

// checkExamples runs the examples of a text. Examples and remarks are the lines up
// to the first empty one; each example begins with the command that it shows.
func checkExamples(t *testing.T, command, text string) {
	t.Helper()
	examples, _, _ := strings.Cut(text, "\n\n")
	if strings.HasPrefix(examples, " ") || examples == "" {
		t.Errorf("%s: its text does not begin with an example", command)
	}
	for line := range strings.Lines(examples) {
		line = strings.TrimRight(line, "\n")
		switch {
		case strings.HasPrefix(line, "    "):
		case line != command && !strings.HasPrefix(line, command+" "):
			t.Errorf("%s: %q shows another command; remarks are indented by four", command, line)
		default:
			checkExample(t, line)
		}
	}
	for line := range strings.Lines(text) {
		if len(line) > 110 {
			t.Errorf("%s: a line of %d characters: %.40q", command, len(line), line)
		}
	}
}

func checkExample(t *testing.T, line string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	args := append(typedWords(line), "--help")
	if status := run(args, strings.NewReader(""), &stdout, &stderr, time.Now); status != exitDone || !strings.Contains(stdout.String(), "USAGE:") {
		t.Errorf("%s: status %d, %s", line, status, stderr.String())
	}
}

// typedWords splits a line as a shell does, as far as examples need it: at spaces
// outside double quotes.
func typedWords(line string) []string {
	quoted := false
	words := strings.FieldsFunc(line, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	})
	for i := range words {
		words[i] = strings.ReplaceAll(words[i], `"`, "")
	}
	return words
}

func eachCommand(commands []*cli.Command, before []string, do func(words []string, c *cli.Command)) {
	for _, c := range commands {
		words := append(append([]string{}, before...), c.Name)
		do(words, c)
		eachCommand(c.Subcommands, words, do)
	}
}
