package main

import (
	"bufio"
	"bytes"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// rewriteVariable, when set, has TestSameAnswers write what it got instead of
// comparing it.
const rewriteVariable = "SOAKTAG_REWRITE"

// TestSameAnswers replays the studies of testdata/before and wants every answer
// byte for byte as it was kept there.
func TestSameAnswers(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1775000000")
	t.Setenv("SOAKTAG_STUDY", "s.soaktag")
	for _, name := range []string{"loft", "sled", "gate"} {
		kept, err := filepath.Abs(filepath.Join("testdata", "before", name))
		if err != nil {
			t.Fatal(err)
		}
		t.Run(name, func(t *testing.T) { sameAnswers(t, kept) })
	}
}

func sameAnswers(t *testing.T, kept string) {
	dir := t.TempDir()
	copyStudyFiles(t, kept, dir)
	t.Chdir(dir)
	keepOrCompare(t, filepath.Join(kept, "told.txt"), tellStory(t, filepath.Join(kept, "story.txt")))
	for _, line := range storyLines(t, filepath.Join(kept, "asks.txt")) {
		words := shellWords(line)
		name, at, command := words[0], words[1], words[2:]
		if command[0] != "check" {
			command = append(command, "--as-of", at)
		}
		keepOrCompare(t, filepath.Join(kept, name+".txt"), answer(at, "", command))
		if command[0] != "report" && !strings.Contains(line, "--full") {
			keepOrCompare(t, filepath.Join(kept, name+".json"), answer(at, "", append(command, "--json")))
			continue
		}
		if page, err := os.ReadFile(name + ".html"); err == nil {
			keepOrCompare(t, filepath.Join(kept, name+".words.txt"), visibleWords(string(page)))
		}
	}
}

// copyStudyFiles lays the plan and the tables of a study into dir; those of the
// loft are the demonstration's.
func copyStudyFiles(t *testing.T, kept, dir string) {
	t.Helper()
	from := map[string]string{"plan.toml": "plan.toml", "specimens.csv": "specimens.csv", "events.csv": "events.csv", "amended.toml": "amended.toml"}
	if filepath.Base(kept) == "loft" {
		kept, from["plan.toml"] = filepath.Join(kept, "../../../demo"), "oar-loft.toml"
	}
	for name, source := range from {
		text, err := os.ReadFile(filepath.Join(kept, source))
		if os.IsNotExist(err) {
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// tellStory types the lines of a story, a minute between them, and returns
// everything that was answered.
func tellStory(t *testing.T, path string) string {
	t.Helper()
	var told strings.Builder
	var command, scanned string
	var at time.Time
	flush := func() {
		if command != "" {
			fmt.Fprintf(&told, "$ %s\n%s", command, answer(at.Format(time.RFC3339), scanned, shellWords(command)))
			at = at.Add(time.Minute)
		}
		command, scanned = "", ""
	}
	for _, line := range storyLines(t, path) {
		if text, ok := strings.CutPrefix(line, "> "); ok {
			scanned += text + "\n"
			continue
		}
		flush()
		if moment, ok := strings.CutPrefix(line, "@ "); ok {
			at = instant(t, moment)
			continue
		}
		command = line
	}
	flush()
	return told.String()
}

func instant(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func storyLines(t *testing.T, path string) (lines []string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	in := bufio.NewScanner(bytes.NewReader(text))
	for in.Scan() {
		if line := in.Text(); line != "" && !strings.HasPrefix(line, "#") {
			lines = append(lines, line)
		}
	}
	return lines
}

// answer is stdout, then the talk, then the exit status of one command.
func answer(at, stdin string, args []string) string {
	var stdout, stderr bytes.Buffer
	clock := func() time.Time {
		now, err := time.Parse(time.RFC3339, at)
		if err != nil {
			panic(err)
		}
		return now
	}
	status := run(append([]string{"soaktag"}, args...), strings.NewReader(stdin), &stdout, &stderr, clock)
	return blanked(fmt.Sprintf("%s-- talk --\n%s-- status %d --\n", stdout.String(), stderr.String(), status))
}

// What differs from one replay to the next: ids, hashes, the folder.
var (
	anID    = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`)
	aHash   = regexp.MustCompile(`\b[0-9a-f]{64}\b|log head [0-9a-f]{12}`)
	aFolder = regexp.MustCompile(`/[^ "']*TestSameAnswers[^ "'/]*/\d+/`)
)

func blanked(text string) string {
	text = anID.ReplaceAllString(text, "ID")
	text = aHash.ReplaceAllString(text, "HASH")
	return aFolder.ReplaceAllString(text, "DIR/")
}

var (
	aStyle = regexp.MustCompile(`(?s)<(style|script)\b.*?</(style|script)>`)
	aTag   = regexp.MustCompile(`<[^>]*>`)
	aBreak = regexp.MustCompile(`[ \t]*\n\s*`)
)

// visibleWords is what is left of a page when its tags and styles are gone.
func visibleWords(page string) string {
	words := aTag.ReplaceAllString(aStyle.ReplaceAllString(page, ""), "\n")
	return blanked(strings.TrimLeft(aBreak.ReplaceAllString(html.UnescapeString(words), "\n"), "\n"))
}

func keepOrCompare(t *testing.T, path, got string) {
	t.Helper()
	if os.Getenv(rewriteVariable) != "" {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	kept, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if want := string(kept); got != want {
		t.Errorf("%s: %s", filepath.Base(path), firstDifference(got, want))
	}
}

// firstDifference shows where two texts part, with what stands around it.
func firstDifference(got, want string) string {
	i := 0
	for i < len(got) && i < len(want) && got[i] == want[i] {
		i++
	}
	around := func(s string) string { return s[max(0, min(i, len(s))-60):min(i+60, len(s))] }
	return fmt.Sprintf("from byte %d on\n got %q\nwant %q", i, around(got), around(want))
}
