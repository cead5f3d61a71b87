package page_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker/station/page"
)

// Page and script are sent over a bad network before anything can be done: less
// than 80 kB, the reader of photographs and the camera that needs it aside.
const most = 80_000

func TestPageIsSmall(t *testing.T) {
	html, _ := page.HTML()
	if size := len(html) + len(page.Script()); size >= most {
		t.Errorf("page and script have %d bytes, want less than %d", size, most)
	} else {
		t.Logf("%d bytes of %d", size, most)
	}
}

// A file that nobody joins is never sent.
func TestEveryScriptIsJoined(t *testing.T) {
	script := string(page.Script()) + string(page.Later())
	for _, name := range scripts(t) {
		for line := range strings.Lines(read(t, name)) {
			code, _, _ := strings.Cut(strings.TrimSpace(line), " // ")
			if code != "" && !strings.HasPrefix(code, "//") && !strings.Contains(script, "\n"+strings.TrimSpace(code)) {
				t.Errorf("%s: %q is not in the script", name, code)
				break
			}
		}
	}
}

// Indents and lines of comments are left out by what a line begins with; a text over
// several lines would lose what it holds.
func TestNoTextGoesOverLines(t *testing.T) {
	for _, name := range scripts(t) {
		for line := range strings.Lines(read(t, name)) {
			if strings.Count(line, "`")%2 != 0 || strings.Contains(line, "/*") != strings.Contains(line, "*/") || strings.HasSuffix(line, "\\\n") {
				t.Errorf("%s: a text or a comment over several lines: %s", name, line)
			}
		}
	}
}

func scripts(t *testing.T) []string {
	t.Helper()
	names, err := filepath.Glob("*.js")
	if err != nil || len(names) < 10 {
		t.Fatalf("only %v found: %v", names, err)
	}
	return names
}

func read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.FromSlash(name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The policy that goes with the page allows one script of the station's own, no
// style but the one in the head, and nothing from outside.
func TestPageKeepsItsPolicy(t *testing.T) {
	html, hash := page.HTML()
	if !regexp.MustCompile(`^'sha256-[A-Za-z0-9+/]{43}='$`).MatchString(hash) {
		t.Errorf("hash of the style: %s", hash)
	}
	for what, pattern := range map[string]string{
		"a handler in the markup":   `\son[a-z]+=`,
		"a style in the markup":     `\sstyle=`,
		"something from outside":    `(?:src|href|url)\s*[=(]\s*["']?(?:https?:)?//`,
		"a script without its file": `<script>`,
	} {
		if found := regexp.MustCompile(pattern).FindAll(html, -1); found != nil {
			t.Errorf("%s: %q", what, found)
		}
	}
	if n := strings.Count(string(html), "<script"); n != 1 {
		t.Errorf("%d scripts, want one", n)
	}
}

// What a script asks the page for is there, and an id is given once.
func TestScriptsFindTheirPlaces(t *testing.T) {
	html, _ := page.HTML()
	var ids []string
	for _, m := range regexp.MustCompile(`\sid="([^"]+)"`).FindAllStringSubmatch(string(html), -1) {
		if slices.Contains(ids, m[1]) {
			t.Errorf("id %s is given twice", m[1])
		}
		ids = append(ids, m[1])
	}
	for _, m := range regexp.MustCompile(`\$\("([^"]+)"\)`).FindAllStringSubmatch(string(page.Script())+string(page.Later()), -1) {
		if !slices.Contains(ids, m[1]) {
			t.Errorf("the script asks for #%s, which is not there", m[1])
		}
	}
}
