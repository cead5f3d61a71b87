package screen

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"text/tabwriter"
	"time"
)

func TestTable(t *testing.T) {
	table := NewTable("adhesive", ">n", ">mean", "")
	table.Row("casein", "12", "2.26", "fell apart: 1")
	table.Row("é", "4", "10.37", "")
	const want = "" +
		"adhesive   n   mean\n" +
		"casein    12   2.26  fell apart: 1\n" +
		"é          4  10.37\n"
	if got := table.String(); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// TestTableAsTabwriter compares with the standard library's writer of tables, whose
// rows may be of any length. It leaves spaces behind an empty cell.
func TestTableAsTabwriter(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		var out strings.Builder
		w, table := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0), Table{Indent: " "}
		for range random.IntN(8) {
			cells := make([]string, 1+random.IntN(5))
			for i := range cells {
				cells[i] = strings.Repeat("ä", random.IntN(5))
			}
			table.Row(cells...)
			fmt.Fprintln(w, " "+strings.Join(cells, "\t"))
		}
		w.Flush()
		want := ""
		for line := range strings.Lines(out.String()) {
			want += strings.TrimRight(line, " \n") + "\n"
		}
		if got := table.String(); got != want {
			t.Fatalf("got\n%swant\n%s", got, want)
		}
	}
}

func TestFold(t *testing.T) {
	for _, c := range []struct {
		got  Block
		want string
	}{
		{Fold(12, strings.Fields("one two three four"), "  "), "  one two\n  three four\n"},
		{Fold(4, []string{"immersion", "a"}, "- "), "- immersion\n- a\n"},
		{Fold(4, nil, "- "), "- \n"},
		{List([]string{"A", "B", "C"}, "  "), "  A, B, C\n"},
		{List(nil, "  "), "  \n"},
		{ProseTo(14, "what held  best of all", "- ", "  "), "- what held\n  best of all\n"},
	} {
		if string(c.got) != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestProgress(t *testing.T) {
	var out strings.Builder
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	p := NewProgress(&out, func() time.Time { return at })
	p.At("photograph", 1, 40)
	p.End()
	if out.Len() > 0 {
		t.Errorf("at once it says %q", out.String())
	}
	for _, step := range []struct {
		after    time.Duration
		done, of int
		want     string
	}{
		{2 * time.Second, 3, 40, "\rsoaktag: photograph 3 of 40 [#...................] about 25 s left\x1b[K"}, // 2 s for 3, 37 to come
		{8 * time.Second, 20, 40, "\rsoaktag: photograph 20 of 40 [##########..........] about 10 s left\x1b[K"},
		{0, 0, 40, "\rsoaktag: photograph 0 of 40 [....................]\x1b[K"},
		{0, 40, 40, "\rsoaktag: photograph 40 of 40 [####################]\x1b[K"},
		{2 * time.Minute, 130, 390, "\rsoaktag: photograph 130 of 390 [######..............] about 4 min left\x1b[K"},
	} {
		at = at.Add(step.after)
		out.Reset()
		if p.At("photograph", step.done, step.of); out.String() != step.want {
			t.Errorf("it says %q, want %q", out.String(), step.want)
		}
	}
	out.Reset()
	if p.End(); out.String() != "\n" {
		t.Errorf("it ends with %q", out.String())
	}
}

// Of what is passed on nothing steers the terminal or begins a line; what the program
// sets itself keeps its lines. The sequences are those of ECMA-48, the marks those of
// UAX #9 of Unicode.
func TestSprintf(t *testing.T) {
	table := NewTable("a", "b")
	table.Row("x\ny", "\x1b[2Jz")
	for _, c := range []struct{ got, want string }{
		{Sprintf("%s\n", "a\nb\tc\rd\u2028e"), "a b c d e\n"},
		{Sprintf("%s|%-6s|%q", "\x1b]0;own\a", "\x9b2J", "a\nb"), " ]0;own |\ufffd2J   |\"a\\nb\""},
		{Sprintf("%v %s", errors.New("gone\nfor good"), "\u202eabc\u2066"), "gone for good \ufffdabc\ufffd"},
		{Sprintf("%d %5.1f%%", 3, 2.25), "3   2.2%"},
		{Sprintf("%s", Block("a\n\x1bb\n")), "a\n b\n"},
		{Sprintf("%s", table), "a    b\nx y   [2Jz\n"},
		{Sprintf("%s", Fold(20, []string{"a\nb", "c"}, "- ")), "- a b c\n"},
		{Sprintf("%s", Prose("a", "x\ny ", "")), "x y a\n"},
		{string(JSON([]byte("{\"a\":\"\u202e\u0085é\x7f\"}\n"))), "{\"a\":\"\\u202e\\u0085é\\u007f\"}\n"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
