package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	calendars "github.com/emersion/go-ical" // a reader that is not ours and not the writer's
	"golang.org/x/tools/txtar"
)

// mostCommands is what a study of nine adhesives in nine evenings may take.
const mostCommands = 120

// An aStory is a study from plan to report in one process, typed line by line:
// "clock INSTANT", "stdin FILE", "status N COMMAND", "says TEXT" of the answer to
// it, "covers FILE.ics" and at the end "asked CODE...", all that ever asked.
type aStory struct {
	*testing.T
	clock    string
	stdin    string
	answer   string
	commands int
	asked    []string
	line     int
}

func TestStory(t *testing.T) {
	files, err := filepath.Glob("testdata/story/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no stories found: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(t.TempDir())
			for _, f := range archive.Files {
				if err := os.WriteFile(f.Name, f.Data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			story := &aStory{T: t}
			for line := range strings.Lines(string(archive.Comment)) {
				story.line++
				story.tell(strings.TrimSpace(line))
			}
			if story.commands > mostCommands {
				t.Errorf("it takes %d commands, at most %d", story.commands, mostCommands)
			}
		})
	}
}

func (s *aStory) tell(line string) {
	s.Helper()
	verb, rest, _ := strings.Cut(line, " ")
	switch verb {
	case "", "#":
	case "clock":
		s.clock = rest
	case "env":
		name, value, _ := strings.Cut(rest, "=")
		s.Setenv(name, value)
	case "stdin":
		s.stdin = rest
	case "status":
		s.command(shellWords(rest))
	case "says":
		if !strings.Contains(spaced(s.answer), spaced(rest)) {
			s.Errorf("line %d: it does not say %q but\n%s", s.line, rest, s.answer)
		}
	case "covers":
		s.covers(rest)
	case "asked":
		want := strings.Fields(rest)
		slices.Sort(want)
		slices.Sort(s.asked)
		if !slices.Equal(slices.Compact(s.asked), want) {
			s.Errorf("line %d: asked of were %q, want %q", s.line, s.asked, want)
		}
	default:
		s.Fatalf("line %d: what is %q?", s.line, verb)
	}
}

// spaced is a text with one space between words: columns and folded lines aside.
func spaced(text string) string { return strings.Join(strings.Fields(text), " ") }

var asks = regexp.MustCompile(`asks: (\S+):`)

// command types one command line and keeps what was answered.
func (s *aStory) command(words []string) {
	s.Helper()
	in := ""
	if s.stdin != "" {
		text, err := os.ReadFile(s.stdin)
		if err != nil {
			s.Fatal(err)
		}
		in, s.stdin = string(text), ""
	}
	at, err := time.Parse(time.RFC3339, s.clock)
	if err != nil {
		s.Fatal(err)
	}
	var stdout, stderr bytes.Buffer
	status := run(words[1:], strings.NewReader(in), &stdout, &stderr, func() time.Time { return at })
	s.commands++
	s.answer = stdout.String() + stderr.String()
	if strconv.Itoa(status) != words[0] {
		s.Errorf("line %d: %q ended with %d, want %s:\n%s", s.line, words[1:], status, words[0], s.answer)
	}
	for _, m := range asks.FindAllStringSubmatch(s.answer, -1) {
		s.asked = append(s.asked, m[1])
	}
}

// dueNow is what the story's study has due, as scripts read it.
func (s *aStory) dueNow() (items []struct{ Code, Stage, Opens, Closes string }) {
	s.Helper()
	stdout, stderr, status := childRun([]string{"due", "--json"}, s.clock)
	var doc struct {
		Items []struct{ Code, Stage, Opens, Closes string }
	}
	if err := json.Unmarshal([]byte(stdout), &doc); err != nil || status == exitFailed || status == exitRefused {
		s.Fatalf("due --json: %d, %v\n%s", status, err, stderr)
	}
	return doc.Items
}

// covers wants a calendar to have exactly one entry for each specimen and its next
// step, inside the window of that step.
func (s *aStory) covers(file string) {
	s.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		s.Fatal(err)
	}
	calendar, err := calendars.NewDecoder(bytes.NewReader(text)).Decode()
	if err != nil {
		s.Fatal(err)
	}
	items := 0
	for _, item := range s.dueNow() {
		if item.Code == "" {
			continue // a dummy, or the water of a bath
		}
		items++
		var found []calendars.Event
		for _, e := range calendar.Events() {
			if about, err := e.Props.Text("DESCRIPTION"); err == nil && strings.Contains(about, item.Code) {
				found = append(found, e)
			}
		}
		if len(found) != 1 {
			s.Errorf("line %d: %s, next %s, is in %d entries of %s", s.line, item.Code, item.Stage, len(found), file)
			continue
		}
		s.inside(found[0], item.Stage, item.Opens, item.Closes)
	}
	if items == 0 {
		s.Errorf("line %d: nothing is to come", s.line)
	}
}

// inside wants an entry to be of a stage, and from no earlier to no later than a window.
func (s *aStory) inside(e calendars.Event, stage, opens, closes string) {
	s.Helper()
	summary, err1 := e.Props.Text("SUMMARY")
	start, err2 := e.DateTimeStart(time.UTC)
	end, err3 := e.DateTimeEnd(time.UTC)
	if err1 != nil || err2 != nil || err3 != nil {
		s.Fatal(err1, err2, err3)
	}
	if !strings.Contains(summary, stage) {
		s.Errorf("line %d: %q is not of %s", s.line, summary, stage)
	}
	if from, err := time.Parse(time.RFC3339, opens); err == nil && start.Before(from) {
		s.Errorf("line %d: %q begins %v, the window opens %v", s.line, summary, start, from)
	}
	if until, err := time.Parse(time.RFC3339, closes); err == nil && end.After(until) {
		s.Errorf("line %d: %q ends %v, the window closes %v", s.line, summary, end, until)
	}
}
