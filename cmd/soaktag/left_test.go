package main

import (
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/labels/sheet/sheettest"
)

// ninePlans writes the plan of nine evenings, hours and first glue-up as asked, once
// with one of each and once with three.
func ninePlans(t *testing.T, first string) {
	t.Helper()
	text, err := os.ReadFile("testdata/nine-evenings.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	three := regexp.MustCompile(`(?m)^hours = .*$`).ReplaceAllString(string(text), `hours = "18:00-21:00"`)
	three = regexp.MustCompile(`(?m)^first_glue_up = .*$`).ReplaceAllString(three, "first_glue_up = "+first)
	for name, text := range map[string]string{"three.toml": three, "one.toml": strings.ReplaceAll(three, "replicates = 3", "replicates = 1")} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// pageWords are the words of a worksheet.
func pageWords(t *testing.T, at time.Time, args ...string) string {
	t.Helper()
	_ = os.Remove("page.pdf")
	ranAt(t, at, append([]string{"worksheet", "--study", "s.soaktag", "--out", "page.pdf"}, args...)...)
	pdf, err := os.ReadFile("page.pdf")
	if err != nil {
		t.Fatal(err)
	}
	return sheettest.Words(t, pdf)
}

// firstSitting are the codes that check lays out first.
func firstSitting(t *testing.T, at time.Time) []string {
	t.Helper()
	text, _ := ranAt(t, at, "check", "one.toml", "--json")
	var doc struct{ Sittings []planSitting }
	if err := json.Unmarshal([]byte(text), &doc); err != nil || len(doc.Sittings) == 0 {
		t.Fatalf("%v in %s", err, text)
	}
	return codesOf(doc.Sittings[0])
}

// TestWhatIsLeftIsLaidOut: of one of each six are glued on Monday; on Tuesday it
// becomes three of each. 54 less 6 are 48, in six clamps 8 sittings. The clamps of
// 24 h from Monday 18:30 come off at 18:30 of Tuesday, six of them by 18:36; to five
// minutes the next are glued from 18:40, six in 24 min. Six bonds of 0.33 g, half as much again, are 3.0 g.
func TestWhatIsLeftIsLaidOut(t *testing.T) {
	ninePlans(t, "2026-10-12T18:00:00")
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	on := func(day, hour, minute int) time.Time { return time.Date(2026, 10, day, hour, minute, 0, 0, zone) }
	glued := firstSitting(t, on(11, 12, 0))
	ranAt(t, on(12, 12, 0), "begin", "one.toml", "--study", "s.soaktag")
	ranAt(t, on(12, 19, 0), append([]string{"log", "--stage", "glue-up", "--at", "2026-10-12 18:30", "--study", "s.soaktag"}, glued...)...)
	ranAt(t, on(13, 8, 0), "amend", "plan", "three.toml", "--reason", "one tells nothing", "--study", "s.soaktag")
	ranAt(t, on(13, 8, 0), "amend", "add", "--missing", "--reason", "three of each", "--study", "s.soaktag")

	words := pageWords(t, on(13, 8, 0), "glue-up")
	pages := strings.Split(words, "glue-up, sitting ")[1:]
	for i := 0; i+1 < len(pages); i += 2 { // the name stands over the page and below it
		if n := strings.Count(pages[i], "SWG-"); n != 6 || !strings.HasPrefix(pages[i], string(rune('1'+i/2))+" of 8") {
			t.Errorf("%d specimens on the page %.60s", n, pages[i])
		}
	}
	if len(pages) != 16 || !strings.Contains(pages[0], "Planned: Tue 13 Oct 18:40 to 19:04.") {
		t.Errorf("%d headings, the first page %.900s", len(pages), words)
	}
	for _, code := range glued {
		if strings.Contains(words, code) {
			t.Errorf("%s is glued and on a sheet", code)
		}
	}
	if len(grams(pages[0])) == 0 || sum(grams(pages[0])) < 2.5 || sum(grams(pages[0])) > 3.5 {
		t.Errorf("mixes of the first page: %v", grams(pages[0]))
	}
	for key, name := range map[string]string{"EPX": "epoxy", "CYA": "cyanoacrylate", "UF": "urea-formaldehyde"} {
		if strings.Contains(pages[0], " "+key+" ") != strings.Contains(pages[0], key+" "+name) {
			t.Errorf("%s is not explained on its page, or on another: %s", key, pages[0])
		}
	}
	if words := pageWords(t, on(13, 8, 0), "clamp removal"); strings.Count(words, "SWG-") != 6 || !strings.Contains(words, "glued Mon 12 Oct, 6 specimens: from Tue 2026-10-13 16:30 EDT to Tue 2026-10-13 20:30 EDT") {
		t.Errorf("tonight's clamps: %s", words)
	}
}

// grams are the mixes of a page.
func grams(page string) (list []float64) {
	for _, m := range regexp.MustCompile(`(\d\.\d) g\b`).FindAllStringSubmatch(page, -1) {
		list = append(list, float64(m[1][0]-'0')+float64(m[1][2]-'0')/10)
	}
	return list
}

func sum(list []float64) (all float64) {
	for _, x := range list {
		all += x
	}
	return all
}

// TestTonightsLotIsFirst: of two evenings in two tubs the sheet of the immersion has
// four lots with their windows, those of one evening together, and leaves out what is
// not glued.
func TestTonightsLotIsFirst(t *testing.T) {
	ninePlans(t, "2026-10-12T18:00:00")
	at := func(day int) time.Time { return time.Date(2026, 10, day, 23, 0, 0, 0, time.UTC) } // 19:00 in the shop
	ranAt(t, at(11), "begin", "one.toml", "--study", "s.soaktag")
	for day, who := range map[int][]string{12: {"1-4"}, 13: {"7-10"}} {
		ranAt(t, at(day), append([]string{"log", "--stage", "glue-up", "--study", "s.soaktag"}, who...)...)
		ranAt(t, at(day+1), append([]string{"log", "--stage", "clamp removal", "--study", "s.soaktag"}, who...)...)
	}
	words := pageWords(t, at(14), "immersion")
	first, second := strings.Index(words, "from Tue 2026-10-20 07:00 EDT"), strings.Index(words, "from Wed 2026-10-21 07:00 EDT")
	if first < 0 || second < first || strings.LastIndex(words, "from Tue 2026-10-20") > second {
		t.Errorf("not by evening: %s", words)
	}
}

// TestCutsWithoutBoards: a plan with a blank and no boards is told so, and check
// speaks of no board.
func TestCutsWithoutBoards(t *testing.T) {
	ninePlans(t, "2026-10-12T18:00:00")
	text, err := os.ReadFile("three.toml")
	if err != nil {
		t.Fatal(err)
	}
	none := regexp.MustCompile(`(?s)boards  = \[.*?\n\]`).ReplaceAllString(string(text), "")
	if err := os.WriteFile("none.toml", []byte(none), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, _ := ran(t, "check", "none.toml", "--full"); strings.Contains(out, "lost at the ends") || !strings.Contains(out, "kerf 1/8 in)") {
		t.Error(out)
	}
	ran(t, "begin", "none.toml", "--study", "s.soaktag")
	if _, talk := ran(t, "worksheet", "cut", "--study", "s.soaktag", "--out", "cut.pdf"); !strings.Contains(talk, "the plan gives no board with its size") {
		t.Error(talk)
	}
}
